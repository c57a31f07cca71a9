"""The inch and the metric edition: what is printed, that it agrees, and that it fits."""

import csv
import io
import re
import xml.etree.ElementTree as ET
from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import assume, given

from kit.checks import check
from kit.components.doors import LEAST_ENGAGED, LEAST_LIFT
from kit.draw.sheets import sheet_svg
from kit.edition import Side, edition, editions
from kit.errors import BuildError
from kit.finding import Status
from kit.geometry import Box
from kit.joinery import Trench
from kit.making import sheet_data
from kit.making.cut_list import cut_list, to_csv
from kit.making.labels import labels
from kit.making.set_ups import printed as printed_settings
from kit.making.set_ups import set_up_sheet
from kit.making.sheets import Finish, sheet_plan
from kit.making.steps import Phase, steps
from kit.notebook.tables import cut_list_text
from kit.units import MM_PER_INCH, Rounding, Step, System, length, residue, text
from profiles import PICTURES, SOLIDS, examples
from strategies import assemble, built, pairs_that_mate

few = examples(PICTURES)
BOTH = pytest.mark.parametrize("system", list(System))
#: Wood that two boards share by less than this in one direction is rounding, mm.
TOUCH = 0.02


def ticks(system):
    """The ticks of a board in mm: that of the rule, and the finer one."""
    return (MM_PER_INCH / 32, MM_PER_INCH / 64) if system is System.INCH else (0.5, 0.1)


def is_multiple(mm, tick):
    return abs(mm / tick - round(mm / tick)) < 1e-6


# --- boards as printed, in plain boxes -------------------------------------------------


def as_cut(casework, system):
    """By board and side, what the wood has too much when it is cut to the printed cut size."""
    lines = csv.DictReader(io.StringIO(to_csv(cut_list(casework), system)))
    found = {}
    for board, line in zip(casework.boards, lines, strict=True):
        size = casework.as_measured(board, board.cut)
        found[board.name, Side.LENGTH] = length(line["cut L"]) - size.length
        found[board.name, Side.WIDTH] = length(line["cut W"]) - size.width
    return found


def way(casework, board, axis, sign):
    """How far the wood at one end of a board may grow before it meets other wood (3 mm: free)."""
    end = board.box.hi[axis] if sign > 0 else board.box.lo[axis]
    free = 3.0
    for box in board.solid_boxes:
        if abs((box.hi if sign > 0 else box.lo)[axis] - end) > 1e-6:
            continue
        lo, hi = list(box.lo), list(box.hi)
        lo[axis], hi[axis] = (end, end + 3.0) if sign > 0 else (end - 3.0, end)
        for k in range(3):
            if k != axis:
                lo[k], hi[k] = lo[k] - 0.4, hi[k] + 0.4
        grown = Box(tuple(lo), tuple(hi))
        for other in casework.boards:
            if other.name == board.name:
                continue
            for wood in other.solid_boxes:
                gap = wood.lo[axis] - end if sign > 0 else end - wood.hi[axis]
                beside = any(
                    wood.lo[k] >= box.hi[k] - 1e-6 or wood.hi[k] <= box.lo[k] + 1e-6
                    for k in range(3)
                    if k != axis
                )
                if grown.common(wood) and not (beside and gap < -1e-6):
                    free = min(free, max(0.0, gap))
    return free


def as_built(casework, board, off):
    """The wood of a board as printed: what it has too much goes where there is most room."""
    boxes = list(board.solid_boxes)
    for side, heading in ((Side.LENGTH, board.place.along), (Side.WIDTH, board.place.across)):
        axis, more = heading.axis, off[board.name, side]
        low = high = 0.5
        if more > 0:
            room = [way(casework, board, axis, sign) for sign in (-1, 1)]
            low, high = (r / sum(room) for r in room) if sum(room) > 0 else (0.5, 0.5)
        ends = board.box.lo[axis], board.box.hi[axis]
        moved = []
        for box in boxes:
            lo, hi = list(box.lo), list(box.hi)
            if abs(lo[axis] - ends[0]) < 1e-6:
                lo[axis] -= more * low
            if abs(hi[axis] - ends[1]) < 1e-6:
                hi[axis] += more * high
            moved.append(Box(tuple(lo), tuple(hi)))
        boxes = moved
    return boxes


def clash(these, those):
    """The least direction of the largest common box, mm."""
    return max((min(c.size) for a in these for b in those if (c := a.common(b))), default=0.0)


@few
@given(built())
def test_boards_cut_as_printed_clash_nowhere_that_they_fitted(made):
    _, casework = made
    boards = casework.boards
    for system in System:
        off = as_cut(casework, system)
        wood = {b.name: as_built(casework, b, off) for b in boards}
        hulls = {b.name: b.box for b in boards}
        for one, other in combinations(boards, 2):
            near = all(
                hulls[one.name].lo[k] - 2 < hulls[other.name].hi[k]
                and hulls[other.name].lo[k] - 2 < hulls[one.name].hi[k]
                for k in range(3)
            )
            if not near or clash(one.solid_boxes, other.solid_boxes) > TOUCH:
                continue
            shared = clash(wood[one.name], wood[other.name])
            assert shared <= TOUCH, (system, one.name, other.name)


@few
@given(built())
def test_tongues_stay_housed_and_doors_lift_in_and_stay_in(made):
    """An end that reaches into its mate still does where it has lost all at this one end."""
    _, casework = made
    for system in System:
        unheld = {(r.board, r.side) for r in edition(casework, system).refusals if r.over}
        off = as_cut(casework, system)
        for host, mate in pairs_that_mate(casework):
            common = host.box.common(mate.box)
            if common is None:
                continue
            for side in Side:
                heading = mate.place.along if side is Side.LENGTH else mate.place.across
                k = heading.axis
                at_an_end = common.size[k] < mate.box.size[k] - 1e-6
                if not at_an_end or (mate.name, side) in unheld:
                    continue
                lost = max(0.0, -off[mate.name, side])
                assert common.size[k] - lost >= common.size[k] / 2 - TOUCH
        hung = casework.doors
        for door in hung.doors if hung else ():
            more = off[door.board.name, Side.LENGTH]
            if (door.board.name, Side.LENGTH) in unheld:
                continue
            if hung.lift >= LEAST_LIFT:
                assert hung.lift - more >= LEAST_LIFT - TOUCH
            if hung.engagement >= LEAST_ENGAGED:
                assert hung.engagement + more >= LEAST_ENGAGED - TOUCH


# --- by hand --------------------------------------------------------------------------


def console(at, *, held="fixed", units="mm"):
    """A case 1 m wide of sheets 18 mm thick, a divider, and a shelf in its left bay.

    Bay 1 reaches from the left side (18 mm) to half the divider (9 mm) before `at`; a fixed
    shelf enters both uprights by 6 mm and a pinned one ends 1 mm before them.
    """
    _, casework = assemble(
        {
            "name": "Film room shelf",
            "case": {
                "width": "1000 mm",
                "height": "400 mm",
                "depth": "300 mm",
                "stock": "birch-ply-18",
            },
            "divider": [{"at": f"{at} mm"}],
            "shelf": [{"bay": 1, "clear_below": "150 mm", "held": held}],
            "measured": {"thickness": {"birch-ply-18": ["18 mm"]}},
            "shop": {"units": units},
        }
    )
    return casework


def test_a_size_that_would_not_fit_goes_down_by_hand():
    # 500.3 - 9 - 18 + 2 x 6 = 485.3 mm; the nearest half millimetre is 485.5, 0.2 mm too long
    # for the way between the floors of its dadoes
    casework = console(500.3)
    assert casework.by_name["shelf-1"].length == pytest.approx(485.3)
    metric = edition(casework, System.METRIC)
    assert metric.boards["shelf-1"].cut.length.text == "485 mm"
    (told,) = (r for r in metric.refusals if r.board == "shelf-1" and r.side is Side.LENGTH)
    assert (told.nearest, told.printed, told.over) == ("485.5 mm", "485 mm", 0.0)
    assert told.why.startswith("the nearest tick is 0.20 mm longer, and it has 0.00 mm to spare")
    assert "side-left and divider-1" in told.why
    assert metric.residues["shelf-1", Side.LENGTH] == pytest.approx(-0.3)
    (finding,) = (f for f in check(casework) if f.check == "sizes as printed")
    assert finding.status is Status.OK
    assert "shelf-1 length 485 mm and not 485.5 mm" in finding.why
    # 485.3 mm is 19.106 in, between 19 3/32 (485.0) and 19 1/8 (485.8): nearest is the smaller
    assert editions(casework, System.INCH)["shelf-1"].cut.length.text == "19 3/32 in"


def test_a_size_with_room_goes_to_the_nearest_by_hand():
    # on pins: 500.3 - 9 - 18 - 2 x 1 = 471.3 mm, and 1 mm of room at each end
    metric = edition(console(500.3, held="pins"), System.METRIC)
    assert metric.boards["shelf-1"].cut.length.text == "471.5 mm"
    assert "shelf-1" not in {r.board for r in metric.refusals if r.side is Side.LENGTH}


def test_where_half_a_millimetre_would_undo_a_door_the_tick_is_finer(rebuilt):
    # Held by 5.875 - 0.6 - 3.175 = 2.1 mm and lifted in with 0.6 mm: a tenth either way, so
    # that no half millimetre fits unless the size lies on one.
    casework = rebuilt({"doors.top_depth": "5.875 mm", "doors.lift_clearance": "0.6 mm"})
    hung = casework.doors
    assert hung.engagement == pytest.approx(2.1)
    size = hung.doors[0].board.cut.length
    assert not is_multiple(size, 0.5)
    printed = edition(casework, System.METRIC).boards["door-1"].cut.length
    assert abs(printed.residue) <= 0.1 + 1e-6
    assert is_multiple(printed.mm, 0.1)
    assert not is_multiple(printed.mm, 0.5)


def test_the_metric_edition_is_not_the_inch_edition_converted(example):
    # 78 in are 1981.2 mm, a plinth of 76 in 1930.4 mm, 21 in 533.4 mm
    assert text(78 * MM_PER_INCH, System.METRIC, step=Step.OVERALL) == "1981 mm"
    metric = editions(example, System.METRIC)
    inch = editions(example, System.INCH)
    assert inch["base-front"].cut.length.text == "76 in"
    assert metric["base-front"].cut.length.text == "1930.5 mm"
    assert inch["top"].finished.width.text == "21 in"
    assert metric["top"].finished.width.text == "533.5 mm"
    converted = [
        name
        for name, board in metric.items()
        for one, other in (
            (board.cut.length, inch[name].cut.length),
            (board.cut.width, inch[name].cut.width),
        )
        if abs(one.mm - other.mm) < 1e-9 and not is_multiple(one.true, 0.5)
    ]
    assert converted == []


@few
@given(built())
def test_sizes_are_whole_ticks_and_the_nearest_unless_refused(made):
    # The inch is 25.4 mm exactly (international yard and pound agreement, 1959), so that 1/64
    # in is 0.396875 mm, and the nearest of them is at most half of that away.
    assert Fraction(str(MM_PER_INCH)) == Fraction(254, 10)
    _, casework = made
    for system in System:
        tick, fine = ticks(system)
        made_of = edition(casework, system)
        refused = {(r.board, r.side, r.printed) for r in made_of.refusals}
        for name, board in made_of.boards.items():
            for face in (board.finished, board.cut, board.rough):
                for side, one in ((Side.LENGTH, face.length), (Side.WIDTH, face.width)):
                    assert length(one.text) == one.mm
                    assert abs(one.residue) < tick
                    if (name, side, one.text) in refused:
                        assert is_multiple(one.mm, fine)
                    else:
                        assert is_multiple(one.mm, tick)
                        assert abs(one.residue) <= tick / 2 + TOUCH
        for mm in (b.length for b in casework.boards):
            assert abs(residue(mm, System.INCH, step=Step.FINE)) <= 0.396875 / 2 + 1e-9


def test_equal_boards_print_alike(example):
    for system in System:
        made_of = editions(example, system)
        for one, other in (("side-left", "side-right"), ("top", "bottom"), ("door-1", "door-2")):
            assert made_of[one].cut.text == made_of[other].cut.text


@pytest.mark.parametrize(
    ("mm", "down", "up"),
    [(10.3, "10 mm", "10.5 mm"), (10.5, "10.5 mm", "10.5 mm"), (0, "0 mm", "0 mm")],
)
def test_rounding_down_and_up(mm, down, up):
    assert text(mm, System.METRIC, step=Step.BOARD, rounding=Rounding.DOWN) == down
    assert text(mm, System.METRIC, step=Step.BOARD, rounding=Rounding.UP) == up


@few
@given(built())
def test_a_board_cut_by_its_printed_rule_is_not_too_long_for_its_housings(made):
    """Nothing to spare at either end: opening and printed allowance may not exceed the board."""
    _, casework = made
    for system in System:
        for name, board in editions(casework, system).items():
            fit = casework.by_name[name].fit
            if fit is None or fit.side != "length":
                assert fit is not None or board.fit == ""
                continue
            stood = casework.by_name[name]
            axis = stood.place.along.axis
            sign, plus = re.search(r"(?: ([+-]) ([^+-]+))?$", board.fit).groups()
            printed = (1 if sign == "+" else -1) * length(plus) if sign else 0.0
            assert abs(printed - fit.plus) < (MM_PER_INCH / 32 if system is System.INCH else 0.1)
            if all(way(casework, stood, axis, s) < 1e-6 for s in (-1, 1)):
                assert printed <= fit.plus + 0.05


# --- trenches -------------------------------------------------------------------------


@few
@given(built())
def test_no_trench_is_printed_too_narrow_for_its_mate(made):
    _, casework = made
    for system in System:
        told = [
            (cut.feature, row["width"])
            for row, setting in zip(
                printed_settings(set_up_sheet(casework), system),
                set_up_sheet(casework),
                strict=True,
            )
            for cut in setting.cuts
            if isinstance(cut.feature, Trench)
        ]
        for board in casework.boards:
            for cut in board.features:
                mate = casework.by_name.get(getattr(cut, "mate", ""))
                if not isinstance(cut, Trench) or mate is None:
                    continue
                words = re.search(r" ([0-9.]+ (?:mm|in)) wide", cut.callout(board, system))[1]
                thickest = mate.layers * mate.stock.thickness_max_mm
                assert length(words) >= thickest + cut.fit.gap / 2 - 1e-9
                assert length(words) - cut.width <= (0.1 if system is System.METRIC else 0.0254)
                assert (cut, words) in told


# --- all lists agree ------------------------------------------------------------------


@BOTH
@examples(SOLIDS)
@given(made=built())
def test_all_lists_print_one_size_of_a_board(system, made):
    _, casework = made
    try:
        plan = sheet_plan(casework)
    except BuildError:  # a board larger than any sheet
        assume(False)
    agree(casework, plan, system)


@BOTH
def test_all_lists_of_the_example_print_one_size_of_a_board(example, system):
    assert agree(example, sheet_plan(example), system) > 4


def agree(casework, plan, system):
    """Assert that they do; returns on how many boards of the sheets a size is drawn."""
    rows = {
        line["name"]: line
        for line in csv.DictReader(io.StringIO(to_csv(cut_list(casework), system)))
    }
    sizes = {name: f"{line['cut W']} x {line['cut L']}" for name, line in rows.items()}
    for label in labels(casework, plan, system):
        assert label.size == f"{rows[label.name]['cut T']} x {sizes[label.name]}"
    order = steps(casework, system)
    final = [ln for step in order if step.phase is Phase.FINAL for ln in step.lines]
    fitted = [ln for step in order if step.phase is Phase.FIT for ln in step.lines]
    for board in casework.boards:
        named = f"{casework.marks[board.name]} {board.name}: "
        if board.fit is None:
            assert any(ln.startswith(named + sizes[board.name]) for ln in final)
            continue
        line = next(ln for ln in fitted if ln.startswith(named))
        main, other = ("L", "W") if board.fit.side == "length" else ("W", "L")
        assert f"expected {rows[board.name][f'finished {main}']}" in line
        assert f": {rows[board.name][f'cut {other}']}" in line
    finish = {p.name: p for one in plan.stocks for p in one.parts}
    final_names = {
        n for n, p in finish.items() if p.finish is Finish.GUIDE and p.name == p.board.name
    }
    for cut in sheet_data.printed_cuts(casework, plan, system):
        freed = [names.split(" ", 1)[1] for names in cut["frees"].split(", ") if names]
        if freed and freed[0] in final_names:
            line = rows[freed[0]]
            assert cut["set guide to"] in (line["cut W"], line["cut L"])
    words = [
        t.text
        for one in plan.stocks
        for sheet in one.layout.sheets
        for t in ET.fromstring(sheet_svg(casework, one, sheet, units=system)).iter()
        if t.text
    ]
    drawn = 0
    for name in final_names:  # the smallest boards bear no size
        label = f"{casework.marks[name]}  {name}"
        after = [w.removeprefix(label + "  ") for w in words if w.startswith(label + "  ")]
        after += [words[words.index(label) + 1]] if label in words else []
        for size in after:
            if re.fullmatch(r"[0-9].* x [0-9].*", size):
                assert size == sizes[name]
                drawn += 1
    if system is casework.design.shop.units:
        unit = f" {system.value}"
        for line in cut_list_text(casework).splitlines():
            name = line.split()[1]
            bare = sizes[name].replace(unit, "").replace(" x ", " × ")
            assert f"{bare}{unit}" in line
    return drawn
