"""The scale of a drawing as printed, and the bar that shows it."""

import re
from dataclasses import dataclass
from fractions import Fraction

from kit.units import System, length, text

#: Longest bar, mm of paper: it has to stand beside the check square.
LONGEST = 36.0
#: Lengths that a bar may show, in inches or mm. Common practice, no source.
_INCHES = tuple(Fraction(n, 4) for n in (1, 2, 4, 8, 12, 16, 24, 48, 96, 144, 192, 288, 480))
_MM = tuple(Fraction(n) for n in (5, 10, 20, 30, 50, 100, 200, 300, 500, 1000, 2000, 3000, 5000))


@dataclass(frozen=True, slots=True)
class Bar:
    """A scale bar: `paper_mm` long on paper, for the length `shows` of the piece."""

    scale: str
    paper_mm: float
    shows: str


def ratio(scale: str) -> float:
    """Paper over piece: `1:5` is 0.2, `3 in = 1 ft` is 0.25. Raises ValueError for other words."""
    if found := re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*:\s*(\d+(?:\.\d+)?)\s*", scale):
        paper, piece = float(found[1]), float(found[2])
    else:
        sides = scale.split("=")
        if len(sides) != 2:
            raise ValueError(f"scale {scale!r} is neither like '1:5' nor like '3 in = 1 ft'")
        paper, piece = (length(side.strip(), what="scale") for side in sides)
    if paper <= 0 or piece <= 0:
        raise ValueError(f"scale {scale!r} makes nothing of something")
    return paper / piece


def bar(scale: str, system: System) -> Bar:
    """The longest bar of a round length that has its room in the strip."""
    share = ratio(scale)
    unit = 25.4 if system is System.INCH else 1.0
    sizes = [float(n) * unit for n in (_INCHES if system is System.INCH else _MM)]
    fitting = [size for size in sizes if size * share <= LONGEST] or sizes[:1]
    return Bar(scale, fitting[-1] * share, text(fitting[-1], system))
