"""The values of a sheet layout: boards to cut, sheets to cut them from, and where each lies.

All lengths are float millimetres. On a sheet X runs along its length, which is also the
direction of its face grain, and Y across it; the origin is the lower left corner of the
untrimmed sheet. A board's length runs along the board's grain.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from kit.errors import BuildError

TOLERANCE_MM = 0.001
"""Two lengths closer than this are the same: far below any saw, far above float error."""


class CutAxis(Enum):
    """Which way a cut runs over its sheet."""

    RIP = "rip"  # along the sheet's length; divides its width
    CROSSCUT = "crosscut"  # across the sheet; divides its length


@dataclass(frozen=True, slots=True)
class Rect:
    """An axis-parallel rectangle on a sheet: lower left corner and extents, mm."""

    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float

    @property
    def right_mm(self) -> float:
        """X of the right edge, mm."""
        return self.x_mm + self.length_mm

    @property
    def top_mm(self) -> float:
        """Y of the upper edge, mm."""
        return self.y_mm + self.width_mm

    @property
    def area_mm2(self) -> float:
        """Area, mm2."""
        return self.length_mm * self.width_mm

    def overlaps(self, other: Rect, margin_mm: float = 0.0) -> bool:
        """Whether the two come closer than `margin_mm` in both directions."""
        reach = margin_mm - TOLERANCE_MM
        return (
            self.x_mm < other.right_mm + reach
            and other.x_mm < self.right_mm + reach
            and self.y_mm < other.top_mm + reach
            and other.y_mm < self.top_mm + reach
        )

    def contains(self, other: Rect) -> bool:
        """Whether `other` lies wholly inside (edges may touch)."""
        return (
            other.x_mm >= self.x_mm - TOLERANCE_MM
            and other.y_mm >= self.y_mm - TOLERANCE_MM
            and other.right_mm <= self.right_mm + TOLERANCE_MM
            and other.top_mm <= self.top_mm + TOLERANCE_MM
        )


@dataclass(frozen=True, slots=True)
class Trims:
    """What is cut off each edge of a sheet before anything else, mm; kerf included."""

    left_mm: float = 0.0
    right_mm: float = 0.0
    bottom_mm: float = 0.0
    top_mm: float = 0.0

    @classmethod
    def all_round(cls, trim_mm: float) -> Trims:
        """Return the same trim on all four edges."""
        return cls(trim_mm, trim_mm, trim_mm, trim_mm)


@dataclass(frozen=True, slots=True)
class Piece:
    """One board to be cut, at the size it is cut to (its rough size), mm.

    `match` names a matched set: all its boards come from one sheet. Raises `BuildError` when
    a size is not a positive, finite number.
    """

    name: str
    length_mm: float
    width_mm: float
    grain_locked: bool = False
    match: str | None = None

    def __post_init__(self) -> None:
        _positive("board", self.name, length=self.length_mm, width=self.width_mm)

    @property
    def area_mm2(self) -> float:
        """Area, mm2."""
        return self.length_mm * self.width_mm

    def fits(self, region: Rect) -> bool:
        """Whether the board, turned if its grain is free, fits into the region."""
        return _fits(self.length_mm, self.width_mm, region) or (
            not self.grain_locked and _fits(self.width_mm, self.length_mm, region)
        )


@dataclass(frozen=True, slots=True)
class Sheet:
    """A kind of sheet to cut from, at its measured size, mm.

    `count` is how many there are; None: as many as wanted can be bought. `price` is for one
    sheet, in `currency`; None: not known. An offcut on hand costs nothing more and is used
    first. `defects` are zones that no board may touch. Raises `BuildError` for a size that is
    not positive, a negative price or trim, or trims that leave nothing.
    """

    name: str
    length_mm: float
    width_mm: float
    count: int | None = None
    price: float | None = None
    currency: str = ""
    trims: Trims = Trims()
    defects: tuple[Rect, ...] = ()
    is_offcut: bool = False

    def __post_init__(self) -> None:
        _positive("sheet", self.name, length=self.length_mm, width=self.width_mm)
        if self.count is not None and self.count < 0:
            raise BuildError(
                f"Sheet '{self.name}': count is {self.count}; give how many are on hand, "
                "or none for a sheet that can be bought."
            )
        if self.price is not None and not (math.isfinite(self.price) and self.price >= 0):
            raise BuildError(
                f"Sheet '{self.name}': price is {self.price} {self.currency}; "
                "give a price of 0 or more, or leave it out."
            )
        trims = (
            self.trims.left_mm,
            self.trims.right_mm,
            self.trims.bottom_mm,
            self.trims.top_mm,
        )
        if not all(math.isfinite(trim) and trim >= 0 for trim in trims):
            raise BuildError(
                f"Sheet '{self.name}': trims are {trims} mm; give each edge 0 mm or more."
            )
        if self.usable.length_mm <= 0 or self.usable.width_mm <= 0:
            raise BuildError(
                f"Sheet '{self.name}': trims {trims} mm leave nothing of "
                f"{_size(self.length_mm, self.width_mm)}; make the trims smaller."
            )

    @property
    def usable(self) -> Rect:
        """What is left inside the trims."""
        trims = self.trims
        return Rect(
            trims.left_mm,
            trims.bottom_mm,
            self.length_mm - trims.left_mm - trims.right_mm,
            self.width_mm - trims.bottom_mm - trims.top_mm,
        )


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a board lies: `rect` as it lies on the sheet; `turned` when its grain runs in Y."""

    piece: Piece
    rect: Rect
    turned: bool


@dataclass(frozen=True, slots=True)
class CutNode:
    """A rectangle of sheet, and the one edge-to-edge cut that divides it, if any.

    `cut_mm` is the coordinate (X of a crosscut, Y of a rip) where the kerf begins; it ends one
    kerf further on. `first` lies before the kerf and `second` behind it; a side which the kerf
    eats whole is None. A leaf (`axis` None) is a finished board (`piece`) or left over.
    """

    rect: Rect
    axis: CutAxis | None = None
    cut_mm: float | None = None
    first: CutNode | None = None
    second: CutNode | None = None
    piece: str | None = None

    def walk(self) -> Iterator[CutNode]:
        """Yield this node and all below it, each before its children, first side first."""
        stack: list[CutNode] = [self]
        while stack:
            node = stack.pop()
            yield node
            stack.extend(child for child in (node.second, node.first) if child is not None)


@dataclass(frozen=True, slots=True)
class Offcut:
    """A rectangle left over that is large enough to keep."""

    name: str
    rect: Rect


@dataclass(frozen=True, slots=True)
class SheetLayout:
    """One sheet as it is cut. `number` counts the sheets of a layout from 1."""

    number: int
    sheet: Sheet
    placements: tuple[Placement, ...]
    cuts: CutNode
    offcuts: tuple[Offcut, ...]

    @property
    def board_area_mm2(self) -> float:
        """Area of the boards on this sheet, mm2."""
        return sum(placement.piece.area_mm2 for placement in self.placements)

    @property
    def yield_share(self) -> float:
        """Share of the whole sheet that becomes boards, 0..1."""
        return self.board_area_mm2 / (self.sheet.length_mm * self.sheet.width_mm)


@dataclass(frozen=True, slots=True)
class Layout:
    """A complete, verified layout: every board that was asked for lies on one of the sheets.

    `least_sheets` is a proven lower bound on the number of full sheets (offcuts not counted).
    `cut_short` says in a sentence why the search was less than it should have been, if it was.
    """

    sheets: tuple[SheetLayout, ...]
    kerf_mm: float
    least_sheets: int
    cut_short: str = ""

    @property
    def full_sheets(self) -> int:
        """Number of sheets used, not counting offcuts that were on hand."""
        return sum(not layout.sheet.is_offcut for layout in self.sheets)

    @property
    def is_least(self) -> bool:
        """Whether no layout can do with fewer full sheets."""
        return self.full_sheets <= self.least_sheets

    @property
    def yield_share(self) -> float:
        """Share of all sheets used that becomes boards, 0..1; 0 for no sheets."""
        total = sum(s.sheet.length_mm * s.sheet.width_mm for s in self.sheets)
        return sum(s.board_area_mm2 for s in self.sheets) / total if total else 0.0

    @property
    def total_price(self) -> float | None:
        """Price of the sheets used, offcuts free; None when a price is not known."""
        total = 0.0
        for layout in self.sheets:
            if layout.sheet.is_offcut:
                continue
            if layout.sheet.price is None:
                return None
            total += layout.sheet.price
        return total

    @property
    def largest_offcut_mm2(self) -> float:
        """Area of the largest offcut kept, mm2; 0 when none."""
        return max((o.rect.area_mm2 for s in self.sheets for o in s.offcuts), default=0.0)


def _fits(length_mm: float, width_mm: float, region: Rect) -> bool:
    return (
        length_mm <= region.length_mm + TOLERANCE_MM and width_mm <= region.width_mm + TOLERANCE_MM
    )


def _size(length_mm: float, width_mm: float) -> str:
    return f"{length_mm:.1f} x {width_mm:.1f} mm"


def _positive(kind: str, name: str, **sizes: float) -> None:
    for what, value in sizes.items():
        if not (math.isfinite(value) and value > 0):
            raise BuildError(
                f"{kind.capitalize()} '{name}': {what} is {value} mm; give a size above 0 mm."
            )
