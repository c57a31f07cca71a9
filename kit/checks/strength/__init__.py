"""Will it sag or rack? The case and its boards under what they carry.

`check_strength` gives the findings; every part is a plain function that works alone: closed
forms in `beams`, glued sections in `section`, moduli in `layup`; for the sag, boards as plates
joined along lines (`plate`, `structure`, `carcase`, `sag`), and changes that cure it in `fixes`;
for the sway, a plane frame (`solver`, `frame`, `racking`) and the legs under it (`legs`).
"""

from collections.abc import Iterator

from kit.casework import Casework
from kit.checks.loads import Loads, loads
from kit.checks.strength.doors import check_sagged_doors
from kit.checks.strength.legs import check_legs
from kit.checks.strength.pins import check_pins
from kit.checks.strength.pressed import check_pressed
from kit.checks.strength.racking import check_racking
from kit.checks.strength.sag import sags
from kit.checks.strength.slats import check_slats
from kit.checks.strength.verdicts import check_sag, check_sag_of_added
from kit.finding import Finding, Sense, judge
from kit.limits import SagLimit


def check_strength(
    casework: Casework, *, limit: SagLimit | None = None, read: Loads = loads
) -> Iterator[Finding]:
    """Sag of each board, doors under the sagged top, slats, shelf pins, racking.

    `limit` is that of the design where it is left out; `read` gives the loads, of this casework
    and of each change that is tried as a fix.
    """
    carried = read(casework)
    found = sags(casework, carried, limit or casework.design.limits.sag)
    if found.boards:
        yield from check_sag(casework, found.boards, carried, read)
        yield from check_sag_of_added(casework, found.boards)
        yield from check_sagged_doors(casework, found, carried)
    else:
        yield judge(
            "sag",
            "case",
            None,
            None,
            sense=Sense.AT_MOST,
            unit="mm",
            why=found.unknown,
            source="computed",
        )
    yield from check_slats(casework)
    yield from check_pressed(casework)
    yield from check_pins(casework, carried)
    yield from check_racking(casework)
    yield from check_legs(casework)
