"""What stands on the boards: gear, content, doors and the screen, as loads.

One place reads them off the casework; strength and stability both work from `Carried`.
"""

from collections.abc import Callable
from dataclasses import dataclass

from kit.casework import Casework

#: Standard gravity, m/s².
GRAVITY = 9.80665
#: Height of a 16:9 picture over its diagonal.
HEIGHT_OF_DIAGONAL = 9 / (16**2 + 9**2) ** 0.5
#: From the top of the case to the lower edge of the picture, mm; from memory.
STAND_HEIGHT = 60.0
#: Feet that nobody measured are taken this share of the picture's width apart; from memory.
FEET_SHARE = 0.6
#: Depth of a foot that nobody measured, mm; from memory.
FOOT_DEPTH = 280.0


@dataclass(frozen=True, slots=True)
class Load:
    """A mass at one point of a board: `x_mm` from the left of the case, in the room."""

    board: str
    x_mm: float
    kg: float
    what: str = ""


@dataclass(frozen=True, slots=True)
class LineLoad:
    """A mass spread evenly along a board from `x0_mm` to `x1_mm` in the room."""

    board: str
    x0_mm: float
    x1_mm: float
    kg: float
    what: str = ""


@dataclass(frozen=True, slots=True)
class Screen:
    """The screen on the top. Lengths in mm; None where nobody said.

    `feet` is from centre to centre, `foot_depth` front to back; `set_back` is from the front
    of the case to the front of the feet.
    """

    diagonal: float
    mass_kg: float | None = None
    feet: float | None = None
    foot_depth: float | None = None
    set_back: float | None = None

    @property
    def height(self) -> float:
        """From the top of the case to the upper edge of the picture, mm."""
        return STAND_HEIGHT + HEIGHT_OF_DIAGONAL * self.diagonal

    @property
    def middle(self) -> float:
        """From the top of the case to the middle of the picture, mm."""
        return STAND_HEIGHT + HEIGHT_OF_DIAGONAL * self.diagonal / 2


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
        name, x0, x1 = placed.item.name, placed.body.lo[0], placed.body.hi[0]
        if placed.kind.mass_kg is None:
            unknown.append((placed.item.on, name))
        else:
            lines.append(LineLoad(placed.item.on, x0, x1, placed.kind.mass_kg, name))
    for door in casework.doors.doors if casework.doors else ():
        box = door.board.box
        kg = casework.by_name[door.board.name].mass_kg
        lines.append(LineLoad("bottom", box.lo[0], box.hi[0], kg, door.board.name))
    screen = screen_of(casework)
    if screen is not None and screen.mass_kg is None:
        unknown.append(("top", "screen"))
    elif screen is not None and screen.mass_kg is not None:
        points += feet_loads(casework, screen)
    return Carried(tuple(points), tuple(lines), screen, tuple(unknown))


def screen_of(casework: Casework) -> Screen | None:
    """The screen that the design names, or None."""
    room = casework.design.room
    if room.screen is None:
        return None
    return Screen(
        diagonal=room.screen,
        mass_kg=getattr(room, "screen_mass_kg", None),
        feet=getattr(room, "screen_feet", None),
        foot_depth=getattr(room, "screen_foot_depth", None),
        set_back=getattr(room, "screen_foot_set_back", None),
    )


def feet_loads(casework: Casework, screen: Screen) -> tuple[Load, ...]:
    """The screen as two loads on the top, in the middle of the case; none without its mass."""
    if screen.mass_kg is None:
        return ()
    middle = casework.design.case.width / 2
    apart = screen.feet or FEET_SHARE * screen.diagonal * 16 / 337**0.5
    apart = min(apart, casework.design.case.width - 60.0)
    return tuple(
        Load("top", middle + side * apart / 2, screen.mass_kg / 2, "screen") for side in (-1, 1)
    )


def content_line(casework: Casework, bay: int, board: str, kg_per_m: float, what: str) -> LineLoad:
    """Books, records or the like along the whole clear width of a bay."""
    clear = casework.bays[bay - 1].clear
    kg = kg_per_m * clear.size[0] / 1000
    return LineLoad(board, clear.lo[0], clear.hi[0], kg, what)
