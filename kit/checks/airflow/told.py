"""How air is told: no finer than the model knows it."""

from math import floor

#: Past this the model says only that it is far too warm, °C: the next step is ten degrees.
COARSE_C = 80.0


def told_c(air_c: float) -> float:
    """A temperature as judged and printed, °C: whole degrees, from 80 °C up whole tens.

    The rise of the air is good to about a third.

    >>> told_c(34.21), told_c(123.5)
    (34.0, 120.0)
    """
    step = 1.0 if air_c < COARSE_C else 10.0
    return step * floor(air_c / step + 0.5)


def in_words(air_c: float) -> str:
    """The same in words."""
    told = told_c(air_c)
    return f"{told:.0f} °C" if told < COARSE_C else f"some {told:.0f} °C"
