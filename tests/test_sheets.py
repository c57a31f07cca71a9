"""From boards to sheets: pieces, layouts, the order of the cuts, and their picture."""

import json
import math
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given

from kit.board import Grain
from kit.draw.sheets import sheet_svg
from kit.errors import BuildError, CancelledError
from kit.making.cut_order import Stage, cut_order, diagonal
from kit.making.nesting.guillotine import live_layout
from kit.making.nesting.layout import CutAxis, Piece, Rect, Sheet
from kit.making.nesting.verify import layout_problems
from kit.making.sheet_data import cuts_of, offcut_name, printed_cuts, sheets_json
from kit.making.sheets import Effort, Finish, finish_of, sheet_plan
from kit.units import System
from kit.units import length as as_mm
from profiles import LISTS, examples
from strategies import built


def pieces_of(casework, plan):
    parts = [part for p in (*plan.sheets, *plan.lumber) for part in p.parts]
    return {part.name: part for part in parts}


def test_every_layer_of_every_board_is_laid_out_once(rebuilt):
    shelf = {"bay": 1, "clear_below": "8 in", "stock": "walnut-ply-1/2", "layers": 2}
    casework = rebuilt({"shelf.1": shelf})
    plan = sheet_plan(casework)
    laid = [
        placement.piece.name
        for p in plan.sheets
        for sheet in p.layout.sheets
        for placement in sheet.placements
    ]
    wanted = [
        board.name if board.layers == 1 else f"{board.name} ({layer} of {board.layers})"
        for board in casework.boards
        for layer in range(1, board.layers + 1)
    ]
    assert sorted(laid) == sorted(wanted)
    part = pieces_of(casework, plan)["shelf-1 (2 of 2)"]
    assert part.piece.length_mm == pytest.approx(part.board.rough.length)


def test_the_example_comes_out_of_four_sheets(example):
    plan = sheet_plan(example, Effort.FINAL)
    assert plan.bought == {"walnut-ply-3/4": 2, "walnut-ply-1/2": 1, "walnut-ply-1/4": 1}
    assert all(p.layout.is_least for p in plan.sheets)
    assert all(p.grain_cost.extra_sheets >= 0 for p in plan.sheets)


def test_grain_runs_with_the_sheet(example):
    for p in sheet_plan(example).sheets:
        for sheet in p.layout.sheets:
            for placement in sheet.placements:
                board = example.by_name[placement.piece.name]
                assert placement.piece.grain_locked == (board.grain is Grain.LOCKED)
                assert not (placement.piece.grain_locked and placement.turned)


def test_sheets_on_hand_are_used_as_they_are(rebuilt):
    casework = rebuilt(
        {
            "sheet": [
                {"stock": "walnut-ply-3/4", "count": 1, "length": "96 in", "width": "48 1/16 in"},
                {"stock": "walnut-ply-3/4", "name": "short one", "length": "80 in", "count": 4},
            ]
        }
    )
    (plan,) = (p for p in sheet_plan(casework).sheets if p.stock.key == "walnut-ply-3/4")
    lengths = [sheet.sheet.length_mm for sheet in plan.layout.sheets]
    assert lengths == [80 * 25.4] * 2  # two short ones hold it all, and are less than one long


def test_offcuts_go_first_and_cost_nothing(rebuilt):
    offcut = {"stock": "walnut-ply-1/4", "offcut": True, "name": "end of the hall cabinet"}
    casework = rebuilt({"sheet": [offcut | {"length": "30 in", "width": "30 in"}]})
    with pytest.raises(BuildError, match=r"walnut|back-"):
        sheet_plan(casework)  # one panel does not fit, and no other sheet is named
    wide = offcut | {"length": "48 in", "width": "30 in"}
    full = {"stock": "walnut-ply-1/4"}
    plan = sheet_plan(rebuilt({"sheet": [wide, full]}))
    assert plan.bought["walnut-ply-1/4"] == 0


def test_a_damaged_corner_is_left_alone(rebuilt):
    zone = {"along": ["0 in", "30 in"], "across": ["0 in", "20 in"]}
    casework = rebuilt({"sheet": [{"stock": "walnut-ply-1/4", "defects": [zone]}]})
    (plan,) = (p for p in sheet_plan(casework).sheets if p.stock.key == "walnut-ply-1/4")
    damaged = Rect(0, 0, 30 * 25.4, 20 * 25.4)
    for placement in plan.layout.sheets[0].placements:
        assert not placement.rect.overlaps(damaged)


def test_a_matched_set_comes_from_one_sheet(rebuilt):
    names = ["side-left", "side-right", "divider-1", "divider-2"]
    plan = sheet_plan(rebuilt({"matched": [{"boards": names}]}))
    (ply,) = (p for p in plan.sheets if p.stock.key == "walnut-ply-3/4")
    assert len({ply.sheet_of[name] for name in names}) == 1


@pytest.mark.parametrize(
    ("matched", "says"),
    [
        ([{"boards": ["top", "lid"]}], "'lid'"),
        ([{"boards": ["top", "door-1"]}], "boards of one stock"),
        ([{"boards": ["top", "bottom"]}, {"boards": ["top", "side-left"]}], "two matched sets"),
    ],
)
def test_a_set_that_cannot_be_matched_is_an_error(rebuilt, matched, says):
    with pytest.raises(BuildError, match=says):
        sheet_plan(rebuilt({"matched": matched}))


def test_a_board_too_long_for_its_sheet_names_the_ways_out(rebuilt):
    # A 5 x 5 ft sheet gives no top longer than 60 in (builders' accounts; sheet size: trade).
    casework = rebuilt({"case.stock": "baltic-birch-18", "measured": None})
    with pytest.raises(BuildError) as caught:
        sheet_plan(casework)
    message = str(caught.value)
    assert message.startswith("Board 'top', 1971.0 x 532.8 mm (77.60 x 20.98 in), fits no sheet")
    # 60 in less the trim of both edges
    assert "the largest usable is 1512.3 x 1512.3 mm (59.54 x 59.54 in)" in message
    assert "use a larger sheet ([[sheet]] with its length and width), or make" in message


def test_rough_boards_are_larger_by_the_allowance_of_the_table_saw(rebuilt):
    casework = rebuilt(
        {"shop.table_saw": {"crosscut": "30 in", "rip": "24 in", "allowance": "1/4 in"}}
    )
    parts = pieces_of(casework, sheet_plan(casework))
    top, side = parts["top"], parts["side-left"]
    assert top.finish is Finish.GUIDE
    assert top.piece.length_mm == pytest.approx(top.board.rough.length)
    assert side.finish is Finish.TABLE_SAW
    assert side.piece.length_mm == pytest.approx(side.board.rough.length + 6.35)
    assert finish_of(top.board, casework.design.shop) is Finish.GUIDE


def test_solid_wood_is_ripped_side_by_side_and_glued_where_it_is_wide(rebuilt):
    # Legs 44 mm square from a board 200 mm wide; a lipping 60 mm high from strips sold 50 mm wide.
    legs = {"kind": "legs", "height": "6 in", "rail_height": "3 in", "leg": "44 mm"}
    shelf = {
        "bay": 2,
        "clear_below": "10 in",
        "lipping": {"stock": "walnut-lipping-1/4", "thickness": "6 mm", "height": "60 mm"},
    }
    casework = rebuilt(
        {"base": legs | {"leg_stock": "walnut-board-8/4"}, "shelf.2": shelf, "gear": []}
    )
    plan = sheet_plan(casework)
    by_key = {p.stock.key: p for p in plan.lumber}
    assert plan.bought["walnut-board-8/4"] == 1
    strips = by_key["walnut-lipping-1/4"].parts
    assert [part.name for part in strips] == [f"shelf-2-lipping ({n} of 2)" for n in (1, 2)]
    assert all(part.piece.width_mm == pytest.approx(30) for part in strips)


def test_rods_are_laid_out_by_the_piece(rebuilt):
    casework = rebuilt({"case.pins": {"spacing": "50 mm"}})
    layout = sheet_plan(casework).rods["birch-rod-1/4"]
    laid = [p.piece.length_mm for sheet in layout.sheets for p in sheet.placements]
    lines = [f for f in casework.fastenings if f.item == "birch-rod-1/4"]
    assert len(laid) == sum(f.count for f in lines)
    assert sum(laid) == pytest.approx(sum(f.count * f.length for f in lines))


def test_stopping_a_layout_leaves_at_once(example):
    with pytest.raises(CancelledError):
        sheet_plan(example, Effort.FINAL, cancelled=lambda: True)


def test_the_same_design_gives_the_same_layout(example):
    assert sheet_plan(example) == sheet_plan(example)
    assert sheet_plan(example, Effort.FINAL) == sheet_plan(example, Effort.FINAL)


# The order of the cuts.


def replay(sheet, kerf):
    """Cut the sheet as the numbered cuts say, and return what is left, as rectangles.

    An independent saw: it knows only rectangles, axes and where the kerf begins.
    """
    whole = Rect(0.0, 0.0, sheet.sheet.length_mm, sheet.sheet.width_mm)
    trims = sheet.sheet.trims
    pieces = [whole]
    for cut in cut_order(sheet, kerf):
        if cut.stage is Stage.SQUARE:
            continue
        if pieces == [whole]:
            pieces = [
                Rect(
                    trims.left_mm,
                    trims.bottom_mm,
                    whole.length_mm - trims.left_mm - trims.right_mm,
                    whole.width_mm - trims.bottom_mm - trims.top_mm,
                )
            ]
        (piece,) = (p for p in pieces if close(p, cut.piece, 1e-6))
        pieces.remove(piece)
        if cut.axis is CutAxis.CROSSCUT:
            first = Rect(piece.x_mm, piece.y_mm, cut.at - piece.x_mm, piece.width_mm)
            start = cut.at + kerf
            second = Rect(start, piece.y_mm, piece.right_mm - start, piece.width_mm)
        else:
            first = Rect(piece.x_mm, piece.y_mm, piece.length_mm, cut.at - piece.y_mm)
            start = cut.at + kerf
            second = Rect(piece.x_mm, start, piece.length_mm, piece.top_mm - start)
        near = first if cut.edge in ("left end", "lower edge") else second
        size = near.length_mm if cut.axis is CutAxis.CROSSCUT else near.width_mm
        assert cut.keep == pytest.approx(size)
        pieces += [p for p in (first, second) if min(p.length_mm, p.width_mm) > 0.001]
    return pieces


@examples(LISTS)
@given(built())
def test_the_numbered_cuts_free_every_board(made):
    _, casework = made
    try:
        plan = sheet_plan(casework)
    except BuildError:
        return  # a random top may be longer than any sheet of its stock
    for p in plan.sheets:
        sheets = {sheet.sheet for sheet in p.layout.sheets}
        pieces = [part.piece for part in p.parts]
        assert layout_problems(p.layout, pieces, list(sheets), p.layout.kerf_mm) == ()
        for sheet in p.layout.sheets:
            left = replay(sheet, p.layout.kerf_mm)
            for placement in sheet.placements:
                found = [r for r in left if close(r, placement.rect)]
                assert len(found) == 1, placement.piece.name


def close(a, b, within=0.01):
    return all(
        math.isclose(getattr(a, f), getattr(b, f), abs_tol=within)
        for f in ("x_mm", "y_mm", "length_mm", "width_mm")
    )


def extent(rect, axis):
    return rect.length_mm if axis is CutAxis.CROSSCUT else rect.width_mm


def assert_no_chains(layout, kerf, rough=()):
    """Every piece comes free once; each final one by a cut set to its own size from an edge."""
    laid = {p.piece.name: p.rect for p in layout.placements}
    freed = []
    for cut in cut_order(layout, kerf, rough=rough):
        freed += cut.frees
        for name in cut.frees:
            size = extent(laid[name], cut.axis)
            if name not in rough:
                assert cut.keep == pytest.approx(size, abs=1e-3), name
        assert sum(name not in rough for name in cut.frees) <= 1
    single = [name for name, rect in laid.items() if close(rect, layout.sheet.usable)]
    assert sorted([*freed, *single]) == sorted(laid)


@examples(LISTS)
@given(built())
def test_no_final_board_is_what_another_cut_leaves(made):
    _, casework = made
    try:
        plan = sheet_plan(casework)
    except BuildError:
        return
    for p in plan.stocks:
        late = {part.name for part in p.parts if part.finish is not Finish.GUIDE}
        for sheet in p.layout.sheets:
            assert_no_chains(sheet, p.layout.kerf_mm)
            assert_no_chains(sheet, p.layout.kerf_mm, late)


def test_boards_side_by_side_are_cut_off_one_by_one(example):
    # Sides 18 in high, side by side: the guide is set to 18 in twice, from an edge just cut.
    ply = sheet_plan(example, Effort.FINAL).sheets[0]
    cuts = [c for s in ply.layout.sheets for c in cut_order(s, ply.layout.kerf_mm)]
    for name in ("side-left", "side-right"):
        (cut,) = (c for c in cuts if name in c.frees)
        assert cut.keep == pytest.approx(18 * 25.4)
        assert cut.frees == (name,)


def test_a_final_board_that_fills_what_is_left_is_set_again():
    # Two boards of 1000 mm and a kerf of 4 mm fill 2004 mm: the second is what the first leaves.
    layout = live_layout(
        [Piece("one", 1000.0, 300.0), Piece("two", 1000.0, 300.0)],
        [Sheet("strip", 2004.0, 300.0)],
        4.0,
    ).sheets[0]
    first, second = cut_order(layout, 4.0)
    assert (first.stage, first.keep, first.edge) == (Stage.FREE, 1000.0, "left end")
    assert (second.stage, second.keep, second.edge) == (Stage.TRUE, 1000.0, "left end")
    assert {*first.frees, *second.frees} == {"one", "two"}
    (both,) = cut_order(layout, 4.0, rough={"one", "two"})
    assert len(both.frees) == 2


def test_a_sheet_is_squared_before_anything_else(example):
    for p in sheet_plan(example).sheets:
        for sheet in p.layout.sheets:
            stages = [cut.stage for cut in cut_order(sheet, p.layout.kerf_mm)]
            assert stages[:4] == [Stage.SQUARE] * 4
            assert Stage.SQUARE not in stages[4:]


def test_each_trim_is_made_in_what_the_trims_before_it_left(example):
    for p in sheet_plan(example).sheets:
        for sheet in p.layout.sheets:
            whole = Rect(0.0, 0.0, sheet.sheet.length_mm, sheet.sheet.width_mm)
            first, *trims = cut_order(sheet, p.layout.kerf_mm)[:4]
            assert first.piece == whole
            sizes = {CutAxis.RIP: whole.width_mm, CutAxis.CROSSCUT: whole.length_mm}
            sizes[first.axis] = first.keep
            for cut in trims:
                piece = cut.piece
                left = (sizes[CutAxis.CROSSCUT], sizes[CutAxis.RIP])
                assert (piece.length_mm, piece.width_mm) == pytest.approx(left)
                sizes[cut.axis] = cut.keep
            usable = sheet.sheet.usable
            left = (sizes[CutAxis.CROSSCUT], sizes[CutAxis.RIP])
            assert left == pytest.approx((usable.length_mm, usable.width_mm))


def test_large_boards_get_a_diagonal(example):
    board = example.by_name["top"]
    assert diagonal(board) == pytest.approx(math.hypot(board.cut.length, board.cut.width))
    assert diagonal(example.by_name["base-front"]) is None


# The picture.


def test_a_sheet_is_drawn_whole_and_in_one_system(example):
    plan = sheet_plan(example).sheets[0]
    for system, other in ((System.INCH, " mm"), (System.METRIC, "/")):
        for sheet in plan.layout.sheets:
            svg = sheet_svg(example, plan, sheet, units=system)
            words = " ".join(t for t in ET.fromstring(svg).itertext())
            for placement in sheet.placements:
                assert placement.piece.name in words
            assert other not in words.replace("3/4 in walnut", "").replace(plan.stock.key, "")


def test_texts_stay_inside_their_boards_and_apart(example):
    """Every text of a board lies, by a safe estimate of its width, inside some rectangle."""
    for p in sheet_plan(example).sheets:
        for sheet in p.layout.sheets:
            root = ET.fromstring(sheet_svg(example, p, sheet))
            space = "{http://www.w3.org/2000/svg}"
            rects = [
                tuple(float(r.get(k)) for k in ("x", "y", "width", "height"))
                for r in root.iter(f"{space}rect")
            ]
            for line in root.iter(f"{space}text"):
                if line.get("text-anchor") != "middle" or line.get("fill") == "#ffffff":
                    continue
                size, x, y = (float(line.get(k)) for k in ("font-size", "x", "y"))
                half = 0.5 * 0.6 * size * len(line.text)
                dx, dy = (size / 2, half) if line.get("transform") else (half, size / 2)
                assert any(
                    rx - 0.5 <= x - dx
                    and x + dx <= rx + w + 0.5
                    and ry - 0.5 <= y - dy
                    and y + dy <= ry + h + 0.5
                    for rx, ry, w, h in rects[1:]
                ), line.text


def test_hostile_names_print_as_text(rebuilt):
    casework = rebuilt({"name": "<script>alert(1)</script> & \"'=1"})
    plan = sheet_plan(casework).sheets[0]
    svg = sheet_svg(casework, plan, plan.layout.sheets[0])
    assert "<script>" not in svg
    ET.fromstring(svg)


def test_free_grain_is_marked_by_a_ring(rebuilt):
    casework = rebuilt({"case.stock": "mdf-3/4", "measured": None})
    plan = next(p for p in sheet_plan(casework).sheets if p.stock.key == "mdf-3/4")
    assert all(part.board.grain is Grain.FREE for part in plan.parts)
    svg = sheet_svg(casework, plan, plan.layout.sheets[0])
    sheet = plan.layout.sheets[0]
    # a ring a board and a disc a cut, and one of either in the key
    assert svg.count("<circle") == len(sheet.placements) + len(cuts_of(plan, sheet)) + 2
    assert "grain" not in svg


def test_one_order_of_sizes_and_a_name_for_each_offcut(rebuilt):
    casework = rebuilt({"sheet": [{"stock": "walnut-ply-1/4", "name": "hall & stair"}]})
    plan = sheet_plan(casework)
    titles, kept = [], []
    for one in plan.sheets:
        for sheet in one.layout.sheets:
            root = ET.fromstring(sheet_svg(casework, one, sheet))
            words = [t.text for t in root.iter("{http://www.w3.org/2000/svg}text")]
            titles.append(words[0])
            kept += [offcut_name(one, o) for o in sheet.offcuts]
            assert all(offcut_name(one, o) in words for o in sheet.offcuts)
            for o in sheet.offcuts:
                # an offcut is as wide as the board that it lay beside: a tick either way
                (size,) = (words[i + 1] for i, w in enumerate(words) if w == offcut_name(one, o))
                width, length = (as_mm(side) for side in size.split(" x "))
                assert width == pytest.approx(o.rect.width_mm, abs=25.4 / 32)
                assert length == pytest.approx(o.rect.length_mm, abs=25.4 / 32)
            assert "sizes: width x length, length along the grain" in words
    assert all("48 in x 96 in" in title for title in titles)
    assert sum("(hall & stair)" in title for title in titles) == 1
    assert len(set(kept)) == len(kept) > 2
    data = json.loads(sheets_json(casework, plan))
    assert [o["name"] for s in data["stocks"] for h in s["sheets"] for o in h["offcuts"]] == kept


def test_the_key_explains_a_zone_to_avoid(rebuilt, example):
    zone = {"along": ["0 in", "30 in"], "across": ["0 in", "20 in"]}
    damaged = rebuilt({"sheet": [{"stock": "walnut-ply-1/4", "defects": [zone]}]})
    for casework, told in ((damaged, True), (example, False)):
        plan = next(p for p in sheet_plan(casework).sheets if p.stock.key == "walnut-ply-1/4")
        svg = sheet_svg(casework, plan, plan.layout.sheets[0])
        assert (">no board here<" in svg) is told


# The cuts as printed.


def test_cuts_in_solid_wood_speak_of_lengths(rebuilt):
    legs = {"kind": "legs", "height": "6 in", "rail_height": "3 in", "leg": "44 mm"}
    casework = rebuilt({"base": legs | {"leg_stock": "walnut-board-8/4"}})
    rows = [
        row
        for row in printed_cuts(casework, sheet_plan(casework), System.INCH)
        if "8/4" in row["stock"]
    ]
    assert {row["cut from"] for row in rows} == {"length 1"}
    assert sum("leg" in row["frees"] for row in rows) == 4
    # Legs of 6 in lie side by side: shorter than the 12 in that are ripped safely (common
    # practice, no source).
    for row in rows:
        short = row["way"] == "rip" and as_mm(row["piece (W x L)"].split(" x ")[1]) < 305
        assert ("too short to rip" in row["then"]) is short
    assert not any("sheet" in value for row in rows for value in row.values())


def test_a_table_saw_says_which_cuts_are_too_large_for_it(rebuilt):
    limits = {"crosscut": "30 in", "rip": "24 in"}
    rows = {}
    for saw in ("table-saw", "track-saw"):
        casework = rebuilt({"shop.saw": saw, "shop.table_saw": dict(limits)})
        rows[saw] = printed_cuts(casework, sheet_plan(casework), System.INCH)
    for row in rows["table-saw"]:
        length = row["piece (W x L)"].split(" x ")[1]
        over = {
            "rip": as_mm(row["set guide to"]) > 24 * 25.4,
            "crosscut": as_mm(length) > 30 * 25.4,
        }
        assert ("use a guide" in row["then"]) is over[row["way"]], row
    assert not any("use a guide" in row["then"] for row in rows["track-saw"])
