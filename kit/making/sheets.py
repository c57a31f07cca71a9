"""From boards to sheets: what is cut out of which sheet, one layout for each stock.

Every layer of every board becomes a piece of its rough size, larger by the allowance of the
table saw where it gets its final size there. Sheets are those the design names, else sheets
of the usual size, of which as many as needed can be bought. Solid wood is laid out in one
dimension from stock lengths.
"""

from collections.abc import Callable, Sequence
from concurrent.futures import CancelledError
from dataclasses import dataclass
from enum import Enum
from functools import cached_property

from kit.board import Board, Grain
from kit.casework import Casework
from kit.errors import BuildError
from kit.making.nesting.guillotine import GrainCost, final_layout, grain_cost, live_layout
from kit.making.nesting.layout import Layout, Piece, Rect, Sheet, Trims
from kit.making.nesting.strips import StockLength, Strip, strip_layout
from kit.materials import Lumber, Stock, material
from kit.shop import SheetOnHand, Shop

__all__ = ["CancelledError", "Effort", "Finish", "SheetPlan", "StockPlan", "sheet_plan"]


class Effort(Enum):
    """How hard to look for a layout: while a control moves, or once for the pack."""

    LIVE = "live"
    FINAL = "final"


class Finish(Enum):
    """Where a board gets its final size."""

    GUIDE = "final off the sheet"
    TABLE_SAW = "rough off the sheet, then final at the table saw"
    LAMINATED = "rough off the sheet, trimmed after it is glued up"
    TO_FIT = "rough off the sheet, cut to fit later"


@dataclass(frozen=True, slots=True)
class Part:
    """One piece to cut: a layer of a board. `name` is that of the piece in the layout."""

    name: str
    board: Board
    layer: int
    finish: Finish
    piece: Piece


@dataclass(frozen=True, kw_only=True)
class StockPlan:
    """The layout of one stock, and what locking its grain costs (None for solid wood)."""

    stock: Stock
    parts: tuple[Part, ...]
    layout: Layout
    grain_cost: GrainCost | None

    @cached_property
    def sheet_of(self) -> dict[str, int]:
        """Sheet number by the name of the piece."""
        return {
            placement.piece.name: sheet.number
            for sheet in self.layout.sheets
            for placement in sheet.placements
        }


@dataclass(frozen=True, kw_only=True)
class SheetPlan:
    """The layouts of a design: sheet goods, then solid wood, each in build order."""

    sheets: tuple[StockPlan, ...]
    lumber: tuple[StockPlan, ...]

    @cached_property
    def bought(self) -> dict[str, int]:
        """Full sheets needed by key of the stock, offcuts on hand not counted."""
        return {plan.stock.key: plan.layout.full_sheets for plan in self.sheets}

    @cached_property
    def sheet_names(self) -> dict[str, str]:
        """By board name, what it is cut from, as printed: `sheet 1, 2` of its stock."""
        boards = {
            part.board.name: part.board
            for plan in (*self.sheets, *self.lumber)
            for part in plan.parts
        }
        return {
            name: ("sheet " if board.stock.sheet_sizes else "length ")
            + ", ".join(map(str, self.sheet_numbers(board)))
            for name, board in boards.items()
        }

    def sheet_numbers(self, board: Board) -> tuple[int, ...]:
        """The numbers of the sheets that a board is cut from, within its stock."""
        numbers = {
            plan.sheet_of[part.name]
            for plan in (*self.sheets, *self.lumber)
            for part in plan.parts
            if part.board.name == board.name
        }
        return tuple(sorted(numbers))


def sheet_plan(
    casework: Casework,
    effort: Effort = Effort.LIVE,
    *,
    budget_s: float = 10.0,
    progress: Callable[[str], None] = lambda step: None,
    cancelled: Callable[[], bool] | None = None,
) -> SheetPlan:
    """Lay out every board.

    `budget_s` is for each stock at `Effort.FINAL`. Raises BuildError where a board fits no
    sheet or the sheets on hand do not suffice, CancelledError when `cancelled` says so.
    """
    matches = _matches(casework)
    sheets, lumber = [], []
    for stock in casework.stocks:
        progress(stock.label)
        boards = [board for board in casework.boards if board.stock == stock]
        parts = [part for board in boards for part in _parts(casework, board, matches)]
        if stock.sheet_sizes:
            sheets.append(_sheet_goods(casework, stock, parts, effort, budget_s, cancelled))
        else:
            lumber.append(_solid_wood(casework, stock, parts))
    return SheetPlan(sheets=tuple(sheets), lumber=tuple(lumber))


def _sheet_goods(
    casework: Casework,
    stock: Stock,
    parts: Sequence[Part],
    effort: Effort,
    budget_s: float,
    cancelled: Callable[[], bool] | None,
) -> StockPlan:
    pieces = [part.piece for part in parts]
    supply = _supply(casework, stock)
    kerf = casework.design.shop.sheet_saw.kerf_mm
    if effort is Effort.LIVE:
        layout = live_layout(pieces, supply, kerf)
    else:
        layout = final_layout(pieces, supply, kerf, budget_s=budget_s, cancelled=cancelled)
    locked = any(piece.grain_locked for piece in pieces)
    try:
        cost = grain_cost(pieces, supply, kerf) if locked and effort is Effort.FINAL else None
    except BuildError:  # the live search is weaker than the final one on scarce sheets
        cost = None
    return StockPlan(stock=stock, parts=tuple(parts), layout=layout, grain_cost=cost)


def _solid_wood(casework: Casework, stock: Stock, parts: Sequence[Part]) -> StockPlan:
    """Strips are ripped from boards as wide as the widest; only their lengths are laid out."""
    row = material(stock.key)
    assert isinstance(row, Lumber)
    for part in parts:
        if part.board.rough.width > row.width_max_mm:
            raise BuildError(
                f"{part.board.name} is {part.board.rough.width:.1f} mm wide, and {stock.label} "
                f"comes up to {row.width_max_mm:.0f} mm; glue it up, or use a sheet."
            )
    kerf = casework.design.shop.sheet_saw.kerf_mm
    strips = [Strip(part.name, part.piece.length_mm, stock.key) for part in parts]
    lengths = [StockLength(f"{stock.key}", row.length_max_mm, section=stock.key)]
    (layout,) = strip_layout(strips, lengths, kerf).values()
    return StockPlan(stock=stock, parts=tuple(parts), layout=layout, grain_cost=None)


def _parts(casework: Casework, board: Board, matches: dict[str, str]) -> list[Part]:
    shop = casework.design.shop
    finish = finish_of(board, shop)
    extra = shop.table_saw.allowance if finish is Finish.TABLE_SAW and shop.table_saw else 0.0
    size = board.rough
    parts = []
    for layer in range(1, board.layers + 1):
        name = board.name if board.layers == 1 else f"{board.name} ({layer} of {board.layers})"
        piece = Piece(
            name,
            size.length + extra,
            size.width + extra,
            grain_locked=board.grain is Grain.LOCKED,
            match=matches.get(board.name),
        )
        parts.append(Part(name, board, layer, finish, piece))
    return parts


def finish_of(board: Board, shop: Shop) -> Finish:
    """Where a board gets its final size: at the table saw where it can be handled there."""
    if board.layers > 1:
        return Finish.LAMINATED
    if board.fit is not None:
        return Finish.TO_FIT
    saw = shop.table_saw
    if saw is None or not board.stock.sheet_sizes:
        return Finish.GUIDE
    size = board.cut
    handled = size.length <= saw.crosscut and size.width <= saw.rip
    return Finish.TABLE_SAW if handled else Finish.GUIDE


def _supply(casework: Casework, stock: Stock) -> list[Sheet]:
    """The sheets that a stock can be cut from."""
    shop = casework.design.shop
    named = [sheet for sheet in casework.design.sheets if sheet.stock == stock.key]
    if not named:
        named = [
            SheetOnHand(
                stock=stock.key,
                length=f"{size.length_mm} mm",  # type: ignore[arg-type]
                width=f"{size.width_mm} mm",  # type: ignore[arg-type]
            )
            for size in stock.sheet_sizes
        ]
    return [_sheet(number, sheet, stock, shop) for number, sheet in enumerate(named, start=1)]


def _sheet(number: int, sheet: SheetOnHand, stock: Stock, shop: Shop) -> Sheet:
    usual = stock.sheet_sizes[0]
    trim = shop.sheet_trim if sheet.edge_trim is None else sheet.edge_trim
    return Sheet(
        name=sheet.name or f"{stock.label}, kind {number}",
        length_mm=sheet.length or usual.length_mm,
        width_mm=sheet.width or usual.width_mm,
        count=sheet.count if sheet.count is not None or not sheet.offcut else 1,
        price=0.0 if sheet.offcut else sheet.price,
        trims=Trims.all_round(trim),
        defects=tuple(
            Rect(
                zone.along[0],
                zone.across[0],
                zone.along[1] - zone.along[0],
                zone.across[1] - zone.across[0],
            )
            for zone in sheet.defects
        ),
        is_offcut=sheet.offcut,
    )


def _matches(casework: Casework) -> dict[str, str]:
    """The name of the matched set of each board that is in one."""
    sets: dict[str, str] = {}
    for number, matched in enumerate(casework.design.matched, start=1):
        for name in matched.boards:
            if name not in casework.by_name:
                raise BuildError(
                    f"matched.{number} names the board {name!r}, which is not in the design; "
                    f"its boards are {', '.join(casework.by_name)}."
                )
            if name in sets:
                raise BuildError(f"{name} is in two matched sets; name it in one of them.")
            sets[name] = f"set {number}"
        stocks = {casework.by_name[name].stock.label for name in matched.boards}
        if len(stocks) > 1:
            raise BuildError(
                f"matched.{number} holds boards of {' and '.join(sorted(stocks))}; a set comes "
                "from one sheet, so name boards of one stock."
            )
    return sets
