"""The plain cutters and saws of a small shop, and which of them makes a hole or groove.

Diameters are those of the tool, mm; what a given shop's tool really cuts is found by a
test cut.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import Annotated

from pydantic import AfterValidator

from kit.errors import TableError
from kit.sources import SourceKeys
from kit.tables import NotNegative, Positive, data_file, look_up, read_table
from kit.units import System, decimal


class CutterKind(Enum):
    """The trade's name of a drill or router bit."""

    TWIST_DRILL = "twist drill"
    BRAD_POINT = "brad-point drill"
    POCKET_DRILL = "stepped pocket drill"
    CONNECTOR_DRILL = "stepped connector drill"
    FORSTNER = "Forstner bit"
    HOLE_SAW = "hole saw"
    STRAIGHT_BIT = "straight router bit"
    DOWNCUT_SPIRAL = "downcut spiral bit"
    COMPRESSION_SPIRAL = "compression spiral bit"
    RABBETING_BIT = "rabbeting bit with bearing"
    CHAMFER_BIT = "45 degree chamfer bit"


_BORING = (
    CutterKind.BRAD_POINT,
    CutterKind.TWIST_DRILL,
    CutterKind.FORSTNER,
    CutterKind.HOLE_SAW,
)


class SawKind(Enum):
    """The trade's name of a saw, or of what stands in for one."""

    TABLE = "table saw"
    TRACK = "track saw"
    CIRCULAR = "circular saw"
    PANEL = "panel saw"
    CNC = "CNC router"
    DADO_SET = "dado set"


class GoodFace(Enum):
    """Which way the show face lies so that the saw tears the other."""

    UP = "up"
    DOWN = "down"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutter:
    """A drill or router bit: diameter, and the greatest depth it cuts."""

    key: str
    kind: CutterKind
    label: str
    diameter_mm: Positive
    depth_max_mm: Positive
    source: SourceKeys

    @property
    def name(self) -> str:
        """Size and kind, as written on a drawing: '5 mm brad-point drill'."""
        return f"{self.label} {self.kind.value}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Saw:
    """A saw: its kerf, and how a sheet lies on it.

    A dado set cuts any width from `kerf_mm` to `kerf_max_mm`; the others have one kerf.
    `edge_trim_mm` is what to allow on each factory edge.
    """

    key: str
    kind: SawKind
    label: str
    kerf_mm: Positive
    kerf_max_mm: Positive
    depth_max_mm: Positive
    edge_trim_mm: NotNegative
    good_face: GoodFace
    source: SourceKeys


@cache
def cutters() -> Mapping[str, Cutter]:
    """Return every drill and router bit by key."""
    return read_table(Cutter, data_file("cutters.csv"))


def cutter(key: str) -> Cutter:
    """Return one cutter. Raises `TableError` with the nearest keys if unknown."""
    return look_up(cutters(), key, "cutter")


@cache
def saws() -> Mapping[str, Saw]:
    """Return every saw by key."""
    return read_table(Saw, data_file("saws.csv"))


def saw(key: str) -> Saw:
    """Return one saw. Raises `TableError` with the nearest keys if unknown."""
    return look_up(saws(), key, "saw")


def boring_cutter(diameter_mm: float, depth_mm: float = 0.0) -> Cutter:
    """Return the drill, Forstner bit or hole saw that bores exactly this hole.

    Within 0.05 mm, so that a 50 mm hole is never bored with a 2 in (50.8 mm) saw; of
    several, the first in the table that reaches `depth_mm`. Raises `TableError`, naming
    the nearest size there is, if none does.
    """
    boring = [
        row for row in cutters().values() if row.kind in _BORING and row.depth_max_mm >= depth_mm
    ]
    for row in boring:
        if abs(row.diameter_mm - diameter_mm) <= 0.05:
            return row
    near = min(boring, key=lambda row: abs(row.diameter_mm - diameter_mm), default=None)
    advice = f"the nearest is {near.name}" if near else "none reaches that depth"
    raise TableError(
        f"No boring cutter makes a hole of {_both(diameter_mm)}, {_both(depth_mm)} deep; {advice}. "
        "Choose that size, or add the cutter to cutters.csv."
    )


def straight_bit(width_mm: float, depth_mm: float = 0.0) -> Cutter:
    """Return the widest straight router bit not wider than a groove of this width.

    A bit narrower than the groove needs two passes. Raises `TableError` if the groove is
    narrower, or deeper, than any bit cuts.
    """
    fitting = [
        row
        for row in cutters().values()
        if row.kind is CutterKind.STRAIGHT_BIT
        and row.diameter_mm <= width_mm
        and row.depth_max_mm >= depth_mm
    ]
    if not fitting:
        raise TableError(
            f"No straight router bit cuts a groove {_both(width_mm)} wide and {_both(depth_mm)} "
            "deep. Make the groove wider or shallower, or add the bit to cutters.csv."
        )
    return max(fitting, key=lambda row: row.diameter_mm)


def rabbeting_bit(width_mm: float, depth_mm: float) -> Cutter:
    """Return the narrowest straight bit that cuts a rabbet in one pass, overhanging its edge.

    The widest that reaches the depth where none is as wide as the rabbet. Raises `TableError`
    if none reaches it.
    """
    deep = [
        row
        for row in cutters().values()
        if row.kind is CutterKind.STRAIGHT_BIT and row.depth_max_mm >= depth_mm
    ]
    if not deep:
        raise TableError(
            f"No straight router bit cuts a rabbet {_both(depth_mm)} deep. Make the rabbet "
            "shallower, or add the bit to cutters.csv."
        )
    wide = [row for row in deep if row.diameter_mm >= width_mm]
    if wide:
        return min(wide, key=lambda row: row.diameter_mm)
    return max(deep, key=lambda row: row.diameter_mm)


def _both(mm: float) -> str:
    """A length in both systems: these words stand in set-up sheets of either."""
    return f"{decimal(mm, System.METRIC)} ({decimal(mm, System.INCH)})"


def _known_cutter(key: str) -> str:
    if key not in cutters():
        raise ValueError(f"there is no cutter {key!r} in cutters.csv")
    return key


type CutterKey = Annotated[str, AfterValidator(_known_cutter)]
"""The key of a cutter in a cell of another table; it must exist."""
