"""Will it stay cool? Findings from the solved states of a console."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kit.board import Board
from kit.casework import Casework
from kit.checks.airflow.climate import Climate, Heat, again, climate, unknown_heat
from kit.checks.airflow.fans import check_fans
from kit.checks.airflow.layout import hot_below
from kit.checks.airflow.plume import plume_rise_k
from kit.checks.airflow.sizing import UNCERTAIN, size_fan_m3_h, size_vents
from kit.checks.airflow.solve import NoAnswerError
from kit.checks.airflow.wood import Flow, board_conductivity_w_mk, face_c, u_value_w_m2k
from kit.components.contents import Placed
from kit.finding import Finding, Sense, Status, judge

#: Wood that is warmer than this for years loses strength, °C. From memory.
WOOD_C = 65.0
#: Devices that give off less than this heat no board to speak of, W.
WARM_W = 15.0

ASSUMES = (
    "still air in the room and each bay well mixed; the rise is an estimate, good to about "
    f"{UNCERTAIN * 100:.0f} %; nothing blocks the vents of a device"
)


@dataclass(frozen=True)
class States:
    """All steady states of a console: by heat with the doors shut, and by (heat, bay) open."""

    shut: Mapping[Heat, Climate]
    opened: Mapping[tuple[Heat, int], Climate]


def check_airflow(
    casework: Casework, cable_fill: Mapping[str, float] | None = None
) -> Iterator[Finding]:
    """Intake of each device, the wood above it, the order of the stack, and the fans.

    `cable_fill` is the share of the cable holes of a board that its cables take, by name.
    """
    judged = [placed for placed in casework.gear if _needs(placed)]
    if not judged and not casework.design.fans:
        return
    blind = {heat: unknown_heat(casework, heat) for heat in Heat}
    try:
        states = _states(casework, cable_fill)
    except NoAnswerError as reason:
        for placed in judged:
            yield _unknown(placed, f"The temperature is not known: {reason}.")
        return
    least = _least_tolerant(judged, states)
    for placed in judged:
        yield _intake(placed, states, (Heat.STANDBY, Heat.TYPICAL), blind, placed is least)
    if least is not None:
        yield _intake(least, states, (Heat.PLATE,), blind, True)
    if not blind[Heat.TYPICAL]:
        for placed in judged:
            if (placed.kind.typical_w or 0.0) >= WARM_W:
                yield _wood_above(placed, states.shut[Heat.TYPICAL])
        yield from _stacks(casework, states.shut[Heat.TYPICAL])
    yield from check_fans(states.shut[Heat.TYPICAL])


def _needs(placed: Placed) -> bool:
    """Whether a device has to be judged: it has a limit, or heat, or heat that is not known."""
    heats = [heat.of(placed) for heat in Heat]
    return placed.kind.max_intake_c is not None or any(w is None or w > 0.0 for w in heats)


def _states(casework: Casework, cable_fill: Mapping[str, float] | None) -> States:
    typical = climate(casework, Heat.TYPICAL, cable_fill=cable_fill)
    shut = {heat: typical if heat is Heat.TYPICAL else again(typical, heat) for heat in Heat}
    opened = {}
    here = typical.here
    for bay in casework.bays:
        span = (bay.clear.lo[0], bay.clear.hi[0])
        if here.covered(span) and any(p.bay.number == bay.number for p in casework.gear):
            first = climate(casework, Heat.TYPICAL, open_bay=bay.number, cable_fill=cable_fill)
            for heat in Heat:
                opened[heat, bay.number] = first if heat is Heat.TYPICAL else again(first, heat)
    return States(shut, opened)


def _least_tolerant(judged: list[Placed], states: States) -> Placed | None:
    """The device that comes nearest to its limit, or farthest past it, in use."""
    limited = [p for p in judged if p.kind.max_intake_c is not None]
    typical = states.shut[Heat.TYPICAL]
    return min(
        limited, key=lambda p: (p.kind.max_intake_c or 0.0) - typical.intake_c(p), default=None
    )


def _intake(
    placed: Placed,
    states: States,
    heats: tuple[Heat, ...],
    blind: Mapping[Heat, tuple[str, ...]],
    least: bool,
) -> Finding:
    name, limit_c = placed.item.name, placed.kind.max_intake_c
    plate = heats == (Heat.PLATE,)
    check = "intake air at plate load" if plate else "intake air"
    unknown = dict.fromkeys(n for heat in heats for n in blind[heat])
    if unknown:
        names = " and ".join(unknown)
        return _unknown(placed, f"The heat of {names} is not known; find it on the plate.", check)
    if limit_c is None:
        why = f"How warm the air may be that {name} draws in is not known; see its manual."
        return _unknown(placed, why, check)
    heat = max(heats, key=lambda h: states.shut[h].intake_c(placed))
    state = states.shut[heat]
    intake_c, room_c = state.intake_c(placed), state.room_c
    rise_k = intake_c - room_c
    doors = states.opened.get((heat, placed.bay.number))
    said = "with the doors shut" if doors else "as it stands"
    why = (
        f"{name} draws in air of {intake_c:.1f} °C {heat.value}, {said}, "
        f"with {room_c:g} °C in the room; it bears {limit_c:g} °C"
    )
    why += ", and is the least tolerant device here." if least else "."
    if doors:
        open_c = doors.intake_c(placed)
        why += f" With the doors slid away from {placed.bay.name} it is {open_c:.1f} °C."
        if intake_c > limit_c >= open_c:
            why += " That is a condition of use: open the doors before switching on."
    if intake_c > limit_c and states.shut[Heat.STANDBY].intake_c(placed) > limit_c:
        why += " Standby alone is too warm, day and night."
    if intake_c > limit_c:
        why += _cure(state, placed, limit_c)
    return judge(
        check,
        name,
        intake_c,
        limit_c,
        sense=Sense.AT_MOST,
        unit="°C",
        watch=UNCERTAIN * rise_k,
        why=why,
        assumes=ASSUMES,
        source="stack-effect",
        boards=_round(placed),
    )


def _cure(state: Climate, placed: Placed, limit_c: float) -> str:
    """What would bring it under its limit, from the same model."""
    try:
        vents = size_vents(state, placed, limit_c)
        fan = size_fan_m3_h(state, placed, limit_c)
    except NoAnswerError:
        return ""
    ways = []
    if vents.each_mm2 is not None:
        ways.append(
            f"a vent of {vents.each_mm2 / 100:.0f} cm² free low and one as large high at its back "
            f"({vents.holes} holes of 60 mm each)"
        )
    if fan is not None:
        ways.append(f"a fan of {fan:.0f} m³/h free flow drawing air out")
    if not ways:
        return " Neither vents nor a small fan at its back are enough; move it to an open bay."
    return f" What would do: {', or '.join(ways)}."


def _wood_above(placed: Placed, state: Climate) -> Finding:
    """Temperature of the underside of the board above a device."""
    board = _above(state, placed)
    zone = state.here.holding(placed)
    air_c = state.air_c[zone]
    watts = placed.kind.typical_w or 0.0
    w, d, _ = placed.body.size
    gap_m = max(placed.space.hi[2] - placed.body.hi[2], 0.0) / 1000
    plume_c = air_c + plume_rise_k(watts, (w * d) ** 0.5 / 1000, gap_m, air_c)
    beyond_c = state.room_c
    for link in state.network.links:
        if link.board == board.name and zone in (link.a, link.b):
            other = link.b if link.a == zone else link.a
            beyond_c = state.room_c if other < 0 else state.air_c[other]
    k = board_conductivity_w_mk(board.stock.density_kg_m3)
    u = u_value_w_m2k(board.thickness / 1000, k, Flow.UP)
    wood_c = face_c(plume_c, beyond_c, u, Flow.UP)
    return judge(
        "wood above a device",
        f"{board.name} above {placed.item.name}",
        wood_c,
        WOOD_C,
        sense=Sense.AT_MOST,
        unit="°C",
        watch=UNCERTAIN * (wood_c - state.room_c),
        why=f"The underside of {board.name} reaches about {wood_c:.0f} °C over "
        f"{placed.item.name} ({watts:g} W); wood that stays above {WOOD_C:g} °C loses strength.",
        assumes="a plume from the middle of the device; an upper estimate",
        source="memory",
        boards=(board.name,),
    )


def _above(state: Climate, placed: Placed) -> Board:
    """The board over a device: the lowest shelf that is higher, else the top."""
    casework = state.casework
    z = placed.space.hi[2]
    shelves = [
        board
        for board in casework.boards
        if board.name.startswith("shelf-")
        and not board.name.endswith("lipping")
        and abs(board.box.lo[2] - z) < 1.0
        and board.box.lo[0] < placed.body.centre[0] < board.box.hi[0]
    ]
    return shelves[0] if shelves else casework.by_name["top"]


def _stacks(casework: Casework, typical: Climate) -> Iterator[Finding]:
    for hot, tender in hot_below(casework.gear):
        limit_c = tender.kind.max_intake_c
        assert limit_c is not None
        without_c = again(typical, Heat.TYPICAL, without=hot).intake_c(tender)
        added_k = typical.intake_c(tender) - without_c
        yield judge(
            "hot gear below",
            f"{hot.item.name} below {tender.item.name}",
            added_k,
            limit_c - without_c,
            sense=Sense.AT_MOST,
            unit="K",
            watch=UNCERTAIN * (typical.intake_c(tender) - typical.room_c),
            why=f"{hot.item.name} warms the air of {tender.item.name} by {added_k:.1f} K of the "
            f"{limit_c - without_c:.1f} K that it has to spare; hottest on top, or apart.",
            assumes=ASSUMES,
            source="stack-effect",
        )


def _unknown(placed: Placed, why: str, check: str = "intake air") -> Finding:
    finding = judge(
        check,
        placed.item.name,
        None,
        placed.kind.max_intake_c,
        sense=Sense.AT_MOST,
        unit="°C",
        why=why,
        assumes=ASSUMES,
        source="stack-effect",
        boards=_round(placed),
    )
    assert finding.status is Status.UNKNOWN
    return finding


def _round(placed: Placed) -> tuple[str, ...]:
    return (placed.bay.left.name, placed.bay.right.name)
