"""The room: the wall behind the console, its outlets, the seats, and the screen above."""

from enum import Enum
from math import hypot

from pydantic import Field

from kit.components.spec import Spec
from kit.units.fields import Length, NonNegativeLength, PositiveLength

#: From the top of the console to a picture on its feet, where nobody measured it, mm; from memory.
ON_ITS_FEET = 60.0


class Outlet(Spec):
    """Mains sockets in the wall behind the console."""

    across: Length
    """From the left side of the case to the middle of the outlet; negative: left of it."""
    up: NonNegativeLength
    """From the floor to the middle of the outlet."""
    sockets: int = Field(default=2, ge=1, le=12)
    """How many plugs it takes."""


class Seats(Spec):
    """Where the viewers' eyes, and the hands with the remote control, are."""

    distance: PositiveLength
    """From the front of the case to the eyes."""
    across: Length = 0.0
    """From the middle of the case to the middle of the seats; positive: to the right."""
    width: NonNegativeLength = 0.0
    """From the leftmost to the rightmost viewer."""
    eye_height: PositiveLength | None = None
    """Height of the eyes above the floor; from body measures where left out."""


class Stand(Enum):
    """What carries the screen."""

    FEET = "feet"
    WALL = "wall"


class Screen(Spec):
    """The screen: a 16:9 picture on feet on the console, or on the wall above it."""

    diagonal: PositiveLength
    """Diagonal of the picture."""
    stand: Stand = Stand.FEET
    """feet or wall."""
    bottom: NonNegativeLength | None = None
    """From the top of the console to the lower edge of the picture."""
    mass_kg: float | None = Field(default=None, gt=0, le=500, allow_inf_nan=False)
    """Mass with its feet, kg."""
    feet: PositiveLength | None = None
    """From the middle of one foot to the middle of the other."""
    foot_width: PositiveLength | None = None
    """Width of one foot."""
    foot_depth: PositiveLength | None = None
    """Front to back of a foot."""
    set_back: NonNegativeLength | None = None
    """From the front of the case to the front of the feet; as far back as they go on the top if
    left out."""

    @property
    def width(self) -> float:
        """Width of the picture, mm."""
        return 16 / hypot(16, 9) * self.diagonal

    @property
    def height(self) -> float:
        """Height of the picture, mm."""
        return 9 / hypot(16, 9) * self.diagonal

    @property
    def lower(self) -> float:
        """From the top of the console to the lower edge of the picture, mm."""
        return ON_ITS_FEET if self.bottom is None else self.bottom

    @property
    def middle(self) -> float:
        """From the top of the console to the middle of the picture, mm."""
        return self.lower + self.height / 2

    @property
    def upper(self) -> float:
        """From the top of the console to the upper edge of the picture, mm."""
        return self.lower + self.height


class Room(Spec):
    """Where the console stands."""

    wall_gap: NonNegativeLength = 25.0
    """From the rear of the case to the wall, or to what else is behind it."""
    free_standing: bool = False
    """No wall is behind it that could stop it, so that it may tip backward too."""
    hangs_at: NonNegativeLength | None = None
    """From the floor to its underside, where it hangs on the wall; it stands where left out."""
    baseboard_height: NonNegativeLength = 0.0
    """Height of the baseboard; nought where there is none."""
    baseboard_depth: NonNegativeLength = 0.0
    """How far the baseboard stands out from the wall."""
    outlets: tuple[Outlet, ...] = Field(default=(), max_length=20)
    """Mains sockets in the wall behind."""
    air_c: float = Field(default=25.0, ge=0.0, le=45.0, allow_inf_nan=False)
    """Air of the room on a warm day, °C."""
    seats: Seats | None = None
    """The viewers."""
