"""The steps that stand the piece: level in the shop, then to its place, anchored, and the screen.

Nothing is cut to a case that is not level, and nothing stands in or on it before it is anchored.
"""

from collections.abc import Iterable, Iterator

from kit.board import Board
from kit.checks.loads import feet_middles, feet_span, screen_of
from kit.checks.stability.anchor import ANCHOR_IN
from kit.checks.stability.levelling import lifts_mm
from kit.checks.stability.states import feet
from kit.components.cables import OUTLET
from kit.hardware import piece
from kit.making.buy_list.row import ANCHOR, ANCHORS, SCREEN_STRAP, SCREEN_STRAP_LABEL, SHIMS
from kit.making.steps.roles import Roles
from kit.making.steps.step import LIFT, MAINS, TIP, WALL, Phase, Step, step
from kit.making.steps.words import Words
from kit.routes import Route, routes


def stand_level(w: Words, roles: Roles) -> Iterator[Step]:
    """The glued case level and untwisted before anything is cut to it; nothing where nothing is."""
    to_fit = (*roles.doors, *roles.late_backs)
    if not to_fit:
        return
    yield step(
        Phase.LEVEL,
        "Stand the case level",
        [
            "Stand it where you work and shim under it until a level lies true on the top both "
            "ways: a case that stands twisted is measured twisted.",
            w.square(),
            f"Leave it so until these are cut to fit: {w.named(to_fit)}.",
        ],
        items=[SHIMS],
        cautions=[w.heavy("The case", (*roles.glued_up, *roles.base))],
        gate=True,
    )


def carry_in(w: Words, roles: Roles) -> Step:
    """To its place, light, and everything done for which one has to get behind it."""
    left_out = (*roles.doors, *roles.loose, *roles.lippings(roles.loose))
    carried = _without(w.casework.boards, left_out)
    lines = [
        "Find two studs, or sound masonry, behind where it goes, one near each end, and mark them.",
        "Carry it in"
        + (f" without {w.named(left_out)}" if left_out else "")
        + ", and stand it out from the wall, far enough to get behind it.",
        f"Fix {ANCHORS} x {piece(ANCHOR).label}: one end to the stud, the other to the rear of the "
        f"top, {w.say(ANCHOR_IN)} from each end or in line with the nearest stud; follow the "
        "strap's own instructions.",
        "A screw of the strap into the case must be shorter than the board is thick "
        f"({w.exactly(w.casework.frame.top.stock.thickness_min_mm)}).",
    ]
    behind = [route for route in routes(w.casework) if route.passes_behind]
    if behind:
        lines.append(
            "Draw these cables through while you can get behind it, smaller plug first, and leave "
            f"their ends in the bays: {_told(behind)}."
        )
    hidden = _behind_for_good(w)
    if hidden:
        lines.append(
            f"The outlet is behind the case: plug {_told(hidden)} in at the wall before the case "
            "goes back, with nothing yet connected to it."
        )
    return step(
        Phase.PLACE,
        "Carry it to its place",
        lines,
        items=[ANCHOR],
        cautions=[w.heavy("What is carried", carried), WALL, *([MAINS] if hidden else [])],
    )


def anchor(w: Words) -> Step:
    """Level, and to the wall, always; before anything stands in it or on it."""
    room = w.casework.design.room
    lines = [
        f"Set it back until its rear is {w.say(room.wall_gap)} from the wall; trap no cable.",
    ]
    level = "until a level lies true on the top both ways"
    if room.hangs_at is None:
        lines.append(f"Shim under it {level}; a corner may want up to {w.say(max(_lifts(w)))}.")
    else:
        lines.append(f"Pack it off the wall {level}.")
    lines += [
        w.square(),
        "Draw the straps tight, then pull at the top: it must not come away from the wall.",
    ]
    return step(
        Phase.ANCHOR,
        "Level it and anchor it to the wall",
        lines,
        items=[SHIMS],
        cautions=[LIFT, TIP],
        gate=True,
    )


def set_screen(w: Words) -> Iterator[Step]:
    """The screen that stands on the case: where, how, and tied by its own strap."""
    screen = screen_of(w.casework)
    if screen is None:
        return
    front, _ = feet_span(w.casework, screen)
    if screen.feet is None:
        across = "the middle of the screen over the middle of the top"
    else:
        left, right = feet_middles(w.casework, screen)
        across = (
            f"the middle of one foot {w.say(left)} from the left side, of the other {w.say(right)}"
        )
    kg = screen.mass_kg
    carry = "Two people set" if kg is None else f"It weighs {kg:.0f} kg: {w.people(kg)} people set"
    yield step(
        Phase.SCREEN,
        "Set the screen on the top",
        [
            f"Mark with tape on the top where its feet belong: {across}, their fronts "
            f"{w.say(front)} behind the front edge.",
            f"{carry} it down on the marks; hold it by its frame, never by the picture.",
            f"Fix 1 x {SCREEN_STRAP_LABEL} between its rear and the wall, as its maker says, "
            "before you leave it. Then connect its cables.",
        ],
        items=[SCREEN_STRAP],
        cautions=[TIP],
    )


def _lifts(w: Words) -> Iterable[float]:
    width, depth, _ = feet(w.casework).size
    return lifts_mm(width, depth, w.casework.design.limits.floor_fall_mm_per_m).values()


def _behind_for_good(w: Words) -> list[Route]:
    """The leads to outlets that nobody reaches once the case stands at the wall."""
    case, room = w.casework.design.case, w.casework.design.room
    high = w.casework.frame.top.box.hi[2] - feet(w.casework).lo[2]
    hidden = all(0 <= row.across <= case.width and row.up <= high for row in room.outlets)
    return [route for route in routes(w.casework) if route.run.end == OUTLET and hidden]


def _told(laid: Iterable[Route]) -> str:
    return ", ".join(f"{route.number} ({route.run.start} to {route.run.end})" for route in laid)


def _without(boards: Iterable[Board], others: Iterable[Board]) -> tuple[Board, ...]:
    names = {board.name for board in others}
    return tuple(board for board in boards if board.name not in names)
