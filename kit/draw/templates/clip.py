"""What of a drawing lies in a rectangle: a page shows part of a larger template."""

from collections.abc import Iterable, Iterator
from itertools import pairwise
from math import cos, pi, sin

from kit.draw.drafting import Disc, Frame, Line, Path, Round, Words
from kit.draw.drafting.figure import Item, Point

#: Sides of the polygon that stands for a circle that is cut; of a 200 mm hole it departs from
#: the circle by less than 0.001 mm.
SIDES = 720
SAME = 1e-6
#: Between words and the rim of the page, mm.
AIR = 0.3


def clipped(items: Iterable[Item], frame: Frame) -> Iterator[Item]:
    """The part of each item inside; words and areas only where they are wholly inside."""
    for item in items:
        own = item.frame.grown(AIR) if isinstance(item, Words) else item.frame
        if inside(own, frame):
            yield item
        elif not isinstance(item, Words) and item.line is not None:
            yield from _pieces(_points(item), frame, item.line)


def inside(inner: Frame, outer: Frame) -> bool:
    """Whether a rectangle lies in another; their sides may touch."""
    return (
        inner.x0 >= outer.x0 - SAME
        and inner.y0 >= outer.y0 - SAME
        and inner.x1 <= outer.x1 + SAME
        and inner.y1 <= outer.y1 + SAME
    )


def _points(item: Path | Disc | Round) -> tuple[Point, ...]:
    """The line of an item as a chain of points."""
    if isinstance(item, Path):
        return (*item.points, item.points[0]) if item.closed else item.points
    f = item.frame
    r = item.radius
    centres = (
        (f.x1 - r, f.y1 - r),
        (f.x0 + r, f.y1 - r),
        (f.x0 + r, f.y0 + r),
        (f.x1 - r, f.y0 + r),
    )
    steps = SIDES // 4
    found = [
        (x + r * cos(a), y + r * sin(a))
        for quarter, (x, y) in enumerate(centres)
        for a in ((quarter + i / steps) * pi / 2 for i in range(steps + 1))
    ]
    return (*found, found[0])


def _pieces(points: tuple[Point, ...], frame: Frame, line: Line) -> Iterator[Path]:
    """The runs of a chain inside a rectangle."""
    run: list[Point] = []
    for a, b in pairwise(points):
        part = _part(a, b, frame)
        if part is None or not run or run[-1] != part[0]:
            if len(run) > 1:
                yield Path(tuple(run), line)
            run = []
        if part is not None:
            run = [*run, part[1]] if run else [*part]
    if len(run) > 1:
        yield Path(tuple(run), line)


def _part(a: Point, b: Point, frame: Frame) -> tuple[Point, Point] | None:
    """The part of a straight line in a rectangle, after Liang and Barsky."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    near, far = 0.0, 1.0
    for run, gap in (
        (-dx, a[0] - frame.x0 + SAME),
        (dx, frame.x1 - a[0] + SAME),
        (-dy, a[1] - frame.y0 + SAME),
        (dy, frame.y1 - a[1] + SAME),
    ):
        if run == 0:
            if gap < 0:
                return None
        elif run < 0:
            near = max(near, gap / run)
        else:
            far = min(far, gap / run)
    if near >= far:
        return None
    start = a if near == 0.0 else (a[0] + near * dx, a[1] + near * dy)
    end = b if far == 1.0 else (a[0] + far * dx, a[1] + far * dy)
    return start, end
