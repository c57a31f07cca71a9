"""Surface films: ISO 6946 (text read, as quoted with a heat-flux tool), US code figures
(text read: a state energy code), and the correlations of the `ht` library (Churchill and Chu).
"""

import pytest
from ht import Nu_vertical_plate_Churchill

from kit.checks.airflow.wood import Flow, face_c, u_value_w_m2k

F_FT2_H_BTU = 0.1761  # m²K/W in one h·ft²·°F/Btu


@pytest.mark.parametrize(
    ("flow", "iso", "us"),
    [(Flow.LEVEL, 0.13, 0.68), (Flow.UP, 0.10, 0.61), (Flow.DOWN, 0.17, 0.92)],
)
def test_films(flow, iso, us):
    assert flow.film_m2k_w == iso
    # American figures differ by up to a tenth
    assert us * F_FT2_H_BTU == pytest.approx(iso, rel=0.1)


@pytest.mark.parametrize(("rise_k", "band"), [(2.5, 0.03), (10.0, 0.18)])
def test_the_film_of_an_upright_board_follows_from_free_convection_and_radiation(rise_k, band):
    height, mean_k = 0.5, 298.15 + rise_k / 2
    nu = 1.59e-5  # air at 300 K, m²/s; its conductivity and Prandtl number below; from memory
    grashof = 9.80665 / mean_k * rise_k * height**3 / nu**2
    hc = Nu_vertical_plate_Churchill(0.71, grashof) * 0.0262 / height
    hr = 4 * 0.9 * 5.670374e-8 * mean_k**3
    print(f"{rise_k} K: {hc:.2f} + {hr:.2f} = {hc + hr:.2f} W/m2K, film {1 / (hc + hr):.3f}")
    assert 1 / (hc + hr) == pytest.approx(Flow.LEVEL.film_m2k_w, rel=band)


def test_the_face_lies_between_both_airs():
    u = u_value_w_m2k(0.018, 0.15, Flow.UP)
    face = face_c(45.0, 25.0, u, Flow.UP)
    # the film takes its share of the whole resistance: 0.10 of 0.32
    assert face == pytest.approx(45.0 - 20.0 * 0.10 / 0.32, abs=1e-9)
