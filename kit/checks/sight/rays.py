"""Straight lines through boards: which rays get through slots and holes, and past the wood.

Plain geometry on arrays. Points are (n, 3), mm in the room; a ray is the straight line from
a point of `start` to the point of `end` in the same row.
"""

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from math import atan2, degrees

import numpy as np
from numpy.typing import NDArray

from kit.board import Board
from kit.geometry import SAME_MM, Box, Cutter, Drill, Slot, cutter_box

type Points = NDArray[np.float64]
type Flags = NDArray[np.bool_]


def hits_box(start: Points, end: Points, box: Box) -> Flags:
    """Whether each ray goes through the inside of a box: the slab method."""
    near, far = np.full(len(start), 0.0), np.full(len(start), 1.0)
    hit: Flags = near < far
    for axis in (1, 0, 2):  # most boards that no ray meets lie behind, and one axis tells
        begin, step = start[:, axis], end[:, axis] - start[:, axis]
        low, high = box.lo[axis] + SAME_MM, box.hi[axis] - SAME_MM
        level = np.abs(step) < SAME_MM
        step[level] = 1.0
        a, b = (low - begin) / step, (high - begin) / step
        a, b = np.minimum(a, b), np.maximum(a, b)
        if level.any():
            outside = (begin <= low) | (begin >= high)
            a = np.where(level, np.where(outside, 2.0, 0.0), a)
            b = np.where(level, 1.0, b)
        near, far = np.maximum(near, a), np.minimum(far, b)
        hit = near < far
        if not hit.any():
            break
    return hit


def stopped(start: Points, end: Points, board: Board, shift: float = 0.0) -> Flags:
    """Whether each ray is stopped by a board that is moved by `shift` mm to the right.

    A ray that goes through a slot or a round hole must lie in it at both faces: an opening is
    convex, so it then lies in it all the way through the thickness.
    """
    if shift:
        moved = np.array([shift, 0.0, 0.0])
        start, end = start - moved, end - moved
    wood = hits_box(start, end, board.box)
    if not wood.any():
        return wood
    start, end = start[wood], end[wood]
    met = np.zeros(len(start), dtype=bool)
    for box in board.solid_boxes:
        met |= hits_box(start, end, box)
    openings = [c for c in board.cutters if _through(c, board)]
    if openings:
        low, high = _at_faces(start, end, board)
        for opening in openings:
            there = np.flatnonzero(met & _near(low, opening))
            inside = _inside(low[there], opening) & _inside(high[there], opening)
            met[there[inside]] = False
    wood[wood] = met
    return wood


def open_share(board: Board) -> float:
    """Open area of a board over its whole face, both seen square on: slots and round holes."""
    area = sum(_area(c) for c in board.cutters if _through(c, board))
    return area / (board.length * board.width)


def through(
    start: Points, end: Points, boards: Iterable[tuple[Board, float]], bodies: Iterable[Box]
) -> Flags:
    """Whether each ray passes all boards, each with its shift, and all bodies."""
    left = np.arange(len(start))
    free = np.zeros(len(start), dtype=bool)
    stops: list[Callable[[Points, Points], Flags]] = [
        *(partial(stopped, board=board, shift=shift) for board, shift in boards),
        *(partial(hits_box, box=body) for body in bodies),
    ]
    for stop in stops:
        met = stop(start, end)
        if met.any():
            start, end, left = start[~met], end[~met], left[~met]
    free[left] = True
    return free


def fan(sources: Points, targets: Points) -> tuple[Points, Points]:
    """Every source with every target, as two arrays of len(sources) * len(targets) rows."""
    return np.repeat(sources, len(targets), axis=0), np.tile(targets, (len(sources), 1))


def grid(lo: Sequence[float], hi: Sequence[float], counts: Sequence[int]) -> Points:
    """Middles of equal cells of a box, `counts` of them along each axis."""
    axes = [a + (np.arange(n) + 0.5) * (b - a) / n for a, b, n in zip(lo, hi, counts, strict=True)]
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)


def bearing_deg(start: Points, end: Points) -> Points:
    """Angle of each ray from straight ahead, in plan; positive where it comes from the right."""
    off = start - end
    found: Points = np.degrees(np.arctan2(off[:, 0], -off[:, 1]))
    return found


def off_axis_deg(start: Points, end: Points) -> Points:
    """Angle of each ray from straight ahead, whichever way it is off: nought up to 180 degrees."""
    off = start - end
    found: Points = np.degrees(np.arctan2(np.hypot(off[:, 0], off[:, 2]), -off[:, 1]))
    return found


def slot_angle_deg(width: float, thickness: float) -> float:
    """Steepest angle, in plan, of a ray that passes a slot: atan(width / thickness); lengths mm."""
    return degrees(atan2(width, thickness))


def gap_angle_deg(width: float, set_back: float) -> float:
    """How far to either side an eye sees that lies `set_back` behind a thin gap: atan(w / 2s)."""
    return degrees(atan2(width, 2 * set_back))


def _through(cutter: Cutter, board: Board) -> bool:
    if isinstance(cutter, Slot):
        return cutter.lo <= SAME_MM and cutter.hi >= board.thickness - SAME_MM
    return isinstance(cutter, Drill) and cutter.through and abs(cutter.heading[2]) == 1.0


def _area(cutter: Cutter) -> float:
    if isinstance(cutter, Slot):
        return cutter.area_mm2
    assert isinstance(cutter, Drill)
    return float(np.pi * cutter.diameter**2 / 4)


def _at_faces(start: Points, end: Points, board: Board) -> tuple[Points, Points]:
    """Where each ray meets the planes of the two faces, in the board's own x and y.

    A ray along the board meets neither: nan, which lies in no opening.
    """
    ways = (board.place.along, board.place.across, board.place.out)

    def own(points: Points) -> Points:
        columns = [w.sign * (points[:, w.axis] - board.place.corner[w.axis]) for w in ways]
        return np.stack(columns, axis=1)

    a, b = own(start), own(end)
    rise = b[:, 2] - a[:, 2]
    with np.errstate(divide="ignore", invalid="ignore"):
        meets = [
            a[:, :2] + (b[:, :2] - a[:, :2]) * ((z - a[:, 2]) / rise)[:, None]
            for z in (0.0, board.thickness)
        ]
    return meets[0], meets[1]


def _near(points: Points, cutter: Cutter) -> Flags:
    """Whether points of a face lie in the box round an opening: few do, and it is soon told."""
    box = cutter_box(cutter)
    x, y = points[:, 0], points[:, 1]
    near: Flags = (x > box.lo[0] - SAME_MM) & (x < box.hi[0] + SAME_MM)
    near &= (y > box.lo[1] - SAME_MM) & (y < box.hi[1] + SAME_MM)
    return near


def _inside(points: Points, cutter: Cutter) -> Flags:
    """Whether points of a face lie in an opening."""
    if isinstance(cutter, Slot):
        off = points - np.array(cutter.centre)
        half, radius, along = (cutter.length - cutter.width) / 2, cutter.width / 2, cutter.along
    else:
        assert isinstance(cutter, Drill)
        off = points - np.array(cutter.entry[:2])
        half, radius, along = 0.0, cutter.diameter / 2, 0
    past = np.maximum(np.abs(off[:, along]) - half, 0.0)
    within: Flags = np.hypot(past, off[:, 1 - along]) < radius
    return within
