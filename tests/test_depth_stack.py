"""The depth stack: its rows in order, the sums, and its picture.

Trade facts: one amplifier manual asks 6 in behind, installers quote 2 to 3 in; what is wanted is
body, plug, bend and wall. Rows are added up here from the numbers of the design.
"""

import xml.etree.ElementTree as ET
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given

from kit.cabling import connector
from kit.casework import Casework
from kit.checks.depth_stack import DepthStack, Layer, depth_stacks
from kit.design import Design
from kit.draw.depth_stack import depth_stack_svg
from kit.units import System
from profiles import BOARDS, LISTS, examples
from strategies import built

type Rebuild = Callable[[dict[str, Any]], Casework]

ORDER = [*Layer]


def stack(work: Casework, name: str) -> DepthStack:
    return next(one for one in depth_stacks(work) if one.placed.item.name == name)


def sizes(one: DepthStack) -> dict[Layer, float | None]:
    return {row.layer: row.size for row in one.rows}


def test_the_rows_of_the_receiver_add_up_to_the_wall(example: Casework) -> None:
    one = stack(example, "receiver")
    rows = sizes(one)
    assert list(rows) == [
        Layer.DOORS,
        Layer.FRONT,
        Layer.KNOBS,
        Layer.BODY,
        Layer.PLUG,
        Layer.BEND,
        Layer.FREE,
        Layer.OPEN,
        Layer.GAP,
    ]
    # two grooves of 0.473 in and 2 mm, lands of 8 and 8 mm, 2 mm behind
    assert rows[Layer.DOORS] == pytest.approx(2 * (0.473 * 25.4 + 2) + 8 + 8 + 2)
    assert rows[Layer.KNOBS] == 20
    assert rows[Layer.BODY] == 380
    # HDMI: 40 mm of plug; 8 mm cable to 9 times its diameter, and itself: 80 mm
    assert (rows[Layer.PLUG], rows[Layer.BEND]) == (40, 80)
    # the bend goes 20 mm from the tracks, 380 + 120 mm: 32.6 mm past the rear edge, into the gap
    assert rows[Layer.FREE] == 0
    past = 46.0284 + 20 + 380 + 120 - 21 * 25.4
    assert rows[Layer.GAP] == pytest.approx(2 * 25.4 - past)
    assert sum(size or 0 for size in rows.values()) == pytest.approx(23 * 25.4)
    assert one.limit == pytest.approx(23 * 25.4)
    assert one.room == pytest.approx(23 * 25.4 - 46.0284)
    assert one.wanted == 520


def test_a_panel_ends_the_room(example: Casework) -> None:
    one = stack(example, "disc player")
    rows = sizes(one)
    assert one.ends_at == "back-1"
    assert rows[Layer.BACK] == pytest.approx(0.207 * 25.4, abs=0.06)
    assert sum(size or 0 for size in rows.values()) == pytest.approx(23 * 25.4)
    assert Layer.OPEN not in rows


def in_the_open(**more: Any) -> dict[str, Any]:
    own = {"name": "box", "kind": "cable-box", "bay": 2, "on": "bottom", "plugs": ["ethernet"]}
    return {"gear": [own | more], "base": None, "hole": []}


def test_a_low_device_meets_the_baseboard(rebuilt: Rebuild) -> None:
    # without a base the bottom is 18 mm above the floor, the baseboard 4 in high
    one = stack(rebuilt(in_the_open()), "box")
    assert one.ends_at == "the baseboard"
    assert one.limit == pytest.approx(23 * 25.4 - 0.625 * 25.4)
    assert sizes(one)[Layer.GAP] == pytest.approx(2 * 25.4 - 0.625 * 25.4)
    high = stack(rebuilt({"room.baseboard_height": "1/2 in"}), "box")
    assert high.ends_at == "the wall"


def test_an_outlet_right_behind_takes_its_plug(rebuilt: Rebuild) -> None:
    # the middle of the case is 39 in from its left
    outlet = {"across": "39 in", "up": "2 in"}
    work = rebuilt(in_the_open() | {"room.outlets": [outlet], "room.baseboard_depth": "0 in"})
    one = stack(work, "box")
    plug = connector("mains-plug-straight")
    assert plug.depth_mm is not None
    assert one.ends_at == "the plug in the wall"
    assert one.limit == pytest.approx(23 * 25.4 - plug.depth_mm)
    flat = {"from": "box", "to": "outlet", "kind": "mains-strip"}
    work = rebuilt({"cable": [flat]})
    assert stack(work, "box").limit == pytest.approx(23 * 25.4 - 18)
    aside = rebuilt({"room.outlets": [outlet | {"across": "60 in"}]})
    assert stack(aside, "box").ends_at == "the wall"
    # where the maker says that the plug is at the other end of the device, nothing is in the way
    away = [{"kind": "ethernet", "across": "20 mm", "up": "20 mm"}]
    work = rebuilt({"room.outlets": [outlet], "gear.1.plugs": away})
    assert stack(work, "box").ends_at == "the wall"


def test_what_is_not_known_stays_unknown(rebuilt: Rebuild) -> None:
    one = stack(rebuilt(in_the_open(plugs=["lead-unknown"])), "box")
    assert one.wanted is None
    assert sizes(one)[Layer.BEND] is None
    assert sizes(one)[Layer.FREE] is None


@examples(BOARDS)
@given(pair=built(extras=False))
def test_the_rows_stand_in_order_and_reach_the_wall(pair: tuple[Design, Casework]) -> None:
    work = pair[1]
    wall = work.design.case.depth + work.design.room.wall_gap
    for one in depth_stacks(work):
        layers = [row.layer for row in one.rows]
        assert layers == sorted(layers, key=ORDER.index)
        if all(row.size is not None for row in one.rows):
            begin = 0.0 if Layer.DOORS in layers else one.front
            total = sum(row.size or 0.0 for row in one.rows)
            assert begin + total == pytest.approx(wall)
            assert one.wanted is not None
            free = one.of(Layer.FREE) or 0.0
            if Layer.OPEN in layers:
                free += one.of(Layer.GAP) or 0.0
            front = one.of(Layer.FRONT) or 0.0
            assert front + free - one.margin == pytest.approx(one.room - one.wanted)


# The picture.


def texts(svg: str) -> list[tuple[float, float, float, str, str]]:
    """x, y, size, anchor and words of each text."""
    found = []
    for node in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text"):
        x, y, size = (float(node.get(key, "0")) for key in ("x", "y", "font-size"))
        found.append((x, y, size, node.get("text-anchor", ""), node.text or ""))
    return found


def boxes(svg: str) -> list[tuple[float, float, float, float, str]]:
    """Left, top, right, bottom of each text, its width estimated at 0.58 em a letter."""
    found = []
    for x, y, size, anchor, words in texts(svg):
        wide = 0.58 * size * len(words)
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * wide
        found.append((left, y - size / 2, left + wide, y + size / 2, words))
    return found


def overlapping(svg: str) -> list[tuple[str, str]]:
    every = boxes(svg)
    return [
        (one[4], other[4])
        for place, one in enumerate(every)
        for other in every[place + 1 :]
        if min(one[2], other[2]) - max(one[0], other[0]) > 0.5
        and min(one[3], other[3]) - max(one[1], other[1]) > 0.5
    ]


def test_the_picture_has_a_strip_a_device_with_its_sizes(example: Casework) -> None:
    words = [text for *_, text in texts(depth_stack_svg(example))]
    for placed in example.gear:
        assert any(text.startswith(f"{placed.item.name} (") for text in words)
    assert "body: 14 31/32 in" in words
    assert "bend of the cable: 3 5/32 in" in words
    metric = [text for *_, text in texts(depth_stack_svg(example, units=System.METRIC))]
    assert "body: 380 mm" in metric


def test_strips_are_to_one_scale(example: Casework) -> None:
    drawn = ET.fromstring(depth_stack_svg(example)).iter("{http://www.w3.org/2000/svg}rect")
    wide = [float(node.get("width", "0")) for node in drawn]
    # bodies of 380, 250 and 100 mm
    scale = max(w for w in wide if w < 1100) / 380
    for size in (250, 100, 100, 40, 80):
        assert any(w == pytest.approx(size * scale, abs=0.02) for w in wide)


@examples(LISTS)
@given(pair=built(extras=False))
def test_no_text_covers_another(pair: tuple[Design, Casework]) -> None:
    svg = depth_stack_svg(pair[1])
    assert overlapping(svg) == []
    width, height = (float(ET.fromstring(svg).get(key, "0")) for key in ("width", "height"))
    for left, top, right, bottom, words in boxes(svg):
        assert left >= 0, words
        assert right <= width + 1, words
        assert top >= 0, words
        assert bottom <= height, words


def test_too_deep_a_device_is_legible(rebuilt: Rebuild) -> None:
    work = rebuilt({"gear.1.depth": "21 in", "gear.1.bay": 1, "gear.1.on": "bottom"})
    svg = depth_stack_svg(work)
    assert overlapping(svg) == []
    assert "too little" in svg
    assert "short" in svg
