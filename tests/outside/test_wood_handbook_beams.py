"""Beam constants of the Wood Handbook, GTR-282, eq 9-2 and Table 9-1 (second hand).

The millimetres are worked for a shelf 800 x 300 x 18 mm, E 9000 MPa, 240 N; the fractions of
continuous beams are those of beam tables (184.6 and 145.3, common knowledge of statics).
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.checks.strength import beams
from kit.checks.strength.beams import Loading
from kit.checks.strength.solver import Member, Push, Support, solve

EI = 9000 * beams.second_moment_mm4(300, 18)
INF = float("inf")
SHARES = np.linspace(0, 1, 1001)


@pytest.mark.parametrize(
    ("loading", "kb", "ks", "mm"),
    [
        (Loading.SPREAD_SIMPLE, 5 / 384, 1 / 8, 1.2193),
        (Loading.SPREAD_CLAMPED, 1 / 384, 1 / 8, 0.24387),
        (Loading.MID_SIMPLE, 1 / 48, 1 / 4, 1.95092),
        (Loading.MID_CLAMPED, 1 / 192, 1 / 4, 0.48773),
        (Loading.QUARTERS_SIMPLE, 11 / 768, 1 / 8, None),
        (Loading.SPREAD_CANTILEVER, 1 / 8, 1 / 2, None),
        (Loading.END_CANTILEVER, 1 / 3, 1.0, None),
    ],
)
def test_constants_of_table_9_1(loading, kb, ks, mm):
    assert (loading.value.kb, loading.value.ks) == (kb, ks)
    if mm is not None:
        assert beams.bending_mm(loading, 240, 800, EI) == pytest.approx(mm, rel=1e-4)


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


@pytest.mark.parametrize(
    ("spans", "form", "fraction", "place"),
    [
        (2, beams.two_span_mm, 184.6, 0.4215),
        (3, beams.three_span_mm, 145.3, 0.446),
    ],
)
def test_continuous_spans(spans, form, fraction, place):
    w, span = 0.3, 800.0
    assert form(w, span, EI) == pytest.approx(w * span**4 / (fraction * EI), rel=1e-3)
    nodes = [(i * span, 0.0) for i in range(spans + 1)]
    members = [Member(i, i + 1, EI, 1e7, spread_n_mm=w) for i in range(spans)]
    bent = solve(nodes, members, [Support(i, x=INF) for i in range(spans + 1)])
    line = -bent.along(members, 0, SHARES)
    assert line.max() == pytest.approx(form(w, span, EI), rel=1e-4)
    assert SHARES[line.argmax()] == pytest.approx(place, abs=0.002)


def test_two_spans_of_the_worked_shelf():
    assert beams.two_span_mm(0.3, 800, EI) == pytest.approx(0.50718, rel=1e-4)


def test_partial_load():
    assert beams.partial_mm(120, 430, 800, EI) == pytest.approx(0.85349, rel=1e-4)
    ends = ((0, Loading.MID_SIMPLE), (800, Loading.SPREAD_SIMPLE))
    for over, loading in ends:
        same = beams.bending_mm(loading, 120, 800, EI)
        assert beams.partial_mm(120, over, 800, EI) == pytest.approx(same)


@pytest.mark.parametrize(("ratio", "share"), [(16, 0.0078), (53, 0.026)])
def test_shear_is_a_few_per_cent(ratio, share):
    ga = 9000 / ratio * 5 * 300 * 18 / 6
    shear = beams.shear_mm(Loading.SPREAD_SIMPLE, 240, 800, ga)
    bending = beams.bending_mm(Loading.SPREAD_SIMPLE, 240, 800, EI)
    assert shear / bending == pytest.approx(share, rel=0.02)
