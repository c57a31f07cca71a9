"""Where the piece stands, and what is judged by that.

A piece stands on the floor unless the design says that it hangs (`room.hangs_at`). What holds a
hung piece, its rail, its screws and the wall, the kit does not judge: what it would say of a piece
on the floor is then not known.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from kit.casework import Casework
from kit.finding import Finding, Status

#: Checks that take the piece to stand on the floor.
BY_STANDING = (
    "stands on a slope",
    "stands a push at the top",
    "anchors hold",
    "sag",
    "doors run under the sagged top",
    "doors lift out under the sagged top",
    "racking",
)
#: Checks of its feet, which a hung piece has not.
BY_FEET = ("feet can be levelled", "front stays square")


def stands(casework: Casework) -> str:
    """A sentence on where it is judged to stand, said first; empty where the design has a base."""
    design = casework.design
    if design.room.hangs_at is not None:
        return (
            f"It hangs on the wall, {casework.say(design.room.hangs_at)} above the floor "
            "(room.hangs_at): what holds it there is not judged."
        )
    if design.base is None:
        return (
            "Judged as standing on the floor: the design has no [base]. Where it hangs on the "
            "wall, write room.hangs_at."
        )
    return ""


def as_it_stands(casework: Casework, findings: Iterable[Finding]) -> Iterator[Finding]:
    """The findings; of a piece that hangs, unknown what only holds where one stands."""
    if casework.design.room.hangs_at is None:
        yield from findings
        return
    for finding in findings:
        if finding.check in BY_FEET:
            continue
        if finding.check not in BY_STANDING:
            yield finding
            continue
        yield replace(
            finding,
            status=Status.UNKNOWN,
            measured=None,
            why="It hangs on the wall: what its rail, its screws and the wall hold is not judged "
            f"here, and all of its {casework.mass_kg:.0f} kg and what it carries hang on them. Ask "
            "who knows the wall, and follow local rules.",
            fix=None,
        )
