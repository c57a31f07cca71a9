"""What is bought besides wood: screws, shelf pins, liners, fittings, edging, finish, glue.

Holes carry their actual diameter in mm and the cutter that makes them, never a name
like '2 inch'. All rows are generic; the maker's own drawing of the part goes first.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache

from kit.cutters import CutterKey
from kit.errors import TableError
from kit.sources import SourceKeys
from kit.tables import NotNegative, Positive, data_file, look_up, read_table
from kit.units import in_both

#: Nut of an M4 screw with the end that shows beyond it, mm. From memory.
NUT_MM = 4.5


class Thread(Enum):
    """Coarse for plywood, board and softwood; fine for solid hardwood."""

    COARSE = "coarse"
    FINE = "fine"


class Head(Enum):
    """Head of a wood screw: flat is countersunk, pan lies on the surface."""

    FLAT = "flat"
    PAN = "pan"


class FittingKind(Enum):
    """The trade's name of a fitting."""

    CONNECTOR_SCREW = "connector screw"
    DOWEL_PIN = "dowel pin"
    CROSS_DOWEL = "cross dowel"
    LEVELLER = "leveller"
    WALL_RESTRAINT = "wall restraint"
    DOOR_PULL = "door pull"
    THREADED_INSERT = "threaded insert"
    MACHINE_SCREW = "machine screw"
    BOLT = "bolt"


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodScrew:
    """A wood screw: nominal diameter over the thread, and its two drills."""

    key: str
    label: str
    head: Head
    thread: Thread
    gauge_no: int
    diameter_mm: Positive
    length_mm: Positive
    pilot_cutter: CutterKey
    clearance_cutter: CutterKey
    source: SourceKeys


@dataclass(frozen=True, slots=True, kw_only=True)
class PocketScrew:
    """A pocket screw for holes at 15 degrees, and the stock it suits.

    It suits joined boards of equal thickness from `stock_min_mm` up to, not including,
    `stock_max_mm`. That its tip stays inside is for the joint to work out.
    """

    key: str
    label: str
    thread: Thread
    gauge_no: int
    diameter_mm: Positive
    length_mm: Positive
    stock_min_mm: Positive
    stock_max_mm: Positive
    cutter: CutterKey
    source: SourceKeys


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfPin:
    """A shelf pin with its hole, and the row it is usually bored in.

    `pitch_mm` is from hole to hole, `set_back_mm` from the front edge to the first row.
    """

    key: str
    label: str
    pin_mm: Positive
    hole_mm: Positive
    hole_depth_mm: Positive
    hole_depth_min_mm: Positive
    hole_depth_max_mm: Positive
    pitch_mm: Positive
    set_back_mm: Positive
    cutter: CutterKey
    source: SourceKeys


@dataclass(frozen=True, slots=True, kw_only=True)
class Grommet:
    """A cable hole with its liner, or a plain one: what is bored and what stays clear.

    `flange_mm` is the diameter of the rim on the show face; a plain hole has none.
    """

    key: str
    label: str
    hole_mm: Positive
    clear_mm: Positive
    flange_mm: Positive | None = None
    cutter: CutterKey
    source: SourceKeys


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """A connector, dowel, leveller, restraint or pull, with the hole it needs.

    `load_kg` is the load one of them carries standing still, where known.
    """

    key: str
    kind: FittingKind
    label: str
    diameter_mm: Positive
    length_mm: Positive
    hole_mm: Positive
    hole_depth_mm: Positive
    cutter: CutterKey
    load_kg: Positive | None = None
    source: SourceKeys


@dataclass(frozen=True, slots=True, kw_only=True)
class Edging:
    """Thin edging by the roll; solid lipping is lumber."""

    key: str
    label: str
    thickness_mm: Positive
    width_mm: Positive
    roll_mm: Positive
    source: SourceKeys


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """A finish: usual number of coats, and m² that one litre covers in one coat.

    The first coat on bare wood takes up to `first_coat_extra` (a fraction) more.
    """

    key: str
    label: str
    coats: int
    coverage_m2_per_l: Positive
    coverage_min_m2_per_l: Positive
    coverage_max_m2_per_l: Positive
    first_coat_extra: NotNegative
    source: SourceKeys

    def litres(self, area_m2: float) -> float:
        """Return the litres for all coats on bare wood, on the safe side of the range."""
        return area_m2 * (self.coats + self.first_coat_extra) / self.coverage_min_m2_per_l


@dataclass(frozen=True, slots=True, kw_only=True)
class Glue:
    """A glue: spread on one face of a joint, and time in the clamps."""

    key: str
    label: str
    density_kg_l: Positive
    spread_g_m2: Positive
    spread_min_g_m2: Positive
    spread_max_g_m2: Positive
    clamp_min_minutes: Positive
    clamp_max_minutes: Positive
    source: SourceKeys

    def litres(self, area_m2: float) -> float:
        """Return the litres for a glue area, on the safe side of the range."""
        return area_m2 * self.spread_max_g_m2 / 1000 / self.density_kg_l


@dataclass(frozen=True, slots=True, kw_only=True)
class FanKind:
    """A fan by its frame: the opening behind it, and its four screws.

    `screws_apart_mm` is from screw to screw along a side of the frame; the opening is what a
    common hole saw bores inside it.
    """

    key: str
    label: str
    frame_mm: Positive
    thick_mm: Positive
    opening_mm: Positive
    screws_apart_mm: Positive
    screw_hole_mm: Positive
    cutter: CutterKey
    source: SourceKeys


@cache
def fan_kinds() -> Mapping[str, FanKind]:
    """Return every size of fan by key."""
    return read_table(FanKind, data_file("fans.csv"))


def fan_kind(key: str) -> FanKind:
    """Return one size of fan. Raises `TableError` with the nearest keys if unknown."""
    return look_up(fan_kinds(), key, "size of fan")


@cache
def wood_screws() -> Mapping[str, WoodScrew]:
    """Return every wood screw by key."""
    return read_table(WoodScrew, data_file("wood_screws.csv"))


def wood_screw(key: str) -> WoodScrew:
    """Return one wood screw. Raises `TableError` with the nearest keys if unknown."""
    return look_up(wood_screws(), key, "wood screw")


@cache
def pocket_screws() -> Mapping[str, PocketScrew]:
    """Return every pocket screw by key."""
    return read_table(PocketScrew, data_file("pocket_screws.csv"))


def pocket_screw(key: str) -> PocketScrew:
    """Return one pocket screw. Raises `TableError` with the nearest keys if unknown."""
    return look_up(pocket_screws(), key, "pocket screw")


def pocket_screw_for(thickness_mm: float, thread: Thread = Thread.COARSE) -> PocketScrew:
    """Return the pocket screw for joining boards of this actual thickness.

    Raises `TableError` if no screw in the table suits the thickness.
    """
    rows = [row for row in pocket_screws().values() if row.thread is thread]
    for row in rows:
        if row.stock_min_mm <= thickness_mm < row.stock_max_mm:
            return row
    raise TableError(
        f"No {thread.value} pocket screw suits stock {in_both(thickness_mm)} thick (the table has "
        f"{min(row.stock_min_mm for row in rows):g} to "
        f"{max(row.stock_max_mm for row in rows):g} mm). Join it another way, or change the stock."
    )


@cache
def shelf_pins() -> Mapping[str, ShelfPin]:
    """Return every shelf pin by key."""
    return read_table(ShelfPin, data_file("shelf_pins.csv"))


def shelf_pin(key: str) -> ShelfPin:
    """Return one shelf pin. Raises `TableError` with the nearest keys if unknown."""
    return look_up(shelf_pins(), key, "shelf pin")


@cache
def grommets() -> Mapping[str, Grommet]:
    """Return every cable hole and liner by key."""
    return read_table(Grommet, data_file("grommets.csv"))


def grommet(key: str) -> Grommet:
    """Return one cable hole. Raises `TableError` with the nearest keys if unknown."""
    return look_up(grommets(), key, "grommet")


def liner_of(hole_mm: float) -> Grommet | None:
    """Return the liner whose own hole has this diameter; a hole 0.1 mm off gets none."""
    lined = (row for row in grommets().values() if row.flange_mm is not None)
    return next((row for row in lined if abs(row.hole_mm - hole_mm) < 0.1), None)


@cache
def fittings() -> Mapping[str, Fitting]:
    """Return every fitting by key."""
    return read_table(Fitting, data_file("fittings.csv"))


def fitting(key: str) -> Fitting:
    """Return one fitting. Raises `TableError` with the nearest keys if unknown."""
    return look_up(fittings(), key, "fitting")


type Piece = WoodScrew | PocketScrew | ShelfPin | Grommet | Fitting


def piece(key: str) -> Piece:
    """Return the screw, pin, liner or fitting of this key, whichever table holds it.

    Raises `TableError` with the nearest keys of all these tables if unknown.
    """
    every: dict[str, Piece] = {
        **wood_screws(),
        **pocket_screws(),
        **shelf_pins(),
        **grommets(),
        **fittings(),
    }
    return look_up(every, key, "piece of hardware")


def wood_screw_for(top_mm: float, gauge_no: int) -> WoodScrew:
    """Return the screw of this gauge for holding a board `top_mm` thick to a thicker one.

    The nearest in length to three times the board. Source: rule of the trade, from memory.
    """
    rows = [row for row in wood_screws().values() if row.gauge_no == gauge_no]
    return min(rows, key=lambda row: abs(row.length_mm - 3 * top_mm))


def bolt_for(board_mm: float, insert: Fitting) -> Fitting:
    """Return the longest bolt that goes through a board and stays within the insert behind it.

    `board_mm` is the thickness of the board, mm. Raises `TableError` if there is none.
    """
    reach = board_mm + insert.length_mm
    bolts = [row for row in fittings().values() if row.kind is FittingKind.BOLT]
    fitting_in = [row for row in bolts if board_mm + 6.0 <= row.length_mm <= reach]
    if not fitting_in:
        raise TableError(
            f"No bolt goes through {in_both(board_mm)} and at least 6 mm, at most "
            f"{insert.length_mm:.0f} mm, into its insert; add one to fittings.csv."
        )
    return max(fitting_in, key=lambda row: row.length_mm)


def machine_screw_for(grip_mm: float) -> Fitting:
    """Return the shortest machine screw with a nut that holds so much between head and nut.

    Raises `TableError` if there is none.
    """
    rows = [row for row in fittings().values() if row.kind is FittingKind.MACHINE_SCREW]
    for row in sorted(rows, key=lambda row: row.length_mm):
        if row.length_mm >= grip_mm + NUT_MM:
            return row
    raise TableError(
        f"No machine screw in fittings.csv holds {in_both(grip_mm)} and its nut; add one."
    )


def shelf_pin_of(hole_mm: float) -> ShelfPin | None:
    """Return the shelf pin for a hole of this diameter (within 0.1 mm), or None."""
    return next((row for row in shelf_pins().values() if abs(row.hole_mm - hole_mm) <= 0.1), None)


@cache
def edgings() -> Mapping[str, Edging]:
    """Return every edging by key."""
    return read_table(Edging, data_file("edgings.csv"))


def edging(key: str) -> Edging:
    """Return one edging. Raises `TableError` with the nearest keys if unknown."""
    return look_up(edgings(), key, "edging")


@cache
def finishes() -> Mapping[str, Finish]:
    """Return every finish by key."""
    return read_table(Finish, data_file("finishes.csv"))


def finish(key: str) -> Finish:
    """Return one finish. Raises `TableError` with the nearest keys if unknown."""
    return look_up(finishes(), key, "finish")


@cache
def glues() -> Mapping[str, Glue]:
    """Return every glue by key."""
    return read_table(Glue, data_file("glues.csv"))


def glue(key: str) -> Glue:
    """Return one glue. Raises `TableError` with the nearest keys if unknown."""
    return look_up(glues(), key, "glue")
