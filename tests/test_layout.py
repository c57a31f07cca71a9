"""Sheet layouts: exact cases, known optima, stock rules, strips, cancelling, repeatability."""

from __future__ import annotations

import os
import subprocess
import sys
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmarks.known_optimum import KERF_MM, known_job
from kit.errors import BuildError, CancelledError
from kit.making.nesting.guillotine import final_layout, grain_cost, least_sheets, live_layout
from kit.making.nesting.jobs import Job, Packing, Spot
from kit.making.nesting.layout import CutAxis, Layout, Piece, Rect, Sheet, Trims
from kit.making.nesting.strips import StockLength, Strip, strip_layout
from kit.making.nesting.verify import layout_problems
from profiles import LISTS, examples

INCH = 25.4


def _sheet(length_in: float, width_in: float, **rest: object) -> Sheet:
    return Sheet("sheet", length_in * INCH, width_in * INCH, **rest)  # type: ignore[arg-type]


def _board(name: str, length_in: float, width_in: float, **rest: object) -> Piece:
    return Piece(name, length_in * INCH, width_in * INCH, **rest)  # type: ignore[arg-type]


def _mixed(count: int) -> list[Piece]:
    return [
        Piece(f"board-{i}", 300.0 + 37 * i % 500, 200.0 + 53 * i % 300, i % 2 == 0)
        for i in range(count)
    ]


# common practice, no source: two 24 in strips never come from 48 in; 23 7/8 in ones just do.


def test_two_half_widths_do_not_leave_room_for_the_kerf() -> None:
    boards = [_board(name, 96, 24, grain_locked=True) for name in "ab"]
    with pytest.raises(BuildError, match="1 of 2 left over: 'b'"):
        live_layout(boards, [_sheet(96, 48, count=1)], INCH / 8)
    assert live_layout(boards, [_sheet(96, 48)], INCH / 8).full_sheets == 2


@pytest.mark.parametrize(("width_in", "spare_in"), [(23.875, 1 / 8), (23.9375, 0.0)])
def test_what_just_fits_is_laid_out(width_in: float, spare_in: float) -> None:
    boards = [_board(name, 96, width_in, grain_locked=True) for name in "ab"]
    layout = live_layout(boards, [_sheet(96, 48, count=1)], INCH / 8)
    top = max(p.rect.top_mm for p in layout.sheets[0].placements)
    assert 48 * INCH - top == pytest.approx(spare_in * INCH, abs=1e-3)


def test_a_board_too_long_is_named_with_the_ways_out() -> None:
    with pytest.raises(BuildError) as error:
        live_layout([_board("top", 72, 18, grain_locked=True)], [_sheet(60, 60)], INCH / 8)
    message = str(error.value)
    for part in ("'top'", "72.00 x 18.00 in", "60.00 x 60.00 in", "larger sheet", "smaller"):
        assert part in message


def test_a_board_that_fits_when_turned_says_so() -> None:
    board = _board("back", 50, 90, grain_locked=True)
    with pytest.raises(BuildError, match="free its grain"):
        live_layout([board], [_sheet(96, 60)], INCH / 8)


def test_a_five_foot_sheet_yields_a_whole_case() -> None:
    """Common practice, no source: top, bottom, two sides and a divider from one 5 x 5 ft sheet."""
    boards = [
        _board("top", 58, 17, grain_locked=True),
        _board("bottom", 58, 17, grain_locked=True),
        _board("side-left", 18, 17, grain_locked=True),
        _board("side-right", 18, 17, grain_locked=True),
        _board("divider", 17, 17, grain_locked=True),
    ]
    layout = live_layout(boards, [_sheet(60, 60, trims=Trims.all_round(INCH / 4))], INCH / 8)
    assert layout.full_sheets == 1


def test_the_grain_lock_has_its_price_in_sheets() -> None:
    # Six 24 x 47 in boards: turned, four fit a 4 x 8 ft sheet; locked along it, two.
    boards = [_board(f"door-{i}", 47, 23.8, grain_locked=True) for i in range(4)]
    tall = [_board(f"door-{i}", 30, 47, grain_locked=True) for i in range(4)]
    assert str(grain_cost(boards, [_sheet(96, 48)], INCH / 8)) == "+0 sheets"
    locked = [_board(f"p-{i}", 47, 31, grain_locked=True) for i in range(6)]
    price = grain_cost(locked, [_sheet(96, 48)], INCH / 8)
    assert (price.locked_sheets, price.free_sheets) == (3, 2)
    assert str(price) == "+1 sheet"
    assert grain_cost(tall, [_sheet(96, 48)], INCH / 8).extra_sheets == 0


def test_offcuts_on_hand_come_before_full_sheets() -> None:
    boards = _mixed(12)
    offcut = Sheet("left over", 1000, 700, count=1, is_offcut=True)
    full = Sheet("full", 2440, 1220, price=80.0, currency="USD")
    layout = live_layout(boards, [full, offcut], 3.0)
    assert layout.sheets[0].sheet is offcut
    assert layout.full_sheets == 1
    assert layout.total_price == 80.0
    assert live_layout(boards[:2], [full, offcut], 3.0).full_sheets == 0


def test_the_cheaper_kind_of_sheet_is_bought() -> None:
    boards = [Piece(f"b{i}", 700, 700) for i in range(4)]
    large = Sheet("large", 2440, 1220, price=90.0)
    square = Sheet("square", 1525, 1525, price=60.0)
    layout = live_layout(boards, [large, square], 3.0)
    assert [s.sheet.name for s in layout.sheets] == ["square"]
    dear = Sheet("square", 1525, 1525, price=190.0)
    assert {s.sheet.name for s in live_layout(boards, [large, dear], 3.0).sheets} == {"large"}


def test_no_board_touches_a_defect() -> None:
    corner, knot = Rect(0, 0, 200, 200), Rect(700, 600, 60, 50)
    sheet = Sheet("damaged", 1525, 1525, defects=(corner, knot))
    layout = live_layout(_mixed(24), [sheet], 3.0)
    assert layout.sheets
    for placed in layout.sheets:
        for placement in placed.placements:
            assert not placement.rect.overlaps(corner)
            assert not placement.rect.overlaps(knot)


def test_matched_boards_come_from_one_sheet() -> None:
    boards = [
        Piece(p.name, p.length_mm, p.width_mm, p.grain_locked, "fronts" if i in (3, 11, 19) else "")
        for i, p in enumerate(_mixed(24))
    ]
    boards = [p if p.match else Piece(p.name, p.length_mm, p.width_mm) for p in boards]
    layout = live_layout(boards, [Sheet("sheet", 1525, 1525)], 3.0)
    homes = {s.number for s in layout.sheets for p in s.placements if p.piece.match == "fronts"}
    assert len(homes) == 1


def test_a_matched_set_larger_than_any_sheet_is_an_error() -> None:
    boards = [Piece(f"b{i}", 900, 700, match="case") for i in range(4)]
    with pytest.raises(BuildError, match="Matched set 'case' of 4 boards"):
        live_layout(boards, [Sheet("sheet", 1525, 1525)], 3.0)


@pytest.mark.parametrize("defects", [(), (Rect(0, 0, 200, 200), Rect(700, 600, 60, 50))])
def test_our_own_packing_serves_when_the_solver_has_no_answer(
    defects: tuple[Rect, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    boards = _mixed(30)
    sheet = Sheet("s", 1525, 1525, defects=defects)
    solved = live_layout(boards, [sheet], 3.0)
    monkeypatch.setattr("kit.making.nesting.guillotine.pack", lambda *_: None)
    layout = live_layout(boards, [sheet], 3.0)
    assert layout_problems(layout, boards, [sheet], 3.0) == ()
    assert solved.full_sheets <= layout.full_sheets <= solved.full_sheets + 2


def test_a_wrong_answer_of_the_solver_is_never_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    def overlapping(job: Job, *_: object) -> Packing:
        return ((0, tuple(Spot(i, 0, 0, False) for i in range(len(job.items)))),)

    monkeypatch.setattr("kit.making.nesting.guillotine.pack", overlapping)
    boards, sheets = _mixed(10), [Sheet("s", 1525, 1525)]
    assert layout_problems(live_layout(boards, sheets, 3.0), boards, sheets, 3.0) == ()


def test_the_largest_leftover_stays_in_one_piece() -> None:
    # Three 400 x 1200 boards from 2440 x 1220: the rest of the length, full width, is kept.
    boards = [Piece(f"b{i}", 400, 1200, grain_locked=True) for i in range(3)]
    layout = live_layout(boards, [Sheet("s", 2440, 1220)], 3.0)
    assert layout.largest_offcut_mm2 == pytest.approx((2440 - 3 * 403) * 1220)


@pytest.mark.parametrize(
    ("boards", "sheets", "kerf_mm", "message"),
    [
        ([Piece("a", 10, 10), Piece("a", 20, 20)], [Sheet("s", 100, 100)], 3.0, "more than once"),
        ([Piece("a", 10, 10)], [], 3.0, "No sheets"),
        ([Piece("a", 10, 10)], [Sheet("s", 100, 100)], -1.0, "kerf is -1.0 mm"),
        ([Piece("a", 10, 10)], [Sheet("s", 100, 100)], float("nan"), "kerf is nan mm"),
    ],
)
def test_input_that_cannot_be_right_is_refused(
    boards: list[Piece], sheets: list[Sheet], kerf_mm: float, message: str
) -> None:
    with pytest.raises(BuildError, match=message):
        live_layout(boards, sheets, kerf_mm)


@pytest.mark.parametrize("bad", [0.0, -5.0, float("nan"), float("inf")])
def test_sizes_must_be_positive(bad: float) -> None:
    with pytest.raises(BuildError, match="'a'"):
        Piece("a", bad, 10)
    with pytest.raises(BuildError, match="'s'"):
        Sheet("s", 10, bad)


def test_no_boards_need_no_sheets() -> None:
    assert live_layout([], [Sheet("s", 100, 100)], 3.0).sheets == ()


def test_the_same_input_gives_the_same_layout() -> None:
    job = known_job(7, 0.05)
    first = live_layout(job.pieces, [job.sheet], KERF_MM)
    assert live_layout(job.pieces, [job.sheet], KERF_MM) == first
    job = known_job(5, 0.05, boards=12)
    final = final_layout(job.pieces, [job.sheet], KERF_MM, budget_s=60)
    assert final_layout(job.pieces, [job.sheet], KERF_MM, budget_s=60) == final


@pytest.mark.slow
def test_known_optima_are_found() -> None:
    """A bounded sample; `tests/benchmarks/known_optimum.py` has the whole experiment."""
    live = [_over(seed, 0.10, final=False) for seed in range(24)]
    assert live.count(0) >= 0.85 * len(live)
    assert max(live) <= 1
    final = [_over(seed, 0.10, final=True) for seed in range(24)]
    assert final.count(0) >= 0.97 * len(final)


@pytest.mark.parametrize(
    ("boards", "least"),
    [
        ([_board(name, 96, 24, grain_locked=True) for name in "ab"], 2),  # as above: the kerf
        ([_board(name, 96, 23.875, grain_locked=True) for name in "ab"], 1),
        # no two of 25 in lie side by side on 48 in, and 4 of 60 in never one behind the other
        ([_board(name, 60, 25, grain_locked=True) for name in "abcd"], 4),
        # nine of a third and a little each way: four to a sheet, though six go by area
        ([_board(str(n), 33, 17, grain_locked=True) for n in range(9)], 3),
        ([_board(str(n), 17, 33) for n in range(9)], 2),  # they may be turned
    ],
)
def test_sheets_that_no_layout_can_do_without(boards: list[Piece], least: int) -> None:
    found = least_sheets(boards, [_sheet(96, 48)], INCH / 8)
    assert found == least <= live_layout(boards, [_sheet(96, 48)], INCH / 8).full_sheets
    with pytest.raises(BuildError, match=f"at least {least} are needed|No sheets"):
        least_sheets(boards, [_sheet(96, 48, count=least - 1)], INCH / 8)


def test_no_bound_is_more_than_the_known_optimum() -> None:
    for seed in range(60):
        job = known_job(seed, (0.05, 0.1, 0.3)[seed % 3])
        assert least_sheets(job.pieces, [job.sheet], KERF_MM) <= job.optimum


@pytest.mark.slow
def test_tight_jobs_are_mostly_found_at_once() -> None:
    live = [_over(seed, 0.05, final=False) for seed in range(24)]
    assert live.count(0) >= 0.5 * len(live)
    assert max(live) <= 1


def _over(seed: int, offcut_share: float, final: bool) -> int:
    job = known_job(seed, offcut_share)
    solve = final_layout if final else live_layout
    return solve(job.pieces, [job.sheet], KERF_MM).full_sheets - job.optimum


def test_two_hundred_boards_are_laid_out_within_the_budget() -> None:
    sizes = [(200.0 + 37 * i % 900, 90.0 + 53 * i % 500) for i in range(40)]
    boards = [Piece(f"b{i}", *sizes[i % 40], i % 2 == 0) for i in range(200)]
    start = time.monotonic()
    layout = final_layout(boards, [Sheet("s", 2440, 1220)], 3.0, budget_s=8)
    assert time.monotonic() - start < 10
    assert layout.yield_share > 0.7
    assert not layout_problems(layout, boards, [Sheet("s", 2440, 1220)], 3.0)


def test_a_cancel_stops_the_work_within_a_second() -> None:
    job = known_job(1, 0.05)  # not solved at once
    asked: list[float] = []

    def cancelled() -> bool:
        asked.append(time.monotonic())
        return len(asked) > 3

    with pytest.raises(CancelledError):
        final_layout(job.pieces, [job.sheet], KERF_MM, cancelled=cancelled)
    assert time.monotonic() - asked[3] < 1.0


def test_ctrl_c_stops_the_work_and_leaves_no_child() -> None:
    script = (
        "from benchmarks.known_optimum import *\n"
        "job = known_job(1, 0.05)\n"
        "print('go', flush=True)\n"
        "def tell(progress):\n"
        "    print('working', flush=True)\n"
        "final_layout(job.pieces, [job.sheet], KERF_MM, budget_s=60, progress=tell)\n"
    )
    paths = os.pathsep.join(path or "." for path in sys.path)
    child = subprocess.Popen(
        [sys.executable, "-c", script],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": paths},
    )
    assert child.stdout is not None
    while child.stdout.readline().strip() != "working":
        assert child.poll() is None
    time.sleep(0.3)
    child.send_signal(2)
    child.communicate(timeout=20)  # a third of its budget: a busy machine is slow to stop, too


@given(
    sizes=st.lists(
        st.tuples(st.floats(30, 900), st.floats(30, 600), st.booleans()), min_size=1, max_size=12
    ),
    kerf_mm=st.floats(0, 6),
    trim_mm=st.floats(0, 20),
)
@examples(LISTS)
def test_every_layout_passes_the_verifier(
    sizes: list[tuple[float, float, bool]], kerf_mm: float, trim_mm: float
) -> None:
    boards = [Piece(f"b{i}", *size) for i, size in enumerate(sizes)]
    sheets = [Sheet("s", 1000, 1000, trims=Trims.all_round(trim_mm))]
    layout = live_layout(boards, sheets, kerf_mm)
    assert layout_problems(layout, boards, sheets, kerf_mm) == ()
    assert _cut_area_mm2(layout) <= sum(s.sheet.usable.area_mm2 for s in layout.sheets) + 1


def _cut_area_mm2(layout: Layout) -> float:
    leaves = (node for s in layout.sheets for node in s.cuts.walk() if node.axis is None)
    return sum(node.rect.area_mm2 for node in leaves)


# One dimension


def test_strips_are_laid_out_on_stock_lengths_by_section() -> None:
    strips = [Strip(f"edge-{i}", 590, "edging") for i in range(8)]
    strips += [Strip("rail", 1000, "lumber")]
    stock = [
        StockLength("roll", 2400, section="edging"),
        StockLength("plank", 2000, section="lumber"),
    ]
    layouts = strip_layout(strips, stock, 3.0)
    # 4 x 590 + 3 x 3 = 2369: four from each length
    assert layouts["edging"].full_sheets == 2
    assert layouts["lumber"].full_sheets == 1
    axes = {n.axis for s in layouts["edging"].sheets for n in s.cuts.walk()}
    assert axes <= {CutAxis.CROSSCUT, None}
    assert layouts["lumber"].sheets[0].offcuts[0].rect.length_mm == pytest.approx(997)


def test_a_strip_longer_than_the_stock_is_an_error() -> None:
    with pytest.raises(BuildError, match="'edge'"):
        strip_layout([Strip("edge", 2500)], [StockLength("bar", 2400)], 3.0)


def test_strips_reach_the_known_optimum() -> None:
    """Six bars cut in five, 1 % of each left: packed back onto six."""
    strips = []
    for bar in range(6):
        lengths = [300 + 61 * bar, 411 - 17 * bar, 523 + 5 * bar, 390 - 29 * bar]
        rest = 0.99 * 2400 - sum(lengths) - 4 * 3.2
        strips += [Strip(f"s-{bar}-{i}", x) for i, x in enumerate([*lengths, rest])]
    layout = strip_layout(strips, [StockLength("bar", 2400)], 3.2, budget_s=8)[""]
    assert layout.full_sheets == 6
