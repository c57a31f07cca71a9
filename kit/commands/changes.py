"""`kit changes`: what changes from one design to the next."""

import argparse
import sys

from kit.commands import OK
from kit.commands.telling import load
from kit.errors import BuildError
from kit.making import changes
from kit.making.sheets import sheet_plan
from kit.units import System


def run(options: argparse.Namespace) -> int:
    """Print what changes from one design to the other."""
    (old, _), (new, _) = load(options.old), load(options.new)
    try:
        plans = (sheet_plan(old), sheet_plan(new))
    except BuildError as error:
        print(f"kit: sheets and labels are not compared: {error}", file=sys.stderr)
        plans = None
    units = System(options.units) if options.units else None
    report = changes.changes(old, new, system=units, plans=plans)
    print(changes.to_csv(report) if options.csv else changes.to_text(report), end="")
    return OK
