"""Types and widths of lines, after ISO 128-2 (from memory): wide to narrow is two to one."""

from enum import Enum

#: The line group for A4, mm.
WIDE, NARROW = 0.5, 0.25


def _dashes(*in_widths: float) -> tuple[float, ...]:
    """Lengths of dashes and gaps, given in widths of a narrow line."""
    return tuple(share * NARROW for share in in_widths)


class Line(Enum):
    """What a line stands for, as (name, width in mm, dashes and gaps in mm)."""

    OUTLINE = ("outline", 2 * WIDE, ())
    """The rim of a whole piece, or of an edge that is banded."""
    VISIBLE = ("visible", WIDE, ())
    """Edges that are seen."""
    EDGE = ("edge", NARROW * 1.4, ())
    """Edges that are seen in an overall view, where wide lines would run together."""
    HIDDEN = ("hidden", NARROW, _dashes(12, 3))
    """Edges that are not seen."""
    CENTRE = ("centre", NARROW, _dashes(24, 3, 0.5, 3))
    """Centre lines, and things that do not belong to the piece."""
    CUT = ("cut", WIDE, _dashes(24, 3, 0.5, 3))
    """The plane of a section."""
    THIN = ("thin", NARROW, ())
    """Dimension, extension and leader lines."""
    HATCH = ("hatch", NARROW * 0.7, ())
    """Hatching, and fine edges within a symbol."""

    @property
    def mm(self) -> float:
        """Width on paper, mm."""
        return self.value[1]

    @property
    def dashes(self) -> tuple[float, ...]:
        """Dashes and gaps in turn, mm; empty for a continuous line."""
        return self.value[2]
