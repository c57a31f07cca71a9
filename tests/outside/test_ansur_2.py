"""Seated eyes against ANSUR II, 2012: raw data of 4082 men and 1986 women, public, mm.

Mean and standard deviation of eye height sitting and of popliteal height; their sum for each
person is the height of the eyes over the floor. Means of sums are sums of means; percentiles
of sums lie between those of independent and of wholly dependent parts (of normal quantities).
How much lower a sofa is: from memory.
"""

from math import hypot

from kit.checks.seat import (
    EYE_EXTREMES,
    EYE_OVER_FLOOR,
    SOFA,
    SOFA_LEAST,
    SOFA_MOST,
    eye_height,
    eye_span,
)
from kit.room import Seats
from kit.sources import source
from published import Figure, by, each, held

#: (mean, standard deviation) of eye height sitting, and of popliteal height.
MEN = ((804.5, 33.2), (429.8, 24.8))
WOMEN = ((747.7, 30.4), (388.2, 23.6))
#: Of a normal quantity, standard deviations from its mean to the 5th or 95th percentile.
Z = 1.645


def percentile(people: tuple[tuple[float, float], ...], side: int) -> tuple[float, float]:
    """Where the 5th (-1) or 95th (+1) percentile of the sum can lie, mm."""
    mean = sum(mean for mean, _ in people)
    spread = [deviation for _, deviation in people]
    ends = [mean + side * Z * hypot(*spread), mean + side * Z * sum(spread)]
    return min(ends), max(ends)


def usual_eyes() -> float:
    return eye_height(Seats(distance="3 m"))


PUBLISHED = {
    source("ansur-2"): [
        Figure(
            f"eyes of seated {who} over the floor, mean",
            "mm",
            sum(mean for mean, _ in people),
            lambda told=told: told,
            by(0.6),
        )
        for who, people, told in (
            ("men", MEN, EYE_OVER_FLOOR[0]),
            ("women", WOMEN, EYE_OVER_FLOOR[1]),
        )
    ]
    + [
        Figure(
            "the same, 5th percentile of women",
            "mm",
            percentile(WOMEN, -1),
            lambda: EYE_EXTREMES[0],
        ),
        Figure(
            "the same, 95th percentile of men", "mm", percentile(MEN, 1), lambda: EYE_EXTREMES[1]
        ),
    ],
    source("memory"): [
        Figure("a sofa is lower than a chair by, least", "mm", 40, lambda: SOFA_LEAST),
        Figure("a sofa is lower than a chair by, most", "mm", 100, lambda: SOFA_MOST),
        Figure("a sofa is lower than a chair by, as taken", "mm", (40, 100), lambda: SOFA),
    ],
    source("common-practice"): [
        Figure("sensible middle of a picture over the floor", "mm", (1000, 1150), usual_eyes)
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


def test_a_sofa_is_lower_than_the_seat_of_the_survey():
    assert SOFA_LEAST < SOFA < SOFA_MOST
    low, high = eye_span(Seats(distance="3 m"))
    assert (low, high) == (963.0, 1275.0)
    assert low < usual_eyes() < high
    assert eye_span(Seats(distance="3 m", eye_height="1 m")) == (1000.0, 1000.0)
