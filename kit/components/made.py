"""What components hand to each other: boards, cuts into other boards, fastenings, bays."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Protocol

from kit.board import Board, Feature
from kit.errors import BuildError
from kit.geometry import Box
from kit.materials import Stock

#: Least wood over the tip of a screw, mm; common practice, no source.
OVER_TIP = 1.0
#: Least length of a pocket or back screw in the wood that it holds to, in diameters; common
#: practice, no source: what the screws of the charts have at least.
LEAST_GRIP = 2.5


class StockOf(Protocol):
    """Finds the stock of a key, with the thickness that the maker measured.

    Solid wood is planed to the thickness that the component asks for, in mm.
    """

    def __call__(self, key: str, planed_to: float | None = None) -> Stock:
        """Raises TableError for an unknown key or an impossible thickness."""


#: Key of the clear height between top and bottom among the measured openings.
HEIGHT = "height"


class Means(Enum):
    """How two boards are held together."""

    GLUE = "glue"
    SCREWS = "screws"
    POCKET_SCREWS = "pocket screws"
    BOLTS = "bolts"
    INSERTS = "threaded inserts"
    DOWELS = "dowels"
    CROSS_PINS = "cross pins"
    SHELF_PINS = "shelf pins"
    BACK_SCREWS = "round-head screws"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fastening:
    """One line of the attachment schedule: `count` pieces of `means` hold `board` to `to`.

    `item` is the key of the piece in the tables of hardware or lumber; None for glue, and for
    a piece that the tables lack. `length` (of a rod: of each piece cut from it) and
    `diameter` are in mm; None where the means has none.
    """

    board: str
    to: str
    means: Means
    count: int = 1
    item: str | None = None
    length: float | None = None
    diameter: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Made:
    """What one component adds: boards, (board name, feature) cuts, fastenings."""

    boards: tuple[Board, ...] = ()
    cuts: tuple[tuple[str, Feature], ...] = ()
    fastenings: tuple[Fastening, ...] = ()

    @classmethod
    def of(cls, parts: Iterable["Made"]) -> "Made":
        """All parts in one."""
        parts = tuple(parts)
        return cls(
            tuple(b for p in parts for b in p.boards),
            tuple(c for p in parts for c in p.cuts),
            tuple(f for p in parts for f in p.fastenings),
        )


@dataclass(frozen=True, slots=True)
class Frame:
    """The four boards of a case before any cut, and the clear box between them, mm."""

    top: Board
    bottom: Board
    left: Board
    right: Board
    clear: Box

    @property
    def boards(self) -> tuple[Board, Board, Board, Board]:
        """Top, bottom, left, right."""
        return (self.top, self.bottom, self.left, self.right)


@dataclass(frozen=True, slots=True)
class Bay:
    """The clear space between two upright boards; counted from 1 at the left.

    In depth it reaches from the sliding doors (or the front edge) to the back panel (or the
    rear edge); `open_back` says that no panel closes it.
    """

    number: int
    clear: Box
    left: Board
    right: Board
    open_back: bool = True

    @property
    def name(self) -> str:
        """The name as printed."""
        return f"bay {self.number}"

    @property
    def opening(self) -> str:
        """Key of its clear width among the measured openings."""
        return f"bay-{self.number}"


#: More boards and more holes than these are no piece of furniture.
MOST_BOARDS, MOST_HOLES = 500, 10_000
#: Of these so many that a maker places one by one, in back panels and elsewhere.
MOST_PLACED = 1_000


def bounded(count: int, most: int, what: str) -> int:
    """The count. Raises BuildError where it is more than `most`, before anything is made."""
    if count > most:
        told = f"{count}" if count < 10**9 else "far too many"
        raise BuildError(
            f"The piece has {told} {what}, and {most} is the most that the kit builds; "
            "make it smaller or space them wider."
        )
    return count


def stations(
    first: float,
    last: float,
    most_apart: float,
    *,
    taken: Sequence[tuple[float, float]] = (),
) -> tuple[float, ...]:
    """Evenly spaced stations from `first` to `last`, at most `most_apart` mm from each other.

    One station in the middle where the two ends are closer than a tenth of `most_apart`. A
    station within one of the `taken` spans moves to the nearer end of it, and may so stand up
    to half that span farther from the next; one that has nowhere to go is left out.

    Raises BuildError for more of them than a piece may have holes.
    """
    span = last - first
    if span < most_apart / 10:
        return ((first + last) / 2,)
    gaps = bounded(max(1, -int(-span // most_apart)), MOST_HOLES, "holes in one row")
    even = [first + span * i / gaps for i in range(gaps + 1)]
    return tuple(dict.fromkeys(s for one in even for s in _aside(one, first, last, taken)))


def _aside(
    station: float, first: float, last: float, taken: Sequence[tuple[float, float]]
) -> Iterator[float]:
    """The station, or the nearest end of a taken span where it can go instead."""
    if not any(a < station < b for a, b in taken):
        yield station
        return
    free = [
        end
        for span in taken
        for end in span
        if first <= end <= last and not any(a < end < b for a, b in taken)
    ]
    if free:
        yield min(free, key=lambda end: abs(end - station))
