"""What was searched for, as a notebook shows it: nothing is lost on the way, and nothing is run."""

import re
from html import unescape

import pytest

from kit.design_file import rewrite
from kit.finding import Finding, Report, Sense, Status
from kit.fixes import Proposal
from kit.notebook import proposed, search_table, trade_off_picture, what_if_view
from kit.search import Free, Goal, Limit, Request, search, variants_of, what_if, what_if_table

HOSTILE = '"><img src=x onerror="alert(1)">'
LOW_CASE = """
name = "Low case"

[measured.thickness]
"walnut-ply-3/4" = ["0.72 in"]

[prices]
each = { "walnut-ply-3/4" = 100 }

[case]
width = "48 in"
height = "16 in"
depth = "16 in"
stock = "walnut-ply-3/4"

[[divider]]
at = "16 in"

[[sheet]]
stock = "walnut-ply-3/4"
count = 1
"""
COUNTS = {status.value for status in Status}


def proposal(**changes):
    finding = Finding(
        check="sag",
        subject="top",
        status=Status.FAIL,
        measured=3.0,
        required=2.0,
        sense=Sense.AT_MOST,
        unit="mm",
        why="It sags.",
    )
    values = {
        "finding": finding,
        "changes": {"case.depth": "17 in"},
        "words": "case.depth = 17 in",
        "text": "",
        "report": Report(),
        "side_effects": ("case 1 in deeper", "one sheet more"),
        "tried": 12,
    }
    return Proposal(**values | changes)


def plain(shown):
    return unescape(re.sub("<[^>]*>", " ", shown.html)).replace("\N{NO-BREAK SPACE}", " ")


def as_rows(shown):
    found = re.findall(r"<tr>(.*?)</tr>", shown.html, re.S)
    cells = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.S) for row in found]
    head, *body = [[unescape(c).replace("\N{NO-BREAK SPACE}", " ") for c in row] for row in cells]
    return [dict(zip(head, row, strict=True)) for row in body]


def test_a_change_is_shown_with_all_that_it_does_and_how_sure_it_is():
    found = proposal()
    for told in (plain(proposed(found)), repr(proposed(found))):
        assert "case.depth = 17 in" in told
        assert all(effect in told for effect in found.side_effects)
        assert "12 designs tried, not every smaller change" in told
    proved = plain(proposed(proposal(proved=True, tried=1)))
    assert "1 design tried, every smaller change" in proved
    assert "also" not in plain(proposed(proposal(side_effects=())))


def test_where_there_is_no_change_it_says_whether_that_is_proved():
    none = {"changes": None, "words": "", "side_effects": (), "nearest_miss": "It is 1 in short."}
    found = plain(proposed(proposal(**none)))
    assert "Nothing was found." in found
    assert "not every single change" in found
    proved = plain(proposed(proposal(**none, proved=True)))
    assert "No single change within reach makes it right." in proved
    assert "not every" not in proved
    no_lever = plain(proposed(proposal(**none, proved=True, tried=0)))
    assert "No value of this design makes it right." in no_lever
    assert "tried" not in no_lever
    assert all("It is 1 in short." in told for told in (found, proved, no_lever))


def test_words_of_a_design_stay_text():
    none = {"changes": None, "words": "", "side_effects": ()}
    for found in (
        proposal(words=f"{HOSTILE} to bay 1", side_effects=(HOSTILE,)),
        proposal(**none, nearest_miss=HOSTILE),
    ):
        assert "<img" not in proposed(found).html
        assert HOSTILE in plain(proposed(found))


@pytest.fixture(scope="module")
def result():
    """Some hold, one passes its sheet, one cannot be built."""
    free = Free.read("case.width = 40 in | 48 in | 90 in | 100 in")
    return search(LOW_CASE, Request(free=(free,), goals=(Goal.LARGEST, Goal.LIGHTEST)), workers=1)


def holds_all(shown, printed):
    """Every cell that is printed is in the table, or told once below it."""
    rows, told = as_rows(shown), plain(shown)
    assert len(rows) == len(printed)
    for row, line in zip(rows, printed, strict=True):
        assert row == {head: line.get(head, row[head]) for head in row}
        for head, words in line.items():
            if head in COUNTS:
                counts = row.get("verdicts", told)
                assert not words.isdigit() or words == "0" or f"{words} {head}" in counts
                assert words.isdigit() or words in counts
            elif head not in row and head != "verdict":
                assert words in told


def test_the_table_of_a_search_loses_nothing(result):
    assert len(result.front) == 2
    holds_all(search_table(result), result.table())
    holds_all(search_table(result, result.rows), result.table(result.rows))
    holds_all(search_table(result, result.rows[:1]), result.table(result.rows[:1]))
    assert "No rows" in repr(search_table(result, ()))


def test_a_search_without_any_use_says_what_is_in_the_way():
    wanted = Request(
        free=(Free.read("case.width = 48 in .. 50 in by 2 in"),),
        goals=(Goal.LARGEST,),
        limits=(Limit.read("mass = 1 kg"),),
    )
    nothing = search_table(search(LOW_CASE, wanted, workers=1))
    for told in (plain(nothing), repr(nothing)):
        assert "2 of 2: the limit of mass is passed" in told


def test_what_is_the_same_in_all_and_why_some_are_no_use_is_told_once(result):
    best, whole = plain(search_table(result)), plain(search_table(result, result.rows))
    assert best.count("1 walnut-ply-3/4") == 1
    refused = [row for row in result.rows if row.answer.refused]
    assert len(refused) == 2
    for row in refused:
        assert whole.count(row.answer.refused) == 1
        assert f"{row.number}: {row.answer.refused}" in whole


def test_the_picture_of_a_search_names_its_best(result):
    shown = trade_off_picture(result)
    assert shown.html.count("<img") == 1
    assert "the best are no. 1, 2" in repr(shown)


def test_the_table_of_variants_loses_nothing():
    text = rewrite(LOW_CASE, {"name": HOSTILE})
    variants = what_if(variants_of(text, [f"{HOSTILE} one: case.depth = 14 in"]))
    shown = what_if_view(variants)
    holds_all(shown, what_if_table(variants))
    assert "<img" not in shown.html
    assert [row["variant"] for row in as_rows(shown)] == ["as drawn", f"{HOSTILE} one"]
