"""The design: everything a maker decides, in one frozen value.

`Design` is what a design file holds and what `kit.casework.build` turns into boards. Field
names are those of the file.
"""

from pydantic import ConfigDict, Field

from kit.components.back import Back
from kit.components.base import Base
from kit.components.case import Case
from kit.components.contents import GearItem
from kit.components.divider import Divider
from kit.components.doors import Doors
from kit.components.extra import ExtraHole, ExtraNotch
from kit.components.shelf import Shelf
from kit.components.spec import Spec
from kit.units import NonNegativeLength, PositiveLength, System


class Room(Spec):
    """Where the console stands."""

    wall_gap: NonNegativeLength = 25.0
    """From the rear of the case to the wall."""
    screen: PositiveLength | None = None
    """Diagonal of the screen, 16:9."""


class Measured(Spec):
    """What the maker measured; it takes the place of what the tables say."""

    thickness: dict[str, tuple[PositiveLength, ...]] = Field(default_factory=dict)
    """Caliper readings of the sheets by key; several a sheet, at ends and edges."""


class Shop(Spec):
    """How the shop works."""

    units: System = System.INCH
    """in or mm: the one system of everything that is printed."""
    trim: NonNegativeLength = 12.7
    """Added to length and width of each layer of a laminated board, and trimmed off after."""


class Design(Spec):
    """One piece of casework: components, gear, room and shop."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    name: str = Field(min_length=1, max_length=80)
    """Name of the piece."""
    case: Case
    """The case."""
    dividers: tuple[Divider, ...] = Field(default=(), alias="divider", max_length=20)
    """Dividers; the order does not matter."""
    shelves: tuple[Shelf, ...] = Field(default=(), alias="shelf", max_length=100)
    """Shelves, counted in this order."""
    back: Back | None = None
    """Back panels."""
    doors: Doors | None = None
    """Sliding doors."""
    base: Base | None = None
    """What the case stands on."""
    gear: tuple[GearItem, ...] = Field(default=(), max_length=100)
    """What stands in it."""
    holes: tuple[ExtraHole, ...] = Field(default=(), alias="hole", max_length=500)
    """Holes that the maker adds."""
    notches: tuple[ExtraNotch, ...] = Field(default=(), alias="notch", max_length=100)
    """Notches that the maker adds."""
    room: Room = Room()
    """Where it stands."""
    measured: Measured = Measured()
    """What was measured."""
    shop: Shop = Shop()
    """How the shop works."""
