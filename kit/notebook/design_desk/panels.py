"""What the desk answers: findings, cut list, sheets, one board, machine settings.

A panel that is not looked at draws nothing; it catches up when it is chosen.
"""

from collections.abc import Callable, Mapping, Sequence
from html import escape
from typing import Any, Protocol

import ipywidgets as widgets

from kit.checks import CAUTION, NOT_CHECKED
from kit.errors import KitError
from kit.finding import Finding, Report, Status
from kit.notebook.design_desk.bench import Bench, Work
from kit.notebook.design_desk.fields import LABEL_WIDTH
from kit.notebook.design_desk.mending import Mending
from kit.notebook.drawings import board_drawing, sheet_pictures
from kit.notebook.rows import set_up_table
from kit.notebook.tables import SIGNS, basis, cut_table, required

#: Told the names of the boards that are spoken of.
type Highlight = Callable[[Sequence[str]], None]


class Panel(Protocol):
    """One answer of the desk."""

    title: str
    #: Whether it takes longer than a control may wait; it then follows when that is let go.
    slow: bool
    widget: widgets.Widget

    def show(self, work: Work) -> None:
        """Show what is said of a design."""
        ...


class FindingsPanel:
    """The findings, worst first; the one that is picked in full, and what would make it right."""

    title, slow = "Findings", False

    def __init__(self, bench: Bench, highlight: Highlight) -> None:
        self._bench, self._highlight = bench, highlight
        self._found: tuple[Finding, ...] = ()
        self._showing = False
        self._all = widgets.Checkbox(
            description="Also what is right", indent=False, layout=widgets.Layout(width="auto")
        )
        self._list = widgets.Select(
            rows=9,
            layout=widgets.Layout(width="98%", height="auto"),
            tooltip="Findings, worst first: pick one to read it, and to see its boards",
        )
        self._list.add_class("kit-findings-list")
        self._full = widgets.HTML(layout=widgets.Layout(width="100%"))
        self.mending = Mending(bench)
        self._foot = widgets.HTML(
            f"<p><b>Not checked here:</b> {escape(', '.join(NOT_CHECKED))}.<br>"
            f"<b>Caution:</b> {escape(CAUTION)}</p>"
        )
        self.widget = widgets.VBox(
            [self._all, self._list, self._full, self.mending.widget, self._foot],
            layout=widgets.Layout(width="100%"),
        )
        self._all.observe(self._again, "value")
        self._list.observe(self._picked, "value")

    def show(self, work: Work) -> None:
        """Show the findings; the one that was picked stays so while it is there."""
        before = self._finding
        found = work.report.worst_first()
        if not self._all.value:
            found = tuple(f for f in found if f.status is not Status.OK)
        options = [(_short(finding), number) for number, finding in enumerate(found)]
        kept = next((n for n, f in enumerate(found) if before and _same(f, before)), None)
        self._showing = True
        try:
            self._found = found
            if self._list.options != tuple(options):
                self._list.options = options
            self._list.value = kept
        finally:
            self._showing = False
        if before is not None and kept is None:
            self._highlight(())  # it is cured, or not asked for
        self._tell_picked()

    @property
    def _finding(self) -> Finding | None:
        number = self._list.value
        return self._found[number] if number is not None else None

    def _again(self, change: Mapping[str, Any]) -> None:
        self.show(self._bench.work)

    def _picked(self, change: Mapping[str, Any]) -> None:
        if not self._showing:
            self._tell_picked()
            finding = self._finding
            self._highlight(finding.boards if finding else ())

    def _tell_picked(self) -> None:
        finding, casework = self._finding, self._bench.work.casework
        self.mending.about(finding)
        if finding is None:
            words = "Pick a finding to read it, and to see its boards in the picture."
            self._full.value = f"<p>{words if self._found else 'Nothing to mend.'}</p>"
            return
        measured = escape(casework.value(finding.measured, finding.unit))
        wanted = escape(required(finding, casework))
        self._full.value = (
            f"<p><b>{escape(_short(finding))}</b><br>{escape(finding.told)}</p>"
            f"<p><b>Measured</b> {measured}, <b>required</b> {wanted}.</p>"
            f"<details><summary>Source</summary>{basis(finding)}</details>"
        )


class CutListPanel:
    """The cut list."""

    title, slow = "Cut list", False

    def __init__(self) -> None:
        self.widget = widgets.HTML(layout=widgets.Layout(width="100%"))

    def show(self, work: Work) -> None:
        """Show one row a board."""
        self.widget.value = cut_table(work.casework, work.rows).html


class BoardPanel:
    """One board: its row, its drawing, the settings that cut it."""

    title, slow = "Board", True

    def __init__(self, bench: Bench, highlight: Highlight) -> None:
        self._bench, self._highlight = bench, highlight
        self._showing = False
        self._which = widgets.Dropdown(
            description="Board",
            tooltip="A board; a double click on it in the 3D view picks it, too",
            style={"description_width": LABEL_WIDTH},
        )
        self._shown = widgets.HTML(layout=widgets.Layout(width="100%"))
        self.widget = widgets.VBox([self._which, self._shown], layout=widgets.Layout(width="100%"))
        self._which.observe(self._picked, "value")

    def pick(self, name: str) -> None:
        """Show the board of this name; nothing for what is no board."""
        if name in self._bench.work.casework.by_name:
            self.show(self._bench.work)
            self._which.value = name

    def show(self, work: Work) -> None:
        """Show the board that is picked."""
        casework = work.casework
        options = [(f"{casework.marks[b.name]} {b.name}", b.name) for b in casework.boards]
        before = self._which.value
        self._showing = True
        try:
            if self._which.options != tuple(options):
                self._which.options = options
            self._which.value = before if before in casework.by_name else casework.boards[0].name
        finally:
            self._showing = False
        self._shown.value = board_html(work, self._which.value)

    def _picked(self, change: Mapping[str, Any]) -> None:
        if not self._showing:
            self._shown.value = board_html(self._bench.work, self._which.value)
            self._highlight((self._which.value,))


class SettingsPanel:
    """Every machine setting, in the order of the work."""

    title, slow = "Settings", False

    def __init__(self) -> None:
        self.widget = widgets.HTML(layout=widgets.Layout(width="100%"))

    def show(self, work: Work) -> None:
        """Show one row a setting."""
        self.widget.value = set_up_table(work.casework).html


class SheetsPanel:
    """Every sheet with its boards, its cuts and its waste."""

    title, slow = "Sheets", True

    def __init__(self) -> None:
        self.widget = widgets.HTML(layout=widgets.Layout(width="100%"))

    def show(self, work: Work) -> None:
        """Lay the boards out, quickly; the plan pack looks longer for the best."""
        self.widget.value = sheets_html(work)


def sheets_html(work: Work) -> str:
    """Every sheet with its boards, or why there is no layout; HTML."""
    from kit.making.sheets import sheet_plan  # the solvers are heavy

    try:
        plan = sheet_plan(work.casework)
        said = f"<p>{escape(plan.may_need_fewer)}</p>" if plan.may_need_fewer else ""
        return said + sheet_pictures(work.casework, plan).html
    except KitError as error:
        return f"<p><b>✗</b> {escape(str(error))}</p>"


def board_html(work: Work, name: str) -> str:
    """One board: its row of the cut list, its drawing, the settings that cut it; HTML."""
    row = [row for row in work.rows if row.name == name]
    return (
        cut_table(work.casework, row).html
        + board_drawing(work.casework, name).html
        + set_up_table(work.casework, name).html
    )


def tally_html(report: Report) -> str:
    """How many findings have which status, with the sign of each."""
    counts = ((s, len(report.causes(s))) for s in Status)
    return "&ensp;".join(
        f"<b>{SIGNS[s]}&nbsp;{count} {s.value}</b>"
        for s, count in counts
        if count or s is not Status.ACCEPTED
    )


def _short(finding: Finding) -> str:
    under = "\N{NO-BREAK SPACE}\N{NO-BREAK SPACE}↳ " if finding.under is not None else ""
    return (
        f"{under}{SIGNS[finding.status]} {finding.status.value.upper()}  {finding.check}: "
        f"{finding.subject}"
    )


def _same(a: Finding, b: Finding) -> bool:
    return (a.check, a.subject) == (b.check, b.subject)
