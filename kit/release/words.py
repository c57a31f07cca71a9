"""Reads a printed number back, and says whether it is what a solid measures.

This is the one place of the gate that knows how far a printed number may lie from the truth:
the tick of its step, and which way it was rounded.
"""

import re

from kit.errors import UnitError
from kit.units import MM_PER_INCH, Rounding, Step, System, length

#: What floats, and solids snapped to a millionth of a millimetre, may add up to, mm.
NOISE = 2e-5

_AREA = re.compile(r"(?P<number>\d+(?:\.(?P<places>\d+))?) ?(?P<unit>mm|cm|m|in)(?:²|2)")
_UNIT_MM2 = {"mm": 1.0, "cm": 100.0, "m": 1e6, "in": MM_PER_INCH**2}


#: How far (below, above) the truth a number may come that is rounded this way, in ticks.
_REACH = {Rounding.NEAREST: (0.5, 0.5), Rounding.DOWN: (1.0, 0.0), Rounding.UP: (0.0, 1.0)}


def tick_mm(step: Step, system: System) -> float:
    """The tick of a step, mm."""
    return float(step.tick(system)) * (MM_PER_INCH if system is System.INCH else 1.0)


def agrees(
    words: str,
    mm: float,
    step: Step,
    system: System,
    rounding: Rounding = Rounding.NEAREST,
    slack: float = 0.0,
) -> bool:
    """Whether printed words say this length, mm, as well as their tick allows.

    False too for words in the other system. `slack` mm is allowed on top. Half way between two
    ticks both are right.
    Raises UnitError for words that say no length.
    """
    read = length(words)
    below, above = (share * tick_mm(step, system) + NOISE + slack for share in _REACH[rounding])
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
