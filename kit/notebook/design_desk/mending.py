"""What would make a finding right: searched for beside the desk, shown, and applied in one step."""

import threading
from dataclasses import dataclass, field
from html import escape
from typing import TYPE_CHECKING

import ipywidgets as widgets

from kit.design_file import rewrite
from kit.edits import add_bay
from kit.errors import CancelledError, DesignFileError, KitError
from kit.finding import Finding, Fix, Status
from kit.notebook.design_desk.bench import Bench, Edit, Work, refused
from kit.notebook.design_desk.fields import line, tell
from kit.notebook.searched import proposed
from kit.units import length

if TYPE_CHECKING:
    from kit.fixes import Proposal


@dataclass(frozen=True, eq=False)
class _Asked:
    """One question: of which design, and whether anybody still waits for its answer."""

    finding: Finding
    text: str
    thorough: bool
    stop: threading.Event = field(default_factory=threading.Event)


class Mending:
    """The question of a failing finding, and its answer; the desk stays usable meanwhile.

    Another design or another finding stops the search, and takes its answer away.
    """

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._finding: Finding | None = None
        self._text = ""
        self._asked: _Asked | None = None
        self._proposal: Proposal | None = None
        self._thread: threading.Thread | None = None
        # an answer comes from a thread, and must not fall between a look and what follows it
        self._lock = threading.RLock()
        self._ask = _button("What would make it right?", "Search for the least change")
        self._halt = _button("Stop", "Search no longer; the design is as it was")
        self._every = _button("Try every setting", "Prove it; this may take a minute")
        self._take = _button("Apply this change", "One step; Undo takes it back")
        self._take.add_class("kit-fix")
        self._alone = _button("", "It cures this finding, and something else fails by it")
        self._told = widgets.HTML(layout=widgets.Layout(width="100%"))
        self._under = line()
        self.widget = widgets.VBox(
            [
                widgets.HBox([self._ask, self._halt]),
                self._told,
                widgets.HBox(
                    [self._take, self._alone, self._every],
                    layout=widgets.Layout(flex_flow="row wrap"),
                ),
                self._under,
            ],
            layout=widgets.Layout(width="100%"),
        )
        self._ask.on_click(lambda _: self.ask())
        self._every.on_click(lambda _: self.ask(thorough=True))
        self._halt.on_click(lambda _: self.stop())
        self._take.on_click(lambda _: self._apply())
        self._alone.on_click(lambda _: self._apply_alone())
        bench.follow(self._changed)
        self._put("")

    def about(self, finding: Finding | None) -> None:
        """Be about this finding of the design as it stands; about nothing for one that holds."""
        if finding is not None and finding.status is not Status.FAIL:
            finding = None
        with self._lock:
            text = self._bench.work.text
            if (finding, text) != (self._finding, self._text):
                self._finding, self._text = finding, text
                self.forget()

    def ask(self, *, thorough: bool = False) -> None:
        """Search for what makes the finding right; `thorough`, with proof."""
        with self._lock:
            if self._finding is None:
                return
            self.forget()
            asked = _Asked(self._finding, self._text, thorough)
            self._asked = asked
            self._put('<p role="status">Searching for what would make it right …</p>')
            self._thread = threading.Thread(target=self._search, args=(asked,), daemon=True)
            self._thread.start()

    def stop(self) -> None:
        """Stop searching, and say so."""
        with self._lock:
            if self._asked is not None:
                self._asked.stop.set()

    def forget(self) -> None:
        """Stop searching, and leave no answer."""
        with self._lock:
            self.stop()
            self._asked, self._proposal = None, None
            self._put("")

    def wait(self) -> None:
        """Wait until nothing is searched for."""
        if self._thread is not None:
            self._thread.join()

    def _changed(self, work: Work) -> None:
        """What was found for another design is of no use; nobody need look at the panel for it."""
        with self._lock:
            if work.text != self._text:
                self.about(None)

    def _search(self, asked: _Asked) -> None:
        told, proposal = "<p><b>✗ Not found:</b> see the log of this notebook.</p>", None
        try:
            from kit.fixes import propose  # the solvers of the sheet layouts are heavy

            proposal = propose(
                asked.text, asked.finding, thorough=asked.thorough, cancelled=asked.stop.is_set
            )
            told = proposed(proposal).html
        except CancelledError:
            told = "<p><b>Stopped</b>; nothing was changed.</p>"
        except KitError as error:
            told = f"<p><b>✗</b> {escape(str(error))}</p>"
        finally:
            with self._lock:
                if self._asked is asked:  # else nobody waits for it any more
                    self._asked, self._proposal = None, proposal
                    self._put(f'<div role="status">{told}</div>')

    def _put(self, told: str) -> None:
        """Show where it stands; only what changes is sent."""
        found, searching = self._proposal, self._asked is not None
        fix = self._finding.fix if self._finding and found and found.changes is None else None
        if fix:
            self._alone.description = f"Apply all the same: {fix.parameter} = {fix.value}"
        self._told.value = told
        self._told.layout.display = None if told else "none"
        tell(self._under, "")
        for widget, shown in (
            (self._ask, self._finding is not None and not searching and found is None),
            (self._halt, searching),
            (self._take, found is not None and found.changes is not None),
            (self._alone, fix is not None),
            (self._every, found is not None and found.tried > 0 and not found.proved),
        ):
            widget.layout.display = None if shown else "none"

    def _apply(self) -> None:
        with self._lock:
            if self._proposal is None:
                return
            edit = instead(self._text, self._proposal.text)
        tell(self._under, refused(lambda: self._bench.change(edit)))

    def _apply_alone(self) -> None:
        """What the check itself found for this finding alone; the maker sees to the rest."""
        finding = self._finding
        if finding is not None and finding.fix is not None:
            edit = fixing(finding.fix, self._bench.work)
            tell(self._under, refused(lambda: self._bench.change(edit)))


def fixing(fix: Fix, work: Work) -> Edit:
    """The edit that applies a fix. One more divider makes one more bay, which others go by."""
    number = len(work.design.dividers) + 1
    if fix.parameter != f"divider.{number}.at":
        return lambda text: rewrite(text, {fix.parameter: fix.value})
    at = length(fix.value)
    bay = next((b.number for b in work.casework.bays if at < b.clear.hi[0]), number)
    return lambda text: add_bay(text, bay, at)


def instead(before: str, after: str) -> Edit:
    """The edit that puts `after` in the place of `before`, and of nothing else."""

    def edit(text: str) -> str:
        if text != before:
            raise DesignFileError("The design has changed since this was found; ask once more.")
        return after

    return edit


def _button(label: str, about: str) -> widgets.Button:
    return widgets.Button(description=label, tooltip=about, layout=widgets.Layout(width="auto"))
