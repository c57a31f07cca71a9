"""The screen: over the console, on its feet, before the viewers. Today's and the next one."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from math import atan, atan2, degrees, radians, tan

from kit.casework import Casework
from kit.checks.loads import feet_span
from kit.checks.seat import eye_height, eye_span, floor
from kit.finding import Finding, Sense, judge
from kit.room import Screen, Seats, Stand

#: Wanted from the end of a foot to the edge of the top, mm; from memory.
FOOT_EDGE = 10.0
#: Comfortable width of the picture as seen from the seats, degrees. Source: smpte-eg-18.
GOOD_DEG = 30.0
#: What a cinema rule asks for, and what it calls best, degrees. Source: viewing-angles.
CINEMA_DEG, BEST_DEG = 36.0, 40.0


def picture_angle_deg(width: float, distance: float) -> float:
    """Angle that a picture of this width fills at this distance, both in one unit, degrees."""
    return 2 * degrees(atan(width / (2 * distance)))


def distance_for(width: float, angle_deg: float) -> float:
    """Distance at which a picture of this width fills this angle, in the unit of the width."""
    return width / (2 * tan(radians(angle_deg / 2)))


@dataclass(frozen=True, slots=True)
class Look:
    """How seated viewers look at a picture; mm, heights above the floor.

    `away` is from the eyes to the picture, level; `lowest` and `highest` are the eyes of short
    and tall viewers, equal where the design gives them. A picture of unknown height is taken
    to stand `Screen.lower` above the top, which `known` then denies.
    """

    away: float
    middle: float
    eyes: float
    lowest: float
    highest: float
    wide_deg: float
    known: bool

    @property
    def up_deg(self) -> float:
        """Angle up to the middle of the picture, degrees; less than nought where it is down."""
        return self.up_from(self.eyes)

    def up_from(self, eyes: float) -> float:
        """The same for eyes of this height."""
        return degrees(atan2(self.middle - eyes, self.away))


def look(casework: Casework, screen: Screen, seats: Seats) -> Look:
    """How the viewers on these seats look at this screen."""
    away = seats.distance + picture_depth(casework, screen)
    lowest, highest = eye_span(seats)
    return Look(
        away=away,
        middle=casework.frame.top.box.hi[2] - floor(casework) + screen.middle,
        eyes=eye_height(seats),
        lowest=lowest,
        highest=highest,
        wide_deg=picture_angle_deg(screen.width, away),
        known=screen.bottom is not None,
    )


def check_screen(casework: Casework) -> Iterator[Finding]:
    """The screen of the design, and the one that may come after it as a second scenario."""
    for subject, screen in (
        ("screen", casework.design.screen),
        ("next screen", casework.design.next_screen),
    ):
        if screen is None:
            continue
        yield _wide_enough(casework, screen, subject)
        if screen.stand is Stand.FEET:
            yield from _feet(casework, screen, subject)
        yield from _in_front(casework, screen, subject)
        yield from _viewing(casework, screen, subject)


def _wide_enough(casework: Casework, screen: Screen, subject: str) -> Finding:
    picture = screen.width
    width = casework.design.case.width
    return judge(
        "wide enough for the screen",
        subject,
        width,
        picture,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=0.9 * screen.diagonal - picture,  # builders ask for 0.9 of the diagonal
        binding=False,
        why=f"The picture is {casework.say(picture)} wide and the case {casework.say(width)}; a "
        "console narrower than its screen looks top-heavy and leaves the feet near its ends.",
        assumes="16:9; the frame of the screen adds 10 to 20 mm",
        source="builders-accounts",
    )


def _feet(casework: Casework, screen: Screen, subject: str) -> Iterator[Finding]:
    case, say = casework.design.case, casework.say
    foot = partial(
        judge,
        subject=subject,
        required=FOOT_EDGE,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=FOOT_EDGE,
        source="memory",
        boards=("top",),
    )
    spare = None
    unsaid = [
        words
        for value, words in (
            (screen.feet, "how far apart its feet stand (screen.feet)"),
            (screen.foot_width, "how wide one foot is (screen.foot_width)"),
        )
        if value is None
    ]
    why = f"Not known: {' and '.join(unsaid)}; measure it."
    if screen.feet is not None and screen.foot_width is not None:
        reach = screen.feet + screen.foot_width
        spare = (case.width - reach) / 2
        why = f"Its feet reach over {say(reach)} of the {say(case.width)} of the top, and " + (
            f"{say(spare)} stay at each end." if spare >= 0 else f"{say(-spare)} hang over."
        )
    yield foot("feet on the top", measured=spare, why=why)
    if screen.foot_depth is None:
        why = "How deep its feet are is not known; measure it (screen.foot_depth)."
        yield foot("feet in depth", measured=None, why=why)
        return
    front, rear = feet_span(casework, screen)
    why = f"Its feet are {say(screen.foot_depth)} deep on a top of {say(case.depth)}"
    why += f" and stand {say(front)} from its front"
    if screen.set_back is None:
        why += ", as far back as they go"
        left = case.depth - screen.foot_depth
    else:
        left = case.depth - rear
    if left < 0:
        why += f"; {say(-left)} hang over."
    else:
        why += "." if screen.set_back is None else f"; {say(left)} stay behind them."
    yield foot("feet in depth", measured=left, why=why, required=0.0)


def _in_front(casework: Casework, screen: Screen, subject: str) -> Iterator[Finding]:
    """What stands on the top before the picture, or in it, hides none of it."""
    top, say = casework.frame.top.box, casework.say
    left = top.centre[0] - screen.width / 2
    plane = picture_depth(casework, screen)
    for placed in casework.gear:
        body = placed.body
        beside = body.hi[0] <= left or body.lo[0] >= left + screen.width
        if placed.bay is not None or beside or body.lo[1] >= plane:
            continue
        height = body.size[2]
        why = f"{placed.item.name} is {say(height)} high and stands on the top before the {subject}"
        if screen.bottom is None:
            why += "; how high the picture is over the top is not known (screen.bottom)."
        else:
            why += f", whose picture begins {say(screen.bottom)} above the top."
            if height > screen.bottom:
                why += " Put it into a bay or beside the picture, or raise the screen."
        yield judge(
            "clear of the picture",
            f"{placed.item.name} before the {subject}",
            None if screen.bottom is None else screen.bottom - height,
            0.0,
            sense=Sense.AT_LEAST,
            unit="mm",
            why=why,
            assumes="the screen over the middle of the case",
            source="common-practice",
            boards=("top",),
        )


def _viewing(casework: Casework, screen: Screen, subject: str) -> Iterator[Finding]:
    seats, say, limits = casework.design.room.seats, casework.say, casework.design.limits
    least_deg = limits.picture_deg
    wide = partial(
        judge,
        "wide before the eyes",
        subject,
        required=least_deg,
        sense=Sense.AT_LEAST,
        unit="degrees",
        watch=max(0.0, GOOD_DEG - least_deg),
        source="viewing-angles",
        binding=limits.binding("picture_deg"),
    )
    up = partial(
        judge,
        "looking up",
        subject,
        required=limits.look_up_deg,
        sense=Sense.AT_MOST,
        unit="degrees",
        source="viewing-angles",
        binding=limits.binding("look_up_deg"),
    )
    if seats is None:
        why = "How far away the viewers sit is not known; write [room.seats]."
        yield wide(measured=None, why=why)
        yield up(measured=None, why=why)
        return
    seen = look(casework, screen, seats)
    at = {deg: say(distance_for(screen.width, deg)) for deg in (GOOD_DEG, CINEMA_DEG, BEST_DEG)}
    yield wide(
        measured=seen.wide_deg,
        why=f"From {say(seen.away)} the picture is {seen.wide_deg:.0f}° wide; "
        f"{least_deg:.0f} is the least that is wanted, {GOOD_DEG:.0f} are asked for, which is "
        f"{at[GOOD_DEG]} away. A cinema rule asks for {CINEMA_DEG:.0f}, {at[CINEMA_DEG]} away, "
        f"and calls {BEST_DEG:.0f} best, {at[BEST_DEG]} away.",
        assumes="the picture over the middle of its feet, or at the wall",
    )
    if not seen.known:
        why = "How high the picture is over the top is not known; measure it (screen.bottom)."
        yield up(measured=None, why=why)
        return
    why = f"The middle of the picture is {say(seen.middle)} above the floor and seated eyes "
    why += f"{say(seen.eyes)}."
    if seen.lowest < seen.highest:
        most = seen.up_from(seen.lowest)
        why += f" From short to tall viewers eyes are {say(seen.lowest)} to {say(seen.highest)}, "
        why += f"and the shortest look {abs(most):.0f}° {'up' if most >= 0 else 'down'}."
    yield up(
        measured=seen.up_deg,
        why=why,
        assumes="" if seats.eye_height else "eyes of a mean viewer on a sofa (ansur-2)",
        watch=5.0,
    )


def picture_depth(casework: Casework, screen: Screen) -> float:
    """From the front of the case to the picture, mm: over its feet, or at the wall."""
    if screen.stand is Stand.WALL:
        return casework.design.case.depth + casework.design.room.wall_gap
    return sum(feet_span(casework, screen)) / 2
