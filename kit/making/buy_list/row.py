"""One line of the buy list, and the keys that steps and buy list share."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

from kit.board import Board
from kit.casework import Casework
from kit.components.made import Fastening, Means
from kit.hardware import Grommet, liner_of
from kit.joinery import Hole, Purpose
from kit.units import System, decimal

#: Wall anchors of every console. Common practice, no source.
ANCHOR, ANCHORS = "anti-tip-strap", 2
#: What ties the screen to the wall, and what levels the case.
SCREEN_STRAP, SHIMS = "screen-strap", "shims"
SCREEN_STRAP_LABEL = "anti-tip strap for the screen"
#: The glue of every joint.
GLUE = "pva"
#: Grits of sandpaper, in turn. Common practice, no source.
GRITS = (120, 180, 220)
WAX, TAPE, PAPER = "paste-wax", "masking-tape", "sandpaper"


class BuyKind(Enum):
    """What sort of thing is bought, in the order of the list."""

    SHEET = "sheet"
    LUMBER = "lumber"
    EDGING = "edging"
    HARDWARE = "hardware"
    FAN = "fan"
    GLUE = "glue"
    FINISH = "finish"
    CONSUMABLE = "consumable"
    CABLE = "cable"


class Measure(Enum):
    """What `BuyRow.need` counts; a length is in mm."""

    SHEETS = "sheets"
    PIECES = "pieces"
    LENGTH = "mm"
    LITRES = "l"


@dataclass(frozen=True, slots=True)
class Bore:
    """A hole that a piece wants: its actual diameter in mm, and the cutter that makes it."""

    diameter: float
    cutter: str
    purpose: str = ""


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in the currency of the design."""

    amount: Decimal
    currency: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyRow:
    """One line of the buy list.

    `need` is exact, in `measure`; `buy` is how many `sold_as` to buy, each of which holds
    `pack` of the same measure. `at_least` marks a bound that may be too low. `price` is for
    one of what is bought; None where the design names none. `untabled_mm` is the diameter of a
    piece that no table has: the label cannot say it, as a list is printed in either system.
    """

    kind: BuyKind
    key: str
    label: str
    need: float
    measure: Measure
    buy: int
    sold_as: str
    pack: float
    allowance: str
    purpose: str
    bores: tuple[Bore, ...] = ()
    at_least: bool = False
    note: str = ""
    price: Money | None = None
    untabled_mm: float | None = None

    def named(self, system: System) -> str:
        """What it is called in a list, with the size that its label leaves open."""
        size = "" if self.untabled_mm is None else f": {decimal(self.untabled_mm, system)}"
        return self.label + size

    @property
    def cost(self) -> Decimal | None:
        """What all of it costs; None where it has no price."""
        return None if self.price is None else self.price.amount * self.buy


def hardware_key(fastening: Fastening) -> str | None:
    """The key of the row that a fastening is bought on; None for plain glue."""
    if fastening.means is Means.GLUE:
        return None
    if fastening.item is not None:
        return fastening.item
    return f"{fastening.means.value.replace(' ', '-')}-{fastening.diameter or 0:g}"


def liner_for(hole: Hole) -> Grommet | None:
    """The liner whose own hole has this diameter; a hole 0.1 mm off gets none."""
    if hole.purpose is not Purpose.CABLE or hole.depth is not None:
        return None
    return liner_of(hole.diameter)


def liners(board: Board) -> Iterator[Grommet]:
    """The liners of a board, one a cable hole."""
    for feature in board.features:
        if isinstance(feature, Hole):
            row = liner_for(feature)
            if row is not None:
                yield row


def paper_key(grit: int) -> str:
    """The key of the sandpaper of a grit."""
    return f"{PAPER}-{grit}"


def price_of(casework: Casework, key: str) -> Money | None:
    """The price of one, where the design names it."""
    prices = casework.design.prices
    amount = prices.each.get(key)
    return None if amount is None else Money(amount, prices.currency)


def in_short(names: Iterable[str], most: int = 6) -> str:
    """The names in a row; the rest is counted where there are many."""
    names = list(names)
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more
