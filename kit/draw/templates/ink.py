"""A region as it is drawn at full size: the outline and the cuts, and marks for the drill.

First in the region's own measures (p, q) from the corner, then on paper, where the corner lies
at the origin: lower left, or lower right where the paper is `turned` a quarter.
"""

from collections.abc import Callable, Iterator
from math import asin, cos, pi, sin

from kit.draw.drafting import Disc, Frame, Line, Path, Relief, Round, Slab, Words
from kit.draw.drafting.figure import Item, Point
from kit.draw.templates.clip import clipped
from kit.draw.templates.region import Region
from kit.geometry import SAME_MM, Drill, Slot, cutter_box
from kit.joinery import PocketHoles

#: Arms of a centre mark; they reach past the rim of a small hole by `PAST`, mm.
ARM, PAST = 5.0, 1.5
#: A break line swings so far, mm.
SWING = 0.8


def cuts(region: Region) -> tuple[Item, ...]:
    """The lines of a region in (p, q) from its corner, mm."""
    frame = Frame(0.0, 0.0, *region.size)
    items = [*_edges(region), *clipped(_openings(region), frame)]
    return (*items, *_centre_marks(region), *_breaks(region))


def on_paper(region: Region, *, turned: bool) -> Callable[[Point], Point]:
    """Where a point (p, q) of the region comes on paper, mm."""

    def at(point: Point) -> Point:
        x, y = point if region.lengthwise else point[::-1]
        return (-y, x) if turned else (x, y)

    return at


def laid(item: Item, at: Callable[[Point], Point]) -> Item:
    """A line of a region as it comes on paper."""
    assert not isinstance(item, Words)
    if isinstance(item, Path):
        return Path(tuple(map(at, item.points)), item.line, item.closed, item.fill)
    if isinstance(item, Disc):
        return Disc(at(item.centre), item.radius, item.line, item.fill)
    f = item.frame
    return Round(_frame(at((f.x0, f.y0)), at((f.x1, f.y1))), item.radius, item.line, item.fill)


def _frame(a: Point, b: Point) -> Frame:
    return Frame(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))


def _edges(region: Region) -> Iterator[Path]:
    """The edges of the wood less its square-cornered cuts; none where the region breaks off."""
    slabs = []
    for box in region.board.rest:
        lo, hi = region.local_box(box)
        lo = (max(lo[0], 0.0), max(lo[1], 0.0))
        hi = (min(hi[0], region.size[0]), min(hi[1], region.size[1]))
        near = box.hi[2] if region.surface.far else -box.lo[2]
        if all(b - a > SAME_MM for a, b in zip(lo, hi, strict=True)):
            slabs.append(Slab((lo[0], hi[0]), (lo[1], hi[1]), near, "wood"))
    for a, b in Relief.of(slabs).edges():
        broken = any(
            a[i] == b[i] and not region.whole[i] and abs(a[i] - region.size[i]) < 1e-3
            for i in (0, 1)
        )
        if not broken:
            yield Path((a, b), Line.VISIBLE)


def _openings(region: Region) -> Iterator[Item]:
    """Holes, slots and mouths of pocket holes in the face."""
    board = region.board
    for feature in board.features:
        for cutter in feature.cutters(board):
            if isinstance(cutter, Slot):
                frame = _frame(*region.local_box(cutter_box(cutter)))
                yield Round(frame, cutter.width / 2)
            elif isinstance(cutter, Drill) and region.enters(cutter):
                if abs(cutter.heading[2]) > 1 - SAME_MM:
                    yield Disc(region.local(*cutter.entry[:2]), cutter.diameter / 2)
                elif isinstance(feature, PocketHoles) and not cutter.through:
                    yield from _pocket(region, feature, cutter)


def _pocket(region: Region, feature: PocketHoles, cutter: Drill) -> Iterator[Item]:
    """The mouth of a pocket hole, and its centre line out to the edge or end."""
    long = cutter.diameter / 2 / sin(asin(abs(cutter.heading[2])))
    axis = feature.exit.axis
    centre = region.local(*cutter.entry[:2])
    half = [cutter.diameter / 2, cutter.diameter / 2]
    half[axis] = long
    turns = [i * pi / 60 for i in range(120)]
    yield Path(
        tuple((centre[0] + half[0] * cos(a), centre[1] + half[1] * sin(a)) for a in turns),
        Line.VISIBLE,
        closed=True,
    )
    out = list(cutter.entry)
    out[axis] = (region.board.length, region.board.width)[axis] if feature.exit.far else 0.0
    end = region.local(out[0], out[1])
    back = list(centre)
    back[axis] += (long + PAST) * (1 if centre[axis] > end[axis] else -1)
    yield Path((end, (back[0], back[1])), Line.CENTRE)


def _centre_marks(region: Region) -> Iterator[Path]:
    """A cross where the point of each drill, or the middle of a router bit, goes in."""
    for feature in region.board.features:
        radius = getattr(feature, "diameter", 0.0) / 2
        arm = ARM if radius == 0 or radius > ARM + PAST else radius + PAST
        if radius == 0:
            arm = 3.0
        for p, q in region.centres(feature):
            for dp, dq in ((arm, 0.0), (0.0, arm)):
                mark = Path(((p - dp, q - dq), (p + dp, q + dq)), Line.THIN)
                yield from (
                    item
                    for item in clipped([mark], Frame(0.0, 0.0, *region.size))
                    if isinstance(item, Path)
                )


def _breaks(region: Region) -> Iterator[Path]:
    """A thin zigzag where the board goes on (ISO 128, from memory)."""
    p, q = region.size
    if not region.whole[0]:
        yield Path(tuple((p + s, y) for s, y in _zigzag(q)), Line.THIN)
    if not region.whole[1]:
        yield Path(tuple((x, q + s) for s, x in _zigzag(p)), Line.THIN)


def _zigzag(length: float) -> tuple[Point, ...]:
    middle, half = length / 2, min(1.6, length / 4)
    return (
        (0.0, 0.0),
        (0.0, middle - half),
        (-SWING, middle - half / 2),
        (SWING, middle + half / 2),
        (0.0, middle + half),
        (0.0, length),
    )
