"""From a board to its solid.

A board is built in axes of its own as a blank with its holes set in, less all its other
cutters in one boolean; boards that are alike share one solid, and a solid is put in its place
by a location, never by moving its numbers.
"""

from functools import lru_cache

import cadquery as cq

from kit.board import Board
from kit.errors import SolidError
from kit.geometry import Cutter, Vec
from kit.solid.inlay import blank_with
from kit.solid.tools import tool
from kit.solid.turn import KEPT, snapped, turned, unit, vec


def solid(board: Board) -> cq.Solid:
    """The board in axes of its own; `location` puts it in the room.

    Boards that are alike but for a turn, as left and right twins are, share one solid: of the
    turns that carry the blank into itself, one is chosen by content.

    Raises SolidError, which names the board, where the kernel fails, nothing is left, or the
    board falls apart.
    """
    size = (board.length, board.width, board.thickness)
    try:
        cutters = turned(size, board.cutters, board.place.mirrored).cutters
        return _cut(vec(map(snapped, size)), cutters)
    except Exception as error:  # the kernel's own errors share no base below Exception
        raise SolidError(
            f"{board.name} ({board.length:.1f} x {board.width:.1f} x {board.thickness:.1f} mm) "
            f"cannot be made solid: {error}. Move or take out one of its cuts."
        ) from error


def location(board: Board) -> cq.Location:
    """Where the solid of a board stands in the room."""
    size = (board.length, board.width, board.thickness)
    flips = turned(size, board.cutters, board.place.mirrored).flips
    origin = board.place.to_room(vec(s if f else 0.0 for s, f in zip(size, flips, strict=True)))
    headings = (board.place.along, board.place.across, board.place.out)
    x, _, z = (
        unit(heading.axis, -heading.sign if flip else heading.sign)
        for heading, flip in zip(headings, flips, strict=True)
    )
    return cq.Location(cq.Plane(origin=origin, xDir=x, normal=z))


def placed(board: Board) -> cq.Solid:
    """The board in the room. Raises SolidError as `solid` does."""
    return solid(board).moved(location(board))


@lru_cache(maxsize=KEPT)
def _cut(size: Vec, cutters: tuple[Cutter, ...]) -> cq.Solid:
    """The blank with its holes, less the other cutters in one boolean."""
    blank, rest = blank_with(size, cutters)
    made = blank.cut(*(tool(cutter, size) for cutter in rest)) if rest else blank
    pieces = made.Solids()
    if len(pieces) != 1:
        raise ValueError(
            f"its cuts leave it in {len(pieces)} pieces" if pieces else "its cuts leave no wood"
        )
    if not pieces[0].isValid():
        raise ValueError("the kernel returned a damaged solid")
    return pieces[0]
