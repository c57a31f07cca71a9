"""The kit's plates against Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells.

Table 8 (even load, four simply supported sides), art. 29 and table 23 (a load in the middle of
the same), and the plate on four corners (art. 55, from memory); Poisson's ratio 0.3. The
millimetres of strips are those of the Wood Handbook, eq 9-2 and Table 9-1, second hand.
"""

from collections.abc import Callable
from functools import partial

import numpy as np
import pytest

from kit.checks.strength import beams
from kit.checks.strength.beams import Loading
from kit.checks.strength.plate import Rigidity, gauss
from kit.checks.strength.pressed import pressed_mm
from kit.checks.strength.structure import Membrane, Panel, Structure
from kit.sources import Kind, Seen, Source, source
from published import Figure, each, held, share

E, T = 9000.0, 18.0
EI = E * beams.second_moment_mm4(300, 18)
NOTHING_SLIDES = 1e12

type Hold = Callable[[Structure, Panel], None]


def flat(
    long: float,
    wide: float,
    hold: Hold,
    *,
    mpa: float,
    nu: float = 0.0,
    g_rolling: float | None = None,
) -> Callable[[float, float], float]:
    """Deflection down at a place of a plate 18 mm thick under an even load, mm."""
    made = Structure()
    y, weight = gauss(5, 0.0, wide)
    d = np.full(5, E * T**3 / 12 / (1 - nu**2))
    g = E / 2 / (1 + nu)
    slip = 1.2 * E * T**2 / (g_rolling or NOTHING_SLIDES)
    section = Rigidity(y, weight, d, d, nu * d, np.full(5, g * T**3 / 12), slip)
    stations = np.linspace(0.0, long, 13)
    panel = made.panel(
        "plate", (0, 1, 2), (long / 2, wide / 2, 0.0), stations,
        Membrane.of(E, g, wide, T), (0.0, wide), [section] * 12,
    )  # fmt: skip
    corner = np.array([(0.0, 0.0, 0.0), (long, 0.0, 0.0), (0.0, wide, 0.0)])
    for axis in (0, 1):
        made.spring(panel.moved(corner, axis), np.full(3, 1e6), "plate")
    hold(made, panel)
    x, wx = (
        np.concatenate(p)
        for p in zip(*(gauss(4, a, a + long / 12) for a in stations[:-1]), strict=True)
    )
    points = np.stack([np.repeat(x, 5), np.tile(y, len(x)), np.zeros(5 * len(x))], axis=1)
    moved = made.solved(made.load(panel.moved(points, 2), -mpa * np.outer(wx, weight).ravel()))

    def down(x: float, y: float) -> float:
        rows = panel.moved(np.array([(x, y, 0.0)]), 2)
        return -float((moved[rows.places] * rows.shares).sum())

    return down


def _line(made: Structure, panel: Panel, points: list[tuple[float, float]]) -> None:
    at = np.array([(x, y, 0.0) for x, y in points])
    made.spring(panel.moved(at, 2), np.full(len(at), 1e8), panel.name)


def ends(*at: float) -> Hold:
    """Held along lines across it."""

    def hold(made: Structure, panel: Panel) -> None:
        plate = panel.plate
        for x in at:
            _line(made, panel, [(x, y) for y in gauss(5, plate.low, plate.high)[0]])

    return hold


def sides(made: Structure, panel: Panel) -> None:
    plate = panel.plate
    ends(plate.stations[0], plate.stations[-1])(made, panel)
    xs = np.linspace(plate.stations[0], plate.stations[-1], 37)[1:-1]
    for y in (plate.low, plate.high):
        _line(made, panel, [(x, y) for x in xs])


def corners(made: Structure, panel: Panel) -> None:
    plate = panel.plate
    at = [(x, y) for x in plate.stations[[0, -1]] for y in (plate.low, plate.high)]
    _line(made, panel, at)


def clamped(made: Structure, panel: Panel) -> None:
    ends(0.0)(made, panel)
    at = np.array([(0.0, y, 0.0) for y in gauss(5, panel.plate.low, panel.plate.high)[0]])
    made.spring(panel.turned(at, 1), np.full(5, 1e13), panel.name)


def even(ratio: float, hold: Hold) -> float:
    """w D / q a⁴ in the middle of a plate `ratio` times as long as wide."""
    d = E * T**3 / 12 / 0.91
    return flat(500 * ratio, 500, hold, mpa=1e-3, nu=0.3)(250 * ratio, 250) * d / 1e-3 / 500**4


def pushed(ratio: float) -> float:
    """w D / P a² in the middle of the same under a load there."""
    d = E * T**3 / 12 / 0.91
    gives = pressed_mm(
        500 * ratio, 500, T, E, E, E / 2.6,
        rolling_mpa=NOTHING_SLIDES, nu=0.3, push_n=100.0, all_round=True,
    )  # fmt: skip
    return gives * d / 100 / 500**2


TIMOSHENKO = Source(
    key="timoshenko-plates",
    title="Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed.",
    kind=Kind.HANDBOOK,
    seen=Seen.MEMORY,
)
EVEN = {1.0: 0.00406, 1.5: 0.00772, 2.0: 0.01013}
PUSHED = {1.0: 0.01160, 2.0: 0.01651}


def _strip() -> float:
    return flat(800, 300, ends(0, 800), mpa=1e-3)(400, 150)


def _two_spans() -> float:
    return flat(1600, 300, ends(0, 800, 1600), mpa=1e-3)(0.4215 * 800, 150)


def _on_sides(words: str) -> str:
    return f"plate {words} on four sides"


PUBLISHED = {
    TIMOSHENKO: [
        *(
            Figure(
                _on_sides(f"{r:g} : 1") + ", even load",
                "q a⁴/D",
                book,
                partial(even, r, sides),
                share(0.01),
            )
            for r, book in EVEN.items()
        ),
        Figure(
            "square plate on four corners",
            "q a⁴/D",
            0.0255,
            partial(even, 1.0, corners),
            share(0.01),
        ),
        *(
            # a point lies between the trial functions, which round it off
            Figure(
                _on_sides(f"{r:g} : 1") + ", push in its middle",
                "P a²/D",
                book,
                partial(pushed, r),
                share(0.06),
            )
            for r, book in PUSHED.items()
        ),
    ],
    source("wood-handbook-9"): [
        Figure("plate as a strip on its ends, even load", "mm", 1.2193, _strip, share(0.001)),
        Figure("plate over three lines, two spans", "mm", 0.50718, _two_spans, share(0.002)),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


def test_an_end_that_nothing_holds() -> None:
    """A cantilever, q L⁴ / 8 E I (Wood Handbook Table 9-1)."""
    wanted = beams.bending_mm(Loading.SPREAD_CANTILEVER, 240, 800, EI)
    assert flat(800, 300, clamped, mpa=1e-3)(800, 150) == pytest.approx(wanted, rel=1e-3)


@pytest.mark.parametrize(("hold", "loading", "at"), [
    (ends(0.0, 800.0), Loading.SPREAD_SIMPLE, 400.0),
    (clamped, Loading.SPREAD_CANTILEVER, 800.0),
])  # fmt: skip
def test_rolling_shear_adds_what_the_handbook_says(hold: Hold, loading: Loading, at: float) -> None:
    """Wood Handbook eq 9-2 with its second term, G 172 MPa."""
    wanted = beams.bending_mm(loading, 240, 800, EI)
    wanted += beams.shear_mm(loading, 240, 800, 172.0 * 5 / 6 * 300 * T)
    assert flat(800, 300, hold, mpa=1e-3, g_rolling=172.0)(at, 150) == pytest.approx(
        wanted, rel=2e-3
    )


def test_a_deep_web_gives_by_shear() -> None:
    """A panel on its ends sags q L² / 8 G A by shear (textbook), and little by bending."""
    made = Structure()
    membrane = Membrane(1e15, 1e18, 5 / 6 * 600.0 * 400.0 * 6.0)
    web = made.panel("web", (0, 2, 1), (500.0, 0.0, 200.0), np.linspace(0, 1000, 41), membrane)
    held_at = np.array([(0.0, 0.0, 200.0), (1000.0, 0.0, 200.0)])
    for axis in (0, 2):
        made.spring(web.moved(held_at, axis), np.full(2, 1e9), "web")
    x, weight = (
        np.concatenate(p)
        for p in zip(*(gauss(2, a, a + 25) for a in np.arange(0, 1000, 25)), strict=True)
    )
    points = np.stack([x, 0 * x, 200.0 + 0 * x], axis=1)
    moved = made.solved(made.load(web.moved(points, 2), -0.5 * weight))
    rows = web.moved(np.array([(500.0, 0.0, 200.0)]), 2)
    sag = -float((moved[rows.places] * rows.shares).sum())
    assert sag == pytest.approx(0.5 * 1000**2 / (8 * membrane.ga_n), rel=0.01)
