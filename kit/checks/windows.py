"""The clear windows that sliding doors leave, over every state in which they can be put.

Doors on one track cannot pass each other. So of the doors of each track some are pushed to the
left end and the others to the right; what no track covers between them is the window. Every
other state leaves no more: doors pushed up to their end leave what any state between left.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from kit.casework import Casework
from kit.components.doors import DoorSet
from kit.geometry import SAME_MM


@dataclass(frozen=True, slots=True)
class Window:
    """A clear window from `lo` to `hi`, mm in X.

    `left` says of each track, the front one first, how many of its doors stand at the left end.
    """

    lo: float
    hi: float
    left: tuple[int, ...] = ()

    @property
    def width(self) -> float:
        """Clear width, mm; not above nought where the doors leave no window."""
        return self.hi - self.lo

    def within(self, lo: float, hi: float) -> "Window":
        """What of it lies between two ends."""
        return Window(max(self.lo, lo), min(self.hi, hi), self.left)


def windows(tracks: Sequence[Sequence[float]], lo: float, hi: float) -> tuple[Window, ...]:
    """Every window in an opening from `lo` to `hi`, widest first; mm.

    `tracks` holds the widths of the doors of each track from left to right.
    """
    found = []
    for left in product(*(range(len(widths) + 1) for widths in tracks)):
        ends = [(sum(w[:n]), sum(w[n:])) for w, n in zip(tracks, left, strict=True)]
        begin = lo + max((a for a, _ in ends), default=0.0)
        end = hi - max((b for _, b in ends), default=0.0)
        if end - begin > SAME_MM:
            found.append(Window(begin, end, left))
    return tuple(sorted(found, key=lambda window: (-window.width, window.lo, window.left)))


def door_windows(casework: Casework) -> tuple[Window, ...]:
    """The windows of a case, widest first; without doors the whole width between its sides."""
    clear = casework.frame.clear
    if casework.doors is None:
        return (Window(clear.lo[0], clear.hi[0]),)
    return windows(track_widths(casework.doors), clear.lo[0], clear.hi[0])


def track_widths(doors: DoorSet) -> tuple[tuple[float, ...], ...]:
    """Widths of the doors on each track from left to right, the front track first, mm."""
    hung = sorted(doors.doors, key=lambda door: door.shut)
    return tuple(
        tuple(door.board.box.size[0] for door in hung if door.track == track) for track in (0, 1)
    )


def widest(found: Sequence[Window], lo: float, hi: float) -> Window:
    """The window that opens most of a bay from `lo` to `hi`, cut to it.

    Of no width, at `lo`, where none does.
    """
    cut = [window.within(lo, hi) for window in found]
    return max(cut, key=lambda window: window.width, default=Window(lo, lo))
