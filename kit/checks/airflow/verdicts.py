"""Will it stay cool? Findings from the solved states of a console."""

from collections.abc import Iterator, Mapping, Sequence

from kit.casework import Casework
from kit.checks.airflow.climates import Climate, Heat, again, unknown_heat
from kit.checks.airflow.fans import check_fans
from kit.checks.airflow.layout import check_recirculation, hot_below
from kit.checks.airflow.sizing import UNCERTAIN, quick_rules, size_fan_m3_h, size_vents
from kit.checks.airflow.solve import MOST_K, NoAnswerError, TooHotError
from kit.checks.airflow.states import States, solve_states
from kit.checks.airflow.surface import wood_above
from kit.components.contents import Placed
from kit.finding import Finding, Sense, Status, judge

#: Devices that give off less than this heat no board to speak of, W.
WARM_W = 15.0

ASSUMES = (
    "still air in the room and each bay well mixed; the rise is an estimate, good to about "
    f"{UNCERTAIN * 100:.0f} %; nothing blocks the vents of a device"
)


def check_airflow(
    casework: Casework, cable_fill: Mapping[str, float] | None = None
) -> Iterator[Finding]:
    """Intake of each device, the wood above it, the order of the stack, and the fans.

    `cable_fill` is the share of the cable holes of a board that its cables take, by name.
    """
    judged = [placed for placed in casework.inside if _needs(placed)]
    if not judged and not casework.design.fans:
        return
    blind = {heat: unknown_heat(casework, heat) for heat in Heat}
    states = solve_states(casework, cable_fill)
    typical = states.shut.get(Heat.TYPICAL)
    least, room_c = least_tolerant(judged, typical), casework.design.room.air_c
    for placed in judged:
        of_bay = [other for other in judged if other.bay is placed.bay]
        yield _intake(
            placed,
            states,
            (Heat.STANDBY, Heat.TYPICAL),
            blind,
            room_c,
            least=placed is least,
            cure=placed is least_tolerant(of_bay, typical),  # what cures it cures its bay
        )
    if least is not None:
        yield _intake(least, states, (Heat.PLATE,), blind, room_c, least=True, cure=False)
    yield from check_recirculation(casework.inside)
    if typical is None:
        return
    if not blind[Heat.TYPICAL]:
        for placed in judged:
            if (placed.kind.typical_w or 0.0) >= WARM_W:
                yield wood_above(placed, typical)
        yield from _stacks(casework, typical)
    yield from check_fans(typical)


def _needs(placed: Placed) -> bool:
    """Whether a device has to be judged: it has a limit, or heat, or heat that is not known."""
    heats = [heat.of(placed) for heat in Heat]
    return placed.kind.max_intake_c is not None or any(w is None or w > 0.0 for w in heats)


def least_tolerant(judged: Sequence[Placed], typical: Climate | None) -> Placed | None:
    """The device that comes nearest to its limit, or farthest past it, in use."""

    def spare_k(placed: Placed) -> float:
        intake_c = typical.intake_c(placed) if typical else 0.0
        return (placed.kind.max_intake_c or 0.0) - intake_c

    limited = [p for p in judged if p.kind.max_intake_c is not None]
    return min(limited, key=spare_k, default=None)


def _intake(
    placed: Placed,
    states: States,
    heats: tuple[Heat, ...],
    blind: Mapping[Heat, tuple[str, ...]],
    room_c: float,
    *,
    least: bool,
    cure: bool,
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
    lost = [states.lost[heat] for heat in heats if heat in states.lost]
    if lost:
        return _no_answer(placed, lost[0], room_c, check)
    heat = max(heats, key=lambda h: states.shut[h].intake_c(placed))
    state = states.shut[heat]
    intake_c = state.intake_c(placed)
    rise_k = intake_c - room_c
    doors = states.opened.get((heat, placed.within.number))
    said = "with the doors shut" if doors else "as it stands"
    why = (
        f"{name} draws in air of {intake_c:.1f} °C {heat.value}, {said}, "
        f"with {room_c:g} °C in the room; it bears {limit_c:g} °C"
    )
    why += ", and is the least tolerant device here." if least else "."
    if doors:
        open_c = doors.intake_c(placed)
        why += f" With the doors slid away from {placed.within.name} it is {open_c:.1f} °C."
        if intake_c > limit_c >= open_c:
            why += " That is a condition of use: open the doors before switching on."
    standby = states.shut.get(Heat.STANDBY)
    if standby is not None and standby.intake_c(placed) > limit_c:
        why += " Standby alone is too warm, day and night."
    if intake_c > limit_c and cure:
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
    notices = " ".join(rule.notice for rule in quick_rules(state, placed) if rule.notice)
    return f" What would do: {', or '.join(ways)}. {notices}".rstrip()


def _stacks(casework: Casework, typical: Climate) -> Iterator[Finding]:
    for hot, tender in hot_below(casework.inside):
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


def _no_answer(placed: Placed, reason: NoAnswerError, room_c: float, check: str) -> Finding:
    """Unknown with the reason; but air that is past every formula is known to be too warm."""
    if not isinstance(reason, TooHotError):
        return _unknown(placed, f"The temperature is not known: {reason}.", check)
    return judge(
        check,
        placed.item.name,
        room_c + MOST_K,
        placed.kind.max_intake_c,
        sense=Sense.AT_MOST,
        unit="°C",
        why=f"{placed.item.name} is shut in: {reason}. Give its bay openings.",
        assumes=ASSUMES,
        source="stack-effect",
        boards=_round(placed),
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
    return (placed.within.left.name, placed.within.right.name)
