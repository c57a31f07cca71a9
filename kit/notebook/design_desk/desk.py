"""The design desk: controls, the console in 3D, and what the kit says of it, side by side."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets as widgets
from IPython.display import DisplayHandle, display

from kit.design_file import example_text, read_text
from kit.errors import KitError
from kit.notebook.design_desk.bench import Bench, Work
from kit.notebook.design_desk.files import FilesPanel
from kit.notebook.design_desk.groups import groups
from kit.notebook.design_desk.later import Later
from kit.notebook.design_desk.panels import (
    BoardPanel,
    CutListPanel,
    FindingsPanel,
    Panel,
    SettingsPanel,
    SheetsPanel,
    sheets_html,
    tally_html,
)
from kit.notebook.design_desk.parts import Group
from kit.notebook.design_desk.places import Places
from kit.notebook.design_desk.scene import ScenePanel
from kit.notebook.rows import set_up_table
from kit.notebook.shown import Shown
from kit.notebook.still import picture
from kit.notebook.tables import cut_table, findings
from kit.units import Step, text

#: How long a control is left alone before solids follow, and the kept picture, s.
LET_GO_S, KEEP_S = 0.25, 1.5


class Desk:
    """A design on the desk. Shown as the last thing of a cell.

    What is done on it is done to `bench`, and the other way round; that needs no widgets. `later`
    makes what waits until a control is let go. `places` says where it reads and writes.
    """

    def __init__(
        self,
        bench: Bench,
        later: Callable[[Callable[[], None], float], Later] = Later,
        places: Places | None = None,
    ) -> None:
        self.bench = bench
        self.groups = groups(bench)
        self.scene = ScenePanel(bench.work, self.picked)
        self.board = BoardPanel(bench, self.scene.highlight)
        self.findings = FindingsPanel(bench, self.scene.highlight)
        self.files = FilesPanel(bench, places or Places())
        self.panels: tuple[Panel, ...] = (
            self.findings,
            CutListPanel(),
            SheetsPanel(),
            self.board,
            SettingsPanel(),
            self.files,
        )
        self._head = _Head(bench)
        self._left = _Tabs("Controls", self.groups, lambda: self._group.show(self.work))
        self._right = _Tabs("Answers", self.panels, lambda: self._panel.show(self.work))
        self._kept: DisplayHandle | None = None
        self._solids = later(self._let_go, LET_GO_S)
        self._keep = later(self._update_kept, KEEP_S)
        self.widget = widgets.VBox(
            [
                self._head.widget,
                widgets.HBox(
                    [
                        _box(self.scene.widget, "1 1 800px"),
                        _box(self._left.widget, "1 1 400px"),
                        _box(self._right.widget, "1 1 440px"),
                    ],
                    layout=widgets.Layout(flex_flow="row wrap", width="100%"),
                ),
            ],
            layout=widgets.Layout(width="100%"),
        )
        self.widget.add_class("kit-desk")
        for part in (self._head, self._group, self._panel):
            part.show(bench.work)
        bench.follow(self._changed)

    @property
    def work(self) -> Work:
        """The design as it stands: its text, its casework and its report."""
        return self.bench.work

    @property
    def kept(self) -> Shown:
        """What stays when the notebook is saved: picture, verdicts, cut list."""
        return kept(self.work)

    def choose_group(self, number: int) -> None:
        """Show a group of controls, counted from 0."""
        self._left.choose(number)

    def choose_panel(self, number: int) -> None:
        """Show one of the answers, counted from 0."""
        self._right.choose(number)

    def picked(self, name: str) -> None:
        """Show a board by its name: drawing, row and settings; nothing for what is no board."""
        if name in self.work.casework.by_name:
            self.choose_panel(self.panels.index(self.board))
            self.board.pick(name)

    def close(self) -> None:
        """Take the desk away with all its widgets."""
        self._solids.forget()
        self._keep.forget()
        self.findings.mending.forget()
        self.scene.close()
        for group in self.groups:
            _close(group.widget)
        for panel in self.panels:
            _close(panel.widget)
        _close(self.widget)

    @property
    def _group(self) -> Group:
        return self.groups[self._left.chosen]

    @property
    def _panel(self) -> Panel:
        return self.panels[self._right.chosen]

    def _changed(self, work: Work) -> None:
        """Numbers at once; solids and sheets when the control is let go."""
        self._head.show(work)
        self._group.show(work)
        if not self._panel.slow:
            self._panel.show(work)
        self._solids.ask()

    def _let_go(self) -> None:
        self.bench.let_go()
        self.scene.show(self.work)
        if self._panel.slow:
            self._panel.show(self.work)
        self._keep.ask()

    def _update_kept(self) -> None:
        if self._kept is not None:
            with suppress(KitError):  # the desk tells of it already
                self._kept.update(self.kept)  # type: ignore[no-untyped-call]

    def _ipython_display_(self) -> None:
        live: dict[str, Any] = self.widget._repr_mimebundle_()
        live["text/plain"] = f"{self.work.design.name}: run this cell for the design desk."
        display(live, raw=True)  # type: ignore[no-untyped-call]
        self._kept = display(self.kept, display_id=True)  # type: ignore[no-untyped-call]


class _Head:
    """The piece in a line, the tally, undo and redo."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._told = widgets.HTML()
        self._undo = widgets.Button(description="Undo", tooltip="Take the last step back")
        self._redo = widgets.Button(description="Redo", tooltip="Take that step again")
        for button, step in ((self._undo, bench.undo), (self._redo, bench.redo)):
            button.layout.width = "auto"
            button.on_click(lambda _, step=step: step())
        self.widget = widgets.HBox(
            [self._undo, self._redo, self._told],
            layout=widgets.Layout(flex_flow="row wrap", align_items="center"),
        )

    def show(self, work: Work) -> None:
        """Show the size of the piece and how it stands."""
        self._undo.disabled = not self._bench.can_undo
        self._redo.disabled = not self._bench.can_redo
        self._told.value = f'<span class="kit-tally">{head_html(work)}</span>'


class _Tabs:
    """A row of buttons, and below it what the chosen one stands for."""

    def __init__(self, label: str, of: Sequence[Any], chosen: Callable[[], None]) -> None:
        self._of, self._told = of, chosen
        self._buttons = widgets.ToggleButtons(
            options=[(one.title, number) for number, one in enumerate(of)],
            tooltips=[f"{label}: {one.title}" for one in of],
            style={"button_width": "auto"},
        )
        self._title = widgets.HTML()
        self._box = widgets.VBox(layout=widgets.Layout(width="100%"))
        self.widget = widgets.VBox(
            [self._buttons, self._title, self._box], layout=widgets.Layout(width="100%")
        )
        self._buttons.observe(self._changed, "value")
        self._put()

    @property
    def chosen(self) -> int:
        """The number of the one that is chosen, from 0."""
        return int(self._buttons.value)

    def choose(self, number: int) -> None:
        """Choose one."""
        self._buttons.value = number

    def _changed(self, change: object) -> None:
        self._put()
        self._told()

    def _put(self) -> None:
        one = self._of[self.chosen]
        self._title.value = f"<h3 style='margin: 0'>{escape(one.title)}</h3>"
        self._box.children = (one.widget,)


_last: Desk | None = None


def desk(path: str | Path | None = None, *, within: str | Path | None = None) -> Desk:
    """The design desk for a design file; for the built-in example where none is given.

    A notebook has one desk, as it has one 3D view: the one before is taken away. What the desk
    loads, saves and writes lies below the folder `within`, where there is one.

    Raises DesignFileError where the file cannot be read, BuildError where no piece can be built.
    """
    global _last  # a kernel serves one notebook
    bench = Bench(example_text()) if path is None else Bench(read_text(path), Path(path))
    if _last is not None:
        _last.close()
    _last = Desk(bench, places=Places(None if within is None else Path(within)))
    return _last


def kept(work: Work) -> Shown:
    """A design as it stays in a saved notebook, in print, or in a viewer without a kernel.

    Picture, verdicts that are not right and cut list are open, sheets and settings folded.
    """
    parts = (
        picture(work.casework).html,
        f"<p>{head_html(work)}</p>",
        findings(work.report, work.casework, right=False).html,
        cut_table(work.casework, work.rows).html,
        _folded("Sheets", sheets_html(work)),
        _folded("Settings", set_up_table(work.casework).html),
    )
    return Shown(
        _folded("The console as it is kept in this notebook", "".join(parts), opened=True),
        f"{work.design.name}: {work.report.tally}",
    )


def _folded(title: str, html: str, *, opened: bool = False) -> str:
    return f"<details{' open' * opened}><summary>{escape(title)}</summary>{html}</details>"


def head_html(work: Work) -> str:
    """The piece in a line: name, size, boards, mass, and how many findings have which status."""
    casework, system = work.casework, work.design.shop.units
    wide, deep, high = (text(v, system, step=Step.OVERALL) for v in casework.box.size)
    return (
        f"<b>{escape(work.design.name)}</b>: {wide} wide, {deep} deep, {high} high, "
        f"{len(casework.boards)} boards, {casework.mass_kg:.0f} kg&emsp;{tally_html(work.report)}"
    )


def _close(widget: widgets.Widget) -> None:
    for child in getattr(widget, "children", ()):
        _close(child)
    widget.close()


def _box(widget: widgets.Widget, flex: str) -> widgets.Box:
    return widgets.VBox(
        [widget], layout=widgets.Layout(flex=flex, min_width="0", padding="0 1em 0.5em 0")
    )
