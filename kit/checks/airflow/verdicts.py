"""Will it stay cool? Findings from the solved states of a console.

A device has to bear its air with the doors shut: in use, on standby, and at the upper bound that
its rating plate gives. Every other place of the doors is looked at, too, and one that makes it too
warm is a condition of use, which is told.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from kit.casework import Casework
from kit.checks.airflow.climates import (
    HANDED_ON,
    Climate,
    Heat,
    again,
    own_heat_w,
    unknown_heat,
)
from kit.checks.airflow.fans import check_fans, check_mounting
from kit.checks.airflow.layout import check_recirculation, hot_below
from kit.checks.airflow.sizing import UNCERTAIN, quick_rules, size_fan_m3_h, size_vents
from kit.checks.airflow.solve import MOST_K, NoAnswerError, TooHotError
from kit.checks.airflow.states import SHUT, DoorsAt, States, states
from kit.checks.airflow.surface import wood_above
from kit.checks.airflow.told import in_words, told_c
from kit.components.contents import Placed
from kit.finding import Finding, Sense, Status, judge

#: Devices that give off less than this heat no board to speak of, W.
WARM_W = 15.0

PLATE = "intake air at plate load"
ASSUMES = (
    "still air in the room and each bay well mixed; the rise is an estimate, good to about "
    f"{UNCERTAIN * 100:.0f} %; nothing blocks the vents of a device"
)
ASSUMES_PLATE = (
    f"{ASSUMES}; an adaptor keeps {1 - HANDED_ON:.0%} of its plate's power as heat and hands on "
    "the rest, where a cable of the design says to what"
)


def check_airflow(
    casework: Casework, cable_fill: Mapping[str, float] | None = None
) -> Iterator[Finding]:
    """Intake of each device, the wood above it, the order of the stack, and the fans.

    `cable_fill` is the share of the cable holes of a board that its cables take, by name.
    """
    yield from check_mounting(casework)
    judged = [placed for placed in casework.inside if _needs(casework, placed)]
    if not judged and not casework.design.fans:
        return
    solved = states(casework, cable_fill)
    yield from _parted([p for p in judged if p.within.number in solved.unknown_air], solved)
    judged = [p for p in judged if p.within.number not in solved.unknown_air]
    shut = _answer(solved, Heat.TYPICAL)
    typical = shut if isinstance(shut, Climate) else None
    least = least_tolerant(judged, typical)
    for placed in judged:
        of_bay = [other for other in judged if other.bay is placed.bay]
        yield _in_use(
            placed,
            solved,
            least=placed is least,
            cure=placed is least_tolerant(of_bay, typical),  # what cures it cures its bay
        )
    yield from _at_plate_load([p for p in judged if p.kind.max_intake_c is not None], solved)
    yield from check_recirculation(casework.inside)
    if typical is None:
        return
    if not unknown_heat(casework, Heat.TYPICAL):
        yield from _wood(judged, solved)
        yield from _stacks(casework, typical, solved.unknown_air)
    yield from check_fans(typical, solved.unknown_air)


def _parted(judged: Sequence[Placed], solved: States) -> Iterator[Finding]:
    """The devices of bays whose air is not known."""
    for number, why in solved.unknown_air.items():
        of_bay = [placed for placed in judged if placed.within.number == number]
        for placed in of_bay:
            yield _unknown(placed, why, "intake air")
        limited = [placed for placed in of_bay if placed.kind.max_intake_c is not None]
        if limited:
            yield _unknown(limited[0], why, PLATE, subject=_listed([p.item.name for p in limited]))


def _needs(casework: Casework, placed: Placed) -> bool:
    """Whether a device has to be judged: it has a limit, or heat, or heat that is not known."""
    heats = [own_heat_w(casework, placed, heat) for heat in Heat]
    return placed.kind.max_intake_c is not None or any(w is None or w > 0.0 for w in heats)


def least_tolerant(judged: Sequence[Placed], typical: Climate | None) -> Placed | None:
    """The device that comes nearest to its limit, or farthest past it, in use."""

    def spare_k(placed: Placed) -> float:
        intake_c = typical.intake_c(placed) if typical else 0.0
        return (placed.kind.max_intake_c or 0.0) - intake_c

    limited = [p for p in judged if p.kind.max_intake_c is not None]
    return min(limited, key=spare_k, default=None)


def _answer(solved: States, heat: Heat, doors: DoorsAt = SHUT) -> Climate | NoAnswerError:
    """A state, or why there is none."""
    try:
        return solved.at(heat, doors)
    except NoAnswerError as reason:
        return reason


@dataclass(frozen=True)
class _Drawn:
    """What a device draws in at one heat, °C as told: with the doors shut, and at most.

    `shut` is the state with the doors shut, `slid` where they make it warmest.
    """

    shut: Climate
    shut_c: float
    most_c: float
    slid: DoorsAt

    @property
    def heat(self) -> Heat:
        """How much the gear works."""
        return self.shut.heat


def _drawn(placed: Placed, solved: States, heat: Heat) -> _Drawn:
    """The device at one heat. Raises NoAnswerError where the state with the doors shut is lost, or
    another of the doors that is not past every formula."""
    shut = solved.at(heat)
    told = told_c(shut.intake_c(placed))
    drawn = _Drawn(shut, told, told, SHUT)
    for doors in solved.before:
        answer = _answer(solved, heat, doors)
        if isinstance(answer, TooHotError):
            intake_c = told_c(shut.room_c + MOST_K)
        elif isinstance(answer, NoAnswerError):
            raise answer
        else:
            intake_c = told_c(answer.intake_c(placed))
        if intake_c > drawn.most_c:
            drawn = replace(drawn, most_c=intake_c, slid=doors)
    return drawn


def _judged(check: str, placed: Placed, drawn: _Drawn, *more: str, assumes: str) -> Finding:
    """One device: it has to bear the doors as they are shut, and a door that makes it too warm is a
    condition of use, worth a second look. `more` is said of it before."""
    name, limit_c, room_c = placed.item.name, placed.kind.max_intake_c, drawn.shut.room_c
    assert limit_c is not None
    where = " with the doors shut" if drawn.shut.here.doors else ""
    said = [
        f"{name} draws in air of {in_words(drawn.shut_c)} {drawn.heat.value}{where}, with "
        f"{room_c:g} °C in the room; it bears {limit_c:g} °C{''.join(more[:1])}.",
        *more[1:],
    ]
    slid_k = 0.0
    if drawn.shut_c <= limit_c < drawn.most_c:
        slid_k = drawn.most_c - drawn.shut_c
        said.append(
            f"With the doors before bay {drawn.slid.bay} it would be {in_words(drawn.most_c)}: "
            "leave none there."
        )
    return judge(
        check,
        name,
        drawn.shut_c,
        limit_c,
        sense=Sense.AT_MOST,
        unit="°C",
        watch=max(UNCERTAIN * (drawn.shut_c - room_c), slid_k),
        why=" ".join(said),
        assumes=assumes,
        source="stack-effect",
        boards=_round(placed),
    )


def _in_use(placed: Placed, solved: States, *, least: bool, cure: bool) -> Finding:
    """What a device draws in for hours."""
    check, name, limit_c = "intake air", placed.item.name, placed.kind.max_intake_c
    casework = solved.casework
    blind = [n for h in (Heat.STANDBY, Heat.TYPICAL) for n in unknown_heat(casework, h)]
    if blind:
        names = " and ".join(dict.fromkeys(blind))
        return _unknown(placed, f"The heat of {names} is not known; find it on the plate.", check)
    if limit_c is None:
        why = f"How warm the air may be that {name} draws in is not known; see its manual."
        return _unknown(placed, why, check)
    try:
        drawn = max((_drawn(placed, solved, h) for h in solved.heats), key=lambda d: d.shut_c)
    except NoAnswerError as reason:
        return _no_answer(placed, reason, casework.design.room.air_c, check)
    more = [", and is the least tolerant device here" if least else ""]
    if drawn.shut_c > limit_c:
        if _too_warm_on_standby(placed, solved, limit_c):
            more.append("Standby alone is too warm, day and night.")
        if cure and (ways := _cure(drawn.shut, placed, limit_c)):
            more.append(ways)
    return _judged(check, placed, drawn, *more, assumes=ASSUMES)


def _too_warm_on_standby(placed: Placed, solved: States, limit_c: float) -> bool:
    standby = _answer(solved, Heat.STANDBY)
    return isinstance(standby, Climate) and standby.intake_c(placed) > limit_c


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
        return "Neither vents nor a small fan at its back are enough; move it to an open bay."
    notices = " ".join(rule.notice for rule in quick_rules(state, placed) if rule.notice)
    return f"What would do: {', or '.join(ways)}. {notices}".rstrip()


def _at_plate_load(limited: Sequence[Placed], solved: States) -> Iterator[Finding]:
    """Every device with a limit, those that stand alike in one bay in one finding."""
    casework = solved.casework
    if not limited:
        return
    blind = unknown_heat(casework, Heat.PLATE)
    if blind:
        names = " and ".join(blind)
        why = f"What {names} draws at most is not known: it is on the rating plate (gear.plate_w)."
        yield _unknown(limited[0], why, PLATE, subject=_listed(blind))
        return
    try:
        drawn = [(placed, _drawn(placed, solved, Heat.PLATE)) for placed in limited]
    except NoAnswerError as reason:
        hottest = max(limited, key=lambda p: own_heat_w(casework, p, Heat.PLATE) or 0.0)
        yield _no_answer(hottest, reason, casework.design.room.air_c, PLATE)
        return
    alike: dict[tuple[int, Status], list[tuple[Placed, Finding]]] = {}
    for placed, told in drawn:
        finding = _judged(PLATE, placed, told, assumes=ASSUMES_PLATE)
        alike.setdefault((placed.within.number, finding.status), []).append((placed, finding))
    for rows in alike.values():
        yield _grouped(rows, solved)


def _grouped(rows: Sequence[tuple[Placed, Finding]], solved: States) -> Finding:
    """The findings of devices that stand alike in one bay as one: that of the device with least to
    spare, with the others named."""
    in_turn = sorted(rows, key=lambda row: row[1].margin or 0.0)
    (placed, worst), others = in_turn[0], in_turn[1:]
    why = worst.why
    if others:
        told = (
            f"{p.item.name} {in_words(f.measured or 0.0)} of {p.kind.max_intake_c:g} °C"
            for p, f in others
        )
        why += f" So with {', '.join(told)}."
    if worst.status is Status.WATCH:
        why += _relief(placed, solved)
    return replace(worst, subject=_listed([p.item.name for p, _ in in_turn]), why=why)


def _relief(placed: Placed, solved: States) -> str:
    """What it is with the doors slid away from its bay, where that makes no device too warm."""
    clear = DoorsAt(placed.within.number)
    state = _answer(solved, Heat.PLATE, clear)
    if not isinstance(state, Climate) or not _well(state):
        return ""
    now_c, clear_c = (told_c(s.intake_c(placed)) for s in (solved.at(Heat.PLATE), state))
    if clear_c >= now_c:
        return ""
    return f" With the doors slid away from {placed.within.name} it is {in_words(clear_c)}."


def _well(state: Climate) -> bool:
    """Whether every device bears it."""
    return all(
        placed.kind.max_intake_c is None
        or told_c(state.intake_c(placed)) <= placed.kind.max_intake_c
        for placed in state.casework.inside
    )


def _wood(judged: Iterable[Placed], solved: States) -> Iterator[Finding]:
    """The board above each device that gives off heat, in use and at plate load."""
    plate_known = not unknown_heat(solved.casework, Heat.PLATE)
    for placed in judged:
        at: list[tuple[Climate, float]] = []
        for heat in (Heat.TYPICAL, Heat.PLATE)[: 1 + plate_known]:
            watts = own_heat_w(solved.casework, placed, heat) or 0.0
            if watts < WARM_W or not isinstance(_answer(solved, heat), Climate):
                continue
            found = (_answer(solved, heat, doors) for doors in (SHUT, *solved.before))
            at += [(state, watts) for state in found if isinstance(state, Climate)]
        if at:
            yield wood_above(placed, at)


def _stacks(
    casework: Casework, typical: Climate, unknown_air: Mapping[int, str]
) -> Iterator[Finding]:
    for hot, tender in hot_below(casework.inside):
        if tender.within.number in unknown_air:
            continue
        limit_c = tender.kind.max_intake_c
        assert limit_c is not None
        without_c = again(typical, Heat.TYPICAL, without=hot).intake_c(tender)
        added_k = round(typical.intake_c(tender) - without_c)
        spare_k = round(limit_c - without_c)
        yield judge(
            "hot gear below",
            f"{hot.item.name} below {tender.item.name}",
            added_k,
            spare_k,
            sense=Sense.AT_MOST,
            unit="K",
            watch=UNCERTAIN * (typical.intake_c(tender) - typical.room_c),
            why=f"{hot.item.name} warms the air of {tender.item.name} by {added_k} K of the "
            f"{spare_k} K that it has to spare; hottest on top, or apart.",
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
        told_c(room_c + MOST_K),
        placed.kind.max_intake_c,
        sense=Sense.AT_MOST,
        unit="°C",
        why=f"{placed.item.name} is shut in: {reason}. Give its bay openings.",
        assumes=ASSUMES,
        source="stack-effect",
        boards=_round(placed),
    )


def _unknown(placed: Placed, why: str, check: str, subject: str | None = None) -> Finding:
    finding = judge(
        check,
        subject or placed.item.name,
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


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names)


def _round(placed: Placed) -> tuple[str, ...]:
    return (placed.within.left.name, placed.within.right.name)
