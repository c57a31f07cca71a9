"""The steps: the order of the work, and nothing forgotten."""

import math
import re
from collections import Counter

import pytest
from hypothesis import given

from kit.checks.stability.handling import units
from kit.components.made import Means
from kit.edition import editions
from kit.making.areas import glue_mm2, takes_glue
from kit.making.buy_list import BuyKind, buy_list
from kit.making.set_ups import set_up_sheet
from kit.making.sheets import Finish, finish_of
from kit.making.steps import INSTALLING, Phase, printed, steps, to_text
from kit.room import Stand
from kit.routes import routes
from kit.units import Step as Length
from kit.units import System, text
from profiles import LISTS, examples
from strategies import built

IN = 25.4
few = examples(LISTS)


def of(order, phase):
    return [step for step in order if step.phase is phase]


def only(order, phase):
    (step,) = of(order, phase)
    return step


# --- the example -------------------------------------------------------------------------


def test_the_order_of_the_example(example):
    assert [step.phase for step in steps(example)] == [
        Phase.SHEETS,
        Phase.ROUGH,
        Phase.FINAL,
        Phase.EDGING,
        Phase.MACHINE,
        Phase.DRY_FIT,
        Phase.FIT,  # dividers
        Phase.MACHINE,
        Phase.DRY_FIT,
        Phase.FIT,  # the fixed shelf
        Phase.DRY_FIT,
        Phase.SAND,
        Phase.FINISH,  # inside: the back is rabbeted and goes on late
        Phase.GLUE_UP,
        Phase.BASE,
        Phase.LEVEL,
        Phase.FIT,  # doors, backs, adjustable shelf
        Phase.MACHINE,
        Phase.FINISH,
        Phase.FITTINGS,
        Phase.BACKS,
        Phase.PLACE,
        Phase.ANCHOR,
        Phase.SHELVES,
        Phase.CABLES,
        Phase.DOORS,
        Phase.SCREEN,
    ]


# --- what depends on what ----------------------------------------------------------------


@few
@given(built())
def test_wood_that_is_still_to_be_glued_is_masked_from_every_finish(made):
    """Glue does not hold on a film of finish. Common practice, no source."""
    _, work = made
    order = steps(work)
    late = [s for s in order if s.phase in (Phase.BACKS, Phase.BASE, Phase.GLUE_UP)]
    for step in late:
        glued = [f for f in step.fastenings if takes_glue(work, f)]
        for finish in (s for s in of(order, Phase.FINISH) if s.number < step.number):
            touched = [f for f in glued if {f.board, *f.to.split(", ")} & set(finish.boards)]
            if not touched:
                continue
            words = " ".join(finish.lines)
            if "Tape off every joint" in words:
                continue
            assert "Mask the glue lines first" in words
            assert "masking-tape" in finish.items
            for fastening in touched:
                for name in (fastening.board, *fastening.to.split(", ")):
                    assert f"{work.marks[name]} {name}" in words


def test_a_glued_back_goes_on_bare_wood(rebuilt):
    glued = [{"bays": [1]}, {"bays": [3], "removable": True}]
    order = steps(rebuilt({"back.panels": glued}))
    (mask,) = (line for s in of(order, Phase.FINISH) for line in s.lines if line.startswith("Mask"))
    assert "where I back-1 will be glued" in mask
    assert "C side-left" in mask
    assert "back-2" not in mask
    assert any("bare wood" in line for line in only(order, Phase.BACKS).lines)


@few
@given(built())
def test_the_case_stands_level_before_anything_is_cut_to_it(made):
    _, work = made
    order = steps(work)
    for step in of(order, Phase.FIT):
        if work.door_names & set(step.boards):
            level = only(order, Phase.LEVEL)
            assert level.gate
            assert only(order, Phase.GLUE_UP).number < level.number < step.number
            assert all(base.number < level.number for base in of(order, Phase.BASE))


@few
@given(built())
def test_nothing_stands_in_or_on_it_before_it_is_anchored(made):
    """It is carried empty, and nobody reaches the straps over gear and cables."""
    _, work = made
    order = steps(work)
    place, anchor = only(order, Phase.PLACE), only(order, Phase.ANCHOR)
    assert place.number < anchor.number
    assert anchor.gate
    after = (Phase.SHELVES, Phase.CABLES, Phase.DOORS, Phase.SCREEN)
    for step in order:
        assert (step.number > anchor.number) is (step.phase in after)
    standing = work.design.screen is not None and work.design.screen.stand is Stand.FEET
    assert bool(of(order, Phase.SCREEN)) is standing


def test_what_runs_behind_is_drawn_while_one_gets_there(example, rebuilt):
    order = steps(example)
    place = only(order, Phase.PLACE)
    (drawn,) = (line for line in place.lines if "get behind it, smaller plug" in line)
    behind = {route.number for route in routes(example) if route.passes_behind}
    assert {int(n) for n in re.findall(r"(\d+) \(", drawn)} == behind == {1, 2, 3, 4, 5, 12}
    assert any("The outlet is behind the case: plug 12" in line for line in place.lines)
    beside = rebuilt({"room.outlets.1.across": "-6 in"})
    assert not any("outlet is behind" in line for line in only(steps(beside), Phase.PLACE).lines)


def test_the_screen_is_set_down_where_the_checks_have_it_and_strapped(example, rebuilt):
    """Feet 44 in apart on a 78 in top: 17 and 61 in; 12 in deep on 21 in: 9 in from the front."""
    step = only(steps(example), Phase.SCREEN)
    assert "17 in from the left side, of the other 61 in" in step.lines[0]
    assert "9 in behind the front edge" in step.lines[0]
    assert "24 kg: 2 people" in step.lines[1]
    assert "1 x anti-tip strap for the screen between its rear and the wall" in step.lines[2]
    assert "screen-strap" in step.items
    assert "screen-strap" in {row.key for row in buy_list(example)}
    unmeasured = only(steps(rebuilt({"screen.feet": None, "screen.mass_kg": None})), Phase.SCREEN)
    assert "the middle of the screen over the middle of the top" in unmeasured.lines[0]
    assert unmeasured.lines[1].startswith("Two people")
    hung = rebuilt({"screen.stand": "wall"})
    assert not of(steps(hung), Phase.SCREEN)
    assert "screen-strap" not in {row.key for row in buy_list(hung)}


def test_the_mass_said_is_that_of_what_is_lifted(example):
    """The case alone, then with its base, then all but what is left out; 23 kg a person."""
    order = steps(example)
    said = {
        step.phase: [int(n) for c in step.cautions for n in re.findall(r"weighs (\d+) kg", c)]
        for step in order
        if step.phase in (Phase.BASE, Phase.LEVEL, Phase.PLACE)
    }
    mass = {board.name: board.mass_kg for board in example.boards}
    out = mass["door-1"] + mass["door-2"] + mass["shelf-2"]
    case = next(unit for unit in units(example) if unit.name == "case")
    assert said[Phase.BASE] == [round(case.kg)]
    backs = mass["back-1"] + mass["back-2"]
    assert said[Phase.LEVEL] == [round(sum(mass.values()) - out - backs)]
    assert said[Phase.PLACE] == [round(sum(mass.values()) - out)]
    words = " ".join(only(order, Phase.PLACE).cautions)
    assert "2 people lift it, no more than 23 kg each" in words


def test_liners_are_one_to_a_hole_in_steps_and_buy_list(example):
    """Six cable holes of 60 mm: two in the dividers, two in each back panel."""
    (row,) = (row for row in buy_list(example) if row.key == "grommet-60")
    assert (row.need, row.buy) == (6, 6)
    assert row.note == "one to a hole, pressed in from the side that is seen"
    fittings = only(steps(example), Phase.FITTINGS)
    assert fittings.lines[0].startswith("One to a hole, pressed in from the side that is seen")
    counts = [int(line.split(": ")[1].split(" x ")[0]) for line in fittings.lines[1:]]
    assert counts == [1, 1, 2, 2]


def test_the_straps_go_where_the_check_has_them_and_studs_are_found_first(example, example_report):
    place = only(steps(example), Phase.PLACE)
    (check,) = (f for f in example_report.findings if f.check == "anchors hold")
    where = "3 15/16 in from"
    assert any(where in line and "rear of the top" in line for line in place.lines)
    assert where in check.why
    assert "nearest stud" in check.why
    assert place.lines[0].startswith("Find two studs")
    (strap,) = (row for row in buy_list(example) if row.key == "anti-tip-strap")
    assert "find them first" in strap.note


def test_square_is_proved_by_the_diagonal(example):
    # 78 x 18 in: sqrt(78^2 + 18^2) = 80.05 in, 80 1/16 on a tape; top 20 31/32 x 77 9/16:
    # 80.35 in
    gate = of(steps(example), Phase.DRY_FIT)[0]
    assert gate.gate
    assert math.hypot(78, 18) == pytest.approx(80.05, abs=0.001)
    assert any("80 1/16 in each" in line for line in gate.lines)
    final = only(steps(example), Phase.FINAL)
    assert any("80 11/32 in" in line and "A top, B bottom" in line for line in final.lines)


def test_what_is_final_off_the_sheet_is_checked_and_not_cut_again(example, rebuilt):
    """The example is cut with a track saw, each board at its size: nothing is left to take off."""
    final = only(steps(example), Phase.FINAL)
    assert final.title == "Check the sizes of the boards"
    assert not any("fence" in line for line in final.lines)
    assert not final.cautions
    assert any("do not cut them again" in line for line in final.lines)
    # the table saw takes the 18 in sides and the short rails; the rest is too long for it
    table = rebuilt({"shop.table_saw": {"crosscut": "48 in", "rip": "24 in"}})
    order = steps(table)
    rough, final = only(order, Phase.ROUGH), only(order, Phase.FINAL)
    assert final.title == "Cut to final width and length"
    assert "Guards on" in " ".join(final.cautions)
    (over,) = (line for line in rough.lines if line.startswith("Cut 1/4 in over each way"))
    assert "C side-left" in over
    assert "A top" not in over
    at_saw, as_it_is = (
        next(n for n, line in enumerate(final.lines) if words in line)
        for words in ("one setting of the fence", "do not cut them again")
    )
    where = {b: n for n, line in enumerate(final.lines) for b in final.boards if f" {b}: " in line}
    assert at_saw < where["side-left"] < as_it_is < where["top"]


@few
@given(built())
def test_a_board_is_cut_where_it_has_something_to_spare_and_nowhere_else(made):
    _, work = made
    final = only(steps(work), Phase.FINAL)
    told = "\n".join(final.lines).partition("do not cut them again")
    for board in work.boards:
        if board.fit is not None:
            continue
        spare = finish_of(board, work.design.shop) is not Finish.GUIDE
        assert f" {board.name}: " in (told[0] if spare else told[2])


def test_a_door_is_measured_at_the_opening_and_cut_less_its_edging(example):
    # 5/16 in of groove less 1.5 mm of lift: 1/4 in; two strips of 0.6 mm are 0.047 in
    order = steps(example)
    line = next(ln for step in order for ln in step.lines if ln.startswith("K door-1: length"))
    assert example.by_name["door-1"].fit.measure in line
    assert " + 1/4 in; expected 16 13/16 in" in line
    assert "cut 0.047 in less for its edging" in line
    fit = next(s for s in order if s.phase is Phase.FIT and "door-1" in s.boards)
    assert fit.number > only(order, Phase.GLUE_UP).number


def test_let_in_backs_go_in_at_glue_up(rebuilt):
    panels = [{"bays": [1]}, {"bays": [3]}]
    order = steps(rebuilt({"back.method": "let-in", "back.panels": panels}))
    glue_up = only(order, Phase.GLUE_UP)
    assert {"back-1", "back-2"} <= set(glue_up.boards)
    assert not of(order, Phase.BACKS)
    first = of(order, Phase.FINISH)[0]
    assert first.number < glue_up.number
    assert set(first.boards) == {"back-1", "back-2"}


def test_backs_that_go_on_late_let_the_inside_be_finished_first(rebuilt):
    for method in ("rabbeted", "planted"):
        order = steps(rebuilt({"back.method": method}))
        first = of(order, Phase.FINISH)[0]
        assert first.number < only(order, Phase.GLUE_UP).number < only(order, Phase.BACKS).number
        assert {"top", "bottom", "side-left", "side-right"} <= set(first.boards)


def test_sheets_that_are_not_measured_are_a_gate(rebuilt, example):
    assert not only(steps(example), Phase.SHEETS).gate
    step = only(steps(rebuilt({"measured": None})), Phase.SHEETS)
    assert step.gate
    assert any("[measured.thickness]" in line for line in step.lines)


def test_only_the_steps_that_the_design_needs(rebuilt):
    bare = {
        "doors": None,
        "back": None,
        "base": None,
        "shelf": [],
        "divider": [],
        "gear": [],
        "hole": [],
        "case.edging": None,
    }
    phases = {step.phase for step in steps(rebuilt(bare))}
    assert phases == {
        Phase.SHEETS,
        Phase.ROUGH,
        Phase.FINAL,
        Phase.MACHINE,
        Phase.DRY_FIT,
        Phase.SAND,
        Phase.FINISH,
        Phase.GLUE_UP,
        Phase.PLACE,
        Phase.ANCHOR,
        Phase.SCREEN,
    }


def test_cautions_stand_where_they_are_due(example):
    said = {
        phase: " ".join(c for s in of(steps(example), phase) for c in s.cautions) for phase in Phase
    }
    for phase in (Phase.ROUGH, Phase.MACHINE, Phase.FIT):
        assert "Guards on" in said[phase]
        assert "manual" in said[phase]
    assert "dust" in said[Phase.SAND]
    assert "Rags" in said[Phase.FINISH]
    assert "2 people lift it" in said[Phase.BASE]
    assert "Lift in twos" in said[Phase.ANCHOR]
    assert "pipes in the wall" in said[Phase.PLACE]
    assert "tip" in said[Phase.SCREEN]
    assert "mains" in said[Phase.CABLES]
    assert not said[Phase.FITTINGS]  # pressing liners is no wiring
    assert "tip" in said[Phase.ANCHOR]
    assert "codes" in said[Phase.ANCHOR]


def test_text_is_numbered_wrapped_and_in_one_system(example):
    for system in System:
        order = steps(example, system)
        words = to_text(order, "Film room console")
        title, legend, first = words.split("\n\n")[:3]
        assert title == "Film room console"
        for mark in ("face A is the show face", "edge 1", "end 1", "label"):
            assert mark in " ".join(legend.split())
        assert first.startswith("1. ")
        assert max(map(len, words.splitlines())) <= 92
        assert [row["no"] for row in printed(order)] == [str(n + 1) for n in range(len(order))]
        diagonal = text(math.hypot(78 * IN, 18 * IN), system, step=Length.BOARD)
        assert diagonal in " ".join(words.split())
    metric = " ".join(line for step in steps(example, System.METRIC) for line in step.lines)
    labels = [stock.label for stock in example.stocks]
    labels += [row.label for row in buy_list(example)]
    for label in sorted(labels, key=len, reverse=True):
        metric = metric.replace(label, "")
    assert re.search(r"\d mm\b", metric)
    assert not re.search(r"\d in\b", metric)


# --- solid wood, screws and boards without grain -----------------------------------------


def said(order, phase):
    return " ".join(line for step in of(order, phase) for line in step.lines)


def test_solid_wood_is_planed_and_ripped(rebuilt, example):
    legs = {"kind": "legs", "height": "6 in", "rail_height": "3 in", "leg": "44 mm"}
    casework = rebuilt(
        {"base": legs | {"leg_stock": "walnut-board-8/4"}, "shop.units": "mm", "measured": None}
    )
    order = steps(casework)
    rough = only(order, Phase.ROUGH)
    (line,) = (line for line in rough.lines if "8/4" in line)
    for word in ("plane it to 44 mm", "rip", *(b.name for b in casework.boards if "leg" in b.name)):
        assert word in line
    # it is no sheet: nothing of it is measured, and it cannot be a gate
    assert "8/4" not in said(order, Phase.SHEETS)
    assert rough.title == "Break down sheets and lumber"
    assert only(steps(example), Phase.ROUGH).title == "Break down the sheets"


def test_a_lipping_is_ripped_over_and_trimmed_flush(rebuilt):
    shelf = {
        "bay": 1,
        "clear_below": "8 in",
        "lipping": {"stock": "walnut-lipping-1/4", "thickness": "1/4 in", "height": "1 in"},
    }
    order = steps(rebuilt({"shelf.1": shelf}))
    assert "1/16 in higher" in said(order, Phase.ROUGH)
    fit = next(s for s in of(order, Phase.FIT) if "shelf-1-lipping" in s.boards)
    assert any("1 in, and 1/16 in over" in line for line in fit.lines)
    assert "trim it flush" in said(order, Phase.LIPPING)


def test_flat_heads_are_countersunk_and_covered_where_they_show(rebuilt, example):
    assert "countersink" not in said(steps(example), Phase.GLUE_UP)
    joint = {"joint": "screws"}
    casework = rebuilt({"divider": [{"at": "22 1/2 in"} | joint, {"at": "55 1/2 in"} | joint]})
    words = said(steps(casework), Phase.GLUE_UP)
    # screws go through top and bottom into the ends of the dividers
    assert "countersink the screws in the show faces of A top, B bottom" in words
    assert "plug or cover" in words
    butt = said(steps(rebuilt({"case.corner": "butt", "case.corner_depth": None})), Phase.GLUE_UP)
    assert "C side-left, D side-right" in butt.split("countersink")[1]


def test_nothing_is_said_of_grain_where_there_is_none(rebuilt, example):
    mdf = {"case.stock": "mdf-3/4", "doors.stock": "mdf-1/2", "back": None}
    assert "grain" not in to_text(steps(rebuilt({**mdf, "measured": None})))
    assert "with the grain" in to_text(steps(example))


# --- over random designs -------------------------------------------------------------------


@few
@given(built())
def test_every_board_has_its_place_once(made):
    _, work = made
    installed = Counter(
        name for step in steps(work) if step.phase in INSTALLING for name in step.boards
    )
    assert installed == Counter(board.name for board in work.boards)


@few
@given(built())
def test_every_board_is_cut_once_and_a_fitted_one_only_after_measuring(made):
    _, work = made
    order = steps(work)
    cut = Counter(name for s in order if s.phase in (Phase.FINAL, Phase.FIT) for name in s.boards)
    assert cut == Counter(board.name for board in work.boards)
    rough = only(order, Phase.ROUGH)
    gates = [s.number for s in of(order, Phase.DRY_FIT)]
    for board in work.boards:
        if board.fit is None:
            assert board.name in only(order, Phase.FINAL).boards
            continue
        (fit,) = [s for s in of(order, Phase.FIT) if board.name in s.boards]
        formula = editions(work, work.design.shop.units)[board.name].fit
        assert formula.startswith(f"{board.fit.side} = {board.fit.measure}")
        assert any(f" {board.name}: {formula}" in line for line in fit.lines)
        assert any(board.name in line for line in rough.lines if line.startswith("Leave rough"))
        assert min(gates) < fit.number
        for step in order:
            final = step.phase in (*INSTALLING, Phase.MACHINE, Phase.EDGING, Phase.DRY_FIT)
            if final and board.name in step.boards:
                assert step.number > fit.number, (board.name, step.title)


@few
@given(built())
def test_every_setting_is_used_on_every_board_it_is_for(made):
    _, work = made
    order = steps(work)
    used = Counter(
        (number, name)
        for step in of(order, Phase.MACHINE)
        for number in step.settings
        for name in step.boards
        if name in set_up_sheet(work)[number - 1].boards
    )
    wanted = {(s.number, name) for s in set_up_sheet(work) for name in s.boards}
    assert set(used) == wanted
    assert not used or max(used.values()) == 1
    for step in of(order, Phase.MACHINE):
        assert list(step.settings) == sorted(step.settings)


@few
@given(built())
def test_machining_is_done_before_a_board_gets_its_place(made):
    _, work = made
    order = steps(work)
    placed = {name: s.number for s in order if s.phase in INSTALLING for name in s.boards}
    for step in of(order, Phase.MACHINE):
        for name in step.boards:
            if not name.endswith("-lipping"):
                assert step.number < placed[name]


@few
@given(built(doors=True))
def test_tracks_are_cut_before_assembly(made):
    _, work = made
    order = steps(work)
    tracks = {
        setting.number
        for setting in set_up_sheet(work)
        if any(getattr(cut.feature, "mate", "") == "sliding doors" for cut in setting.cuts)
    }
    assert tracks
    for step in of(order, Phase.MACHINE):
        if tracks & set(step.settings):
            assert step.number < only(order, Phase.GLUE_UP).number
    assert only(order, Phase.DOORS).number > only(order, Phase.GLUE_UP).number


@few
@given(built())
def test_laminating_comes_before_all_other_work(made):
    _, work = made
    order = steps(work)
    layered = {board.name for board in work.boards if board.layers > 1}
    assert bool(of(order, Phase.LAMINATE)) == bool(layered)
    if layered:
        step = only(order, Phase.LAMINATE)
        assert set(step.boards) == layered
        for other in order:
            if other.phase not in (Phase.SHEETS, Phase.ROUGH, Phase.LAMINATE):
                assert step.number < other.number


@few
@given(built())
def test_steps_and_buy_list_name_the_same_things(made):
    _, work = made
    bought = {row.key for row in buy_list(work)}
    rods = {f.item for f in work.fastenings if f.means is Means.CROSS_PINS}
    assert {item for step in steps(work) for item in step.items} == bought | (rods - {None})


@few
@given(built())
def test_every_fastener_stands_in_one_step_with_its_count(made):
    """By the words that are printed, not by keys."""
    _, work = made
    order = steps(work)
    assert Counter(f for step in order for f in step.fastenings) == Counter(work.fastenings)
    for row in buy_list(work):
        if row.kind is not BuyKind.HARDWARE or "not in the tables" in row.label:
            continue
        told = [ln for step in order for ln in step.lines if row.label in ln]
        assert told, row.label
        if not row.purpose.startswith(("cable holes", "anchors")):
            counts = [int(ln.split(" x ")[0]) for ln in told if f" x {row.label}:" in ln]
            assert sum(counts) == row.need


def test_dowels_are_glued_in_and_the_glue_is_named(rebuilt):
    dividers = [{"at": at, "joint": "dowels"} for at in ("22 1/2 in", "55 1/2 in")]
    casework = rebuilt({"divider": dividers, "case.corner": "butt", "case.corner_depth": None})
    assert any(row.key == "pva" for row in buy_list(casework))
    lines = only(steps(casework), Phase.GLUE_UP).lines
    assert "Glue the dowels in with PVA wood glue." in lines


@few
@given(built())
def test_glue_is_named_where_it_is_needed(made):
    _, work = made
    named = any("pva" in step.items for step in steps(work))
    assert named == (glue_mm2(work) > 0)


@few
@given(built())
def test_gates_come_before_what_cannot_be_undone(made):
    _, work = made
    order = steps(work)
    glue_up = only(order, Phase.GLUE_UP)
    case = work.design.case
    across = math.hypot(case.width, case.height)
    diagonal = text(across, work.design.shop.units, step=Length.BOARD)
    last = of(order, Phase.DRY_FIT)[-1]
    assert last.number < glue_up.number
    assert last.gate
    assert glue_up.gate
    assert set(glue_up.boards) == set(last.boards)
    for step in (last, glue_up):
        assert any(diagonal in line for line in step.lines)
