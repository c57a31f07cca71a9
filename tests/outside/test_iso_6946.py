"""Surface films: ISO 6946 (text read, as quoted with a heat-flux tool), US code figures
(text read: a state energy code), and the correlations of the `ht` library (Churchill and Chu).
"""

import pytest
from ht import Nu_vertical_plate_Churchill

from kit.checks.airflow.wood import Flow, face_c, u_value_w_m2k
from kit.sources import Kind, Seen, Source, source
from published import Figure, each, held, share

F_FT2_H_BTU = 0.1761  # m²K/W in one h·ft²·°F/Btu
#: ISO 6946, and h·ft²·°F/Btu of the state code.
FILMS = {Flow.LEVEL: (0.13, 0.68), Flow.UP: (0.10, 0.61), Flow.DOWN: (0.17, 0.92)}


def convected_and_radiated(rise_k: float) -> tuple[float, float]:
    """Of an upright board half a metre high, W/m²K."""
    height, mean_k = 0.5, 298.15 + rise_k / 2
    nu = 1.59e-5  # air at 300 K, m²/s; its conductivity and Prandtl number below; from memory
    grashof = 9.80665 / mean_k * rise_k * height**3 / nu**2
    hc = Nu_vertical_plate_Churchill(0.71, grashof) * 0.0262 / height
    return hc, 4 * 0.9 * 5.670374e-8 * mean_k**3


US_CODE = Source(
    key="us-films",
    title="Washington state energy code, WAC 51-11, films of air",
    kind=Kind.REGULATION,
    seen=Seen.TEXT,
)
CHURCHILL = Source(
    key="churchill",
    title="Free convection by Churchill and Chu (library ht) with radiation at 0.9",
    kind=Kind.COMPUTED,
    seen=Seen.OWN,
)
PUBLISHED = {
    source("iso-6946"): [
        Figure(f"film, heat {flow.name.lower()}", "m²K/W", iso, lambda flow=flow: flow.film_m2k_w)
        for flow, (iso, _) in FILMS.items()
    ],
    US_CODE: [
        # American figures differ by up to a tenth
        Figure(
            f"film, heat {flow.name.lower()}",
            "h·ft²·°F/Btu",
            us,
            lambda flow=flow: flow.film_m2k_w / F_FT2_H_BTU,
            share(0.1),
        )
        for flow, (_, us) in FILMS.items()
    ],
    CHURCHILL: [
        Figure(
            f"film of an upright board at {rise_k:g} K",
            "m²K/W",
            1 / sum(convected_and_radiated(rise_k)),
            lambda: Flow.LEVEL.film_m2k_w,
            share(band),
        )
        for rise_k, band in ((2.5, 0.03), (10.0, 0.2))
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


@pytest.mark.parametrize(("rise_k", "band"), [(2.5, 0.03), (10.0, 0.18)])
def test_the_film_of_an_upright_board_follows_from_free_convection_and_radiation(rise_k, band):
    film = 1 / sum(convected_and_radiated(rise_k))
    assert film == pytest.approx(Flow.LEVEL.film_m2k_w, rel=band)


@pytest.mark.parametrize(("iso", "us"), FILMS.values())
def test_american_figures_differ_by_up_to_a_tenth(iso, us):
    assert us * F_FT2_H_BTU == pytest.approx(iso, rel=0.1)


def test_the_face_lies_between_both_airs():
    u = u_value_w_m2k(0.018, 0.15, Flow.UP)
    face = face_c(45.0, 25.0, u, Flow.UP)
    # the film takes its share of the whole resistance: 0.10 of 0.32
    assert face == pytest.approx(45.0 - 20.0 * 0.10 / 0.32, abs=1e-9)
