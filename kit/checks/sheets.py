"""Does every board come out of a sheet that there is? Asked before anything is laid out."""

from collections.abc import Iterator

from kit.board import Board, Grain
from kit.casework import Casework
from kit.edition import edition
from kit.finding import Finding, Sense, judge
from kit.materials import Stock


def check_sheets(casework: Casework) -> Iterator[Finding]:
    """For each sheet stock, the board that comes nearest to not fitting its largest sheet."""
    printed = edition(casework, casework.design.shop.units)
    for stock in casework.stocks:
        sizes = usable_sizes(casework, stock)
        if not sizes:
            continue
        boards = [board for board in casework.boards if board.stock == stock]
        spares = [(_spare(board, sizes), board) for board in boards]
        spare, board = min(spares, key=lambda one: one[0])
        size = board.rough
        usable = max(sizes)
        yield judge(
            "boards fit a sheet",
            stock.label,
            spare,
            0.0,
            sense=Sense.AT_LEAST,
            unit="mm",
            why=f"{board.name} is {printed.size(size)} in the "
            f"rough, and the largest sheet is of use for {casework.say(usable[1])} x "
            f"{casework.say(usable[0])}"
            + (
                "."
                if spare >= 0
                else f"; name a larger sheet ([[sheet]] with its length and width)"
                f"{_turned(casework, board, sizes)}, or make the case smaller."
            ),
            source="design-file",
            boards=(board.name,),
        )


def _turned(casework: Casework, board: Board, sizes: tuple[tuple[float, float], ...]) -> str:
    """That a back may be cut across the grain, where that helps and the file can say it."""
    free = (board.rough.width, board.rough.length)
    fits = any(free[0] <= length and free[1] <= width for length, width in sizes)
    at_rear = board.place.out.axis == 1 and board.box.lo[1] > casework.frame.clear.centre[1]
    closes = casework.design.back is not None and at_rear
    return ", turn its grain (back.grain)" if fits and closes else ""


def usable_sizes(casework: Casework, stock: Stock) -> tuple[tuple[float, float], ...]:
    """(length, width) of the sheets that a stock can come from, less their trims, mm."""
    trim = casework.design.shop.sheet_trim
    named = [s for s in casework.design.sheets if s.stock == stock.key and s.count != 0]
    if not stock.sheet_sizes:
        return ()
    usual = stock.sheet_sizes[0]
    if not named:
        return tuple((s.length_mm - 2 * trim, s.width_mm - 2 * trim) for s in stock.sheet_sizes)
    sizes = []
    for sheet in named:
        off = 2 * (trim if sheet.edge_trim is None else sheet.edge_trim)
        length, width = sheet.length or usual.length_mm, sheet.width or usual.width_mm
        sizes.append((length - off, width - off))
    return tuple(sizes)


def _spare(board: Board, sizes: tuple[tuple[float, float], ...]) -> float:
    """What the best sheet has over the board in its tighter direction, mm; negative: too small."""
    size = board.rough
    ways = [(size.length, size.width)]
    if board.grain is Grain.FREE:
        ways.append((size.width, size.length))
    return max(
        min(length - along, width - across) for length, width in sizes for along, across in ways
    )
