"""Fans at their working point: do they get air, and does it pass the gear?"""

from collections.abc import Iterator

from kit.checks.airflow.climates import Climate
from kit.checks.airflow.network import Opening, OpeningKind
from kit.finding import Finding, Sense, judge

#: A fan that delivers less than this share of its free flow lacks an intake. From memory:
#: small fans are chosen at about half their free flow.
DELIVERS = 0.5
#: Air that comes in nearer to a fan than this does not pass the gear, mm. Common practice.
NEAR_MM = 200.0
#: As much of its air a fan may take so near. Common practice, no source.
SHORT_CIRCUIT = 0.3


def check_fans(state: Climate) -> Iterator[Finding]:
    """Working point and short circuit of each fan of the design."""
    openings = enumerate(state.network.openings)
    numbers = [number for number, opening in openings if opening.kind is OpeningKind.FAN]
    for number, fan in zip(numbers, state.casework.design.fans, strict=True):
        there, back = state.flows_m3_h[number]
        free, delivers = fan.m3_h, there - back
        yield judge(
            "fan has an intake",
            fan.name,
            100.0 * delivers / free,
            100.0 * DELIVERS,
            sense=Sense.AT_LEAST,
            unit="%",
            watch=20.0,
            why=f"{fan.name} moves {delivers:.1f} m³/h of the {free:.0f} m³/h that it moves "
            "freely; give the bay an opening at least as large as the fan, far from it.",
            assumes="the curve of the fan is a parabola between free flow and greatest pressure",
            source="installers-advice",
        )
        share = short_circuit(state, number)
        if share is not None:
            yield judge(
                "fan short circuit",
                fan.name,
                100.0 * share,
                100.0 * SHORT_CIRCUIT,
                sense=Sense.AT_MOST,
                unit="%",
                watch=10.0,
                why=f"{100 * share:.0f} % of the air that {fan.name} moves passes an opening "
                f"within {state.casework.say(NEAR_MM)} of it and not the gear.",
                source="common-practice",
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
