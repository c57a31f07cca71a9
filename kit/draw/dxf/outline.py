"""The outline of a board: its blank less the rectangles that are cut right through it."""

from collections.abc import Sequence
from itertools import pairwise

from kit.draw.dxf.shapes import Point
from kit.geometry import SAME_MM, Box


def outline(blank: Box, notches: Sequence[Box]) -> list[list[Point]]:
    """Closed lines round what is left, seen along z, with wood on the left of each.

    One for a board in one piece. The corners lie on a grid made of the sides of all the boxes,
    so that notches may overlap, touch and reach past the blank.
    """
    xs, ys = (_grid([blank, *notches], blank, axis) for axis in (0, 1))

    def wood(i: int, j: int) -> bool:
        if not (0 <= i < len(xs) - 1 and 0 <= j < len(ys) - 1):
            return False
        x, y = (xs[i] + xs[i + 1]) / 2, (ys[j] + ys[j + 1]) / 2
        return not any(n.lo[0] < x < n.hi[0] and n.lo[1] < y < n.hi[1] for n in notches)

    ways: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for i in range(len(xs) - 1):
        for j in range(len(ys) - 1):
            if not wood(i, j):
                continue
            sides = (
                ((i, j), (i + 1, j), wood(i, j - 1)),
                ((i + 1, j), (i + 1, j + 1), wood(i + 1, j)),
                ((i + 1, j + 1), (i, j + 1), wood(i, j + 1)),
                ((i, j + 1), (i, j), wood(i - 1, j)),
            )
            for start, end, inside in sides:
                if not inside:
                    ways.setdefault(start, []).append(end)
    loops = []
    while ways:
        start = here = min(ways)
        loop = []
        while True:
            ends = ways[here]
            ahead = ends.pop()
            if not ends:
                del ways[here]
            loop.append((xs[here[0]], ys[here[1]]))
            here = ahead
            if here == start:
                break
        loops.append(_corners(loop))
    return loops


def inside_corners(loop: Sequence[Point]) -> list[tuple[Point, Point]]:
    """Corners of an outline where a round cutter leaves wood: (corner, way into the waste).

    The way is (+-1, +-1), along the diagonal away from the wood.
    """
    found = []
    for a, b, c in zip((loop[-1], *loop[:-1]), loop, (*loop[1:], loop[0]), strict=True):
        come = (b[0] - a[0], b[1] - a[1])
        go = (c[0] - b[0], c[1] - b[1])
        if come[0] * go[1] - come[1] * go[0] < 0:
            found.append((b, (_sign(go[0] - come[0]), _sign(go[1] - come[1]))))
    return found


def _grid(boxes: Sequence[Box], blank: Box, axis: int) -> list[float]:
    """The sides of all boxes along an axis, within the blank, each once."""
    low, high = blank.lo[axis], blank.hi[axis]
    values = sorted(min(max(v, low), high) for box in boxes for v in (box.lo[axis], box.hi[axis]))
    return [values[0], *(b for a, b in pairwise(values) if b - a > SAME_MM)]


def _corners(loop: list[Point]) -> list[Point]:
    """A loop without the points on its straights."""
    around = zip((loop[-1], *loop[:-1]), loop, (*loop[1:], loop[0]), strict=True)
    return [b for a, b, c in around if not (a[0] == b[0] == c[0] or a[1] == b[1] == c[1])]


def _sign(value: float) -> float:
    return 1.0 if value > 0 else -1.0
