"""The network: zones of air, openings between them, boards that conduct heat. Frozen data.

Zones are numbered from 0; ROOM stands for the air of the room. Lengths are in metres here,
since all else is SI; z is the height over the bottom of the case.
"""

from dataclasses import dataclass
from enum import Enum

from kit.checks.airflow.air import DISCHARGE
from kit.geometry import Box

#: The number of the room.
ROOM = -1


class OpeningKind(Enum):
    """What an opening is, as printed."""

    SLATS = "slats"
    DOOR_GAP = "gap at a door"
    DIVIDER_GAP = "gap in front of a divider"
    OPEN_FRONT = "open front"
    OPEN_BACK = "open back"
    BEHIND = "gap to the wall"
    CABLE_HOLE = "cable hole"
    VENT = "vent"
    PULL = "finger pull"
    NOTCH = "notch"
    SHELF_GAP = "gap at a shelf"
    FAN = "fan"
    LEAK = "joints"


class ZoneKind(Enum):
    """Where a zone is."""

    BAY = "bay"
    BEHIND = "behind the case"
    UNDER = "under the case"


@dataclass(frozen=True, slots=True)
class Zone:
    """Air of one temperature. `box` in mm, as seen in the room; `bay` 0 outside the bays."""

    name: str
    box: Box
    kind: ZoneKind = ZoneKind.BAY
    bay: int = 0


@dataclass(frozen=True, slots=True)
class Mouth:
    """Where air enters or leaves an opening: boxes of its clear way in the room, mm, side by side,
    and the axis of the room along which it passes them."""

    axis: int
    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A way for air from zone `a` to zone `b`, from `low_m` to `high_m`; both equal if level.

    `width_m` is the least clear width and `depth_m` the length of the way, for the drag of
    narrow gaps. A fan adds `boost_pa` from `a` to `b`. `x_mm`, `y_mm` is its middle. All air
    passes each of its `mouths`; joints have none.
    """

    kind: OpeningKind
    a: int
    b: int
    area_m2: float
    low_m: float
    high_m: float
    width_m: float
    depth_m: float
    discharge: float = DISCHARGE
    boost_pa: float = 0.0
    x_mm: float = 0.0
    y_mm: float = 0.0
    board: str = ""
    mouths: tuple[Mouth, ...] = ()

    @property
    def z_m(self) -> float:
        """Height of its middle."""
        return (self.low_m + self.high_m) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A board, or part of one, that conducts from `a` to `b`, with the heat that it stores."""

    a: int
    b: int
    ua_w_k: float
    capacity_j_k: float = 0.0
    board: str = ""


@dataclass(frozen=True, slots=True)
class Network:
    """All zones, openings and links of a console in one state of its doors."""

    zones: tuple[Zone, ...]
    openings: tuple[Opening, ...]
    links: tuple[Link, ...]


def fan_opening(
    a: int,
    b: int,
    *,
    free_m3_h: float,
    max_pa: float,
    z_m: float,
    density_kg_m3: float,
    x_mm: float = 0.0,
    y_mm: float = 0.0,
    board: str = "",
    mouths: tuple[Mouth, ...] = (),
) -> Opening:
    """A fan from `a` to `b`: an opening with a pressure of its own.

    Its area is the one through which `max_pa` drives the free flow, so that it works along
    Q = Q_free·√(1 - Δp/p_max), as `fan_point_m3_h` has it.
    """
    free_m3_s = free_m3_h / 3600.0
    area_m2 = free_m3_s / DISCHARGE * (density_kg_m3 / (2.0 * max_pa)) ** 0.5
    side_m = area_m2**0.5
    return Opening(
        kind=OpeningKind.FAN,
        a=a,
        b=b,
        area_m2=area_m2,
        low_m=z_m,
        high_m=z_m,
        width_m=side_m,
        depth_m=0.0,
        boost_pa=max_pa,
        x_mm=x_mm,
        y_mm=y_mm,
        board=board,
        mouths=mouths,
    )
