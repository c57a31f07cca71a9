"""Can the doors be lifted in, do they stay in, do they run without rubbing?"""

from collections.abc import Iterator

from kit.board import Board
from kit.casework import Casework
from kit.components.doors import LEAST_ENGAGED, LEAST_LIFT, DoorSet, Layout
from kit.edition import edition
from kit.finding import Finding, Sense, judge
from kit.geometry import Box

#: Play below which doors rub, mm: a groove of 1/4 in for 1/4 in plywood of 0.236 in, which is a
#: usual recipe, leaves 0.36. Common practice, no source.
LEAST_PLAY = 0.35
#: Play above which nothing is to be watched, mm; the article asks for 1 mm at least, and more.
GOOD_PLAY = 2.0


def check_doors(casework: Casework) -> Iterator[Finding]:
    """The findings on the sliding doors; none where there are none."""
    hung = casework.doors
    if hung is None:
        return
    yield from _hanging(casework, hung)
    yield from _running(casework, hung)


def _hanging(casework: Casework, hung: DoorSet) -> Iterator[Finding]:
    names = tuple(door.board.name for door in hung.doors)
    printed = edition(casework, casework.design.shop.units)
    height = printed.text(hung.doors[0].board.length)
    say = casework.say
    yield judge(
        "doors lift in",
        "sliding doors",
        hung.lift,
        LEAST_LIFT,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=0.5,
        why=(
            f"Lifted into the top groove, a door {height} high clears the bottom by "
            f"{say(hung.lift)}; deepen the top groove or lower the doors if that is not enough."
            if hung.lift >= 0
            else f"A door {height} high is {say(-hung.lift)} too high for its opening; lower the "
            "doors (doors.height), or leave their height to the kit."
        ),
        assumes="top and bottom flat; their sag is not taken off yet",
        source="sliding-door-article",
        boards=(casework.frame.top.name, casework.frame.bottom.name, *names),
    )
    yield judge(
        "doors stay in",
        "sliding doors",
        hung.engagement,
        LEAST_ENGAGED,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=1.0,
        why=(
            f"Standing in the bottom groove, a door reaches {say(hung.engagement)} into the top "
            "one; a deeper top groove holds it better."
            if hung.engagement >= 0
            else f"Standing in the bottom groove, a door stays {say(-hung.engagement)} below the "
            "top one: make it higher (doors.height), or leave its height to the kit."
        ),
        source="sliding-door-article",
        boards=names,
    )


def _running(casework: Casework, hung: DoorSet) -> Iterator[Finding]:
    names = tuple(door.board.name for door in hung.doors)
    thickest = hung.doors[0].board.stock.thickness_max_mm
    play = hung.groove - thickest
    say = casework.say
    yield judge(
        "doors run free",
        "sliding doors",
        play,
        LEAST_PLAY,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=GOOD_PLAY - LEAST_PLAY,
        why=f"The grooves are {say(hung.groove)} wide and the thickest door {say(thickest)}, "
        f"which leaves {say(play)} for finish, warp and humid months. At least "
        f"1 mm is asked for; {say(LEAST_PLAY)} runs while the doors stay dry, flat and waxed.",
        source="sliding-door-article",
        boards=names,
    )
    gap = hung.spec.land + play
    yield judge(
        "doors pass each other",
        "sliding doors",
        gap,
        6.0,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=2.0,
        why=f"{say(gap)} stand between the faces of two doors that pass; a twisted door needs "
        "more.",
        source="sliding-door-article",
        boards=names,
    )
    rear = max(door.board.box.hi[1] for door in hung.doors)
    inside = [b for b in _behind(casework, hung) if b.box.lo[1] < casework.frame.clear.hi[1]]
    if inside:
        nearest = min(inside, key=lambda board: board.box.lo[1])
        yield judge(
            "doors pass what is behind",
            nearest.name,
            nearest.box.lo[1] - rear,
            2.0,
            sense=Sense.AT_LEAST,
            unit="mm",
            why=f"{nearest.name} stands {say(nearest.box.lo[1] - rear)} behind the rear doors.",
            source="memory",
            boards=(nearest.name, *names),
        )
    word = "over each other" if hung.spec.layout is Layout.BYPASS else "past its divider"
    yield judge(
        "doors close",
        "sliding doors",
        hung.spec.overlap,
        6.0,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=4.0,
        why=f"A shut door reaches {say(hung.spec.overlap)} {word}; less leaves a line of sight.",
        source="memory",
        boards=names,
    )


def _behind(casework: Casework, hung: DoorSet) -> Iterator[Board]:
    """Dividers, shelves with their strips, and what was added where the doors run or behind it."""
    yield from (casework.by_name[bay.right.name] for bay in casework.bays[:-1])
    for names in casework.makers.shelves:
        yield from (casework.by_name[name] for name in names)
    front = min(door.board.box.lo[1] for door in hung.doors)
    (x0, _, z0), (x1, _, z1) = hung.opening.lo, hung.opening.hi
    room = Box((x0, front, z0), (x1, casework.frame.clear.hi[1], z1))
    for name in casework.added:
        board = casework.by_name[name]
        if board.box.common(room):
            yield board
