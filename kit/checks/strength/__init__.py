"""Will it sag or rack? The case as a frame, judged board by board.

`check_strength` gives the findings; every part is a plain function that works alone: closed
forms in `beams`, glued sections in `section`, moduli in `layup`, the frame in `solver` and
`frame`, sag in `sag`, changes that cure it in `fixes`.
"""

from collections.abc import Iterator

from kit.casework import Casework
from kit.checks.loads import Loads, loads
from kit.checks.strength.doors import check_sagged_doors
from kit.checks.strength.pins import check_pins
from kit.checks.strength.racking import check_racking
from kit.checks.strength.sag import Limit, sags
from kit.checks.strength.slats import check_slats
from kit.checks.strength.verdicts import check_sag
from kit.finding import Finding, Sense, judge


def check_strength(
    casework: Casework, *, limit: Limit = Limit.VISIBLE, read: Loads = loads
) -> Iterator[Finding]:
    """Sag of each board, doors under the sagged top, slats, shelf pins, racking.

    `read` gives the loads, of this casework and of each change that is tried as a fix.
    """
    carried = read(casework)
    found = sags(casework, carried, limit)
    if found.boards:
        yield from check_sag(casework, found.boards, carried, read)
        yield from check_sagged_doors(casework, found, carried)
    else:
        yield judge(
            "sag",
            "case",
            None,
            None,
            sense=Sense.AT_MOST,
            unit="mm",
            why="As its boards are joined and held up, the case would give way like a hinge "
            "before anything bends, so that no sag can be reckoned. Look at what carries it: a "
            "base, sides down to the floor, joints that do not turn.",
            source="computed",
        )
    yield from check_slats(casework)
    yield from check_pins(casework, carried)
    yield from check_racking(casework)
