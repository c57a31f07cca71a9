"""`kit check`: what is right and wrong with a design."""

import argparse
from shlex import quote

from kit.checks import check
from kit.commands import FAILS, OK
from kit.commands.telling import load, tell, with_sheets
from kit.finding import findings_json


def run(options: argparse.Namespace) -> int:
    """Run every check, and print what it found."""
    casework, _ = load(options.file)
    report = with_sheets(casework, check(casework))
    if options.json:
        print(findings_json(report), end="")
    else:
        tell(casework, report, everything=options.all)
        if report.failed and options.file:
            print(f"What would make it right: kit fix {quote(options.file)}")
    return FAILS if report.failed else OK
