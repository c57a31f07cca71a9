"""Shelf holes, screws, kerfs and coverage against facts of the trade.

32 mm system: trade articles (text read); pocket screws: jig makers' charts (text read);
finish: makers' coverage statements (text read); screw gauge: ASME B18.6.1 (from memory);
kerfs, imperial pins: common practice, no source; the rest from memory.
"""

from functools import partial

import pytest

from kit import cutters, hardware
from kit.sources import source
from published import Figure, by, each, held

IN = 25.4
PIN = hardware.shelf_pin("pin-5")

FT2_PER_QT = 0.3048**2 / 0.946352946  # m² per litre

# stock mm: length in
POCKET_SCREWS = [
    ("1/2 in", 1 / 2 * IN, 1.0),
    ("15/32 in, sold as 1/2 in", 15 / 32 * IN, 1.0),
    ("3/4 in", 3 / 4 * IN, 1.25),
    ("23/32 in, sold as 3/4 in", 23 / 32 * IN, 1.25),
    ("1 in", 1 * IN, 1.5),
    ("1 1/4 in", 1.25 * IN, 1.5),
    ("1 1/2 in", 1.5 * IN, 2.5),
]
METRIC_POCKET_SCREWS = [("12 mm", 12.0, 1.0), ("18 mm", 18.0, 1.25)]  # 25 and 32 mm

# ft² per quart
COVERAGE = [
    ("varnish-oil", 125, 175),
    ("varnish-water", 100, 150),
    ("film-coat", 300 / 4, 600 / 4),  # 300 to 600 ft² per gallon
    ("oil-sealer", 3200 / 4, 4000 / 4),
]


def pocket_screw_in(stock_mm: float) -> float:
    return hardware.pocket_screw_for(stock_mm).length_mm / IN


def pocket_screws(rows):
    for name, stock_mm, length_in in rows:
        what = f"pocket screw for stock of {name}"
        yield Figure(what, "in", length_in, partial(pocket_screw_in, stock_mm), by(1e-6))


def gauges():
    """ASME B18.6.1: diameter 0.060 + 0.013 n in."""
    seen = {}
    for kind, rows in (
        ("wood screw", hardware.wood_screws()),
        ("pocket screw", hardware.pocket_screws()),
    ):
        for row in rows.values():
            if seen.setdefault((kind, row.gauge_no), row.diameter_mm) is row.diameter_mm:
                told = (0.060 + 0.013 * row.gauge_no) * IN
                what = f"{kind} no. {row.gauge_no}, diameter"
                yield Figure(what, "mm", told, lambda r=row: r.diameter_mm, by(0.006))


def coverage():
    for key, least, most in COVERAGE:
        row = hardware.finish(key)
        yield Figure(
            f"{key}, a litre covers at least",
            "m²",
            least * FT2_PER_QT,
            lambda r=row: r.coverage_min_m2_per_l,
            by(0.06),
        )
        yield Figure(
            f"{key}, a litre covers at most",
            "m²",
            most * FT2_PER_QT,
            lambda r=row: r.coverage_max_m2_per_l,
            by(0.06),
        )
        yield Figure(f"{key}, coats", "", (2, 4), lambda r=row: r.coats)
        yield Figure(f"{key}, more for bare wood", "", (0, 0.5), lambda r=row: r.first_coat_extra)


PVA = hardware.glue("pva")
PUBLISHED = {
    source("system-32"): [
        Figure("diameter of a shelf hole", "mm", 5, lambda: PIN.hole_mm),
        Figure("from hole to hole", "mm", 32, lambda: PIN.pitch_mm),
        Figure("first row from the front edge", "mm", 37, lambda: PIN.set_back_mm),
    ],
    source("pocket-screw-chart"): [*pocket_screws(POCKET_SCREWS)],
    source("screw-gauge"): [*gauges()],
    source("finish-coverage"): [*coverage()],
    source("common-practice"): [
        Figure(
            "hole of an imperial shelf pin, 1/4 in",
            "mm",
            IN / 4,
            lambda: hardware.shelf_pin("pin-1/4").hole_mm,
        ),
        Figure(
            "kerf of a table saw, 1/8 in",
            "mm",
            IN / 8,
            lambda: cutters.saw("table-saw").kerf_mm,
            by(1e-5),
        ),
        Figure("kerf of a track saw", "mm", 2.2, lambda: cutters.saw("track-saw").kerf_mm),
        Figure(
            "dado set, narrowest, 1/4 in",
            "mm",
            IN / 4,
            lambda: cutters.saw("dado-set").kerf_mm,
            by(0.006),
        ),
        Figure(
            "dado set, widest, 13/16 in",
            "mm",
            IN * 13 / 16,
            lambda: cutters.saw("dado-set").kerf_max_mm,
            by(0.006),
        ),
    ],
    source("memory"): [
        *pocket_screws(METRIC_POCKET_SCREWS),
        Figure("a shelf hole is at least so deep", "mm", 10, lambda: PIN.hole_depth_min_mm),
        Figure("a shelf hole is at most so deep", "mm", 13, lambda: PIN.hole_depth_max_mm),
        Figure("PVA on one face, least", "g/m²", 150, lambda: PVA.spread_min_g_m2),
        Figure("PVA on one face, most", "g/m²", 200, lambda: PVA.spread_max_g_m2),
        Figure("PVA in clamps, least", "min", 30, lambda: PVA.clamp_min_minutes),
        Figure("PVA in clamps, most", "min", 60, lambda: PVA.clamp_max_minutes),
        *(
            # sold as '2 inch', the first is 50 mm: an account
            Figure(
                f"hole for a liner of {size} mm",
                "mm",
                size,
                lambda size=size: hardware.grommet(f"grommet-{size}").hole_mm,
            )
            for size in (50, 60, 80)
        ),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


def test_shelf_pins_have_a_drill():
    assert cutters.cutter(PIN.cutter).name == "5 mm brad-point drill"


@pytest.mark.parametrize("row", hardware.wood_screws().values(), ids=hardware.wood_screws())
def test_screw_gauge(row):
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


def test_two_halves_never_come_from_a_sheet():
    # builders' account: 2 x 24 in never come from 48 in, 2 x 23 7/8 in just do
    kerf_mm = cutters.saw("table-saw").kerf_mm
    assert 2 * 24 * IN + kerf_mm > 48 * IN
    assert 2 * 23.875 * IN + kerf_mm < 48 * IN
