"""What fails in the design that a search begins with, and that no free field is known to cure."""

import re
from collections.abc import Iterator

from kit.finding import Report, Status
from kit.fixes import Nothing, levers_of
from kit.fixes.levers import BayWidth, Edit, Lever
from kit.search.request import Request

_SLOT = re.compile(r"\\\{\w+\\\}")
#: What stands for a slot of a lever in the path of a field: rows, and paths of rows.
_ROWS = r"[a-z0-9_.]+"


def past_cure(report: Report, wanted: Request) -> Iterator[str]:
    """A sentence for each failing finding of which no lever is among the free fields.

    Such a finding may keep every candidate from being of use: it is told before the search runs.
    """
    free = [one.path for one in wanted.free]
    for finding in report.causes(Status.FAIL):
        levers = levers_of(finding.check)
        if isinstance(levers, Nothing) or not any(_turns(lever, free) for lever in levers):
            yield (
                f"'{finding.check}' of {finding.subject} fails as the design stands, and none of "
                f"{', '.join(free)} is known to cure it: it may keep every candidate out. Put it "
                "right first (kit fix), or free another field."
            )


def _turns(lever: Lever, free: list[str]) -> bool:
    """Whether one of the free fields is what a lever turns; an edit of bays moves dividers."""
    if isinstance(lever, BayWidth) or lever in (Edit.EVEN_BAYS, Edit.ADD_BAY):
        return any(path.startswith("divider.") for path in free)
    if isinstance(lever, Edit):
        return False
    pattern = _SLOT.sub(_ROWS, re.escape(lever.path))
    return any(re.fullmatch(pattern, path) for path in free)
