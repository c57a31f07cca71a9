"""Does a hand reach every plug with the gear in place, or does the device come out on its cables?

A hand takes 100 x 100 mm (about 4 in): behind the device through an open back or a panel that
comes off, over it or past it from the front, or else the device is drawn out to the front edge
of the case on its cables. Common practice, no source, after owners who could plug nothing in.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

from kit.casework import Casework
from kit.checks.around import Obstacle, boards_only, headroom, neighbours, panel_of, removable
from kit.checks.depth_stack import depth_stack
from kit.checks.windows import door_windows, widest
from kit.components.contents import Placed
from kit.finding import Finding, Sense, judge
from kit.geometry import Box

#: Side of the room that a hand with a plug takes, mm.
HAND_SPACE = 100.0


@dataclass(frozen=True, slots=True)
class Reach:
    """One way for a hand to a plug: how, and the side of the room it has there, mm."""

    how: str
    room: float


@dataclass(frozen=True, slots=True)
class _Way:
    """What all plugs of a device share: the ways from the front, and what stands behind it.

    `behind` is None where no hand comes from behind.
    """

    from_front: tuple[Reach, ...]
    behind: tuple[Obstacle, ...] | None


def reaches(casework: Casework, placed: Placed, number: int) -> tuple[Reach, ...]:
    """Every way to one of the plugs of a device (counted from 0), the roomiest first.

    A plug whose position is not known counts as one in the middle of the rear, halfway up.
    """
    return _reaches(_way(casework, placed), placed, number)


def _reaches(way: _Way, placed: Placed, number: int) -> tuple[Reach, ...]:
    ways = list(way.from_front)
    if way.behind is not None:
        ways.insert(0, Reach("from behind", _face(placed, number, way.behind)))
    return tuple(sorted(ways, key=lambda way: -way.room))


def _way(casework: Casework, placed: Placed) -> _Way:
    around = (*boards_only(casework), *neighbours(casework, placed))
    behind = depth_stack(casework, placed).behind
    body = placed.body
    front = _door(casework, placed)
    over = Box((body.lo[0], placed.space.lo[1], body.lo[2]), body.hi)
    height, _ = headroom(over, around)
    height = min(height, placed.space.size[2] if placed.bay else inf)
    beside = max(placed.free_left, placed.free_right)
    slab = _slab(placed)
    return _Way(
        (
            Reach("over it from the front", min(height - body.size[2], behind, front)),
            Reach("past it from the front", min(beside, height, behind, front)),
        ),
        tuple(o for o in around if slab.common(o.box) is not None)
        if removable(casework, placed.bay)
        else None,
    )


def check_service(casework: Casework) -> Iterator[Finding]:
    """One finding for each plug of each device."""
    for placed in casework.gear:
        way = _way(casework, placed)
        for number, (_, plug) in enumerate(placed.plugs):
            best = _reaches(way, placed, number)[0]
            yield _plug(casework, placed, number, plug.label, best)


def _plug(casework: Casework, placed: Placed, number: int, label: str, best: Reach) -> Finding:
    say, name = casework.say, placed.item.name
    subject = f"{label} of {name}"
    known = placed.plugs[number][0]
    assumes = "the console can be pulled off the wall"
    if known.across is None or known.up is None:
        assumes += "; the plug in the middle of the rear: say where it is (gear.plugs)"
    if best.room < HAND_SPACE:
        slack = _pull_out(casework, name)
        if slack is not None:
            return _drawn_out(casework, placed, subject, slack)
    why = (
        f"A hand gets to it {best.how} in {say(best.room)}."
        if best.room >= HAND_SPACE
        else f"The most room that a hand has is {say(max(0.0, best.room))}, {best.how}; it wants "
        f"{say(HAND_SPACE)}. Make a back panel removable, leave more room, or cables long enough "
        "to draw the device out (cable.pull_out)."
    )
    return judge(
        "hand reaches the plug",
        subject,
        best.room,
        HAND_SPACE,
        sense=Sense.AT_LEAST,
        unit="mm",
        why=why,
        assumes=assumes,
        source="common-practice",
        boards=_shut(casework, placed),
        thing=name,
    )


def _shut(casework: Casework, placed: Placed) -> tuple[str, ...]:
    """The back panel that keeps a hand from the plugs of a device; none where one comes off."""
    if placed.bay is None or removable(casework, placed.bay):
        return ()
    return (panel_of(casework, placed.bay),)


def _drawn_out(casework: Casework, placed: Placed, subject: str, slack: float) -> Finding:
    say, wanted = casework.say, placed.body.hi[1]
    return judge(
        "hand reaches the plug",
        subject,
        slack,
        wanted,
        sense=Sense.AT_LEAST,
        unit="mm",
        why=f"No hand gets behind {placed.item.name} in its place; its cables let it out by "
        f"{say(slack)}, and its rear is {say(wanted)} behind the front edge of the case."
        + (" Give its cables more slack (cable.pull_out)." if slack < wanted else ""),
        assumes="every cable of the device is in the design",
        source="common-practice",
        thing=placed.item.name,
    )


def _pull_out(casework: Casework, name: str) -> float | None:
    """How far all cables of a device let it come out, mm; None where no cable says it."""
    runs = [run for run in casework.design.cables if name in (run.start, run.end)]
    said = [run.pull_out for run in runs if run.pull_out is not None]
    return min(said) if said and len(said) == len(runs) else None


def _door(casework: Casework, placed: Placed) -> float:
    """The clear way in for an arm at the front, mm."""
    if placed.bay is None:
        return inf
    return widest(door_windows(casework), placed.bay.clear.lo[0], placed.bay.clear.hi[0]).width


def _slab(placed: Placed) -> Box:
    """The space behind a device, as far as a hand reaches in from behind, mm."""
    space, rear = placed.space, placed.body.hi[1]
    end = max(space.hi[1], rear + HAND_SPACE)
    return Box((space.lo[0], rear, space.lo[2]), (space.hi[0], end, space.hi[2]))


def _face(placed: Placed, number: int, behind: tuple[Obstacle, ...]) -> float:
    """Side of the free square round a plug, among what stands in the slab behind it, mm."""
    body, space = placed.body, placed.space
    said = placed.plugs[number][0]
    x = body.lo[0] + (body.size[0] / 2 if said.across is None else said.across)
    z = body.lo[2] + (body.size[2] / 2 if said.up is None else said.up)
    left, right, low, high = space.lo[0], space.hi[0], space.lo[2], space.hi[2]
    for other in behind:
        lo, hi = other.box.lo, other.box.hi
        if hi[0] <= x:
            left = max(left, hi[0])
        elif lo[0] >= x:
            right = min(right, lo[0])
        elif lo[2] >= z:
            high = min(high, lo[2])
        else:
            low = max(low, hi[2])
    return min(right - left, high - low)
