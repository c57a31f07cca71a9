"""Stiffness of plywood and wood against handbooks.

Sources: Handbook of Finnish Plywood, mean bending moduli of birch plywood (from memory,
every entry reproduced by layer theory); Wood Handbook Table 12-1 (text read) and Table
5-3a (second hand); Architectural Woodwork Standards 2009 p. 279 (text read).
"""

import pytest

from kit import materials
from kit.checks.strength import layup

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


@pytest.mark.parametrize(("plies", "mean_mm", "along", "across"), HANDBOOK.values(), ids=HANDBOOK)
def test_cross_plies_give_the_handbook_table(plies, mean_mm, along, across):
    assert (plies - 2) * 1.4 + 2 * 1.1 == pytest.approx(mean_mm)
    assert materials.cross_ply_modulus(plies, 1.4, 1.1) == pytest.approx((along, across), abs=1.0)


@pytest.mark.parametrize("nominal", ["4", "6.5", "9", "12", "15", "18", "21", "24"])
def test_birch_sheets_carry_the_handbook_stiffness(nominal):
    row = materials.sheet_good(f"birch-ply-{nominal}")
    plies, mean_mm, along, across = HANDBOOK[nominal]
    assert (row.plies, row.thickness_mm) == (plies, mean_mm)
    assert (row.e_along_mpa, row.e_across_mpa) == (along, across)
    assert row.density_kg_m3 == 680


def test_eighteen_millimetre_birch_is_a_third_stiffer_along():
    # design point worked from the handbook: 35 %
    row = materials.sheet_good("birch-ply-18")
    assert row.e_along_mpa / row.e_across_mpa == pytest.approx(1.35, abs=0.005)


def test_limits_of_layer_theory():
    # three plies: across is the core alone, (core / total)³
    along, across = materials.cross_ply_modulus(3, 2.0, 1.0, 8000.0)
    assert across == pytest.approx(8000 * (2 / 4) ** 3)
    assert along + across == pytest.approx(8000)
    # very many plies: both directions share alike
    along, across = materials.cross_ply_modulus(401, 1.0, 1.0, 1.0)
    assert along == pytest.approx(across, abs=0.01)


@pytest.mark.parametrize(
    ("prefix", "least_mpa", "greatest_mpa"),
    [
        ("softwood-ply", 6960, 8550),
        ("walnut-ply", 6960, 8550),
        ("mdf", 3590, 3590),
        ("particleboard", 2760, 4140),
        ("hardboard", 3100, 5520),
    ],
)
def test_panels_lie_in_the_wood_handbook_range(prefix, least_mpa, greatest_mpa):
    rows = [row for key, row in materials.sheet_goods().items() if key.startswith(prefix)]
    assert rows
    for row in rows:
        assert least_mpa <= row.e_along_mpa <= greatest_mpa


def test_veneer_core_plywood_reaches_down_to_the_woodwork_standard():
    # 950,000 psi for veneer core plywood: Architectural Woodwork Standards 2009
    assert materials.sheet_good("maple-ply-3/4").e_along_min_mpa == pytest.approx(
        950_000 * 6894.757e-6, abs=1
    )


@pytest.mark.parametrize(
    ("key", "gpa", "specific_gravity"),
    [
        ("yellow-birch", 13.9, 0.62),  # Table 5-3a, second hand
        ("red-maple", 11.3, 0.54),  # Table 12-1, text read
        ("hard-maple", 12.6, 0.63),  # from memory
        ("cherry", 10.3, 0.50),  # Table 5-3a: 1.49 Mpsi, second hand
    ],
)
def test_solid_wood(key, gpa, specific_gravity):
    row = materials.wood(key)
    assert row.e_along_mpa / 1000 == pytest.approx(gpa, abs=0.05)
    # specific gravity is oven-dry mass on volume at 12 %, so density is 1.12 times it
    assert row.density_kg_m3 == pytest.approx(1120 * specific_gravity, abs=1)


def test_red_oak_as_the_woodwork_standard_has_it():
    # 1,820,000 psi for solid red oak: Architectural Woodwork Standards 2009
    assert materials.wood("red-oak").e_along_mpa == pytest.approx(1_820_000 * 6894.757e-6, abs=1)


@pytest.mark.parametrize(("plies", "mean_mm", "along", "across"), HANDBOOK.values(), ids=HANDBOOK)
def test_the_strength_check_reads_the_handbook_table(plies, mean_mm, along, across):
    assert layup.birch_moduli(plies) == pytest.approx((along, across), abs=1.0)
    # in tension each way counts its own plies
    assert sum(layup.birch_axial(plies)) == pytest.approx(17500)


@pytest.mark.parametrize("nominal", ["4", "6.5", "9", "12", "15", "18", "21", "24"])
def test_boards_of_birch_are_as_stiff_as_the_handbook_says(nominal):
    _, _, along, across = HANDBOOK[nominal]
    key = f"birch-ply-{nominal}"
    assert layup.modulus(key, along=True).typical_mpa == pytest.approx(along, abs=1.0)
    assert layup.modulus(key, along=False).typical_mpa == pytest.approx(across, abs=1.0)
