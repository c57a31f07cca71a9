"""The two display systems, how finely a length is written in them, and the inch."""

from enum import Enum
from fractions import Fraction

MM_PER_INCH = 25.4

#: The inch and the foot in millimetres, exact.
INCH = Fraction(254, 10)
FOOT = 12 * INCH
#: No length of the kit is longer, mm.
LONGEST_MM = 100_000
#: So many lengths are kept as read and as written: from change to change most are the same.
KEPT = 8192


class System(Enum):
    """The display system of a drawing, a table or a pack; one for the whole of it."""

    INCH = "in"
    METRIC = "mm"


class Step(Enum):
    """How finely a length is written, as (tick in inches, tick in millimetres).

    The steps are those of the shop (common practice, no source): a step names the use, so
    that one call serves both systems.
    """

    OVERALL = (Fraction(1, 16), Fraction(1))
    """Overall and shelf sizes: 1/16 in or 1 mm."""
    BOARD = (Fraction(1, 32), Fraction(1, 2))
    """Length and width of a board, as a maker at a saw reads a rule: 1/32 in or 0.5 mm."""
    JOINT = (Fraction(1, 32), Fraction(1, 10))
    """Places of joints, fences and allowances: 1/32 in or 0.1 mm."""
    FINE = (Fraction(1, 64), Fraction(1, 10))
    """The finest tape or rule: 1/64 in or 0.1 mm. Not for bench sheets."""
    CALIPER = (Fraction(1, 1000), Fraction(1, 10))
    """Thickness, grooves and bores: decimal inch to 0.001 in, or 0.1 mm."""

    def tick(self, system: System) -> Fraction:
        """The tick in units of the system: inches or millimetres, exact."""
        return self.value[0 if system is System.INCH else 1]


class Rounding(Enum):
    """Which whole tick a length goes to."""

    NEAREST = "nearest"
    """The nearest; half a tick goes away from zero."""
    DOWN = "down"
    """The next that is not longer."""
    UP = "up"
    """The next that is not shorter."""
