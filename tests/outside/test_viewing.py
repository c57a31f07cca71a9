"""Viewing angles and seated eyes against published figures.

Sources: viewing-distance article (30 degrees: 1.63 x diagonal, 1.9 x width; 50 in: 81.5 in);
a certification programme's rules (36 degrees: 1.54 x width; 26: 2.2 x; 40: 65 in at 77 in);
ANSUR II raw data (floor to eye as the sum of popliteal and sitting eye height).
"""

from functools import partial

from kit.checks.screen import (
    BEST_DEG,
    CINEMA_DEG,
    GOOD_DEG,
    distance_for,
    picture_angle_deg,
)
from kit.checks.seat import EYE_OVER_FLOOR, SOFA, eye_height
from kit.limits import Limits
from kit.room import Screen, Seats
from kit.sources import source
from published import Figure, by, each, held, share, worked


def seen_deg(diagonal: float, distance: float) -> float:
    """Angle of a picture of 16:9, both in one unit."""
    return picture_angle_deg(Screen(diagonal=f"{diagonal} mm").width, distance)


def distance_over_diagonal(angle_deg: float) -> float:
    return distance_for(Screen(diagonal="1000 mm").width, angle_deg) / 1000


def size(diagonal_in: int, side: str) -> float:
    return getattr(Screen(diagonal=f"{diagonal_in} in"), side)


# in, mm
PICTURES = [(50, 1106.9, 622.6), (65, 1439.0, 809.4), (75, 1660.4, None), (85, 1881.7, None)]
SMPTE, ANGLES = source("smpte-eg-18"), source("viewing-angles")
PUBLISHED = {
    SMPTE: [
        Figure("comfortable width of the picture", "°", 30, lambda: GOOD_DEG),
        Figure("50 in at 81.5 in", "°", 30, partial(seen_deg, 50, 81.5), share(0.02)),
        Figure("at 1.63 times the diagonal", "°", 30, partial(seen_deg, 1, 1.63), share(0.02)),
        Figure("at 1.9 widths", "°", 30, partial(picture_angle_deg, 1.0, 1.9), share(0.02)),
        Figure(
            "30° of a picture of 50 in",
            "in",
            81.5,
            lambda: 50 * distance_over_diagonal(30),
            share(0.02),
        ),
    ],
    ANGLES: [
        Figure("least width of the picture", "°", 26, lambda: Limits().picture_deg),
        Figure("a cinema rule", "°", 36, lambda: CINEMA_DEG),
        Figure("the best", "°", 40, lambda: BEST_DEG),
        Figure("one looks up at most", "°", 15, lambda: Limits().look_up_deg),
        Figure("65 in at 77 in", "°", 40, partial(seen_deg, 65, 77.0), share(0.02)),
        Figure("at 1.54 widths", "°", 36, partial(picture_angle_deg, 1.0, 1.54), share(0.02)),
        Figure("at 2.2 widths", "°", 26, partial(picture_angle_deg, 1.0, 2.2), share(0.02)),
    ],
    worked(ANGLES): [
        *(
            Figure(
                f"distance over diagonal for {angle}°",
                "",
                told,
                partial(distance_over_diagonal, angle),
                by(6e-5),
            )
            for angle, told in ((30, 1.6264), (36, 1.3412), (40, 1.1973), (26, 1.8876))
        ),
        *(
            Figure(
                f"distance over width for {angle}°",
                "",
                told,
                partial(distance_for, 1.0, angle),
                by(6e-4),
            )
            for angle, told in ((30, 1.866), (36, 1.539), (40, 1.374), (26, 2.166))
        ),
        *(
            Figure(
                f"{diagonal} in of 16:9, {side}", "mm", told, partial(size, diagonal, side), by(0.1)
            )
            for diagonal, *both in PICTURES
            for side, told in zip(("width", "height"), both, strict=True)
            if told is not None
        ),
    ],
    # 5th percentile of women less a low sofa to 95th percentile of men
    source("ansur-2"): [
        Figure(
            "usual eyes on a sofa, between the extremes",
            "mm",
            (1063 - 100, 1315),
            lambda: eye_height(Seats(distance="3 m")),
        ),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


def test_eyes_that_are_given_are_taken():
    assert len(EYE_OVER_FLOOR) == 2
    assert 40 <= SOFA <= 100
    assert eye_height(Seats(distance="3 m", eye_height="1 m")) == 1000.0
