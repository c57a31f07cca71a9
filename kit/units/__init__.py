"""Reads a maker's lengths and writes them back; the only place that knows inches.

A length is written with its unit: "2 3/4 in", 2-3/4", 5' 3-1/2", ¾ in, 18 mm, 1.2 m.
Inside the kit it is a plain float in millimetres. Reading is exact (rational numbers)
until the last step; writing rounds once, to whole ticks of the tape. Fields of a
model that hold a length are in `kit.units.fields`, which loads pydantic.

The inch is 25.4 mm exactly (international yard and pound agreement, 1959).
"""

from kit.units.reading import length
from kit.units.systems import MM_PER_INCH, Rounding, Step, System
from kit.units.writing import (
    Say,
    cubic,
    decimal,
    exact,
    force,
    in_both,
    residue,
    slight,
    spoken,
    text,
)

__all__ = [
    "MM_PER_INCH",
    "Rounding",
    "Say",
    "Step",
    "System",
    "cubic",
    "decimal",
    "exact",
    "force",
    "in_both",
    "length",
    "residue",
    "slight",
    "spoken",
    "text",
]
