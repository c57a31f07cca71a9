"""Reads a printed number back, and says whether it is what a solid measures.

This is the one place of the gate that knows how far a printed number may lie from the truth:
the tick of its step, and which way it was rounded.
"""

import re
from dataclasses import dataclass
from enum import Enum

from kit.errors import UnitError
from kit.units import MM_PER_INCH, Step, System, length

#: What floats, and solids snapped to a millionth of a millimetre, may add up to, mm.
NOISE = 2e-5

_AREA = re.compile(r"(?P<number>\d+(?:\.(?P<places>\d+))?) ?(?P<unit>mm|cm|m|in)(?:²|2)")
_UNIT_MM2 = {"mm": 1.0, "cm": 100.0, "m": 1e6, "in": MM_PER_INCH**2}


class Rounding(Enum):
    """Which way a number is rounded, as how far (below, above) the truth it may come, ticks."""

    NEAREST = (0.5, 0.5)
    DOWN = (1.0, 0.0)
    UP = (0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Precision:
    """How a kind of number is written: its step, and which way it is rounded."""

    step: Step
    rounding: Rounding = Rounding.NEAREST


@dataclass(frozen=True, slots=True)
class Style:
    """How the numbers of a pack are written: sizes and places, bores and joints, sums of lengths.

    A pack that is written finer, or rounded down, says so here.
    """

    system: System
    sizes: Precision = Precision(Step.JOINT)
    fine: Precision = Precision(Step.CALIPER)
    sums: Precision = Precision(Step.OVERALL)


def agrees(words: str, mm: float, precision: Precision, system: System, slack: float = 0.0) -> bool:
    """Whether printed words say this length, mm, as well as their tick allows.

    False too for words in the other system. `slack` mm is allowed on top. Half way between two
    ticks both are right.
    Raises UnitError for words that say no length.
    """
    read = length(words)
    tick = float(precision.step.tick(system)) * (MM_PER_INCH if system is System.INCH else 1.0)
    below, above = (share * tick + NOISE + slack for share in precision.rounding.value)
    return words.endswith(f" {system.value}") and -below <= read - mm <= above


def area_agrees(words: str, mm2: float) -> bool:
    """Whether printed words say this area as well as their last digit allows.

    Raises UnitError for words that say no area.
    """
    found = _AREA.fullmatch(words.strip())
    if found is None:
        raise UnitError(f'area "{words}" cannot be read: write for example "365 cm²".')
    unit = _UNIT_MM2[found["unit"]]
    last = unit * 10.0 ** -len(found["places"] or "")
    return abs(float(found["number"]) * unit - mm2) <= last / 2 + 1e-3
