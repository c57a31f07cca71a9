"""Beam constants of the Wood Handbook, GTR-282, eq 9-2 and Table 9-1 (second hand).

The millimetres are worked for a shelf 800 x 300 x 18 mm, E 9000 MPa, 240 N; the fractions of
continuous beams are those of beam tables (184.6 and 145.3, common knowledge of statics).
"""

from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.checks.strength import beams
from kit.checks.strength.beams import Loading
from kit.checks.strength.creep import after_years
from kit.checks.strength.layup import G_SHARE
from kit.checks.strength.solver import Member, Push, Support, solve
from kit.sources import source
from published import Figure, by, each, held, share, worked

EI = 9000 * beams.second_moment_mm4(300, 18)
INF = float("inf")
SHARES = np.linspace(0, 1, 1001)
CONSTANTS = [
    (Loading.SPREAD_SIMPLE, 5 / 384, 1 / 8, 1.2193),
    (Loading.SPREAD_CLAMPED, 1 / 384, 1 / 8, 0.24387),
    (Loading.MID_SIMPLE, 1 / 48, 1 / 4, 1.95092),
    (Loading.MID_CLAMPED, 1 / 192, 1 / 4, 0.48773),
    (Loading.QUARTERS_SIMPLE, 11 / 768, 1 / 8, None),
    (Loading.SPREAD_CANTILEVER, 1 / 8, 1 / 2, None),
    (Loading.END_CANTILEVER, 1 / 3, 1.0, None),
]
SPANS = [(2, beams.two_span_mm, 184.6, 0.4215), (3, beams.three_span_mm, 145.3, 0.446)]


def named(loading: Loading) -> str:
    return loading.name.lower().replace("_", ", ")


def fraction_of(form) -> float:
    """w L⁴ / (E I d) of a continuous beam."""
    w, span = 0.3, 800.0
    return w * span**4 / (EI * form(w, span, EI))


def shear_share(ratio: float) -> float:
    """Shear over bending of the shelf with so many times E as G."""
    ga = 9000 / ratio * 5 * 300 * 18 / 6
    shear = beams.shear_mm(Loading.SPREAD_SIMPLE, 240, 800, ga)
    return shear / beams.bending_mm(Loading.SPREAD_SIMPLE, 240, 800, EI)


def birch_mm(thickness: float, e_mpa: float, load_n: float, *, layers: int = 1) -> float:
    """A shelf 800 x 400 mm of birch along the grain, mm."""
    ei = e_mpa * beams.second_moment_mm4(400, layers * thickness)
    return beams.bending_mm(Loading.SPREAD_SIMPLE, load_n, 800, ei)


#: 25 kg spread; the shelf's own weight at 680 kg/m³; moduli of the handbook's birch.
LOAD_N = 25 * 9.80665
OWN_N = 0.8 * 0.4 * 0.0176 * 680 * 9.80665
GTR = source("wood-handbook-9")
PUBLISHED = {
    GTR: [
        *(
            Figure(f"{named(loading)}: kb", "", kb, lambda one=loading: one.value.kb, share(1e-12))
            for loading, kb, _, _ in CONSTANTS
        ),
        *(
            Figure(f"{named(loading)}: ks", "", ks, lambda one=loading: one.value.ks, share(1e-12))
            for loading, _, ks, _ in CONSTANTS
        ),
        Figure("G over E of solid wood", "", 1 / 16, lambda: G_SHARE),
    ],
    worked(GTR): [
        *(
            Figure(
                f"shelf 800 x 300 x 18 mm, E 9000, 240 N: {named(loading)}",
                "mm",
                mm,
                partial(beams.bending_mm, loading, 240, 800, EI),
                share(1e-4),
            )
            for loading, *_, mm in CONSTANTS
            if mm is not None
        ),
        *(
            Figure(
                f"{spans} equal spans, wL⁴ over E I d",
                "",
                told,
                partial(fraction_of, form),
                share(1e-3),
            )
            for spans, form, told, _ in SPANS
        ),
        Figure(
            "the shelf over two spans",
            "mm",
            0.50718,
            partial(beams.two_span_mm, 0.3, 800, EI),
            share(1e-4),
        ),
        Figure(
            "the shelf, 120 N over 430 mm",
            "mm",
            0.85349,
            partial(beams.partial_mm, 120, 430, 800, EI),
            share(1e-4),
        ),
        *(
            Figure(
                f"shear over bending, E/G {ratio}",
                "",
                told,
                partial(shear_share, ratio),
                share(0.02),
            )
            for ratio, told in ((16, 0.0078), (53, 0.026))
        ),
        Figure(
            "birch 12 mm, 800 x 400 mm, 25 kg",
            "mm",
            2.65,
            partial(birch_mm, 12.0, 10719, LOAD_N),
            by(0.006),
        ),
        Figure(
            "birch 18 mm, 800 x 400 mm, 25 kg",
            "mm",
            0.895,
            partial(birch_mm, 17.6, 10048, LOAD_N),
            by(0.001),
        ),
        Figure("its own weight", "mm", 0.137, partial(birch_mm, 17.6, 10048, OWN_N), by(0.001)),
        Figure(
            "both after years",
            "mm",
            2.06,
            lambda: after_years("birch-ply-18") * birch_mm(17.6, 10048, LOAD_N + OWN_N),
            by(0.006),
        ),
        Figure(
            "2 x 12 mm glued, 25 kg",
            "mm",
            0.331,
            partial(birch_mm, 12.0, 10719, LOAD_N, layers=2),
            by(0.001),
        ),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


@given(
    load=st.floats(1, 2000),
    span=st.floats(200, 2500),
    ei=st.floats(1e7, 1e11),
    loading=st.sampled_from(list(Loading)),
)
def test_the_frame_gives_the_constants(load, span, ei, loading):
    """Own closed forms and own frame agree to 0.1 % (1e-6 in fact)."""
    simple, end = loading.name.endswith("SIMPLE"), loading.name.endswith("CANTILEVER")
    spread = load / span if loading.name.startswith("SPREAD") else 0.0
    nodes = [(span * i / 4, 0.0) for i in range(5)]
    members = [Member(i, i + 1, ei, 1e9, spread_n_mm=spread) for i in range(4)]
    turn = 0.0 if simple else INF
    supports = [Support(0, x=INF, turn=turn)] + ([] if end else [Support(4, turn=turn)])
    at = {"MID": [2], "QUA": [1, 3], "END": [4]}.get(loading.name[:3], [])
    pushes = [Push(i, z=-load / len(at)) for i in at]
    bent = solve(nodes, members, supports, pushes)
    found = -bent.moved[4 if end else 2, 1]
    assert found == pytest.approx(beams.bending_mm(loading, load, span, ei), rel=1e-6)


@pytest.mark.parametrize(("spans", "form", "place"), [(n, f, at) for n, f, _, at in SPANS])
def test_the_frame_gives_continuous_spans(spans, form, place):
    w, span = 0.3, 800.0
    nodes = [(i * span, 0.0) for i in range(spans + 1)]
    members = [Member(i, i + 1, EI, 1e7, spread_n_mm=w) for i in range(spans)]
    bent = solve(nodes, members, [Support(i, x=INF) for i in range(spans + 1)])
    line = -bent.along(members, 0, SHARES)
    assert line.max() == pytest.approx(form(w, span, EI), rel=1e-4)
    assert SHARES[line.argmax()] == pytest.approx(place, abs=0.002)


def test_a_partial_load_lies_between_a_point_and_the_whole():
    ends = ((0, Loading.MID_SIMPLE), (800, Loading.SPREAD_SIMPLE))
    for over, loading in ends:
        same = beams.bending_mm(loading, 120, 800, EI)
        assert beams.partial_mm(120, over, 800, EI) == pytest.approx(same)
