"""From boards to sheets: what is cut out of which sheet, one layout for each stock.

Every layer of every board becomes a piece of its rough size, larger by the allowance of the
table saw where it gets its final size there. Sheets are those the design names, else sheets
of the usual size, of which as many as needed can be bought. Solid wood comes from stock
lengths, strips side by side where the width allows; rods in one dimension.
"""

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import cached_property, partial

from kit.board import Board, Grain
from kit.casework import Casework
from kit.components.made import Means
from kit.errors import BuildError
from kit.making.nesting import guillotine
from kit.making.nesting.guillotine import GrainCost, final_layout, grain_cost, live_layout
from kit.making.nesting.layout import Layout, Piece, Rect, Sheet, Trims
from kit.making.nesting.strips import StockLength, Strip, strip_layout
from kit.materials import Lumber, Stock
from kit.materials import lumber as lumber_row
from kit.shop import SheetOnHand, Shop

#: Lost at each end of a stock length, mm. Common practice, no source.
END_LOSS = 25.0


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
    """One piece to cut: a layer or strip of a board. `name` is the piece's in the layout."""

    name: str
    board: Board
    finish: Finish
    piece: Piece


@dataclass(frozen=True, kw_only=True)
class StockPlan:
    """The layout of one stock, and what locking its grain costs (None for solid wood).

    `hangs_on` says what would take a sheet fewer, where that was asked (`making.thresholds`).
    """

    stock: Stock
    parts: tuple[Part, ...]
    layout: Layout
    grain_cost: GrainCost | None
    hangs_on: tuple[str, ...] = ()

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
    """The layouts of a design: sheet goods, then solid wood, each in build order; rods by key."""

    sheets: tuple[StockPlan, ...]
    lumber: tuple[StockPlan, ...]
    rods: dict[str, Layout]

    @property
    def stocks(self) -> tuple[StockPlan, ...]:
        """Sheet goods and solid wood together."""
        return (*self.sheets, *self.lumber)

    @property
    def cut_short(self) -> tuple[str, ...]:
        """Why sheets were not laid out as well as they should have been; none where they were."""
        said = [(plan.stock.label, plan.layout.cut_short) for plan in self.stocks]
        return tuple(f"{stock}: {why}" for stock, why in said if why)

    @property
    def hangs_on(self) -> dict[str, tuple[str, ...]]:
        """By key of the stock, what would take a sheet of it fewer."""
        return {plan.stock.key: plan.hangs_on for plan in self.sheets if plan.hangs_on}

    @property
    def may_need_fewer(self) -> str:
        """Which sheets a longer look may save, in a sentence; empty where none."""
        open_ = [one for one in self.sheets if not one.layout.is_least]
        if not open_:
            return ""
        rows = (
            f"{one.stock.label}: {one.layout.full_sheets}, at least {one.layout.least_sheets}"
            for one in open_
        )
        return (
            f"A quick look; the plan looks longer, and may need fewer sheets ({'; '.join(rows)})."
        )

    @cached_property
    def bought(self) -> dict[str, int]:
        """Full sheets and stock lengths by key of the stock, offcuts on hand not counted."""
        count: Counter[str] = Counter()
        for plan in self.stocks:
            count[plan.stock.key] += plan.layout.full_sheets
        for key, layout in self.rods.items():
            count[key] += layout.full_sheets
        return dict(count)

    @cached_property
    def sheet_names(self) -> dict[str, str]:
        """By board name, what it is cut from, as printed: `sheet 1, 2` of its stock."""
        boards = {part.board.name: part.board for plan in self.stocks for part in plan.parts}
        return {
            name: ("sheet " if board.stock.sheet_sizes else "length ")
            + ", ".join(map(str, self.sheet_numbers(board)))
            for name, board in boards.items()
        }

    def sheet_numbers(self, board: Board) -> tuple[int, ...]:
        """The numbers of the sheets that a board is cut from, within its stock."""
        numbers = {
            plan.sheet_of[part.name]
            for plan in self.stocks
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
    side_by_side: bool = False,
) -> SheetPlan:
    """Lay out every board.

    `budget_s` is for each stock at `Effort.FINAL`. `side_by_side` is for many designs at once at
    `Effort.LIVE`: one thread for each, and the same layout however busy the machine is.

    Raises BuildError where a board fits no sheet or the sheets on hand do not suffice,
    CancelledError when `cancelled` says so.
    """
    matches = _matches(casework)
    sheets, lumber = [], []
    for stock in casework.stocks:
        progress(stock.label)
        boards = [board for board in casework.boards if board.stock == stock]
        parts = [part for board in boards for part in _parts(casework, board, matches)]
        if stock.sheet_sizes:
            if effort is Effort.FINAL:
                look = partial(final_layout, budget_s=budget_s, cancelled=cancelled)
            elif side_by_side:
                look = partial(live_layout, threads=1, limit_s=guillotine.PATIENT_LIMIT_S)
            else:
                look = partial(live_layout)
            sheets.append(_sheet_goods(casework, stock, parts, look, effort))
        else:
            lumber.append(_solid_wood(casework, stock, parts))
    return SheetPlan(sheets=tuple(sheets), lumber=tuple(lumber), rods=_rods(casework))


def least_sheets(casework: Casework) -> dict[str, int]:
    """Full sheets by key of each sheet stock that no layout can do without.

    Raises BuildError where a board fits no sheet, or where there are fewer sheets than that.
    """
    kerf = casework.design.shop.sheet_saw.kerf_mm
    return {
        stock.key: guillotine.least_sheets(
            pieces_of(casework, stock), sheets_there(casework, stock), kerf
        )
        for stock in casework.stocks
        if stock.sheet_sizes
    }


def pieces_of(casework: Casework, stock: Stock) -> list[Piece]:
    """The pieces that are cut out of a stock, in the order of the boards."""
    matches = _matches(casework)
    boards = [board for board in casework.boards if board.stock == stock]
    return [part.piece for board in boards for part in _parts(casework, board, matches)]


def _sheet_goods(
    casework: Casework,
    stock: Stock,
    parts: Sequence[Part],
    look: Callable[[Sequence[Piece], Sequence[Sheet], float], Layout],
    effort: Effort,
) -> StockPlan:
    pieces = [part.piece for part in parts]
    supply = sheets_there(casework, stock)
    kerf = casework.design.shop.sheet_saw.kerf_mm
    layout = look(pieces, supply, kerf)
    locked = any(piece.grain_locked for piece in pieces)
    try:
        cost = grain_cost(pieces, supply, kerf) if locked and effort is Effort.FINAL else None
    except BuildError:  # the live search is weaker than the final one on scarce sheets
        cost = None
    return StockPlan(stock=stock, parts=tuple(parts), layout=layout, grain_cost=cost)


def _solid_wood(casework: Casework, stock: Stock, parts: Sequence[Part]) -> StockPlan:
    row = lumber_row(stock.key)
    length = Sheet(
        name=stock.label,
        length_mm=row.length_max_mm,
        width_mm=row.width_max_mm,
        trims=Trims(left_mm=END_LOSS, right_mm=END_LOSS),
    )
    kerf = casework.design.shop.sheet_saw.kerf_mm
    layout = live_layout([part.piece for part in parts], [length], kerf)
    return StockPlan(stock=stock, parts=tuple(parts), layout=layout, grain_cost=None)


def _rods(casework: Casework) -> dict[str, Layout]:
    """The layout of each rod by its key: every cross pin out of stock lengths."""
    strips = [
        Strip(f"{line.board} to {line.to} {number}", line.length or 0.0, line.item)
        for line in casework.fastenings
        if line.means is Means.CROSS_PINS and line.item is not None
        for number in range(1, line.count + 1)
    ]
    rows = [lumber_row(key) for key in dict.fromkeys(strip.section for strip in strips)]
    lengths = [
        StockLength(row.key, row.length_max_mm, section=row.key, end_trim_mm=END_LOSS)
        for row in rows
    ]
    return strip_layout(strips, lengths, casework.design.shop.sheet_saw.kerf_mm)


def _parts(casework: Casework, board: Board, matches: dict[str, str]) -> list[Part]:
    """The pieces of a board: its layers, or the strips that a wide board of wood is glued of."""
    shop = casework.design.shop
    finish = finish_of(board, shop)
    extra = shop.table_saw.allowance if finish is Finish.TABLE_SAW and shop.table_saw else 0.0
    size = casework.as_measured(board, board.rough)
    strips = 1 if board.stock.sheet_sizes else _strips(size.width, lumber_row(board.stock.key))
    count = board.layers * strips
    parts = []
    for number in range(1, count + 1):
        name = board.name if count == 1 else f"{board.name} ({number} of {count})"
        piece = Piece(
            name,
            size.length + extra,
            size.width / strips + extra,
            grain_locked=board.grain is Grain.LOCKED,
            match=matches.get(board.name),
        )
        parts.append(Part(name, board, finish, piece))
    return parts


def _strips(width: float, row: Lumber) -> int:
    """How many strips of equal width make a board wider than its wood is sold."""
    return math.ceil(width / row.width_max_mm - 1e-9)


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


def sheets_there(casework: Casework, stock: Stock) -> list[Sheet]:
    """The sheets that a stock can be cut from: those the design names, else of usual size."""
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
