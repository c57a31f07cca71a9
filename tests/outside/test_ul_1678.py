"""Tipping: UL 1678 (10 degrees), IEC 62368-1 (13 % and 20 % of the weight), as extracts say.

The worked example: console 45 kg at z 0.25 m and screen 25 kg at z 0.90 m, both 0.18 m behind
the tip line: 70 kg, z 0.4821 m, 20.47 degrees, 123.6 N at 1 m (statics, worked by hand).
"""

import pytest

from kit.checks.stability import GREATER_SHARE, PUSH_SHARE, SLOPE_DEG, STEEP_DEG
from kit.checks.stability.mass import Mass, together
from kit.checks.stability.tipping import anchor_force_n, slides_first, tip_angle_deg, tip_force_n


def test_worked_example():
    whole = together([Mass(45, (0, 180, 250)), Mass(25, (0, 180, 900))])
    assert whole.kg == 70
    assert whole.at[2] == pytest.approx(482.1, abs=0.05)
    angle = tip_angle_deg(whole.at[1], whole.at[2])
    assert angle == pytest.approx(20.47, abs=0.005)
    assert angle > STEEP_DEG > SLOPE_DEG
    force = tip_force_n(whole.kg, whole.at[1], 1000)
    assert force == pytest.approx(123.6, abs=0.05)
    weight = 70 * 9.80665
    assert PUSH_SHARE * weight == pytest.approx(89.2, abs=0.1)
    assert GREATER_SHARE * weight == pytest.approx(137.3, abs=0.1)
    assert PUSH_SHARE * weight < force < GREATER_SHARE * weight


def test_limits_of_the_rules():
    assert (SLOPE_DEG, STEEP_DEG) == (10.0, 15.0)
    # x / z of 0.1763 and 0.2679
    assert tip_angle_deg(176.3, 1000) == pytest.approx(10, abs=0.01)
    assert tip_angle_deg(267.9, 1000) == pytest.approx(15, abs=0.01)


def test_slides_where_friction_is_below_arm_over_height():
    assert slides_first(0.1, 180, 1000)
    assert not slides_first(0.3, 180, 1000)


def test_an_anchor_makes_up_the_difference_of_moments():
    # 250 N at 1.4 m against 70 kg on 0.18 m, anchored at 0.5 m
    force = anchor_force_n(250, 1400, 70, 180, 500)
    assert force == pytest.approx((250 * 1.4 - 70 * 9.80665 * 0.18) / 0.5)
    assert anchor_force_n(50, 1400, 70, 180, 500) == 0.0
