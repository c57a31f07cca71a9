"""From boards and sheets in millimetres to a job in ticks, and from a packing back to sheets."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kit.making.nesting.bounds import dual_bound
from kit.making.nesting.cut_tree import cut_tree, offcuts
from kit.making.nesting.jobs import (
    TICKS_PER_MM,
    Bin,
    Item,
    Job,
    Packing,
    Spot,
    ticks_down,
    ticks_up,
)
from kit.making.nesting.layout import Piece, Placement, Rect, Sheet, SheetLayout

PER_SHEET = 1e-3
"""Of two equally dear choices the one with fewer sheets is better, by this share of a sheet."""


def sheet_job(pieces: Sequence[Piece], sheets: Sequence[Sheet], kerf_mm: float) -> Job:
    """Return the job of laying these boards on these sheets; its order is that of both lists."""
    costs = _costs(sheets)
    return Job(
        tuple(
            _bin(sheet, cost, kerf_mm, len(pieces))
            for sheet, cost in zip(sheets, costs, strict=True)
        ),
        tuple(_item(piece, kerf_mm) for piece in pieces),
    )


def sheet_layouts(
    packing: Packing,
    pieces: Sequence[Piece],
    sheets: Sequence[Sheet],
    kerf_mm: float,
    useful_mm: float,
) -> tuple[SheetLayout, ...] | None:
    """Return the sheets of a packing in the order they are best cut: offcuts first, then fullest.

    None when edge-to-edge cuts cannot free the boards (an answer that the verifier refuses).
    """
    laid = [(sheets[kind], placements(spots, sheets[kind], pieces)) for kind, spots in packing]
    laid.sort(
        key=lambda pair: (
            not pair[0].is_offcut,
            -sum(p.rect.area_mm2 for p in pair[1]) / pair[0].usable.area_mm2,
            pair[0].name,
            min(p.piece.name for p in pair[1]),
        )
    )
    layouts: list[SheetLayout] = []
    for number, (sheet, placed) in enumerate(laid, 1):
        tree = cut_tree(sheet.usable, placed, kerf_mm)
        if tree is None:
            return None
        kept = tuple(
            offcut
            for offcut in offcuts(tree, useful_mm, number)
            if not any(offcut.rect.overlaps(defect) for defect in sheet.defects)
        )
        layouts.append(SheetLayout(number, sheet, tuple(placed), tree, kept))
    return tuple(layouts)


def placements(spots: Sequence[Spot], sheet: Sheet, pieces: Sequence[Piece]) -> list[Placement]:
    """Return the spots of one sheet in millimetres, from its lower left to its upper right."""
    placed = []
    for spot in spots:
        piece = pieces[spot.item]
        length, width = piece.length_mm, piece.width_mm
        if spot.turned:
            length, width = width, length
        rect = Rect(
            sheet.usable.x_mm + spot.x / TICKS_PER_MM,
            sheet.usable.y_mm + spot.y / TICKS_PER_MM,
            length,
            width,
        )
        placed.append(Placement(piece, rect, spot.turned))
    return sorted(placed, key=lambda p: (p.rect.y_mm, p.rect.x_mm))


def least_cost(job: Job, sheets: Sequence[Sheet]) -> tuple[float, int]:
    """Return a lower bound on the cost of any packing, and on its number of full sheets.

    By area with the kerf in it, offcuts (they cost nothing) filled to the last corner; by boards
    so large that no two of them share a sheet; and by what can lie beside each other.
    """
    full = [bin_ for bin_, sheet in zip(job.bins, sheets, strict=True) if not sheet.is_offcut]
    spare = [bin_ for bin_, sheet in zip(job.bins, sheets, strict=True) if sheet.is_offcut]
    if not full:
        return 0.0, 0
    offcut_area = sum(b.length * b.width * b.copies for b in spare)
    area = sum(item.length * item.width for item in job.items) - offcut_area
    largest = max(b.length * b.width for b in full)
    spares = sum(b.copies for b in spare)
    count = max(0, -(-area // largest), _loners(job, full) - spares, dual_bound(job) - spares)
    if len(full) == 1:
        least = count * full[0].cost
    else:
        least = max(0, area) * min(b.cost / (b.length * b.width) for b in full)
        least = max(least, count * min(b.cost for b in full))
    return least, count


def _loners(job: Job, bins: Sequence[Bin]) -> int:
    length, width = max(b.length for b in bins), max(b.width for b in bins)
    longest = max(length, width)
    return sum(
        (2 * item.length > length and 2 * item.width > width)
        if item.locked
        else 2 * min(item.length, item.width) > longest
        for item in job.items
    )


def _costs(sheets: Sequence[Sheet]) -> list[float]:
    full = [sheet for sheet in sheets if not sheet.is_offcut]
    largest = max(sheet.usable.area_mm2 for sheet in sheets)
    prices = [sheet.price for sheet in full if sheet.price is not None]
    dearest = max(prices, default=0.0)
    by_price = len(prices) == len(full) and dearest > 0
    costs = []
    for sheet in sheets:
        size = sheet.usable.area_mm2 / largest
        if sheet.is_offcut:
            costs.append(0.0)
        elif by_price:
            assert sheet.price is not None
            costs.append(sheet.price / dearest + PER_SHEET * (1 + size))
        else:
            costs.append(size + PER_SHEET)
    return costs


def _bin(sheet: Sheet, cost: float, kerf_mm: float, most: int) -> Bin:
    usable, kerf = sheet.usable, ticks_up(kerf_mm)
    length = ticks_down(usable.length_mm) + kerf
    width = ticks_down(usable.width_mm) + kerf
    defects = []
    for defect in sheet.defects:
        left = max(0, math.floor((defect.x_mm - usable.x_mm) * TICKS_PER_MM))
        below = max(0, math.floor((defect.y_mm - usable.y_mm) * TICKS_PER_MM))
        right = min(length, math.ceil((defect.right_mm - usable.x_mm) * TICKS_PER_MM))
        above = min(width, math.ceil((defect.top_mm - usable.y_mm) * TICKS_PER_MM))
        if left < right and below < above:
            defects.append((left, below, right - left, above - below))
    copies = most if sheet.count is None else min(sheet.count, most)
    return Bin(length, width, copies, cost, tuple(defects))


def _item(piece: Piece, kerf_mm: float) -> Item:
    kerf = ticks_up(kerf_mm)
    return Item(
        ticks_up(piece.length_mm) + kerf, ticks_up(piece.width_mm) + kerf, piece.grain_locked
    )
