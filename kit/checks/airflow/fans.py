"""Fans: are they held, do they get air, does it pass the gear, and is there room for them?"""

from collections.abc import Iterator, Mapping
from math import pi

from kit.casework import Casework
from kit.checks.airflow.climates import Climate
from kit.checks.airflow.network import Opening, OpeningKind
from kit.components.fan import Mounted, Moves
from kit.finding import Finding, Sense, judge

#: A fan that delivers less than this share of its free flow lacks an intake. From memory:
#: small fans are chosen at about half their free flow.
DELIVERS = 0.5
#: Air that comes in nearer to a fan than this does not pass the gear, mm. Common practice.
NEAR_MM = 200.0
#: As much of its air a fan may take so near. Common practice, no source.
SHORT_CIRCUIT = 0.3
#: Least opening for a fan, as a share of its own: at half of it air moves twice as fast, against
#: four times the pressure. As much as its own is the rule (installers-advice).
LEAST_SHARE = 0.5


def check_mounting(casework: Casework) -> Iterator[Finding]:
    """Whether each fan of the design has a panel that is bored for it, and room before it."""
    for fan in casework.fans:
        name, frame = fan.spec.name, fan.kind.frame_mm
        yield judge(
            "fan is held",
            name,
            fan.room_mm,
            frame,
            sense=Sense.AT_LEAST,
            unit="mm",
            why=f"{name} sits on {fan.board}, which is bored for it."
            if fan.board
            else f"{name} has no opening, and moves nothing: {fan.why}.",
            source="design-file",
            boards=(fan.board,) if fan.board else (),
        )
        if fan.body is not None:
            yield _clear(casework, fan)


def _clear(casework: Casework, fan: Mounted) -> Finding:
    """The frame of a fan against devices with their plugs, and against boards."""
    assert fan.body is not None
    things = [(p.item.name, box) for p in casework.inside for box in (p.body, p.rear) if box]
    things += [(b.name, b.box) for b in casework.boards if b.name != fan.board]
    shared = {
        name: common.volume_mm3
        for name, box in things
        if (common := fan.body.common(box)) is not None and common.volume_mm3 > 1.0
    }
    worst = max(shared, key=lambda name: shared[name], default="")
    return judge(
        "fan stands clear",
        fan.spec.name,
        shared.get(worst, 0.0),
        1.0,
        sense=Sense.AT_MOST,
        unit="mm3",
        why=f"{fan.spec.name} ({casework.say(fan.kind.thick_mm)} thick, before {fan.board}) and "
        f"{worst} want one place; move the fan (fan.across, fan.up) or what stands there."
        if worst
        else f"Nothing stands where {fan.spec.name} sits.",
        source="common-practice",
        boards=tuple(name for name in (fan.board, worst) if name and name in casework.by_name),
    )


def check_fans(state: Climate, unknown_air: Mapping[int, str]) -> Iterator[Finding]:
    """Working point, intake area and short circuit of each fan that is mounted.

    `unknown_air` says why, by number of the bay, where no figure can be given.
    """
    openings = enumerate(state.network.openings)
    numbers = [number for number, opening in openings if opening.kind is OpeningKind.FAN]
    mounted = [fan for fan in state.casework.fans if fan.body is not None]
    for number, sits in zip(numbers, mounted, strict=True):
        fan = sits.spec
        if fan.bay in unknown_air:
            yield judge(
                "fan has an intake",
                fan.name,
                None,
                100.0 * DELIVERS,
                sense=Sense.AT_LEAST,
                unit="%",
                why=unknown_air[fan.bay],
                source="installers-advice",
            )
            continue
        there, back = state.flows_m3_h[number]
        free, delivers = fan.m3_h, there - back
        yield judge(
            "fan has an intake",
            fan.name,
            round(100.0 * delivers / free),
            100.0 * DELIVERS,
            sense=Sense.AT_LEAST,
            unit="%",
            watch=20.0,
            why=f"{fan.name} moves {delivers:.0f} m³/h of the {free:.0f} m³/h that it moves "
            "freely; give the bay an opening at least as large as the fan, far from it.",
            assumes="the curve of the fan is a parabola between free flow and greatest pressure",
            source="installers-advice",
        )
        yield _intake_area(state, number, sits)
        share = short_circuit(state, number)
        if share is not None:
            yield judge(
                "fan short circuit",
                fan.name,
                round(100.0 * share),
                100.0 * SHORT_CIRCUIT,
                sense=Sense.AT_MOST,
                unit="%",
                watch=10.0,
                why=f"{100 * share:.0f} % of the air that {fan.name} moves passes an opening "
                f"within {state.casework.say(NEAR_MM)} of it and not the gear.",
                source="common-practice",
            )


def _intake_area(state: Climate, number: int, sits: Mounted) -> Finding:
    """The openings of a fan's bay that are far from it, against its own."""
    ways, bay = state.network.openings, sits.spec.bay
    zones = {n for n, _ in state.here.of_bay(bay)}
    far = [
        way
        for way in ways
        if ((way.a in zones) != (way.b in zones))
        and way.kind not in (OpeningKind.FAN, OpeningKind.LEAK)
        and _apart_mm(ways[number], way) >= NEAR_MM
    ]
    own_cm2 = pi / 400 * sits.kind.opening_mm**2
    area_cm2 = round(1e4 * sum(way.area_m2 for way in far))
    what = "comes in" if sits.spec.moves is Moves.OUT else "goes out"
    return judge(
        "fan intake area",
        sits.spec.name,
        area_cm2,
        round(LEAST_SHARE * own_cm2),
        sense=Sense.AT_LEAST,
        unit="cm²",
        watch=(1.0 - LEAST_SHARE) * own_cm2,
        why=f"The air of {sits.spec.name} {what} by {area_cm2} cm² of gaps and openings that are "
        f"{state.casework.say(NEAR_MM)} or more from it; as much as its own opening is the rule, "
        f"{own_cm2:.0f} cm², and under half of that it starves. Low and far from the fan is best.",
        assumes="openings near the fan do not count: their air does not pass the gear",
        source="installers-advice",
    )


def short_circuit(state: Climate, fan: int) -> float | None:
    """Share of the other flow through a fan's zone that passes within NEAR_MM of the fan.

    None where nothing else flows. `fan` numbers an opening of the network.
    """
    ways = state.network.openings
    here = ways[fan]
    zone = next(z for z in (here.a, here.b) if z >= 0 and state.network.zones[z].bay)
    draws = (here.a == zone) == (state.flows_m3_h[fan][0] >= state.flows_m3_h[fan][1])
    near = total = 0.0
    for number, (way, flows) in enumerate(zip(ways, state.flows_m3_h, strict=True)):
        if number == fan or zone not in (way.a, way.b) or way.kind is OpeningKind.LEAK:
            continue
        inward, outward = flows[::-1] if way.a == zone else flows
        moved = inward if draws else outward
        total += moved
        near += moved if _apart_mm(here, way) < NEAR_MM else 0.0
    return near / total if total > 1e-6 else None


def _apart_mm(one: Opening, other: Opening) -> float:
    return float(
        (
            (one.x_mm - other.x_mm) ** 2
            + (one.y_mm - other.y_mm) ** 2
            + (1000 * (one.z_m - other.z_m)) ** 2
        )
        ** 0.5
    )
