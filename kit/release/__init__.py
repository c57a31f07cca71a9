"""The release gate: no pack is called released before it agrees with its solids.

Every printed size, count and area is read back from what was written and held against the
solids; every mark is on a drawing and in the cut list; thicknesses are measured; nothing fails.
"""

from kit.release.gate import REQUIRED, Gate, gate
from kit.release.printed import (
    Drawn,
    Printed,
    PrintedArea,
    PrintedBore,
    PrintedCount,
    PrintedSize,
    PrintedStation,
    What,
    part_stations,
)
from kit.release.words import agrees

__all__ = [
    "REQUIRED",
    "Drawn",
    "Gate",
    "Printed",
    "PrintedArea",
    "PrintedBore",
    "PrintedCount",
    "PrintedSize",
    "PrintedStation",
    "What",
    "agrees",
    "gate",
    "part_stations",
]
