"""Room for a round cutter: overrun where a channel runs out, relief where a corner is square.

A cutter of radius r that follows two walls to their corner stops at (r, r) from it and leaves
wood between the corner and its rim. A disc of radius r whose centre lies on the diagonal, r
away from the corner, passes through the corner: with c = r / sqrt 2, its centre is (c, c), and
it meets each wall again at 2 c = 1.414 r, past the r at which the cutter has begun to clear
that wall. What the cutter left lies in the triangle (0, 0), (r, 0), (0, r), whose three points
are all in the disc; so disc and sweep together clear the square corner wholly.

The corner is that of the channel, as wide as the greatest measured thickness of the mate and
the gap of the fit. A mate that fits loosely does not lie in the corner line to line, so the
disc grows with the gap round the same centre: its radius is r + gap, and it reaches `gap`
past the corner. The cutter goes down into it at the centre; for a gap of nought no more is
needed, else it goes round once.

Source: geometry; the rule that relief follows the measured sheet and the fit is common
practice, no source.
"""

import math

from kit.draw.dxf.shapes import Point, Ring
from kit.geometry import SAME_MM, Box


def relief(layer: str, corner: Point, way: Point, *, cutter_mm: float, gap_mm: float) -> Ring:
    """The disc that clears a square corner for a cutter of this diameter and a fit's gap.

    `way` is (+-1, +-1), from the corner into the waste. All mm.
    """
    c = cutter_mm / 2 / math.sqrt(2)
    centre = (corner[0] + way[0] * c, corner[1] + way[1] * c)
    return Ring(layer, centre, cutter_mm / 2 + gap_mm)


def past(ring: Ring, cutter_mm: float) -> float:
    """How far a disc of relief reaches into the wood beside a wall, mm."""
    return ring.radius - cutter_mm / 2 / math.sqrt(2)


def closed_corners(channel: Box, blank: Box) -> list[tuple[Point, Point]]:
    """Corners of a channel that lie in the wood: (corner, way into the channel)."""
    low, high = open_sides(channel, blank, 0), open_sides(channel, blank, 1)
    return [
        (
            ((channel.lo, channel.hi)[i][0], (channel.lo, channel.hi)[j][1]),
            (1.0 - 2.0 * i, 1.0 - 2.0 * j),
        )
        for i in (0, 1)
        for j in (0, 1)
        if not low[i] and not high[j]
    ]


def open_sides(channel: Box, blank: Box, axis: int) -> tuple[bool, bool]:
    """Whether a channel runs out of the blank at its low and high side along an axis."""
    return (
        channel.lo[axis] <= blank.lo[axis] + SAME_MM,
        channel.hi[axis] >= blank.hi[axis] - SAME_MM,
    )


def overrun(channel: Box, blank: Box, cutter_mm: float) -> Box:
    """A channel with half a cutter more where it runs out, so that its walls are cleared there.

    More than half where it would else be narrower than the cutter, as a rabbet can be. mm.
    """
    lo, hi = list(channel.lo), list(channel.hi)
    for axis in (0, 1):
        past = max(cutter_mm / 2, cutter_mm - channel.size[axis])
        at_low, at_high = open_sides(channel, blank, axis)
        lo[axis] -= past * at_low
        hi[axis] += past * at_high
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


def too_narrow_mm(channel: Box, blank: Box, cutter_mm: float) -> float | None:
    """The clear width of a channel between two walls that the cutter is too wide for, or None."""
    widths = [channel.size[axis] for axis in (0, 1) if not any(open_sides(channel, blank, axis))]
    narrow = [width for width in widths if width < cutter_mm - SAME_MM]
    return min(narrow, default=None)
