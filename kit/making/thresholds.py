"""What a sheet hangs on: the trim of its edges, or a little less depth, height or width.

Found by trial, never by formula: the changed piece is built and laid out. Only what can save a
sheet by area and by what lies side by side is laid out at all, so the work is bounded: for each
stock one layout for the trim, and four for each side of the case.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace

from kit.casework import Casework, build
from kit.errors import BuildError, CancelledError, KitError
from kit.making.nesting.guillotine import least_sheets, live_layout
from kit.making.nesting.layout import Piece, Sheet, Trims
from kit.making.sheets import SheetPlan, StockPlan, pieces_of, sheets_there
from kit.materials import Stock
from kit.units import Step, System, text

#: By how much less a side of the case is tried, the most first, mm.
LESS = {System.INCH: (25.4, 12.7, 6.35, 3.175), System.METRIC: (25.0, 12.0, 6.0, 3.0)}
SIDES = ("depth", "height", "width")


def with_thresholds(
    casework: Casework, plan: SheetPlan, cancelled: Callable[[], bool] = lambda: False
) -> SheetPlan:
    """The plan with what would take a sheet fewer, said for each stock of sheet goods.

    No check is asked of the smaller piece: whether it does is for the maker to try.
    Raises CancelledError when `cancelled` says so.
    """
    smaller = _Smaller(casework, cancelled)
    told = (replace(one, hangs_on=tuple(_told(casework, one, smaller))) for one in plan.sheets)
    return replace(plan, sheets=tuple(told))


class _Smaller:
    """The piece with a side of its case made less, each built once and only where asked for."""

    def __init__(self, casework: Casework, cancelled: Callable[[], bool]) -> None:
        self._casework = casework
        self._cancelled = cancelled
        self._built: dict[tuple[str, float], Casework | None] = {}

    def by(self, side: str, less: float) -> Casework | None:
        """The piece; None where it cannot be built, or the side is fixed."""
        if self._cancelled():
            raise CancelledError("The sheet layout was stopped; nothing was changed.")
        if (side, less) not in self._built:
            self._built[side, less] = self._made(side, less)
        return self._built[side, less]

    def _made(self, side: str, less: float) -> Casework | None:
        design = self._casework.design
        size = getattr(design.case, side) - less
        path = f"case.{side}"
        fixed = design.fixed
        if {"case", path} & {*fixed.values} or size < fixed.at_least.get(path, 0.0) or size <= 0:
            return None
        case = design.case.model_copy(update={side: size})
        try:
            return build(design.model_copy(update={"case": case}))
        except KitError:
            return None


def _told(casework: Casework, one: StockPlan, smaller: _Smaller) -> Iterator[str]:
    now = one.layout.full_sheets
    units = casework.design.shop.units

    def count_of(work: Casework, stock: Stock, *, trimmed: bool = True) -> int:
        supply = sheets_there(work, stock)
        if not trimmed:
            supply = [replace(sheet, trims=Trims()) for sheet in supply]
        kerf = work.design.shop.sheet_saw.kerf_mm
        return _sheets(pieces_of(work, stock), supply, kerf, now)

    trims = {sheet.sheet.trims.left_mm for sheet in one.layout.sheets} - {0.0}
    if trims:
        saved = now - count_of(casework, one.stock, trimmed=False)
        if saved > 0:
            widest = text(max(trims), units, step=Step.BOARD)
            yield f"the edge trim of {widest} costs {_many(saved)}"
    for side in SIDES:
        least: tuple[float, int] | None = None
        for less in LESS[units]:
            work = smaller.by(side, less)
            saved = 0 if work is None else now - count_of(work, one.stock)
            if saved <= 0:
                break
            least = less, saved
        if least is not None:
            less, saved = least
            amount = text(less, units, step=Step.BOARD)
            yield f"{amount} less {side}: {_many(saved)} fewer"


def _sheets(pieces: list[Piece], supply: list[Sheet], kerf_mm: float, most: int) -> int:
    """How many full sheets a layout takes; `most` where it takes no fewer."""
    try:
        if least_sheets(pieces, supply, kerf_mm) >= most:
            return most
        return min(most, live_layout(pieces, supply, kerf_mm).full_sheets)
    except BuildError:
        return most


def _many(count: int) -> str:
    return "one sheet" if count == 1 else f"{count} sheets"
