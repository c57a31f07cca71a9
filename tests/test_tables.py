"""The data tables: every row is whole, sourced and in order; a bad table says where."""

import csv
import re
from collections.abc import Callable, Mapping
from dataclasses import FrozenInstanceError, dataclass, fields, replace
from enum import Enum
from itertools import pairwise
from math import nan
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit import cabling, cutters, gear, hardware, materials, media
from kit.checks.strength import creep, joints
from kit.errors import BuildError, TableError, UnitError
from kit.sources import Kind, Seen, SourceKeys, all_sources, citations, source
from kit.tables import Positive, data_file, read_table

TABLES: dict[str, Callable[[], Mapping]] = {
    "sheet_sizes.csv": materials.sheet_sizes,
    "sheet_goods.csv": materials.sheet_goods,
    "woods.csv": materials.woods,
    "lumber.csv": materials.lumbers,
    "cutters.csv": cutters.cutters,
    "saws.csv": cutters.saws,
    "wood_screws.csv": hardware.wood_screws,
    "pocket_screws.csv": hardware.pocket_screws,
    "shelf_pins.csv": hardware.shelf_pins,
    "grommets.csv": hardware.grommets,
    "fittings.csv": hardware.fittings,
    "fans.csv": hardware.fan_kinds,
    "edgings.csv": hardware.edgings,
    "finishes.csv": hardware.finishes,
    "glues.csv": hardware.glues,
    "connectors.csv": cabling.connectors,
    "gear.csv": gear.gear_kinds,
    "clearances.csv": gear.clearances,
    "cables.csv": cabling.cables,
    "media.csv": media.media_kinds,
    "creep.csv": creep.creeps,
    "joint_stiffness.csv": joints.joint_stiffnesses,
}
UNITS = ("mm", "kg", "w", "c", "mpa", "kg_m3", "kg_m", "kg_l", "g_m2", "m2_per_l", "minutes")
UNITS += ("ratio", "nm_per_rad_m")
BARE = {"bend_factor", "first_coat_extra"}  # ratios
every_table = pytest.mark.parametrize("name", TABLES)


def test_every_table_of_the_kit_is_tested():
    shipped = {file.name for file in data_file("").iterdir() if file.name.endswith(".csv")}
    assert shipped == set(TABLES)


@every_table
def test_every_row_names_sources_that_exist(name):
    for row in TABLES[name]().values():
        columns = [f.name for f in fields(row) if f.name.endswith("source")]
        assert columns, row
        for column in columns:
            keys = getattr(row, column)
            if column == "clear_source":
                asked = (row.clear_side_mm, row.clear_top_mm, row.clear_back_mm)
                assert bool(keys) == any(value is not None for value in asked), row.key
            else:
                assert keys, (row.key, column)
            assert set(keys) <= set(all_sources())


@every_table
def test_every_number_carries_its_unit_in_the_header(name):
    rows = TABLES[name]()
    for row in rows.values():
        for field in fields(row):
            if isinstance(getattr(row, field.name), float) and field.name not in BARE:
                assert field.name.endswith(tuple(f"_{unit}" for unit in UNITS)), field.name


@every_table
def test_least_typical_and_greatest_ascend(name):
    for row in TABLES[name]().values():
        for field in fields(row):
            match = re.fullmatch(r"(.+)_min_(\w+)", field.name)
            if match is None:
                continue
            stem, unit = match.groups()
            least = getattr(row, field.name)
            greatest = getattr(row, f"{stem}_max_{unit}")
            typical = getattr(row, f"{stem}_{unit}", least)
            if least is not None:
                assert least <= typical <= greatest, (row.key, stem)


@every_table
def test_no_row_is_lost_between_file_and_mapping(name):
    with data_file(name).open(encoding="utf-8") as file:
        assert [line["key"] for line in csv.DictReader(file)] == list(TABLES[name]())


def test_rows_and_tables_cannot_be_changed():
    with pytest.raises(FrozenInstanceError):
        materials.sheet_good("walnut-ply-3/4").thickness_mm = 19.05  # type: ignore[misc]
    with pytest.raises(TypeError):
        materials.sheet_goods()["walnut-ply-3/4"] = None  # type: ignore[index]


# --- the reader on tables of our own -------------------------------------------------


class Shade(Enum):
    LIGHT = "light"
    DARK = "dark"


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    key: str
    shade: Shade
    size_mm: Positive
    size_min_mm: Positive | None = None
    size_max_mm: Positive | None = None
    count: int | None = None
    flat: bool = False
    source: SourceKeys


HEADER = "key,shade,size_mm,size_min_mm,size_max_mm,count,flat,source\n"


def slips(folder: Path, text: str) -> Mapping[str, Slip]:
    file = folder / "slips.csv"
    file.write_text(text, encoding="utf-8")
    return read_table(Slip, file)


def test_a_row_is_read_with_its_types(tmp_path):
    rows = slips(tmp_path, HEADER + "a,dark,1.5,1,2,3,yes,memory demo\nb,light,2,,,,,demo\n")
    assert rows["a"] == Slip(
        key="a",
        shade=Shade.DARK,
        size_mm=1.5,
        size_min_mm=1.0,
        size_max_mm=2.0,
        count=3,
        flat=True,
        source=("memory", "demo"),
    )
    assert rows["b"].size_min_mm is None
    assert rows["b"].count is None


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("key,shade\n", ["slips.csv", "missing: size_mm", "source"]),
        ("", ["slips.csv", "header"]),
        (HEADER.replace("size_mm", "size", 1), ["slips.csv", "unknown: size"]),
        (HEADER + "a,dark,wide,,,,,demo\n", ["slips.csv", "row a", "column size_mm", "'wide'"]),
        (HEADER + "a,dark,-2,,,,,demo\n", ["row a", "column size_mm", "'-2'"]),
        (HEADER + "a,dark,nan,,,,,demo\n", ["row a", "column size_mm", "'nan'"]),
        (HEADER + "a,dark,,,,,,demo\n", ["row a", "column size_mm", "required"]),
        (HEADER + "a,pale,2,,,,,demo\n", ["row a", "column shade", "'pale'", "light"]),
        (HEADER + "a,dark,2,,,1.5,,demo\n", ["row a", "column count", "'1.5'"]),
        (HEADER + "a,dark,2,,,,maybe,demo\n", ["row a", "column flat", "'maybe'"]),
        (HEADER + "a,dark,2,,,,,\n", ["row a", "column source"]),
        (HEADER + "a,dark,2,,,,,hearsay\n", ["row a", "column source", "'hearsay'"]),
        (HEADER + "a,dark,2,,,,,demo hearsay\n", ["row a", "column source", "'hearsay'"]),
        (HEADER + "a,dark,2,3,4,,,demo\n", ["row a", "column size_min_mm", "3", "size_mm = 2"]),
        (HEADER + "a,dark,2,1,1.5,,,demo\n", ["row a", "column size_mm", "size_max_mm = 1.5"]),
        (HEADER + "a,dark,2,,,,,demo\na,dark,3,,,,,demo\n", ["row a", "twice"]),
        (HEADER + "a,dark,2,,,,,demo,more\n", ["row a", "line 2", "9 cells", "8 columns"]),
        (HEADER + ",dark,2,,,,,demo\n", ["column key", "required"]),
    ],
)
def test_a_malformed_table_says_where_and_what(tmp_path, text, told):
    with pytest.raises(TableError) as caught:
        slips(tmp_path, text)
    for part in told:
        assert part in str(caught.value)


def test_a_missing_table_is_a_table_error(tmp_path):
    with pytest.raises(TableError, match=r"absent\.csv cannot be read"):
        read_table(Slip, tmp_path / "absent.csv")


# --- sources ---------------------------------------------------------------------------


def test_the_honest_keys_say_that_nothing_was_read():
    assert source("memory").kind is Kind.MEMORY
    assert source("common-practice").kind is Kind.COMMON_PRACTICE
    assert source("demo").kind is Kind.DEMO
    for key in ("memory", "common-practice", "computed", "demo"):
        assert source(key).seen is not Seen.TEXT


def test_a_citation_tells_title_year_page_and_how_it_was_seen():
    text = citations(["wood-handbook", "en-315"])
    assert "FPL-GTR-190, centennial edition, 2010, Table 12-1 (handbook; text read)" in text
    assert text.endswith("(standard; from memory)")


def test_an_unknown_source_offers_the_nearest():
    with pytest.raises(TableError, match="wood-handbook"):
        source("wood-hand-book")


# --- materials -------------------------------------------------------------------------


def test_sheet_goods_and_lumber_share_no_key():
    assert not set(materials.sheet_goods()) & set(materials.lumbers())


@pytest.mark.parametrize("key", [*materials.sheet_goods(), *materials.lumbers()])
def test_unmeasured_stock_is_typical_and_says_so(key):
    stock = materials.stock(key)
    row = materials.material(key)
    assert not stock.measured
    assert stock.thickness_min_mm == stock.thickness_mm == stock.thickness_max_mm
    assert stock.thickness_mm == row.thickness_mm
    assert bool(stock.sheet_sizes) == isinstance(row, materials.SheetGood)
    assert row.nominal in stock.label


def test_caliper_readings_give_least_mean_and_greatest():
    stock = materials.stock("walnut-ply-3/4", [18.0, 18.4, 18.3])
    assert stock.measured
    assert (stock.thickness_min_mm, stock.thickness_max_mm) == (18.0, 18.4)
    assert stock.thickness_mm == pytest.approx(54.7 / 3)


@given(st.lists(st.floats(16.5, 20.4), min_size=1, max_size=9))
def test_mean_thickness_lies_within_the_readings(readings):
    stock = materials.stock("walnut-ply-3/4", readings)
    assert stock.thickness_min_mm <= stock.thickness_mm <= stock.thickness_max_mm
    assert (stock.thickness_min_mm, stock.thickness_max_mm) == (min(readings), max(readings))


@pytest.mark.parametrize(
    ("key", "reading_mm", "told"),
    [
        ("walnut-ply-3/4", 0.703, r"""write "0\.703 in"\."""),
        ("walnut-ply-3/4", 12.0, r"16\.4 and 20\.6 mm"),
        ("birch-ply-4", 5.2, "measure again"),
        ("walnut-ply-3/4", nan, "measure again"),
        ("walnut-lipping-1/4", 25.4, "3.0 and 12.0 mm"),
    ],
)
def test_an_impossible_reading_is_refused(key, reading_mm, told):
    with pytest.raises(TableError, match=told):
        materials.stock(key, [reading_mm])


@pytest.mark.parametrize(
    ("key", "reading_mm"),
    [
        # builders' accounts, each from a sheet that was really bought
        ("walnut-ply-3/4", 0.703 * 25.4),
        ("walnut-ply-3/4", 0.755 * 25.4),
        ("walnut-ply-3/4", 21 / 32 * 25.4),
        ("walnut-ply-1/2", 11.8),
        ("walnut-ply-1/4", 5.2),
        ("baltic-birch-18", 17.3),
    ],
)
def test_a_real_sheet_is_not_refused(key, reading_mm):
    assert materials.stock(key, [reading_mm]).measured


def test_lumber_serves_as_stock_at_the_thickness_it_was_planed_to():
    stock = materials.stock("walnut-lipping-1/4", [7])
    assert stock.thickness_mm == 7.0
    assert stock.grained
    assert stock.e_along_mpa > 5 * stock.e_across_mpa


def test_an_unknown_material_offers_the_nearest():
    with pytest.raises(TableError, match="walnut-ply-3/4"):
        materials.stock("walnut-ply-34")


@pytest.mark.parametrize("bad", [(0, 1.4, 1.1), (2, 1.4, 1.1), (4, 1.4, 1.1), (5, 0, 1.1)])
def test_a_panel_that_cannot_be_laid_up_is_refused(bad):
    with pytest.raises(BuildError, match="odd number of plies"):
        materials.cross_ply_modulus(*bad)


# --- cutters and hardware ---------------------------------------------------------------


def test_the_liner_sold_as_2_inch_is_bored_at_50_mm():
    liner = hardware.grommet("grommet-50")
    assert liner.hole_mm == 50.0
    assert cutters.cutter(liner.cutter).diameter_mm == 50.0
    assert cutters.boring_cutter(50.8, 18.0).key == "forstner-2"


@pytest.mark.parametrize("row", [*hardware.grommets().values(), *hardware.shelf_pins().values()])
def test_every_hole_has_the_diameter_of_its_cutter(row):
    assert cutters.cutter(row.cutter).diameter_mm == row.hole_mm
    assert cutters.boring_cutter(row.hole_mm).diameter_mm == row.hole_mm


@pytest.mark.parametrize("row", hardware.fittings().values(), ids=hardware.fittings())
def test_every_fitting_is_bored_by_its_cutter_to_its_depth(row):
    tool = cutters.cutter(row.cutter)
    assert tool.diameter_mm == row.hole_mm
    assert tool.depth_max_mm >= row.hole_depth_mm


@pytest.mark.parametrize("row", hardware.wood_screws().values(), ids=hardware.wood_screws())
def test_pilot_screw_and_clearance_hole_ascend(row):
    pilot = cutters.cutter(row.pilot_cutter).diameter_mm
    assert pilot < row.diameter_mm < cutters.cutter(row.clearance_cutter).diameter_mm


def test_a_hole_no_cutter_makes_names_the_nearest():
    with pytest.raises(TableError, match="nearest is 50 mm"):
        cutters.boring_cutter(50.3)
    with pytest.raises(TableError, match="none reaches that depth"):
        cutters.boring_cutter(5.0, 500.0)


@given(st.floats(3.2, 40.0))
def test_a_straight_bit_is_never_wider_than_its_groove(width_mm):
    bit = cutters.straight_bit(width_mm)
    wider = [
        row.diameter_mm
        for row in cutters.cutters().values()
        if row.kind is bit.kind and row.diameter_mm > bit.diameter_mm
    ]
    assert bit.diameter_mm <= width_mm
    assert all(diameter > width_mm for diameter in wider)


def test_a_groove_too_narrow_or_too_deep_for_any_bit_is_refused():
    for width_mm, depth_mm in ((2.0, 3.0), (18.0, 90.0)):
        with pytest.raises(TableError, match="No straight router bit"):
            cutters.straight_bit(width_mm, depth_mm)


@pytest.mark.parametrize("thread", hardware.Thread)
def test_pocket_screws_leave_no_gap_in_their_range(thread):
    rows = [row for row in hardware.pocket_screws().values() if row.thread is thread]
    for row, after in pairwise(rows):
        assert row.stock_max_mm == after.stock_min_mm
        assert row.length_mm < after.length_mm
    assert hardware.pocket_screw_for(rows[0].stock_min_mm, thread) == rows[0]
    for outside_mm in (rows[0].stock_min_mm - 0.1, rows[-1].stock_max_mm):
        with pytest.raises(TableError, match="pocket screw suits stock"):
            hardware.pocket_screw_for(outside_mm, thread)


def test_finish_and_glue_are_bought_on_the_safe_side():
    # common practice, no source: 4 m² at 10 m²/L, two coats and half a coat for bare wood
    plain = replace(
        hardware.finish("film-coat"),
        coats=2,
        coverage_min_m2_per_l=10.0,
        coverage_m2_per_l=11.0,
        first_coat_extra=0.5,
    )
    assert plain.litres(4.0) == pytest.approx(1.0)
    assert hardware.glue("pva").litres(1.0) == pytest.approx(0.2 / 1.1)


# --- gear -----------------------------------------------------------------------------


def test_a_cable_takes_plug_radius_and_itself_behind_the_panel():
    plug = replace(
        cabling.connector("ethernet"), plug_length_mm=37.0, cable_od_mm=6.0, bend_factor=4.0
    )
    assert plug.bend_radius_mm == 24.0
    assert plug.depth_mm == 37.0 + 24.0 + 6.0
    assert replace(plug, exit=cabling.Exit.RIGHT_ANGLE).depth_mm == 37.0


@pytest.mark.parametrize("row", gear.gear_kinds().values(), ids=gear.gear_kinds())
def test_gear_draws_more_the_harder_it_works(row):
    watts = (row.standby_w, row.idle_w, row.typical_w, row.plate_w)
    assert list(watts) == sorted(watts)
    assert row.feet_mm is None or row.feet_mm < row.height_mm
    assert all(cabling.connector(key) for key in row.plugs)


def test_lax_asks_no_more_than_strict():
    lax, strict = gear.clearance("lax"), gear.clearance("strict")
    assert lax.side_mm <= strict.side_mm
    assert lax.top_mm < strict.top_mm
    assert lax.back_mm < strict.back_mm


def test_a_rack_of_no_units_is_refused():
    with pytest.raises(UnitError, match="0 U"):
        gear.rack_height_mm(0)


def test_the_buy_list_and_the_setting_name_one_cutter() -> None:
    """A 50 mm hole once wanted a hole saw in the buy list and a Forstner bit at the machine."""
    for row in hardware.grommets().values():
        assert cutters.boring_cutter(row.hole_mm, 18.0) == cutters.cutter(row.cutter), row.key
