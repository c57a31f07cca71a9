"""The electronics that a console holds: bodies, heat, plugs and the air they ask for.

All rows are generic, with typical values and ranges; they stand in until the maker
measures the real thing (`dataclasses.replace` makes a measured one from a row). None
means unknown, and a check answers 'unknown' to it; 0 means none, as of an aerial that
is not there. Lengths mm, temperatures °C.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from math import hypot, pi
from typing import Annotated

from pydantic import AfterValidator

from kit.errors import UnitError
from kit.sources import SourceKeys
from kit.tables import NotNegative, Positive, data_file, look_up, read_table

RACK_UNIT_MM = 44.45
"""Height of one rack unit (1.75 in). Source: eia-310."""

RACK_PANEL_WIDTH_MM = 482.6
"""Width of a rack panel (19 in). Source: eia-310."""

RACK_OPENING_MM = 450.0
"""Least clear width between the rack rails. Source: eia-310."""

RACK_HOLE_CENTRES_MM = 465.1
"""Between the hole columns of the two rails. Source: eia-310."""

RACK_HOLE_STEPS_MM = (12.7, 15.875, 15.875)
"""Steps from hole to hole up the rail, over one unit. Source: eia-310."""


class Section(Enum):
    """Cross-section of a plug's body."""

    RECTANGULAR = "rectangular"
    ROUND = "round"


class Exit(Enum):
    """Which way the cable leaves the plug: on behind it, or along the panel."""

    STRAIGHT = "straight"
    RIGHT_ANGLE = "right angle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Connector:
    """A plug with its cable: envelope of the body outside the socket, and the bend.

    `plug_length_mm` is how far it stands out of the panel; `bend_factor` is the least
    inside radius of the bend over the cable's outer diameter `cable_od_mm`.
    """

    key: str
    label: str
    section: Section
    exit: Exit
    plug_width_mm: Positive
    plug_height_mm: Positive
    plug_length_mm: Positive
    cable_od_mm: Positive
    bend_factor: Positive
    source: SourceKeys

    @property
    def bend_radius_mm(self) -> float:
        """Least inside radius to which the cable may be bent."""
        return self.bend_factor * self.cable_od_mm

    @property
    def bend_mm(self) -> float:
        """Depth that the cable takes behind the plug to turn by 90 degrees.

        The inside radius plus the cable itself; none where the cable leaves sideways.
        """
        if self.exit is Exit.RIGHT_ANGLE:
            return 0.0
        return self.bend_radius_mm + self.cable_od_mm

    @property
    def depth_mm(self) -> float:
        """Room behind the panel: plug and bend."""
        return self.plug_length_mm + self.bend_mm

    @property
    def hole_mm(self) -> float:
        """Smallest round hole the plug passes, straight on and without play."""
        if self.section is Section.ROUND:
            return max(self.plug_width_mm, self.plug_height_mm)
        return hypot(self.plug_width_mm, self.plug_height_mm)

    @property
    def cable_area_mm2(self) -> float:
        """Cross-section of the cable, for the fill of a hole."""
        return pi * self.cable_od_mm**2 / 4


def _known_connector(key: str) -> str:
    if key not in connectors():
        raise ValueError(f"there is no connector {key!r} in connectors.csv")
    return key


@dataclass(frozen=True, slots=True, kw_only=True)
class GearKind:
    """A kind of device: body, mass, heat, air and its deepest rear connector.

    `height_mm` is over all, standing on its feet, of which the feet are `feet_mm`;
    `knob_mm` stands out in front of `depth_mm`; an aerial in use rises
    `antenna_up_mm` above `height_mm`. Heat left in the cabinet, in watts: `standby_w`
    switched off but plugged in, `idle_w` on and silent, `typical_w` in use (power sent
    out to speakers is not heat here); `plate_w` is what the rating plate says.
    `max_intake_c` is the warmest air it may draw in. `clear_*_mm` is the free air the
    manual asks for. A power strip's own heat is taken as none.
    """

    key: str
    label: str
    width_mm: Positive
    width_min_mm: Positive
    width_max_mm: Positive
    height_mm: Positive
    height_min_mm: Positive
    height_max_mm: Positive
    depth_mm: Positive
    depth_min_mm: Positive
    depth_max_mm: Positive
    feet_mm: NotNegative | None = None
    knob_mm: NotNegative | None = None
    antenna_up_mm: NotNegative | None = None
    mass_kg: Positive | None = None
    mass_min_kg: Positive | None = None
    mass_max_kg: Positive | None = None
    standby_w: NotNegative | None = None
    idle_w: NotNegative | None = None
    typical_w: NotNegative | None = None
    plate_w: NotNegative | None = None
    max_intake_c: Positive | None = None
    clear_side_mm: NotNegative | None = None
    clear_top_mm: NotNegative | None = None
    clear_back_mm: NotNegative | None = None
    rear_connector: Annotated[str, AfterValidator(_known_connector)]
    size_source: SourceKeys
    heat_source: SourceKeys
    clear_source: SourceKeys = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """A named rule for the free air around a device; None where the rule says nothing.

    The rules contradict each other: judge under `lax` and under `strict`, and let the
    manual of the device go before both.
    """

    key: str
    label: str
    side_mm: Positive | None = None
    top_mm: Positive | None = None
    back_mm: Positive | None = None
    source: SourceKeys


@cache
def connectors() -> Mapping[str, Connector]:
    """Return every connector by key."""
    return read_table(Connector, data_file("connectors.csv"))


def connector(key: str) -> Connector:
    """Return one connector. Raises `TableError` with the nearest keys if unknown."""
    return look_up(connectors(), key, "connector")


@cache
def gear_kinds() -> Mapping[str, GearKind]:
    """Return every kind of gear by key."""
    return read_table(GearKind, data_file("gear.csv"))


def gear_kind(key: str) -> GearKind:
    """Return one kind of gear. Raises `TableError` with the nearest keys if unknown."""
    return look_up(gear_kinds(), key, "kind of gear")


@cache
def clearances() -> Mapping[str, Clearance]:
    """Return every clearance rule by key."""
    return read_table(Clearance, data_file("clearances.csv"))


def clearance(key: str) -> Clearance:
    """Return one clearance rule. Raises `TableError` with the nearest keys if unknown."""
    return look_up(clearances(), key, "clearance rule")


def rack_height_mm(units: int) -> float:
    """Return the height of so many rack units. Raises `UnitError` below one unit.

    Source: EIA-310, 1U = 44.45 mm.
    """
    if units < 1:
        raise UnitError(f"Rack gear cannot be {units} U high. Give a whole number from 1 up.")
    return units * RACK_UNIT_MM
