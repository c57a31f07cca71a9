"""Plugs and cables: the envelope of a plug, the bend of its cable, and what a cable joins.

Rows are generic. None means unknown, and a check answers 'unknown' to it. Lengths mm.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from math import hypot, pi
from typing import Annotated

from pydantic import AfterValidator

from kit.sources import SourceKeys
from kit.tables import Positive, Words, data_file, look_up, read_table


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
    inside radius of the bend over the cable's outer diameter `cable_od_mm`, which is None
    where it is not known.
    """

    key: str
    label: str
    section: Section
    exit: Exit
    plug_width_mm: Positive
    plug_height_mm: Positive
    plug_length_mm: Positive
    cable_od_mm: Positive | None = None
    bend_factor: Positive
    source: SourceKeys

    @property
    def bend_radius_mm(self) -> float | None:
        """Least inside radius to which the cable may be bent."""
        if self.cable_od_mm is None:
            return None
        return self.bend_factor * self.cable_od_mm

    @property
    def bend_mm(self) -> float | None:
        """Depth that the cable takes behind the plug to turn by 90 degrees.

        The inside radius plus the cable itself; none where the cable leaves sideways.
        """
        if self.exit is Exit.RIGHT_ANGLE:
            return 0.0
        if self.cable_od_mm is None or self.bend_radius_mm is None:
            return None
        return self.bend_radius_mm + self.cable_od_mm

    @property
    def depth_mm(self) -> float | None:
        """Room behind the panel: plug and bend."""
        return None if self.bend_mm is None else self.plug_length_mm + self.bend_mm

    @property
    def hole_mm(self) -> float:
        """Smallest round hole the plug passes, straight on and without play."""
        if self.section is Section.ROUND:
            return max(self.plug_width_mm, self.plug_height_mm)
        return hypot(self.plug_width_mm, self.plug_height_mm)


def _known_connector(key: str) -> str:
    if key not in connectors():
        raise ValueError(f"there is no connector {key!r} in connectors.csv")
    return key


def _ascending(words: tuple[str, ...]) -> tuple[str, ...]:
    lengths = [float(word) for word in words]
    if not lengths or lengths != sorted(set(lengths)) or lengths[0] <= 0:
        raise ValueError("lengths above zero are wanted, in ascending order, apart by spaces")
    return words


class Service(Enum):
    """What a cable carries; mains is kept apart from the others."""

    SIGNAL = "signal"
    LOW_VOLTAGE = "low voltage"
    MAINS = "mains"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cable:
    """A kind of cable: the plugs at its two ends, and the lengths in which it is sold, m.

    `plug_from` is the end at the source of the signal or at the device that takes power.
    """

    key: str
    label: str
    service: Service
    plug_from: Annotated[str, AfterValidator(_known_connector)]
    plug_to: Annotated[str, AfterValidator(_known_connector)]
    lengths_m: Annotated[Words, AfterValidator(_ascending)]
    source: SourceKeys

    @property
    def plugs(self) -> tuple[Connector, Connector]:
        """The plugs at the two ends."""
        return (connector(self.plug_from), connector(self.plug_to))

    @property
    def od_mm(self) -> float | None:
        """Outer diameter, the greater of its two ends; None where one is not known."""
        sizes = [plug.cable_od_mm for plug in self.plugs]
        return None if None in sizes else max(size for size in sizes if size is not None)

    @property
    def area_mm2(self) -> float | None:
        """Cross-section, for the fill of a hole."""
        return None if self.od_mm is None else pi * self.od_mm**2 / 4

    @property
    def hole_mm(self) -> float:
        """Smallest round hole that passes either end, so that it can be drawn both ways."""
        return max(plug.hole_mm for plug in self.plugs)

    @property
    def stock_m(self) -> tuple[float, ...]:
        """The lengths in which it is sold, ascending, m."""
        return tuple(float(length) for length in self.lengths_m)


@cache
def connectors() -> Mapping[str, Connector]:
    """Return every connector by key."""
    return read_table(Connector, data_file("connectors.csv"))


def connector(key: str) -> Connector:
    """Return one connector. Raises `TableError` with the nearest keys if unknown."""
    return look_up(connectors(), key, "connector")


@cache
def cables() -> Mapping[str, Cable]:
    """Return every kind of cable by key."""
    return read_table(Cable, data_file("cables.csv"))


def cable(key: str) -> Cable:
    """Return one kind of cable. Raises `TableError` with the nearest keys if unknown."""
    return look_up(cables(), key, "kind of cable")
