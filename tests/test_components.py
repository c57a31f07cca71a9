"""What a maker names, in worked cases with numbers of their own, and what cannot be built."""

import copy
from typing import Any

import pytest
from pydantic import ValidationError

from kit.board import Board, Surface
from kit.casework import Casework
from kit.components.made import Means
from kit.errors import BuildError, KitError, TableError
from kit.geometry import Box
from kit.joinery import Chamfer, Dado, EdgeRabbet, EndRabbet, Groove, Hole, HoleRow, Purpose, Trench
from kit.units import System, length
from strategies import Plain, assemble

IN = 25.4

PLAIN: Plain = {
    "name": "Console",
    "case": {"width": "1200 mm", "height": "450 mm", "depth": "400 mm", "stock": "birch-ply-18"},
    "measured": {"thickness": {"birch-ply-18": ["18 mm"], "birch-ply-12": ["12 mm"]}},
}


def console(**tables: Any) -> Casework:
    """The plain console (18 mm sheets as measured) with more tables; `case` is added to."""
    plain = copy.deepcopy(PLAIN)
    plain["case"].update(tables.pop("case", {}))
    plain["measured"]["thickness"].update(tables.pop("thickness", {}))
    plain.update(tables)
    return assemble(plain)[1]


def cut_for(host: Board, mate: str) -> Trench:
    (cut,) = [f for f in host.features if isinstance(f, Trench) and f.mate == mate]
    return cut


# --- case -----------------------------------------------------------------------------


def test_a_26_in_case_with_3_8_in_rabbets() -> None:
    """A builder's account: sides 21/32 in thick give 25 7/16 in, not 25 1/4 in."""
    work = console(
        case={
            "width": "26 in",
            "stock": "maple-ply-3/4",
            "corner": "rabbet",
            "corner_depth": "3/8 in",
        },
        thickness={"maple-ply-3/4": ["21/32 in"]},
    )
    for name in ("top", "bottom"):
        assert work.by_name[name].length == pytest.approx((25 + 7 / 16) * IN, abs=1e-9)
    # the list printed from nominal thickness would have made it 3/16 in too narrow
    assert work.by_name["top"].length - 25.25 * IN == pytest.approx(3 / 16 * IN)
    assert work.box.size[0] == pytest.approx(26 * IN)


@pytest.mark.parametrize(
    ("corner", "depth", "top_mm", "clear_mm"),
    [
        ("rabbet", None, 1200 - 2 * 6, 450 - 36),  # two thirds of 18 mm
        ("rabbet", "9 mm", 1200 - 2 * 9, 450 - 36),
        ("dado", None, 1200 - 2 * 12, 450 - 36 - 20 - 30),
        ("butt", None, 1200 - 2 * 18, 450 - 36),
    ],
)
def test_board_sizes_follow_from_the_corner(
    corner: str, depth: str | None, top_mm: float, clear_mm: float
) -> None:
    case: Plain = {"corner": corner, "inset_top": "20 mm", "inset_bottom": "30 mm"}
    if depth:
        case["corner_depth"] = depth
    work = console(case=case)
    top, side = work.by_name["top"], work.by_name["side-left"]
    assert (top.length, top.width) == (pytest.approx(top_mm), 400)
    assert (side.length, side.width) == (450, 400)
    assert work.frame.clear.size == pytest.approx((1200 - 36, 400, clear_mm))


def test_the_corners_own_joints() -> None:
    rabbeted = console(case={"corner": "rabbet"})
    cut = cut_for(rabbeted.by_name["side-left"], "top")
    assert isinstance(cut, EndRabbet)
    assert (cut.width, cut.depth) == (pytest.approx(18), pytest.approx(12))
    dadoed = console(case={"corner": "dado"})
    cut = cut_for(dadoed.by_name["side-left"], "bottom")
    assert isinstance(cut, Dado)
    # the sides run 50 mm on below the bottom
    assert cut.offset + cut.width / 2 == pytest.approx(50 + 9)
    butted = console(case={"corner": "butt"})
    screws = [f for f in butted.by_name["side-left"].features if isinstance(f, HoleRow)]
    assert [row.purpose for row in screws] == [Purpose.SCREW, Purpose.SCREW]
    # they enter the ends of top and bottom at mid thickness
    assert sorted(row.at[0] for row in screws) == pytest.approx([9, 441])


def test_a_rabbet_is_as_wide_as_the_thickest_reading_and_sizes_follow_the_mean() -> None:
    work = console(thickness={"birch-ply-18": ["17.6 mm", "18.0 mm", "18.4 mm"]})
    cut = cut_for(work.by_name["side-right"], "top")
    assert cut.width == pytest.approx(18.4)
    assert work.frame.clear.size[0] == pytest.approx(1200 - 36)


def test_edging_makes_the_cut_size_smaller_than_the_finished_one() -> None:
    side = console(case={"edging": "edge-band-2"}).by_name["side-left"]
    assert side.edged == (Surface.EDGE_1,)
    assert (side.finished.width, side.cut.width) == (400, 398)
    assert (side.finished.length, side.cut.length) == (450, 450)


def test_twins_have_one_set_of_numbers() -> None:
    work = console(back={"stock": "birch-ply-6.5", "panels": [{"bays": [1]}]})
    left, right = work.by_name["side-left"], work.by_name["side-right"]
    for mate in ("top", "bottom", "back-1"):
        one, other = cut_for(left, mate), cut_for(right, mate)
        numbers = [(c.offset, c.width, c.start, c.stop) for c in (one, other)]
        assert numbers[0] == pytest.approx(numbers[1])
    # the same numbers lie mirrored in the room
    a, b = (s.place.box_to_room(cut_for(s, "back-1").cutters(s)[0]) for s in (left, right))
    assert a.lo[0] + b.hi[0] == pytest.approx(1200)
    assert (a.lo[1:], a.hi[1:]) == (pytest.approx(b.lo[1:]), pytest.approx(b.hi[1:]))


# --- divider --------------------------------------------------------------------------


def test_a_divider_is_the_clear_height_and_both_tongues() -> None:
    work = console(divider=[{"at": "600 mm"}])
    divider = work.by_name["divider-1"]
    # 450 - 2 x 18 clear, and 18 / 3 into top and bottom
    assert divider.length == pytest.approx(414 + 12)
    assert divider.fit is not None
    assert divider.fit.plus == pytest.approx(12)
    wanted = "length = clear height between top and bottom + "
    assert divider.fit.formula(System.METRIC) == wanted + "12 mm"
    assert divider.fit.formula(System.INCH) == wanted + "15/32 in"
    assert divider.box.centre[0] == pytest.approx(600)
    assert cut_for(work.by_name["top"], "divider-1").depth == pytest.approx(6)


@pytest.mark.parametrize("joint", ["dowels", "screws"])
def test_a_divider_without_a_dado_is_the_clear_height(joint: str) -> None:
    work = console(divider=[{"at": "600 mm", "joint": joint}])
    divider = work.by_name["divider-1"]
    assert divider.length == pytest.approx(414)
    assert divider.fit is not None
    assert divider.fit.formula(System.METRIC) == "length = clear height between top and bottom"


def test_dowel_holes_meet_in_top_bottom_and_ends() -> None:
    work = console(divider=[{"at": "600 mm", "joint": "dowels"}])
    divider = work.by_name["divider-1"]
    ends = {
        tuple(round(v, 6) for v in divider.place.to_room(d.entry))
        for f in divider.features
        for d in f.cutters(divider)
    }
    lids = {
        tuple(round(v, 6) for v in lid.place.to_room(d.entry))
        for lid in (work.by_name["top"], work.by_name["bottom"])
        for f in lid.features
        if isinstance(f, HoleRow) and f.purpose is Purpose.DOWEL
        for d in f.cutters(lid)
    }
    assert ends == lids
    assert len(ends) == 2 * 3


def test_the_dado_of_a_divider_never_shows_under_the_doors() -> None:
    """A back that is let in further than the doors are deep must not open the front edge."""
    work = console(
        divider=[{"at": "600 mm"}],
        doors={"stock": "hardboard-1/8"},
        back={
            "stock": "birch-ply-6.5",
            "method": "let-in",
            "inset": "30 mm",
            "panels": [{"bays": [1, 2]}],
        },
    )
    divider = work.by_name["divider-1"]
    for lid in ("top", "bottom"):
        cut = cut_for(work.by_name[lid], "divider-1")
        assert cut.start == pytest.approx(divider.box.lo[1])
        assert cut.start > 20
        assert cut.stop == pytest.approx(400)


# --- shelf ----------------------------------------------------------------------------


def test_a_fixed_shelf_enters_both_sides_by_a_third() -> None:
    shelf = console(shelf=[{"bay": 1, "clear_below": "200 mm"}]).by_name["shelf-1"]
    assert shelf.length == pytest.approx(1200 - 36 + 12)
    assert shelf.box.lo[2] == pytest.approx(18 + 200)


def test_an_adjustable_shelf_is_shorter_by_both_clearances() -> None:
    work = console(shelf=[{"bay": 1, "clear_below": "200 mm", "held": "pins"}])
    shelf = work.by_name["shelf-1"]
    assert shelf.length == pytest.approx(1200 - 36 - 2)
    assert shelf.fit is not None
    assert shelf.fit.formula(System.METRIC) == "length = clear width of bay 1 - 2 mm"
    (pins,) = [f for f in work.fastenings if f.means is Means.SHELF_PINS]
    assert pins.count == 4


@pytest.mark.parametrize(
    ("clear", "end", "most"), [("30 mm", "below", 1), ("2 mm", "below", 0), ("370 mm", "above", 1)]
)
def test_pin_holes_past_the_end_of_a_side_are_told_by_their_shelf(
    clear: str, end: str, most: int
) -> None:
    """By hand: a side of 450 mm, the bay from 18 mm up, holes of 5 mm at 32 mm under the shelf."""
    shelf: dict[str, Any] = {"bay": 1, "clear_below": clear, "held": "pins"}
    with pytest.raises(BuildError, match=f"pin holes of shelf-1 {end} the one in use"):
        console(shelf=[shelf])
    console(shelf=[shelf | {"holes": {end: most}}])
    with pytest.raises(BuildError, match=f"holes.{end} be {most}, or"):
        console(shelf=[shelf | {"holes": {end: most + 1}}])


def test_a_1_in_shelf_from_two_half_inch_layers() -> None:
    """Layers are counted as measured; two true 1/2 in layers make 1 in."""
    work = console(
        shelf=[{"bay": 1, "clear_below": "200 mm", "stock": "maple-ply-1/2", "layers": 2}],
        thickness={"maple-ply-1/2": ["1/2 in"]},
        shop={"trim": "1/2 in"},
    )
    shelf = work.by_name["shelf-1"]
    assert shelf.finished.thickness == pytest.approx(1 * IN)
    # builders' accounts: each layer is cut 1/2 in larger each way and trimmed flush; a shelf
    # is cut to fit besides, and 1/4 in longer for it
    assert shelf.rough.thickness == pytest.approx(IN / 2)
    assert shelf.rough.length - shelf.finished.length == pytest.approx(IN / 2 + IN / 4)
    assert shelf.rough.width - shelf.finished.width == pytest.approx(IN / 2)
    assert cut_for(work.by_name["side-left"], "shelf-1").width == pytest.approx(25.4 + 0.15)


def test_seven_layers_are_short_when_the_sheet_is() -> None:
    """A builder's account: layers of 11.8 mm stack to less than their nominal sum."""
    work = console(
        shelf=[{"bay": 1, "clear_below": "200 mm", "stock": "maple-ply-1/2", "layers": 4}],
        thickness={"maple-ply-1/2": ["11.8 mm"]},
    )
    assert work.by_name["shelf-1"].thickness == pytest.approx(47.2)


def test_a_lipping_makes_up_the_depth_and_is_flush_above() -> None:
    lipping = {"stock": "walnut-board-4/4", "thickness": "19 mm", "height": "40 mm"}
    row = {"bay": 1, "clear_below": "200 mm"}
    plain = console(shelf=[row]).by_name["shelf-1"]
    work = console(shelf=[{**row, "lipping": lipping}])
    sheet, strip = work.by_name["shelf-1"], work.by_name["shelf-1-lipping"]
    assert sheet.width + strip.thickness == pytest.approx(plain.width)
    assert strip.box.hi[2] == pytest.approx(sheet.box.hi[2])
    assert strip.box.lo[1] == pytest.approx(plain.box.lo[1])
    assert strip.length == pytest.approx(1200 - 36)
    assert strip.width == pytest.approx(40)


def test_a_shelf_in_an_open_bay_ends_with_its_dividers() -> None:
    """Dividers stop in front of the back panels of the bays beside them; so do the shelves."""
    work = console(
        divider=[{"at": "400 mm"}, {"at": "800 mm"}],
        shelf=[{"bay": 2, "clear_below": "200 mm"}, {"bay": 1, "clear_below": "200 mm"}],
        back={"stock": "birch-ply-6.5", "panels": [{"bays": [3]}]},
    )
    for shelf in ("shelf-1", "shelf-2"):
        assert work.by_name[shelf].box.hi[1] == pytest.approx(work.by_name["divider-1"].box.hi[1])


def test_pins_carry_the_shelf_on_their_upper_side() -> None:
    work = console(shelf=[{"bay": 1, "clear_below": "200 mm", "held": "pins"}])
    side = work.by_name["side-left"]
    rows = [f for f in side.features if isinstance(f, HoleRow)]
    assert [(r.pitch, r.diameter, r.count) for r in rows] == [(32, 5, 5), (32, 5, 5)]
    # 37 mm from front and rear; the third hole is in use, half a pin under the shelf
    assert sorted(r.at[1] for r in rows) == pytest.approx([37, 400 - 37])
    assert rows[0].centres[2][0] + 2.5 == pytest.approx(18 + 200)


# --- back -----------------------------------------------------------------------------


def test_a_rabbeted_back_is_flush_behind() -> None:
    work = console(back={"stock": "birch-ply-6.5", "panels": [{"bays": [1]}], "slack": "1 mm"})
    panel, side = work.by_name["back-1"], work.by_name["side-left"]
    cut = cut_for(side, "back-1")
    assert isinstance(cut, EdgeRabbet)
    assert panel.box.hi[1] == pytest.approx(400)
    # half the thickness deep, less 1 mm of play on each side
    assert cut.depth == pytest.approx(9)
    assert panel.width == pytest.approx(1200 - 36 + 2 * 8)
    assert panel.length == pytest.approx(414 + 2 * 8)


def test_a_let_in_back_sits_in_a_groove_all_round() -> None:
    work = console(
        back={
            "stock": "birch-ply-6.5", "method": "let-in", "inset": "12 mm", "slack": "1 mm",
            "panels": [{"bays": [1]}],
        },
        thickness={"birch-ply-6.5": ["6.4 mm"]},
    )  # fmt: skip
    panel = work.by_name["back-1"]
    assert panel.box.hi[1] == pytest.approx(400 - 12)
    for name in ("top", "bottom", "side-left", "side-right"):
        cut = cut_for(work.by_name[name], "back-1")
        assert isinstance(cut, Groove)
        assert cut.depth == pytest.approx(6)
        assert cut.width == pytest.approx(6.4 + 0.4)
    assert panel.width == pytest.approx(1164 + 2 * 5)


def test_a_planted_back_lies_behind_with_its_outer_arrises_off() -> None:
    work = console(
        divider=[{"at": "600 mm"}],
        back={
            "stock": "birch-ply-6.5", "method": "planted", "margin": "4 mm", "chamfer": "2 mm",
            "panels": [{"bays": [1]}, {"bays": [2]}],
        },
    )  # fmt: skip
    first, second = work.by_name["back-1"], work.by_name["back-2"]
    assert first.box.lo[1] == second.box.lo[1] == pytest.approx(400)
    assert first.box.lo[0] == pytest.approx(4)
    assert second.box.hi[0] == pytest.approx(1196)
    # they meet on the middle of the divider, a millimetre apart
    assert (first.box.hi[0], second.box.lo[0]) == (pytest.approx(599.5), pytest.approx(600.5))
    (chamfer,) = [f for f in first.features if isinstance(f, Chamfer)]
    assert set(chamfer.on) == {Surface.END_1, Surface.END_2, Surface.EDGE_1}
    assert work.by_name["divider-1"].box.hi[1] == pytest.approx(400)


def test_a_cable_hole_is_where_the_maker_says() -> None:
    hole = {"diameter": "60 mm", "across": "100 mm", "up": "80 mm"}
    work = console(
        divider=[{"at": "600 mm"}],
        back={"stock": "birch-ply-6.5", "panels": [{"bays": [2], "holes": [hole]}]},
    )
    panel, bay = work.by_name["back-1"], work.bays[1]
    (made,) = [f for f in panel.features if isinstance(f, Hole)]
    x, _, z = panel.place.to_room(made.cutters(panel)[0].entry)
    assert x == pytest.approx(bay.clear.lo[0] + 100)
    assert z == pytest.approx(bay.clear.lo[2] + 80)
    assert made.diameter == 60


# --- doors ----------------------------------------------------------------------------


def accessible(work: Casework) -> float:
    """The widest clear window that sliding gives, mm, by trying the doors at both stops.

    Doors of one track cannot pass each other; those of the other track stack behind them.
    """
    assert work.doors is not None
    opening = work.doors.opening
    width = work.doors.doors[0].board.width
    tracks = [[d for d in work.doors.doors if d.track == t] for t in (0, 1)]
    stacked = max(len(doors) for doors in tracks) * width
    # push all to the right: what stays free is left of the longest row
    free = opening.size[0] - stacked
    for doors in tracks:
        for place, door in enumerate(reversed(doors)):
            stop = opening.hi[0] - (place + 1) * width
            assert door.least - 1e-9 <= stop <= door.most + 1e-9
    return free


def test_two_doors_never_open_half() -> None:
    """Access is opening less one door: (1000 + 30) / 2 = 515 wide, 485 mm to reach through."""
    work = console(case={"width": "1036 mm"}, doors={"stock": "birch-ply-12", "overlap": "30 mm"})
    assert work.frame.clear.size[0] == pytest.approx(1000)
    assert [d.board.width for d in work.doors.doors] == pytest.approx([515, 515])
    assert accessible(work) == pytest.approx(485)


def test_three_doors_on_two_tracks() -> None:
    """Builders' advice: a 70 in opening with 1 in overlaps opens about 22 in at a time."""
    case = {"width": f"{1778 + 36} mm"}
    doors = {"stock": "birch-ply-12", "count": 3}
    metric = console(case=case, doors={**doors, "overlap": "25 mm"})
    assert [d.board.width for d in metric.doors.doors] == pytest.approx([(1778 + 50) / 3] * 3)
    assert [d.track for d in metric.doors.doors] == [1, 0, 1]
    assert accessible(metric) == pytest.approx(1778 - 2 * 1828 / 3)
    inch = console(case=case, doors={**doors, "overlap": "1 in"})
    assert inch.doors.doors[0].board.width == pytest.approx(24 * IN)
    assert accessible(inch) == pytest.approx(22 * IN)


def test_the_recipe_for_doors_in_plain_grooves() -> None:
    """Worked by hand: H 400, top 9, bottom 3, door 408: engagement 5, lift clearance 1."""
    work = console(
        case={"height": "436 mm"},
        doors={
            "stock": "birch-ply-12", "top_depth": "9 mm", "bottom_depth": "3 mm",
            "height": "408 mm",
        },
    )  # fmt: skip
    assert work.frame.clear.size[2] == pytest.approx(400)
    assert work.doors.engagement == pytest.approx(5)
    assert work.doors.lift == pytest.approx(1)
    # and without a height of its own it follows from the clearance
    follows = console(
        case={"height": "436 mm"}, doors={"stock": "birch-ply-12", "lift_clearance": "1 mm"}
    )
    assert follows.by_name["door-1"].length == pytest.approx(408)


def test_door_grooves_follow_the_thickest_door() -> None:
    work = console(
        doors={"stock": "birch-ply-12", "play": "2 mm", "land": "6 mm", "front_land": "8 mm"},
        thickness={"birch-ply-12": ["11.8 mm", "12.2 mm"]},
    )
    for lid, depth in (("top", 9), ("bottom", 3)):
        grooves = [f for f in work.by_name[lid].features if isinstance(f, Groove)]
        assert [(g.offset, g.width, g.depth) for g in grooves] == [
            (8, pytest.approx(14.2), depth),
            (pytest.approx(8 + 14.2 + 6), pytest.approx(14.2), depth),
        ]
    # each door stands in the middle of its groove
    door = next(d for d in work.doors.doors if d.track == 0).board
    assert door.box.centre[1] == pytest.approx(8 + 7.1)


def test_doors_at_the_ends_leave_the_middle_open() -> None:
    work = console(
        divider=[{"at": "400 mm"}, {"at": "800 mm"}],
        doors={"stock": "birch-ply-12", "layout": "ends", "overlap": "10 mm"},
    )
    one, two = (work.by_name[name].box for name in ("door-1", "door-2"))
    assert (one.lo[0], one.hi[0]) == (pytest.approx(18), pytest.approx(391 + 10))
    assert (two.lo[0], two.hi[0]) == (pytest.approx(809 - 10), pytest.approx(1182))


def test_slats_keep_their_frame() -> None:
    work = console(
        doors={
            "stock": "birch-ply-12", "style": "slatted",
            "slats": {"slot": "12 mm", "land": "18 mm", "frame": "50 mm"},
        }
    )  # fmt: skip
    door = work.by_name["door-1"]
    boxes = [c.box for c in door.cutters]
    left, right = boxes[0].lo[1], door.width - boxes[-1].hi[1]
    assert left == pytest.approx(right)
    # one slot more would not leave 50 mm on both sides
    assert 50 <= left < 50 + 15
    assert boxes[0].lo[0] == pytest.approx(50)
    assert door.length - boxes[0].hi[0] == pytest.approx(50)


# --- base -----------------------------------------------------------------------------


def test_a_plinth_carries_every_divider() -> None:
    work = console(
        divider=[{"at": "400 mm"}, {"at": "800 mm"}],
        base={"kind": "plinth", "height": "90 mm", "toe": "60 mm", "set_in": "20 mm"},
    )
    crosses = [b for b in work.boards if b.name.startswith("base-cross")]
    assert [b.box.centre[0] for b in crosses] == pytest.approx([400, 800])
    front = work.by_name["base-front"].box
    assert (front.lo[0], front.lo[1], front.lo[2]) == pytest.approx((20, 60, -90))
    assert work.by_name["base-end-right"].box.hi[0] == pytest.approx(1180)


def test_a_beam_is_laminated_between_two_rails() -> None:
    work = console(base={"kind": "beam", "height": "100 mm", "rail_in": "150 mm"})
    beam, rail = work.by_name["base-beam"], work.by_name["base-rail-left"]
    assert beam.thickness == rail.thickness == pytest.approx(36)
    assert beam.length == pytest.approx(1200 - 2 * (150 + 36))
    assert beam.box.centre[1] == pytest.approx(200)
    assert beam.rough.length - beam.cut.length == pytest.approx(12.7)


def test_legs_are_planed_to_size_and_joined_by_four_rails() -> None:
    work = console(
        base={
            "kind": "legs", "height": "150 mm", "leg_stock": "walnut-board-8/4", "leg": "40 mm",
            "set_in": "30 mm",
        }
    )  # fmt: skip
    leg = work.by_name["leg-back-right"]
    assert (leg.thickness, leg.width, leg.length) == (40, pytest.approx(40), 150)
    assert leg.box.hi[:2] == pytest.approx((1170, 370))
    assert work.by_name["base-front"].length == pytest.approx(1200 - 60 - 80)


def test_bolts_meet_their_inserts() -> None:
    work = console(base={"kind": "plinth", "height": "90 mm", "attach": "bolts"})

    def entries(board: Board) -> set[tuple[float, ...]]:
        return {
            tuple(round(v, 6) for v in board.place.to_room(d.entry))
            for f in board.features
            if isinstance(f, HoleRow) and f.purpose is Purpose.BOLT
            for d in f.cutters(board)
        }

    inserts = set().union(*(entries(b) for b in work.boards if b.name.startswith("base")))
    through = {(x, y, 0.0) for x, y, _ in entries(work.by_name["bottom"])}
    assert inserts == through
    assert inserts


# --- what the maker adds --------------------------------------------------------------


def test_added_holes_and_notches() -> None:
    work = console(
        divider=[{"at": "600 mm"}],
        hole=[{"board": "divider-1", "along": "80 mm", "across": "300 mm", "diameter": "60 mm"}],
        notch=[{"board": "divider-1", "along": ["0 mm", "40 mm"], "across": ["370 mm", "400 mm"]}],
    )
    hole, notch = work.by_name["divider-1"].features
    assert isinstance(hole, Hole)
    assert hole.at == (80, 300)
    assert notch.cutters(work.by_name["divider-1"]) == (Box((0, 370, 0), (40, 400, 18)),)


# --- what cannot be built -------------------------------------------------------------

OPEN = {"birch-ply-18": ["18 mm"]}


@pytest.mark.parametrize(
    ("tables", "words"),
    [
        pytest.param(
            {"divider": [{"at": "1300 mm"}]},
            ["divider-1", "1300 mm (51 3/16 in)", "outside the clear inside", "between the sides"],
            id="a divider outside the case",
        ),
        pytest.param(
            {"divider": [{"at": "20 mm"}]},
            ["divider-1", "20 mm (0.787 in)", "18 mm (0.709 in) to 1182 mm", "move it"],
            id="a divider in a side",
        ),
        pytest.param(
            {"divider": [{"at": "600 mm"}, {"at": "619.5 mm"}]},
            ["divider-2", "a bay of 1.5 mm (0.059 in)", "divider-1", "take the divider out"],
            id="a bay that nothing fits in",
        ),
        pytest.param(
            {"divider": [{"at": "1170 mm"}]},
            ["divider-1", "a bay of 3 mm (0.118 in)", "side-right", "take the divider out"],
            id="a bay that nothing fits in at the end",
        ),
        pytest.param(
            {"divider": [{"at": "600 mm"}, {"at": "610 mm"}]},
            ["divider-2", "610 mm (24 1/32 in)", "divider-1", "move them apart"],
            id="two dividers in one place",
        ),
        pytest.param(
            {"divider": [{"at": "600 mm"}, {"at": "600 mm"}]},
            ["divider-2", "600 mm (23 5/8 in)", "divider-1", "take one out"],
            id="one divider twice",
        ),
        pytest.param(
            {"case": {"corner_depth": "20 mm"}},
            ["case.corner_depth", "20 mm (0.787 in)", "18 mm (0.709 in) thick", "shallower"],
            id="a rabbet deeper than its board",
        ),
        pytest.param(
            {"case": {"width": "30 mm"}},
            ["case", "30 mm (1 3/16 in) wide", "18 mm (0.709 in) thick", "larger"],
            id="no room between the sides",
        ),
        pytest.param(
            {"shelf": [{"bay": 2, "clear_below": "100 mm"}]},
            ["shelf-1", "bay 2", "the case has 1", "name one of those"],
            id="a shelf in a bay that is not there",
        ),
        pytest.param(
            {"shelf": [{"bay": 1, "clear_below": "400 mm"}]},
            ["shelf-1", "418 mm (16 15/32 in)", "414 mm (16 5/16 in)", "lower shelf.clear_below"],
            id="a shelf through the top",
        ),
        pytest.param(
            {
                "shelf": [
                    {
                        "bay": 1,
                        "clear_below": "10 mm",
                        "lipping": {"stock": "walnut-board-4/4", "height": "40 mm"},
                    }
                ]
            },
            ["lipping of shelf-1", "40 mm (1 9/16 in)", "make it lower"],
            id="a lipping through the bottom",
        ),
        pytest.param(
            {
                "back": {
                    "stock": "birch-ply-6.5",
                    "method": "let-in",
                    "panels": [{"bays": [1], "removable": True}],
                }
            },
            ["back-1", "let in", "cannot be removable", '"rabbeted" or "planted"'],
            id="let in and removable",
        ),
        pytest.param(
            {"back": {"stock": "birch-ply-6.5", "panels": [{"bays": [2]}]}},
            ["back-1", "bays 2", "the case has 1", "name those that are there"],
            id="a back for a bay that is not there",
        ),
        pytest.param(
            {
                "divider": [{"at": "400 mm"}, {"at": "800 mm"}],
                "back": {"stock": "birch-ply-6.5", "panels": [{"bays": [1, 3]}]},
            },
            ["back-1", "bays 1, 3", "not side by side", "its own panel"],
            id="a back over bays apart",
        ),
        pytest.param(
            {"back": {"stock": "birch-ply-6.5", "panels": [{"bays": [1]}, {"bays": [1]}]}},
            ["back-2", "bay 1", "closes already", "once"],
            id="a bay closed twice",
        ),
        pytest.param(
            {
                "case": {"corner": "dado"},
                "base": {"kind": "legs", "height": "150 mm", "leg_stock": "walnut-board-8/4"},
            },
            ["bottom of the case", "50 mm (1 31/32 in)", "take the base out", "case.inset_bottom"],
            id="legs under a case on its own sides",
        ),
        pytest.param(
            {
                "base": {
                    "kind": "legs", "height": "60 mm", "leg_stock": "walnut-board-8/4",
                    "rail_height": "64 mm",
                }
            },
            ["rails of the legs", "64 mm (2 17/32 in)", "60 mm (2 3/8 in)", "smaller"],
            id="rails higher than the legs",
        ),
        pytest.param(
            {"case": {"corner": "butt", "pins": {}}},
            ["Cross pins", "butt", 'case.corner = "rabbet"', "case.pins out"],
            id="cross pins in a butt joint",
        ),
        pytest.param(
            {"doors": {"stock": "birch-ply-12", "layout": "ends"}},
            ["doors.layout", "3 bays", "1 bays", '"bypass"'],
            id="end doors without end bays",
        ),
        pytest.param(
            {"doors": {"stock": "birch-ply-12", "overlap": "1200 mm"}},
            ["doors.overlap", "1200 mm (47 1/4 in)", "1164 mm (45 13/16 in)", "smaller"],
            id="a door wider than its opening",
        ),
        pytest.param(
            {"doors": {"stock": "birch-ply-12", "count": 3, "overlap": "300 mm"}},
            ["doors.overlap", "300 mm (11 13/16 in)", "1164 mm (45 13/16 in)", "smaller"],
            id="two doors of one track in one place",
        ),
        pytest.param(
            {
                "divider": [{"at": "400 mm"}, {"at": "800 mm"}],
                "doors": {"stock": "birch-ply-12", "layout": "ends", "overlap": "800 mm"},
            },
            ["doors.overlap", "800 mm (31 1/2 in)", "1164 mm (45 13/16 in)", "smaller"],
            id="an end door through the other side",
        ),
        pytest.param(
            {"back": {"stock": "birch-ply-6.5", "slack": "9 mm", "panels": [{"bays": [1]}]}},
            ["back.slack", "9 mm (0.354 in)", "smaller"],
            id="a back that falls through",
        ),
        pytest.param(
            {
                "back": {
                    "stock": "birch-ply-6.5",
                    "method": "planted",
                    "margin": "18 mm",
                    "panels": [{"bays": [1]}],
                }
            },
            ["back.margin", "18 mm (0.709 in)", "smaller"],
            id="a planted back smaller than the opening",
        ),
        pytest.param(
            {"doors": {"stock": "birch-ply-12", "top_depth": "18 mm"}},
            ["top", "18 mm (0.709 in) deep", "18 mm (0.709 in) thick", "shallower"],
            id="a track through the top",
        ),
        pytest.param(
            {"doors": {"stock": "birch-ply-12", "style": "slatted", "slats": {"frame": "300 mm"}}},
            ["door-1", "300 mm (11 13/16 in)", "doors.slats.frame smaller"],
            id="no room for slats",
        ),
        pytest.param(
            {"case": {"depth": "80 mm"}, "doors": {"stock": "birch-ply-12"}},
            ["80 mm (3 5/32 in) deep", "make the case deeper"],
            id="a case too shallow for doors",
        ),
        pytest.param(
            {"hole": [{"board": "shelf-9", "along": "9 mm", "across": "9 mm", "diameter": "5 mm"}]},
            ["hole", "'shelf-9'", "top, bottom, side-left, side-right"],
            id="a hole in no board",
        ),
        pytest.param(
            {"notch": [{"board": "top", "along": ["9 mm", "20 mm"], "across": ["9 mm", "20 mm"]}]},
            ["top", "9 mm (0.354 in) to 20 mm (0.787 in) along", "reach an edge"],
            id="a notch inside a board",
        ),
        pytest.param(
            {"gear": [{"name": "receiver", "kind": "receiver", "bay": 3}]},
            ["receiver", "bay 3", "the case has 1"],
            id="gear in no bay",
        ),
        pytest.param(
            {"gear": [{"name": "receiver", "kind": "receiver", "bay": 1, "on": "shelf-1"}]},
            ["receiver", "'shelf-1'", "bottom", "name one of those"],
            id="gear on no shelf",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_built_is_said_in_one_sentence(tables: Plain, words: list[str]) -> None:
    with pytest.raises(BuildError) as caught:
        console(**tables)
    message = str(caught.value)
    for word in words:
        assert word in message
    assert message.endswith(".")
    assert "\n" not in message
    assert len(message) < 220


def test_a_stock_that_is_not_there() -> None:
    with pytest.raises(TableError, match="walnut-ply-3/4"):
        console(case={"stock": "walnut-ply-3/5"})


def test_names_follow_their_order_from_left_to_right() -> None:
    work = console(divider=[{"at": "800 mm"}, {"at": "400 mm"}])
    assert work.by_name["divider-1"].box.centre[0] == pytest.approx(400)
    assert list(work.marks.values())[:6] == list("ABCDEF")


@pytest.mark.parametrize("bad", ["1,5 mm", "30", "2 3/4", "abc"])
def test_a_length_without_one_reading_is_refused_by_its_field(bad: str) -> None:
    with pytest.raises((ValidationError, KitError), match="depth"):
        console(case={"depth": bad})


def test_a_door_that_cannot_go_in_can_still_be_built() -> None:
    """Rule 6: what can be built but should not be is a finding, so the numbers say it."""
    work = console(doors={"stock": "birch-ply-12", "height": f"{414 + 10} mm", "top_depth": "9 mm"})
    assert work.doors.lift == pytest.approx(-1)
    assert length("414 mm") + 9 - work.by_name["door-1"].length == pytest.approx(-1)


@pytest.mark.parametrize(
    ("base", "field"),
    [
        ({"kind": "legs", "height": "6 in", "leg_stock": "walnut-board-8/4",
          "rail_height": "1 1/2 in"}, "base.rail_height"),
        ({"kind": "plinth", "height": "1 1/2 in"}, "base.height"),
        ({"kind": "beam", "height": "1 1/2 in"}, "base.height"),
    ],
)  # fmt: skip
def test_a_base_too_low_for_its_pocket_holes_is_refused_by_its_field(rebuilt, base, field):
    """'Pocket holes at 64.43 mm ... do not fit a board' named no field of the file."""
    with pytest.raises(BuildError, match=rf"^{field}: .*pocket holes .*bolts"):
        rebuilt({"base": base})
    assert rebuilt({"base": base | {"attach": "bolts"}}).boards
