"""Conductivity of wood and U values.

Wood Handbook, FPL-GTR-190, eq 4-15 (text read): k across the grain, scatter ±20 %. Plywood
0.110 to 0.147 W/mK at 12 %, MDF 0.12 to 0.15: public materials database (text read).
"""

import pytest

from kit.checks.airflow.wood import Flow, board_conductivity_w_mk, u_value_w_m2k
from kit.checks.airflow.wood import wood_conductivity_w_mk as k
from kit.errors import BuildError
from kit.materials import sheet_goods


@pytest.mark.parametrize(("moisture", "published"), [(8, 0.155), (12, 0.164)])
def test_birch(moisture, published):
    assert k(0.60, moisture) == pytest.approx(published, abs=6e-4)


def test_plywood_lies_in_the_published_range():
    # softwood sheathing of 480 to 560 kg/m³ at 12 %, with the scatter of the equation
    for density in (480.0, 560.0):
        value = k(density / 1000 / 1.12, 12.0)
        assert 0.110 * 0.8 <= value <= 0.147 * 1.2
    for row in sheet_goods().values():
        assert 0.09 <= board_conductivity_w_mk(row.density_kg_m3) <= 0.25


@pytest.mark.parametrize(
    ("mm", "side", "top", "floor"),
    [(12, 2.94, 3.57, 2.38), (18, 2.63, 3.125, 2.17), (24, 2.38, 2.78, 2.00)],
)
def test_u_values_of_plywood(mm, side, top, floor):
    # k 0.15, ISO 6946 films on both faces, computed apart
    for flow, wanted in ((Flow.LEVEL, side), (Flow.UP, top), (Flow.DOWN, floor)):
        assert u_value_w_m2k(mm / 1000, 0.15, flow) == pytest.approx(wanted, abs=0.006)


def test_a_sealed_console():
    # 1.4 x 0.5 x 0.45 m of 18 mm, six faces: 8.21 W/K, so 60 W give 7.3 K; computed apart
    ends = 2 * 0.225 + 2 * 0.7
    ua = 0.63 * (u_value_w_m2k(0.018, 0.15, Flow.UP) + u_value_w_m2k(0.018, 0.15, Flow.DOWN))
    ua += ends * u_value_w_m2k(0.018, 0.15, Flow.LEVEL)
    assert ua == pytest.approx(8.21, abs=0.02)
    assert 60 / ua == pytest.approx(7.3, abs=0.05)


@pytest.mark.parametrize(("gravity", "moisture"), [(0.0, 8.0), (0.5, 25.0), (0.5, -1.0)])
def test_outside_the_range(gravity, moisture):
    with pytest.raises(BuildError, match="specific gravity"):
        k(gravity, moisture)
