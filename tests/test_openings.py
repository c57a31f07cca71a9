"""Cable holes open into bays, and cables get out of every bay with gear.

What is wanted is common practice, no source: holes are forgotten, or bored where a divider
stands behind the panel. The distances are worked out here from the numbers of the design.
"""

from collections.abc import Callable
from typing import Any

import pytest

from kit import sources
from kit.casework import Casework
from kit.checks.openings import check_openings
from kit.finding import Finding, Status

type Rebuild = Callable[[dict[str, Any]], Casework]

RIM = "cable hole opens into a bay"
OUT = "cables get out"


def found(work: Casework, check: str) -> dict[str, Finding]:
    return {f.subject: f for f in check_openings(work) if f.check == check}


def at(across: float, up: float, diameter: float = 60.0) -> dict[str, str]:
    return {"across": f"{across} mm", "up": f"{up} mm", "diameter": f"{diameter} mm"}


def test_every_opening_of_the_example_is_good(example: Casework) -> None:
    findings = list(check_openings(example))
    assert {f.status for f in findings} == {Status.OK}
    assert [f.subject for f in findings if f.check == OUT] == ["bay 1", "bay 3"]
    assert len(found(example, RIM)) == 4
    for finding in findings:
        assert sources.source(finding.source)
        assert set(finding.boards) <= set(example.by_name)


def test_the_distance_is_from_rim_to_board(example: Casework) -> None:
    # 3 in up to the middle of a hole 60 mm wide, above the bottom: 76.2 - 30
    assert found(example, RIM)["back-1 hole 1"].measured == pytest.approx(46.2)
    # 4 in in from divider-2, and higher up, where the divider is nearest: 101.6 - 30
    finding = found(example, RIM)["back-2 hole 2"]
    assert finding.measured == pytest.approx(71.6)
    assert finding.boards == ("back-2", "divider-2")


@pytest.mark.parametrize("method", ["rabbeted", "let-in", "planted"])
@pytest.mark.parametrize(
    ("free", "status"),
    [
        (-35.0, Status.FAIL),
        (-1.0, Status.FAIL),
        (0.5, Status.WATCH),
        (4.5, Status.WATCH),
        (5.5, Status.OK),
    ],
)
def test_a_hole_over_a_divider_fails(
    rebuilt: Rebuild, example: Casework, method: str, free: float, status: Status
) -> None:
    wide = example.bays[0].clear.size[0]
    panel = {"bays": [1, 2], "holes": [at(wide - 30.0 - free, 200.0)]}
    work = rebuilt({"back.method": method, "back.panels": [panel]})
    (finding,) = found(work, RIM).values()
    assert finding.status is status
    # with its middle over the divider a rim is as deep in it as the hole is wide to its middle
    assert finding.measured == pytest.approx(max(free, -30.0), abs=1e-6)
    assert finding.boards == ("back-1", "divider-1")


@pytest.mark.parametrize(
    ("across", "up", "board"),
    [(31.0, 200.0, "side-left"), (200.0, 33.0, "bottom"), (200.0, 395.0, "top")],
)
def test_sides_top_and_bottom_count(rebuilt: Rebuild, across: float, up: float, board: str) -> None:
    work = rebuilt({"back.panels.1.holes": [at(across, up)]})
    finding = found(work, RIM)["back-1 hole 1"]
    assert finding.boards == ("back-1", board)
    assert finding.status is (Status.FAIL if board == "top" else Status.WATCH)


def test_the_corner_of_a_hole_is_measured_aslant(rebuilt: Rebuild, example: Casework) -> None:
    # a shelf that stops at its divider's side: beside it and above it, both 40 mm away
    shelf = {"bay": 1, "clear_below": "8 in", "held": "pins", "side_clearance": "100 mm"}
    below = 8 * 25.4 + example.by_name["shelf-1"].thickness
    work = rebuilt({"shelf.1": shelf, "back.panels.1.holes": [at(100.0 - 40.0, below + 40.0, 50)]})
    finding = found(work, RIM)["back-1 hole 1"]
    assert finding.boards == ("back-1", "shelf-1")
    assert finding.measured == pytest.approx(40 * 2**0.5 - 25)


def test_a_shelf_counts_where_it_reaches_the_panel(rebuilt: Rebuild) -> None:
    hole = {"back.panels.1.holes": [at(200.0, 8 * 25.4 + 9.0)]}
    apart = found(rebuilt(hole), RIM)["back-1 hole 1"]
    assert "shelf-1" not in apart.boards
    assert apart.status is Status.OK
    for gap, status in (("2.9 mm", Status.FAIL), ("3.1 mm", Status.OK), ("0 mm", Status.FAIL)):
        finding = found(rebuilt(hole | {"shelf.1.rear_gap": gap}), RIM)["back-1 hole 1"]
        assert finding.status is status
        assert ("shelf-1" in finding.boards) is (status is Status.FAIL)


def test_a_hole_added_to_a_panel_by_name_counts_too(rebuilt: Rebuild) -> None:
    hole = {"board": "back-1", "along": "6 in", "across": "40 mm", "diameter": "60 mm"}
    work = rebuilt({"back.panels.1.holes": [], "hole": [hole]})
    assert list(found(work, RIM)) == [f"back-{n} hole {k}" for n, k in ((1, 1), (2, 1), (2, 2))]
    assert found(work, OUT)["bay 1"].measured == 1


def test_a_closed_bay_without_a_hole_fails(rebuilt: Rebuild) -> None:
    work = rebuilt({"back.panels.1.holes": [], "hole": []})
    finding = found(work, OUT)["bay 1"]
    assert finding.status is Status.FAIL
    assert finding.boards == ("back-1",)
    assert "disc player" in finding.why
    assert found(work, OUT)["bay 3"].status is Status.OK


def test_a_hole_in_the_divider_leads_to_the_open_bay(rebuilt: Rebuild) -> None:
    work = rebuilt({"back.panels.1.holes": [], "back.panels.2.holes": []})
    assert {f.status for f in found(work, OUT).values()} == {Status.OK}
    assert found(work, OUT)["bay 1"].measured == 1


def test_a_hole_that_leads_only_to_closed_bays_is_none(rebuilt: Rebuild) -> None:
    closed = [{"bays": [n], "holes": []} for n in (1, 2, 3)]
    work = rebuilt({"back.panels": closed})
    assert {f.status for f in found(work, OUT).values()} == {Status.FAIL}
    assert set(found(work, OUT)) == {"bay 1", "bay 2", "bay 3"}
    # one hole at either end lets the cables of all three out
    for number in (1, 3):
        panels = [p | {"holes": [at(200, 100)] if p["bays"] == [number] else []} for p in closed]
        work = rebuilt({"back.panels": panels})
        assert {f.status for f in found(work, OUT).values()} == {Status.OK}


def test_a_hole_of_one_bay_is_none_of_the_next(rebuilt: Rebuild) -> None:
    # one panel over all bays, bored in bay 1 only; dividers without holes
    panel = {"bays": [1, 2, 3], "holes": [at(200, 100)]}
    work = rebuilt({"back.panels": [panel], "back.grain": "level", "hole": []})
    status = {bay: f.status for bay, f in found(work, OUT).items()}
    assert status == {"bay 1": Status.OK, "bay 2": Status.FAIL, "bay 3": Status.FAIL}


@pytest.mark.parametrize(
    ("board", "along", "status"),
    [
        ("side-left", "6 in", Status.OK),
        ("bottom", "10 in", Status.OK),
        ("top", "10 in", Status.OK),
        ("top", "40 in", Status.FAIL),  # over another bay
        ("shelf-1", "10 in", Status.FAIL),  # from the bay into the bay
    ],
)
def test_holes_elsewhere(rebuilt: Rebuild, board: str, along: str, status: Status) -> None:
    hole = {"board": board, "along": along, "across": "8 in", "diameter": "50 mm"}
    work = rebuilt({"back.panels.1.holes": [], "hole": [hole]})
    assert found(work, OUT)["bay 1"].status is status


def test_a_notch_lets_cables_out(rebuilt: Rebuild) -> None:
    notch = {"board": "back-1", "along": ["0 mm", "60 mm"], "across": ["100 mm", "160 mm"]}
    work = rebuilt({"back.panels.1.holes": [], "hole": [], "notch": [notch]})
    assert found(work, OUT)["bay 1"].status is Status.OK


def test_bays_without_gear_or_without_a_panel_need_none(rebuilt: Rebuild) -> None:
    work = rebuilt({"back.panels.1.holes": [], "hole": [], "gear": []})
    assert found(work, OUT) == {}
    assert list(check_openings(rebuilt({"back": None}))) == []


def test_a_hole_that_no_liner_fits_is_told(rebuilt: Rebuild) -> None:
    """A 2 in hole got no liner, since 2 in liners want 50 mm, and no word."""
    row = {"bays": [1], "holes": [at(100, 80, 50.8), at(250, 80)]}
    holes = found(rebuilt({"back.panels.1": row}), "cable hole opens into a bay")
    assert "No liner" in holes["back-1 hole 1"].why
    assert "No liner" not in holes["back-1 hole 2"].why
