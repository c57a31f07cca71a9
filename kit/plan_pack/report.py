"""The check report: every finding with its numbers, and what no check looks at."""

import math
from collections.abc import Mapping

from kit.casework import Casework
from kit.checks import CAUTION, NOT_CHECKED
from kit.checks.standing import stands
from kit.finding import Finding, Report, Sense, Status
from kit.plan_pack.agreed import limits_table
from kit.plan_pack.book import Align, Chapter, Column, DocumentType, Prose, Table
from kit.sources import source

COLUMNS = (
    Column("Status", strong=True),
    Column("Check", 1.5, strong=True),
    Column("Subject", 1.3),
    Column("Measured", 1.1, Align.RIGHT),
    Column("Required", 1.6, Align.RIGHT),
    Column("Margin", 1, Align.RIGHT),
    Column("Why", 5.2),
    Column("Assumes", 1.8),
    Column("Source"),
)
#: What findings that hold assume is said once, in notes below.
SHORT = tuple(Column(c.title) if c.title == "Assumes" else c for c in COLUMNS)
TITLES = {
    Status.FAIL: "Fails: to be put right",
    Status.UNKNOWN: "Not known: a number is missing",
    Status.WATCH: "Holds, but with little to spare",
    Status.ACCEPTED: "Accepted by the maker, with the reason",
    Status.OK: "Holds",
}


def check_report(casework: Casework, report: Report) -> Chapter:
    """All findings, worst first, and the sources they rest on."""
    notes, placed = _notes(report), report.worst_first()
    tables = [
        Table(
            title=f"{title} ({len(report.having(status))})",
            columns=SHORT if status is Status.OK else COLUMNS,
            rows=tuple(
                _row(casework, finding, notes) for finding in placed if finding.status is status
            ),
        )
        for status, title in TITLES.items()
        if report.having(status)
    ]
    return Chapter(
        "Check report",
        DocumentType.REPORT,
        (
            Prose(
                "",
                (
                    *filter(None, (stands(casework),)),
                    f"{len(report)} findings: {report.tally}. A finding is advice from the numbers "
                    "it shows, not a certificate.",
                    CAUTION,
                ),
            ),
            *tables,
            limits_table(casework),
            Prose("Not checked", tuple(f"{what[0].upper()}{what[1:]}." for what in NOT_CHECKED)),
            Table(
                title="Notes: what findings that hold assume",
                columns=(Column("Note", strong=True), Column("It assumes", 1)),
                rows=tuple((name, words) for words, name in notes.items()),
            ),
            _sources(report),
        ),
    )


def _notes(report: Report) -> dict[str, str]:
    """What findings that hold assume, each once: the name of its note by its words."""
    said = dict.fromkeys(f.assumes for f in report.having(Status.OK) if f.assumes)
    return {words: f"note {number}" for number, words in enumerate(said, start=1)}


def _row(casework: Casework, finding: Finding, notes: Mapping[str, str]) -> tuple[str, ...]:
    def value(number: float | None) -> str:
        known = number is not None and math.isfinite(number)
        return casework.value(number if known else None, finding.unit)

    why = finding.told
    if finding.fix is not None:
        why += f" Fix: write {finding.fix.parameter} = {finding.fix.value}."
    return (
        finding.status.value.upper(),
        finding.check,
        finding.subject,
        value(finding.measured),
        f"{finding.sense.value} {value(finding.required)}",
        _margin(casework, finding),
        why,
        notes.get(finding.assumes, "") if finding.status is Status.OK else finding.assumes,
        finding.source,
    )


def _margin(casework: Casework, finding: Finding) -> str:
    """The margin as printed; a length that lacks, or is too much, without a sign."""
    margin = finding.margin
    if margin is None or not math.isfinite(margin):
        return casework.value(None, finding.unit)
    if finding.unit != "mm" or margin >= 0:
        return casework.value(margin, finding.unit)
    return f"{casework.say(-margin)} {'short' if finding.sense is Sense.AT_LEAST else 'over'}"


def _sources(report: Report) -> Table:
    keys = dict.fromkeys(key for finding in report for key in finding.source.split())
    return Table(
        title="Sources",
        columns=(Column("Key", strong=True), Column("Source, its kind, and how it was seen", 1)),
        rows=tuple((key, source(key).citation) for key in sorted(keys)),
    )
