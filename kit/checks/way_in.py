"""How does every device get to its place: from the front past the doors, or from behind?

A device goes in straight, in the window that the doors leave at best, and then sideways to its
place behind them. Besides its body a hand must pass: at both sides of it, or above it. Its
aerials are folded or off, and its neighbours come after it. Common practice, no source.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from math import inf

from kit.casework import Casework
from kit.checks.around import boards_only, headroom, neighbours, panel_of, removable, row_name
from kit.checks.clearance import HAND
from kit.checks.fit import CLOSE
from kit.checks.windows import Window, door_windows, widest
from kit.components.contents import Placed
from kit.components.made import Bay
from kit.components.stored import Stored
from kit.finding import Finding, Sense, judge
from kit.geometry import Box

#: A divider so near the end of a window does not stand in it, mm: a door passes its divider by
#: about as much. Common practice, no source.
EDGE = 25.0


class Way(Enum):
    """The way by which a device goes in."""

    FRONT = "from the front"
    BACK = "from behind"


class Hands(Enum):
    """Where the hands are that hold it."""

    BESIDE = "at both sides"
    ABOVE = "above it"


@dataclass(frozen=True, slots=True)
class WayIn:
    """One way to the place of a device, mm.

    `window` is the clear opening across and `height` up; `spare` is what is left of the
    narrower of the two once body and hands are through, negative where they are not, and
    `narrowest` says in words where that is. `bare` is the same without hands. Both
    are negative, too, where there is no room for the body in its place.
    """

    way: Way
    hands: Hands
    window: Window
    height: float
    spare: float
    bare: float
    narrowest: str


def way_in(casework: Casework, placed: Placed) -> tuple[WayIn, ...]:
    """The ways to the place of a device, the best first: one from the front that is free comes
    before one from behind. None on the top of the case, and none from behind where the back
    stays shut.
    """
    bay = placed.bay
    if bay is None:
        return ()
    (bay_lo, _, _), (bay_hi, bay_rear, _) = bay.clear.lo, bay.clear.hi
    window = widest(door_windows(casework), bay_lo, bay_hi)
    ways = [_way(casework, placed, bay, Way.FRONT, window, (0.0, placed.body.hi[1]))]
    if removable(casework, bay):
        rear = max(bay_rear, placed.body.hi[1])
        span = (placed.body.lo[1], rear)
        ways.append(_way(casework, placed, bay, Way.BACK, Window(bay_lo, bay_hi), span))
    return tuple(sorted(ways, key=lambda one: -min(one.spare, 0.0)))


def _way(
    casework: Casework, placed: Placed, bay: Bay, way: Way, window: Window, run: tuple[float, float]
) -> WayIn:
    """`run` is the span in Y over which the body goes."""
    body, floor = placed.body, placed.body.lo[2]
    path = Box((bay.clear.lo[0], run[0], floor), (bay.clear.hi[0], run[1], body.hi[2]))
    free, over = headroom(path, boards_only(casework))
    height = min(free, placed.space.size[2])
    across = window.width - body.size[0] - placed.margin
    up = height - body.size[2] - placed.margin
    #: It must have room in its place, too; what more there is of that opens no way.
    home = min(body.lo[0] - bay.clear.lo[0], bay.clear.hi[0] - body.hi[0])
    if not bay.open_back:
        home = min(home, bay.clear.hi[1] - body.hi[1])
    home = home if home < 0 else inf
    sides = ("in width", f"in height, under {over}" if over else "in height", "in its very place")
    rules = {
        Hands.BESIDE: (across - 2 * HAND, up, home),
        Hands.ABOVE: (across, up - HAND, home),
    }
    hands = max(rules, key=lambda rule: min(rules[rule]))
    spare, where = min(zip(rules[hands], sides, strict=True))
    return WayIn(way, hands, window, height, spare, min(across, up, home), where)


def check_way_in(casework: Casework) -> Iterator[Finding]:
    """The way in of each device, each row of media in reach, and where the dividers stand."""
    for placed in casework.gear:
        ways = way_in(casework, placed)
        if ways:
            yield _goes_in(casework, placed, ways)
    for stored in casework.media:
        yield _in_reach(casework, stored)
    yield from _dividers(casework)


def _goes_in(casework: Casework, placed: Placed, ways: tuple[WayIn, ...]) -> Finding:
    name, say, best = placed.item.name, casework.say, ways[0]
    width, height = placed.body.size[0] + placed.margin, placed.body.size[2] + placed.margin
    why = (
        f"{name} is {say(width)} wide and {say(height)} high; {best.way.value} there is an opening "
        f"{say(max(0.0, best.window.width))} wide and {say(best.height)} high"
        + (", the most that the doors leave" if casework.doors and best.way is Way.FRONT else "")
    )
    if best.spare >= -1e-6:
        why += f". It goes in {best.way.value}, the hands {best.hands.value} ({say(HAND)})"
        if best.way is Way.BACK:
            why += f"{_opened(casework, placed)}"
        first = _in_its_way(casework, placed, best)
        why += f", before {' and '.join(first)}." if first else "."
    else:
        why += f"; with the hands {best.hands.value} it is {say(-best.spare)} short "
        why += best.narrowest
        why += ", though the bare body passes" if best.bare >= 0 else ""
        why += f". {_remedy(casework, placed, ways)}"
    return judge(
        "goes in",
        name,
        best.spare,
        0.0,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=CLOSE,
        why=why,
        assumes="its antennas folded or off, its knobs and plugs not in the way"
        + ("" if placed.measured else f"; typical sizes ({placed.kind.label})"),
        source="common-practice",
    )


def _opened(casework: Casework, placed: Placed) -> str:
    panel = panel_of(casework, placed.bay) if placed.bay else ""
    return f", with {panel} off" if panel else ", the console pulled off the wall"


def _remedy(casework: Casework, placed: Placed, ways: tuple[WayIn, ...]) -> str:
    moves = ["move a divider or raise the board above it"]
    if casework.doors is not None:
        moves.append("lift the doors out to put it in, or hang fewer or narrower ones")
    if all(one.way is not Way.BACK for one in ways):
        moves.append("make the back panel of its bay removable")
    words = "; or ".join(moves)
    return f"{words[0].upper()}{words[1:]}."


def _in_its_way(casework: Casework, placed: Placed, best: WayIn) -> list[str]:
    """Neighbours that stand between the window and the place of a device."""
    body = placed.body
    begin = min(max(body.lo[0], best.window.lo), best.window.hi - body.size[0])
    end = begin + body.size[0]
    rear = body.hi[1] if best.way is Way.FRONT else placed.space.hi[1]
    front = placed.space.lo[1] if best.way is Way.FRONT else body.lo[1]
    entry = Box((begin, front, body.lo[2]), (end, rear, body.hi[2]))
    shift = Box(
        (min(begin, body.lo[0]), body.lo[1], body.lo[2]),
        (max(end, body.hi[0]), body.hi[1], body.hi[2]),
    )
    return [
        other.name
        for other in neighbours(casework, placed)
        if entry.common(other.box) or shift.common(other.box)
    ]


def _in_reach(casework: Casework, stored: Stored) -> Finding:
    """The part of a row of media that no state of the doors uncovers far enough for a hand."""
    (x0, *_), (x1, *_) = stored.box.lo, stored.box.hi
    clear = stored.bay.clear
    open_parts = [
        part
        for window in door_windows(casework)
        if (part := window.within(clear.lo[0], clear.hi[0])).width >= 2 * HAND
    ]
    hidden, at = 0.0, x0
    for part in sorted(open_parts, key=lambda one: one.lo):
        hidden = max(hidden, min(part.lo, x1) - at)
        at = max(at, part.hi)
    hidden = max(hidden, x1 - at, 0.0)
    say = casework.say
    return judge(
        "media in reach",
        row_name(stored),
        hidden,
        HAND,
        sense=Sense.AT_MOST,
        unit="mm",
        why=f"No state of the doors uncovers {say(hidden)} of the {row_name(stored)}; up to "
        f"{say(HAND)} the row is pushed aside by hand."
        if hidden
        else f"Every part of the {row_name(stored)} comes free in some state of the doors.",
        source="common-practice",
    )


def _dividers(casework: Casework) -> Iterator[Finding]:
    """Is there a window onto one of its bays in which no divider stands?"""
    if casework.doors is None:
        return
    found = door_windows(casework)
    uprights = {bay.right.name: bay.right.box for bay in casework.bays[:-1]}
    standing = {
        window: [
            name
            for name, box in uprights.items()
            if box.lo[0] > window.lo + EDGE and box.hi[0] < window.hi - EDGE
        ]
        for window in found
    }
    for left, name in zip(casework.bays, uprights, strict=False):
        bays = (left.clear, casework.bays[left.number].clear)
        onto = [w for w in found if any(w.within(b.lo[0], b.hi[0]).width > EDGE for b in bays)]
        free = [window for window in onto if not standing[window]]
        cut = [window for window in onto if name in standing[window]]
        halves = [widest(found, b.lo[0], b.hi[0]).width for b in bays]
        # it is in nobody's way where both of its bays open over their whole width
        whole = all(half > clear.size[0] - EDGE for half, clear in zip(halves, bays, strict=True))
        cut = [] if whole else cut
        say = casework.say
        yield judge(
            "divider clear of the windows",
            name,
            len(free) if cut else max(1, len(free)),
            0,
            sense=Sense.AT_LEAST,
            unit="windows",
            watch=1,
            why=(
                f"{name} stands in the middle of every window that the doors leave onto its bays: "
                f"of {say(onto[0].width)} they open {say(halves[0])} and {say(halves[1])}. Move it "
                "to where two doors meet."
                if cut and not free
                else f"The doors open both bays beside {name} over their whole width."
                if whole
                else f"The doors leave a whole window beside {name}."
            ),
            source="builders-accounts",
            boards=(name,),
        )
