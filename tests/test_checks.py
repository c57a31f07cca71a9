from dataclasses import replace

import pytest

from kit import sources
from kit.board import Surface
from kit.checks import check
from kit.checks.joints import check_joints
from kit.errors import BuildError, DesignFileError, KitError
from kit.finding import Sense, Status, judge
from kit.joinery import PocketHoles


def found(casework, check_name, subject=None):
    findings = [f for f in check(casework) if f.check == check_name]
    if subject:
        findings = [f for f in findings if f.subject == subject]
    assert findings, f"no finding {check_name!r}"
    return findings


def status(casework, check_name, subject=None):
    return max(found(casework, check_name, subject), key=lambda f: -f.status.severity).status


#: What the example leaves to be watched, and why nobody would change it for that.
WATCHED = {
    "intake air at plate load",  # all gear at once, with the uncertainty of the model
    "remote control",  # slats let a part of the rays through; opening a door lets all through
    "stands a push at the top",  # passes 13 % of its weight, not the 20 % of the stricter rule
}


def test_nothing_is_wrong_with_the_example(example_report):
    findings = [f for f in example_report if f.status not in (Status.OK, Status.ACCEPTED)]
    assert {(f.check, f.status) for f in findings} == {(w, Status.WATCH) for w in WATCHED}


def test_every_finding_names_a_known_source_and_its_boards(example, example_report):
    for finding in example_report:
        assert sources.source(finding.source)
        assert set(finding.boards) <= set(example.by_name)
        assert finding.why


@pytest.mark.parametrize(
    ("measured", "required", "sense", "expected"),
    [
        (1.0, 2.0, Sense.AT_LEAST, Status.FAIL),
        (2.0, 2.0, Sense.AT_LEAST, Status.WATCH),
        (2.6, 2.0, Sense.AT_LEAST, Status.OK),
        (3.0, 2.0, Sense.AT_MOST, Status.FAIL),
        (1.8, 2.0, Sense.AT_MOST, Status.WATCH),
        (1.0, 2.0, Sense.AT_MOST, Status.OK),
        (None, 2.0, Sense.AT_LEAST, Status.UNKNOWN),
        (1.0, None, Sense.AT_MOST, Status.UNKNOWN),
        (float("nan"), 2.0, Sense.AT_LEAST, Status.UNKNOWN),
        (2.0 - 1e-9, 2.0, Sense.AT_LEAST, Status.WATCH),
    ],
)
def test_status_follows_from_the_numbers(measured, required, sense, expected):
    finding = judge("a", "b", measured, required, sense=sense, unit="mm", why="c", watch=0.5)
    assert finding.status is expected


# Sliding doors. Numbers of the recipe: trade article on wooden sliding doors in plain grooves,
# text read: groove 2 mm wider than the door, top 9 mm and bottom 3 mm deep, 6 mm between.


@pytest.mark.parametrize(
    ("number", "unit", "inch", "metric"),
    [
        (None, "mm", "not known", "not known"),
        (0.0, "mm", "0 in", "0 mm"),
        (12.7, "mm", "0.500 in", "12.7 mm"),
        (69.85, "mm", "2 3/4 in", "69.9 mm"),
        # 1 in3 = 16.387064 cm3 exactly
        (16387.064, "mm3", "1 in³", "16.4 cm³"),
        (1.0, "mm3", "1 mm³", "1 mm³"),
        (1.0, "ways", "1 way", "1 way"),
        (2.0, "ways", "2 ways", "2 ways"),
        (1.0, "diameters away from 3", "1 diameter away from 3", "1 diameter away from 3"),
        (0.2292, "of the rays", "23% of the rays", "23% of the rays"),
        (1.0, "°C", "1 °C", "1 °C"),
    ],
)
def test_measured_values_read_as_a_maker_says_them(rebuilt, number, unit, inch, metric):
    assert rebuilt({"shop.units": "in"}).value(number, unit) == inch
    assert rebuilt({"shop.units": "mm"}).value(number, unit) == metric


def test_a_door_too_high_cannot_be_lifted_in(rebuilt):
    casework = rebuilt({"doors.height": "17 in"})
    assert status(casework, "doors lift in") is Status.FAIL
    clear = casework.frame.clear.size[2]
    (finding,) = found(casework, "doors lift in")
    assert finding.measured == pytest.approx(clear + 25.4 * 5 / 16 - 17 * 25.4)


def test_a_shallow_top_groove_does_not_hold_the_door(rebuilt):
    assert status(rebuilt({"doors.top_depth": "5 mm"}), "doors stay in") is Status.FAIL


def test_the_recipe_of_the_trade_article_holds(rebuilt):
    casework = rebuilt(
        {
            "doors.top_depth": "9 mm",
            "doors.bottom_depth": "3 mm",
            "doors.play": "2 mm",
            "doors.land": "6 mm",
            "doors.lift_clearance": "1 mm",
        }
    )
    for name in ("doors lift in", "doors stay in", "doors run free", "doors pass each other"):
        assert status(casework, name) in (Status.OK, Status.WATCH)


def test_a_plain_groove_of_the_trade_is_watched_and_does_not_fail(rebuilt):
    """A 1/4 in groove for 1/4 in plywood of 0.236 in: 0.014 in of play. It once failed."""
    assert status(rebuilt({"doors.play": "0.014 in"}), "doors run free") is Status.WATCH
    assert status(rebuilt({"doors.play": "2 mm"}), "doors run free") is Status.OK


def test_doors_without_play_rub(rebuilt):
    assert status(rebuilt({"doors.play": "0.3 mm"}), "doors run free") is Status.FAIL
    tight = {"doors.play": "1 mm", "doors.land": "3 mm"}
    assert status(rebuilt(tight), "doors pass each other") is Status.FAIL


# Gear.


def test_a_17_in_body_does_not_fit_a_16_in_bay(rebuilt):
    # Builders' accounts: bays just under 16 in wide, player almost 17 in.
    sheet = 0.71875 * 25.4
    at = sheet + 16 * 25.4 + sheet / 2
    casework = rebuilt(
        {
            "divider.1.at": f"{at} mm",
            "back": None,
            "gear.2.width": "17 in",
            "measured.thickness.walnut-ply-3/4": ["23/32 in"],
        }
    )
    (finding,) = found(casework, "fits in width", "disc player")
    assert finding.status is Status.FAIL
    assert finding.margin == pytest.approx(-25.4, abs=0.02)


def test_depth_counts_knobs_plug_and_bend(rebuilt):
    casework = rebuilt({"gear.2.depth": "16 in"})
    (finding,) = found(casework, "fits in depth", "disc player")
    assert finding.status is Status.FAIL
    placed = next(g for g in casework.gear if g.item.name == "disc player")
    wanted = (placed.kind.knob_mm or 0) + 16 * 25.4 + placed.plug.depth_mm
    assert finding.required == pytest.approx(wanted)


def test_antennas_count_in_height(rebuilt):
    # A receiver 17 cm tall stands 23.5 cm with its antennas up (a builder's account).
    shelf = {"bay": 2, "clear_below": "200 mm"}
    casework = rebuilt({"shelf.1": shelf, "gear.2.on": "bottom"})
    (finding,) = found(casework, "fits in height", "receiver")
    assert finding.required == pytest.approx(235.0)
    assert finding.measured == pytest.approx(200.0)
    assert finding.status is Status.FAIL


def test_unknown_clearance_is_never_good(rebuilt):
    casework = rebuilt({"gear.2.clear_top": None})
    assert status(casework, "free above", "disc player") is Status.UNKNOWN


def test_an_unmeasured_sheet_is_unknown_and_said(rebuilt):
    casework = rebuilt({"measured": None})
    findings = found(casework, "sheet thickness")
    assert {f.status for f in findings} == {Status.UNKNOWN}
    assert all("not measured" in f.why for f in findings)


def test_sheets_that_differ_fail(rebuilt):
    # A dozen dadoes cut to one sample; other parts ran up to 0.030 in thicker (an account).
    readings = ["0.702 in", "0.732 in"]
    casework = rebuilt({"measured.thickness": {"walnut-ply-3/4": readings}})
    assert status(casework, "sheet thickness", "3/4 in walnut plywood") is Status.FAIL


# Joinery.


def test_dadoes_back_to_back_are_weighed(rebuilt):
    casework = rebuilt(
        {"shelf": [{"bay": 1, "clear_below": "8 in"}, {"bay": 2, "clear_below": "8 in"}]}
        | {"gear": None}
    )
    (finding,) = found(casework, "wood between opposite cuts", "divider-1")
    thickness = casework.by_name["divider-1"].thickness
    assert finding.measured == pytest.approx(thickness / 3)
    assert finding.status is Status.OK


def test_a_hole_through_a_dado_is_told(rebuilt):
    casework = rebuilt(
        {"hole": [{"board": "top", "along": "22 in", "across": "10 in", "diameter": "60 mm"}]}
    )
    assert status(casework, "cuts that meet", "top") is Status.FAIL


def test_a_groove_that_leaves_too_little_fails(rebuilt):
    # A 3/8 in groove leaves 11/32 in of a 23/32 in panel (a builder's account), which serves.
    assert status(rebuilt({"doors.top_depth": "3/8 in"}), "joinery", "top") is Status.OK
    casework = rebuilt({"doors.top_depth": "7/16 in"})
    assert status(casework, "wood under the groove", "top") is Status.FAIL
    (first, _) = found(casework, "wood under the groove", "top")
    assert first.measured == pytest.approx(casework.by_name["top"].thickness - 11.1125)


def test_boards_that_clash_are_named(rebuilt):
    casework = rebuilt(
        {
            "shelf": [{"bay": 1, "clear_below": "8 in"}, {"bay": 1, "clear_below": "8.2 in"}],
            "gear": None,
        }
    )
    (finding,) = found(casework, "boards apart")
    assert finding.subject == "shelf-1 and shelf-2"
    assert finding.status is Status.FAIL


def test_a_narrow_case_is_watched_under_its_screen(rebuilt):
    # 16:9: width 0.87158 of the diagonal; 65 in: 1439 mm (geometry).
    casework = rebuilt({"screen.diagonal": "90 in"})
    (finding,) = found(casework, "wide enough for the screen")
    assert finding.status is Status.WATCH  # a matter of taste
    assert finding.margin is not None
    assert finding.margin < 0
    assert finding.required == pytest.approx(0.87158 * 90 * 25.4, rel=1e-4)


def test_gear_for_a_place_that_is_not_there_is_an_error(rebuilt):
    with pytest.raises(BuildError, match="'shelf-9'"):
        rebuilt({"gear.1.on": "shelf-9"})


def test_edging_narrower_than_its_board_fails(rebuilt):
    shelf = {"bay": 1, "clear_below": "8 in", "stock": "walnut-ply-1/2", "layers": 2}
    casework = rebuilt({"shelf.1": shelf})
    (finding,) = found(casework, "edging covers")
    assert finding.status is Status.FAIL
    assert finding.measured == pytest.approx(22.2)
    assert status(rebuilt({"case.edging": "veneer-tape-2"}), "edging covers") is Status.OK


def test_a_base_under_the_sides_is_screwed_to_them_and_never_bolted(rebuilt):
    casework = rebuilt({"base.set_in": "0 in"})
    ends = [f for f in casework.fastenings if f.board == "base-end-left" and "side" in f.to]
    assert [f.to for f in ends] == ["side-left"]
    with pytest.raises(BuildError, match=r"base-end-left stands under side-left.*base\.set_in"):
        rebuilt({"base.attach": "bolts"})


def test_a_beam_too_thick_for_pocket_screws_names_itself(rebuilt):
    with pytest.raises(BuildError, match=r"base-beam is 5\d\.\d+ mm \(.*\) thick.*fewer layers"):
        rebuilt({"base": {"kind": "beam", "height": "4 in", "layers": 3}})


def test_a_beam_base_has_screws_that_stay_inside(rebuilt):
    casework = rebuilt({"base": {"kind": "beam", "height": "5 in"}})
    tips = [f for f in check(casework) if f.subject.startswith("base-") and f.status is Status.FAIL]
    assert tips == []


def test_an_unknown_finish_is_refused_when_the_file_is_read(rebuilt):
    with pytest.raises(DesignFileError, match=r"shop\.finish.*varnish-oil"):
        rebuilt({"shop.finish": "lacquer"})


# Bases.


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"base.toe": "25 in"}, r"base\.toe"),
        ({"base.set_in": "40 in"}, r"base\.set_in"),
        ({"base": {"kind": "beam", "height": "5 in", "rail_in": "45 in"}}, r"base\.rail_in"),
        ({"base": {"kind": "beam", "height": "5 in", "set_back": "12 in"}}, r"base\.set_back"),
        (
            {
                "base": {
                    "kind": "legs",
                    "height": "6 in",
                    "set_in": "20 in",
                    "leg_stock": "walnut-board-8/4",
                }
            },
            r"base\.set_in",
        ),
    ],
)
def test_a_base_without_room_is_an_error(rebuilt, changes, says):
    with pytest.raises(BuildError, match=says):
        rebuilt(changes)


def middle_divider(**base):
    return {
        "divider": [{"at": "39 in"}],
        "shelf": [],
        "doors.layout": "bypass",
        "back": None,
        "gear": [],
        "hole": [],
        **{f"base.{key}": value for key, value in base.items()},
    }


@pytest.mark.parametrize("attach", ["pocket-screws", "bolts"])
def test_what_holds_a_base_keeps_clear_of_what_stands_there(rebuilt, attach):
    # one divider in the middle: its cross member butts where a pocket hole would be
    casework = rebuilt(middle_divider(attach=attach))
    wrong = [f for f in check(casework) if f.status in (Status.FAIL, Status.UNKNOWN)]
    # one divider is too few under this screen, which is another matter
    assert [(f.check, f.subject) for f in wrong if f.check != "sag"] == []


def test_a_pocket_hole_behind_another_board_is_told(rebuilt):
    casework = rebuilt({})
    front, cross = casework.by_name["base-front"], casework.by_name["base-cross-1"]
    middle = cross.box.centre[0] - front.box.lo[0]
    blocked = front.having(
        PocketHoles(surface=Surface.FACE_B, exit=Surface.EDGE_2, stations=(middle,))
    )
    boards = tuple(blocked if b.name == "base-front" else b for b in casework.boards)
    findings = list(check_joints(replace(casework, boards=boards)))
    (finding,) = (f for f in findings if f.check == "pocket holes open")
    assert finding.status is Status.FAIL
    assert finding.boards == ("base-front", "base-cross-1")


# Sheets, before anything is laid out.


def test_a_board_longer_than_any_sheet_is_told_at_once(rebuilt):
    # A 72 in top cannot come from 60 x 60 in sheets (builders' accounts).
    casework = rebuilt({"case.stock": "baltic-birch-18", "measured": None})
    (finding,) = (
        f for f in check(casework) if f.check == "boards fit a sheet" and "18" in f.subject
    )
    assert finding.status is Status.FAIL
    assert finding.boards == ("top",)


def test_a_wide_back_fits_when_its_grain_lies_level(rebuilt):
    whole = {"back.panels": [{"bays": [1, 2, 3], "removable": True}]}
    assert status(rebuilt(whole), "boards fit a sheet", "1/4 in walnut plywood") is Status.FAIL
    level = rebuilt(whole | {"back.grain": "level"})
    assert status(level, "boards fit a sheet", "1/4 in walnut plywood") is Status.OK
    panel = level.by_name["back-1"]
    assert panel.length > panel.width
    assert panel.fit.side == "width"
    assert status(level, "boards apart") is Status.OK
    either = rebuilt(whole | {"back.grain": "either"})
    assert status(either, "boards fit a sheet", "1/4 in walnut plywood") is Status.OK


def test_a_chamfer_keeps_half_of_a_thin_panel(rebuilt):
    casework = rebuilt(
        {"back.method": "planted", "back.stock": "hardboard-1/8", "measured.thickness": {}}
    )
    (chamfer,) = (f for f in casework.by_name["back-1"].features if type(f).__name__ == "Chamfer")
    assert chamfer.size == pytest.approx(casework.by_name["back-1"].thickness / 2)
    assert len(chamfer.set_ups(casework.by_name["back-1"])) == len(chamfer.on)


def test_gear_that_stands_out_of_its_space_fails_even_where_nothing_is_known(rebuilt):
    tall = {"gear.2.height": "12 in", "gear.2.clear_top": None}
    assert status(rebuilt(tall), "free above", "disc player") is Status.FAIL


# Names and materials in the design file.


@pytest.mark.parametrize("name", ["a\x07bell", "two\nlines", "turned \u202e round"])
def test_names_that_no_page_can_print_are_refused(rebuilt, name):
    with pytest.raises(DesignFileError, match=r"name is .*U\+"):
        rebuilt({"name": name})


def test_names_in_any_script_are_welcome(rebuilt):
    assert rebuilt({"name": "שולחן <b>\"'="}).design.name == "שולחן <b>\"'="


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"measured.thickness": {"walnut-ply-9/4": ["1 in"]}}, "walnut-ply-9/4"),
        ({"sheet": [{"stock": "wallnut-ply-3/4"}]}, "walnut-ply-3/4"),
        ({"matched": [{"boards": ["top", "botom"]}]}, "did you mean 'bottom'"),
        ({"base.kind": "bun feet"}, r"base\.kind is 'bun feet'"),
    ],
)
def test_names_of_nothing_are_told_when_the_file_is_read(rebuilt, changes, says):
    with pytest.raises(KitError, match=says):
        rebuilt(changes)


def test_an_opening_far_from_the_plan_is_a_mistake(rebuilt):
    assert status(rebuilt({"measured.opening": {"height": "1/4 in"}}), "opening as planned") is (
        Status.FAIL
    )
