"""What a maker does to a design at a desk: the text stays theirs, and every name holds true."""

import tomllib
from collections import Counter
from collections.abc import Callable
from typing import Any, TypeAliasType, get_args

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel

from kit import edits
from kit.cabling import cables
from kit.casework import Casework, build
from kit.checks import check
from kit.design import Design
from kit.design_file import example_text, parse, rewrite
from kit.edits import Part, Row
from kit.errors import BuildError, KitError, TableError
from kit.finding import Status
from kit.gear import gear_kinds
from kit.materials import sheet_goods
from kit.units import System, exact, length
from profiles import CHANGE, CONSOLE, examples
from strategies import designs

few = examples(CHANGE, shrink=False)

INCH = 25.4
EXAMPLE = example_text()
#: Half a tick of the tape: 1/32 in.
HALF = INCH / 32


def work(text: str) -> Casework:
    return build(parse(text))


def openings(text: str) -> list[float]:
    return [bay.clear.size[0] for bay in work(text).bays]


def lines(text: str, other: str) -> tuple[Counter[str], Counter[str]]:
    """The lines of the first text that the second has not, and the other way round."""
    one, two = Counter(text.splitlines()), Counter(other.splitlines())
    return one - two, two - one


def as_text(plain: dict[str, Any]) -> str:
    return tomlkit.dumps(plain)


def cut_places(casework: Casework) -> list[tuple[float, ...]]:
    """Where in the room each hole and notch by name is, mm."""
    found = []
    for cut in (*casework.design.holes, *casework.design.notches):
        place = casework.by_name[cut.board].place
        alongs = cut.along if isinstance(cut.along, tuple) else (cut.along,)
        acrosses = cut.across if isinstance(cut.across, tuple) else (cut.across,)
        point = place.to_room((alongs[0], acrosses[0], 0.0))
        found.append(tuple(round(value, 3) for value in point))
    return found


# --- a bay parted and taken away ------------------------------------------------------


def test_a_parted_bay_of_the_example_changes_these_lines_only():
    gone, new = lines(EXAMPLE, edits.add_bay(EXAMPLE, 1))
    # clear from 0.71875 (mean of the four readings) to 22 1/2 - 0.359375, so the middle is at
    # 11.4297 in, which is 11 7/16 in on a tape
    assert new - Counter({"": 1}) == Counter(
        {
            "[[divider]]": 1,
            'at = "11 7/16 in"': 1,
            "bays = [1, 2]": 1,
            "bays = [4]": 1,
            "bay = 4": 4,
            'board = "divider-3"': 1,
        }
    )
    # divider-1 has become divider-2 and divider-2 divider-3; bay 2 is bay 3 now
    assert gone == Counter(
        {
            "bays = [1]": 1,
            "bays = [3]": 1,
            'board = "divider-1"': 1,
            "bay = 2": 1,
            "bay = 3": 3,
        }
    )


@pytest.mark.parametrize("bay", [1, 2, 3])
def test_a_bay_parted_and_joined_again_is_the_very_text(bay):
    assert edits.remove_bay(edits.add_bay(EXAMPLE, bay), bay) == EXAMPLE


def test_the_divider_of_a_new_bay_is_of_the_kind_of_its_neighbour():
    text = rewrite(EXAMPLE, {"divider.2.joint": "dowels", "divider.2.stock": "walnut-ply-1"})
    new = parse(edits.add_bay(text, 3)).dividers[2]
    assert (new.joint.value, new.stock) == ("dowels", "walnut-ply-1")


@few
@given(designs(), st.data())
def test_parting_a_bay_moves_nothing(plain, data):
    text = as_text(plain)
    before = work(text)
    bay = data.draw(st.integers(1, len(before.bays)))
    refusal = ""
    try:
        after = work(edits.add_bay(text, bay))
    except KitError as error:
        refusal = str(error)
    if refusal:
        # narrow doors, a base with no place for a screw beside the new divider, or a cut by name
        # in a shelf that is parted: the refusal says which, and it is there
        named = (*before.design.holes, *before.design.notches)
        in_shelf = any(cut.board.startswith("shelf-") for cut in named)
        there = {"door": before.doors, "base-": before.design.base, "shelf-": in_shelf or None}
        assert any(word in refusal for word, part in there.items() if part is not None)
        return
    assert len(after.bays) == len(before.bays) + 1
    old, new = before.bays[bay - 1], after.bays[bay - 1 : bay + 1]
    tick = INCH / 16 if before.design.shop.units is System.INCH else 0.5
    assert new[0].clear.size[0] == pytest.approx(new[1].clear.size[0], abs=tick + 1e-9)
    assert (new[0].clear.lo[0], new[1].clear.hi[0]) == (old.clear.lo[0], old.clear.hi[0])
    others = [b.clear.size[0] for b in after.bays if b.number not in (bay, bay + 1)]
    assert others == [b.clear.size[0] for b in before.bays if b.number != bay]
    # holes and notches are where they were, in the boards that they were in
    assert cut_places(after) == cut_places(before)
    # and so are the floors that devices stand on, fans, and the panels
    for was, now in zip(before.gear, after.gear, strict=True):
        if not was.arranged:
            assert now.space.lo == was.space.lo
            assert now.item.name == was.item.name
    for was, now in zip(before.design.fans, after.design.fans, strict=True):
        places = [work.bays[fan.bay - 1].clear.lo for work, fan in ((before, was), (after, now))]
        assert places[0] == places[1]
    names = [f"back-{n}" for n in range(1, 9)]
    assert [after.by_name[n].box for n in names if n in after.by_name] == [
        before.by_name[n].box for n in names if n in before.by_name
    ]


@few
@given(designs(), st.data())
def test_a_bay_added_and_taken_away_leaves_the_same_boards(plain, data):
    text = as_text(plain)
    bay = data.draw(st.integers(1, len(work(text).bays)))
    try:
        more = edits.add_bay(text, bay)
    except KitError:
        return
    before, after = work(text), work(edits.remove_bay(more, bay))
    assert after.boards == before.boards
    assert after.bays == before.bays
    assert [(p.item, p.body) for p in after.gear] == [(p.item, p.body) for p in before.gear]
    assert after.fastenings == before.fastenings


@few
@given(designs(dividers=(1, 4), doors=False), st.data())
def test_joining_two_bays_keeps_what_stood_in_them(plain, data):
    text = as_text(plain)
    before = work(text)
    bay = data.draw(st.integers(1, len(before.bays)))
    after = work(edits.remove_bay(text, bay))
    left = min(bay, len(before.bays) - 1)
    one, two = before.bays[left - 1 : left + 1]
    joined = after.bays[left - 1].clear
    assert len(after.bays) == len(before.bays) - 1
    assert (joined.lo[0], joined.hi[0]) == (one.clear.lo[0], two.clear.hi[0])
    # each device is in the joined bay, at its height: on the floor, or on the shelf it was on or
    # the one that took its place, which overlaps it in height
    for was, now in zip(before.gear, after.gear, strict=True):
        if was.arranged or was.bay is None or was.bay.number not in (left, left + 1):
            continue
        assert now.within.number == left
        if was.item.on == "bottom":
            assert now.body.lo[2] == was.body.lo[2]
        else:
            shelf, other = before.by_name[was.item.on], after.by_name[now.item.on]
            # up to a dado's depth and a clearance for pins
            assert other.box.lo[0] <= shelf.box.lo[0] + 13
            assert other.box.hi[0] >= shelf.box.hi[0] - 13
            assert other.box.hi[2] == shelf.box.hi[2] or other.box.lo[2] < shelf.box.hi[2] + 1
    # shelves of the two bays are there still, but for those that met
    count = len(before.design.shelves) - len(after.design.shelves)
    here = [s.bay for s in before.design.shelves]
    assert 0 <= count <= min(here.count(left), here.count(left + 1))
    # holes are where they were, but for those of boards that went
    gone = Counter(cut_places(after))
    standing = {
        name
        for name in before.by_name
        if not name.startswith(("divider", "shelf", "back", "base-cross"))
    }
    for cut, place in zip(
        (*before.design.holes, *before.design.notches), cut_places(before), strict=True
    ):
        if cut.board in standing:
            assert gone[place] > 0


def test_the_hole_of_a_divider_stays_in_it_or_goes_with_it():
    text = edits.remove_part(EXAMPLE, Part.DOORS)
    after = edits.remove_bay(text, 1)
    (hole,) = parse(after).holes
    board, old = work(after).by_name[hole.board], work(text).by_name["divider-2"]
    assert board.box == old.box
    assert edits.remove_bay(text, 3).count("[[hole]]") == 1


def test_two_shelves_at_one_height_become_one_with_all_that_stood_on_them():
    text = edits.remove_part(EXAMPLE, Part.DOORS)
    text = rewrite(text, {"shelf.2.bay": 2, "shelf.3": {"bay": 3, "clear_below": "3 in"}})
    text = rewrite(
        text,
        {f"gear.{n}.bay": 2 for n in (4, 7)}
        | {"hole.3": {"board": "shelf-3", "along": "3 in", "across": "3 in", "diameter": "1 in"}},
    )
    after = parse(edits.remove_bay(text, 1))
    # shelf-2 went into shelf-1, both 8 in over the floor; the third is shelf-2 now
    assert [(shelf.bay, shelf.clear_below) for shelf in after.shelves] == [
        (1, pytest.approx(8 * INCH)),
        (2, pytest.approx(3 * INCH)),
    ]
    on = {item.name: (item.bay, item.on) for item in after.gear}
    assert on["disc player"] == on["network switch"] == on["switch adaptor"] == (1, "shelf-1")
    assert after.holes[-1].board == "shelf-2"


def test_a_notch_keeps_its_edge_and_goes_with_it():
    text = edits.remove_part(EXAMPLE, Part.DOORS)
    # both in shelf-2 of bay 3: out of its rear edge, and out of its left end at the divider
    width = exact(work(text).by_name["shelf-2"].width, System.INCH)
    text = rewrite(
        text,
        {
            "notch.1": {"board": "shelf-2", "along": ["4 in", "6 in"], "across": ["16 in", width]},
            "notch.2": {"board": "shelf-2", "along": ["0 in", "1 in"], "across": ["4 in", "6 in"]},
        },
    )
    before, after = work(text), work(edits.remove_bay(text, 3))
    (notch,) = after.design.notches
    assert notch.across[1] == pytest.approx(after.by_name["shelf-2"].width, abs=1e-6)
    assert cut_places(after)[-1][0] == pytest.approx(cut_places(before)[-2][0], abs=HALF)


def test_what_says_how_far_across_it_stands_keeps_its_place_in_the_room():
    text = edits.remove_part(EXAMPLE, Part.DOORS)
    text = rewrite(text, {"gear.6.across": "2 in"})
    before, after = work(text), work(edits.remove_bay(text, 3))
    assert after.gear[5].body.lo[0] == pytest.approx(before.gear[5].body.lo[0], abs=HALF)
    holes = [
        {
            round(board.place.to_room((*hole.at, 0.0))[0])
            for hole in board.features
            if hasattr(hole, "at")
        }
        for board in (before.by_name["back-2"], after.by_name["back-2"])
    ]
    assert holes[0] == holes[1] != set()


def test_panels_that_met_on_the_divider_become_one_with_all_their_holes():
    text = edits.remove_part(EXAMPLE, Part.DOORS)
    text = rewrite(text, {"back.panels.2.bays": [2, 3]})
    after = work(edits.remove_bay(text, 1))
    before = work(text)
    back = after.design.back
    assert back is not None
    (panel,) = back.panels
    assert panel.bays == (1, 2)
    first = [b.clear.lo[0] for b in before.bays]
    old = before.design.back
    assert old is not None
    wanted = [first[0] + h.across for h in old.panels[0].holes]
    wanted += [first[1] + h.across for h in old.panels[1].holes]
    at = after.bays[0].clear.lo[0]
    assert [at + h.across for h in panel.holes] == pytest.approx(wanted, abs=HALF)


def test_rows_of_one_kind_of_media_become_one_row():
    text = edits.remove_part(EXAMPLE, Part.DOORS)
    text = edits.add_content(edits.add_content(text, "records", 1), "records", 2)
    text = rewrite(text, {"content.1.length": "10 in", "content.2.length": "12 in"})
    (row,) = parse(edits.remove_bay(text, 1)).contents
    assert row.length == pytest.approx(22 * INCH)


def test_lists_of_boards_and_measured_openings_follow():
    text = rewrite(
        EXAMPLE,
        {
            "matched.1.boards": ["divider-1", "divider-2", "back-2"],
            "measured.cut": ["divider-2", "shelf-2", "base-cross-2"],
            "measured.opening": {"height": "16.5 in", "bay-1": "21.4 in", "bay-3": "21.4 in"},
        },
    )
    more = parse(edits.add_bay(text, 1))
    assert more.matched[0].boards == ("divider-2", "divider-3", "back-2")
    assert more.measured.cut == ("divider-3", "shelf-2", "base-cross-3")
    # the opening that was parted is not what was measured any more
    assert sorted(more.measured.opening) == ["bay-4", "height"]
    less = parse(edits.remove_bay(edits.remove_part(text, Part.DOORS), 3))
    assert less.matched[0].boards == ("divider-1", "back-2")
    assert less.measured.cut == ("shelf-2",)
    assert sorted(less.measured.opening) == ["bay-1", "height"]


def test_a_measured_opening_goes_as_its_divider_moves():
    text = rewrite(EXAMPLE, {"measured.opening": {"bay-1": "21.4 in", "bay-3": "21.4 in"}})
    assert list(parse(edits.move_divider(text, 1, 500.0)).measured.opening) == ["bay-3"]


def test_edits_know_every_field_that_names_a_board_or_counts_bays():
    def fields(model: type[BaseModel], path: str = "") -> set[str]:
        found: set[str] = set()
        for name, info in model.model_fields.items():
            here = f"{path}{info.alias or name}"
            if name in ("bay", "bays", "board", "boards", "on", "opening", "cut", "start", "end"):
                found.add(here)
            for inner in _models(info.annotation):
                found |= fields(inner, f"{here}.")
        return found

    # a new one has to follow in kit/edits before it comes into this list
    assert fields(Design) == {
        "shelf.bay", "back.panels.bays", "gear.bay", "gear.on", "content.bay", "content.on",
        "cable.from", "cable.to", "fan.bay", "hole.board", "notch.board", "matched.boards",
        "measured.opening", "measured.cut",
    }  # fmt: skip


def _models(annotation: Any) -> list[type[BaseModel]]:
    """The models inside an annotation."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    if isinstance(annotation, TypeAliasType):
        return _models(annotation.__value__)
    return [model for inner in get_args(annotation) for model in _models(inner)]


# --- widths ---------------------------------------------------------------------------


def test_even_bays_of_the_example_are_where_a_maker_puts_them():
    # (78 - 4 x 0.71875) / 3 = 25.0417 in each: the middles stand at 26.1198 and 51.8802 in
    gone, new = lines(EXAMPLE, edits.even_bays(EXAMPLE))
    remark = "         # from the outside of the left side to the middle of the divider"
    assert gone == Counter({f'at = "22 1/2 in"{remark}': 1, 'at = "55 1/2 in"': 1})
    assert new == Counter({f'at = "26 1/8 in"{remark}': 1, 'at = "51 7/8 in"': 1})


def test_metric_lengths_go_to_half_a_millimetre():
    text = edits.set_units(EXAMPLE, System.METRIC)
    # 26.1198 in = 663.44 mm, 51.8802 in = 1317.76 mm
    _, new = lines(EXAMPLE, edits.even_bays(text))
    assert [line.split('"')[1] for line in new if line.startswith("at")] == ["663.5 mm", "1318 mm"]


@few
@given(designs(dividers=(1, 4), doors=False, back=False, base=False, extras=False), st.data())
def test_a_bay_gets_its_width_and_the_others_share_the_rest(plain, data):
    text = as_text(plain)
    before = openings(text)
    bay = data.draw(st.integers(1, len(before)))
    width = data.draw(st.floats(0.6, 1.4)) * before[bay - 1]
    room = sum(before)
    width = min(width, room - 100.0 * (len(before) - 1))
    after = openings(edits.bay_width(text, bay, width))
    tick = INCH / 16 if plain["shop"]["units"] == "in" else 0.5
    assert after[bay - 1] == pytest.approx(width, abs=tick / 2 + 1e-6)
    assert sum(after) == pytest.approx(room, abs=1e-6)
    share = (room - width) / (room - before[bay - 1])
    for number, (was, now) in enumerate(zip(before, after, strict=True), start=1):
        if number != bay:
            assert now == pytest.approx(was * share, abs=1.5 * tick + 1e-6)


def test_the_rounding_of_two_dividers_does_not_add_up():
    for width in range(500, 700, 9):
        assert openings(edits.bay_width(EXAMPLE, 2, width))[1] == pytest.approx(
            width, abs=HALF + 1e-6
        )


@few
@given(
    designs(dividers=(0, 4), doors=False, back=False, base=False, extras=False),
    st.floats(0.8, 1.3),
)
def test_openings_and_uprights_fill_the_case(plain, share):
    text = as_text(plain)
    before = work(text)
    width = before.design.case.width * share
    tick = INCH / 16 if plain["shop"]["units"] == "in" else 0.5
    wider = work(edits.case_width_in_proportion(text, width))
    even = work(edits.even_bays(text))
    for after in (wider, even):
        uprights = [bay.left.thickness for bay in after.bays] + [after.frame.right.thickness]
        clear = [bay.clear.size[0] for bay in after.bays]
        assert sum(clear) + sum(uprights) == pytest.approx(after.design.case.width, abs=1e-6)
    assert wider.design.case.width == pytest.approx(width, abs=tick / 2 + 1e-6)
    old, new = openings(text), [bay.clear.size[0] for bay in wider.bays]
    for was, now in zip(old, new, strict=True):
        assert now / sum(new) == pytest.approx(was / sum(old), abs=1.5 * tick / sum(new))
    widths = [bay.clear.size[0] for bay in even.bays]
    assert max(widths) - min(widths) <= 2 * tick + 1e-6


def test_a_divider_stays_between_its_neighbours():
    moved = work(edits.move_divider(EXAMPLE, 1, 500.0))
    assert moved.by_name["divider-1"].box.centre[0] == pytest.approx(500.0, abs=HALF)
    before = work(EXAMPLE)
    assert moved.bays[2].clear == before.bays[2].clear
    for at in (5.0, 1409.0, 1900.0, -20.0, float("nan"), 1e9):
        with pytest.raises(KitError):
            edits.move_divider(EXAMPLE, 1, at)


def test_a_width_that_is_there_already_keeps_every_byte():
    widths = openings(EXAMPLE)
    assert edits.bay_width(EXAMPLE, 2, widths[1]) == EXAMPLE
    assert edits.move_divider(EXAMPLE, 2, 55.5 * INCH) == EXAMPLE
    assert edits.case_width_in_proportion(EXAMPLE, 78 * INCH) == EXAMPLE


# --- shelves --------------------------------------------------------------------------


def test_a_shelf_comes_into_the_middle_of_the_largest_free_height():
    # bay 2: the receiver stands 6 11/16 in high, the bay is 18 - 2 x 0.71875 in: the shelf's
    # middle is halfway between, (6.6875 + 16.5625) / 2 = 11.625 in over the floor
    after = work(edits.add_shelf(EXAMPLE, 2))
    shelf, floor = after.by_name["shelf-3"], after.frame.clear.lo[2]
    receiver = after.gear[0].body.hi[2]
    assert shelf.box.centre[2] - floor == pytest.approx(
        (receiver - floor + (18 - 2 * 0.71875) * INCH) / 2, abs=HALF
    )
    gone, new = lines(EXAMPLE, edits.add_shelf(EXAMPLE, 3))
    assert not gone
    # held and cleared like its neighbour in bay 3
    assert {'held = "pins"', 'rear_gap = "2 in"', "bay = 3"} <= set(new)


@few
@given(designs(doors=False), st.data())
def test_a_shelf_added_and_taken_out_leaves_the_boards(plain, data):
    text = as_text(plain)
    before = work(text)
    bay = data.draw(st.integers(1, len(before.bays)))
    try:
        more = edits.add_shelf(text, bay)
    except BuildError as error:
        refusal = str(error)
    else:
        refusal = ""
    if refusal:
        assert "free height" in refusal or "lipping" in refusal
        return
    new = work(more).by_name[f"shelf-{len(before.design.shelves) + 1}"].box
    others = [b.box for b in before.boards if b.name.startswith("shelf")]
    assert not any(new.common(other) for other in others)
    assert work(edits.remove_shelf(more, len(before.design.shelves) + 1)).boards == before.boards


def test_what_stood_on_a_shelf_stands_on_the_floor_and_names_follow():
    text = rewrite(
        edits.add_content(EXAMPLE, "books", 1, "shelf-1"),
        {"matched.1.boards": ["shelf-1", "shelf-2"], "gear.2.bay": None},
    )
    after = parse(edits.remove_shelf(text, 1))
    by_name = {item.name: item for item in after.gear}
    assert (by_name["disc player"].bay, by_name["disc player"].on) == (1, None)
    assert by_name["network switch"].on == "shelf-1"
    assert after.contents[0].on == "bottom"
    assert after.matched == ()
    assert after.shelves[0].bay == 3


# --- gear and cables ------------------------------------------------------------------


def test_a_new_device_has_a_name_of_its_own():
    text = edits.add_gear(edits.add_gear(EXAMPLE, "receiver", 2), "receiver")
    names = [item.name for item in parse(text).gear]
    assert names[-2:] == ["receiver 2", "receiver 3"]
    assert lines(EXAMPLE, text)[0] == Counter()


def test_a_device_goes_with_its_cables_and_no_others():
    before, after = parse(EXAMPLE), parse(edits.remove_gear(EXAMPLE, 1))
    assert [item.name for item in after.gear] == [item.name for item in before.gear[1:]]
    kept = [run for run in before.cables if "receiver" not in (run.start, run.end)]
    assert list(after.cables) == kept
    assert len(kept) == 7


def test_a_cable_comes_and_goes():
    text = edits.add_cable(EXAMPLE, "receiver", "screen", "hdmi")
    assert len(parse(text).cables) == 13
    assert edits.remove_cable(text, 13) == EXAMPLE
    with pytest.raises(BuildError, match="did you mean"):
        edits.add_cable(EXAMPLE, "reciever", "screen", "hdmi")
    with pytest.raises(TableError):
        edits.add_cable(EXAMPLE, "receiver", "screen", "rope")


# --- parts that may be absent ---------------------------------------------------------


@pytest.mark.parametrize("part", Part)
def test_a_part_goes_with_all_that_names_it_and_comes_again(part):
    names = {
        Part.DOORS: ["door-1"],
        Part.BACK: ["back-1"],
        Part.BASE: ["base-cross-2", "base-front"],
        Part.SCREEN: [],
    }[part]
    text = rewrite(EXAMPLE, {"measured.cut": ["top", *names]})
    without = edits.remove_part(text, part)
    design = parse(without)
    assert not edits.has_part(design, part)
    assert design.measured.cut == ("top",)
    assert all(run.end != "screen" for run in design.cables) or part is not Part.SCREEN
    with pytest.raises(BuildError, match="to take out"):
        edits.remove_part(without, part)
    again = edits.add_part(without, part)
    assert edits.has_part(parse(again), part)
    assert again.startswith(without)
    with pytest.raises(BuildError, match="already"):
        edits.add_part(again, part)


def test_a_bay_is_closed_at_the_back():
    without = edits.remove_part(EXAMPLE, Part.BACK)
    text = edits.close_bay(without, 2)
    case = work(text)
    assert [bay.open_back for bay in case.bays] == [True, False, True]
    # the receiver stands there: the panel comes off, and its cables have a hole
    (panel,) = parse(text).back.panels
    assert panel.removable
    assert len(panel.holes) == 1
    both = work(edits.close_bay(text, 3))
    assert [bay.open_back for bay in both.bays] == [True, False, False]
    assert both.by_name["back-2"].stock == case.by_name["back-1"].stock
    with pytest.raises(BuildError, match="closes bay 2 already"):
        edits.close_bay(text, 2)
    with pytest.raises(BuildError, match="There is no bay 4"):
        edits.close_bay(text, 4)


def test_new_parts_are_of_the_plywood_of_the_case():
    text = EXAMPLE
    for part in (Part.DOORS, Part.BACK):
        text = edits.add_part(edits.remove_part(text, part), part)
    design = parse(text)
    assert design.doors is not None
    assert design.back is not None
    assert (design.doors.stock, design.back.stock) == ("walnut-ply-1/2", "walnut-ply-1/4")


def test_new_doors_lift_in_and_stay_in():
    text = edits.add_part(edits.remove_part(EXAMPLE, Part.DOORS), Part.DOORS)
    found = [f for f in check(work(text)).findings if f.check.startswith("doors")]
    assert found
    assert all(f.status is Status.OK for f in found)


@few
@given(
    designs(doors=False, back=False, base=False, extras=False),
    st.sampled_from(sorted(Part, key=str)),
)
def test_a_new_part_builds_in_any_design_with_room_for_it(plain, part):
    plain.pop("screen", None)
    plain["cable"] = []
    if plain["case"].get("inset_bottom", "0 mm") != "0 mm":
        plain["case"]["inset_bottom"] = "0 mm"
    text = as_text(plain)
    more = edits.add_part(text, part)
    assert edits.has_part(parse(more), part)
    assert work(edits.remove_part(more, part)).boards == work(text).boards


# --- rows that nothing names ----------------------------------------------------------


def test_rows_come_and_go():
    for row, add in (
        (Row.FAN, lambda text: edits.add_fan(text, 1)),
        (Row.CONTENT, lambda text: edits.add_content(text, "records", 2)),
        (Row.SHEET, lambda text: edits.add_sheet(text, "walnut-ply-3/4")),
    ):
        text = add(EXAMPLE)
        assert lines(EXAMPLE, text)[0] == Counter()
        assert edits.remove_row(text, row, 1) == EXAMPLE
    assert edits.remove_row(edits.add_outlet(EXAMPLE), Row.OUTLET, 2) == EXAMPLE
    assert [f.name for f in parse(edits.add_fan(edits.add_fan(EXAMPLE, 1), 1)).fans] == [
        "fan",
        "fan 2",
    ]


def test_the_units_change_and_no_length_with_them():
    gone, new = lines(EXAMPLE, edits.set_units(EXAMPLE, System.METRIC))
    remark = "             # what is printed: in or mm"
    assert (list(gone), list(new)) == ([f'units = "in"{remark}'], [f'units = "mm"{remark}'])


# --- what is refused ------------------------------------------------------------------

NUMBERS = st.integers(-2, 9)
LENGTHS = st.one_of(st.floats(), st.floats(1.0, 2500.0))
EDITS: tuple[tuple[Callable[..., str], tuple[st.SearchStrategy[Any], ...]], ...] = (
    (edits.add_bay, (NUMBERS,)),
    (edits.remove_bay, (NUMBERS,)),
    (edits.bay_width, (NUMBERS, LENGTHS)),
    (edits.even_bays, ()),
    (edits.move_divider, (NUMBERS, LENGTHS)),
    (edits.case_width_in_proportion, (LENGTHS,)),
    (edits.add_shelf, (NUMBERS,)),
    (edits.remove_shelf, (NUMBERS,)),
    (edits.add_gear, (st.sampled_from([*gear_kinds(), "nothing"]), st.none() | NUMBERS)),
    (edits.remove_gear, (NUMBERS,)),
    (
        edits.add_cable,
        (*[st.sampled_from(["device 1", "device 2", "screen", "outlet", "x"])] * 2,
         st.sampled_from([*cables(), "rope"])),
    ),
    (edits.remove_cable, (NUMBERS,)),
    (edits.add_part, (st.sampled_from(Part),)),
    (edits.remove_part, (st.sampled_from(Part),)),
    (edits.close_bay, (NUMBERS,)),
    (edits.add_fan, (NUMBERS,)),
    (edits.add_content, (st.sampled_from(["records", "books", "x"]), NUMBERS,
                         st.sampled_from(["bottom", "shelf-1", "x"]))),
    (edits.add_sheet, (st.sampled_from([*sheet_goods(), "x"]),)),
    (edits.add_outlet, ()),
    (edits.remove_row, (st.sampled_from(Row), NUMBERS)),
    (edits.set_units, (st.sampled_from(System),)),
)  # fmt: skip


@examples(CONSOLE)
@given(designs(), st.data())
def test_an_edit_builds_or_is_refused_in_a_sentence(plain, data):
    text = as_text(plain)
    for _ in range(3):
        edit, arguments = data.draw(st.sampled_from(EDITS))
        try:
            text = edit(text, *(data.draw(argument) for argument in arguments))
        except KitError as error:
            refusal = str(error)
        else:
            refusal = ""
            work(text)
        assert not refusal or refusal.endswith((".", "?"))


def test_a_refusal_says_what_to_do():
    for edit, says in (
        (lambda: edits.add_bay(EXAMPLE, 4), "There is no bay 4: the case has 3"),
        (lambda: edits.remove_bay(EXAMPLE, 1), "bypass"),
        (lambda: edits.bay_width(EXAMPLE, 1, 3000.0), "118 1/8 in wide"),
        (lambda: edits.remove_shelf(EXAMPLE, 3), "There is no shelf 3: the design has 2"),
        (lambda: edits.add_gear(EXAMPLE, "toaster"), "toaster"),
        (lambda: edits.even_bays("nonsense"), "not TOML"),
        (lambda: edits.even_bays(EXAMPLE.replace("[[shelf]]", "[[shelves]]")), r"\[\[shelf\]\]"),
    ):
        with pytest.raises(KitError, match=says):
            edit()


def test_lists_written_inline_are_changed_where_they_stand():
    data = tomllib.loads(edits.remove_part(EXAMPLE, Part.DOORS))
    dividers = ", ".join(f'{{ at = "{row["at"]}" }}' for row in data.pop("divider"))
    text = f"divider = [{dividers}]\n" + tomlkit.dumps(data)
    more = edits.add_bay(text, 1)
    assert more.splitlines()[0] == (
        'divider = [{ at = "22 1/2 in" }, { at = "55 1/2 in" }, {at = "11 7/16 in"}]'
    )
    assert work(edits.remove_bay(more, 1)).boards == work(text).boards
    assert length("11 7/16 in") == pytest.approx(11.4375 * INCH)


def test_a_divider_goes_where_it_is_wanted_in_a_bay():
    text = edits.add_bay(example_text(), 2, 40 * 25.4)
    casework = build(parse(text))
    assert [divider.at for divider in casework.design.dividers] == pytest.approx(
        [22.5 * 25.4, 55.5 * 25.4, 40 * 25.4]
    )
    assert [shelf.bay for shelf in casework.design.shelves] == [1, 4]
    with pytest.raises(KitError, match="A divider at 10 in does not part bay 2"):
        edits.add_bay(example_text(), 2, 10 * 25.4)
