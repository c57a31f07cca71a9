"""What holds for every console, over random designs and without the solid kernel."""

from collections import Counter
from collections.abc import Callable, Iterator
from itertools import combinations, pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.board import Board
from kit.casework import Casework
from kit.components.back import Method
from kit.components.base import Beam, Legs, Plinth
from kit.components.case import Corner
from kit.components.divider import DividerJoint
from kit.components.doors import Layout, Style
from kit.components.shelf import Held
from kit.design import Design
from kit.geometry import Box, bounds
from kit.joinery import HoleRow, Purpose, Trench
from kit.units import exact, length
from profiles import CONSOLE, drawn, examples
from strategies import Plain, assemble, built, designs, lengths, pairs_that_mate

type Built = tuple[Design, Casework]

#: Volume below which two boards touch and do not share wood, mm3.
NO_WOOD = 1e-3
#: Sums of floats in mm agree to this.
CLOSE = 1e-6

few = examples(CONSOLE)
many = examples(CONSOLE, times=5)

#: Every property of a built console; each is held against every design that is drawn.
PROPERTIES: list[Callable[[Design, Casework], None]] = []


def holds(rule: Callable[[Design, Casework], None]) -> Callable[[Design, Casework], None]:
    PROPERTIES.append(rule)
    return rule


@many
@given(built())
def test_what_holds_for_every_console(made: Built) -> None:
    for rule in PROPERTIES:
        rule(*made)


# --- the whole piece ------------------------------------------------------------------


def shared_mm3(one: Board, other: Board) -> float:
    """Wood that two boards would both be made of; holes, slots and chamfers count as wood."""
    if one.box.common(other.box) is None:
        return 0.0
    commons = (a.common(b) for a in one.solid_boxes for b in other.solid_boxes)
    return sum(box.volume_mm3 for box in commons if box is not None)


@holds
def no_two_boards_interpenetrate(design: Design, work: Casework) -> None:
    for one, other in combinations(work.boards, 2):
        assert shared_mm3(one, other) < NO_WOOD, (one.name, other.name)


@holds
def overall_size_is_what_the_maker_fixed(design: Design, work: Casework) -> None:
    case = bounds([board.box for board in work.frame.boards])
    assert case.lo == pytest.approx((0, 0, 0), abs=CLOSE)
    wanted = (design.case.width, design.case.depth, design.case.height)
    assert case.hi == pytest.approx(wanted, abs=CLOSE)


@holds
def every_board_lies_where_its_kind_belongs(design: Design, work: Casework) -> None:
    case, clear = design.case, work.frame.clear
    behind = 0.0
    if design.back is not None and design.back.method is Method.PLANTED:
        behind = work.by_name["back-1"].thickness
    foot = design.base.height if design.base else 0.0
    whole = Box((0, 0, -foot), (case.width, case.depth + behind, case.height))
    for board in work.boards:
        assert whole.contains(board.box), board.name
        if board.name.startswith(("base", "leg")):
            assert board.box.hi[2] <= CLOSE, board.name
        else:
            assert board.box.lo[2] >= -CLOSE, board.name
        if board.name.startswith(("shelf", "divider", "door")):
            side = work.frame.left.thickness
            inside = Box(
                (clear.lo[0] - side, 0, clear.lo[2] - side),
                (clear.hi[0] + side, case.depth, clear.hi[2] + side),
            )
            assert inside.contains(board.box), board.name
    if foot:
        assert work.box.lo[2] == pytest.approx(-foot)


@holds
def names_are_unique_and_every_mark_is_one_boards(design: Design, work: Casework) -> None:
    assert max(Counter(board.name for board in work.boards).values()) == 1
    assert len(set(work.marks.values())) == len(work.boards) == len(work.by_name)


@few
@given(designs())
def test_the_same_design_twice_gives_equal_boards(plain: Plain) -> None:
    (design, first), (again, second) = assemble(plain), assemble(plain)
    assert design == again
    assert first.boards == second.boards
    assert first.fastenings == second.fastenings


@holds
def volume_is_positive_and_below_the_blank(design: Design, work: Casework) -> None:
    for board in work.boards:
        blank = board.blank.volume_mm3
        assert 0 < board.volume_mm3 <= blank * (1 + 1e-12), board.name
        if board.features:
            assert board.volume_mm3 < blank, board.name
        assert board.mass_kg == pytest.approx(
            board.volume_mm3 / 1e9 * board.stock.density_kg_m3, rel=1e-12
        )


@holds
def bays_and_dividers_fill_the_clear_width(design: Design, work: Casework) -> None:
    dividers = [b for b in work.boards if b.name.startswith("divider")]
    total = sum(bay.clear.size[0] for bay in work.bays) + sum(d.thickness for d in dividers)
    assert total == pytest.approx(work.frame.clear.size[0])
    assert [bay.number for bay in work.bays] == list(range(1, len(dividers) + 2))


# --- joints ---------------------------------------------------------------------------


@holds
def every_tongue_is_fully_housed(design: Design, work: Casework) -> None:
    """No wood of the host is left where the blank of its mate stands."""
    for host, mate in pairs_that_mate(work):
        body = host.place.box_to_board(mate.box)
        left = [common for box in host.rest if (common := box.common(body))]
        assert sum(box.volume_mm3 for box in left) < NO_WOOD, (host.name, mate.name)


@holds
def every_housing_takes_its_thickest_mate(design: Design, work: Casework) -> None:
    for host in work.boards:
        for cut in trenches(host):
            if cut.mate == "sliding doors":
                assert work.doors is not None
                stock = work.doors.doors[0].board.stock
                play = work.doors.spec.play
                assert cut.width == pytest.approx(stock.thickness_max_mm + play)
                continue
            mate = work.by_name[cut.mate]
            thickest = mate.layers * mate.stock.thickness_max_mm
            assert cut.width == pytest.approx(thickest + cut.fit.gap), (host.name, cut)
            assert cut.width >= mate.thickness - CLOSE


@holds
def no_dado_is_shallower_than_its_tongue_nor_deeper_than_declared(
    design: Design, work: Casework
) -> None:
    """A tongue shorter than its dado leaves a gap, which only a declared slack may do."""
    for host, mate in pairs_that_mate(work):
        tongue = host.blank.common(host.place.box_to_board(mate.box))
        (cut,) = [c for c in trenches(host) if c.mate == mate.name]
        slack = design.back.slack if design.back and mate.name.startswith("back") else 0.0
        if tongue is None:  # the slack is all that is left of it
            assert cut.depth <= slack + CLOSE
            continue
        assert cut.depth == pytest.approx(tongue.size[2] + slack, abs=CLOSE), (host.name, cut)


@few
@given(built(dividers=(1, 4), doors=True, back=True))
def test_a_divider_behind_the_doors_does_not_show_on_the_front_edge(made: Built) -> None:
    """Its dado begins where the divider does, and never runs out under the doors."""
    _, work = made
    for host, mate in pairs_that_mate(work):
        if mate.name.startswith("divider"):
            body = host.place.box_to_board(mate.box)
            (cut,) = [c for c in trenches(host) if c.mate == mate.name]
            if cut.run == 1:
                assert cut.start == pytest.approx(body.lo[1], abs=CLOSE), (host.name, mate.name)


@holds
def boards_that_enter_each_other_say_so(design: Design, work: Casework) -> None:
    """Where two blanks share room, one of the two has a housing for the other."""
    named = {frozenset((host.name, mate.name)) for host, mate in pairs_that_mate(work)}
    for one, other in combinations(work.boards, 2):
        if one.box.common(other.box) is None:
            continue
        kinds = {b.name.split("-")[0] for b in (one, other)}
        if "door" in kinds:
            assert kinds & {"top", "bottom"}, (one.name, other.name)
        elif "back" in kinds and kinds & {"top", "bottom"}:
            # panels side by side share the housing of the first
            panel = next(b.name for b in (one, other) if b.name.startswith("back"))
            lid = next(b for b in (one, other) if not b.name.startswith("back"))
            assert any(c.mate.startswith("back") for c in trenches(lid)), (panel, lid.name)
        else:
            assert frozenset((one.name, other.name)) in named, (one.name, other.name)


@holds
def a_panel_enters_only_its_own_housings(design: Design, work: Casework) -> None:
    """Housings shared by several panels hold the blanks of all of them."""
    panels = [b for b in work.boards if b.name.startswith("back")]
    for panel in panels:
        for host in (work.by_name[b.name] for b in work.frame.boards):
            body = host.place.box_to_board(panel.box)
            left = [common for box in host.rest if (common := box.common(body))]
            assert sum(box.volume_mm3 for box in left) < NO_WOOD, (panel.name, host.name)


@holds
def doors_are_liftable_and_captive(design: Design, work: Casework) -> None:
    """In: a door raised to the roof of its groove clears the bottom. Captive: it rests engaged."""
    if work.doors is None:
        return
    for door in work.doors.doors:
        box = door.board.box
        roof = work.frame.clear.hi[2] + work.doors.spec.top_depth
        floor = work.frame.clear.lo[2]
        # standing on the floor of the bottom groove
        assert box.lo[2] == pytest.approx(floor - work.doors.spec.bottom_depth)
        assert work.doors.engagement == pytest.approx(box.hi[2] - work.frame.clear.hi[2])
        # raised until its foot is over the floor of the case, its head is under the roof
        assert work.doors.lift == pytest.approx(roof - (floor + box.size[2]))
        assert work.doors.lift > 0
        assert work.doors.engagement > 0


@holds
def shut_doors_cover_what_their_layout_says(design: Design, work: Casework) -> None:
    if design.doors is None:
        return
    spans = sorted((b.box.lo[0], b.box.hi[0]) for b in work.boards if b.name.startswith("door"))
    clear = work.frame.clear
    assert spans[0][0] == pytest.approx(clear.lo[0])
    assert spans[-1][1] == pytest.approx(clear.hi[0])
    if design.doors.layout is Layout.BYPASS:
        for (_, end), (begin, _) in pairwise(spans):
            assert end - begin == pytest.approx(design.doors.overlap)
        assert len({round(b - a, 6) for a, b in spans}) == 1
    else:
        first, last = work.bays[0], work.bays[-1]
        assert spans[0][1] - first.clear.hi[0] == pytest.approx(design.doors.overlap)
        assert last.clear.lo[0] - spans[1][0] == pytest.approx(design.doors.overlap)


# --- shelves and bases ----------------------------------------------------------------


@holds
def a_shelf_is_held_by_both_its_uprights_over_its_whole_depth(
    design: Design, work: Casework
) -> None:
    for number, shelf in enumerate(design.shelves, start=1):
        board = work.by_name[f"shelf-{number}"]
        bay = work.bays[shelf.bay - 1]
        for upright in (bay.left, bay.right):
            assert upright.box.lo[1] - CLOSE <= board.box.lo[1]
            assert board.box.hi[1] <= upright.box.hi[1] + CLOSE, (board.name, upright.name)
        under = board.box.lo[2] - bay.clear.lo[2]
        assert under == pytest.approx(shelf.clear_below)


@holds
def a_pinned_shelf_rests_on_a_pin_in_each_of_its_four_rows(design: Design, work: Casework) -> None:
    for number, shelf in enumerate(design.shelves, start=1):
        if shelf.held is not Held.PINS:
            continue
        board = work.by_name[f"shelf-{number}"]
        bay = work.bays[shelf.bay - 1]
        resting = 0
        for upright in (bay.left, bay.right):
            host = work.by_name[upright.name]
            for row in (f for f in host.features if isinstance(f, HoleRow)):
                if row.purpose is not Purpose.SHELF_PIN:
                    continue
                for drill in row.cutters(host):
                    x, y, z = host.place.to_room(drill.entry)
                    faces_bay = min(abs(x - bay.clear.lo[0]), abs(x - bay.clear.hi[0])) < CLOSE
                    on_top = abs(z + drill.diameter / 2 - board.box.lo[2]) < CLOSE
                    under = board.box.lo[1] < y < board.box.hi[1]
                    resting += faces_bay and on_top and under
        assert resting == 4, board.name


@holds
def a_base_carries_the_bottom_from_the_floor(design: Design, work: Casework) -> None:
    if design.base is None:
        return
    feet = [b for b in work.boards if b.name.startswith(("base", "leg"))]
    assert max(b.box.hi[2] for b in feet) == pytest.approx(work.frame.bottom.box.lo[2], abs=CLOSE)
    under = bounds([b.box for b in feet])
    assert under.lo[2] == pytest.approx(work.box.lo[2])


@holds
def every_fastening_joins_two_boards_that_touch(design: Design, work: Casework) -> None:
    for fastening in work.fastenings:
        board = work.by_name[fastening.board]
        assert fastening.count >= 1
        for name in fastening.to.split(", "):
            box = work.by_name[name].box
            # shelves on pins stand off their uprights by the side clearance, and dividers
            # leave room for the thickest spot of a panel
            spread = board.stock.thickness_max_mm - board.stock.thickness_mm
            near = Box(
                (box.lo[0] - 3.1, box.lo[1] - 0.1, box.lo[2] - 0.1),
                (box.hi[0] + 3.1, box.hi[1] + 0.1 + spread, box.hi[2] + 0.1),
            )
            assert near.common(board.box) is not None, fastening


# --- twins ----------------------------------------------------------------------------


def trenches(board: Board) -> list[Trench]:
    return [f for f in board.features if isinstance(f, Trench)]


def numbers(cuts: list[Trench]) -> list[tuple[float, ...]]:
    return [(c.run, c.offset, c.width, c.start, c.stop, c.depth) for c in cuts]


def alike(ones: list[tuple[float, ...]], others: list[tuple[float, ...]]) -> bool:
    """Whether each row has its equal among the others, in any order, but for float noise."""
    left = list(others)
    for one in ones:
        found = next((o for o in left if one == pytest.approx(o, abs=CLOSE)), None)
        if found is None:
            return False
        left.remove(found)
    return not left


def _joints(board: Board, *mates: str) -> list[Trench]:
    return [c for c in trenches(board) if c.mate.startswith(mates)]


@holds
def sides_are_twins(design: Design, work: Casework) -> None:
    """Left and right carry equal numbers; their places, not their numbers, are mirrored."""
    left, right = work.by_name["side-left"], work.by_name["side-right"]
    assert left.finished == right.finished
    assert left.place.mirrored is not right.place.mirrored
    assert alike(numbers(_joints(left, "top", "bottom")), numbers(_joints(right, "top", "bottom")))
    backs = [_joints(side, "back") for side in (left, right)]
    if all(backs):
        assert alike(numbers(backs[0]), numbers(backs[1]))
    assert alike(_entries(left, but=Purpose.SHELF_PIN), _entries(right, but=Purpose.SHELF_PIN))


@holds
def top_and_bottom_are_twins(design: Design, work: Casework) -> None:
    """Dados, grooves and back housings line up when the two lie edge to edge for the router."""
    top, bottom = work.by_name["top"], work.by_name["bottom"]
    assert top.finished == bottom.finished
    assert top.place.mirrored is not bottom.place.mirrored
    assert alike(
        numbers(_joints(top, "divider", "back")), numbers(_joints(bottom, "divider", "back"))
    )
    tracks = [_joints(lid, "sliding doors") for lid in (top, bottom)]
    assert alike(*([n[:-1] for n in numbers(track)] for track in tracks))
    if tracks[0]:
        assert len(tracks[0]) == 2


def _mirrored(plain: Plain) -> Plain:
    """The same console seen in a mirror: dividers, shelves and panels change sides."""
    width = length(plain["case"]["width"])
    rows = plain.get("divider", [])
    bays = len(rows) + 1
    turned: Plain = {**plain, "divider": [], "shelf": [], "gear": [], "hole": [], "notch": []} | {
        "cable": []
    }
    for row in rows:
        turned["divider"].append({**row, "at": exact(width - length(row["at"]))})
    for row in plain.get("shelf", []):
        turned["shelf"].append({**row, "bay": bays + 1 - row["bay"]})
    if "back" in plain:
        panels = [
            {**p, "bays": [bays + 1 - n for n in p["bays"]], "holes": []}
            for p in plain["back"]["panels"]
        ]
        turned["back"] = {**plain["back"], "panels": panels}
    return turned


@few
@given(designs(extras=False))
def test_a_mirrored_design_swaps_the_sides(plain: Plain) -> None:
    """What the left side carries, the right side of the mirrored console carries in numbers."""
    _, here = assemble(plain)
    _, there = assemble(_mirrored(plain))
    for one, other in (("side-left", "side-right"), ("side-right", "side-left")):
        a, b = here.by_name[one], there.by_name[other]
        assert alike(numbers(trenches(a)), numbers(trenches(b)))
        assert alike(_entries(a), _entries(b))


def _entries(board: Board, but: Purpose | None = None) -> list[tuple[float, ...]]:
    rows = [f for f in board.features if isinstance(f, HoleRow) and f.purpose is not but]
    return [(*d.entry, *d.heading, d.diameter, d.depth) for row in rows for d in row.cutters(board)]


# --- the strategies themselves --------------------------------------------------------


@given(st.floats(0, 3000), st.floats(0, 500), st.data())
def test_lengths_keep_their_limits(least: float, span: float, data: st.DataObject) -> None:
    words = data.draw(lengths(least, least + span))
    assert least - 1e-9 <= length(words) <= least + span + 1e-9


def _seen(design: Design, work: Casework) -> Iterator[Any]:
    """Everything of a design that the strategy promises to reach."""
    case, back, doors = design.case, design.back, design.doors
    yield case.corner
    yield ("pins", case.pins is not None)
    yield ("dividers", len(design.dividers))
    yield from (d.joint for d in design.dividers)
    for shelf in design.shelves:
        yield shelf.held
        yield ("layers", shelf.layers)
        yield ("lipping", shelf.lipping is not None)
    if back:
        yield back.method
        yield ("panels", min(len(back.panels), 2))
        yield ("wide panel", any(len(p.bays) > 1 for p in back.panels))
        yield ("open bay", any(bay.open_back for bay in work.bays))
        yield ("cable holes", any(p.holes for p in back.panels))
    if doors:
        yield (doors.layout, doors.count)
        yield doors.style
        yield ("own height", doors.height is not None)
    if design.base:
        yield (type(design.base), design.base.attach.value)
    yield ("stocks", min(len(work.stocks), 4))
    yield ("spread", any(s.thickness_max_mm > s.thickness_min_mm for s in work.stocks))
    yield ("typical", any(not s.measured for s in work.stocks))
    yield ("holes", bool(design.holes))
    yield ("notches", bool(design.notches))
    yield ("gear", bool(design.gear))
    yield ("cables", bool(design.cables))
    yield ("standing sides", work.frame.bottom.box.lo[2] > 0)


#: Among so many random designs there is one of everything.
DRAWN = 400


@pytest.mark.slow
def test_the_strategy_reaches_everything() -> None:
    seen = {what for made in drawn(built(), DRAWN, 0) for what in _seen(*made)}
    yes_or_no = [
        "pins", "lipping", "wide panel", "open bay", "cable holes", "own height", "spread",
        "typical", "holes", "notches", "gear", "cables", "standing sides",
    ]  # fmt: skip
    wanted = {
        *Corner,
        *DividerJoint,
        *Held,
        *Method,
        *Style,
        *((name, truth) for name in yes_or_no for truth in (True, False)),
        *(("dividers", n) for n in range(5)),
        *(("layers", n) for n in (1, 2)),
        *(("panels", n) for n in (1, 2)),
        *((Layout.BYPASS, n) for n in (2, 3)),
        (Layout.ENDS, 2),
        *((kind, how) for kind in (Plinth, Beam, Legs) for how in ("pocket-screws", "bolts")),
        *(("stocks", n) for n in (1, 2, 3, 4)),
    }
    assert wanted - seen == set()


@holds
def round_cuts_keep_clear_of_what_the_maker_adds(design: Design, work: Casework) -> None:
    """The strategy adds no hole or notch that runs into another cut."""
    added = {h.board for h in design.holes} | {n.board for n in design.notches}
    for name in added:
        board = work.by_name[name]
        extra = board.features[-sum(r.board == name for r in (*design.holes, *design.notches)) :]
        for pair in board.meetings():
            assert not set(pair) & set(extra), (name, pair)
