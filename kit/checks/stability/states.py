"""The states in which the piece may tip, and how near it is to tipping in each."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from math import cos, radians, sin

from kit.casework import Casework
from kit.checks.loads import Carried
from kit.checks.stability.mass import Mass, boards_masses, content_masses, screen_mass, together
from kit.checks.stability.tipping import restraint_force_n, tip_angle_deg, tip_force_n
from kit.checks.stability.wall import Touch, touch
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


#: Where the screen stands, by `State.forward`: not at all, in its place, at the front edge.
_SCREEN = {None: "", False: "screen in place", True: "screen at the front edge"}


@dataclass(frozen=True, slots=True)
class State:
    """One state: the whole as one mass, on the feet `base`; `push` is the height of a push, mm.

    Heights of `mass` are in the room; `arm` and `height` are against the tip line.
    """

    name: str
    mass: Mass
    base: Box
    push: float
    wall: Touch | None = None
    """Where it touches the wall as it tips backward."""
    screen_kg: float = 0.0
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
    def at_wall(self) -> bool:
        """Whether the wall stops it as it tips backward, while it would still come back alone."""
        return self.wall is not None and self.wall.tilt_deg < self.angle(Way.BACKWARD)

    @property
    def ways(self) -> tuple[Way, ...]:
        """The ways in which it can tip: all but backward where the wall stops it."""
        return tuple(way for way in Way if way is not Way.BACKWARD or not self.at_wall)

    @property
    def weakest(self) -> Way:
        """Of the ways in which it can tip the one on the least slope."""
        return min(self.ways, key=self.angle)

    def on_wall(self, push_n: float) -> float:
        """What the wall takes, level, of a level push backward, N: as it leans, moments about the
        rear edge. Raises ValueError where there is no wall that it would touch.
        """
        if self.wall is None:
            raise ValueError("There is no wall that it would touch.")
        tilt = radians(self.wall.tilt_deg)
        level, rise = cos(tilt), sin(tilt)
        return restraint_force_n(
            push_n,
            self.push * level,
            self.mass.kg,
            self.arm(Way.BACKWARD) * level - self.height * rise,
            self.wall.height * level - self.wall.reach * rise,
        )


def feet(casework: Casework) -> Box:
    """The box round everything that stands on the floor; doors do not."""
    doors = {door.board.name for door in casework.doors.doors} if casework.doors else set()
    ground = min(b.box.lo[2] for b in casework.boards if b.name not in doors)
    standing = [
        b.box for b in casework.boards if b.box.lo[2] < ground + SAME and b.name not in doors
    ]
    return bounds(standing)


def states(casework: Casework, carried: Carried) -> Iterator[State]:
    """Empty and loaded, doors shut and slid to either side, without the screen, with it in place
    and with it at its foremost.

    States with a screen of unknown mass are left out.
    """
    base = feet(casework)
    wall = touch(casework, base)
    high = casework.frame.top.box.hi[2] - base.lo[2]
    slides = {0: "", -1: "doors to the left", 1: "doors to the right"}
    boards = {to: tuple(boards_masses(casework, to)) for to in (slides if casework.doors else (0,))}
    loads: dict[str, tuple[Mass, ...]] = {"empty": ()}
    inside = tuple(content_masses(casework, carried))
    if inside:
        loads["loaded"] = inside
    for forward, screen_word in _SCREEN.items():
        screen: tuple[Mass, ...] = ()
        push = high
        if forward is not None:
            if carried.screen is None:
                return
            stands = screen_mass(casework, carried.screen, forward=forward)
            if stands is None:
                return
            screen, push = (stands,), high + carried.screen.upper
        for load_word, content in loads.items():
            for to, wood in boards.items():
                yield State(
                    name=", ".join(w for w in (load_word, slides[to], screen_word) if w),
                    mass=together([*wood, *content, *screen]),
                    base=base,
                    push=min(push, HIGHEST_PUSH),
                    wall=wall,
                    screen_kg=sum(mass.kg for mass in screen),
                    forward=bool(forward),
                )
