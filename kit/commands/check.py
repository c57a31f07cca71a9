"""`kit check`: what is right and wrong with a design."""

import argparse
import sys
from shlex import quote

from kit.checks import check
from kit.commands import FAILS, OK
from kit.commands.telling import load, sheets_are_short, tell
from kit.finding import findings_json


def run(options: argparse.Namespace) -> int:
    """Run every check, and print what it found."""
    casework, _ = load(options.file)
    report = check(casework)
    if options.json:
        print(findings_json(report), end="")
    else:
        tell(casework, report, everything=options.all)
        if report.failed and options.file:
            print(f"What would make it right: kit fix {quote(options.file)}")
    short = sheets_are_short(casework, sys.stderr if options.json else None)
    return FAILS if short or report.failed else OK
