"""Stiffness of plywood and wood against handbooks.

Sources: Handbook of Finnish Plywood, mean bending moduli of birch plywood (from memory,
every entry reproduced by layer theory); Wood Handbook Table 12-1 (text read) and Table
5-3a (second hand).
"""

from collections.abc import Callable, Iterable, Iterator
from functools import partial

import pytest

from kit import materials
from kit.checks.strength import layup
from kit.sources import source
from published import Figure, by, each, farthest, held, worked

# nominal mm: plies, mean thickness mm, E along, E across (N/mm²)
HANDBOOK = {
    "4": (3, 3.6, 16471, 1029),
    "6.5": (5, 6.4, 12737, 4763),
    "9": (7, 9.2, 11395, 6105),
    "12": (9, 12.0, 10719, 6781),
    "15": (11, 14.8, 10316, 7184),
    "18": (13, 17.6, 10048, 7452),
    "21": (15, 20.4, 9858, 7642),
    "24": (17, 23.2, 9717, 7783),
    "27": (19, 26.0, 9607, 7893),
    "30": (21, 28.8, 9519, 7981),
}
SOLD = ["4", "6.5", "9", "12", "15", "18", "21", "24"]
WAYS = ("along", "across")

# family of sheets, least and greatest MPa: Wood Handbook Table 12-1
PANELS = [
    ("softwood-ply", 6960, 8550),
    ("walnut-ply", 6960, 8550),
    ("mdf", 3590, 3590),
    ("particleboard", 2760, 4140),
    ("hardboard", 3100, 5520),
]

# GPa, specific gravity, source
WOODS = {
    "yellow-birch": (13.9, 0.62, "wood-handbook-5"),  # Table 5-3a
    "red-maple": (11.3, 0.54, "wood-handbook"),  # Table 12-1
    "hard-maple": (12.6, 0.63, "memory"),
    "cherry": (10.3, 0.50, "wood-handbook-5"),  # Table 5-3a: 1.49 Mpsi
}


def mean_mm(plies: int) -> float:
    return (plies - 2) * layup.BIRCH_PLY + 2 * layup.BIRCH_FACE


def by_check(plies: int, way: int) -> float:
    return layup.birch_moduli(plies)[way]


def by_table(nominal: str, way: int) -> float:
    row = materials.sheet_good(f"birch-ply-{nominal}")
    return (row.e_along_mpa, row.e_across_mpa)[way]


def of_panels(prefix: str, pick: Callable[[Iterable[float]], float]) -> float:
    """The least or greatest modulus of all sheets of a family, MPa."""
    rows = [row for key, row in materials.sheet_goods().items() if key.startswith(prefix)]
    return pick(row.e_along_mpa for row in rows)


def rolling_mpa(pick: Callable[[Iterable[float]], float]) -> float:
    rows = [row for row in materials.sheet_goods().values() if "plywood" in row.family.value]
    return pick(row.g_rolling_mpa for row in rows)


def birch() -> Iterator[Figure]:
    for nominal, (plies, thick, *moduli) in HANDBOOK.items():
        mean = partial(mean_mm, plies)
        yield Figure(f"{nominal} mm, {plies} plies, mean thickness", "mm", thick, mean)
        for way, told in enumerate(moduli):
            ours = partial(by_check, plies, way)
            yield Figure(f"{nominal} mm, E {WAYS[way]} the face grain", "MPa", told, ours, by(1))
    densities = [materials.sheet_good(f"birch-ply-{nominal}").density_kg_m3 for nominal in SOLD]
    yield Figure("mean density", "kg/m³", 680, lambda: farthest(680, densities))


def solid(key: str) -> Iterator[Figure]:
    for wood, (gpa, gravity, told) in WOODS.items():
        if told == key:
            row = materials.wood(wood)
            yield Figure(f"{wood}, E", "GPa", gpa, lambda r=row: r.e_along_mpa / 1000, by(0.05))
            # specific gravity is oven-dry mass on volume at 12 %, so density is 1.12 times it
            name = f"{wood}, density by a specific gravity of {gravity:g}"
            yield Figure(name, "kg/m³", 1120 * gravity, lambda r=row: r.density_kg_m3, by(1))


FINNISH = source("finnish-plywood")
PUBLISHED = {
    FINNISH: [*birch()],
    worked(FINNISH): [
        Figure(
            "18 mm, E along over E across",
            "",
            1.35,
            lambda: by_table("18", 0) / by_table("18", 1),
            by(0.005),
        )
    ],
    source("wood-handbook"): [
        *(
            Figure(f"{name}, {which} E", "MPa", (least, most), partial(of_panels, name, pick))
            for name, least, most in PANELS
            for which, pick in (("least", min), ("greatest", max))
        ),
        *solid("wood-handbook"),
    ],
    source("plywood-data-page"): [
        *(
            Figure(
                f"{which} shear modulus in rolling of plywood",
                "MPa",
                (138, 207),
                partial(rolling_mpa, pick),
            )
            for which, pick in (("least", min), ("greatest", max))
        ),
        Figure("shear modulus edgewise, low end", "MPa", 586, lambda: layup.G_PLYWOOD),
    ],
    source("wood-handbook-5"): [*solid("wood-handbook-5")],
    source("memory"): [*solid("memory")],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


@pytest.mark.parametrize(("plies", "mean", "along", "across"), HANDBOOK.values(), ids=HANDBOOK)
def test_cross_plies_give_the_handbook_table(plies, mean, along, across):
    assert materials.cross_ply_modulus(plies, 1.4, 1.1) == pytest.approx((along, across), abs=1.0)


@pytest.mark.parametrize("nominal", SOLD)
def test_birch_sheets_are_as_thick_and_stiff_as_the_handbook_says(nominal):
    row = materials.sheet_good(f"birch-ply-{nominal}")
    plies, mean, *moduli = HANDBOOK[nominal]
    assert (row.plies, row.thickness_mm) == (plies, mean)
    assert [row.e_along_mpa, row.e_across_mpa] == moduli
    key = f"birch-ply-{nominal}"
    of_board = [layup.modulus(key, along=along).typical_mpa for along in (True, False)]
    assert of_board == pytest.approx(moduli, abs=1.0)


def test_limits_of_layer_theory():
    # three plies: across is the core alone, (core / total)³
    along, across = materials.cross_ply_modulus(3, 2.0, 1.0, 8000.0)
    assert across == pytest.approx(8000 * (2 / 4) ** 3)
    assert along + across == pytest.approx(8000)
    # very many plies: both directions share alike
    along, across = materials.cross_ply_modulus(401, 1.0, 1.0, 1.0)
    assert along == pytest.approx(across, abs=0.01)


@pytest.mark.parametrize("plies", [row[0] for row in HANDBOOK.values()], ids=HANDBOOK)
def test_in_tension_each_way_counts_its_own_plies(plies):
    assert sum(layup.birch_axial(plies)) == pytest.approx(17500)
