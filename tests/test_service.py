"""A hand at every plug.

Builders' accounts, restated: a screen in a recess with 1 in to spare, no hand room to plug
anything; say 4 x 4 in at every connector. How the hand gets there is common practice, no source.
"""

from collections.abc import Callable
from typing import Any

import pytest

from kit import sources
from kit.casework import Casework
from kit.checks.service import HAND_SPACE, check_service, reaches
from kit.finding import Finding, Status

type Rebuild = Callable[[dict[str, Any]], Casework]

SHUT = [{"bays": [1]}, {"bays": [2]}, {"bays": [3]}]
OFF = [{"bays": [n], "removable": True} for n in (1, 2, 3)]


def only(work: Casework) -> Finding:
    (finding,) = check_service(work)
    return finding


def box(**more: Any) -> dict[str, Any]:
    """One device with one plug in bay 1, on the bottom."""
    own = {"name": "box", "kind": "cable-box", "bay": 1, "on": "bottom", "plugs": ["hdmi"]}
    return {"gear": [own | more], "shelf": [], "cable": []}


def test_four_inches_are_a_hand() -> None:
    assert pytest.approx(4 * 25.4, abs=2) == HAND_SPACE


def test_every_plug_of_the_example_is_in_reach(example: Casework) -> None:
    findings = list(check_service(example))
    assert len(findings) == sum(len(placed.plugs) for placed in example.gear)
    assert {f.status for f in findings} == {Status.OK}
    for finding in findings:
        assert sources.source(finding.source)


@pytest.mark.parametrize(
    ("panels", "status"), [(OFF, Status.OK), (SHUT, Status.FAIL), (None, Status.OK)]
)
def test_a_back_that_comes_off_lets_the_hand_in(
    rebuilt: Rebuild, panels: Any, status: Status
) -> None:
    # 2 in are left behind the plug's end, and 2 in above: no way from the front
    own = {"width": "460 mm", "height": "370 mm", "depth": "400 mm", "set_back": "0 mm"}
    change = {"back": None} if panels is None else {"back.panels": panels}
    finding = only(rebuilt(box(**own) | change))
    assert finding.status is status
    if status is Status.FAIL:
        assert "removable" in finding.why
        assert "pull_out" in finding.why
        # above: 420.7 - 370 mm; beside it (544.1 - 460) / 2 mm
        assert finding.measured == pytest.approx(420.6875 - 370)


def test_a_hand_goes_over_a_low_device(rebuilt: Rebuild) -> None:
    low = {"width": "500 mm", "height": "60 mm", "depth": "250 mm", "set_back": "0 mm"}
    finding = only(rebuilt(box(**low) | {"back.panels": SHUT}))
    assert finding.status is Status.OK
    assert "over it from the front" in finding.why
    # behind it 482 - 250 mm are free, above it 360: the less counts
    assert finding.measured == pytest.approx(482.063 - 250, abs=0.01)


def test_a_hand_goes_past_a_high_device(rebuilt: Rebuild) -> None:
    high = {"width": "200 mm", "height": "400 mm", "depth": "250 mm", "across": "20 mm"}
    finding = only(rebuilt(box(**high, set_back="0 mm") | {"back.panels": SHUT}))
    assert "past it from the front" in finding.why
    assert finding.status is Status.OK


def test_nothing_goes_behind_a_device_that_fills_the_depth(rebuilt: Rebuild) -> None:
    deep = {"width": "200 mm", "height": "60 mm", "depth": "400 mm", "set_back": "0 mm"}
    finding = only(rebuilt(box(**deep) | {"back.panels": SHUT}))
    assert finding.status is Status.FAIL
    assert finding.measured == pytest.approx(82.063, abs=0.01)


def test_a_neighbour_takes_the_room_beside_the_plug(rebuilt: Rebuild) -> None:
    gear = [
        {"name": "short", "kind": "cable-box", "bay": 1, "on": "bottom", "plugs": ["hdmi"]}
        | {"width": "80 mm", "depth": "150 mm", "across": "10 mm", "set_back": "0 mm"},
        {"name": "long", "kind": "cable-box", "bay": 1, "on": "bottom", "plugs": ["hdmi"]}
        | {"width": "400 mm", "depth": "440 mm", "across": "92 mm", "set_back": "0 mm"},
    ]
    work = rebuilt({"gear": gear, "shelf": []})
    short = work.gear[0]
    behind = next(way for way in reaches(work, short, 0) if way.how == "from behind")
    assert behind.room == pytest.approx(92)


@pytest.mark.parametrize(
    ("pull", "status"), [("18 in", Status.OK), ("10 in", Status.FAIL), (None, Status.FAIL)]
)
def test_or_else_the_device_comes_out_on_its_cables(
    rebuilt: Rebuild, pull: str | None, status: Status
) -> None:
    own = {"width": "460 mm", "height": "370 mm", "depth": "400 mm", "set_back": "0 mm"}
    run = {"from": "box", "to": "screen", "kind": "hdmi"} | ({"pull_out": pull} if pull else {})
    finding = only(rebuilt(box(**own) | {"back.panels": SHUT, "cable": [run]}))
    assert finding.status is status
    if pull:  # its rear is 400 mm behind the tracks
        assert finding.required == pytest.approx(400 + 46.0284, abs=0.01)
        assert "let it out" in finding.why


def test_one_cable_without_slack_holds_it(rebuilt: Rebuild) -> None:
    own = {"width": "460 mm", "height": "370 mm", "depth": "400 mm", "set_back": "0 mm"}
    runs = [
        {"from": "box", "to": "screen", "kind": "hdmi", "pull_out": "20 in"},
        {"from": "box", "to": "outlet", "kind": "mains-c7"},
    ]
    finding = only(rebuilt(box(**own) | {"back.panels": SHUT, "cable": runs}))
    assert finding.status is Status.FAIL
    assert finding.required == HAND_SPACE


def test_on_the_top_a_hand_gets_everywhere(rebuilt: Rebuild) -> None:
    gear = [{"name": "bar", "kind": "soundbar", "on": "top"}]
    assert {f.status for f in check_service(rebuilt({"gear": gear}))} == {Status.OK}
