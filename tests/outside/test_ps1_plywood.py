"""Thickness, size and mass of sheets against the standards and the mills.

Sources: US Voluntary Product Standard PS 1 as reprinted by the trade association (text
read); birch plywood mills' sanded tolerances (text read); GB/T 9846 (text read; EN 315
has the same formula, from memory); HP-1 hardwood plywood +0 -3/64 in (from memory).
"""

import pytest

from kit import materials

IN = 25.4

# label in inches: (least, greatest) mm, unsanded and touch-sanded, PS 1
PS_1 = {
    1 / 4: (5.56, 7.14),
    11 / 32: (7.94, 9.53),
    3 / 8: (8.73, 10.32),
    15 / 32: (11.11, 12.70),
    1 / 2: (11.91, 13.49),
    19 / 32: (14.29, 15.88),
    5 / 8: (15.08, 16.67),
    23 / 32: (17.46, 19.05),
    3 / 4: (18.26, 19.84),
    1: (24.13, 26.67),
}


@pytest.mark.parametrize(("label_in", "published"), PS_1.items())
def test_the_published_range_is_one_32nd_or_five_percent(label_in, published):
    # PS 1: +-1/32 in up to 13/16 in, +-5 % above; guards the typing of the table above
    play = IN / 32 if label_in <= 13 / 16 else 0.05 * label_in * IN
    assert published == pytest.approx((label_in * IN - play, label_in * IN + play), abs=0.006)


@pytest.mark.parametrize(
    ("key", "label_in"),
    [
        ("softwood-ply-1/4", 1 / 4),
        ("softwood-ply-15/32", 15 / 32),
        ("softwood-ply-23/32", 23 / 32),
    ],
)
def test_softwood_plywood_has_the_range_of_ps_1(key, label_in):
    row = materials.sheet_good(key)
    assert (row.thickness_min_mm, row.thickness_max_mm) == PS_1[label_in]
    assert row.thickness_mm == pytest.approx(label_in * IN, abs=0.006)


@pytest.mark.parametrize("wood", ["walnut", "maple", "white-oak", "cherry"])
@pytest.mark.parametrize(
    ("nominal", "nominal_in", "actual_in"),
    [("1/2", 1 / 2, 15 / 32), ("3/4", 3 / 4, 23 / 32), ("1", 1, None)],
)
def test_hardwood_plywood_measures_less_than_its_name(wood, nominal, nominal_in, actual_in):
    row = materials.sheet_good(f"{wood}-ply-{nominal}")
    assert row.nominal_mm == pytest.approx(nominal_in * IN)
    # HP-1, from memory: +0, -3/64 in
    least_mm = (nominal_in - 3 / 64) * IN
    assert row.thickness_min_mm == pytest.approx(least_mm, abs=0.006)
    assert row.thickness_max_mm == pytest.approx(nominal_in * IN)
    if actual_in is not None:  # what is sold as 3/4 in is a 23/32 in panel, of PS 1's range
        least, greatest = PS_1[actual_in]
        assert least <= row.thickness_mm <= greatest
        assert row.thickness_mm == pytest.approx(actual_in * IN, abs=0.006)


def test_a_quarter_inch_sheet_is_within_what_is_sold():
    # usual actual thickness of '1/4 in' ply 5.2 to 6.5 mm; from memory
    assert 5.2 <= materials.sheet_good("walnut-ply-1/4").thickness_mm <= 6.5


# nominal mm: (minus, plus) mm, birch mills, sanded
MILLS = {
    4: (0.5, 0.3),
    6.5: (0.5, 0.4),
    9: (0.5, 0.4),
    12: (0.7, 0.5),
    15: (0.8, 0.6),
    18: (0.9, 0.7),
    21: (1.0, 0.8),
    24: (1.1, 0.9),
}


@pytest.mark.parametrize(("nominal_mm", "play"), MILLS.items())
def test_birch_plywood_has_the_tolerance_of_the_mills(nominal_mm, play):
    row = materials.sheet_good(f"birch-ply-{nominal_mm:g}")
    minus, plus = play
    assert row.nominal_mm == nominal_mm
    assert row.thickness_min_mm == pytest.approx(nominal_mm - minus)
    assert row.thickness_max_mm == pytest.approx(nominal_mm + plus)


@pytest.mark.parametrize("nominal_mm", MILLS)
def test_the_mills_keep_within_the_formula_of_the_standard(nominal_mm):
    # GB/T 9846, sanded: +(0.2 + 0.03 t) and -(0.4 + 0.03 t); mills round to 0.1 mm
    row = materials.sheet_good(f"birch-ply-{nominal_mm:g}")
    assert row.thickness_max_mm - nominal_mm <= 0.2 + 0.03 * nominal_mm + 0.05
    assert nominal_mm - row.thickness_min_mm <= 0.4 + 0.03 * nominal_mm + 0.05


def test_sheet_sizes_of_the_trade():
    # 48 x 96 in, +0 -1/16 in: PS 1; 1220 +-3 by 2440 +-4: mills; 60 in = 1525: memory
    panel = materials.sheet_size("48x96-in")
    assert (panel.width_mm, panel.length_mm) == pytest.approx((48 * IN, 96 * IN))
    assert panel.plus_mm == 0
    assert panel.minus_mm == pytest.approx(IN / 16, abs=0.02)
    mill = materials.sheet_size("1220x2440")
    assert (mill.width_mm, mill.length_mm) == (1220, 2440)
    assert 3 <= mill.minus_mm <= 4
    assert materials.sheet_size("1525x1525").width_mm == pytest.approx(60 * IN, abs=3)


@pytest.mark.parametrize(
    ("key", "size", "thickness_mm", "mass_kg"),
    [
        ("baltic-birch-12", "1525x1525", 12.0, 18.98),
        ("baltic-birch-18", "1525x1525", 18.0, 28.47),
        ("birch-ply-18", "1220x2440", 18.0, 36.44),
        ("birch-ply-12", "1220x2440", 12.0, 24.29),
        ("baltic-birch-6", "1220x2440", 5.2, 10.53),
    ],
)
def test_mass_of_a_birch_sheet(key, size, thickness_mm, mass_kg):
    # 680 kg/m³ (mean, Finnish handbook, from memory) times the volume, worked by hand
    stock = materials.stock(key, [thickness_mm])
    mass = materials.sheet_mass_kg(stock, materials.sheet_size(size))
    assert mass == pytest.approx(mass_kg, abs=0.006)


def test_a_hardwood_plywood_sheet_weighs_what_two_people_carry():
    # common practice, no source: a 3/4 in 4 x 8 ft hardwood plywood sheet weighs 60 to 80 lb
    stock = materials.stock("walnut-ply-3/4")
    mass = materials.sheet_mass_kg(stock, stock.sheet_sizes[0])
    assert 60 * 0.45359237 <= mass <= 80 * 0.45359237
