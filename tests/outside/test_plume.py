"""The plume over a hot device: Heskestad's law (from memory).

ΔT = 9.1·(T/(g·cp²·ρ²))^(1/3)·Qc^(2/3)·(z - z0)^(-5/3), Qc in kW; 25 in front at room temperature.
"""

import pytest

from kit.checks.airflow.plume import CONVECTIVE, plume_rise_k


def test_the_constant_at_room_temperature():
    assert pytest.approx(25, rel=0.01) == 9.1 * (293 / (9.81 * 1.005**2 * 1.20**2)) ** (1 / 3)


def test_a_receiver_under_a_shelf():
    # 175 W of which 70 % rise, 0.41 m square, 0.1 m of air above: worked by hand
    from_origin = 0.1 + 1.02 * (4 * 0.41**2 / 3.14159265) ** 0.5
    by_hand = 25 * (0.7 * 0.175) ** (2 / 3) * from_origin ** (-5 / 3)
    assert CONVECTIVE == 0.7
    assert plume_rise_k(175.0, 0.41, 0.1, 25.0) == pytest.approx(by_hand, rel=1e-3)
    assert 8 < by_hand < 18


def test_its_laws():
    base = plume_rise_k(100.0, 0.3, 0.1, 25.0)
    assert plume_rise_k(800.0, 0.3, 0.1, 25.0) / base == pytest.approx(4.0)
    assert plume_rise_k(100.0, 0.3, 0.2, 25.0) < base
    assert plume_rise_k(0.0, 0.3, 0.1, 25.0) == 0.0
