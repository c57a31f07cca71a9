"""Deflection of straight beams by closed forms: Wood Handbook Table 9-1 and a few besides.

    d = kb W L³ / (E I) + ks W L / (G A')        (Wood Handbook eq 9-2)

with W the whole load on the span in N, L the span in mm, E and G in MPa, I in mm⁴ and, for a
rectangle b x h, A' = 5 b h / 6 in mm². Deflections are in mm at the place that the row names.
Small deflections, elastic, constant section. Source: Wood Handbook, GTR-282, ch. 9.
"""

from dataclasses import dataclass
from enum import Enum
from math import sqrt


@dataclass(frozen=True, slots=True)
class Constants:
    """The two constants of eq 9-2 for one loading and one kind of support."""

    kb: float
    ks: float


class Loading(Enum):
    """Load and support of one span; deflection at mid-span, of a cantilever at its free end."""

    SPREAD_SIMPLE = Constants(5 / 384, 1 / 8)
    SPREAD_CLAMPED = Constants(1 / 384, 1 / 8)
    MID_SIMPLE = Constants(1 / 48, 1 / 4)
    MID_CLAMPED = Constants(1 / 192, 1 / 4)
    QUARTERS_SIMPLE = Constants(11 / 768, 1 / 8)
    """Two loads of W / 2 at the quarter points."""
    SPREAD_CANTILEVER = Constants(1 / 8, 1 / 2)
    END_CANTILEVER = Constants(1 / 3, 1.0)


def second_moment_mm4(width_mm: float, thickness_mm: float) -> float:
    """I = b h³ / 12 of a rectangle bent over its thickness, mm⁴."""
    return width_mm * thickness_mm**3 / 12


def bending_mm(loading: Loading, load_n: float, span_mm: float, ei_nmm2: float) -> float:
    """The bending part of eq 9-2, kb W L³ / (E I), mm."""
    return loading.value.kb * load_n * span_mm**3 / ei_nmm2


def shear_mm(loading: Loading, load_n: float, span_mm: float, ga_n: float) -> float:
    """The shear part of eq 9-2, ks W L / (G A'), mm; `ga_n` is G A' in N.

    Of a shelf 800 mm long and 18 mm thick it is 0.8 to 2.6 % of the bending part.
    """
    return loading.value.ks * load_n * span_mm / ga_n


def two_span_mm(load_n_mm: float, span_mm: float, ei_nmm2: float) -> float:
    """Greatest deflection of two equal continuous spans under a spread load, mm.

    w L⁴ / 184.6 E I, at 0.4215 L from the outer end, w in N/mm. Exact: the span is a beam
    with one end clamped, d(x) = w x (L³ - 3 L x² + 2 x³) / (48 E I) at x = L (1 + √33) / 16.
    """
    x = span_mm * (1 + sqrt(33)) / 16
    return load_n_mm * x * (span_mm**3 - 3 * span_mm * x**2 + 2 * x**3) / (48 * ei_nmm2)


def three_span_mm(load_n_mm: float, span_mm: float, ei_nmm2: float) -> float:
    """Greatest deflection of three equal continuous spans under a spread load, mm.

    w L⁴ / 145.3 E I in the end span, 0.446 L from the outer end. From the moment w L² / 10 over
    the inner supports (three-moment equation): x is the root of 4 x³ - 4.8 L x² + 0.8 L³.
    """
    x = 0.44588 * span_mm
    moment = load_n_mm * span_mm**2 / 10
    spread = load_n_mm * x * (span_mm**3 - 2 * span_mm * x**2 + x**3) / 24
    hogging = moment * x * (span_mm**2 - x**2) / (6 * span_mm)
    return (spread - hogging) / ei_nmm2


def partial_mm(load_n: float, over_mm: float, span_mm: float, ei_nmm2: float) -> float:
    """Mid-span deflection under `load_n` spread over `over_mm` in the middle of a simple span, mm.

    W (8 L³ - 4 L c² + c³) / (384 E I), 0 <= c <= L; c = 0 is the mid load, c = L the spread one.
    Source: textbook; both ends of its range are rows of Wood Handbook Table 9-1.
    """
    length, c = span_mm, over_mm
    return load_n * (8 * length**3 - 4 * length * c**2 + c**3) / (384 * ei_nmm2)


def longest_span_mm(
    limit: float, load_n_mm: float, ei_nmm2: float, loading: Loading = Loading.SPREAD_SIMPLE
) -> float:
    """The span at which a spread load bends a board by span / `limit`, mm.

    L³ = E I / (limit kb w), w in N/mm; bending only, no creep. The table of the Architectural
    Woodwork Standards (2009, p. 279) is this with limit 144, truncated to the inch.

    A shelf of 950,000 psi, 3/4 in thick, under 40 psf, for each millimetre of its width:

    >>> round(longest_span_mm(144, 1915.2e-6, 6550 * second_moment_mm4(1, 19.05)))
    1017
    """
    return float((ei_nmm2 / (limit * loading.value.kb * load_n_mm)) ** (1 / 3))
