"""Draughting: figures on paper in mm, drawn to scale after ISO 128, with figures that measure.

    boxes of wood -> relief (what is seen) -> Figure (ink on paper) -> SVG in true mm

Paper coordinates are mm, x to the right and y up. Nothing here knows furniture.
"""

from kit.draw.drafting.dimensions import (
    RING,
    Flag,
    Side,
    Station,
    flags,
    ordinates,
    ring,
    span,
    spread,
    tags,
)
from kit.draw.drafting.figure import (
    Disc,
    Figure,
    Fill,
    Frame,
    Path,
    Round,
    Words,
    lines_of,
    rows,
    stacked,
)
from kit.draw.drafting.lettering import CAPITALS, NOTE, TITLE, width, wrapped
from kit.draw.drafting.line_types import Line
from kit.draw.drafting.relief import Relief, Slab
from kit.draw.drafting.scales import SCALES, Scale, largest_scale

__all__ = [
    "CAPITALS",
    "NOTE",
    "RING",
    "SCALES",
    "TITLE",
    "Disc",
    "Figure",
    "Fill",
    "Flag",
    "Frame",
    "Line",
    "Path",
    "Relief",
    "Round",
    "Scale",
    "Side",
    "Slab",
    "Station",
    "Words",
    "flags",
    "largest_scale",
    "lines_of",
    "ordinates",
    "ring",
    "rows",
    "span",
    "spread",
    "stacked",
    "tags",
    "width",
    "wrapped",
]
