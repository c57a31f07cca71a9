"""As built: what becomes of each board now that sheets and openings are measured."""

from kit.board import Size
from kit.casework import Casework
from kit.checks.as_built import Verdict, changes
from kit.making.table_text import csv_text
from kit.units import System, decimal, text


def printed(casework: Casework, system: System) -> list[dict[str, str]]:
    """The boards that change or are cut already, as printed in one display system.

    Sizes are cut sizes, T x W x L; `planned` is the design without anything measured.
    """
    return [
        {
            "mark": casework.marks[change.board],
            "name": change.board,
            "planned": _size(change.planned, system),
            "measured": _size(change.measured, system),
            "what to do": change.verdict.value,
        }
        for change in changes(casework)
        if change.verdict is not Verdict.AS_PLANNED
    ]


def to_csv(casework: Casework, system: System) -> str:
    """The printed rows as CSV text; empty where nothing changes."""
    return csv_text(printed(casework, system))


def _size(size: Size, system: System) -> str:
    sides = f"{text(size.width, system)} x {text(size.length, system)}"
    return f"{decimal(size.thickness, system)} x {sides}"
