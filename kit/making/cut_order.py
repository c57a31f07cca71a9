"""The order of the cuts on a sheet, read off its tree of edge-to-edge cuts.

First the sheet is squared: one long edge is trimmed straight, one end square to it, then the
other two. Then all cuts of one level, largest pieces first, before any of the next: rough
cuts make the sheet manageable, final ones free the boards. The guide or fence is always set
to what is kept, measured from the edge that was cut before, never in a chain.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from kit.board import Board
from kit.making.nesting.layout import CutAxis, CutNode, Rect, SheetLayout

#: Boards at least this long and half as wide get their diagonals checked, mm.
LARGE = 600.0


class Stage(Enum):
    """What a cut is for."""

    SQUARE = "square and trim"
    ROUGH = "divide"
    FREE = "free a board"


@dataclass(frozen=True, slots=True, kw_only=True)
class SawCut:
    """One saw cut. It divides `piece`; the saw is set to `keep` mm from `edge` of that piece.

    `at` is where the kerf begins on the sheet (X of a crosscut, Y of a rip), mm. `frees` are
    the names of the pieces that have their final size after it.
    """

    number: int
    stage: Stage
    axis: CutAxis
    piece: Rect
    at: float
    keep: float
    edge: str
    frees: tuple[str, ...]


def cut_order(layout: SheetLayout, kerf: float) -> tuple[SawCut, ...]:
    """All cuts of one sheet, numbered from 1 in the order of the work."""
    cuts = [*_squaring(layout), *_levels(layout.cuts, kerf)]
    return tuple(_numbered(number, cut) for number, cut in enumerate(cuts, start=1))


def diagonal(board: Board) -> float | None:
    """The diagonal that a large board must measure both ways, mm; None for a small one."""
    size = board.cut
    if max(size.length, size.width) < LARGE or min(size.length, size.width) < LARGE / 2:
        return None
    return math.hypot(size.length, size.width)


@dataclass(frozen=True, slots=True)
class _Plain:
    stage: Stage
    axis: CutAxis
    piece: Rect
    at: float
    keep: float
    edge: str
    frees: tuple[str, ...] = ()


def _numbered(number: int, cut: _Plain) -> SawCut:
    return SawCut(
        number=number,
        stage=cut.stage,
        axis=cut.axis,
        piece=cut.piece,
        at=cut.at,
        keep=cut.keep,
        edge=cut.edge,
        frees=cut.frees,
    )


def _squaring(layout: SheetLayout) -> Iterator[_Plain]:
    """The trims: lower edge, left end square to it, upper edge, right end."""
    sheet, usable = layout.sheet, layout.sheet.usable
    whole = Rect(0.0, 0.0, sheet.length_mm, sheet.width_mm)
    trims = sheet.trims
    if trims.bottom_mm > 0:
        keep = sheet.width_mm - trims.bottom_mm
        yield _Plain(Stage.SQUARE, CutAxis.RIP, whole, 0.0, keep, "upper edge")
    if trims.left_mm > 0:
        keep = sheet.length_mm - trims.left_mm
        yield _Plain(Stage.SQUARE, CutAxis.CROSSCUT, whole, 0.0, keep, "right end")
    if trims.top_mm > 0:
        at = usable.top_mm
        yield _Plain(Stage.SQUARE, CutAxis.RIP, whole, at, usable.width_mm, "lower edge")
    if trims.right_mm > 0:
        at = usable.right_mm
        yield _Plain(Stage.SQUARE, CutAxis.CROSSCUT, whole, at, usable.length_mm, "left end")


def _levels(root: CutNode, kerf: float) -> Iterator[_Plain]:
    level = [root]
    while level:
        below: list[CutNode] = []
        for node in sorted(level, key=lambda n: (-n.rect.area_mm2, n.rect.y_mm, n.rect.x_mm)):
            if node.axis is None or node.cut_mm is None:
                continue
            yield _cut(node, node.axis, node.cut_mm, kerf)
            below += [child for child in (node.first, node.second) if child is not None]
        level = below


def _cut(node: CutNode, axis: CutAxis, at: float, kerf: float) -> _Plain:
    children = [child for child in (node.first, node.second) if child is not None]
    frees = tuple(child.piece for child in children if child.piece is not None)
    start = node.rect.x_mm if axis is CutAxis.CROSSCUT else node.rect.y_mm
    end = node.rect.right_mm if axis is CutAxis.CROSSCUT else node.rect.top_mm
    names = ("left end", "right end") if axis is CutAxis.CROSSCUT else ("lower edge", "upper edge")
    keeps_first = node.first is not None and _holds_board(node.first)
    keep, edge = (at - start, names[0]) if keeps_first else (end - at - kerf, names[1])
    stage = Stage.FREE if frees else Stage.ROUGH
    return _Plain(stage, axis, node.rect, at, keep, edge, frees)


def _holds_board(node: CutNode) -> bool:
    return any(below.piece is not None for below in node.walk())
