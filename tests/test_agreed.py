"""What the maker sets, fixes and accepts in the design file, and what the plans say of it."""

import re
from collections.abc import Mapping
from typing import Any

import pytest

from kit import search
from kit.__main__ import main
from kit.casework import Casework, build
from kit.checks import check
from kit.checks.standing import BY_FEET, BY_STANDING, stands
from kit.design_file import example_text, parse, rewrite, starter_text
from kit.errors import DesignFileError
from kit.finding import Finding, Report, Sense, Status, findings_json, judge
from kit.fixes import propose
from kit.fixes.cures import CURES
from kit.kinds import KINDS, Kind, kind_of
from kit.limits import SagLimit
from kit.plan_pack.report import check_report

#: A picture 60 in wide, 9 ft away: 25.2 degrees of the 26 that the kit takes for the least.
FROM_NINE_FEET = """
name = "from nine feet"
[measured.thickness]
"maple-ply-3/4" = ["0.719 in"]
[case]
width = "54 in"
height = "20 in"
depth = "18 in"
stock = "maple-ply-3/4"
[[divider]]
at = "18 in"
[[divider]]
at = "35 in"
[screen]
diagonal = "60 in"
mass_kg = 24.95
feet = "40 in"
foot_depth = "10 in"
bottom = "4 in"
set_back = "4 in"
[room.seats]
distance = "9 ft"
"""
#: A box 100 in wide for a longer sheet: with 5 mm per m both ways a corner wants 15.0 mm.
WIDE = """
name = "wide"
[case]
width = "102 in"
height = "18 in"
depth = "18 in"
stock = "maple-ply-3/4"
[[divider]]
at = "34 in"
[[divider]]
at = "68 in"
"""
FIVE_BAYS = """
name = "five bays, doors at the ends"
[case]
width = "95 in"
height = "20 in"
depth = "20 in"
stock = "maple-ply-3/4"
[[divider]]
at = "19 in"
[[divider]]
at = "38 in"
[[divider]]
at = "57 in"
[[divider]]
at = "76 in"
[doors]
stock = "maple-ply-1/2"
layout = "ends"
overlap = "1/2 in"
"""


def of(text: str, changes: Mapping[str, Any] | None = None) -> Report:
    return check(build(parse(rewrite(text, changes or {}))))


def the(report: Report, check_name: str, subject: str = "") -> Finding:
    (finding,) = (f for f in report.about(check_name) if subject in ("", f.subject))
    return finding


# kinds


def test_every_check_has_a_kind() -> None:
    assert set(CURES) <= set(KINDS)
    assert kind_of("one that nobody knows") is Kind.SAFETY


def test_nothing_of_safety_follows_from_what_can_be_accepted() -> None:
    from kit.checks.causes import RULES

    for rule in RULES:
        assert rule.cause in KINDS
        assert all(KINDS[check] is not Kind.SAFETY for check in rule.follow)


# limits


def test_a_picture_that_looks_small_is_watched_and_not_failed() -> None:
    seen = the(of(FROM_NINE_FEET), "wide before the eyes")
    assert seen.kind is Kind.TASTE
    assert seen.measured == pytest.approx(25.2, abs=0.05)
    assert seen.status is Status.WATCH


def test_a_limit_that_the_maker_sets_is_binding() -> None:
    picture = {"limits.picture_deg": 26}
    assert the(of(FROM_NINE_FEET, picture), "wide before the eyes").status is Status.FAIL
    assert the(of(FROM_NINE_FEET, {"limits.picture_deg": 20}), "wide before the eyes").margin > 0


def test_a_floor_that_nobody_measured_fails_no_wide_case() -> None:
    (level,) = of(WIDE).about("feet can be levelled")
    assert level.measured == pytest.approx(0.005 * (102 + 18) * 25.4, rel=0.02)
    assert level.measured > 15.0
    assert level.status is Status.WATCH
    flat = {"limits.floor_fall_mm_per_m": 2}
    assert the(of(WIDE, flat), "feet can be levelled").status is Status.OK
    assert (
        the(of(WIDE, {"limits.levelling": "10 mm"}), "feet can be levelled").status is Status.FAIL
    )


def test_the_narrowest_door_can_be_said() -> None:
    wide = {"case.height": "30 in", "case.depth": "28 in"}
    assert the(of(WIDE, wide), "passes a door").status is Status.WATCH
    assert the(of(WIDE, wide | {"limits.doorway": "28 in"}), "passes a door").status is Status.FAIL
    assert the(of(WIDE, wide | {"limits.doorway": "36 in"}), "passes a door").status is Status.OK


@pytest.mark.parametrize("limit", SagLimit)
def test_the_published_sag_limits_can_be_chosen(limit: SagLimit) -> None:
    report = of(example_text(), {"limits.sag": limit.value})
    top = the(report, "sag", "top")
    visible = the(of(example_text()), "sag", "top")
    assert top.required == pytest.approx(visible.required * 600 / limit.ratio)


def test_sag_can_be_bounded_whatever_the_span() -> None:
    report = of(example_text(), {"limits.sag_most": "0.1 mm"})
    assert the(report, "sag", "top").required == pytest.approx(0.1)
    assert the(report, "sag", "top").status is Status.FAIL


# accepted

ACCEPTED = {
    "accepted.8.check": "remote control",
    "accepted.8.subject": "disc player",
    "accepted.8.reason": "The door stands open while a disc plays",
}


def test_a_finding_is_accepted_with_its_reason() -> None:
    report = of(example_text(), ACCEPTED)
    found = the(report, "remote control", "disc player")
    assert found.status is Status.ACCEPTED
    assert found.was is Status.WATCH
    assert "The door stands open while a disc plays" in found.told
    assert '"reason": "The door stands open while a disc plays"' in findings_json(report)
    assert "8 accepted" in report.tally


def test_it_is_printed_on_the_check_report() -> None:
    work = build(parse(rewrite(example_text(), ACCEPTED)))
    words = str(check_report(work, check(work)))
    assert "Accepted by the maker, with the reason (8)" in words
    assert "The door stands open while a disc plays" in words
    assert "limits.doorway" in words


def test_safety_is_not_accepted_away() -> None:
    said = ACCEPTED | {
        "accepted.8.check": "stands a push at the top",
        "accepted.8.subject": "console",
    }
    report = of(example_text(), said)
    assert the(report, "stands a push at the top").status is Status.WATCH
    told = the(report, "acceptance")
    assert told.status is Status.WATCH
    assert "safety" in told.why


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"accepted.8.check": "remote contrl"}, "did you mean 'remote control'?"),
        ({"accepted.8.subject": "disk player"}, "did you mean 'disc player'?"),
        ({"accepted.8.check": "radio gets out", "accepted.8.subject": "receiver"}, "by itself"),
    ],
)
def test_an_acceptance_that_does_nothing_is_told(changes: dict[str, str], words: str) -> None:
    told = the(of(example_text(), ACCEPTED | changes), "acceptance")
    assert told.subject == "accepted.8"
    assert words in told.why


def test_a_reason_is_asked_for() -> None:
    with pytest.raises(DesignFileError, match=r"accepted\.8"):
        of(example_text(), {k: v for k, v in ACCEPTED.items() if not k.endswith("reason")})


# measured by this maker


def test_a_device_of_typical_size_is_not_known() -> None:
    text = rewrite(example_text(), {f"accepted.{n}": None for n in range(1, 8)})
    report = of(text)
    receiver = the(report, "device size", "receiver")
    assert receiver.status is Status.UNKNOWN
    assert "gear.1.width and gear.1.height." in receiver.why  # its depth is given
    given = {"gear.1.width": "17 in", "gear.1.height": "6 1/2 in"}
    assert the(of(text, given), "device size", "receiver").status is Status.OK
    shop = given | {"gear.1.sizes": "retailer"}
    assert the(of(text, shop), "device size", "receiver").status is Status.UNKNOWN


def test_what_is_added_to_a_retailers_figure_is_told() -> None:
    report = of(example_text(), {"gear.2.width": "17 in", "gear.2.sizes": "retailer"})
    wide = the(report, "fits in width", "disc player")
    assert "takes 18 in (1 in of it added to a retailer's figure)" in wide.why


def test_a_starter_holds_nothing_that_only_its_maker_knows(tmp_path: Any) -> None:
    design = parse(starter_text())
    assert not design.measured.thickness
    assert design.pack.approved_by is design.pack.date is design.pack.owner is None
    assert not design.revisions
    assert not design.accepted
    assert design.case == parse(example_text()).case
    assert '# "walnut-ply-3/4" = ["0.716 in"' in starter_text()
    file = tmp_path / "console.toml"
    assert main(["new", str(file)]) == 0
    assert file.read_text(encoding="utf-8") == starter_text()


# what is fixed, and where it stands

SHALLOW = """
name = "low"
[case]
width = "60 in"
height = "7 1/4 in"
depth = "20 in"
stock = "maple-ply-3/4"
[[divider]]
at = "30 in"
[[gear]]
name = "receiver"
kind = "receiver"
bay = 1
width = "17 in"
depth = "12 in"
height = "6 in"
antennas_folded = true
clear_top = "0 in"
clear_side = "0 in"
clear_back = "0 in"
"""


def test_a_fixed_height_is_kept_and_thinner_stock_is_offered() -> None:
    fixed = rewrite(SHALLOW, {"fixed.at_most": {"case.height": "7 1/4 in"}})
    finding = the(of(fixed), "fits in height")
    assert finding.status is Status.FAIL
    assert "case.height" in (propose(SHALLOW, finding).changes or {})
    proposal = propose(fixed, finding)
    assert proposal.changes == {"case.stock": "maple-ply-1/2"}


def test_what_is_past_a_fixed_size_is_found() -> None:
    report = of(WIDE, {"fixed.at_most": {"case.width": "96 in"}})
    found = the(report, "within what is fixed")
    assert found.status is Status.FAIL
    assert found.fix is not None
    assert (found.fix.parameter, found.fix.value) == ("case.width", "96 in")


def test_a_fixed_field_has_to_be_one() -> None:
    with pytest.raises(DesignFileError, match=r"case\.widht"):
        of(WIDE, {"fixed.values": ["case.widht"]})


def test_the_room_stays_and_what_it_could_do_is_told() -> None:
    text = rewrite(FROM_NINE_FEET, {"limits.picture_deg": 32, "fixed.values": ["screen", "case"]})
    finding = the(of(text), "wide before the eyes")
    proposal = propose(text, finding)
    assert proposal.changes is None
    assert "room.seats.distance = " in proposal.nearest_miss
    assert 'free = ["room.seats.distance"]' in proposal.nearest_miss
    free = rewrite(text, {"fixed.free": ["room.seats.distance"]})
    moved = propose(free, the(of(free), "wide before the eyes"))
    assert list(moved.changes or ()) == ["room.seats.distance"]


def test_where_it_stands_is_said_first(capsys: pytest.CaptureFixture[str], tmp_path: Any) -> None:
    file = tmp_path / "wide.toml"
    file.write_text(WIDE, encoding="utf-8")
    main(["check", str(file)])
    lines = capsys.readouterr().out.splitlines()
    assert lines[1].startswith("Judged as standing on the floor")
    assert stands(build(parse(example_text()))) == ""


def test_what_holds_a_hung_piece_is_not_known() -> None:
    report = of(WIDE, {"room.hangs_at": "12 in"})
    for name in BY_STANDING:
        assert all(f.status is Status.UNKNOWN for f in report.about(name))
    assert {f.check for f in report} & set(BY_STANDING) >= {"stands on a slope", "anchors hold"}
    assert not {f.check for f in report} & set(BY_FEET)
    assert "hangs on the wall" in stands(build(parse(rewrite(WIDE, {"room.hangs_at": "1 ft"}))))


def test_a_hung_piece_is_seen_from_where_it_hangs(example: Casework) -> None:
    hung = build(parse(rewrite(example_text(), {"room.hangs_at": "12 in"})))
    assert hung.floor == pytest.approx(example.floor - 304.8)


# doors


def test_no_divider_is_in_the_way_of_bays_that_open_whole() -> None:
    """B4: the three middle bays stand open, and the doors uncover the end bays whole."""
    for finding in of(FIVE_BAYS).about("divider clear of the windows"):
        assert finding.status is Status.OK, finding.why


def test_a_judge_who_is_not_bound_only_warns() -> None:
    limit = {"sense": Sense.AT_MOST, "unit": "mm", "why": "so"}
    assert judge("sag", "top", 2.0, 1.0, **limit).status is Status.FAIL
    assert judge("sag", "top", 2.0, 1.0, binding=False, **limit).status is Status.WATCH


# what the commands tell


def test_how_far_the_sheets_go_is_told(capsys: pytest.CaptureFixture[str], tmp_path: Any) -> None:
    file = tmp_path / "box.toml"
    sheet = '[[sheet]]\nstock = "maple-ply-3/4"\ncount = 1\n'
    file.write_text(SHALLOW.split("[[gear]]")[0] + sheet, encoding="utf-8")
    assert main(["check", str(file)]) == 0
    out = capsys.readouterr().out
    assert re.search(
        r"OK      sheets on hand \(3/4 in maple plywood\): 1 of 1 sheet, \d+ % used", out
    )


def test_a_search_says_what_it_cannot_cure() -> None:
    report = of(WIDE, {"limits.doorway": "10 in"})
    finding = the(report, "passes a door")
    assert finding.status is Status.FAIL
    goal = search.Goal.read("largest")
    stock = search.Free.read("case.stock = maple-ply-3/4 | maple-ply-1/2")
    told = list(search.past_cure(report, search.Request(free=(stock,), goals=(goal,))))
    assert any("'passes a door' of case fails as the design stands" in words for words in told)
    height = search.Free.read("case.height = 8 in .. 18 in by 1 in")
    told = list(search.past_cure(report, search.Request(free=(height,), goals=(goal,))))
    assert not any("'passes a door'" in words for words in told)
