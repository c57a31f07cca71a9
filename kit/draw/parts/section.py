"""Sections through the channels of a board, large enough to read a groove from."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from kit.board import Board, Surface
from kit.draw.drafting import Figure, Fill, Flag, Line, Path, Relief, Scale, Slab, flags, span
from kit.draw.drafting.figure import Item, Point
from kit.joinery.trench import Trench
from kit.units import System, decimal

#: Wood shown on each side of a channel, mm of the piece.
BESIDE = 14.0
#: How far a break line swings, mm on paper.
SWING = 0.8


@dataclass(frozen=True)
class Profile:
    """A stretch of a board's section with channels of one face in it.

    `low` and `high` are mm from the datum across the channels; `cells` is the wood that is cut,
    as (low, high, bottom, top) with the cut face on top, from the far face up.
    """

    board: Board
    channels: tuple[Trench, ...]
    low: float
    high: float
    cells: tuple[tuple[float, float, float, float], ...]

    @property
    def shape(self) -> tuple[object, ...]:
        """What two profiles that look alike have in common."""
        axis = self.channels[0].across
        size = (self.board.length, self.board.width)[axis]
        ends = (self.low <= 0, self.high >= size)
        cells = tuple(
            tuple(round(value, 3) for value in (a - self.low, b - self.low, c, d))
            for a, b, c, d in self.cells
        )
        return (axis, self.channels[0].surface, ends, cells)


def profiles(board: Board) -> tuple[tuple[Profile, ...], ...]:
    """The profiles of a board's channels; those that look alike in one group."""
    groups: dict[tuple[object, ...], list[Profile]] = {}
    for surface in (Surface.FACE_A, Surface.FACE_B):
        for run in (0, 1):
            channels = [
                f
                for f in board.features
                if isinstance(f, Trench) and f.surface is surface and f.run == run
            ]
            for near in _clusters(sorted(channels, key=lambda f: f.offset)):
                profile = _profile(board, near)
                groups.setdefault(profile.shape, []).append(profile)
    return tuple(tuple(group) for group in groups.values())


def section_figure(profile: Profile, scale: Scale, system: System) -> Figure:
    """A profile at `scale`: cut wood hatched, each channel's width and depth, the thickness."""
    board, first = profile.board, profile.channels[0]
    size = (board.length, board.width)[first.across]

    def at(s: float, z: float) -> Point:
        return (scale.on_paper(s - profile.low), scale.on_paper(z))

    fill = Fill.CUT_ALONG if first.run == 1 else Fill.CUT_ACROSS
    items: list[Item] = []
    for a, b, c, d in profile.cells:
        corners = (at(a, c), at(b, c), at(b, d), at(a, d))
        items.append(Path(corners, None, closed=True, fill=fill))
    slabs = [Slab((a, b), (c, d), 0.0, board.name) for a, b, c, d in profile.cells]
    breaks = [s for s in (profile.low, profile.high) if 1e-3 < s < size - 1e-3]
    for start, end in Relief.of(slabs).edges():
        broken = start[0] == end[0] and any(abs(start[0] - s) < 1e-3 for s in breaks)
        drawn = (at(*start), at(*end))
        items.append(_break(*drawn) if broken else Path(drawn, Line.VISIBLE))
    top = board.thickness
    wanted = []
    for f in profile.channels:
        wide = decimal(f.width, system, least=f.least_width, unit=False)
        deep = decimal(f.depth, system, unit=False)
        point = at(f.offset + f.width / 2, top - f.depth)
        wanted.append(Flag(point, (f"{wide} wide, {deep} deep",)))
    right, level = at(profile.high, top)
    thick = span((right, 0.0), (right, level), decimal(top, system, unit=False), away=5.0)
    items += thick
    items += flags(wanted, max(level, *(item.frame.y1 for item in thick)))
    return Figure(tuple(items))


def _clusters(channels: Sequence[Trench]) -> Iterator[tuple[Trench, ...]]:
    """Channels so near to each other that one picture shows them."""
    near: list[Trench] = []
    for channel in channels:
        if near and channel.offset - max(f.offset + f.width for f in near) > 2 * BESIDE:
            yield tuple(near)
            near = []
        near.append(channel)
    if near:
        yield tuple(near)


def _profile(board: Board, channels: tuple[Trench, ...]) -> Profile:
    """The wood round some channels, cut where all of them are, or where the first is."""
    first = channels[0]
    size = (board.length, board.width)[first.across]
    low = max(0.0, min(f.offset for f in channels) - BESIDE)
    high = min(size, max(f.offset + f.width for f in channels) + BESIDE)
    start, stop = max(f.start for f in channels), min(f.stop for f in channels)
    if stop <= start:
        start, stop = first.start, first.stop
    at = _clear_of_cuts(board, first, start, stop)
    cells = []
    for box in board.rest:
        if not box.lo[first.run] < at < box.hi[first.run]:
            continue
        a, b = max(low, box.lo[first.across]), min(high, box.hi[first.across])
        if b - a < 1e-6:
            continue
        c, d = box.lo[2], box.hi[2]
        if first.surface is Surface.FACE_B:
            c, d = board.thickness - d, board.thickness - c
        cells.append((a, b, c, d))
    return Profile(board, channels, low, high, tuple(sorted(cells)))


def _clear_of_cuts(board: Board, first: Trench, start: float, stop: float) -> float:
    """A place along the channels away from what else is cut: the middle of the longest run."""
    sides = {start, stop}
    for box in board.rest:
        sides |= {s for s in (box.lo[first.run], box.hi[first.run]) if start < s < stop}
    ordered = sorted(sides)
    a, b = max(pairwise(ordered), key=lambda p: (round(p[1] - p[0], 3), -p[0]))
    return (a + b) / 2


def _break(a: Point, b: Point) -> Path:
    """A thin zigzag across a break (ISO 128)."""
    (x, y0), (_, y1) = a, b
    middle, half = (y0 + y1) / 2, min(1.6, abs(y1 - y0) / 4)
    swing = ((x - SWING, middle - half / 2), (x + SWING, middle + half / 2))
    points = ((x, y0), (x, middle - half), *swing, (x, middle + half), (x, y1))
    return Path(points, Line.THIN)
