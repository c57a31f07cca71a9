"""The plume over a hot device: Heskestad's law (from memory).

ΔT = 9.1·(T/(g·cp²·ρ²))^(1/3)·Qc^(2/3)·(z - z0)^(-5/3), Qc in kW; 25 in front at room temperature.
"""

import pytest

from kit.checks.airflow.plume import CONVECTIVE, plume_rise_k
from kit.sources import Kind, Seen, Source
from published import Figure, each, held, share, worked

HESKESTAD = Source(
    key="heskestad",
    title="Heskestad's law of plumes, 9.1·(T/(g·cp²·ρ²))^(1/3)·Qc^(2/3)·(z - z0)^(-5/3)",
    kind=Kind.HANDBOOK,
    seen=Seen.MEMORY,
)


def constant() -> float:
    """The kit's, from the rise over a kilowatt that rises whole, a metre over the origin."""
    side = 0.4
    origin = 1.02 * (4 * side**2 / 3.14159265) ** 0.5  # that far below the source
    return plume_rise_k(1000.0 / CONVECTIVE, side, 1.0 - origin, 25.0)


#: 175 W of which 70 % rise, 0.41 m square, 0.1 m of air above.
FROM_ORIGIN = 0.1 + 1.02 * (4 * 0.41**2 / 3.14159265) ** 0.5
BY_HAND = 25 * (0.7 * 0.175) ** (2 / 3) * FROM_ORIGIN ** (-5 / 3)
PUBLISHED = {
    HESKESTAD: [
        Figure("constant at 25 °C", "", 25, constant, share(0.01)),
        Figure("share of the heat that rises", "", 0.7, lambda: CONVECTIVE),
    ],
    worked(HESKESTAD): [
        Figure(
            "175 W, 0.41 m square, a shelf 0.1 m above",
            "K",
            BY_HAND,
            lambda: plume_rise_k(175.0, 0.41, 0.1, 25.0),
            share(1e-3),
        )
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


def test_the_constant_at_room_temperature():
    assert pytest.approx(25, rel=0.01) == 9.1 * (293 / (9.81 * 1.005**2 * 1.20**2)) ** (1 / 3)


def test_a_receiver_under_a_shelf_is_warm_and_no_fire():
    assert 8 < BY_HAND < 18


def test_its_laws():
    base = plume_rise_k(100.0, 0.3, 0.1, 25.0)
    assert plume_rise_k(800.0, 0.3, 0.1, 25.0) / base == pytest.approx(4.0)
    assert plume_rise_k(100.0, 0.3, 0.2, 25.0) < base
    assert plume_rise_k(0.0, 0.3, 0.1, 25.0) == 0.0
