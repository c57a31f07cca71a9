"""The pictures of what the seats see show the rays and heights that the checks judged, to scale."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from itertools import combinations
from math import atan2, degrees
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.casework import Casework, build
from kit.checks.screen import look
from kit.checks.sight import views
from kit.design_file import from_data
from kit.draw.sight import sight_plan_svg, sight_side_svg
from kit.draw.sight.paper import DASHES, DISC, MARGIN, WIDTH, WOOD
from kit.draw.sight.plan import EVERY
from kit.draw.svg import text_width
from profiles import PICTURES, examples
from strategies import designs

type Rebuild = Callable[[dict[str, Any]], Casework]

BOTH = (sight_plan_svg, sight_side_svg)
SVG = "{http://www.w3.org/2000/svg}"


def texts(svg: str) -> str:
    return "\n".join(e.text or "" for e in ET.fromstring(svg).iter(f"{SVG}text"))


def lines(svg: str, **wanted: str) -> list[tuple[float, float, float, float]]:
    return [
        tuple(float(e.get(k, "")) for k in ("x1", "y1", "x2", "y2"))
        for e in ET.fromstring(svg).iter(f"{SVG}line")
        if all(e.get(k.replace("_", "-"), "") == v for k, v in wanted.items())
    ]


def rects(svg: str, fill: str) -> list[tuple[float, float, float, float]]:
    return [
        tuple(float(e.get(k, "")) for k in ("x", "y", "width", "height"))
        for e in ET.fromstring(svg).iter(f"{SVG}rect")
        if e.get("fill") == fill
    ]


def boxes(svg: str) -> list[tuple[str, float, float, float, float]]:
    """Each text with a box round it: (words, left, top, right, bottom)."""
    found = []
    for e in ET.fromstring(svg).iter(f"{SVG}text"):
        words, size = e.text or "", float(e.get("font-size", ""))
        x, y, wide = float(e.get("x", "")), float(e.get("y", "")), text_width(words, size)
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[e.get("text-anchor", "")]
        box = (left, y - size / 2, left + wide, y + size / 2)
        if e.get("transform"):
            box = (x - size / 2, y - wide / 2, x + size / 2, y + wide / 2)
        found.append((words, *box))
    return found


def test_each_place_that_sees_has_its_ray(example: Casework) -> None:
    svg = sight_plan_svg(example)
    drawn = {dash: lines(svg, stroke_width="0.7", stroke_dasharray=dash) for dash in DASHES}
    for view, dash in zip(views(example), DASHES, strict=False):
        told = [ray for ray in view.sample[EVERY // 2 :: EVERY] if ray is not None]
        assert len(drawn[dash]) == len(told) > 0
        for (x1, y1, x2, y2), (start, end) in zip(drawn[dash], told, strict=True):
            # the slope on the paper is the bearing: nothing is stretched
            paper = degrees(atan2(x1 - x2, y1 - y2))
            assert paper == pytest.approx(
                degrees(atan2(start[0] - end[0], end[1] - start[1])), abs=0.01
            )


def test_the_bars_are_the_shares(example: Casework) -> None:
    svg = sight_plan_svg(example)
    bars = [r for r in rects(svg, WOOD) if r[1] > 800]
    shares = np.concatenate([view.by_place for view in views(example)])
    tall = np.array([r[3] for r in bars])
    assert tall == pytest.approx(22.0 * shares[shares > 0], abs=0.01)


def test_both_views_tell_what_was_found(example: Casework) -> None:
    for draw in BOTH:
        said = texts(draw(example))
        for view in views(example):
            assert f"{view.placed.item.name}: {view.share:.0%} of the rays arrive" in said
            assert view.bearings in said
    assert "100% with door-1 slid to the right" in said


def test_the_side_is_to_scale(example: Casework) -> None:
    screen, seats = example.design.screen, example.design.room.seats
    assert screen is not None
    assert seats is not None
    seen = look(example, screen, seats)
    svg = sight_side_svg(example)
    ((x1, y1, x2, y2),) = lines(svg, stroke_width="1.8")  # to the middle of the picture
    # the picture is drawn 20 mm thick to either side of where it is
    scale = (x2 - x1) / (seen.away - 20.0)
    assert (y1 - y2) / scale == pytest.approx(seen.middle - seen.eyes, abs=0.1)
    tall = [h for _, _, w, h in rects(svg, WOOD) if w == pytest.approx(40.0 * scale, abs=0.01)]
    assert tall == [pytest.approx(screen.height * scale, abs=0.01)]
    said = texts(svg)
    for told in (seen.middle, seen.eyes, seats.distance):
        assert example.say(told) in said


def test_what_does_not_arrive_has_no_ray(rebuilt: Rebuild) -> None:
    work = rebuilt({"doors.style": "plain"})
    assert "disc player: 0% of the rays arrive" in texts(sight_plan_svg(work))
    for dash in DASHES[1:3]:
        assert not lines(sight_plan_svg(work), stroke_width="0.7", stroke_dasharray=dash)
        assert not lines(sight_side_svg(work), stroke_width="0.8", stroke_dasharray=dash)


def test_a_picture_of_unknown_height_is_outlined_without_its_lines(rebuilt: Rebuild) -> None:
    svg = sight_side_svg(rebuilt({"screen.bottom": None}))
    assert "its height is not known" in texts(svg)
    assert not lines(svg, stroke_width="1.8")


def test_the_next_screen_is_drawn_and_told(rebuilt: Rebuild) -> None:
    more = rebuilt({"next_screen": {"diagonal": "85 in", "bottom": "3 in"}})
    said = texts(sight_side_svg(more))
    assert "screen, 65 in" in said
    assert "next screen, 85 in" in said


@pytest.mark.parametrize("draw", BOTH)
def test_what_is_not_known_is_said(rebuilt: Rebuild, draw: Callable[[Casework], str]) -> None:
    assert "write [room.seats]" in texts(draw(rebuilt({"room.seats": None})))


def test_no_screen_and_no_receiver_are_said(rebuilt: Rebuild) -> None:
    work = rebuilt({"screen": None, "gear": []})
    assert "no screen is given" in texts(sight_side_svg(work))
    assert "no device has an infrared receiver" in texts(sight_plan_svg(work))


@pytest.mark.parametrize("draw", BOTH)
@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"room.seats.width": "0 mm", "room.seats.across": "-20 in"},
        {"room.seats.distance": "5 m", "room.seats.width": "14 ft", "shop.units": "mm"},
        {"next_screen": {"diagonal": "85 in"}, "doors.layout": "bypass"},
    ],
)
def test_words_stay_apart_and_on_the_paper(
    rebuilt: Rebuild, draw: Callable[[Casework], str], changes: dict[str, Any]
) -> None:
    svg = draw(rebuilt(changes))
    height = float(ET.fromstring(svg).get("height", ""))
    written = boxes(svg)
    for words, left, top, right, bottom in written:
        assert left >= 0, words
        assert right <= WIDTH - MARGIN + DISC, words
        assert top >= 0, words
        assert bottom <= height, words
    for (one, a0, b0, a1, b1), (other, c0, d0, c1, d1) in combinations(written, 2):
        apart = a1 <= c0 or c1 <= a0 or b1 <= d0 or d1 <= b0
        assert apart, (one, other)


@examples(PICTURES)
@given(designs(), st.integers(500, 6000), st.integers(-2000, 2000), st.integers(0, 4000))
def test_any_design_is_drawn_in_grey_and_the_same_twice(
    design: dict[str, Any], distance: int, across: int, width: int
) -> None:
    seats = {"distance": f"{distance} mm", "across": f"{across} mm", "width": f"{width} mm"}
    work = build(from_data(design | {"room": design.get("room", {}) | {"seats": seats}}))
    for draw in BOTH:
        svg = draw(work)
        assert svg == draw(work)
        for colour in re.findall(r"#([0-9a-f]{6})", svg):
            red, green, blue = (int(colour[i : i + 2], 16) for i in (0, 2, 4))
            assert max(red, green, blue) - min(red, green, blue) <= 8
