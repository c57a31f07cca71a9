"""Will it tip, can it be lifted, does it stand on a floor that is not level?

It may tip forward and to the sides in every state, and backward where no wall stops it.

Not a certified test: statics of a rigid body with the masses that are known. Anchor televisions
and furniture where children are, by the makers' instructions and local rules.
"""

from collections.abc import Callable, Iterable, Iterator
from math import inf, radians, tan

from kit.casework import Casework
from kit.checks.loads import GRAVITY, Carried, Loads, loads
from kit.checks.stability.anchor import check_anchor
from kit.checks.stability.handling import check_handling
from kit.checks.stability.levelling import check_levelling
from kit.checks.stability.states import State, Way, states
from kit.checks.stability.tipping import slides_first
from kit.finding import Finding, Sense, judge
from kit.units import Rounding, text

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
    yield _slope(casework, carried, found)
    yield _push(casework, carried, found)
    known = not carried.unknown
    weakest = min(found, key=lambda s: s.force(Way.FORWARD)) if known else None
    yield from check_anchor(casework, carried, weakest)
    yield from check_handling(casework)
    yield from check_levelling(casework)


def _assumes(carried: Carried) -> str:
    if carried.screen:
        return f"{CAUTION} Middle of the screen over its feet; no carpet"
    return f"{CAUTION} No screen is named; no carpet"


def _without(carried: Carried) -> str:
    missing = " and ".join(what for _, what in carried.unknown)
    return f" Without {missing}, whose mass is not known:" if missing else ""


def _slope(casework: Casework, carried: Carried, found: tuple[State, ...]) -> Finding:
    state = _least(found, lambda s: s.angle(s.weakest))
    angle = state.angle(state.weakest)
    return judge(
        "stands on a slope",
        "console",
        None if carried.unknown else angle,
        SLOPE_DEG,
        sense=Sense.AT_LEAST,
        unit="degrees",
        watch=STEEP_DEG - SLOPE_DEG,
        why=f"The worst state is '{state.name}':{_without(carried)} {state.mass.kg:.0f} kg, "
        f"centre {casework.say(state.height)} above the floor, tips {state.weakest.plain} at "
        f"{angle:.1f} degrees." + ("" if angle >= STEEP_DEG else _cure(state.weakest)),
        assumes=_assumes(carried),
        source="ul-1678",
    )


def _cure(way: Way) -> str:
    if way is Way.FORWARD:
        return " Set the screen farther back, or the feet farther out."
    return " Set the feet farther out."


def _push(casework: Casework, carried: Carried, found: tuple[State, ...]) -> Finding:
    say, force = casework.say, casework.force
    placed = [s for s in found if not s.forward]
    pushed = _least(placed, lambda s: s.force(s.weakest) / s.mass.kg)
    way = pushed.weakest
    held, (least, more) = pushed.force(way), _asked(pushed)
    slides = [
        word
        for friction, word in ((SMOOTH, "smooth"), (ROUGH, "rough"))
        if slides_first(friction, pushed.arm(way), pushed.push)
    ]
    why = (
        f"Worst is '{pushed.name}':{_without(carried)} a level push of {force(held)} at "
        f"{say(pushed.push)} above the floor begins to tip it {way.plain}. The rules ask for 13 % "
        f"of its weight, {force(least)}, and 20 % where more is at stake, {force(more)}. "
    )
    if slides:
        why += f"On a {' or '.join(slides)} floor it slides first."
    else:
        why += "It tips before it slides, on a smooth floor too."
    back = foremost_mm(found)
    if back > 0.0:
        ahead = min(s.force(Way.FORWARD) for s in found if s.forward)
        mark = text(back, casework.design.shop.units, rounding=Rounding.UP)
        why += (
            f" With the screen at the front edge {force(ahead)} tip it: let its feet stand no "
            f"nearer to the front edge than {mark}: mark the place."
        )
    return judge(
        "stands a push at the top",
        "console",
        None if carried.unknown else held,
        None if carried.unknown else least,
        sense=Sense.AT_LEAST,
        unit="N",
        watch=inf if back > 0.0 else more - least,
        why=why + _at_wall(casework, placed),
        assumes=_assumes(carried),
        source="iec-62368-1",
    )


def _at_wall(casework: Casework, placed: list[State]) -> str:
    """What the wall takes of a push backward, in words; empty where none stops the piece."""
    held = [(s, s.wall, s.on_wall(_asked(s)[1])) for s in placed if s.wall and s.at_wall]
    if not held:
        return ""
    state, wall, takes = max(held, key=lambda row: round(row[2], 6))
    push, say, force = _asked(state)[1], casework.say, casework.force
    words = (
        f" Backward the wall stops it, {say(casework.design.room.wall_gap)} behind: it touches at "
        f"a tilt of {wall.tilt_deg:.1f} degrees, {say(wall.height)} above the floor"
    )
    if takes <= 0.0:
        return f"{words}; a push of {force(push)} does not tip it so far."
    words += f", and of a push of {force(push)} the wall takes {force(takes)} there."
    if takes - push > SMOOTH * state.mass.kg * GRAVITY:
        words += " On a smooth floor its feet slip forward then: keep them from it."
    return words


def _asked(state: State) -> tuple[float, float]:
    """The level pushes that the rules ask for, N: the lesser and the greater."""
    weight = state.mass.kg * GRAVITY
    return min(PUSH_SHARE * weight, MOST_PUSH), min(GREATER_SHARE * weight, MOST_PUSH)


def foremost_mm(found: tuple[State, ...]) -> float:
    """The least distance from the front of the case to the feet of the screen at which each state
    stands the lesser push and the slope of the rules, mm; 0 where the front edge will do.
    """
    return max((_foremost(state) for state in found if state.forward), default=0.0)


def _foremost(state: State) -> float:
    """How far back the screen has to go from the front edge: the centre of all follows it by the
    screen's share of the mass.
    """
    wanted = max(
        _asked(state)[0] * state.push / (state.mass.kg * GRAVITY),
        state.height * tan(radians(SLOPE_DEG)),
    )
    return max(0.0, wanted - state.arm(Way.FORWARD)) * state.mass.kg / state.screen_kg


def _least(found: Iterable[State], of: Callable[[State], float]) -> State:
    """The state with the least of something; of equal ones the first."""
    return min(found, key=lambda state: round(of(state), 6))
