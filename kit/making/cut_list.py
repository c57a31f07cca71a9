"""The cut list: one row a board, with its four sizes.

Always thickness x width x length, the length along the grain. `finished` is the board as it
stands, `cut` is less its edging, `rough` is what to take out of the sheet; a board with a
`fit` note is cut after the case has been measured, and its sizes are only what to expect.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.board import FitNote, Grain, Size
from kit.casework import Casework
from kit.edition import BoardEdition, Face, editions
from kit.making.table_text import csv_text
from kit.units import System, decimal

if TYPE_CHECKING:
    from pandas import DataFrame


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRow:
    """One board of the cut list; sizes in mm.

    `pieces` of the rough size make one board: the layers of a laminated one. `measured` says
    whether its thickness was measured or is only what is typical. `editions` says how its width
    and length are printed in each system.
    """

    mark: str
    name: str
    pieces: int
    material: str
    measured: bool
    finished: Size
    cut: Size
    rough: Size
    grain: Grain
    edging: str
    fit: FitNote | None
    editions: Mapping[System, BoardEdition]
    sheet: str = ""


def cut_list(casework: Casework, sheets: Mapping[str, str] | None = None) -> tuple[CutRow, ...]:
    """The rows of every board, in build order.

    `sheets` says by board name which sheets it is cut from, where they have been laid out.
    """
    printed_in = {system: editions(casework, system) for system in System}
    return tuple(
        CutRow(
            mark=casework.marks[board.name],
            name=board.name,
            pieces=board.layers,
            material=board.stock.label,
            measured=board.stock.measured,
            finished=casework.as_measured(board, board.finished),
            cut=casework.as_measured(board, board.cut),
            rough=casework.as_measured(board, board.rough),
            grain=board.grain,
            edging=", ".join(surface.plain for surface in board.edged),
            fit=board.fit,
            editions={system: boards[board.name] for system, boards in printed_in.items()},
            sheet=(sheets or {}).get(board.name, ""),
        )
        for board in casework.boards
    )


def printed(rows: Sequence[CutRow], system: System) -> list[dict[str, str]]:
    """The rows as they are printed, in one display system.

    Every length carries its unit, so that no spreadsheet takes `3/4` for a date.
    """
    return [
        {
            "mark": row.mark,
            "name": row.name,
            "pieces": str(row.pieces),
            "material": row.material + ("" if row.measured else " (thickness not measured)"),
            **_sizes("finished", row.finished, row.editions[system].finished, system),
            **_sizes("cut", row.cut, row.editions[system].cut, system),
            **_sizes("rough", row.rough, row.editions[system].rough, system),
            "grain": row.grain.value,
            "edging": row.edging,
            "cut to fit": row.editions[system].fit,
            "sheet": row.sheet,
        }
        for row in rows
    ]


def to_frame(rows: Sequence[CutRow], system: System) -> "DataFrame":
    """The printed rows as a pandas DataFrame, indexed by mark."""
    from pandas import DataFrame  # heavy, and only wanted here

    return DataFrame(printed(rows, system)).set_index("mark")


def to_csv(rows: Sequence[CutRow], system: System) -> str:
    """The printed rows as CSV text."""
    return csv_text(printed(rows, system))


def to_html(rows: Sequence[CutRow], system: System) -> str:
    """The printed rows as an HTML table; every text is escaped."""
    return str(to_frame(rows, system).to_html(border=0, escape=True))


def _sizes(which: str, size: Size, face: Face, system: System) -> dict[str, str]:
    return {
        f"{which} T": decimal(size.thickness, system),
        f"{which} W": face.width.text,
        f"{which} L": face.length.text,
    }
