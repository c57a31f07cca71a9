"""Channels and notches found in a solid: floors with walls beside them, and walls right through.

Everything is read off the planar faces of the solid. What a deeper cut took away of a shallow
one is given back, so that each channel has the start and stop that it was cut with.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from kit.board import Board, Surface
from kit.geometry import Box, Vec
from kit.joinery import Trench
from kit.solid import Flat, Measures

#: Faces of a solid closer than this are one, mm.
SAME = 1e-4


@dataclass(frozen=True, slots=True)
class Channel:
    """A square-cornered channel in a face, as the solid has it, mm from the datum corner.

    It lies between `lo` and `hi` across, and runs the other way. `starts` and `stops` are where
    it may have been started and stopped: more than one where another cut took the end away.
    `taken` is where a deeper cut took away the start, and the stop: somewhere there it was.
    """

    surface: Surface
    across: int
    lo: float
    hi: float
    depth: float
    starts: tuple[float, ...]
    stops: tuple[float, ...]
    taken: tuple[tuple[float, float], tuple[float, float]]
    region: Box


def channels(solid: Measures, surface: Surface, across: int) -> tuple[Channel, ...]:
    """Every channel cut into a face, seen across board axis `across` (0 or 1).

    A channel that is open or closed all round is found for both axes.
    """
    floors = [flat for flat in solid.flats if _is_floor(solid, flat, surface)]

    def lane(flat: Flat) -> tuple[float, float, float]:
        return (
            round(flat.at, 4), round(flat.box.lo[across], 4), round(flat.box.hi[across], 4)
        )  # fmt: skip

    found = []
    for _, alike in groupby(sorted(floors, key=lane), key=lane):
        pieces = sorted(alike, key=lambda flat: flat.box.lo[1 - across])
        for run in _joined(solid, pieces, surface, across):
            found.append(_channel(solid, run, surface, across))
    return tuple(found)


def made_by(board: Board, channel: Channel) -> Iterator[Trench]:
    """The trenches of a board that lie as this channel lies across, and may have made it."""
    for feature in board.features:
        if (
            isinstance(feature, Trench)
            and (feature.surface, feature.across) == (channel.surface, channel.across)
            and abs(feature.offset - channel.lo) < SAME
            and abs(feature.offset + feature.width - channel.hi) < SAME
        ):
            yield feature


def ends(board: Board, channel: Channel) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Where a channel may have been started and stopped.

    An end that a deeper cut took away is not to be seen on the solid any more: there the board
    says where in that cut it was.
    """
    made = [
        feature for feature in made_by(board, channel) if abs(feature.depth - channel.depth) < SAME
    ]
    (a, b), (c, d) = channel.taken
    starts = (feature.start for feature in made if a - SAME < feature.start < b + SAME)
    stops = (feature.stop for feature in made if c - SAME < feature.stop < d + SAME)
    return (*channel.starts, *starts), (*channel.stops, *stops)


def walls(solid: Measures) -> tuple[Flat, ...]:
    """The planar faces within the blank that are square to a board axis."""
    return tuple(
        flat
        for flat in solid.flats
        if (axis := flat.axis) is not None
        and solid.box.lo[axis] + SAME < flat.at < solid.box.hi[axis] - SAME
    )


def inside(box: Box, region: Box) -> bool:
    """Whether a box lies in a region; faces may touch."""
    return all(region.lo[i] - SAME <= box.lo[i] for i in range(3)) and all(
        box.hi[i] <= region.hi[i] + SAME for i in range(3)
    )


def overlap(box: Box, region: Box, axes: Sequence[int]) -> bool:
    """Whether they share some length along each of the axes."""
    return all(min(box.hi[i], region.hi[i]) - max(box.lo[i], region.lo[i]) > SAME for i in axes)


def _is_floor(solid: Measures, flat: Flat, surface: Surface) -> bool:
    if flat.axis != 2 or flat.outward is not surface.far:
        return False
    if not solid.box.lo[2] + SAME < flat.at < solid.box.hi[2] - SAME:
        return False
    return not any(_ends_in(bore.end, bore.diameter, flat) for bore in solid.bores)


def _ends_in(end: Vec, diameter: float, flat: Flat) -> bool:
    """Whether a flat is the round floor of a bore that ends there."""
    spans = zip(flat.box.lo[:2], flat.box.hi[:2], end[:2], strict=True)
    return abs(end[2] - flat.at) < SAME and all(
        lo >= at - diameter / 2 - SAME and hi <= at + diameter / 2 + SAME for lo, hi, at in spans
    )


def _slab(flats: Sequence[Flat], solid: Measures, surface: Surface) -> Box:
    """The room over pieces of a floor, up to the face that they are cut from."""
    lo = [min(flat.box.lo[i] for flat in flats) for i in range(3)]
    hi = [max(flat.box.hi[i] for flat in flats) for i in range(3)]
    if surface.far:
        hi[2] = solid.box.hi[2]
    else:
        lo[2] = solid.box.lo[2]
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


def _ends(
    solid: Measures, slab: Box, floor: float | None, surface: Surface, run: int, upper: bool
) -> Iterator[float]:
    """Where walls close the lane of a channel towards its stop (`upper`) or start.

    Such a wall stands on the floor: what closes only higher up, or goes down deeper, belongs to
    another cut. Without a floor it is any wall.
    """
    for flat in solid.flats:
        if flat.axis == run and flat.outward is not upper:
            foot = (flat.box.lo if surface.far else flat.box.hi)[2]
            at_floor = floor is None or abs(foot - floor) < SAME
            if overlap(flat.box, slab, (1 - run, 2)) and at_floor:
                yield flat.at


def _joined(
    solid: Measures, pieces: Sequence[Flat], surface: Surface, across: int
) -> Iterator[list[Flat]]:
    """Pieces of one floor that a deeper cut parted; two stopped channels in a lane stay two."""
    run: list[Flat] = []
    axis = 1 - across
    for piece in pieces:
        if run:
            slab = _slab([*run, piece], solid, surface)
            gap = (run[-1].box.hi[axis] - SAME, piece.box.lo[axis] + SAME)
            closed = any(
                gap[0] <= end <= gap[1]
                for upper in (False, True)
                for end in _ends(solid, slab, piece.at, surface, axis, upper)
            )
            if closed:
                yield run
                run = []
        run.append(piece)
    if run:
        yield run


def _channel(solid: Measures, run: Sequence[Flat], surface: Surface, across: int) -> Channel:
    axis = 1 - across
    slab, floor = _slab(run, solid, surface), run[0].at
    low, high = slab.lo[axis], slab.hi[axis]
    uppers = [e for e in _ends(solid, slab, floor, surface, axis, True) if e >= high - SAME]
    lowers = [e for e in _ends(solid, slab, floor, surface, axis, False) if e <= low + SAME]
    stop = min(uppers, default=solid.box.hi[axis])
    start = max(lowers, default=solid.box.lo[axis])
    tops = [e for e in _ends(solid, slab, None, surface, axis, True) if e >= high - SAME]
    feet = [e for e in _ends(solid, slab, None, surface, axis, False) if e <= low + SAME]
    lo, hi = list(slab.lo), list(slab.hi)
    lo[axis], hi[axis] = start, stop
    depth = solid.box.hi[2] - floor if surface.far else floor - solid.box.lo[2]
    return Channel(
        surface=surface,
        across=across,
        lo=slab.lo[across],
        hi=slab.hi[across],
        depth=depth,
        starts=(start, low) if low - start > SAME else (start,),
        stops=(stop, high) if stop - high > SAME else (stop,),
        taken=(
            (max(feet, default=solid.box.lo[axis]), low),
            (high, min(tops, default=solid.box.hi[axis])),
        ),
        region=Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])),
    )
