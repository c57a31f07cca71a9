"""Audits so many random designs by hand, and prints every disagreement.

    python tests/audit.py 200 [--seed 1] [--processes 2]

Each design is written as a pack in both systems of units, and read back: see `auditing`.
"""

import argparse
import sys
import tempfile
import time
import traceback
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from auditing import disagreements
from auditing.designs import audited_designs
from auditing.writing import write_packs

from strategies import Plain, assemble


def audit(plain: Plain) -> tuple[bool, list[str]]:
    """Whether a design was laid out on sheets, and what does not agree in it.

    An error is a disagreement too.
    """
    with tempfile.TemporaryDirectory() as folder:
        try:
            _, casework = assemble(plain)
            packs = write_packs(casework, Path(folder))
            return packs[0].laid_out, disagreements(packs)
        except Exception:
            return False, [traceback.format_exc()]


def main() -> None:
    """Read what was asked for, audit, and print."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("count", type=int)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--processes", type=int, default=1)
    said = ask.parse_args()
    begin = time.monotonic()
    plains = audited_designs(said.count, said.seed)
    wrong = laid_out = 0
    with ProcessPoolExecutor(said.processes) as pool:
        for number, (placed, problems) in enumerate(pool.map(audit, plains), start=1):
            print(f"\r{number}", end="", file=sys.stderr)
            wrong += bool(problems)
            laid_out += placed
            for problem in problems:
                print(f"design {number} of seed {said.seed}: {problem}", flush=True)
    spent = time.monotonic() - begin
    print(
        f"{said.count} random designs in both systems of units, {laid_out} of them on sheets: "
        f"{wrong} with disagreements; {spent / said.count:.1f} s a design"
    )


if __name__ == "__main__":
    main()
