"""The change report: what becomes of boards, sheets and labels from one design to the next.

Boards are compared as printed, so that what no list shows is no change. Where a board stands does
not matter; what is cut into it does. Each is held against the one of its name, unless that one
differs and another of its kind does not: a bay more gives boards other numbers. Two sheet plans
say besides which sheets are laid out otherwise, and which labels are void; the stamp of the
design on a label does not count, since it changes with every word of the design file.
"""

from collections.abc import Iterator

from kit.casework import Casework
from kit.checks import check
from kit.making.changes.boards import board_changes
from kit.making.changes.report import (
    BoardChange,
    ChangeReport,
    Difference,
    Kind,
    LabelChange,
    Remedy,
    SheetChange,
)
from kit.making.changes.sheets import label_changes, sheet_changes
from kit.making.sheets import SheetPlan
from kit.making.table_text import csv_text
from kit.units import Step, System, text

__all__ = [
    "BoardChange",
    "ChangeReport",
    "Difference",
    "Kind",
    "LabelChange",
    "Remedy",
    "SheetChange",
    "changes",
    "printed",
    "to_csv",
    "to_text",
]


def changes(
    old: Casework,
    new: Casework,
    *,
    system: System | None = None,
    plans: tuple[SheetPlan, SheetPlan] | None = None,
) -> ChangeReport:
    """What changes from `old` to `new`, as printed in `system` (else that of the new design).

    `plans` are the sheet plans of the two, in this order; without them sheets and labels are
    not compared. Boards come in the build order of the new design, those left out at the end.
    """
    units = system or new.design.shop.units
    return ChangeReport(
        system=units,
        before=old.design.name,
        after=new.design.name,
        boards=tuple(board_changes(old, new, units)),
        whole=tuple(_whole(old, new, units)),
        sheets=tuple(sheet_changes((old, plans[0]), (new, plans[1]))) if plans else None,
        labels=tuple(label_changes((old, plans[0]), (new, plans[1]), units)) if plans else None,
    )


def printed(report: ChangeReport) -> list[dict[str, str]]:
    """Every row of the report as text: the whole, all boards, sheets and void labels."""
    rows = [_row("whole", "", "", Kind.CHANGED, d) for d in report.whole]
    for b in report.boards:
        todo = b.remedy.value + (" (it was cut already and is void)" if b.is_void else "")
        told = b.differences or (Difference("", "", ""),)
        rows += [_row("board", b.mark, b.name, b.kind, d, todo) for d in told]
    for sheet in report.sheets or ():
        pieces = Difference("pieces", "", ", ".join(sheet.pieces))
        rows.append(_row("sheet", "", sheet.name, sheet.kind, pieces))
    for label in report.labels or ():
        lines = Difference(", ".join(label.lines), "", "")
        rows.append(_row("label", label.mark, label.name, label.kind, lines, "it is void"))
    return rows


def to_csv(report: ChangeReport) -> str:
    """The printed rows as CSV text."""
    return csv_text(printed(report))


def to_text(report: ChangeReport) -> str:
    """The report as lines to be read; one sentence where nothing changes."""
    names = report.before + ("" if report.before == report.after else f" -> {report.after}")
    if report.is_empty:
        return f"{names}: nothing changes.\n"
    blocks = [(f"{names}: what changes", [d.words for d in report.whole])]
    blocks.append(("Boards", [b.words for b in report.changed] or ["none"]))
    same = [f"{b.mark} {b.name}" for b in report.boards if b.kind is Kind.SAME]
    blocks.append(("Boards as before", [", ".join(same) or "none"]))
    if report.void:
        void = ", ".join(f"{b.mark} {b.name}" for b in report.void)
        blocks.append(("Cut already and void", [void]))
    if report.sheets is None or report.labels is None:
        blocks.append(("Sheets and labels", ["not compared"]))
    else:
        blocks.append(("Sheets affected", [s.words for s in report.sheets] or ["none"]))
        blocks.append(("Labels void", [la.words for la in report.labels] or ["none"]))
    return "\n".join("\n".join([head, *(f"  {line}" for line in ls)]) for head, ls in blocks) + "\n"


def _row(
    of: str, mark: str, name: str, kind: Kind, difference: Difference, todo: str = ""
) -> dict[str, str]:
    return {
        "of": of,
        "mark": mark,
        "name": name,
        "is": kind.value,
        "what": difference.what,
        "before": difference.before,
        "after": difference.after,
        "to do": todo,
    }


def _whole(old: Casework, new: Casework, system: System) -> Iterator[Difference]:
    """Overall sizes, mass and how many findings have which status, where they differ."""
    facts = []
    for casework in (old, new):
        sizes = zip(("width", "depth", "height"), casework.box.size, strict=True)
        told = {f"overall {axis}": text(mm, system, step=Step.OVERALL) for axis, mm in sizes}
        told["mass of the boards"] = f"{casework.mass_kg:.1f} kg"
        told["boards"] = str(len(casework.boards))
        told["findings"] = check(casework).tally
        facts.append(told)
    for what, before in facts[0].items():
        if before != facts[1][what]:
            yield Difference(what, before, facts[1][what])
