"""The bar that shows the scale of a drawing."""

from dataclasses import dataclass
from fractions import Fraction

from kit.draw.drafting import Scale
from kit.units import System, text

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


def bar(scale: Scale, system: System) -> Bar:
    """The longest bar of a round length that has its room in the strip."""
    share = 1.0 / scale.ratio
    unit = 25.4 if system is System.INCH else 1.0
    sizes = [float(n) * unit for n in (_INCHES if system is System.INCH else _MM)]
    fitting = [size for size in sizes if size * share <= LONGEST] or sizes[:1]
    return Bar(scale.words, fitting[-1] * share, text(fitting[-1], system))
