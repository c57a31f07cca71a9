"""The wall behind the piece, which stops it where it would tip backward."""

from dataclasses import dataclass

from kit.casework import Casework
from kit.checks.stability.tipping import touch_tilt_deg
from kit.geometry import Box


@dataclass(frozen=True, slots=True)
class Touch:
    """Where a piece that tips backward first touches the wall.

    `tilt_deg` is how far it has tipped by then. The point of the piece that touches is `height`
    above the floor and `reach` behind the edge that it turns over while it stands level, mm.
    """

    tilt_deg: float
    height: float
    reach: float


def touch(casework: Casework, base: Box) -> Touch | None:
    """Where a piece on the feet `base` touches the wall; None where it stands free, or would never
    touch. What else is behind it, a baseboard, is left out: the wall holds it higher up.
    """
    room = casework.design.room
    if room.free_standing:
        return None
    wall = casework.design.case.depth + room.wall_gap
    touches = []
    for box in (board.box for board in casework.boards):
        reach, height = box.hi[1] - base.hi[1], box.hi[2] - base.lo[2]
        tilt = touch_tilt_deg(reach, height, wall - box.hi[1])
        if tilt is not None:
            touches.append(Touch(tilt, height, reach))
    return min(touches, key=lambda one: one.tilt_deg, default=None)
