"""The set-up sheet agrees with the features, whose cutters the solids are made of."""

import csv
import io
import re
from dataclasses import replace

import pytest
from hypothesis import given

from kit.board import Operation
from kit.cutters import cutters
from kit.geometry import Box
from kit.joinery import Dado
from kit.making.set_ups import ORDER, printed, set_up_sheet, to_csv
from kit.units import Step, System, length
from profiles import CONSOLE, examples
from strategies import built

CLAMPED = re.compile(r"clamp (\S+) and (\S+) edge (\d) to edge (\d)")


@examples(CONSOLE)
@given(built())
def test_every_feature_is_set_up_once_and_alike(made):
    _, casework = made
    sheet = set_up_sheet(casework)
    cuts = [(cut.board, id(cut.feature)) for s in sheet for cut in s.cuts]
    wanted = [(b.name, id(f)) for b in casework.boards for f in b.features]
    assert sorted(set(cuts)) == sorted(wanted)
    for setting in sheet:
        for cut in setting.cuts:
            board = casework.by_name[cut.board]
            boxes = [c for c in cut.feature.cutters(board) if isinstance(c, Box)]
            if setting.operation in (Operation.DADO, Operation.GROOVE, Operation.RABBET):
                (box,) = boxes
                *in_plane, depth = box.size
                assert setting.depth == pytest.approx(depth, abs=0.011)
                assert any(setting.width == pytest.approx(s, abs=0.011) for s in in_plane)
    stages = [ORDER.index(s.operation) for s in sheet]
    assert stages == sorted(stages)
    assert [s.number for s in sheet] == list(range(1, len(sheet) + 1))


def test_equal_cuts_are_made_at_one_setting(example):
    sheet = set_up_sheet(example)
    rabbets = [s for s in sheet if s.operation is Operation.RABBET]
    corners = [s for s in rabbets if "side-left" in s.boards and "top" not in s.boards]
    assert len(corners) == 1
    assert len(corners[0].cuts) == 4  # both ends of both sides


def test_tracks_come_before_all_other_cuts(example):
    sheet = set_up_sheet(example)
    tracks = [
        s.number
        for s in sheet
        if any(getattr(c.feature, "mate", "") == "sliding doors" for c in s.cuts)
    ]
    assert tracks == [1, 2, 3, 4]


def test_top_and_bottom_are_cut_in_one_pass_where_the_cuts_run_out(example):
    """The dadoes stop behind the door tracks and run out at the rear: rear to rear, one pass."""
    dadoes = [s for s in set_up_sheet(example) if s.operation is Operation.DADO]
    together = [s for s in dadoes if {"top", "bottom"} <= set(s.boards)]
    assert len(together) == 2
    for setting in together:
        (note,) = (note for note in setting.notes if "clamp top and bottom" in note)
        assert "edge 2 to edge 2" in note
        assert "a stop at each outer edge" in note


@examples(CONSOLE)
@given(built(doors=True))
def test_no_pass_over_a_clamped_pair_crosses_wood_that_must_stay(made):
    """Where two boards meet, both cuts run out; where a cut stops, its edge points outwards."""
    _, casework = made
    for setting in set_up_sheet(casework):
        for note in setting.notes:
            for one, other, edge, again in CLAMPED.findall(note):
                assert edge == again
                for name in (one, other):
                    board = casework.by_name[name]
                    cuts = [cut.feature for cut in setting.cuts if cut.board == name]
                    assert cuts
                    for cut in cuts:
                        reaches = cut.start < 1e-6 if edge == "1" else cut.stop > board.width - 1e-6
                        assert reaches, (name, note)
                        stopped = cut.start > 1e-6 or cut.stop < board.width - 1e-6
                        assert stopped == ("a stop at each outer edge" in note)


def test_cuts_stopped_at_both_ends_are_two_cuts_from_one_guide(example):
    stopped = [
        replace(f, stop=f.stop - 50.0) if isinstance(f, Dado) else f
        for f in example.by_name["top"].features
    ]
    top = replace(example.by_name["top"], features=tuple(stopped))
    bottom = replace(example.by_name["bottom"], features=tuple(stopped))
    boards = tuple({"top": top, "bottom": bottom}.get(b.name, b) for b in example.boards)
    sheet = set_up_sheet(replace(example, boards=boards))
    notes = [n for s in sheet if {"top", "bottom"} <= set(s.boards) for n in s.notes]
    assert sum("two stopped cuts from one guide" in note for note in notes) == 2
    assert not any("clamp top and bottom" in note for note in notes)


def test_a_track_is_tried_with_what_is_there_when_it_is_cut(example, rebuilt):
    """The doors are cut and finished long after their tracks."""
    tests = {s.test for s in set_up_sheet(example) if s.cuts_track}
    assert tests == {
        "cut a test groove in scrap first: an offcut of the 1/2 in walnut plywood, taped and "
        "finished like a door, must slide in it by its own weight"
    }
    bare = set_up_sheet(rebuilt({"doors.edging": None}))
    assert all("plywood, finished like a door, must" in s.test for s in bare if s.cuts_track)


def test_only_machines_of_the_shop_are_named(example, rebuilt):
    """A track saw takes no dado set; a table saw takes one where it can handle the board."""
    told = [" ".join((s.cutter, s.test, *s.notes)) for s in set_up_sheet(example)]
    assert not any("dado set" in words or "table saw" in words for words in told)
    table = {"shop.table_saw": {"crosscut": "48 in", "rip": "24 in"}}
    sheet = set_up_sheet(rebuilt(table))
    with_stack = [s for s in sheet if "dado set" in s.cutter]
    # grooves of 77 in run along the fence; the end rabbets of the 18 in sides are crosscut
    assert {s.operation for s in with_stack} == {Operation.GROOVE, Operation.RABBET}
    assert all(not cut.stations for s in with_stack for cut in s.cuts)
    rabbets = [s for s in with_stack if s.operation is Operation.RABBET]
    assert all(any("sacrificial board" in note for note in s.notes) for s in rabbets)
    narrow = set_up_sheet(rebuilt({"shop.table_saw": {"crosscut": "12 in", "rip": "24 in"}}))
    corner = next(s for s in narrow if s.operation is Operation.RABBET and len(s.boards) == 2)
    assert "dado set" not in corner.cutter


def test_a_rabbet_has_one_wall_and_a_bit_that_reaches_it(example):
    for setting in set_up_sheet(example):
        if setting.operation is not Operation.RABBET:
            continue
        words = " ".join((setting.cutter, *setting.notes))
        assert "other wall" not in words
        bit = next(b for b in cutters().values() if b.name in setting.cutter)
        assert bit.diameter_mm >= setting.width
        assert bit.depth_max_mm >= setting.depth


def test_bores_name_the_cutter_of_their_diameter(example):
    bores = [s for s in set_up_sheet(example) if s.operation is Operation.BORE]
    assert {s.cutter for s in bores} == {"60 mm hole saw", "5 mm brad-point drill"}
    through = [s for s in bores if s.cutter == "60 mm hole saw"]
    assert all(any("back it up" in note for note in s.notes) for s in through)


def test_an_odd_hole_says_which_cutter_is_near(rebuilt):
    hole = {"board": "divider-1", "along": "3 in", "across": "16 in", "diameter": "52.5 mm"}
    (setting,) = (s for s in set_up_sheet(rebuilt({"hole.1": hole})) if abs(s.width - 52.5) < 0.01)
    (note,) = (note for note in setting.notes if "No boring cutter" in note)
    # the sheet is printed in either system, and the note stands in both
    assert "a hole of 52.5 mm (2.067 in), 18.3 mm (0.719 in) deep" in note


@pytest.mark.parametrize("system", list(System))
def test_settings_are_printed_fine_enough_and_in_one_system(example, system):
    sheet = set_up_sheet(example)
    lines = printed(sheet, system)
    assert list(csv.DictReader(io.StringIO(to_csv(sheet, system)))) == lines
    scale = 25.4 if system is System.INCH else 1.0
    for setting, line in zip(sheet, lines, strict=True):
        fine = float(Step.CALIPER.tick(system)) * scale / 2 + 1e-6
        joint = float(Step.JOINT.tick(system)) * scale / 2 + 1e-6
        # the nearest tick; a housing that its mate would not enter then, the next one up
        up = length(line["width"]) - setting.width
        assert -fine <= up <= (fine if setting.width - fine > setting.width_least else 2 * fine)
        assert length(line["width"]) >= setting.width_least - 1e-9
        assert abs(length(line["depth"]) - setting.depth) <= fine
        assert abs(length(line["fence"]) - setting.fence) <= joint
        other = " mm" if system is System.INCH else " in,"
        assert other not in line["cuts"]


def test_only_cuts_across_are_made_on_clamped_pairs(example):
    for setting in set_up_sheet(example):
        clamped = any(CLAMPED.search(note) for note in setting.notes)
        both = {"top", "bottom"} <= set(setting.boards)
        assert clamped is (both and setting.operation is Operation.DADO)


def test_slots_say_how_many_and_how_far_apart(example):
    (setting,) = (s for s in set_up_sheet(example) if s.operation is Operation.SLOT)
    (line,) = printed([setting], System.INCH)
    assert line["repeat"] == "14 times, 1.250 in apart"


def test_scrap_is_as_thick_as_what_goes_in(rebuilt):
    shelf = {"bay": 1, "clear_below": "8 in", "stock": "walnut-ply-1/2", "layers": 2}
    tests = {s.test for s in set_up_sheet(rebuilt({"shelf.1": shelf}))}
    assert "cut scrap first: 2 glued layers of 1/2 in walnut plywood must slide in by hand" in tests
    assert any("must lie flush" in test for test in tests)
