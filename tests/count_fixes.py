"""Counts, for each check, how many of so many random failing designs a fix cures.

    python tests/count_fixes.py 50 [check ...]      a row a check, as it is done

Every fix is applied and the whole of it checked anew; where none is found, every setting in the
range is tried, which proves that there is none. It takes some minutes for each check.
"""

import sys
import time
from itertools import islice

from breaking import failing
from kit.fixes import CURES, Nothing, propose
from test_fixes import ADDED_ONLY, assert_cured


def main(count: int, names: list[str]) -> None:
    """Print a row for each check."""
    print("| check | designs | cured | none, proved | found by trying all | tried a design | s |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for name in names:
        cured = none = late = tried = designs = 0
        begin = time.monotonic()
        for text, finding in islice(failing(name), count):
            designs += 1
            proposal = propose(text, finding)
            tried += proposal.tried
            if proposal.changes is None:
                proposal = propose(text, finding, thorough=True)
                late += proposal.changes is not None
            if proposal.changes is None:
                assert proposal.proved, (name, finding)
                none += 1
            else:
                assert_cured(text, finding, proposal)
                cured += 1
        each = (time.monotonic() - begin) / max(designs, 1)
        mean = tried / max(designs, 1)
        print(
            f"| {name} | {designs} | {cured} | {none} | {late} | {mean:.0f} | {each:.1f} |",
            flush=True,
        )


if __name__ == "__main__":
    wanted = sys.argv[2:] or [
        name
        for name, levers in CURES.items()
        if not isinstance(levers, Nothing) and name not in ADDED_ONLY
    ]
    main(int(sys.argv[1]), wanted)
