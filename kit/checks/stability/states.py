"""The states in which the piece may tip, and how near it is to tipping in each."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from kit.casework import Casework
from kit.checks.loads import Carried
from kit.checks.stability.mass import Mass, boards_masses, content_masses, screen_mass, together
from kit.checks.stability.tipping import tip_angle_deg, tip_force_n
from kit.geometry import Box, bounds

#: Boards this near to the lowest point stand on the floor, mm.
SAME = 1.0
#: No push is asked for higher than this above the floor, mm: IEC 62368-1.
HIGHEST_PUSH = 1500.0


class Way(Enum):
    """Which way it tips: axis and whether over the far edge."""

    FORWARD = (1, False)
    BACKWARD = (1, True)
    LEFT = (0, False)
    RIGHT = (0, True)

    @property
    def plain(self) -> str:
        """As printed: forward, backward, to the left, to the right."""
        word = self.name.lower()
        return word if self.value[0] == 1 else f"to the {word}"


@dataclass(frozen=True, slots=True)
class State:
    """One state: the whole as one mass, on the feet `base`; `push` is the height of a push, mm.

    Heights of `mass` are in the room; `arm` and `height` are against the tip line.
    """

    name: str
    mass: Mass
    base: Box
    push: float
    forward: bool = False
    """Whether the screen stands at the front edge, where nobody should leave it."""

    @property
    def height(self) -> float:
        """Centre of mass above the floor, mm."""
        return self.mass.at[2] - self.base.lo[2]

    def arm(self, way: Way) -> float:
        """From the tip line to the centre of mass, mm."""
        axis, far = way.value
        at = self.mass.at[axis]
        return self.base.hi[axis] - at if far else at - self.base.lo[axis]

    def angle(self, way: Way) -> float:
        """Slope at which it tips this way, degrees."""
        return tip_angle_deg(self.arm(way), self.height)

    def force(self, way: Way) -> float:
        """Level force at the height of the push that begins to tip it, N."""
        return tip_force_n(self.mass.kg, self.arm(way), self.push)

    @property
    def weakest(self) -> Way:
        """The way in which it tips on the least slope."""
        return min(Way, key=self.angle)


def feet(casework: Casework) -> Box:
    """The box round everything that stands on the floor; doors do not."""
    doors = {door.board.name for door in casework.doors.doors} if casework.doors else set()
    ground = min(b.box.lo[2] for b in casework.boards if b.name not in doors)
    standing = [
        b.box for b in casework.boards if b.box.lo[2] < ground + SAME and b.name not in doors
    ]
    return bounds(standing)


def states(casework: Casework, carried: Carried) -> Iterator[State]:
    """Empty, loaded, doors to either side, screen in place and at its forward-most.

    States with a screen of unknown mass are left out.
    """
    base = feet(casework)
    high = casework.frame.top.box.hi[2] - base.lo[2]
    boards = tuple(boards_masses(casework))
    inside = tuple(content_masses(casework, carried))
    yield State("empty", together(boards), base, min(high, HIGHEST_PUSH))
    if inside:
        yield State("loaded", together([*boards, *inside]), base, min(high, HIGHEST_PUSH))
    for to, word in ((-1, "left"), (1, "right")):
        if casework.doors:
            moved = together([*boards_masses(casework, to), *inside])
            yield State(f"doors to the {word}", moved, base, min(high, HIGHEST_PUSH))
    if carried.screen is None:
        return
    push = min(high + carried.screen.upper, HIGHEST_PUSH)
    for forward, word in ((False, "screen in place"), (True, "screen at the front edge")):
        screen = screen_mass(casework, carried.screen, forward=forward)
        if screen is None:
            continue
        yield State(f"empty, {word}", together([*boards, screen]), base, push, forward)
        if inside:
            whole = together([*boards, *inside, screen])
            yield State(f"loaded, {word}", whole, base, push, forward)
