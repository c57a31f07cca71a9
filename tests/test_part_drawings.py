"""Part drawings: nothing touches, nothing is missing, every figure is true."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.board import Surface
from kit.casework import Casework
from kit.design import Design
from kit.draw.drafting import Figure, Frame, Line, Path, Relief, Slab, spread
from kit.draw.parts import PartDrawing, part_drawings
from kit.edition import editions
from kit.geometry import Box
from kit.units import Step, System, length
from profiles import LISTS, examples
from strategies import built

ROOM = (255.0, 160.0)


@pytest.fixture(scope="module")
def drawings(example: Casework) -> tuple[PartDrawing, ...]:
    return part_drawings(example, System.INCH, ROOM)


@pytest.mark.slow
@examples(shrink=False)
@given(made=built(), system=st.sampled_from(System))
def test_words_touch_neither_words_nor_lines_and_keep_to_the_page(
    made: tuple[Design, Casework], system: System
) -> None:
    for drawing in part_drawings(made[1], system, ROOM):
        for figure in drawing.figures:
            assert list(figure.collisions()) == [], drawing.title
            assert figure.frame.width <= ROOM[0]
            assert figure.frame.height <= ROOM[1]


def test_a_touch_would_be_seen(drawings: tuple[PartDrawing, ...]) -> None:
    """The check above can fail: a line through words, and words on words, are found."""
    figure = drawings[0].figures[0]
    word = figure.words[-1]
    frame = word.frame
    across = Path(((frame.x0 - 5, frame.y0 + 1), (frame.x1 + 5, frame.y1 - 1)), Line.THIN)
    assert list(Figure((*figure.items, across)).collisions()) == [(word, across)]
    assert list(Figure((*figure.items, word)).collisions())


def test_every_board_has_a_figure_with_its_mark_name_and_features(
    example: Casework, drawings: tuple[PartDrawing, ...]
) -> None:
    drawn = [board.name for drawing in drawings for board in drawing.boards]
    assert sorted(drawn) == sorted(example.by_name)
    for drawing in drawings:
        words = " ".join(w.words for figure in drawing.figures for w in figure.words)
        for board, mark in zip(drawing.boards, drawing.marks, strict=True):
            assert example.marks[board.name] == mark
            assert board.name in words
        for feature in drawing.boards[0].features:
            for word in feature.callout(drawing.boards[0], System.INCH).split():
                assert word in words


@pytest.mark.slow
@examples(LISTS)
@given(made=built(), system=st.sampled_from(System))
def test_printed_stations_read_back_to_the_place_within_half_a_tick(
    made: tuple[Design, Casework], system: System
) -> None:
    sizes = editions(made[1], system)
    for drawing in part_drawings(made[1], system, ROOM):
        by_name = {board.name: board for board in drawing.boards}
        ends = set()
        for drawn in drawing.drawn:
            board = by_name[drawn.board]
            words = f"{drawn.words} {system.value}"
            face = sizes[board.name].finished
            if drawn.axis < 2 and drawn.at == (board.length, board.width)[drawn.axis]:
                assert words == (face.length, face.width)[drawn.axis].text
                ends.add(drawn.axis)
                continue
            step = Step.CALIPER if drawn.axis == 2 else Step.JOINT
            half = float(step.tick(system)) * (25.4 if system is System.INCH else 1.0) / 2
            assert length(words) == pytest.approx(drawn.at, abs=half + 1e-6)
        assert {0, 1} <= ends


def test_a_right_hand_board_is_drawn_as_the_mirror_image_of_its_twin(
    drawings: tuple[PartDrawing, ...],
) -> None:
    """The same numbers; on paper one lies upside down to the other, as the real boards do."""
    by_name = {board.name: drawing for drawing in drawings for board in drawing.boards}
    left, right = by_name["base-end-left"], by_name["base-end-right"]
    assert "Opposite hand of P base-end-right" in _said(left)
    assert "Opposite hand of O base-end-left" in _said(right)
    assert [(d.axis, d.words) for d in left.drawn] == [(d.axis, d.words) for d in right.drawn]
    height = {
        drawing.title: {
            w.words: w.at[1] for w in drawing.figures[0].words if w.words in ("edge 1: 0", "4")
        }
        for drawing in (left, right)
    }
    up = {title: at["4"] > at["edge 1: 0"] for title, at in height.items()}
    assert up[left.title] is not up[right.title]


def test_notes_say_what_is_banded_cut_to_fit_and_not_measured(
    example: Casework, drawings: tuple[PartDrawing, ...]
) -> None:
    by_name = {board.name: drawing for drawing in drawings for board in drawing.boards}
    assert "Banded (chain line): edge 1." in _said(by_name["bottom"])
    assert "CUT TO FIT: length = clear height" in _said(by_name["door-1"])
    assert "Diagonals when cut: 80 11/32 in" in _said(by_name["bottom"])
    # the diagonal of 77 9/16 in x 21 in
    assert math.isclose(math.hypot(77.5625, 21.0), 80 + 11 / 32, abs_tol=1 / 64)
    assert "NOT measured" not in _said(by_name["bottom"])


def _said(drawing: PartDrawing) -> str:
    return " ".join(w.words for figure in drawing.figures for w in figure.words)


@given(
    wanted=st.lists(st.floats(0, 100), min_size=1, max_size=12).map(sorted),
    gap=st.floats(0.5, 12.0),
)
def test_places_keep_the_gap_and_the_order_and_move_no_more_than_they_must(
    wanted: list[float], gap: float
) -> None:
    places = spread(wanted, gap)
    assert all(b - a >= gap - 1e-9 for a, b in pairwise(places))
    if all(b - a >= gap for a, b in pairwise(wanted)):
        assert places == pytest.approx(wanted)
    # moved as a whole the sum of squares is least: its slope is nought
    assert sum(p - w for p, w in zip(places, wanted, strict=True)) == pytest.approx(0, abs=1e-6)


boxes = st.tuples(
    *[st.integers(0, 5) for _ in range(3)], *[st.integers(1, 4) for _ in range(3)]
).map(lambda v: Box((v[0], v[1], v[2]), (v[0] + v[3], v[1] + v[4], v[2] + v[5])))


@given(solids=st.lists(boxes, min_size=1, max_size=6), view=st.sampled_from(list(Surface)))
def test_what_is_seen_agrees_with_a_ray_through_every_cell(
    solids: list[Box], view: Surface
) -> None:
    """The nearest box on a ray is the one seen; an edge is drawn just where that changes."""
    u, v = (i for i in range(3) if i != view.axis)
    sign = 1 if view.far else -1
    towards = sign * (1 if (u, v, view.axis) != (0, 2, 1) else -1)
    slabs = [Slab.of(box, str(i), (u, towards), (v, 1)) for i, box in enumerate(solids)]
    relief = Relief.of(slabs)

    def nearest(a: float, b: float) -> float | None:
        hits = [
            sign * (box.hi if sign > 0 else box.lo)[view.axis]
            for box in solids
            if box.lo[u] < a * towards < box.hi[u] and box.lo[v] < b < box.hi[v]
        ]
        return max(hits, default=None)

    edges = {
        (round(s * 2), round(t * 2))
        for (x0, y0), (x1, y1) in relief.edges()
        for s, t in _halves(x0, y0, x1, y1)
    }
    for i in range(-10, 11):
        for j in range(11):
            seen = relief.at(i + 0.5, j + 0.5)
            want = nearest(i + 0.5, j + 0.5)
            assert (seen is None) is (want is None)
            if seen is not None:
                assert seen[1] == pytest.approx(want)
            beside = nearest(i + 1.5, j + 0.5)
            if (want is None) != (beside is None) or want != beside:
                assert (2 * (i + 1), 2 * j + 1) in edges


def _halves(x0: float, y0: float, x1: float, y1: float) -> list[tuple[float, float]]:
    """The middles of the unit pieces of an edge."""
    if x0 == x1:
        return [(x0, y0 + k + 0.5) for k in range(round(y1 - y0))]
    return [(x0 + k + 0.5, y0) for k in range(round(x1 - x0))]


edges = st.integers(-3, 3)
lines = st.lists(st.tuples(edges, edges, edges, edges), min_size=1, max_size=6)


@given(lines=lines, corner=st.tuples(edges, edges), size=st.tuples(*[st.integers(1, 3)] * 2))
def test_many_lines_at_once_meet_a_frame_as_they_do_one_by_one(
    lines: list[tuple[int, int, int, int]], corner: tuple[int, int], size: tuple[int, int]
) -> None:
    frame = Frame(*corner, corner[0] + size[0], corner[1] + size[1])
    one_by_one = any(frame.holds((a, b), (c, d)) for a, b, c, d in lines)
    assert frame.met_by(np.array(lines, dtype=float)) is one_by_one
