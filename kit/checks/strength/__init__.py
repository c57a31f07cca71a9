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
from kit.finding import Finding


def check_strength(
    casework: Casework, *, limit: Limit = Limit.VISIBLE, read: Loads = loads
) -> Iterator[Finding]:
    """Sag of each board, doors under the sagged top, slats, shelf pins, racking.

    `read` gives the loads, of this casework and of each change that is tried as a fix.
    """
    carried = read(casework)
    found = sags(casework, carried, limit)
    yield from check_sag(casework, found.boards, carried, read)
    yield from check_sagged_doors(casework, found, carried)
    yield from check_slats(casework)
    yield from check_pins(casework, carried)
    yield from check_racking(casework)
