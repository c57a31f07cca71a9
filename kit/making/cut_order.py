"""The order of the cuts on a sheet, read off its tree of edge-to-edge cuts.

First the sheet is squared: one long edge is trimmed straight, one end square to it, then the
other two. Then all cuts of one level, largest pieces first, before any of the next: rough
cuts make the sheet manageable, final ones free the boards.

Pieces that lie side by side are cut off one by one, each from the edge that the cut before
left: the guide or fence is set to the piece's own size, so no error is handed on from piece
to piece. Waste is what is left at the end. Where there is none, the last piece is only as
exact as the kerf; one that is final is set again to its own size.
"""

import math
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from enum import Enum

from kit.board import Board
from kit.making.nesting.layout import TOLERANCE_MM, CutAxis, CutNode, Rect, SheetLayout

#: Boards at least this long and half as wide get their diagonals checked, mm.
LARGE = 600.0


class Stage(Enum):
    """What a cut is for."""

    SQUARE = "square and trim"
    ROUGH = "divide"
    FREE = "free a board"
    TRUE = "true up what is left"


@dataclass(frozen=True, slots=True, kw_only=True)
class SawCut:
    """One saw cut. It divides `piece`; the saw is set to `keep` mm from `edge` of that piece.

    `at` is where the kerf begins on the sheet (X of a crosscut, Y of a rip), mm; of a
    `Stage.TRUE` cut at the end of the piece, since it takes off only what is over, and of a
    trim where its waste begins. `frees` are the names of the pieces that come free by it: the
    one that `keep` is the size of, and behind the kerf at most one more, which gets its size
    later.
    """

    stage: Stage
    axis: CutAxis
    piece: Rect
    at: float
    keep: float
    edge: str
    frees: tuple[str, ...] = ()
    number: int = 0


def cut_order(
    layout: SheetLayout, kerf: float, *, rough: Collection[str] = ()
) -> tuple[SawCut, ...]:
    """All cuts of one sheet, numbered from 1 in the order of the work.

    `rough` names the pieces that get their final size later, and need no exact cut now.
    """
    cuts = [*_squaring(layout), *_levels(layout.cuts, kerf, rough)]
    return tuple(replace(cut, number=number) for number, cut in enumerate(cuts, start=1))


def diagonal(board: Board) -> float | None:
    """The diagonal that a large board must measure both ways, mm; None for a small one."""
    size = board.cut
    if max(size.length, size.width) < LARGE or min(size.length, size.width) < LARGE / 2:
        return None
    return math.hypot(size.length, size.width)


def _squaring(layout: SheetLayout) -> Iterator[SawCut]:
    """The trims: lower edge, left end square to it, upper edge, right end.

    Each divides what the trims before it left of the sheet.
    """
    sheet, usable = layout.sheet, layout.sheet.usable
    trims = sheet.trims
    left = Rect(0.0, 0.0, sheet.length_mm, sheet.width_mm)
    for trim, axis, low, high, edge in (
        (trims.bottom_mm, CutAxis.RIP, usable.y_mm, left.top_mm, "upper edge"),
        (trims.left_mm, CutAxis.CROSSCUT, usable.x_mm, left.right_mm, "right end"),
        (trims.top_mm, CutAxis.RIP, usable.y_mm, usable.top_mm, "lower edge"),
        (trims.right_mm, CutAxis.CROSSCUT, usable.x_mm, usable.right_mm, "left end"),
    ):
        if trim > 0:
            far = edge in ("lower edge", "left end")
            yield SawCut(
                stage=Stage.SQUARE,
                axis=axis,
                piece=left,
                at=high if far else 0.0,
                keep=high - low,
                edge=edge,
            )
            left = _between(left, axis, low, high)


@dataclass(frozen=True, slots=True)
class _Row:
    """Pieces side by side in one region, with the kerfs between them; None: all kerf."""

    region: Rect
    axis: CutAxis
    pieces: tuple[CutNode | None, ...]
    kerfs: tuple[float, ...]


def _levels(root: CutNode, kerf: float, rough: Collection[str]) -> Iterator[SawCut]:
    level = [root]
    while level:
        below: list[CutNode] = []
        for node in sorted(level, key=lambda n: (-n.rect.area_mm2, n.rect.y_mm, n.rect.x_mm)):
            if node.axis is None:
                continue
            row = _Row(node.rect, node.axis, *_flat(node, node.axis))
            yield from _row_cuts(row, kerf, rough)
            below += [piece for piece in row.pieces if piece is not None]
        level = below


def _flat(
    node: CutNode | None, axis: CutAxis
) -> tuple[tuple[CutNode | None, ...], tuple[float, ...]]:
    """The pieces of a node that cuts one way divide, and where the kerfs begin."""
    if node is None or node.axis is not axis or node.cut_mm is None:
        return (node,), ()
    first, before = _flat(node.first, axis)
    second, behind = _flat(node.second, axis)
    return (*first, *second), (*before, node.cut_mm, *behind)


def _row_cuts(row: _Row, kerf: float, rough: Collection[str]) -> Iterator[SawCut]:
    """The pieces before the one that is left from the near edge, those behind it from the far."""
    axis, pieces = row.axis, row.pieces
    near, far = (
        ("left end", "right end") if axis is CutAxis.CROSSCUT else ("lower edge", "upper edge")
    )
    left = max(range(len(pieces)), key=lambda i: (*_best_left(pieces[i], axis, rough), i))
    low, high = _span(row.region, axis)
    order = [*range(left), *reversed(range(left + 1, len(pieces)))]
    for i in order:
        at = row.kerfs[i] if i < left else row.kerfs[i - 1]
        before, behind = at - low, high - at - kerf
        kept_near = (i < left) is _holds_board(pieces[i])
        frees = [_board(pieces[i])]
        if i == order[-1] and not _is_final(pieces[left], axis, rough):
            frees.append(_board(pieces[left]))
        names = tuple(name for name in frees if name is not None)
        yield SawCut(
            stage=Stage.FREE if names else Stage.ROUGH,
            axis=axis,
            piece=_between(row.region, axis, low, high),
            at=at,
            keep=before if kept_near else behind,
            edge=near if kept_near else far,
            frees=names,
        )
        low, high = (at + kerf, high) if i < left else (low, at)
    if _is_final(pieces[left], axis, rough):
        name = _board(pieces[left])
        yield SawCut(
            stage=Stage.TRUE,
            axis=axis,
            piece=_between(row.region, axis, low, high),
            at=high,
            keep=high - low,
            edge=near,
            frees=() if name is None else (name,),
        )


def _best_left(piece: CutNode | None, axis: CutAxis, rough: Collection[str]) -> tuple[int, float]:
    """How well a piece serves as what is left: waste, best much of it, before what is exact."""
    if piece is None:
        return (2, 0.0)
    if not _holds_board(piece):
        return (2, piece.rect.area_mm2)
    return (0, 0.0) if _is_final(piece, axis, rough) else (1, 0.0)


def _is_final(piece: CutNode | None, axis: CutAxis, rough: Collection[str]) -> bool:
    """Whether a board of it, not a rough one, is as long along the row as the whole piece."""
    if piece is None:
        return False
    low, high = _span(piece.rect, axis)
    return any(
        node.piece is not None
        and node.piece not in rough
        and _span(node.rect, axis)[1] - _span(node.rect, axis)[0] > high - low - TOLERANCE_MM
        for node in piece.walk()
    )


def _board(piece: CutNode | None) -> str | None:
    return None if piece is None else piece.piece


def _holds_board(piece: CutNode | None) -> bool:
    return piece is not None and any(node.piece is not None for node in piece.walk())


def _span(rect: Rect, axis: CutAxis) -> tuple[float, float]:
    if axis is CutAxis.CROSSCUT:
        return rect.x_mm, rect.right_mm
    return rect.y_mm, rect.top_mm


def _between(rect: Rect, axis: CutAxis, low: float, high: float) -> Rect:
    """The part of a rectangle from `low` to `high` along a row."""
    if axis is CutAxis.CROSSCUT:
        return Rect(low, rect.y_mm, high - low, rect.width_mm)
    return Rect(rect.x_mm, low, rect.length_mm, high - low)
