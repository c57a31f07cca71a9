"""What stands on the boards: gear, content, doors and the screen, as loads.

One place reads them off the casework; strength and stability both work from `Carried`.
"""

from collections.abc import Callable
from dataclasses import dataclass

from kit.casework import Casework
from kit.components.spaces import BOTTOM
from kit.geometry import Box
from kit.room import Screen, Stand

#: Standard gravity, m/s².
GRAVITY = 9.80665
#: Feet that nobody measured are taken this share of the picture's width apart; from memory.
FEET_SHARE = 0.6
#: Depth of a foot that nobody measured, mm; from memory.
FOOT_DEPTH = 280.0
#: Width of a foot that nobody measured, mm; from memory.
FOOT_WIDTH = 40.0


#: Front and rear of a load in the room, mm; None is the whole depth of its board.
type Depth = tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Load:
    """A mass on a foot: `x_mm` is its middle in the room, `wide_mm` its width."""

    board: str
    x_mm: float
    kg: float
    what: str = ""
    depth_mm: Depth = None
    wide_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class LineLoad:
    """A mass spread evenly over a board from `x0_mm` to `x1_mm` in the room."""

    board: str
    x0_mm: float
    x1_mm: float
    kg: float
    what: str = ""
    depth_mm: Depth = None


@dataclass(frozen=True, slots=True)
class Carried:
    """All loads of a casework. `unknown` names what stands on a board with no known mass."""

    points: tuple[Load, ...] = ()
    lines: tuple[LineLoad, ...] = ()
    screen: Screen | None = None
    unknown: tuple[tuple[str, str], ...] = ()

    def unknown_on(self, board: str) -> tuple[str, ...]:
        """Names of what stands on a board with no known mass."""
        return tuple(what for on, what in self.unknown if on == board)


type Loads = Callable[[Casework], Carried]
"""Reads the loads off a casework; asked again for every change that is tried as a fix."""


def loads(casework: Casework) -> Carried:
    """The loads that a design says: gear where it stands, doors shut, the screen on its feet."""
    points: list[Load] = []
    lines: list[LineLoad] = []
    unknown: list[tuple[str, str]] = []
    for placed in casework.gear:
        name, on = placed.item.name, placed.item.on or BOTTOM
        if placed.kind.mass_kg is None:
            unknown.append((on, name))
        else:
            lines.append(_spread(on, placed.body, placed.kind.mass_kg, name))
    for door in casework.doors.doors if casework.doors else ():
        kg = casework.by_name[door.board.name].mass_kg
        lines.append(_spread("bottom", door.board.box, kg, door.board.name))
    lines += [
        _spread(row.content.on, row.box, row.mass_kg, row.kind.label) for row in casework.media
    ]
    screen = screen_of(casework)
    if screen is not None and screen.mass_kg is None:
        unknown.append(("top", "screen"))
    elif screen is not None and screen.mass_kg is not None:
        points += feet_loads(casework, screen)
    return Carried(tuple(points), tuple(lines), screen, tuple(unknown))


def _spread(board: str, box: Box, kg: float, what: str) -> LineLoad:
    """What fills a box, spread evenly over its footprint."""
    return LineLoad(board, box.lo[0], box.hi[0], kg, what, (box.lo[1], box.hi[1]))


def screen_of(casework: Casework) -> Screen | None:
    """The screen that stands on the case; None where there is none, or it hangs on the wall."""
    screen = casework.design.screen
    return screen if screen is not None and screen.stand is Stand.FEET else None


def feet_loads(casework: Casework, screen: Screen) -> tuple[Load, ...]:
    """The screen as two loads on the top, in the middle of the case; none without its mass."""
    if screen.mass_kg is None:
        return ()
    depth = feet_span(casework, screen)
    wide = screen.foot_width or FOOT_WIDTH
    return tuple(
        Load("top", x, screen.mass_kg / 2, "screen", depth, wide)
        for x in feet_middles(casework, screen)
    )


def feet_middles(casework: Casework, screen: Screen) -> tuple[float, float]:
    """Middles of the left and the right foot from the left side of the case, mm."""
    middle = casework.design.case.width / 2
    apart = screen.feet or FEET_SHARE * screen.width
    apart = min(apart, casework.design.case.width - 60.0)
    return middle - apart / 2, middle + apart / 2


def feet_span(casework: Casework, screen: Screen) -> tuple[float, float]:
    """Front and rear of the feet in the room, mm: the one place of a screen, for every check.

    As far back as they go on the top where the design says nothing. They may stand out behind a
    case that is less deep than they are, and not before it.
    """
    deep = screen.foot_depth or FOOT_DEPTH
    front = screen.set_back
    if front is None:
        front = max(0.0, casework.design.case.depth - deep)
    return front, front + deep
