"""Glued sections against factors of elementary beam theory (worked by hand, section 5).

n bonded layers are n² times as stiff as n loose ones; a strip glued under the front of a shelf
shifts the neutral axis. Parallel-axis theorem; any textbook of statics.
"""

from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.checks.strength.section import Part, glued, loose
from kit.sources import Kind, Seen, Source
from published import Figure, by, each, held, share, worked

E = 9000.0
SHELF = Part(300, 0, 18, E)


def bonded(layers: int) -> float:
    """Stiffness of so many layers of 12 mm bonded, over that of loose ones."""
    parts = [Part(300, 12 * i, 12 * (i + 1), E) for i in range(layers)]
    return glued(parts).ei_nmm2 / loose(parts)


def two_of_12_to_one_of_18() -> float:
    two = glued([Part(300, 0, 12, E), Part(300, 12, 24, E)])
    return two.ei_nmm2 / glued([SHELF]).ei_nmm2


def with_strip(height: float):
    """A shelf with a strip under its front, 18 mm wide, from the underside down."""
    return glued([SHELF, Part(18, -height, 0, E)])


def stiffer_by(height: float) -> float:
    return with_strip(height).ei_nmm2 / glued([SHELF]).ei_nmm2


STATICS = Source(
    key="statics",
    title="Statics of beams, parallel-axis theorem, any textbook",
    kind=Kind.HANDBOOK,
    seen=Seen.MEMORY,
)
PUBLISHED = {
    STATICS: [
        Figure(
            f"{layers} bonded layers, times as stiff as loose",
            "",
            layers**2,
            partial(bonded, layers),
            share(1e-6),
        )
        for layers in (1, 2, 3, 4)
    ],
    worked(STATICS): [
        Figure(
            "2 x 12 mm glued, times as stiff as 18 mm", "", 2.370, two_of_12_to_one_of_18, by(1e-3)
        ),
        *(
            Figure(
                f"strip 18 x {height} mm under the front of 300 x 18 mm, times as stiff",
                "",
                factor,
                partial(stiffer_by, height),
                share(2e-3),
            )
            for height, factor in ((40, 5.32), (20, 1.918))
        ),
        Figure(
            "second moment with the strip 18 x 40 mm",
            "mm⁴",
            776_082,
            lambda: with_strip(40).ei_nmm2 / E,
            share(1e-5),
        ),
        Figure(
            "its neutral axis, below the top",
            "mm",
            12.41,
            lambda: 18 - with_strip(40).neutral_mm,
            by(0.01),
        ),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


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
