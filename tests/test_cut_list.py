import csv
import io

import pytest
from hypothesis import given

from kit.board import Grain
from kit.edition import edition
from kit.making.cut_list import cut_list, printed, to_csv, to_frame, to_html
from kit.units import Step, System, length
from profiles import CONSOLE, examples
from strategies import built


def row(casework, name):
    return next(r for r in cut_list(casework) if r.name == name)


def test_one_row_a_board_with_its_letter(example):
    rows = cut_list(example)
    assert [r.name for r in rows] == [b.name for b in example.boards]
    assert [r.mark for r in rows][:3] == ["A", "B", "C"]
    assert len({r.mark for r in rows}) == len(rows)


def test_edging_comes_off_the_cut_size(example):
    # veneer tape 0.6 mm thick on the front edge of the top, and all round the doors
    top, door = row(example, "top"), row(example, "door-1")
    assert top.finished.width - top.cut.width == pytest.approx(0.6)
    assert top.finished.length == top.cut.length
    assert door.finished.width - door.cut.width == pytest.approx(1.2)
    assert door.finished.length - door.cut.length == pytest.approx(1.2)
    assert door.grain is Grain.LOCKED


def test_laminated_boards_are_rough_by_half_an_inch_in_layers(rebuilt):
    # A layer 1/2 in larger each way, 1/4 in a side, trimmed flush (a builder's account).
    shelf = {"bay": 1, "clear_below": "8 in", "stock": "walnut-ply-1/2", "layers": 2}
    casework = rebuilt({"shelf.1": shelf})
    board = row(casework, "shelf-1")
    assert board.pieces == 2
    assert board.finished.thickness == pytest.approx(2 * board.rough.thickness)
    # and 1/4 in longer still, for a shelf is cut to fit
    assert board.rough.length - board.cut.length == pytest.approx(12.7 + 6.35)
    assert board.rough.width - board.cut.width == pytest.approx(12.7)


def test_boards_cut_to_fit_say_what_to_measure(example):
    lines = {line["name"]: line for line in printed(cut_list(example), System.INCH)}
    assert lines["divider-1"]["cut to fit"] == (
        "length = clear height between top and bottom + 15/32 in"
    )
    assert lines["top"]["cut to fit"] == ""


def test_an_unmeasured_board_says_so(rebuilt):
    lines = printed(cut_list(rebuilt({"measured": None})), System.INCH)
    assert all("thickness not measured" in line["material"] for line in lines)


@pytest.mark.parametrize("system", list(System))
def test_csv_frame_and_html_tell_the_same(example, system):
    rows = cut_list(example)
    lines = printed(rows, system)
    assert list(csv.DictReader(io.StringIO(to_csv(rows, system)))) == lines
    frame = to_frame(rows, system)
    assert frame.reset_index().to_dict("records") == lines
    html = to_html(rows, system)
    assert all(line["finished L"] in html for line in lines)


@examples(CONSOLE)
@given(built())
def test_printed_sizes_are_the_boards_own(made):
    _, casework = made
    for system in System:
        tick = float(Step.BOARD.tick(system)) * (25.4 if system is System.INCH else 1.0)
        refused = {(r.board, r.printed) for r in edition(casework, system).refusals}
        for board, line in zip(casework.boards, printed(cut_list(casework), system), strict=True):
            for side, true in (("L", board.length), ("W", board.width)):
                words = line[f"finished {side}"]
                off = abs(length(words) - true)
                # the nearest tick; where that is refused since it does not fit, the next one
                assert off <= tick / 2 + 0.02 or ((board.name, words) in refused and off < tick)
            assert line["name"] == board.name
    for r in cut_list(casework):
        assert 0 < r.cut.length <= r.finished.length <= r.rough.length + r.finished.length
        assert r.rough.length >= r.cut.length
        assert r.pieces * r.rough.thickness == pytest.approx(r.finished.thickness)
