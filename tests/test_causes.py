"""What follows from another finding stands under it, and no length is printed below zero."""

import re
from collections.abc import Mapping
from typing import Any

import pytest
from breaking import random_designs
from tomlkit import dumps

from kit.casework import Casework, build
from kit.checks import check
from kit.design_file import example_text, parse, rewrite
from kit.errors import KitError
from kit.finding import Finding, Report, Status

#: A length with its sign: "-8 1/8 in", "-0.539 in", "-13.7 mm".
BELOW_ZERO = re.compile(r"(?<![\w\d])-\d[\d /.]* ?(in|mm)\b")

#: Two devices in a bay whose back stays shut, so wide that no hand gets past them.
SHUT_BACK = """
name = "shut"
[case]
width = "60 in"
height = "14 in"
depth = "16 in"
stock = "maple-ply-3/4"
[[divider]]
at = "30 in"
[back]
stock = "maple-ply-1/4"
[[back.panels]]
bays = [1]
holes = [{ diameter = "60 mm", across = "4 in", up = "3 in" }]
[[gear]]
name = "player"
kind = "disc-player"
bay = 1
width = "25 in"
height = "2 in"
depth = "9 in"
[[shelf]]
bay = 1
clear_below = "4 in"
[[gear]]
name = "receiver"
kind = "receiver"
bay = 1
on = "shelf-1"
width = "25 in"
height = "6 in"
depth = "9 in"
antennas_folded = true
"""


def built(text: str, changes: Mapping[str, Any] | None = None) -> Casework:
    return build(parse(rewrite(text, changes or {})))


def failing(report: Report) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """The failing findings that are causes, and those that follow."""
    fails = report.having(Status.FAIL)
    causes = report.causes(Status.FAIL)
    return causes, tuple(f for f in fails if f.under is not None)


@pytest.mark.parametrize(
    ("changes", "cause", "follow"),
    [
        ({"gear.2.width": "22 1/2 in"}, ("fits in width", "disc player"), 4),
        ({"gear.2.height": "9 in"}, ("fits in height", "disc player"), 4),
        ({"doors.height": "25 in"}, ("doors lift in", "sliding doors"), 4),
    ],
)
def test_one_cause_is_one_finding(
    changes: dict[str, str], cause: tuple[str, str], follow: int
) -> None:
    report = check(built(example_text(), changes))
    causes, followers = failing(report)
    assert [f.key for f in causes] == [cause]
    assert len(followers) == follow
    assert all(f.under == cause for f in followers)
    assert report.tally.startswith(f"1 fail (and {follow} that follow), ")
    assert report.worst_first()[0].key == cause
    assert all(f.under == cause for f in report.worst_first()[1 : 1 + follow])


def test_two_causes_stay_two() -> None:
    both = {"gear.2.width": "22 1/2 in", "gear.2.height": "9 in"}
    causes, _ = failing(check(built(example_text(), both)))
    assert {f.check for f in causes} == {"fits in width", "fits in height"}


def test_a_shut_back_is_one_finding_for_all_its_plugs() -> None:
    report = check(built(SHUT_BACK))
    reach = [f for f in report.about("hand reaches the plug") if f.status is Status.FAIL]
    assert len(reach) > 3
    assert {f.boards for f in reach} == {("back-1",)}
    assert len([f for f in reach if f.under is None]) == 1
    opened = check(built(SHUT_BACK, {"back.panels.1.removable": True}))
    assert len([f for f in opened.about("hand reaches the plug") if f.under is not None]) == 0


def test_what_follows_is_gone_with_its_cause() -> None:
    """The rules are no guess: the cause cured, none of its followers fails."""
    for changes, cured in (
        ({"gear.2.width": "22 1/2 in"}, {"gear.2.width": "17 in"}),
        ({"doors.height": "25 in"}, {"doors.height": None}),
    ):
        text = rewrite(example_text(), changes)
        _, followers = failing(check(built(text)))
        after = {f.key: f.status for f in check(built(text, cured))}
        assert followers
        assert all(after.get(f.key) is not Status.FAIL for f in followers)


@pytest.mark.parametrize(
    "changes",
    [
        {"gear.2.width": "22 1/2 in"},
        {"gear.2.depth": "20 in"},
        {"doors.height": "25 in"},
        {"doors.height": "12 in"},
        {"shelf.1.clear_below": "15 1/2 in"},
        {"screen.feet": "90 in"},
    ],
)
def test_no_length_is_printed_below_zero(changes: dict[str, str]) -> None:
    says_none_below_zero(built(example_text(), changes))


def test_no_random_design_prints_a_length_below_zero() -> None:
    for plain in random_designs(7)[:25]:
        try:
            work = build(parse(dumps(plain)))
        except KitError:
            continue
        says_none_below_zero(work)


def says_none_below_zero(work: Casework) -> None:
    for finding in check(work):
        words = (finding.why, finding.assumes, work.value(finding.measured, finding.unit))
        assert not [w for w in words if BELOW_ZERO.search(w)], finding
