"""Seated eyes against ANSUR II, 2012: raw data of 4082 men and 1986 women, public, mm.

Mean and standard deviation of eye height sitting and of popliteal height; their sum for each
person is the height of the eyes over the floor. Means of sums are sums of means; percentiles
of sums lie between those of independent and of wholly dependent parts (of normal quantities).
"""

from math import hypot

import pytest

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

#: (mean, standard deviation) of eye height sitting, and of popliteal height.
MEN = ((804.5, 33.2), (429.8, 24.8))
WOMEN = ((747.7, 30.4), (388.2, 23.6))
#: Of a normal quantity, standard deviations from its mean to the 5th or 95th percentile.
Z = 1.645


@pytest.mark.parametrize(("people", "told"), [(MEN, EYE_OVER_FLOOR[0]), (WOMEN, EYE_OVER_FLOOR[1])])
def test_eyes_over_the_floor_are_the_sum_of_two_measures(people, told):
    assert told == pytest.approx(sum(mean for mean, _ in people), abs=0.6)


@pytest.mark.parametrize(
    ("people", "told", "side"), [(WOMEN, EYE_EXTREMES[0], -1), (MEN, EYE_EXTREMES[1], 1)]
)
def test_extremes_lie_between_independent_and_dependent_sums(people, told, side):
    mean = sum(mean for mean, _ in people)
    spread = [deviation for _, deviation in people]
    assert Z * hypot(*spread) <= side * (told - mean) <= Z * sum(spread)


def test_a_sofa_is_lower_than_the_seat_of_the_survey():
    # 40 to 100 mm, from memory
    assert (SOFA_LEAST, SOFA_MOST) == (40.0, 100.0)
    assert SOFA_LEAST < SOFA < SOFA_MOST
    low, high = eye_span(Seats(distance="3 m"))
    assert (low, high) == (963.0, 1275.0)
    assert low < eye_height(Seats(distance="3 m")) < high
    assert eye_span(Seats(distance="3 m", eye_height="1 m")) == (1000.0, 1000.0)


def test_the_usual_height_of_a_screen_is_that_of_seated_eyes():
    # sensible middles of a picture lie 1000 to 1150 mm over the floor (common practice)
    assert 1000 <= eye_height(Seats(distance="3 m")) <= 1150
