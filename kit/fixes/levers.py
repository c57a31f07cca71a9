"""What a parameter of the design can do for a finding, in the terms of the design file.

A lever is plain data: a field, the way it is turned and how far. Where a field names a row it has
a slot, which takes the rows that the finding is about:

    {gear} {content} {shelf} {divider} {panel} {hole} {notch} {fan} {cable}    a row, from 1
    {bay}      a bay, from the left        {bore}    a hole of a back panel, with its path
    {screen}   screen or next_screen
"""

from dataclasses import dataclass
from enum import Enum

from kit.units import Step


class Way(Enum):
    """Which way a value is turned."""

    MORE = "more"
    LESS = "less"
    EITHER = "either"


class Grid(Enum):
    """What a length is set to: whole ticks of a step.

    OVERALL is 1/16 in or 1 mm, JOINT half of that, for the depth of a cut and the play in it.
    """

    OVERALL = Step.OVERALL
    JOINT = Step.BOARD


class Edit(Enum):
    """A change that is more than one value of the file."""

    MOVE_GEAR = "the device to another place"
    MOVE_CONTENT = "the row of media to another place"
    ADD_BAY = "a divider more in the bay"
    EVEN_BAYS = "all bays of one width"
    OPEN_BACK = "the back of the bay left open"
    CLOSE_BACK = "the back of the bay closed"
    ADD_BACK = "a back"
    ADD_BASE = "a base"
    ADD_FAN = "a fan in the bay"
    ADD_VENTS = "holes low and high in the back panel of the bay"
    ADD_ADVISED_HOLE = "the hole that the check names"
    ADD_PANEL_HOLE = "a hole for cables in the back panel of the bay"
    ADD_SHEET = "a sheet of usual size on hand"
    REPLUG = "a lead to another socket"
    SHIFT_CASE = "the console moved along the wall"
    RIGHT_ANGLE = "plugs that leave at a right angle"


class Catalogue(Enum):
    """A table that holds the sizes of what can be bought or bored."""

    LINERS = "holes for cable liners"
    SHELF_PINS = "shelf pins"
    ROUTER_BITS = "router bits"
    EDGINGS = "edgings"
    CABLES = "kinds of cable"


@dataclass(frozen=True, slots=True)
class Size:
    """A length at `path`, turned up to `reach_mm` from what it is, and never under `least_mm`."""

    path: str
    way: Way
    reach_mm: float
    grid: Grid = Grid.OVERALL
    least_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class BayWidth:
    """The clear width of the bays concerned; the others share the rest."""

    way: Way
    reach_mm: float = 300.0


@dataclass(frozen=True, slots=True)
class Number:
    """A number at `path` in whole steps, from `least` to `most`."""

    path: str
    way: Way
    least: int
    most: int
    step: int = 1


@dataclass(frozen=True, slots=True)
class Option:
    """One of a few values at `path`."""

    path: str
    values: tuple[str | bool, ...]


@dataclass(frozen=True, slots=True)
class Bought:
    """One of the sizes or keys of a table at `path`."""

    path: str
    out_of: Catalogue
    way: Way = Way.EITHER


@dataclass(frozen=True, slots=True)
class Sheet:
    """The sheet goods at `path`: the same in another thickness."""

    path: str
    way: Way


type Lever = Size | BayWidth | Number | Option | Bought | Sheet | Edit
"""One way to change a design."""


@dataclass(frozen=True, slots=True)
class Nothing:
    """No parameter of the design cures it, for this reason."""

    reason: str
