"""The cut list, read back from its text and held against the solids."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from kit.board import Board
from kit.release.printed import PrintedSize, What
from kit.release.sizes import compare_size, fits
from kit.release.truth import Truth

FILE = "cut-list.csv"

type Row = Mapping[str, str]


def compare_cut_list(truth: Truth, rows: Sequence[Row]) -> Iterator[str]:
    """Why the cut list is not that of the solids; nothing where it is.

    One row a board, its mark and name, and every size, count, edge and rule in it.
    """
    times = Counter(row["name"] for row in rows)
    for board in truth.casework.boards:
        if times[board.name] != 1:
            how = f"{times[board.name]} rows" if times[board.name] else "no row"
            yield f"{FILE}: {truth.named(board)} has {how}"
    for row in rows:
        known = truth.casework.by_name.get(row["name"])
        if known is None:
            yield f"{FILE}: there is no board {row['name']!r}, marked {row['mark']}"
        else:
            yield from _compare_row(truth, known, row)


def _compare_row(truth: Truth, board: Board, row: Row) -> Iterator[str]:
    if row["mark"] != truth.casework.marks[board.name]:
        yield f"{FILE}: {board.name} is marked {row['mark']}, and is {truth.named(board)}"
    material = board.stock.label + ("" if board.stock.measured else " (thickness not measured)")
    wanted = {
        "pieces": str(board.layers),
        "material": material,
        "grain": board.grain.value,
        "edging": ", ".join(surface.plain for surface in board.edged),
    }
    for column, words in wanted.items():
        if row[column] != words:
            yield _mismatch(truth, board, column, row[column], f"is {words or 'none'}")
    for what in What:
        yield from compare_size(truth, PrintedSize(FILE, board.name, what, row[what.plain]))
    if not fits(truth, board, row["cut to fit"]):
        rule = truth.edition.boards[board.name].fit
        yield _mismatch(truth, board, "cut to fit", row["cut to fit"], f"is {rule or 'none'}")


def _mismatch(truth: Truth, board: Board, what: str, words: str, truly: str) -> str:
    return f"{FILE}: {what} of {truth.named(board)} says {words or 'nothing'}, and it {truly}"
