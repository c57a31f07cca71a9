"""The release gate: is what is printed what the solids measure, and may a maker cut from it?

    gate(casework, report, lists, drawn) -> Gate

It reads the lists as text, as a maker reads them, parses every number back and holds it
against the solids; the numbers that the lists were written from are not asked.
"""

import csv
import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from kit.casework import Casework
from kit.finding import Report, Status
from kit.release.cut_list import FILE as CUT_LIST
from kit.release.cut_list import compare_cut_list
from kit.release.pages import compare_marks, compare_printed
from kit.release.printed import Drawn
from kit.release.set_ups import FILE as SET_UPS
from kit.release.set_ups import compare_set_ups
from kit.release.sheets import (
    BUY,
    CUTS,
    SHEETS,
    Plan,
    compare_buy_list,
    compare_cuts,
    compare_sheets,
    read_plan,
)
from kit.release.sizes import STEPS, compare_labels, compare_steps
from kit.release.truth import Truth
from kit.units import System

#: The lists that a maker cuts and buys from: no pack is released without them.
REQUIRED = (CUT_LIST, SET_UPS, SHEETS, BUY)

#: The check that is unknown for each sheet that nobody measured.
UNMEASURED_SHEET = "sheet thickness"

type Rows = Sequence[Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class Gate:
    """Whether a pack may be called released.

    `reasons` are the sentences that keep it a draft, what concerns the whole pack first;
    `notes` do not keep it, and belong beside a release: what is accepted, and what rightly
    differs from the solids.
    """

    reasons: tuple[str, ...]
    notes: tuple[str, ...] = ()

    @property
    def passed(self) -> bool:
        """Whether nothing keeps it a draft."""
        return not self.reasons

    @property
    def words(self) -> str:
        """What a title block says: `released`, or `DRAFT`, the first reason, how many more."""
        if self.passed:
            return "released"
        more = f" (and {len(self.reasons) - 1} more)" if len(self.reasons) > 1 else ""
        return f"DRAFT: {self.reasons[0]}{more}"


def gate(
    casework: Casework,
    report: Report,
    lists: Mapping[str, str],
    drawn: Drawn,
    system: System | None = None,
) -> Gate:
    """Hold a pack against its solids.

    `lists` are the files of the pack as written, by name: the cut list, the set-up sheet,
    `sheets.json` and the buy list, and where there are any the cut order and the steps.
    `drawn` is what drawings and labels show. All are in the units of the shop, or of `system`.

    A finding that fails or is not known keeps a pack a draft, unless the maker accepts it with a
    reason; so does a sheet that nobody measured, and a plan that nobody approved. What is
    accepted is noted.

    Raises SolidError where a board cannot be made solid.
    """
    truth = Truth.of(casework, system or casework.design.shop.units)
    reasons = [*_thickness(casework), *_findings(report), *_approval(casework)]
    reasons += _compared(truth, lists, drawn)
    return Gate(tuple(dict.fromkeys(reasons)), tuple(_notes(casework, report)))


def _thickness(casework: Casework) -> Iterator[str]:
    for stock in casework.stocks:
        if not stock.measured:
            yield f"the thickness of {stock.key} is not measured"


def _findings(report: Report) -> Iterator[str]:
    for status, words in ((Status.FAIL, "a check fails"), (Status.UNKNOWN, "not known")):
        for finding in report.causes(status):
            if (status, finding.check) != (Status.UNKNOWN, UNMEASURED_SHEET):  # told above
                yield f"{words}: {finding.check} ({finding.subject})"


def _approval(casework: Casework) -> Iterator[str]:
    if casework.design.pack.approved_by is None:
        yield "nobody approved it (pack.approved_by)"


def _notes(casework: Casework, report: Report) -> Iterator[str]:
    for finding in report.having(Status.ACCEPTED):
        yield f"accepted: {finding.check} ({finding.subject}): {finding.reason}"
    for board in casework.boards:
        size = casework.as_measured(board, board.finished)
        if size != board.finished:
            yield (
                f"{casework.marks[board.name]} {board.name} is listed by the measured opening; "
                "its solid shows the opening as planned"
            )


def _compared(truth: Truth, lists: Mapping[str, str], drawn: Drawn) -> Iterator[str]:
    for name in REQUIRED:
        if name not in lists:
            yield f"there is no {name} to compare"
    rows: dict[str, Rows] = {}
    for name in (CUT_LIST, SET_UPS, BUY, CUTS):
        if name in lists:
            rows[name] = _rows(lists[name])
    plan: Plan | None = None
    cut_list = rows.get(CUT_LIST, ())
    yield from compare_marks(drawn, (row.get("mark", "") for row in cut_list))
    if CUT_LIST in rows:
        yield from _read(CUT_LIST, lambda: compare_cut_list(truth, cut_list))
    if SHEETS in lists:
        try:
            plan = read_plan(lists[SHEETS])
        except ValueError as error:
            yield f"{SHEETS} cannot be read: {error}"
    if plan is not None:
        laid_out = plan
        yield from _read(SHEETS, lambda: compare_sheets(truth, laid_out, cut_list))
        if CUTS in rows:
            yield from _read(CUTS, lambda: compare_cuts(truth, rows[CUTS], laid_out))
    if SET_UPS in rows:
        yield from _read(SET_UPS, lambda: compare_set_ups(truth, rows[SET_UPS]))
    if BUY in rows:
        yield from _read(BUY, lambda: compare_buy_list(truth, rows[BUY], plan))
    if STEPS in lists:
        yield from compare_steps(truth, lists[STEPS])
    if drawn.labels:
        yield from compare_labels(truth, drawn.labels)
    yield from compare_printed(truth, drawn.printed)


def _read(name: str, compare: Callable[[], Iterator[str]]) -> list[str]:
    """What a comparison finds; a column or field that is not there is a reason too."""
    try:
        return list(compare())
    except (KeyError, TypeError, AttributeError) as error:
        return [f"{name} cannot be read: {error} is missing or is of another kind"]
    except ValueError as error:
        return [f"{name} cannot be read: {error}"]


def _rows(text: str) -> Rows:
    """The rows of a CSV text, without the mark that keeps a spreadsheet from reckoning."""
    return [
        {key: _cell(value) for key, value in row.items() if key is not None}
        for row in csv.DictReader(io.StringIO(text))
    ]


def _cell(value: str | None) -> str:
    cell = value or ""
    return cell[1:] if cell[:1] == "'" and cell[1:2] in tuple("=+-@\t\r") else cell
