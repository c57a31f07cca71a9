"""`kit fix`: what would make failing findings right."""

import argparse
import sys
from difflib import get_close_matches

from kit.casework import build
from kit.checks import check
from kit.commands import FAILS, OK
from kit.commands.telling import line, load, with_sheets
from kit.design_file import parse, read_text
from kit.errors import DesignFileError
from kit.finding import Finding, Report
from kit.fixes.in_turn import propose_in_turn, without_needless
from kit.fixes.telling import to_text
from kit.saving import write


def run(options: argparse.Namespace) -> int:
    """Print the least changes that cure what fails, and write them where that is asked for."""

    def wanted(finding: Finding) -> bool:
        return options.check in (None, finding.check) and (
            options.subject in (None, finding.subject)
        )

    def progress(finding: Finding) -> None:
        about = f"'{finding.check}' of {finding.subject}"
        print(f"kit: looking for what makes {about} right ...", file=sys.stderr)

    casework, before = load(options.file)
    _refuse_unknown(check(casework), options.check, options.subject)
    proposals = []
    for found in propose_in_turn(before, wanted, thorough=options.thorough, progress=progress):
        print(line(casework, found.finding), to_text(found), sep="\n")
        proposals.append(found)
    mended = without_needless(before, proposals)
    text, report = mended.text, mended.report
    for words in mended.taken_back:
        print(f"Taken back, as what came after it does without: {words}")
    asked = Report(tuple(filter(wanted, report)))
    if text == before:
        print(f"Nothing to change: {asked.tally}.")
    elif not options.write:
        print(f"{options.file} was left as it is; --write writes what is found into it.")
    else:
        changed = f"{options.file} has changed meanwhile and was left alone; ask anew."
        write(
            options.file,
            text,
            objection=lambda there: "" if read_text(there) == before else changed,
        )
        print(f"Wrote {options.file}. Now: {report.tally}.")
    sheets = with_sheets(mended_work := build(parse(text)), Report())
    for finding in sheets:
        print(line(mended_work, finding))
    return FAILS if sheets.failed or asked.failed else OK


def _refuse_unknown(report: Report, name: str | None, subject: str | None) -> None:
    """Refuse a check, or a subject of it, that no finding of the design is about."""
    if name is None:
        return
    about = sorted({finding.subject for finding in report.about(name)})
    if not about:
        near = get_close_matches(name, {finding.check for finding in report}, n=1)
        hint = f"did you mean {near[0]!r}?" if near else "`kit check --all` tells them all."
        raise DesignFileError(f"No check of this design is named {name!r}; {hint}")
    if subject is not None and subject not in about:
        raise DesignFileError(
            f"{name!r} is not about {subject!r} in this design; it is about {', '.join(about)}."
        )
