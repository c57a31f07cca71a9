"""The pictures of sag and tipping say in words and shape what the checks found."""

import re
import xml.etree.ElementTree as ET

import pytest
from test_stability import with_screen
from test_strength import SCREEN, carrying, top_case

from kit.checks.stability.states import Way, states
from kit.checks.strength import sags
from kit.checks.strength.carcase import _Reader as reading
from kit.draw.strength import sag_svg, tip_svg


def texts(svg: str) -> str:
    root = ET.fromstring(svg)
    return "\n".join(e.text or "" for e in root.iter("{http://www.w3.org/2000/svg}text"))


def test_the_sagged_front_is_numbered_and_bends_down(example):
    read = carrying(screen=SCREEN)
    svg = sag_svg(example, read=read)
    said = texts(svg)
    found = sags(example, read(example)).boards
    for number, (name, sag) in enumerate(found.items(), start=1):
        assert f"{number}: {sag.used:.0%}" in said
        assert f"{number}  {name}: {example.say(sag.later_mm)}" in said
    assert svg.count("<polygon") == len(found)
    assert svg == sag_svg(example, read=read)


def test_an_overloaded_top_is_dark_and_lowest_in_its_middle():
    svg = sag_svg(top_case(), read=carrying(screen=SCREEN))
    line = next(p for p in re.findall(r"<polygon[^>]*>", svg) if "#8c8c8c" in p)
    points = [p.split(",") for p in re.search(r'points="([^"]*)"', line)[1].split()]
    x, _ = max(((float(x), float(y)) for x, y in points), key=lambda p: p[1])
    assert x == pytest.approx(500, abs=20)


def test_what_is_not_known_is_said(example):
    assert "not known" in texts(sag_svg(example, read=with_screen(None)))
    assert "not known" in texts(tip_svg(example, read=with_screen(None)))
    assert "not known" not in texts(sag_svg(example, read=with_screen(20.0)))
    assert "not known" not in texts(tip_svg(example, read=with_screen(20.0)))


def test_a_frame_that_gives_way_has_a_picture_without_sag(rebuilt, monkeypatch):
    monkeypatch.setattr(reading, "_stands", lambda *_: None)
    picture = sag_svg(rebuilt({}))
    ET.fromstring(picture)
    assert "its sag is not known" in picture


def test_the_tip_triangle_tells_the_angle(example):
    read = with_screen(25.0)
    said = texts(tip_svg(example, read=read))
    angle = min(s.angle(Way.FORWARD) for s in states(example, read(example)))
    assert f"tips at {angle:.1f} degrees" in said
    assert "Not a certified test" in said
