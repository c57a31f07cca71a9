"""Infrared receivers: makers' application notes (text read), half angle 45 degrees.

A receiver that is set back s behind a gap w sees atan(w / 2s) to either side: worked by hand.
"""

from functools import partial

from kit.checks.sight.rays import gap_angle_deg
from kit.checks.sight.signals import HALF_ANGLE_DEG
from kit.sources import source
from published import Figure, by, each, held, worked

NOTES = source("infrared-notes")
PUBLISHED = {
    NOTES: [Figure("a receiver sees to either side", "°", 45, lambda: HALF_ANGLE_DEG)],
    worked(NOTES): [
        Figure(
            f"set back {set_back} mm behind a gap of {gap} mm, to either side",
            "°",
            told,
            partial(gap_angle_deg, gap, set_back),
            by(0.1),
        )
        for gap, set_back, told in ((20, 20, 26.6), (40, 20, 45.0), (50, 100, 14.0))
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)
