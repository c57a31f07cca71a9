"""Will it tip, can it be lifted, does it stand on a floor that is not level?

Not a certified test: statics of a rigid body with the masses that are known. Anchor televisions
and furniture where children are, by the makers' instructions and local rules.
"""

from collections.abc import Iterator

from kit.casework import Casework
from kit.checks.loads import GRAVITY, Carried, Loads, loads
from kit.checks.stability.anchor import check_anchor
from kit.checks.stability.handling import check_handling
from kit.checks.stability.levelling import check_levelling
from kit.checks.stability.states import State, Way, states
from kit.checks.stability.tipping import slides_first
from kit.finding import Finding, Sense, judge

#: UL 1678: stands on a slope of 10 degrees; 15 degrees is an alternative of IEC 62368-1.
SLOPE_DEG, STEEP_DEG = 10.0, 15.0
#: IEC 62368-1: a level push of 13 % of the weight, of 20 % for the greater hazard; neither more
#: than 250 N.
PUSH_SHARE, GREATER_SHARE, MOST_PUSH = 0.13, 0.20, 250.0
#: Friction of a base on a smooth and on a rough floor; from memory.
SMOOTH, ROUGH = 0.3, 0.6

CAUTION = (
    "Not a certified test. Anchor televisions and furniture where children are, by the makers' "
    "instructions and local rules."
)


def check_stability(casework: Casework, *, read: Loads = loads) -> Iterator[Finding]:
    """Slope, push, anchors, handling and levelling; `read` gives the loads."""
    carried = read(casework)
    found = tuple(states(casework, carried))
    yield from _tipping(casework, carried, found)
    known = not carried.unknown
    weakest = min(found, key=lambda s: s.force(s.weakest)) if known else None
    yield from check_anchor(casework, carried, weakest)
    yield from check_handling(casework)
    yield from check_levelling(casework)


def _tipping(casework: Casework, carried: Carried, found: tuple[State, ...]) -> Iterator[Finding]:
    say = casework.say
    known = not carried.unknown
    missing = " and ".join(what for _, what in carried.unknown)
    without = "" if known else f" Without {missing}, whose mass is not known:"
    assumes = (
        f"{CAUTION} Middle of the screen over its feet; no carpet"
        if carried.screen
        else f"{CAUTION} No screen is named; no carpet"
    )
    state = min(found, key=lambda s: s.angle(s.weakest))
    angle = state.angle(state.weakest)
    yield judge(
        "stands on a slope",
        "console",
        angle if known else None,
        SLOPE_DEG,
        sense=Sense.AT_LEAST,
        unit="degrees",
        watch=STEEP_DEG - SLOPE_DEG,
        why=f"The worst state is '{state.name}':{without} {state.mass.kg:.0f} kg, "
        f"centre {say(state.height)} above the floor, tips {state.weakest.plain} at "
        f"{angle:.1f} degrees."
        + ("" if angle >= STEEP_DEG else " Set the screen farther back, or the feet farther out."),
        assumes=assumes,
        source="ul-1678",
    )
    placed = [s for s in found if not s.forward]
    pushed = min(placed, key=lambda s: s.force(s.weakest) / s.mass.kg)
    way = pushed.weakest
    force, weight = pushed.force(way), pushed.mass.kg * GRAVITY
    ahead = min((s.force(Way.FORWARD) for s in found if s.forward), default=force)
    least, more = (min(share * weight, MOST_PUSH) for share in (PUSH_SHARE, GREATER_SHARE))
    slides = [
        word
        for friction, word in ((SMOOTH, "smooth"), (ROUGH, "rough"))
        if slides_first(friction, pushed.arm(way), pushed.push)
    ]
    yield judge(
        "stands a push at the top",
        "console",
        force if known else None,
        least if known else None,
        sense=Sense.AT_LEAST,
        unit="N",
        watch=more - least,
        why=f"Worst is '{pushed.name}':{without} a level push of {force:.0f} N at "
        f"{say(pushed.push)} above the floor begins to tip it {way.plain}. The rules ask for 13 % "
        f"of its weight, {least:.0f} N, and 20 % where more is at stake, {more:.0f} N. "
        + (
            f"On a {' or '.join(slides)} floor it slides first."
            if slides
            else "It tips before it slides, on a smooth floor too."
        )
        + (
            f" With the screen at the front edge {ahead:.0f} N tip it: mark where its feet belong."
            if ahead < force
            else ""
        ),
        assumes=assumes,
        source="iec-62368-1",
    )
