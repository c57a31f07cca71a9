"""Heat of amplifiers: 16 CFR 432.3(c) for 1/8 power (text read), a worked example of a 500 W
plate on a public forum (text read), and what stays in the cabinet (computed apart).
"""

import pytest

from kit.checks.airflow.amplifier import EFFICIENCY_FULL, amplifier_heat_w, amplifier_mains_w
from kit.errors import BuildError


def test_the_plate_of_seven_channels():
    # one channel full at 50 %, six at 1/8 at 25 %
    full = amplifier_mains_w(1, 100, share=1.0, efficiency=EFFICIENCY_FULL)
    rest = amplifier_mains_w(6, 100, share=1 / 8, efficiency=0.25)
    assert full == pytest.approx(200)
    assert rest == pytest.approx(300)
    assert full + rest == pytest.approx(500)


@pytest.mark.parametrize(
    ("channels", "rated_w", "heat_w"), [(7, 100, 262.5), (5, 80, 150), (2, 100, 75)]
)
def test_heat_left_in_the_cabinet(channels, rated_w, heat_w):
    assert amplifier_heat_w(channels, rated_w) == pytest.approx(heat_w)


def test_class_d():
    assert amplifier_heat_w(7, 100, efficiency=0.65) == pytest.approx(47, abs=0.2)


def test_refuses_what_is_no_amplifier():
    with pytest.raises(BuildError, match="efficiency"):
        amplifier_heat_w(2, 100, efficiency=0.0)
