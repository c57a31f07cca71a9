"""Types and widths of lines, after ISO 128-2 (from memory): wide to narrow is two to one."""

from enum import Enum

#: The line group for A4, mm.
WIDE, NARROW = 0.5, 0.25


def _dashes(*in_widths: float) -> tuple[float, ...]:
    """Lengths of dashes and gaps, given in widths of a narrow line."""
    return tuple(share * NARROW for share in in_widths)


class Line(Enum):
    """What a line stands for: its width and its dashes and gaps in turn, mm on paper."""

    VISIBLE = (WIDE, ())
    """Edges that are seen."""
    EDGE = (1.4 * NARROW, ())
    """Edges that are seen in an overall view, where wide lines would run together."""
    HIDDEN = (NARROW, _dashes(12, 3))
    """Edges that are not seen."""
    CENTRE = (NARROW, _dashes(24, 3, 0.5, 3))
    """Centre lines, and things that do not belong to the piece."""
    CUT = (WIDE, _dashes(24, 3, 0.5, 3))
    """The plane of a section; beside an edge that is banded."""
    THIN = (NARROW, ())
    """Dimension, extension and leader lines."""
    HATCH = (0.7 * NARROW, ())
    """Hatching, and fine edges within a symbol."""

    def __init__(self, mm: float, dashes: tuple[float, ...]):
        self.mm = mm
        self.dashes = dashes
