"""Glued sections against factors of elementary beam theory (worked by hand, section 5).

n bonded layers are n² times as stiff as n loose ones; a strip glued under the front of a shelf
shifts the neutral axis. Parallel-axis theorem; any textbook of statics.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.checks.strength.section import Part, glued, loose

E = 9000.0


@pytest.mark.parametrize("layers", [1, 2, 3, 4])
def test_layers_bonded_and_loose(layers):
    parts = [Part(300, 12 * i, 12 * (i + 1), E) for i in range(layers)]
    assert glued(parts).ei_nmm2 / loose(parts) == pytest.approx(layers**2)


def test_two_half_inch_layers_against_one_of_three_quarters():
    two = glued([Part(300, 0, 12, E), Part(300, 12, 24, E)])
    assert two.ei_nmm2 / glued([Part(300, 0, 18, E)]).ei_nmm2 == pytest.approx(2.370, abs=0.001)


@pytest.mark.parametrize(("height", "factor"), [(40, 5.32), (20, 1.918)])
def test_strip_under_the_front_of_a_shelf(height, factor):
    shelf = Part(300, 0, 18, E)
    # the strip hangs below the sheet: 18 mm wide, from the underside down
    both = glued([shelf, Part(18, -height, 0, E)])
    assert both.ei_nmm2 / glued([shelf]).ei_nmm2 == pytest.approx(factor, rel=2e-3)
    if height == 40:
        assert both.ei_nmm2 / E == pytest.approx(776082, rel=1e-5)
        assert 18 - both.neutral_mm == pytest.approx(12.41, abs=0.01)


@given(
    ratio=st.floats(0.2, 5.0),
    width=st.floats(10, 500),
    low=st.floats(5, 50),
    high=st.floats(5, 50),
)
def test_another_modulus_is_another_width(ratio, width, low, high):
    """The transformed section: E times as stiff counts as E times as wide."""
    one = glued([Part(width, 0, low, E), Part(width, low, low + high, ratio * E)])
    other = glued([Part(width, 0, low, E), Part(ratio * width, low, low + high, E)])
    assert one.ei_nmm2 == pytest.approx(other.ei_nmm2)
    assert one.neutral_mm == pytest.approx(other.neutral_mm)


def test_nothing_is_no_section():
    with pytest.raises(ValueError, match="at least one part"):
        glued([])
