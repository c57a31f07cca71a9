"""What a page says, as the page says it: words, and what they claim to be."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING

from kit.board import Surface
from kit.making.labels import Label
from kit.units import System

if TYPE_CHECKING:
    from kit.draw.parts import PartDrawing


class What(Enum):
    """Which size of a board is printed, as (state, side); the names are those of the cut list."""

    FINISHED_T = ("finished", "thickness")
    FINISHED_W = ("finished", "width")
    FINISHED_L = ("finished", "length")
    CUT_T = ("cut", "thickness")
    CUT_W = ("cut", "width")
    CUT_L = ("cut", "length")
    ROUGH_T = ("rough", "thickness")
    ROUGH_W = ("rough", "width")
    ROUGH_L = ("rough", "length")

    @property
    def state(self) -> str:
        """Finished, cut or rough."""
        return self.value[0]

    @property
    def side(self) -> str:
        """Thickness, width or length."""
        return self.value[1]

    @property
    def plain(self) -> str:
        """The name of its column: `finished L`."""
        return f"{self.state} {self.side[0].upper()}"


@dataclass(frozen=True, slots=True)
class PrintedSize:
    """A size of a board; `where` names the page or file."""

    where: str
    board: str
    what: What
    words: str


@dataclass(frozen=True, slots=True)
class PrintedCount:
    """How many boards, or how many of one stock where `stock` names its key."""

    where: str
    number: int
    stock: str = ""


@dataclass(frozen=True, slots=True)
class PrintedArea:
    """An open area of a board seen square on, with its unit: "365 cm²", "56.6 in2"."""

    where: str
    board: str
    words: str


@dataclass(frozen=True, slots=True)
class PrintedStation:
    """A dimension on the drawing of a part, from the datum corner along board axis `axis`.

    It ends at an edge, or at the centre or the side of a hole. At the far end it is the finished
    size of the board, and printed as that; elsewhere it is printed as a place is. `fine` says
    that it is written as bores and joints are; along the thickness it always is.
    """

    where: str
    board: str
    axis: int
    words: str
    fine: bool = False


@dataclass(frozen=True, slots=True)
class PrintedBore:
    """`count` round holes of a board; `depth` is empty for those that go right through.

    `surface`, where it is named, is the one that they are bored from.
    """

    where: str
    board: str
    diameter: str
    depth: str = ""
    count: int = 1
    surface: Surface | None = None


def part_stations(
    where: str, drawings: "Iterable[PartDrawing]", system: System
) -> tuple[PrintedStation, ...]:
    """Every dimension that stands on the views of part drawings, for each board that they show."""
    return tuple(
        PrintedStation(where, board.name, one.axis, f"{one.words} {system.value}")
        for drawing in drawings
        for board in drawing.boards
        for one in drawing.drawn
    )


type Printed = PrintedSize | PrintedCount | PrintedArea | PrintedStation | PrintedBore


@dataclass(frozen=True, slots=True)
class Drawn:
    """What stands on drawings and labels.

    `marks` are the marks on the drawings, by the name of the page. `printed` is every number
    that pages show besides the lists, and `labels` are the labels as printed.
    """

    marks: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    printed: tuple[Printed, ...] = ()
    labels: tuple[Label, ...] = ()
