"""Facts of the trade against the kit's defaults and its example.

Sources beside each check. 'Common practice, no source' is what every shop does and nobody
publishes; 'text read' was read at the place named; 'from memory' was not looked up again.
"""

import math
import tomllib
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
from pydantic import BaseModel

from kit.board import Board
from kit.casework import Casework, build
from kit.components.back import Back
from kit.components.base import Beam
from kit.components.case import CornerPins
from kit.components.doors import Doors
from kit.components.shelf import PinHoles
from kit.design import Design, Shop
from kit.hardware import shelf_pin_of
from kit.joinery import Dado, EdgeRabbet, EndRabbet, Fit, Groove, HoleRow, PocketHoles, Trench
from kit.joinery.pocket_hole import ANGLE_DEG
from kit.materials import sheet_good, sheet_goods, stock
from kit.sources import source
from kit.tables import data_file
from kit.units import in_both
from published import NO_LESS, Figure, by, each, farthest, held, share

IN = 25.4


@pytest.fixture(scope="module")
def example() -> Casework:
    """The built-in example, straight from its file."""
    plain = tomllib.loads(data_file("example.toml").read_text(encoding="utf-8"))
    return build(Design.model_validate(plain))


def made(**tables: Any) -> Casework:
    """A case of 3/4 in plywood that measures what such plywood typically does."""
    case = {"width": "60 in", "height": "18 in", "depth": "18 in", "stock": "walnut-ply-3/4"}
    plain: dict[str, Any] = {"name": "Case", "case": {**case, **tables.pop("case", {})}}
    return build(Design.model_validate({**plain, **tables}))


def trenches(board: Board, kind: type[Trench]) -> list[Trench]:
    return [f for f in board.features if isinstance(f, kind)]


def of(spec: type[BaseModel], field: str) -> Callable[[], float]:
    """The value that a field of the design file has where nothing is given."""
    return lambda: spec.model_fields[field].default


PUBLISHED = {
    source("common-practice"): [
        Figure(
            "hardwood plywood sold as 3/4 in, 23/32 in",
            "mm",
            23 / 32 * IN,
            lambda: farthest(
                23 / 32 * IN,
                [
                    stock(f"{name}-ply-3/4").thickness_mm
                    for name in ("walnut", "maple", "white-oak", "cherry")
                ],
            ),
            by(0.01),
        ),
        # 1/32 in under the name
        *(
            Figure(
                f"walnut plywood sold as {nominal} in",
                "mm",
                told * IN,
                lambda nominal=nominal: stock(f"walnut-ply-{nominal}").thickness_mm,
                by(0.01),
            )
            for nominal, told in (("1/2", 15 / 32), ("1", 31 / 32))
        ),
        Figure(
            "a back is smaller than its rabbets, 1/16 in over all",
            "mm",
            IN / 16,
            lambda: 2 * of(Back, "slack")(),
            by(0.1),
        ),
        Figure("cross pins, 1/4 in rod", "mm", IN / 4, of(CornerPins, "diameter"), share(1e-6)),
    ],
    source("memory"): [
        Figure(
            "Baltic birch sold as 1/2 in", "mm", 12, lambda: stock("baltic-birch-12").thickness_mm
        ),
        Figure(
            "Baltic birch sold as 3/4 in",
            "mm",
            (17.3, 18.3),
            lambda: stock("baltic-birch-18").thickness_mm,
        ),
        Figure("sliding doors overlap by", "mm", (20, 40), of(Doors, "overlap")),
    ],
    source("sliding-door-article"): [
        Figure("groove wider than the door by", "mm", 2, of(Doors, "play")),
        Figure("wood between two grooves", "mm", 6, of(Doors, "land"), NO_LESS),
        Figure("depth of the upper groove", "mm", 9, of(Doors, "top_depth")),
        Figure("depth of the lower groove", "mm", 3, of(Doors, "bottom_depth")),
    ],
    source("pocket-screw-chart"): [Figure("slant of a pocket", "°", 15, lambda: ANGLE_DEG)],
    source("builders-accounts"): [
        Figure("layers larger before the trim, 1/2 in", "mm", IN / 2, of(Shop, "trim"), share(1e-6))
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


# --- thickness ------------------------------------------------------------------------


def test_what_builders_measured_is_a_possible_reading() -> None:
    # builders' accounts: 0.703 in, nearer 11/16 in, 0.724 in, 0.755 in, all
    # sold as 3/4 in plywood
    readings = [0.703 * IN, 11 / 16 * IN, 0.724 * IN, 0.755 * IN]
    for name in ("walnut-ply-3/4", "maple-ply-3/4"):
        measured = stock(name, readings)
        assert measured.thickness_max_mm == pytest.approx(0.755 * IN)


def test_a_joint_follows_the_thickest_reading_not_the_sample() -> None:
    # builder's account: dados cut to a 0.724 in sample did not take parts that ran
    # up to 0.755 in
    work = made(
        divider=[{"at": "30 in"}],
        measured={"thickness": {"walnut-ply-3/4": ["0.724 in", "0.755 in"]}},
    )
    (dado,) = trenches(work.by_name["top"], Dado)
    assert dado.width > 0.755 * IN


def test_the_example_stands_on_readings(example: Casework) -> None:
    # common practice, no source: caliper every sheet, at more than one place
    for key, readings in example.design.measured.thickness.items():
        assert len(readings) >= 2, key
        row = sheet_good(key)
        assert max(readings) < row.nominal_mm
    assert all(s.measured for s in example.stocks)


# --- joints ---------------------------------------------------------------------------


def test_a_half_inch_rabbet_in_three_quarter_stock(example: Casework) -> None:
    # common practice, no source: a corner rabbet 1/2 in deep in 3/4 in stock; true 3/4 in
    # leaves 1/4 in, and the tongue is never less than a quarter of the board
    assert example.design.case.corner_depth == pytest.approx(IN / 2)
    for name in ("side-left", "side-right"):
        side = example.by_name[name]
        for rabbet in trenches(side, EndRabbet):
            assert rabbet.depth == pytest.approx(IN / 2)
            assert side.thickness - rabbet.depth >= side.thickness / 4
            assert not list(rabbet.problems(side, in_both))
    true = made(
        case={"stock": "mdf-3/4", "corner_depth": "1/2 in"},
        measured={"thickness": {"mdf-3/4": ["3/4 in"]}},
    ).by_name["side-left"]
    left = [true.thickness - r.depth for r in trenches(true, EndRabbet)]
    assert left == pytest.approx([IN / 4] * 2)


@pytest.mark.parametrize("key", ["walnut-ply-3/4", "birch-ply-15", "walnut-ply-1", "mdf-3/4"])
def test_the_default_rabbet_leaves_a_quarter(key: str) -> None:
    # common practice, no source: leave a quarter of the board or more
    side = made(case={"stock": key}).by_name["side-left"]
    for rabbet in trenches(side, EndRabbet):
        assert side.thickness - rabbet.depth >= side.thickness / 4
        assert rabbet.width == pytest.approx(stock(key).thickness_max_mm)


def test_dados_are_a_quarter_to_a_third_deep() -> None:
    # from memory: a dado is a quarter to a third of the thickness deep, at most half
    work = made(
        case={"corner": "dado", "inset_top": "1 in"},
        divider=[{"at": "30 in"}],
        shelf=[{"bay": 1, "clear_below": "6 in"}],
    )
    found = [
        (board, dado)
        for board in work.boards
        for dado in trenches(board, Dado)
        if dado.mate != "sliding doors"
    ]
    # corners, divider in top and bottom, shelf in side and divider
    assert len(found) == 4 + 2 + 2
    for board, dado in found:
        assert board.thickness / 4 <= dado.depth <= board.thickness / 3 + 1e-9
        # from memory: as wide as the measured sheet and 0.1 to 0.2 mm
        assert 0.1 <= dado.width - work.by_name[dado.mate].stock.thickness_max_mm <= 0.2


def test_the_rabbet_for_a_back(example: Casework) -> None:
    # from memory: as wide as the back is thick, half the thickness of the case deep
    back = example.by_name["back-1"].stock
    (rabbet,) = trenches(example.by_name["side-left"], EdgeRabbet)
    assert rabbet.width == pytest.approx(back.thickness_max_mm)
    assert rabbet.depth == pytest.approx(example.by_name["side-left"].thickness / 2)


# --- sliding doors --------------------------------------------------------------------


def test_the_defaults_of_sliding_doors() -> None:
    # how wide, deep and far apart their grooves are: PUBLISHED above
    assert Doors.model_fields["play"].default == Fit.SLIDING.gap


def test_quarter_inch_doors_in_plain_grooves() -> None:
    """Liftable and captive, held against the two inequalities, not against the kit's numbers."""
    # common practice, no source: 1/8 in deep below and a little over 1/4 in above, 1/4 in doors
    work = made(
        doors={
            "stock": "hardboard-1/4",
            "bottom_depth": "1/8 in",
            "top_depth": "9/32 in",
            "lift_clearance": "1/32 in",
        },
        measured={"thickness": {"hardboard-1/4": ["1/4 in"]}},
    )
    top, bottom = work.by_name["top"], work.by_name["bottom"]
    for number in (1, 2):
        door = work.by_name[f"door-{number}"]
        opening = top.box.lo[2] - bottom.box.hi[2]
        assert door.thickness == pytest.approx(IN / 4)
        # it goes in: pushed up into the top groove it clears the bottom of the case
        assert door.length < opening + 9 / 32 * IN
        # it stays: dropped into the bottom groove it still reaches into the top one, by 2 mm
        # or more (2 to 3 mm: from memory)
        assert door.length > opening + IN / 8 + 2.0
        assert door.box.hi[2] - top.box.lo[2] >= 2.0
    for lid, depth in ((top, 9 / 32 * IN), (bottom, IN / 8)):
        grooves = trenches(lid, Groove)
        assert [g.depth for g in grooves] == pytest.approx([depth, depth])
        # the doors pass each other in their own grooves
        first, second = sorted(grooves, key=lambda g: g.offset)
        assert second.offset - (first.offset + first.width) >= 6.0


def test_the_examples_doors_lift_in_and_stay(example: Casework) -> None:
    # builders' recipe: lift clearance more than nought; engagement 2 mm or more from memory
    opening = example.frame.clear.size[2]
    doors = example.design.doors
    assert doors is not None
    for name in ("door-1", "door-2"):
        height = example.by_name[name].length
        assert opening + doors.top_depth - height > 0
        assert height - doors.bottom_depth - opening >= 2.0


# --- shelves and pins -----------------------------------------------------------------


def test_a_one_inch_shelf_is_two_half_inch_layers() -> None:
    # common practice, no source: two 1/2 in layers, glued and trimmed, make a 1 in shelf; of
    # plywood as it typically measures they make 15/16 in
    row = {"bay": 1, "clear_below": "6 in", "stock": "maple-ply-1/2", "layers": 2}
    true = made(shelf=[row], measured={"thickness": {"maple-ply-1/2": ["1/2 in"]}})
    assert true.by_name["shelf-1"].thickness == pytest.approx(1 * IN)
    typical = made(shelf=[row])
    assert typical.by_name["shelf-1"].thickness == pytest.approx(15 / 16 * IN, abs=0.02)
    assert Beam.model_fields["layers"].default == 2


def test_pin_holes_follow_the_32_mm_system() -> None:
    # text read, trade articles on the 32 mm system: 5 mm holes, 32 mm apart, the first row
    # 37 mm from the front; n pitches span 32 n
    fields = PinHoles.model_fields
    assert fields["diameter"].default == 5
    assert fields["pitch"].default == 32
    assert fields["set_back"].default == 37
    work = made(shelf=[{"bay": 1, "clear_below": "8 in", "held": "pins"}])
    left, right = work.by_name["side-left"], work.by_name["side-right"]
    rows = [f for f in left.features if isinstance(f, HoleRow)]
    for row in rows:
        ups = [drill.entry[0] for drill in row.cutters(left)]
        assert ups[-1] - ups[0] == pytest.approx(32 * (len(ups) - 1))
    assert min(row.at[1] for row in rows) == pytest.approx(37)
    # text read: equal distances make left and right panels identical
    assert [r.at[1] for r in rows] == pytest.approx(
        [f.at[1] for f in right.features if isinstance(f, HoleRow)]
    )
    # common practice, no source: holes of two rows back to back in one divider must not meet
    pinned = {"clear_below": "8 in", "held": "pins"}
    both = made(divider=[{"at": "24 in"}], shelf=[{**pinned, "bay": n} for n in (1, 2)])
    divider = both.by_name["divider-1"]
    depths = [f.depth for f in divider.features if isinstance(f, HoleRow)]
    assert 2 * max(depths) < divider.thickness
    # and one that has a side to itself is as deep as the table of pins says
    assert {row.depth for row in rows} == {shelf_pin_of(5.0).hole_depth_mm}


def test_inch_pins_fit_too() -> None:
    # common practice, no source: 1/4 in pins, a hole every inch
    holes = {"diameter": "1/4 in", "pitch": "1 in", "above": 3, "below": 3}
    work = made(shelf=[{"bay": 1, "clear_below": "8 in", "held": "pins", "holes": holes}])
    side = work.by_name["side-left"]
    row = next(f for f in side.features if isinstance(f, HoleRow))
    ups = [drill.entry[0] for drill in row.cutters(side)]
    assert [b - a for a, b in pairwise(ups)] == pytest.approx([IN] * 6)


# --- pocket holes, base ---------------------------------------------------------------


def test_pocket_holes_slant_by_15_degrees(example: Casework) -> None:
    # text read, makers of pocket screws: 15 degrees, coming out at mid thickness
    board = example.by_name["base-end-left"]
    pockets = next(f for f in board.features if isinstance(f, PocketHoles))
    bore = pockets.cutters(board)[0]
    assert math.degrees(math.asin(abs(bore.heading[2]))) == pytest.approx(15)


def test_pocket_screws_follow_the_makers_chart(example: Casework) -> None:
    # text read, makers' charts: 1-1/4 in screws for 3/4 in stock
    lengths = {f.length for f in example.fastenings if f.means.value == "pocket screws"}
    assert lengths == {1.25 * IN}


# --- the sheet ------------------------------------------------------------------------


def test_no_board_of_the_example_is_larger_than_its_sheet(example: Casework) -> None:
    # common practice, no source: sheets are 48 x 96 in, and the saw takes a kerf and a trim cut
    for board in example.boards:
        assert board.rough.length <= 96 * IN - 2 * IN / 4, board.name
        assert board.rough.width <= 48 * IN - 2 * IN / 4, board.name


def test_every_thickness_of_the_example_is_a_stock_of_the_table(example: Casework) -> None:
    # an editor's account: a list asked for a bottom 3 5/8 in thick
    for board in example.boards:
        row = sheet_goods()[board.stock.key]
        assert row.thickness_min_mm - 1.5 <= board.thickness <= row.thickness_max_mm + 1.5


def test_length_is_along_the_grain(example: Casework) -> None:
    # common practice, no source: T x W x L, L along the grain. Grain runs along
    # the case in top, bottom and shelves, and upright in sides, dividers, doors and backs
    for board in example.boards:
        along = board.place.along.axis
        kind = board.name.split("-")[0]
        if kind in ("top", "bottom", "shelf"):
            assert along == 0, board.name
        elif kind in ("side", "divider", "door", "back"):
            assert along == 2, board.name
        assert board.finished.length == pytest.approx(board.box.size[along])
