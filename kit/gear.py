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
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator

from kit.cabling import connectors
from kit.errors import UnitError
from kit.sources import SourceKeys
from kit.tables import (
    NotNegative,
    Positive,
    Words,
    data_file,
    look_up,
    read_table,
    split_words,
)

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


class Face(Enum):
    """A face of a device, seen from its front."""

    FRONT = "front"
    BACK = "back"
    LEFT = "left"
    RIGHT = "right"
    TOP = "top"
    BOTTOM = "bottom"


def _known_connectors(keys: tuple[str, ...]) -> tuple[str, ...]:
    for key in keys:
        if key not in connectors():
            raise ValueError(f"there is no connector {key!r} in connectors.csv")
    return keys


@dataclass(frozen=True, slots=True, kw_only=True)
class GearKind:
    """A kind of device: body, mass, heat, air, front and rear.

    `height_mm` is over all, standing on its feet, of which the feet are `feet_mm`;
    `knob_mm` stands out in front of `depth_mm`; an aerial in use rises
    `antenna_up_mm` above `height_mm`. Heat left in the cabinet, in watts: `standby_w`
    switched off but plugged in, `idle_w` on and silent, `typical_w` in use (power sent
    out to speakers is not heat here); `plate_w` is what the rating plate says.
    `max_intake_c` is the warmest air it may draw in. `clear_*_mm` is the free air the
    manual asks for. A power strip's own heat is taken as none. `plugs` are keys of the
    connectors at the rear; `intake` and `exhaust` the faces through which it breathes (empty:
    none, or not known). It may have an `infrared` receiver behind its front, a `radio` inside
    or an aerial, and things that want to be at hand (`reach`: a disc goes in). What feeds
    others has `sockets`, so far from middle to middle, that carry `rating_w` together. An
    `adaptor` hands on what it draws, so that its plate does not say its own heat.
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
    plugs: Annotated[Words, AfterValidator(_known_connectors)]
    intake: Annotated[tuple[Face, ...], BeforeValidator(split_words)] = ()
    exhaust: Annotated[tuple[Face, ...], BeforeValidator(split_words)] = ()
    infrared: bool
    radio: bool
    reach: bool
    sockets: int | None = None
    socket_pitch_mm: Positive | None = None
    rating_w: Positive | None = None
    adaptor: bool = False
    size_source: SourceKeys
    heat_source: SourceKeys
    clear_source: SourceKeys = ()
    front_source: SourceKeys = ()


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
