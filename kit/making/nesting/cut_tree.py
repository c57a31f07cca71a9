"""From where the boards lie to the edge-to-edge cuts that free them.

A set of boards that can be freed at all stays so after any edge-to-edge cut that hits none of
them, so the cuts may be chosen one by one without turning back. What is left over at the
outside is taken off first and in one piece, the larger strip before the smaller: that keeps
the offcuts whole.
"""

from __future__ import annotations

from collections.abc import Sequence

from kit.making.nesting.layout import (
    TOLERANCE_MM,
    CutAxis,
    CutNode,
    Offcut,
    Placement,
    Rect,
)


def cut_tree(region: Rect, placements: Sequence[Placement], kerf_mm: float) -> CutNode | None:
    """Return cuts that free all placements from the region, or None when no cuts can."""
    if not placements:
        return CutNode(region)
    cut = _strip_cut(region, placements, kerf_mm) or _inner_cut(placements, kerf_mm)
    if cut is None:
        if len(placements) > 1:
            return None
        return CutNode(region, piece=placements[0].piece.name)
    axis, at_mm = cut
    before, behind = _split(region, axis, at_mm, kerf_mm)
    sides: list[CutNode | None] = []
    for side, first in ((before, True), (behind, False)):
        mine = [p for p in placements if (_span(p.rect, axis)[0] < at_mm - TOLERANCE_MM) is first]
        if side is None:
            if mine:
                return None
            sides.append(None)
            continue
        node = cut_tree(side, mine, kerf_mm)
        if node is None:
            return None
        sides.append(node)
    return CutNode(region, axis, at_mm, sides[0], sides[1])


def offcuts(tree: CutNode, least_side_mm: float, sheet_number: int) -> tuple[Offcut, ...]:
    """Return what is left over and at least `least_side_mm` in both directions.

    Largest first. On stock narrower than that only the length counts.
    """
    region = tree.rect
    kept = [
        node.rect
        for node in tree.walk()
        if node.axis is None and node.piece is None and _is_useful(node.rect, region, least_side_mm)
    ]
    kept.sort(key=lambda rect: (-rect.area_mm2, rect.x_mm, rect.y_mm))
    return tuple(
        Offcut(f"offcut-{sheet_number}-{index}", rect) for index, rect in enumerate(kept, 1)
    )


def _is_useful(rect: Rect, region: Rect, least_side_mm: float) -> bool:
    # A strip of stock is as wide as it ever was: only its length tells whether to keep it.
    return rect.length_mm >= least_side_mm and (
        rect.width_mm >= least_side_mm or region.width_mm < least_side_mm
    )


def _span(rect: Rect, axis: CutAxis) -> tuple[float, float]:
    if axis is CutAxis.CROSSCUT:
        return rect.x_mm, rect.right_mm
    return rect.y_mm, rect.top_mm


def _split(
    region: Rect, axis: CutAxis, at_mm: float, kerf_mm: float
) -> tuple[Rect | None, Rect | None]:
    low, high = _span(region, axis)

    def part(start_mm: float, end_mm: float) -> Rect | None:
        if end_mm - start_mm <= TOLERANCE_MM:
            return None
        if axis is CutAxis.CROSSCUT:
            return Rect(start_mm, region.y_mm, end_mm - start_mm, region.width_mm)
        return Rect(region.x_mm, start_mm, region.length_mm, end_mm - start_mm)

    return part(low, at_mm), part(at_mm + kerf_mm, high)


def _strip_cut(
    region: Rect, placements: Sequence[Placement], kerf_mm: float
) -> tuple[CutAxis, float] | None:
    """Return the cut that takes the largest empty strip off an outer edge of the region."""
    strips: list[tuple[float, CutAxis, float]] = []
    for axis in CutAxis:
        low, high = _span(region, axis)
        across = region.area_mm2 / (high - low)
        start = min(_span(p.rect, axis)[0] for p in placements)
        end = max(_span(p.rect, axis)[1] for p in placements)
        if high - end > TOLERANCE_MM:
            strips.append(((high - end) * across, axis, end))
        if start - low > TOLERANCE_MM:
            # A strip thinner than the kerf is sawn away whole; the rest of that kerf falls on
            # a neighbour's kerf or off the sheet, never on a board.
            strips.append(((start - low) * across, axis, start - kerf_mm))
    if not strips:
        return None
    _, axis, at_mm = max(strips, key=lambda strip: strip[0])
    return axis, at_mm


def _inner_cut(placements: Sequence[Placement], kerf_mm: float) -> tuple[CutAxis, float] | None:
    """Return a cut between boards, the one that halves them most evenly, or None."""
    best: tuple[float, CutAxis, float] | None = None
    total = sum(p.rect.area_mm2 for p in placements)
    for axis in CutAxis:
        spans = sorted((*_span(p.rect, axis), p.rect.area_mm2) for p in placements)
        reach, done = spans[0][1], spans[0][2]
        for start, end, area in spans[1:]:
            if start - reach >= kerf_mm - TOLERANCE_MM:
                uneven = abs(total - 2 * done)
                if best is None or uneven < best[0] - TOLERANCE_MM:
                    best = (uneven, axis, reach)
            reach = max(reach, end)
            done += area
    return None if best is None else (best[1], best[2])
