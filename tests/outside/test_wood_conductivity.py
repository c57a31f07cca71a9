"""Conductivity of wood and U values.

Wood Handbook, FPL-GTR-190, eq 4-15 (text read): k across the grain, scatter ±20 %. Plywood
0.110 to 0.147 W/mK at 12 %, MDF 0.12 to 0.15: public materials database (text read).
"""

from functools import partial

import pytest

from kit.checks.airflow.wood import Flow, board_conductivity_w_mk, u_value_w_m2k
from kit.checks.airflow.wood import wood_conductivity_w_mk as k
from kit.errors import BuildError
from kit.materials import sheet_good, sheet_goods
from kit.sources import Kind, Seen, Source, source
from published import Figure, by, each, held, share, worked

#: mm: W/m²K at k 0.15 with films on both faces; a board without thickness stands for metal.
U_VALUES = {
    12: (2.94, 3.57, 2.38),
    18: (2.63, 3.125, 2.17),
    24: (2.38, 2.78, 2.00),
    0: (3.85, 5.0, 2.94),
}


def sealed_w_k(*, back: bool) -> float:
    """Heat through a console of 1.4 x 0.5 x 0.45 m of 18 mm, W/K; `back` or against a wall."""
    level_m2 = 2 * 0.225 + (2 if back else 1) * 0.7
    level, up, down = (u_value_w_m2k(0.018, 0.15, f) for f in (Flow.LEVEL, Flow.UP, Flow.DOWN))
    return 0.63 * (up + down) + level_m2 * level


def sheathing_w_mk(density_kg_m3: float) -> float:
    return k(density_kg_m3 / 1000 / 1.12, 12.0)


HANDBOOK, ISO = source("wood-handbook-heat"), source("iso-6946")
DATABASE = Source(
    key="board-conductivity",
    title="Public materials database, conductivity of boards",
    kind=Kind.ARTICLE,
    seen=Seen.TEXT,
)
PUBLISHED = {
    worked(HANDBOOK): [
        Figure(f"birch at {moisture} %", "W/mK", told, partial(k, 0.60, moisture), by(6e-4))
        for moisture, told in ((8, 0.155), (12, 0.164))
    ],
    # with the scatter of the handbook's equation
    DATABASE: [
        *(
            Figure(
                f"softwood sheathing of {density} kg/m³ at 12 %",
                "W/mK",
                (0.110, 0.147),
                partial(sheathing_w_mk, density),
                share(0.2),
            )
            for density in (480, 560)
        ),
        Figure(
            "MDF, as taken by its density",
            "W/mK",
            (0.12, 0.15),
            lambda: board_conductivity_w_mk(sheet_good("mdf-3/4").density_kg_m3),
            share(0.2),
        ),
    ],
    worked(ISO): [
        *(
            Figure(
                f"{f'plywood {mm} mm' if mm else 'thin metal'}, heat {flow.name.lower()}",
                "W/m²K",
                told,
                partial(u_value_w_m2k, mm / 1000, 0.15, flow),
                by(0.006),
            )
            for mm, row in U_VALUES.items()
            for flow, told in zip((Flow.LEVEL, Flow.UP, Flow.DOWN), row, strict=True)
        ),
        Figure(
            "sealed console 1.4 x 0.5 x 0.45 m of 18 mm, six faces",
            "W/K",
            8.21,
            partial(sealed_w_k, back=True),
            by(0.02),
        ),
        Figure("the same against a wall", "W/K", 6.37, partial(sealed_w_k, back=False), by(0.02)),
        Figure("60 W in it", "K", 7.3, lambda: 60 / sealed_w_k(back=True), by(0.05)),
        Figure("120 W in it", "K", 14.6, lambda: 120 / sealed_w_k(back=True), by(0.05)),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


@pytest.mark.parametrize("row", sheet_goods().values(), ids=sheet_goods())
def test_every_sheet_conducts_as_wood_does(row):
    assert 0.09 <= board_conductivity_w_mk(row.density_kg_m3) <= 0.25


@pytest.mark.parametrize(("gravity", "moisture"), [(0.0, 8.0), (0.5, 25.0), (0.5, -1.0)])
def test_outside_the_range(gravity, moisture):
    with pytest.raises(BuildError, match="specific gravity"):
        k(gravity, moisture)
