"""Proof of a layout, whoever made it: from the placements alone, then against its stored cuts.

Nothing here is shared with the search or with the building of the cut tree, so that one
mistake cannot excuse itself.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from kit.making.nesting.layout import (
    TOLERANCE_MM,
    CutAxis,
    CutNode,
    Layout,
    Piece,
    Placement,
    Rect,
    Sheet,
    SheetLayout,
)


class Fault(Enum):
    """What can be wrong with a layout."""

    MISSING = "board is not on any sheet"
    TWICE = "board lies on the sheets more than once"
    UNKNOWN = "board was never asked for"
    SIZE = "board does not have its size"
    GRAIN = "grain-locked board is turned"
    OUTSIDE = "board reaches into the trims or off the sheet"
    DEFECT = "board touches a defect"
    OVERLAP = "boards overlap"
    KERF = "boards are closer than one kerf"
    NOT_CUTTABLE = "edge-to-edge cuts cannot free the boards"
    TREE = "stored cuts do not give these boards"
    MATCH = "matched set lies on more than one sheet"
    STOCK = "more sheets are used than there are"


@dataclass(frozen=True, slots=True)
class LayoutProblem:
    """One thing wrong: which fault, on which sheet (None: not one sheet), which boards."""

    fault: Fault
    sheet_number: int | None
    boards: tuple[str, ...]

    def __str__(self) -> str:
        where = "" if self.sheet_number is None else f" on sheet {self.sheet_number}"
        names = ", ".join(self.boards)
        return f"{self.fault.value}{where}" + (f": {names}" if names else "")


def layout_problems(
    layout: Layout, pieces: Sequence[Piece], sheets: Sequence[Sheet], kerf_mm: float
) -> tuple[LayoutProblem, ...]:
    """Return all that is wrong with a layout of these boards on these sheets; empty when right."""
    found = [*_inventory(layout, pieces), *_matches(layout, pieces), *_stock(layout, sheets)]
    for sheet_layout in layout.sheets:
        found += _sheet_problems(sheet_layout, kerf_mm)
    return tuple(found)


def can_be_cut(rects: Sequence[Rect], kerf_mm: float) -> bool:
    """Whether edge-to-edge cuts of this kerf can part all the rectangles from one another."""
    todo = [list(rects)]
    while todo:
        group = todo.pop()
        if len(group) < 2:
            continue
        parts = _part(group, kerf_mm)
        if parts is None:
            return False
        todo += parts
    return True


def _part(group: list[Rect], kerf_mm: float) -> list[list[Rect]] | None:
    """Cut a group wherever one direction has a clear kerf; None when neither has one."""
    by_x = sorted(group, key=lambda r: r.x_mm)
    by_y = sorted(group, key=lambda r: r.y_mm)
    lows_highs = (
        [(r, r.x_mm, r.x_mm + r.length_mm) for r in by_x],
        [(r, r.y_mm, r.y_mm + r.width_mm) for r in by_y],
    )
    for ordered in lows_highs:
        parts: list[list[Rect]] = [[]]
        furthest = ordered[0][2]
        for rect, low, high in ordered:
            if parts[-1] and low >= furthest + kerf_mm - TOLERANCE_MM:
                parts.append([])
            parts[-1].append(rect)
            furthest = max(furthest, high)
        if len(parts) > 1:
            return parts
    return None


def _inventory(layout: Layout, pieces: Sequence[Piece]) -> list[LayoutProblem]:
    asked = {piece.name for piece in pieces}
    laid = Counter(p.piece.name for sheet in layout.sheets for p in sheet.placements)
    wanted = Counter(piece.name for piece in pieces)
    known = {piece.name: piece for piece in pieces}
    found = [
        LayoutProblem(Fault.MISSING, None, (name,))
        for name, count in wanted.items()
        if laid[name] < count
    ]
    found += [
        LayoutProblem(Fault.TWICE, None, (name,))
        for name, count in wanted.items()
        if laid[name] > count
    ]
    found += [LayoutProblem(Fault.UNKNOWN, None, (name,)) for name in laid if name not in asked]
    for sheet in layout.sheets:
        for placement in sheet.placements:
            piece = known.get(placement.piece.name)
            if piece is None:
                continue
            if not _has_its_size(placement, piece):
                found.append(LayoutProblem(Fault.SIZE, sheet.number, (piece.name,)))
            if piece.grain_locked and _lies_turned(placement, piece):
                found.append(LayoutProblem(Fault.GRAIN, sheet.number, (piece.name,)))
    return found


def _lies_turned(placement: Placement, piece: Piece) -> bool:
    """A board marked as turned, or one whose sizes show that it is."""
    straight = _same(placement.rect.length_mm, piece.length_mm) and _same(
        placement.rect.width_mm, piece.width_mm
    )
    return placement.turned or not straight


def _has_its_size(placement: Placement, piece: Piece) -> bool:
    length, width = piece.length_mm, piece.width_mm
    if placement.turned:
        length, width = width, length
    return _same(placement.rect.length_mm, length) and _same(placement.rect.width_mm, width)


def _same(one_mm: float, other_mm: float) -> bool:
    return abs(one_mm - other_mm) <= TOLERANCE_MM


def _matches(layout: Layout, pieces: Sequence[Piece]) -> list[LayoutProblem]:
    where = {p.piece.name: sheet.number for sheet in layout.sheets for p in sheet.placements}
    sets: dict[str, list[str]] = {}
    for piece in pieces:
        if piece.match is not None:
            sets.setdefault(piece.match, []).append(piece.name)
    return [
        LayoutProblem(Fault.MATCH, None, tuple(names))
        for names in sets.values()
        if len({where[name] for name in names if name in where}) > 1
    ]


def _stock(layout: Layout, sheets: Sequence[Sheet]) -> list[LayoutProblem]:
    used = Counter(sheet_layout.sheet for sheet_layout in layout.sheets)
    allowed: dict[Sheet, float] = {}
    for sheet in sheets:
        count = float("inf") if sheet.count is None else sheet.count
        allowed[sheet] = allowed.get(sheet, 0) + count
    return [
        LayoutProblem(Fault.STOCK, None, (sheet.name,))
        for sheet, count in used.items()
        if count > allowed.get(sheet, 0)
    ]


def _sheet_problems(layout: SheetLayout, kerf_mm: float) -> list[LayoutProblem]:
    found: list[LayoutProblem] = []

    def report(fault: Fault, *placements: Placement) -> None:
        names = tuple(placement.piece.name for placement in placements)
        found.append(LayoutProblem(fault, layout.number, names))

    trims, sheet = layout.sheet.trims, layout.sheet
    right = sheet.length_mm - trims.right_mm
    top = sheet.width_mm - trims.top_mm
    for index, placement in enumerate(layout.placements):
        rect = placement.rect
        if (
            rect.x_mm < trims.left_mm - TOLERANCE_MM
            or rect.y_mm < trims.bottom_mm - TOLERANCE_MM
            or rect.x_mm + rect.length_mm > right + TOLERANCE_MM
            or rect.y_mm + rect.width_mm > top + TOLERANCE_MM
        ):
            report(Fault.OUTSIDE, placement)
        if any(rect.overlaps(defect) for defect in sheet.defects):
            report(Fault.DEFECT, placement)
        for other in layout.placements[index + 1 :]:
            if rect.overlaps(other.rect):
                report(Fault.OVERLAP, placement, other)
            elif rect.overlaps(other.rect, kerf_mm):
                report(Fault.KERF, placement, other)
    if not can_be_cut([placement.rect for placement in layout.placements], kerf_mm):
        report(Fault.NOT_CUTTABLE, *layout.placements)
    if not _tree_agrees(layout, kerf_mm):
        report(Fault.TREE)
    return found


def _tree_agrees(layout: SheetLayout, kerf_mm: float) -> bool:
    """Saw the sheet as the stored cuts say and compare what falls off with the placements."""
    if not _same_rect(layout.cuts.rect, layout.sheet.usable):
        return False
    boards: list[tuple[str, Rect]] = []
    todo: list[CutNode] = [layout.cuts]
    while todo:
        node = todo.pop()
        if node.axis is None:
            if node.piece is not None:
                boards.append((node.piece, node.rect))
            continue
        sides = _saw(node, kerf_mm)
        if sides is None:
            return False
        for rect, child in zip(sides, (node.first, node.second), strict=True):
            if (rect is None) != (child is None):
                return False
            if rect is not None and child is not None:
                if not _same_rect(rect, child.rect):
                    return False
                todo.append(child)
    laid = {placement.piece.name: placement.rect for placement in layout.placements}
    return len(boards) == len(layout.placements) and all(
        name in laid and _same_rect(rect, laid[name]) for name, rect in boards
    )


def _saw(node: CutNode, kerf_mm: float) -> tuple[Rect | None, Rect | None] | None:
    """Return the two sides of a node's cut; None when the cut runs outside the node."""
    if node.cut_mm is None or node.piece is not None:
        return None
    rect = node.rect
    crosscut = node.axis is CutAxis.CROSSCUT
    low = rect.x_mm if crosscut else rect.y_mm
    high = low + (rect.length_mm if crosscut else rect.width_mm)
    if not low - kerf_mm - TOLERANCE_MM < node.cut_mm < high + TOLERANCE_MM:
        return None

    def side(start: float, end: float) -> Rect | None:
        if end - start <= TOLERANCE_MM:
            return None
        if crosscut:
            return Rect(start, rect.y_mm, end - start, rect.width_mm)
        return Rect(rect.x_mm, start, rect.length_mm, end - start)

    return side(low, node.cut_mm), side(node.cut_mm + kerf_mm, high)


def _same_rect(one: Rect, other: Rect) -> bool:
    return (
        _same(one.x_mm, other.x_mm)
        and _same(one.y_mm, other.y_mm)
        and _same(one.length_mm, other.length_mm)
        and _same(one.width_mm, other.width_mm)
    )
