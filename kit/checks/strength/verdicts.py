"""The sag of every board against a limit, with the cure where it is too much."""

from collections.abc import Iterator, Mapping

from kit.casework import Casework
from kit.checks.added import holders, lies_on_boards
from kit.checks.loads import Carried, Loads
from kit.checks.strength.carcase import SMALL_SCREWS
from kit.checks.strength.creep import creep_of
from kit.checks.strength.fixes import Tries, fix_for
from kit.checks.strength.joints import is_glued
from kit.checks.strength.layup import board_modulus
from kit.checks.strength.sag import Sag, allowed_mm, sags
from kit.finding import Finding, Sense, judge
from kit.limits import SagLimit

#: Share of the limit that is still to be free, or the board is worth a second look.
WATCH = 0.15
#: A change is looked for at so many boards, those that sag most: each is built and solved anew.
MOST_FIXES = 12
#: So many boards are built anew in all while changes are tried; then the search for them ends.
MOST_BUILT = 1_000
#: Sag that no rule or eye finds, mm.
STILL = 0.02
#: Above this a board would break before it sags, and the figure says nothing, kg.
MOST_KG = 300.0


def check_sag(
    casework: Casework, found: Mapping[str, Sag], carried: Carried, read: Loads
) -> Iterator[Finding]:
    """One finding a board; unknown where something of unknown mass bears on it."""
    missing_of = {
        name: tuple(what for _, what in carried.unknown)
        if name == "bottom"
        else carried.unknown_on(name)
        for name in found
    }
    failing = [name for name, sag in found.items() if sag.used > 1.0 and not missing_of[name]]
    worst = sorted(failing, key=lambda name: -found[name].used)[:MOST_FIXES]
    tries = Tries(MOST_BUILT)
    pressing = any(sag.used > 1.0 - WATCH for sag in found.values())
    closed = _screwed(casework, found, carried) if pressing else {}
    for name, sag in found.items():
        missing = missing_of[name]
        known = not missing
        fix = fix_for(casework, sag, found, read, tries) if name in worst else None
        yield judge(
            "sag",
            name,
            sag.later_mm if known else None,
            sag.allowed_mm,
            sense=Sense.AT_MOST,
            unit="mm",
            watch=max(WATCH * sag.allowed_mm, sag.worst_mm - sag.later_mm),
            why=_why(casework, sag, missing) + _with_backs(casework, sag, closed.get(name)),
            assumes=_assumes(casework, sag, carried),
            source="wood-handbook-9",
            fix=fix,
            boards=(name,),
        )


def check_sag_of_added(casework: Casework, found: Mapping[str, Sag]) -> Iterator[Finding]:
    """Level boards that were added and are not followed, but for what lies flat on others."""
    for name in casework.added:
        board = casework.by_name[name]
        if name in found or board.place.out.axis != 2 or lies_on_boards(casework, board):
            continue
        held = holders(casework, board)
        why = (
            f"{name} is held by {', '.join(held)}, and the kit works the sag out only of boards "
            "that are fastened to an upright between two level boards. Load it and measure."
            if held
            else f"Nothing that the kit knows of holds {name}. Say what holds its ends (a "
            "Fastening to the uprights), or load it and measure."
        )
        yield judge(
            "sag",
            name,
            None,
            None,
            sense=Sense.AT_MOST,
            unit="mm",
            why=why,
            source="computed",
            boards=(name,),
        )


def _why(casework: Casework, sag: Sag, missing: tuple[str, ...]) -> str:
    say = casework.say
    if missing:
        return (
            f"The mass of {' and '.join(missing)} is not known; without it {_told(casework, sag)} "
            f"{say(sag.later_mm)} after years, and {say(sag.allowed_mm)} is allowed. "
            "Give the mass (screen.mass_kg, gear.mass_kg)."
        )
    if sag.worst_mm < STILL:
        return f"{sag.board} is held up all along and does not sag to speak of."
    board = casework.by_name[sag.board]
    e = board_modulus(board, board.place.along.axis if board.turnable else 0)
    low, high = sag.later_mm * e.typical_mpa / e.high_mpa, sag.later_mm * e.typical_mpa / e.low_mpa
    met = [
        other for other in SagLimit if sag.later_mm <= allowed_mm(sag.span_mm, other, free=sag.free)
    ]
    words = (
        f"{_told(casework, sag)} {say(sag.now_mm)} now and {say(sag.later_mm)} after years: "
        f"{say(low)} to {say(high)} by the range of the wood's stiffness, {say(sag.worst_mm)} with "
        "the joints at their least"
    )
    words += f"; of the published limits it keeps {met[0].plain if met else 'none'}."
    if 0 < sag.spare_kg < MOST_KG and sag.board != "bottom":
        words += f" By sag alone it could carry {sag.spare_kg:.0f} kg more, spread evenly."
    return words


def _screwed(casework: Casework, found: Mapping[str, Sag], carried: Carried) -> Mapping[str, Sag]:
    """The sags with the backs on that screws alone hold; none where there are no such backs."""
    held = [f for f in casework.fastenings if f.means in SMALL_SCREWS]
    if all(is_glued((f,)) for f in held):
        return {}
    limit = next(iter(found.values())).limit
    return sags(casework, carried, limit, brief=True, screwed=True).boards


def _with_backs(casework: Casework, sag: Sag, closed: Sag | None) -> str:
    if closed is None or sag.used < 1.0 - WATCH or closed.used > 0.95 * sag.used:
        return ""
    return f" With its screwed backs on it is {casework.say(closed.later_mm)} where it is most."


def _told(casework: Casework, sag: Sag) -> str:
    """What it does and over which stretch: `top sags over 22 in at its rear edge`."""
    say = casework.say
    if not sag.free:
        does = "bows up" if sag.up else "sags"
        return f"{sag.board} {does} over {say(sag.span_mm)} {sag.line.value}"
    left = sag.x0_mm < casework.by_name[sag.board].box.lo[0] + 1.0
    return (
        f"the {'left' if left else 'right'} end of {sag.board}, {say(sag.span_mm)} past the last "
        f"thing that holds it, droops {sag.line.value}"
    )


def _assumes(casework: Casework, sag: Sag, carried: Carried) -> str:
    creep = creep_of(casework.by_name[sag.board].stock.key)
    said = [
        f"creep of {creep.label} {creep.creep_ratio:g} "
        f"({creep.creep_min_ratio:g} to {creep.creep_max_ratio:g})"
    ]
    if sag.warm_k >= 0.5:
        said.append(f"{sag.warm_k:.0f} K warmer than the room above the gear")
    said.append(
        "typical stiffness of the joints, from memory, and their least as the worst; backs that "
        "are only screwed left out; all loads stay on"
    )
    if sag.board == "top" and carried.screen is None:
        said.append("no screen on the top")
    elif sag.board == "top" and carried.screen and carried.screen.feet is None:
        said.append("the feet of the screen 0.6 of its width apart")
    others = [limit for limit in SagLimit if limit is not sag.limit]
    for word, kept in (("keeps", True), ("exceeds", False)):
        names = [
            o.plain
            for o in others
            if (sag.later_mm <= allowed_mm(sag.span_mm, o, free=sag.free)) is kept
        ]
        if names:
            said.append(f"{word} {', '.join(names)}")
    return "; ".join(said)
