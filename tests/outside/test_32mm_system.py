"""Shelf holes, screws, kerfs and coverage against facts of the trade.

Sources beside each check. 32 mm system: trade articles (text read); pocket screws: jig
makers' charts (text read); finish: makers' coverage statements (text read).
"""

import pytest

from kit import cutters, hardware

IN = 25.4


def test_the_32_mm_system():
    # 5 mm holes, 32 mm apart, first row 37 mm from the front: trade articles
    pin = hardware.shelf_pin("pin-5")
    assert (pin.hole_mm, pin.pitch_mm, pin.set_back_mm) == (5, 32, 37)
    # 10 to 13 mm deep: from memory
    assert (pin.hole_depth_min_mm, pin.hole_depth_max_mm) == (10, 13)
    assert cutters.cutter(pin.cutter).name == "5 mm brad-point drill"


def test_the_imperial_pin():
    # common practice, no source: 1/4 in hole
    assert hardware.shelf_pin("pin-1/4").hole_mm == pytest.approx(IN / 4)


@pytest.mark.parametrize(
    ("stock_mm", "length_in"),
    [
        (1 / 2 * IN, 1.0),
        (15 / 32 * IN, 1.0),  # what is sold as 1/2 in
        (3 / 4 * IN, 1.25),
        (23 / 32 * IN, 1.25),  # what is sold as 3/4 in
        (1 * IN, 1.5),
        (1.25 * IN, 1.5),
        (1.5 * IN, 2.5),
        (12.0, 1.0),  # 25 mm: from memory
        (18.0, 1.25),  # 32 mm: from memory
    ],
)
def test_pocket_screw_length(stock_mm, length_in):
    assert hardware.pocket_screw_for(stock_mm).length_mm == pytest.approx(length_in * IN)


@pytest.mark.parametrize("row", hardware.wood_screws().values(), ids=hardware.wood_screws())
def test_screw_gauge(row):
    # ASME B18.6.1, from memory: diameter 0.060 + 0.013 n in
    assert row.diameter_mm == pytest.approx((0.060 + 0.013 * row.gauge_no) * IN, abs=0.006)


@pytest.mark.parametrize("row", hardware.pocket_screws().values(), ids=hardware.pocket_screws())
def test_pocket_screw_gauge(row):
    assert row.diameter_mm == pytest.approx((0.060 + 0.013 * row.gauge_no) * IN, abs=0.006)


def inches(label: str) -> float:
    """The inch size that starts a label such as '1-3/8 in'."""
    whole, _, fraction = label.removesuffix(" in").rpartition("-")
    top, _, bottom = fraction.partition("/")
    return int(whole or 0) + int(top) / int(bottom or 1)


@pytest.mark.parametrize("row", cutters.cutters().values(), ids=cutters.cutters())
def test_every_cutter_has_the_diameter_of_its_name(row):
    if row.label.endswith(" in"):
        assert row.diameter_mm == pytest.approx(inches(row.label) * IN, abs=0.006)
    else:
        assert row.diameter_mm == float(row.label.split()[0])


def test_kerfs():
    # common practice, no source: 1/8 in table saw, 2.2 mm track saw, dado 1/4 to 13/16 in
    assert cutters.saw("table-saw").kerf_mm == pytest.approx(IN / 8)
    assert cutters.saw("track-saw").kerf_mm == 2.2
    dado = cutters.saw("dado-set")
    assert (dado.kerf_mm, dado.kerf_max_mm) == pytest.approx((IN / 4, IN * 13 / 16), abs=0.006)


def test_two_halves_never_come_from_a_sheet():
    # builders' account: 2 x 24 in never come from 48 in, 2 x 23 7/8 in just do
    kerf_mm = cutters.saw("table-saw").kerf_mm
    assert 2 * 24 * IN + kerf_mm > 48 * IN
    assert 2 * 23.875 * IN + kerf_mm < 48 * IN


FT2_PER_QT = 0.3048**2 / 0.946352946  # m² per litre


@pytest.mark.parametrize(
    ("key", "least", "greatest"),
    [
        ("varnish-oil", 125, 175),  # ft² per quart
        ("varnish-water", 100, 150),
        ("film-coat", 300 / 4, 600 / 4),  # 300 to 600 ft² per gallon
        ("oil-sealer", 3200 / 4, 4000 / 4),
    ],
)
def test_finish_coverage(key, least, greatest):
    row = hardware.finish(key)
    assert row.coverage_min_m2_per_l == pytest.approx(least * FT2_PER_QT, abs=0.06)
    assert row.coverage_max_m2_per_l == pytest.approx(greatest * FT2_PER_QT, abs=0.06)
    assert 2 <= row.coats <= 4
    assert row.first_coat_extra <= 0.5


def test_glue_spread():
    # PVA 150 to 200 g/m² on one face, 30 to 60 min in clamps: from memory
    row = hardware.glue("pva")
    assert (row.spread_min_g_m2, row.spread_max_g_m2) == (150, 200)
    assert (row.clamp_min_minutes, row.clamp_max_minutes) == (30, 60)


def test_liners_have_metric_holes():
    # 50, 60 and 80 mm are common (from memory); sold as '2 inch' it is 50 mm (an account)
    assert [hardware.grommet(f"grommet-{size}").hole_mm for size in (50, 60, 80)] == [50, 60, 80]
