"""Drawings and lists in notebooks: images that last, rows as printed, nothing that runs."""

import re
from base64 import b64decode
from html import unescape
from xml.etree import ElementTree

import pytest

from kit.checks import cable_fill
from kit.checks.airflow import Heat, climate, evening
from kit.errors import BuildError
from kit.making import buy_list, cable_schedule, set_ups
from kit.making.sheet_data import printed_cuts
from kit.making.sheets import sheet_plan
from kit.notebook import (
    air_picture,
    as_built_table,
    board_drawing,
    board_picture,
    buy_table,
    cable_picture,
    cable_table,
    cut_order_table,
    depth_picture,
    drawing,
    evening_picture,
    hole_table,
    page,
    row_table,
    sag_picture,
    set_up_table,
    sheet_pictures,
    tip_picture,
    vent_picture,
)
from kit.units import System

HOSTILE = '"><script>alert("x")</script>'
IMAGE = re.compile(r'<img alt="([^"]*)" style="([^"]*)" src="data:([^;]*);base64,([^"]*)">')


@pytest.fixture(scope="module")
def plan(example):
    return sheet_plan(example)


@pytest.fixture(scope="module")
def air(example):
    return climate(example, Heat.TYPICAL, cable_fill=cable_fill(example))


def images(shown):
    """(words, style, root of the SVG) of each image; the text holds no other tag that loads."""
    found = IMAGE.findall(shown.html)
    assert shown.html.count("<img") == len(found)
    assert "<svg" not in shown.html
    assert "<script" not in shown.html
    for words, style, kind, data in found:
        assert kind == "image/svg+xml"
        yield unescape(words), style, ElementTree.fromstring(b64decode(data))


def words_in(root):
    return " ".join(text.strip() for text in root.itertext() if text.strip())


def cells(shown):
    """The text of each cell, by rows."""
    rows = re.findall(r"<tr>(.*?)</tr>", shown.html, re.S)
    text = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.S) for row in rows]
    return [[unescape(cell).replace("\N{NO-BREAK SPACE}", " ") for cell in row] for row in text]


def as_rows(shown):
    head, *body = cells(shown)
    return [dict(zip(head, row, strict=True)) for row in body]


def test_an_image_is_white_behind_no_wider_than_its_cell_and_has_words():
    shown = drawing('<svg xmlns="http://www.w3.org/2000/svg"/>', HOSTILE)
    ((words, style, root),) = images(shown)
    assert words == HOSTILE
    assert "background: white" in style
    assert "max-width: 100%" in style
    assert root.tag.endswith("svg")
    assert repr(shown) == HOSTILE


def test_a_page_of_the_plans_is_a_png():
    shown = page(b"\x89PNG...", "page 1")
    assert IMAGE.search(shown.html)[3] == "image/png"
    assert b64decode(IMAGE.search(shown.html)[4]) == b"\x89PNG..."


@pytest.mark.parametrize("show", [depth_picture, cable_picture, sag_picture, tip_picture])
def test_a_picture_of_the_piece_is_one_image_that_names_it(example, show):
    ((words, _, root),) = images(show(example))
    assert example.design.name in words
    assert words_in(root)


def test_pictures_of_the_air_show_what_was_solved(example, air):
    (player,) = (placed for placed in example.inside if placed.item.name == "disc player")
    ((_, _, root),) = images(air_picture(air))
    assert f"{air.intake_c(player):.0f} °C" in words_in(root)
    ((words, _, _),) = images(vent_picture(air, player))
    assert "disc player" in words
    ((words, _, root),) = images(evening_picture(evening(air)))
    assert example.design.name in words
    assert "disc player" in words_in(root)


def test_every_sheet_is_drawn(example, plan):
    drawn = list(images(sheet_pictures(example, plan)))
    sheets = [sheet for one in plan.stocks for sheet in one.layout.sheets]
    assert len(drawn) == len(sheets) > 1
    marks = {text for _, _, root in drawn for text in words_in(root).split()}
    assert set(example.marks.values()) <= marks


def test_a_board_is_drawn_with_its_own_numbers(example):
    ((words, _, root),) = images(board_drawing(example, "divider-1"))
    assert "divider-1" in words
    assert "divider-1" in words_in(root)
    assert "divider-2" not in words_in(root)
    ((words, _, root),) = images(board_picture(example, "divider-1", "shelf-1"))
    assert words == "Picture of divider-1, shelf-1"
    drawn = {group.get("data-board") for group in root.iter() if group.get("data-board")}
    assert drawn == {"divider-1", "shelf-1"}


@pytest.mark.parametrize("show", [board_drawing, board_picture])
def test_a_board_that_is_not_there_is_said(example, show):
    with pytest.raises(BuildError, match="'lid' is no board of this piece; its boards are top"):
        show(example, "lid")


def test_a_measured_opening_changes_the_drawing(example, rebuilt):
    opening = example.openings["bay-1"] + 20.0
    wider = rebuilt({"measured.opening": {"bay-1": f"{opening} mm"}})
    ((_, _, was),) = images(board_drawing(example, "shelf-1"))
    ((_, _, now),) = images(board_drawing(wider, "shelf-1"))
    assert words_in(was) != words_in(now)
    (row,) = (row for row in as_rows(as_built_table(wider)) if row["name"] == "shelf-1")
    assert row["planned"] != row["measured"]


def test_tables_hold_the_rows_as_printed(example, plan):
    inch = System.INCH
    bought = buy_list.buy_list(example, sheets=plan.bought)
    schedule = cable_schedule.cable_schedule(example)
    in_pack = {"carries", "holes", "way", "diameter"}
    shown = [
        (cable_table(example), cable_schedule.printed(schedule, inch), in_pack),
        (set_up_table(example), set_ups.printed(set_ups.set_up_sheet(example), inch), set()),
        (cut_order_table(example, plan), printed_cuts(example, plan, inch), set()),
        (buy_table(example, plan), buy_list.printed(bought, inch), {"key"}),
    ]
    for table, rows, without in shown:
        told = as_rows(table)
        assert len(told) == len(rows) > 0
        assert not without & set(told[0])
        for row, printed in zip(told, rows, strict=True):
            assert row == {head: printed[head] for head in row}
            assert not any(printed[head] for head in printed if head not in {*row, *without})


def test_a_hole_that_is_wanted_is_a_row(example, rebuilt):
    assert "No rows" in repr(hole_table(example))
    narrow = rebuilt(
        {
            "back.panels.1.bays": [1, 2],
            "back.panels.1.holes": [],
            "hole.1.diameter": "10 mm",
            "hole.2.diameter": "10 mm",
        }
    )
    told = as_rows(hole_table(narrow))
    assert told
    assert all("diameter" in row["write"] for row in told)


def test_a_table_escapes_and_leaves_out_what_is_empty():
    shown = row_table("odd", [{"a": HOSTILE, "b": "", "c": "3/4 in"}, {"a": "", "b": "", "c": "x"}])
    assert "<script" not in shown.html
    assert cells(shown) == [["a", "c"], [HOSTILE, "3/4 in"], ["", "x"]]
    assert "3/4\N{NO-BREAK SPACE}in" in shown.html
    assert repr(shown).splitlines() == [f"{HOSTILE}  3/4 in", "x"]
