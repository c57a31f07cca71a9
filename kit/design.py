"""The design: everything a maker decides, in one frozen value.

`Design` is what a design file holds and what `kit.casework.build` turns into boards. Field
names are those of the file.
"""

from decimal import Decimal
from typing import Annotated

from pydantic import ConfigDict, Field

from kit.components.back import Back
from kit.components.base import Base
from kit.components.cables import CableRun
from kit.components.case import Case
from kit.components.divider import Divider
from kit.components.doors import Doors
from kit.components.extra import ExtraHole, ExtraNotch
from kit.components.fan import Fan
from kit.components.gear_item import GearItem
from kit.components.shelf import Shelf
from kit.components.spec import Letters, Name, Spec
from kit.components.stored import Content
from kit.limits import Acceptance, Fixed, Limits
from kit.room import Room, Screen
from kit.shop import SheetOnHand, Shop
from kit.title_block import Issue, Revision
from kit.units.fields import PositiveLength

type Price = Annotated[Decimal, Field(ge=0, le=1_000_000_000, allow_inf_nan=False)]
"""An amount of money, nought or more."""
type Readings = Annotated[tuple[PositiveLength, ...], Field(max_length=100)]
"""What a caliper reads in several places."""


class Measured(Spec):
    """What the maker measured; it takes the place of what the tables say."""

    thickness: dict[str, Readings] = Field(default_factory=dict, max_length=200)
    """Caliper readings of the sheets by key; several a sheet, at ends and edges."""
    opening: dict[str, PositiveLength] = Field(default_factory=dict, max_length=200)
    """What the dry-fitted case measures: height (between top and bottom), bay-1, bay-2, ..."""
    cut: tuple[str, ...] = Field(default=(), max_length=500)
    """Names of boards that were cut before anything was measured."""


class Matched(Spec):
    """Boards cut from one sheet: for running grain, or because they must share one thickness."""

    boards: tuple[str, ...] = Field(min_length=2, max_length=50)
    """Names of the boards."""


class Prices(Spec):
    """What things cost, by the unit that the buy list counts: a sheet, a roll, a piece."""

    currency: Letters = ""
    """As it is to be printed after an amount."""
    each: dict[str, Price] = Field(default_factory=dict, max_length=2000)
    """Price of one, by key of the buy list."""


class Design(Spec):
    """One piece of casework: components, gear, room and shop."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    name: Name
    """Name of the piece."""
    case: Case
    """The case."""
    dividers: tuple[Divider, ...] = Field(default=(), alias="divider", max_length=20)
    """Dividers; the order does not matter."""
    shelves: tuple[Shelf, ...] = Field(default=(), alias="shelf", max_length=250)
    """Shelves, counted in this order."""
    back: Back | None = None
    """Back panels."""
    doors: Doors | None = None
    """Sliding doors."""
    base: Base | None = None
    """What the case stands on."""
    gear: tuple[GearItem, ...] = Field(default=(), max_length=100)
    """The devices that stand in it and on it."""
    contents: tuple[Content, ...] = Field(default=(), alias="content", max_length=100)
    """Records, books, discs: what else it holds."""
    cables: tuple[CableRun, ...] = Field(default=(), alias="cable", max_length=200)
    """What is connected with what."""
    fans: tuple[Fan, ...] = Field(default=(), alias="fan", max_length=20)
    """Fans."""
    holes: tuple[ExtraHole, ...] = Field(default=(), alias="hole", max_length=500)
    """Holes that the maker adds."""
    notches: tuple[ExtraNotch, ...] = Field(default=(), alias="notch", max_length=100)
    """Notches that the maker adds."""
    room: Room = Room()
    """Where it stands."""
    screen: Screen | None = None
    """The screen on it or above it."""
    next_screen: Screen | None = None
    """The screen that may come after it: judged as a second scenario."""
    measured: Measured = Measured()
    """What was measured."""
    shop: Shop = Shop()
    """How the shop works."""
    prices: Prices = Prices()
    """What things cost, where that is to be added up."""
    sheets: tuple[SheetOnHand, ...] = Field(default=(), alias="sheet", max_length=200)
    """Sheets on hand or to be bought; for a stock that none names, sheets of usual size."""
    matched: tuple[Matched, ...] = Field(default=(), max_length=50)
    """Sets of boards that come from one sheet."""
    limits: Limits = Limits()
    """What the checks hold it against."""
    fixed: Fixed = Fixed()
    """What no proposed change touches."""
    accepted: tuple[Acceptance, ...] = Field(default=(), max_length=200)
    """Findings that the maker accepts, each with a reason."""
    pack: Issue = Issue()
    """How the plans are issued: what stands in the title block."""
    revisions: tuple[Revision, ...] = Field(default=(), alias="revision", max_length=100)
    """The revisions, the latest last."""
