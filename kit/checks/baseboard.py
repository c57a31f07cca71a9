"""Does the case get as near to the wall as the design says, past the baseboard?"""

from collections.abc import Iterator

from kit.casework import Casework
from kit.checks.seat import floor
from kit.finding import Finding, Sense, judge

#: Wanted between a board and the baseboard, mm; floors and walls are not true. From memory.
FREE = 2.0


def check_baseboard(casework: Casework) -> Iterator[Finding]:
    """The rearmost board that stands as low as the baseboard; nothing where there is none."""
    room = casework.design.room
    if not (room.baseboard_height and room.baseboard_depth):
        return
    ground = floor(casework)
    low = [b for b in casework.boards if b.box.lo[2] < ground + room.baseboard_height]
    rear = max(low, key=lambda board: board.box.hi[1])
    wall = casework.design.case.depth + room.wall_gap
    free = wall - room.baseboard_depth - rear.box.hi[1]
    say = casework.say
    yield judge(
        "clears the baseboard",
        rear.name,
        free,
        0.0,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=FREE,
        why=f"With {say(room.wall_gap)} from the case to the wall, {rear.name} "
        + (f"stays {say(free)} clear" if free >= 0 else f"is {say(-free)} inside")
        + f" of a baseboard {say(room.baseboard_depth)} deep and {say(room.baseboard_height)} high"
        + ("." if free >= 0 else "; set the base in at the rear (base.rear) or stand farther off."),
        source="builders-accounts",
        boards=(rear.name,),
    )
