"""What a side of a board may gain and lose where it stands, read off the boards around it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from math import inf

import numpy as np
from numpy.typing import NDArray

from kit.board import Board, Size
from kit.casework import Casework, once
from kit.components.doors import LEAST_ENGAGED, LEAST_LIFT
from kit.geometry import SAME_MM, Box

#: The coarser tick of boards in either system, mm.
COARSE = 25.4 / 32
#: Share of its reach into a housing that an end may lose. Common practice, no source.
REACH_LOST = 0.5


class Side(Enum):
    """The two sides of a board that a saw decides, by their axis of the board."""

    LENGTH = 0
    WIDTH = 1

    def of(self, size: Size) -> float:
        """That side of a size, mm."""
        return size.length if self is Side.LENGTH else size.width


@dataclass(frozen=True, slots=True)
class Room:
    """What a side of a board may gain and lose in mm, and what stands in the way of more."""

    gain: float = inf
    loss: float = inf
    stop: str = ""
    hold: str = ""


@once
def rooms(casework: Casework) -> Mapping[tuple[str, Side], Room]:
    """What each side of each board may gain and lose where it stands."""
    wood = _Wood(casework.boards)
    found = {(b.name, side): wood.room(b, side) for b in casework.boards for side in Side}
    if casework.doors:
        lift = max(0.0, casework.doors.lift - LEAST_LIFT)
        held = max(0.0, casework.doors.engagement - LEAST_ENGAGED)
        for door in casework.doors.doors:
            key = door.board.name, Side.LENGTH
            room = found[key]
            found[key] = Room(
                gain=min(room.gain, lift),
                loss=min(room.loss, held),
                stop=room.stop if room.gain <= lift else "the top of its groove as it is lifted in",
                hold=room.hold if room.loss <= held else "the top groove that holds it",
            )
    return found


class _Wood:
    """All boards as arrays of boxes in the room: (boxes, 3) corners, and whose each is."""

    def __init__(self, boards: Sequence[Board]) -> None:
        self.names = [board.name for board in boards]
        boxes = [(i, box) for i, board in enumerate(boards) for box in board.solid_boxes]
        self.owner = np.array([i for i, _ in boxes])
        self.lo, self.hi = _corners([box for _, box in boxes])
        self.blank_lo, self.blank_hi = _corners([board.box for board in boards])
        self.number = {name: i for i, name in enumerate(self.names)}

    def room(self, board: Board, side: Side) -> Room:
        """Half of the free way at both ends, and what the shallower housed end may lose."""
        i = self.number[board.name]
        axis = (board.place.along if side is Side.LENGTH else board.place.across).axis
        ways = [self._free(i, axis, up=up) for up in (False, True)]
        reach = [self._reach(i, axis, up=up) for up in (False, True)]
        stops = dict.fromkeys(name for _, name in ways if name)
        shallow = min(reach)
        free = sum(way for way, _ in ways)
        return Room(
            gain=min(free / 2, max(0.0, free - COARSE)),
            loss=shallow[0] * REACH_LOST,
            stop=" and ".join(stops),
            hold=shallow[1],
        )

    def _free(self, i: int, axis: int, *, up: bool) -> tuple[float, str]:
        """The way from an end of a board to the next wood before it, and whose that is."""
        # An end that looks down an axis is one that looks up the mirrored axis.
        lo, hi = (self.lo, self.hi) if up else (-self.hi, -self.lo)
        end = self.blank_hi[i, axis] if up else -self.blank_lo[i, axis]
        mine, others = self.owner == i, self.owner != i
        across = [k for k in range(3) if k != axis]
        best, who = inf, ""
        for a_lo, a_hi in zip(lo[mine], hi[mine], strict=True):
            if a_hi[axis] < end - SAME_MM:
                continue
            gap = lo[:, axis] - end
            #: What begins beyond the end is in the way from a tick beside it, too: both may grow.
            beside = np.where(gap >= -SAME_MM, 1.0, -SAME_MM)
            before = others & (hi[:, axis] > end + SAME_MM)
            for k in across:
                before &= (lo[:, k] < a_hi[k] + beside) & (hi[:, k] > a_lo[k] - beside)
            if before.any():
                at = int(np.flatnonzero(before)[np.argmin(gap[before])])
                if gap[at] < best:
                    best, who = max(0.0, float(gap[at])), self.names[int(self.owner[at])]
        return best, who

    def _reach(self, i: int, axis: int, *, up: bool) -> tuple[float, str]:
        """How far an end of a board lies within the blank of another, and whose that is."""
        lo, hi = (self.blank_lo, self.blank_hi) if up else (-self.blank_hi, -self.blank_lo)
        common = np.minimum(hi, hi[i]) - np.maximum(lo, lo[i])
        enters = (common > SAME_MM).all(axis=1)
        enters &= (lo[:, axis] > lo[i, axis] + SAME_MM) & (hi[:, axis] >= hi[i, axis] - SAME_MM)
        enters[i] = False
        if not enters.any():
            return inf, ""
        at = int(np.flatnonzero(enters)[np.argmin(common[enters, axis])])
        return float(common[at, axis]), self.names[at]


def _corners(boxes: Sequence[Box]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    return np.array([box.lo for box in boxes]), np.array([box.hi for box in boxes])
