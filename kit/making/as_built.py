"""As built: what becomes of each board now that sheets and openings are measured."""

from kit.casework import Casework
from kit.checks.as_built import Verdict, changes, plan_of
from kit.edition import edition
from kit.making.table_text import csv_text
from kit.units import System


def printed(casework: Casework, system: System) -> list[dict[str, str]]:
    """The boards that change or are cut already, as printed in one display system.

    Sizes are cut sizes, W x L; `planned` is the design without anything measured. A change too
    small to be printed is none.
    """
    found = changes(casework)
    if not found:
        return []
    plan, now = edition(plan_of(casework), system), edition(casework, system)
    rows = [(change, plan.size(change.planned), now.size(change.measured)) for change in found]
    return [
        {
            "mark": casework.marks[change.board],
            "name": change.board,
            "planned": planned,
            "measured": measured,
            "what to do": change.verdict.value,
        }
        for change, planned, measured in rows
        if change.is_cut or (change.verdict is Verdict.CHANGES and planned != measured)
    ]


def to_csv(casework: Casework, system: System) -> str:
    """The printed rows as CSV text; empty where nothing changes."""
    return csv_text(printed(casework, system))
