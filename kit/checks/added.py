"""Boards that the maker added: what geometry cannot judge of them is unknown, once a question.

What such a board is for, the kit does not know. Where it stands and what it is joined to, it does.
"""

from collections.abc import Iterator

from kit.board import Board
from kit.casework import Casework
from kit.components.made import Means
from kit.finding import Finding, Sense, judge
from kit.geometry import Box

#: A board that covers more of the front of a bay than this share may be a door.
A_FRONT = 0.5


def check_added(casework: Casework) -> Iterator[Finding]:
    """Whether each board that was added is held, and whether one before a bay can be opened."""
    for name in casework.added:
        board = casework.by_name[name]
        if not holders(casework, board):
            yield _unknown(
                "board is held",
                board,
                f"No fastening and no groove holds {name}, as far as the kit knows: say what holds "
                "it (a Fastening of what is added), or take it as loose.",
            )
        bays = _before(casework, board)
        if bays and not _glued(casework, board):
            yield _unknown(
                "front can be opened",
                board,
                f"{name} stands before {bays}. Whether it is a door, how it opens and what hangs "
                "it the kit does not know, and judges the air as if it stayed where it is: try it "
                "in the dry-fitted case, or say that it is glued on.",
            )


def holders(casework: Casework, board: Board) -> tuple[str, ...]:
    """Names of the boards that a board is fastened to, or shares a groove with."""
    found = {
        name: None
        for fastening in casework.fastenings
        if board.name in (together := (fastening.board, *fastening.to.split(", ")))
        for name in together
    }
    housed = (b.name for b in casework.boards if board.box.common(b.box) is not None)
    return tuple(name for name in (*found, *housed) if name != board.name)


def lies_on_boards(casework: Casework, board: Board) -> bool:
    """Whether all of the underside of a board lies on others."""
    (x0, y0, z), (x1, y1, _) = board.box.lo, board.box.hi
    rest: tuple[Box, ...] = (Box((x0, y0, z - 1.0), (x1, y1, z - 0.5)),)
    for other in casework.boards:
        if abs(other.box.hi[2] - z) < 0.5:
            rest = tuple(piece for box in rest for piece in box.less(_down(other.box)))
    return not rest


def _down(box: Box) -> Box:
    (x0, y0, z0), (x1, y1, z1) = box.lo, box.hi
    return Box((x0, y0, z0 - 2.0), (x1, y1, z1))


def _before(casework: Casework, board: Board) -> str:
    """The bays of which a board covers most of the front, as printed; empty where none."""
    if board.place.out.axis != 1:
        return ""
    named = []
    for bay in casework.bays:
        (x0, y, z0), (x1, _, z1) = bay.clear.lo, bay.clear.hi
        (a0, _, c0), (a1, near, c1) = board.box.lo, board.box.hi
        wide, high = min(x1, a1) - max(x0, a0), min(z1, c1) - max(z0, c0)
        covers = max(wide, 0.0) * max(high, 0.0)
        if near <= y + 0.5 and covers > A_FRONT * (x1 - x0) * (z1 - z0):
            named.append(bay.name)
    return " and ".join(named)


def _glued(casework: Casework, board: Board) -> bool:
    return any(
        f.means is Means.GLUE and board.name in (f.board, *f.to.split(", "))
        for f in casework.fastenings
    )


def _unknown(check: str, board: Board, why: str) -> Finding:
    return judge(
        check,
        board.name,
        None,
        None,
        sense=Sense.AT_LEAST,
        unit="holders" if check == "board is held" else "ways",
        why=why,
        source="computed",
        boards=(board.name,),
    )
