"""Counts, for each check, how many of so many random failing designs a fix cures.

    python tests/count_fixes.py [--prove] 50 [check ...]      a row a check, as it is done

Every fix is applied and the whole of it checked anew; 'by two' counts among the cured those that
want two changes. With --prove, where no single change is found every setting in the range is
tried, which proves that there is none, and takes minutes a design.
"""

import sys
import time
from itertools import islice

from breaking import failing
from test_fixes import ADDED_ONLY, assert_cured

from kit.fixes import CURES, Nothing, propose


def main(count: int, names: list[str], *, prove: bool) -> None:
    """Print a row for each check."""
    print("| check | designs | cured | by two | none | wrong | found by all | tried each | s |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- | --- |")
    for name in names:
        cured = two = none = wrong = late = tried = designs = 0
        begin = time.monotonic()
        for text, finding in islice(failing(name), count):
            designs += 1
            proposal = propose(text, finding)
            tried += proposal.tried
            if (proposal.changes is None or proposal.two) and prove:
                proposal = propose(text, finding, thorough=True)
                late += proposal.changes is not None and not proposal.two
            if proposal.changes is None:
                assert proposal.proved or not prove, (name, finding)
                none += 1
            else:
                try:
                    assert_cured(text, finding, proposal)
                    cured += 1
                    two += proposal.two
                except AssertionError as error:
                    wrong += 1
                    print(name, finding.subject, proposal.words, error, file=sys.stderr)
        each = (time.monotonic() - begin) / max(designs, 1)
        mean = tried / max(designs, 1)
        row = (name, designs, cured, two, none, wrong, late, f"{mean:.0f}", f"{each:.1f}")
        print("|", " | ".join(map(str, row)), "|", flush=True)


if __name__ == "__main__":
    said = [word for word in sys.argv[1:] if word != "--prove"]
    every = [
        name
        for name, levers in CURES.items()
        if not isinstance(levers, Nothing) and name not in ADDED_ONLY
    ]
    main(int(said[0]), said[1:] or every, prove="--prove" in sys.argv)
