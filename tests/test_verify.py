"""The verifier refuses every kind of wrong layout: each is made from a right one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmarks.known_optimum import KERF_MM, known_job
from kit.making.nesting.cut_tree import cut_tree
from kit.making.nesting.guillotine import live_layout
from kit.making.nesting.layout import Layout, Piece, Placement, Rect, Sheet, SheetLayout, Trims
from kit.making.nesting.verify import Fault, can_be_cut, layout_problems
from profiles import CONSOLE, examples

JOB = known_job(3, 0.10, boards=20)
SHEET = replace(JOB.sheet, trims=Trims.all_round(3.0), count=9)
PIECES = tuple(
    replace(p, length_mm=p.length_mm - 6, width_mm=p.width_mm - 6, grain_locked=i % 2 == 0)
    for i, p in enumerate(JOB.pieces)
)
RIGHT = live_layout(PIECES, [SHEET], KERF_MM)


def _faults(
    layout: Layout, pieces: tuple[Piece, ...] = PIECES, kerf_mm: float = KERF_MM
) -> set[Fault]:
    return {problem.fault for problem in layout_problems(layout, pieces, [SHEET], kerf_mm)}


def _with(layout: Layout, number: int, placements: list[Placement], recut: bool) -> Layout:
    """Put other placements on one sheet; `recut`: with a cut tree of their own, if there is one."""
    sheet = layout.sheets[number]
    tree = cut_tree(sheet.sheet.usable, placements, layout.kerf_mm) if recut else None
    changed = replace(sheet, placements=tuple(placements), cuts=tree or sheet.cuts)
    sheets = (*layout.sheets[:number], changed, *layout.sheets[number + 1 :])
    return replace(layout, sheets=sheets)


def _moved(placement: Placement, dx_mm: float, dy_mm: float) -> Placement:
    rect = placement.rect
    return replace(placement, rect=replace(rect, x_mm=rect.x_mm + dx_mm, y_mm=rect.y_mm + dy_mm))


def test_a_right_layout_has_no_problems() -> None:
    assert _faults(RIGHT) == set()
    assert len(RIGHT.sheets) > 1


@given(data=st.data(), recut=st.booleans())
@examples(CONSOLE, times=2)
def test_any_board_shifted_is_caught(data: st.DataObject, recut: bool) -> None:
    number = data.draw(st.integers(0, len(RIGHT.sheets) - 1))
    placements = list(RIGHT.sheets[number].placements)
    index = data.draw(st.integers(0, len(placements) - 1))
    shift = data.draw(st.sampled_from([0.05, 1.0, 40.0, 3000.0]))
    dx, dy = data.draw(st.sampled_from([(-1, 0), (0, -1), (1, 1), (-1, -1)]))
    placements[index] = _moved(placements[index], dx * shift, dy * shift)
    faults = _faults(_with(RIGHT, number, placements, recut=False))
    assert Fault.TREE in faults  # the stored cuts are for the board where it was
    if shift == 3000.0:
        assert Fault.OUTSIDE in faults
    elif recut and (dx, dy) != (1, 1):
        # Towards the corner the boards stand kerf to kerf or at the trim: no room without fault.
        assert _faults(_with(RIGHT, number, placements, recut=True)) or _has_room(
            number, index, placements[index]
        )


def _has_room(number: int, index: int, moved: Placement) -> bool:
    others = [p for i, p in enumerate(RIGHT.sheets[number].placements) if i != index]
    return RIGHT.sheets[number].sheet.usable.contains(moved.rect) and not any(
        moved.rect.overlaps(other.rect, KERF_MM) for other in others
    )


@given(data=st.data())
@examples(CONSOLE)
def test_two_boards_swapped_are_caught(data: st.DataObject) -> None:
    number = data.draw(st.integers(0, len(RIGHT.sheets) - 1))
    placements = list(RIGHT.sheets[number].placements)
    a, b = data.draw(st.permutations(range(len(placements))))[:2]
    one, two = placements[a], placements[b]
    placements[a] = replace(one, piece=two.piece)
    placements[b] = replace(two, piece=one.piece)
    assert {Fault.SIZE, Fault.TREE} <= _faults(_with(RIGHT, number, placements, recut=False))
    # ... and when their corners change places while each keeps its size
    placements[a] = replace(one, rect=replace(one.rect, x_mm=two.rect.x_mm, y_mm=two.rect.y_mm))
    placements[b] = replace(two, rect=replace(two.rect, x_mm=one.rect.x_mm, y_mm=one.rect.y_mm))
    assert Fault.TREE in _faults(_with(RIGHT, number, placements, recut=False))


def test_every_locked_board_turned_is_caught() -> None:
    for number, sheet in enumerate(RIGHT.sheets):
        for index, placement in enumerate(sheet.placements):
            if not placement.piece.grain_locked:
                continue
            rect = placement.rect
            turned = replace(rect, length_mm=rect.width_mm, width_mm=rect.length_mm)
            for marked in (True, False):
                placements = list(sheet.placements)
                placements[index] = replace(placement, rect=turned, turned=marked)
                assert Fault.GRAIN in _faults(_with(RIGHT, number, placements, recut=True))


def test_a_kerf_that_is_too_small_is_caught() -> None:
    thin = live_layout(PIECES, [SHEET], KERF_MM - 0.2)
    assert {Fault.KERF, Fault.NOT_CUTTABLE} & _faults(thin)
    assert Fault.TREE in _faults(thin)


def test_each_board_dropped_doubled_or_unknown_is_caught() -> None:
    for number, sheet in enumerate(RIGHT.sheets):
        for index, placement in enumerate(sheet.placements):
            placements = list(sheet.placements)
            del placements[index]
            assert Fault.MISSING in _faults(_with(RIGHT, number, placements, recut=True))
            placements = [*sheet.placements, placement]
            found = _faults(_with(RIGHT, number, placements, recut=True))
            assert {Fault.TWICE, Fault.OVERLAP} <= found
    assert Fault.UNKNOWN in _faults(RIGHT, PIECES[1:])


def test_a_board_in_the_trims_or_on_a_defect_is_caught() -> None:
    placements = [_moved(RIGHT.sheets[0].placements[0], -0.5, 0), *RIGHT.sheets[0].placements[1:]]
    assert Fault.OUTSIDE in _faults(_with(RIGHT, 0, placements, recut=True))
    board = RIGHT.sheets[0].placements[0].rect
    knot = Rect(board.x_mm + 1, board.y_mm + 1, 5, 5)
    damaged = replace(RIGHT.sheets[0], sheet=replace(SHEET, defects=(knot,)))
    layout = replace(RIGHT, sheets=(damaged, *RIGHT.sheets[1:]))
    assert Fault.DEFECT in _faults(layout)
    assert Fault.STOCK in _faults(layout)  # that sheet is none of those on hand


def test_matches_and_stock_are_counted() -> None:
    first, last = RIGHT.sheets[0].placements[0].piece, RIGHT.sheets[-1].placements[0].piece
    matched = tuple(
        replace(p, match="pair") if p.name in (first.name, last.name) else p for p in PIECES
    )
    assert Fault.MATCH in _faults(RIGHT, matched)
    few = [replace(SHEET, count=1)]
    sheets = tuple(replace(s, sheet=few[0]) for s in RIGHT.sheets)
    problems = layout_problems(replace(RIGHT, sheets=sheets), PIECES, few, KERF_MM)
    assert [problem.fault for problem in problems] == [Fault.STOCK]


def test_a_pinwheel_cannot_be_cut_edge_to_edge() -> None:
    # The classic counterexample: four boards round a fifth.
    wheel = [
        Rect(0, 0, 60, 30),
        Rect(63, 0, 30, 60),
        Rect(33, 63, 60, 30),
        Rect(0, 33, 30, 60),
        Rect(33, 33, 27, 27),
    ]
    assert not can_be_cut(wheel, 3.0)
    assert can_be_cut(wheel[:2], 3.0)
    placements = [
        Placement(Piece(f"w{i}", r.length_mm, r.width_mm), r, False) for i, r in enumerate(wheel)
    ]
    assert cut_tree(Rect(0, 0, 93, 93), placements, 3.0) is None
    sheet = Sheet("s", 93, 93)
    straight = live_layout([placements[0].piece], [sheet], 3.0).sheets[0].cuts
    layout = Layout((SheetLayout(1, sheet, tuple(placements), straight, ()),), 3.0, 1)
    problems = layout_problems(layout, [p.piece for p in placements], [sheet], 3.0)
    assert {p.fault for p in problems} == {Fault.NOT_CUTTABLE, Fault.TREE}


@pytest.mark.parametrize(
    "change",
    [
        lambda cuts: replace(cuts, cut_mm=cuts.cut_mm + 1),
        lambda cuts: replace(cuts, first=None),
        lambda cuts: replace(cuts, second=None),
        lambda cuts: replace(cuts, rect=replace(cuts.rect, x_mm=cuts.rect.x_mm + 1)),
        lambda cuts: replace(cuts, piece="board-0"),
    ],
)
def test_a_stored_cut_that_is_wrong_is_caught(change: Callable[..., object]) -> None:
    cuts = RIGHT.sheets[0].cuts
    assert cuts.axis is not None
    changed = replace(RIGHT.sheets[0], cuts=change(cuts))
    assert Fault.TREE in _faults(replace(RIGHT, sheets=(changed, *RIGHT.sheets[1:])))
