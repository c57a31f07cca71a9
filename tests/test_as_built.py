import pytest

from kit.checks import check
from kit.checks.as_built import Verdict, changes
from kit.errors import BuildError
from kit.finding import Status
from kit.making.as_built import printed as page
from kit.making.cut_list import cut_list, printed
from kit.making.labels import labels
from kit.making.sheets import sheet_plan
from kit.making.steps import steps, to_text
from kit.units import System


def verdicts(casework):
    return {change.board: change.verdict for change in changes(casework)}


def test_nothing_measured_changes_nothing(rebuilt):
    assert changes(rebuilt({"measured": None})) == ()


def test_thicker_sheets_shorten_what_stands_between_them(rebuilt):
    # typical 18.26 mm; measured 18.76: the clear width and height lose 1 mm
    casework = rebuilt({"measured": {"thickness": {"walnut-ply-3/4": ["18.76 mm"]}}})
    by_name = {change.board: change for change in changes(casework)}
    assert by_name["side-left"].verdict is Verdict.AS_PLANNED
    assert by_name["shelf-2"].verdict is Verdict.CHANGES
    # bay 3 lies between divider-2, half of it, and the right side: 0.25 + 0.5 mm
    assert by_name["shelf-2"].excess == pytest.approx(0.75, abs=0.01)
    assert by_name["door-1"].excess == pytest.approx(1.0, abs=0.01)


def test_boards_cut_too_early_are_told_apart(rebuilt):
    casework = rebuilt(
        {
            "measured": {
                "thickness": {"walnut-ply-3/4": ["17.9 mm"]},
                "cut": ["shelf-2", "side-left", "door-1", "top"],
            }
        }
    )
    told = verdicts(casework)
    assert told["side-left"] is Verdict.STILL_FITS
    assert told["shelf-2"] is Verdict.TOO_SMALL
    assert told["door-1"] is Verdict.TOO_SMALL
    findings = {f.subject: f for f in check(casework) if f.check == "cut board fits"}
    assert findings["shelf-2"].status is Status.FAIL
    assert findings["side-left"].status is Status.OK
    thick = rebuilt({"measured.thickness": {"walnut-ply-3/4": ["18.8 mm"]}})
    assert verdicts(thick)["shelf-2"] is Verdict.TRIM
    (shelf,) = (f for f in check(thick) if f.subject == "shelf-2" and f.check == "cut board fits")
    assert shelf.status is Status.WATCH


def test_a_measured_opening_sizes_what_is_cut_to_fit(rebuilt, example):
    height = example.openings["height"]
    casework = rebuilt({"measured.opening": {"height": f"{height + 1.5} mm"}})
    before = {r.name: r for r in cut_list(example)}
    after = {r.name: r for r in cut_list(casework)}
    for name in ("divider-1", "door-1", "back-1"):
        for size in ("finished", "cut", "rough"):
            was, now = getattr(before[name], size).length, getattr(after[name], size).length
            assert now - was == pytest.approx(1.5)
    assert after["shelf-2"] == before["shelf-2"]
    width = example.openings["bay-3"]
    casework = rebuilt({"measured.opening": {"bay-3": f"{width - 2} mm"}})
    after = {r.name: r for r in cut_list(casework)}
    assert after["shelf-2"].cut.length == pytest.approx(before["shelf-2"].cut.length - 2)
    assert after["shelf-1"] == before["shelf-1"]


@pytest.mark.parametrize(
    ("measured", "says"),
    [
        ({"cut": ["lid"]}, "'lid', which is not in the design"),
        ({"opening": {"bay-9": "20 in"}}, "'bay-9', which is not in the design"),
    ],
)
def test_unknown_names_are_told(rebuilt, measured, says):
    with pytest.raises(BuildError, match=says):
        check(rebuilt({"measured": measured}))


def test_a_measured_opening_reaches_every_page(rebuilt, example):
    height = example.openings["height"] + 2
    casework = rebuilt({"measured.opening": {"height": f"{height} mm"}})
    # 434.86 mm is 17.120 in, nearest 17 1/8; it stands between two floors and goes down a tick
    assert example.by_name["divider-1"].length + 2 == pytest.approx(434.86, abs=0.01)
    size = "17 3/32 in"
    row = next(r for r in printed(cut_list(casework), System.INCH) if r["name"] == "divider-1")
    assert row["finished L"] == size
    plan = sheet_plan(casework)
    part = next(p for s in plan.stocks for p in s.parts if p.name == "divider-1")
    rough = example.by_name["divider-1"].rough.length
    assert part.piece.length_mm == pytest.approx(rough + 2)
    label = next(one for one in labels(casework, plan, System.INCH) if one.name == "divider-1")
    assert label.size.endswith(size)
    told = to_text(steps(casework), "")
    assert f"expected {size}" in " ".join(told.split())


def test_the_page_tells_what_to_do_with_each_board(rebuilt):
    casework = rebuilt(
        {"measured": {"thickness": {"walnut-ply-3/4": ["17.9 mm"]}, "cut": ["shelf-2", "top"]}}
    )
    lines = {line["name"]: line for line in page(casework, System.METRIC)}
    assert lines["shelf-2"]["what to do"] == Verdict.TOO_SMALL.value
    # two half dividers' worth: 1.5 x 0.36 mm more between divider-2 and the right side: 542.12
    # and 542.66 mm, to half millimetres
    assert lines["shelf-2"]["planned"].endswith("x 542 mm")
    assert lines["shelf-2"]["measured"].endswith("x 542.5 mm")
    assert lines["door-1"]["what to do"] == Verdict.CHANGES.value
    assert "side-left" not in lines
    assert page(rebuilt({"measured": None}), System.METRIC) == []


def test_a_change_too_small_to_print_is_none(example):
    # the example's sheets are within 0.01 mm of what is typical
    assert page(example, System.INCH) == []
