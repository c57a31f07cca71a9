"""Viewing angles and seated eyes against published figures.

Sources: viewing-distance article (30 degrees: 1.63 x diagonal, 1.9 x width; 50 in: 81.5 in);
a certification programme's rules (36 degrees: 1.54 x width; 26: 2.2 x; 40: 65 in at 77 in);
ANSUR II raw data (floor to eye as the sum of popliteal and sitting eye height).
"""

import pytest

from kit.checks.screen import picture_angle_deg
from kit.checks.seat import EYE_OVER_FLOOR, SOFA, eye_height
from kit.room import Screen, Seats


@pytest.mark.parametrize(
    ("diagonal_in", "width_mm", "height_mm"),
    [(50, 1106.9, 622.6), (65, 1439.0, 809.4), (75, 1660.4, None), (85, 1881.7, None)],
)
def test_sizes_of_a_16_to_9_picture(diagonal_in, width_mm, height_mm):
    assert Screen(diagonal=f"{diagonal_in} in").width == pytest.approx(width_mm, abs=0.1)
    if height_mm is not None:
        assert Screen(diagonal=f"{diagonal_in} in").height == pytest.approx(height_mm, abs=0.1)


@pytest.mark.parametrize(
    ("diagonal", "distance", "angle_deg"),
    [(50, 81.5, 30), (65, 77.0, 40), (1, 1.63, 30)],
)
def test_published_distances_give_their_angles(diagonal, distance, angle_deg):
    found = picture_angle_deg(Screen(diagonal=f"{diagonal} mm").width, distance)
    assert found == pytest.approx(angle_deg, rel=0.02)


@pytest.mark.parametrize(("widths", "angle_deg"), [(1.9, 30), (1.54, 36), (2.2, 26)])
def test_published_widths_give_their_angles(widths, angle_deg):
    assert picture_angle_deg(1.0, widths) == pytest.approx(angle_deg, rel=0.02)


def test_seated_eyes_lie_between_the_measured_extremes():
    # ANSUR II, mm: men 804.5 + 429.8, women 747.7 + 388.2
    assert pytest.approx((804.5 + 429.8, 747.7 + 388.2), abs=1.0) == EYE_OVER_FLOOR
    assert 40 <= SOFA <= 100
    # 5th percentile of women less a low sofa to 95th percentile of men
    assert 1063 - 100 < eye_height(Seats(distance="3 m")) < 1315
    assert eye_height(Seats(distance="3 m", eye_height="1 m")) == 1000.0
