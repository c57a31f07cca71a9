"""`kit plan`: the plan pack."""

import argparse
import sys
from dataclasses import replace

from kit.commands import FAILS, OK
from kit.commands.telling import load, tell
from kit.paper import Paper
from kit.plan_pack import Draft, Progress, write_pack
from kit.units import System


def run(options: argparse.Namespace) -> int:
    """Write the plan pack."""
    casework, design_text = load(options.file)
    if options.units:
        shop = casework.design.shop.model_copy(update={"units": System(options.units)})
        casework = replace(casework, design=casework.design.model_copy(update={"shop": shop}))

    def progress(now: Progress) -> None:
        print(f"kit: {now.done + 1} of {now.of}: {now} ...", file=sys.stderr)

    paper = Paper(options.paper) if options.paper else None
    pack = write_pack(casework, design_text, options.out, progress=progress, paper=paper)
    tell(casework, pack.report)
    if isinstance(pack.standing, Draft):
        print(f"DRAFT: {'; '.join(pack.standing.reasons)}")
    print(f"Wrote {len(pack.files)} files to {pack.folder}: {', '.join(pack.files)}")
    return FAILS if pack.report.failed else OK
