"""Inch fractions against published tables.

Sources:
- The inch: National Bureau of Standards, addendum of 22 January 1960 to Circular 572: from
  1 July 1959 one yard is 0.9144 m exactly, hence one inch is 25.4 mm [text read]. It carries
  out the international yard and pound agreement of 1959.
- The 64ths: "Principles and Practice of Plumbing", Table LXIII, Decimal Equivalents of
  Fractions of an Inch [text read; its "3/62 = .046875" is a misprint for 3/64].
- The millimetres: a machinist's "Decimal to Fraction Chart", four places [text read].
- Three-place decimals: the common fraction, decimal and metric shop chart, first rows
  [text read]; it rounds a half up (1/16 -> .063), as the kit does.
"""

from fractions import Fraction
from functools import partial

import pytest

from kit.sources import Kind, Seen, Source
from kit.units import MM_PER_INCH, Step, System, decimal, exact, length, residue, text
from published import Figure, by, each, held

TABLE_LXIII = """
1/8 .125      1/4 .250      3/8 .375      1/2 .500      5/8 .625      3/4 .750      7/8 .875
1/16 .0625    3/16 .1875    5/16 .3125    7/16 .4375    9/16 .5625    11/16 .6875
13/16 .8125   15/16 .9375
1/32 .03125   3/32 .09375   5/32 .15625   7/32 .21875   9/32 .28125   11/32 .34375
13/32 .40625  15/32 .46875  17/32 .53125  19/32 .59375  21/32 .65625  23/32 .71875
25/32 .78125  27/32 .84375  29/32 .90625  31/32 .96875
1/64 .015625  3/64 .046875  5/64 .078125  7/64 .109375  9/64 .140625  11/64 .171875
13/64 .203125 15/64 .234375 17/64 .265625 19/64 .296875 21/64 .328125 23/64 .359375
25/64 .390625 27/64 .421875 29/64 .453125 31/64 .484375 33/64 .515625 35/64 .546875
37/64 .578125 39/64 .609375 41/64 .640625 43/64 .671875 45/64 .703125 47/64 .734375
49/64 .765625 51/64 .796875 53/64 .828125 55/64 .859375 57/64 .890625 59/64 .921875
61/64 .953125 63/64 .984375
"""
CELLS = TABLE_LXIII.split()
DECIMALS = list(zip(CELLS[::2], CELLS[1::2], strict=True))

MILLIMETRES = [
    ("1/64", 0.3969),
    ("1/32", 0.7937),
    ("1/16", 1.5875),
    ("1/8", 3.1750),
    ("3/16", 4.7625),
    ("1/4", 6.3500),
    ("5/16", 7.9375),
    ("3/8", 9.5250),
    ("15/32", 11.9063),
    ("1/2", 12.7000),
    ("19/32", 15.0812),
    ("5/8", 15.8750),
    ("21/32", 16.6687),
    ("11/16", 17.4625),
    ("45/64", 17.8594),
    ("23/32", 18.2562),
    ("47/64", 18.6531),
    ("3/4", 19.0500),
    ("13/16", 20.6375),
]

#: The chart rounds a half up.
THREE_PLACES = [("1/64", ".016"), ("1/32", ".031"), ("3/64", ".047"), ("1/16", ".063")]


def inches(fraction: str) -> float:
    return length(f"{fraction} in") / 25.4


def three_places(fraction: str) -> float:
    return float(decimal(length(f"{fraction} in"), System.INCH).removesuffix(" in"))


NBS = Source(
    key="nbs-inch",
    title="National Bureau of Standards, Circular 572, addendum of 22 January 1960",
    kind=Kind.STANDARD,
    seen=Seen.TEXT,
)
PLUMBING = Source(
    key="plumbing-63",
    title="Principles and Practice of Plumbing",
    page="Table LXIII, Decimal Equivalents of Fractions of an Inch",
    kind=Kind.HANDBOOK,
    seen=Seen.TEXT,
)
MACHINIST = Source(
    key="machinist-chart",
    title="A machinist's Decimal to Fraction Chart, four places of a millimetre",
    kind=Kind.ARTICLE,
    seen=Seen.TEXT,
)
SHOP = Source(
    key="shop-chart",
    title="Common fraction, decimal and metric shop chart, three places of an inch",
    kind=Kind.ARTICLE,
    seen=Seen.TEXT,
)
PUBLISHED = {
    NBS: [
        Figure("1 in", "mm", 25.4, lambda: MM_PER_INCH),
        Figure("1 in, as read", "mm", 25.4, partial(length, "1 in")),
        Figure("one yard, as 3 ft", "mm", 914.4, partial(length, "3 ft")),
    ],
    PLUMBING: [
        Figure(f"{fraction} in", "in", float(told), partial(inches, fraction))
        for fraction, told in DECIMALS
    ],
    MACHINIST: [
        # half of the last printed place; the chart turns some halves down (0.79375 -> 0.7937)
        Figure(f"{fraction} in", "mm", mm, partial(length, f"{fraction} in"), by(0.0000500001))
        for fraction, mm in MILLIMETRES
    ],
    SHOP: [
        Figure(f"{fraction} in", "in", float(told), partial(three_places, fraction))
        for fraction, told in THREE_PLACES
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


def test_the_table_is_whole() -> None:
    assert len({Fraction(fraction) for fraction, _ in DECIMALS}) == 63


def test_the_inch_and_the_yard_of_1959() -> None:
    assert MM_PER_INCH == 25.4
    assert length("1 in") == 25.4
    assert length("3 ft") == length("36 in") == length("0.9144 m") == 914.4


@pytest.mark.parametrize(("fraction", "inches"), DECIMALS)
def test_a_fraction_reads_as_its_published_decimal(fraction: str, inches: str) -> None:
    mm = length(f"{fraction} in")
    assert mm == length(f"{inches} in") == length(f'0{inches}"')
    # the published decimal is the whole decimal, so the millimetres are exact too
    assert mm == float(Fraction(inches) * Fraction("25.4"))
    assert length(f"5-{fraction} in") == float((5 + Fraction(inches)) * Fraction("25.4"))


@pytest.mark.parametrize(("fraction", "inches"), DECIMALS)
def test_a_published_decimal_is_written_as_its_fraction(fraction: str, inches: str) -> None:
    mm = length(f"{inches} in")
    assert text(mm, System.INCH, step=Step.FINE) == f"{fraction} in"
    assert residue(mm, System.INCH, step=Step.FINE) == 0.0
    assert exact(mm, System.INCH) == f"{fraction} in"


@pytest.mark.parametrize(("fraction", "told"), THREE_PLACES)
def test_three_places_round_as_the_shop_chart(fraction: str, told: str) -> None:
    assert decimal(length(f"{fraction} in"), System.INCH) == f"0{told} in"
