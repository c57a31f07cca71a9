"""Cut list and findings as tables: HTML that is saved with the notebook, and short text.

Text from a design file is escaped. A status is always a word; sign and colour only help.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from html import escape

from kit.board import Size
from kit.casework import Casework
from kit.checks import CAUTION, NOT_CHECKED
from kit.checks.standing import stands
from kit.edition import Face
from kit.finding import Finding, Report, Status
from kit.making.cut_list import CutRow, cut_list
from kit.notebook.shown import Shown
from kit.sources import source
from kit.units import System, decimal

SIGNS = {
    Status.FAIL: "✗",
    Status.UNKNOWN: "?",
    Status.WATCH: "!",
    Status.ACCEPTED: "≈",
    Status.OK: "✓",
}
#: Dark enough on white and light enough on black to be read on either.
COLOURS = {
    Status.FAIL: "#d03027",
    Status.UNKNOWN: "#8a6fc0",
    Status.WATCH: "#b36b00",
    Status.ACCEPTED: "#4f7a8c",
    Status.OK: "#3f8a4a",
}
NBSP = "\N{NO-BREAK SPACE}"
UNIT_WORDS = {System.INCH: "inches", System.METRIC: "millimetres"}


def findings(report: Report, casework: Casework, *, right: bool = True) -> Shown:
    """Every finding, worst first: what was measured, what is required, and who says so.

    Findings that differ in their subject alone share a row. Without those that are `right`, only
    what wants a look has a row.
    """
    told = [f for f in report.worst_first() if right or f.status is not Status.OK]
    rows = [
        [
            f'<b style="color: {COLOURS[finding.status]}">'
            f"{SIGNS[finding.status]}{NBSP}{finding.status.value.upper()}</b>",
            escape(finding.check),
            escape(", ".join(subjects)),
            _reason(finding),
            escape(_whole(casework.value(finding.measured, finding.unit))),
            escape(required(finding, casework)),
        ]
        for finding, subjects in _alike(told)
    ]
    heads = ("status", "check", "of", "why", "measured", "required")
    return Shown(
        f"<p>{escape(' '.join(filter(None, (stands(casework), report.tally))))}</p>"
        + html_table("findings", heads, rows)
        + f"<p><b>Not checked here:</b> {escape(', '.join(NOT_CHECKED))}.<br>"
        + f"<b>Caution:</b> {escape(CAUTION)}</p>",
        findings_text(report),
    )


def findings_text(report: Report) -> str:
    """How many findings of each check have which status, worst first, and the sum of each."""
    counts = Counter((f.status, f.check) for f in report.worst_first())
    lines = [f"{count:3}  {s.value.upper():8} {check}" for (s, check), count in counts.items()]
    return "\n".join([*lines, report.tally])


def cut_table(casework: Casework, rows: Sequence[CutRow] | None = None) -> Shown:
    """The cut list: a row for each board, finished, cut and rough; or these `rows` of it."""
    system = casework.design.shop.units
    rows = cut_list(casework) if rows is None else rows

    def sides(face: Face) -> str:
        width, length = (_whole(side) for side in _bare(face, system))
        return f"{width}{NBSP}× {length}"

    def thick(size: Size) -> str:
        return decimal(size.thickness, system).removesuffix(f" {system.value}")

    heads = ("mark", "board", "material", "T", "finished", "cut", "rough", "grain", "edging")
    cells = [
        (
            row.mark,
            row.name,
            row.material + ("" if row.measured else " (thickness not measured)"),
            thick(row.finished),
            sides(row.editions[system].finished),
            sides(row.editions[system].cut),
            sides(row.editions[system].rough)
            + (f" ({row.pieces} of {thick(row.rough)})" if row.pieces > 1 else ""),
            row.grain.value,
            row.edging,
            row.editions[system].fit,
        )
        for row in rows
    ]
    return Shown(
        html_table(
            "cut-list", (*heads, "cut to fit"), ([escape(cell) for cell in row] for row in cells)
        )
        + f"<p>All in {UNIT_WORDS[system]}: T thickness, then width × length, the length along the "
        "grain. Cut is less the edging; rough is what to take out of the sheet.</p>",
        _cut_text(rows, system),
    )


def cut_list_text(casework: Casework) -> str:
    """The cut list in three columns: mark, board, cut size."""
    return _cut_text(cut_list(casework), casework.design.shop.units)


def html_table(
    name: str,
    heads: Sequence[str],
    rows: Iterable[Sequence[str]],
    shares: Mapping[str, float] | None = None,
) -> str:
    """An HTML table of cells that are HTML already; `shares` of its width by head, in percent."""
    left = "text-align: left; vertical-align: top"
    wide = {"why": 45.0} if shares is None else shares
    head = "".join(
        f'<th scope="col" style="{left}{f"; width: {wide[word]:.0f}%" if word in wide else ""}">'
        f"{escape(word)}</th>"
        for word in heads
    )
    body = "".join(
        "<tr>" + "".join(f'<td style="{left}">{cell}</td>' for cell in row) + "</tr>"
        for row in rows
    )
    return f'<table class="kit-{name}"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'


def _alike(findings: Iterable[Finding]) -> list[tuple[Finding, list[str]]]:
    """Findings that differ in nothing but what they are about, each with its subjects."""
    subjects: dict[Finding, list[str]] = {}
    for finding in findings:
        rest = replace(finding, subject="", boards=())
        subjects.setdefault(rest, []).append(finding.subject)
    return list(subjects.items())


def _reason(finding: Finding) -> str:
    """Why, what would cure it, and what it stands on, as HTML."""
    parts = [escape(finding.told)]
    if finding.fix:
        parts.append(
            f"<b>Try</b> <code>{escape(finding.fix.parameter)} = {escape(finding.fix.value)}</code>"
        )
    return "<br>".join([*parts, basis(finding)])


def basis(finding: Finding) -> str:
    """What a finding stands on: assumptions and source, as HTML."""
    parts = [f"<small>Source: {escape(source(finding.source).citation)}.</small>"]
    if finding.assumes:
        parts.insert(0, f"<small>Assumes: {escape(finding.assumes)}.</small>")
    return "<br>".join(parts)


def required(finding: Finding, casework: Casework) -> str:
    """What is required, with its sense: `at least 1/4 in`."""
    value = _whole(casework.value(finding.required, finding.unit))
    return value if finding.required is None else f"{finding.sense.value} {value}"


def _whole(words: str) -> str:
    """Words that no line break parts."""
    return words.replace(" ", NBSP)


def _cut_text(rows: Sequence[CutRow], system: System) -> str:
    width = max(len(row.name) for row in rows)
    return "\n".join(
        f"{row.mark:3}{row.name:{width}}  {_size(row, system)}"
        + ("  cut to fit" if row.fit else "")
        for row in rows
    )


def _size(row: CutRow, system: System) -> str:
    """`0.719 × 21 × 77 9/16 in`."""
    thickness = decimal(row.cut.thickness, system).removesuffix(f" {system.value}")
    sides = _bare(row.editions[system].cut, system)
    return " × ".join((thickness, *sides)) + f" {system.value}"


def _bare(face: Face, system: System) -> tuple[str, str]:
    """Width and length as printed, without the unit."""
    unit = f" {system.value}"
    return face.width.text.removesuffix(unit), face.length.text.removesuffix(unit)
