"""Fixes: the least change cures the finding on the real checks and harms no other.

That holds on random designs that were broken towards each check (`breaking`); the numbers of
some fixes are checked by hand. `count_fixes.py` runs many designs for each check.
"""

import ast
import inspect
import math
import tomllib
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache
from itertools import islice
from pathlib import Path
from types import ModuleType

import limit_designs
import pytest
from breaking import failing

import kit.checks
import kit.joinery
from kit.casework import Casework, build
from kit.checks import NOT_MEASURED, check
from kit.checks.strength.slats import ROUTER_BITS
from kit.components.doors import LEAST_ENGAGED
from kit.cutters import cutters
from kit.design_file import example_text, parse, rewrite, value_at
from kit.edits import case_width_in_proportion
from kit.edits.draft import Draft
from kit.errors import BuildError, CancelledError, KitError
from kit.finding import Finding, Status
from kit.fixes import CURES, Nothing, Proposal, levers_of, pairs, propose
from kit.fixes.edits_of import edit_knobs
from kit.fixes.in_turn import Mended, propose_in_turn, without_needless
from kit.fixes.knob import Knob, Setting, knobs_of
from kit.fixes.lever_groups import HANGING
from kit.fixes.levers import Edit, Size, Way
from kit.fixes.scope import Scope
from kit.fixes.search import Search, Tried
from kit.fixes.telling import to_text
from kit.units import exact, length

EXAMPLE = example_text()
INCH = 25.4


def built(text: str) -> Casework:
    return build(parse(text))


def finding_of(text: str, name: str, subject: str | None = None) -> Finding:
    return next(
        f
        for f in check(built(text)).having(Status.FAIL)
        if f.check == name and subject in (None, f.subject)
    )


def fixed(changes: Mapping[str, object], name: str, subject: str | None = None) -> Proposal:
    text = rewrite(EXAMPLE, changes)  # type: ignore[arg-type]
    return propose(text, finding_of(text, name, subject))


def number(proposal: Proposal, path: str) -> float:
    """A length of the changed design, mm."""
    return length(value_at(tomllib.loads(proposal.text), path))


# --- what every proposal must keep ------------------------------------------------------


def harmed(before: str, after: str) -> list[tuple[str, str]]:
    """What fails or is unknown after a change and was not before, straight from `kit.check`."""
    counts = []
    work = built(before)
    there = {stock.label for stock in work.stocks} | {placed.item.name for placed in work.gear}
    for text in (before, after):
        report = check(built(text))
        failing = Counter((f.check, f.subject) for f in report if f.status is Status.FAIL)
        open_ones = Counter(
            (f.check, f.subject)
            for f in report
            if f.status in (Status.FAIL, Status.UNKNOWN)
            and not (f.check in NOT_MEASURED and f.subject not in there and not f.measured)
        )
        counts.append((failing, open_ones))
    (failed, was_open), (fails, is_open) = counts
    return [*(fails - failed), *(is_open - was_open)]


def assert_cured(text: str, finding: Finding, proposal: Proposal) -> None:
    after = [
        f
        for f in check(built(proposal.text))
        if (f.check, f.subject) == (finding.check, finding.subject)
    ]
    assert all(f.status in (Status.OK, Status.WATCH) for f in after), after
    assert harmed(text, proposal.text) == []
    assert proposal.changes
    assert proposal.text != text


#: Slow to prove, or rare in random designs: only `count_fixes.py` runs them.
SLOW = {
    "anchors hold", "doors lift out under the sagged top", "doors run under the sagged top",
    "fan intake area", "fan short circuit", "fan stands clear", "fasteners grip",
    "tips stay inside", "wood above a device",
    "boards fit a sheet", "can be lifted", "intake air", "intake air at plate load", "sag",
    "stands on its board", "hand reaches the plug", "cable has a way", "cables get out",
    "remote control", "wood under the dado", "wood beside the dado", "hot gear below",
    "exhaust at an intake", "slatted door is stiff", "cable hole opens into a bay",
}  # fmt: skip
#: One design each: many settings are tried for them.
LONG = {
    "boards apart", "cuts that meet", "feet in depth", "fits in height", "fits in width",
    "free at the sides", "goes in", "hole pitch", "media fits in length", "media in reach",
    "plug fits behind the case", "plugs pass the hole", "room for a hand", "stands clear",
    "wood beside a hole", "wood beside the groove", "wood under the groove",
    "wood under the rabbet", "wide enough for the screen", "looking up",
    "cable is long enough", "radio gets out", "free above", "free behind",
}  # fmt: skip
#: A random design of these kit-made cuts never fails: only boards that a caller adds do.
ADDED_ONLY = {
    "wood between opposite cuts", "wood beside a pocket hole", "pocket holes open",
    "wood under the chamfer", "wood beside the rabbet", "doors pass what is behind",
    "sizes as printed",
}  # fmt: skip
QUICK = [
    name
    for name, levers in CURES.items()
    if not isinstance(levers, Nothing) and name not in SLOW | ADDED_ONLY
]


@pytest.mark.slow
@pytest.mark.parametrize("name", QUICK)
def test_a_fix_cures_and_harms_nothing_else(name: str) -> None:
    """And some design of each kind is cured: a search that always gave up would not pass."""
    tried, cured, wanted = 0, 0, 1 if name in LONG else 2
    for text, finding in islice(failing(name), 50):
        tried += 1
        proposal = propose(text, finding)
        if proposal.changes is None:
            assert proposal.text == text
            assert proposal.nearest_miss
        else:
            assert_cured(text, finding, proposal)
            cured += 1
        if cured and tried >= wanted:
            return
    pytest.fail(f"{cured} of {tried} designs cured")


# --- every check has its levers -------------------------------------------------------


def names_in(package: ModuleType) -> set[str]:
    """Names of checks in the source of a package: first arguments of `judge`, and rules."""
    found: set[str] = set()
    for file in Path(inspect.getfile(package)).parent.rglob("*.py"):
        for call in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if not isinstance(call, ast.Call):
                continue
            name = getattr(call.func, "id", "")
            rule = next((k.value for k in call.keywords if k.arg == "rule"), None)
            said = call.args[0] if name == "judge" and call.args else rule
            if name in ("judge", "Problem") and isinstance(said, ast.Constant):
                found.add(str(said.value))
    return found


def test_every_check_has_levers_or_a_reason() -> None:
    named = names_in(kit.checks) | names_in(kit.joinery)
    assert len(named) > 60
    # a board with no problem has this finding, and it cannot fail
    assert named - {"joinery"} <= set(CURES)
    for finding in check(built(EXAMPLE)):
        assert finding.check == "joinery" or finding.check in CURES


def test_a_check_without_levers_says_why() -> None:
    text = rewrite(EXAMPLE, {"measured.thickness.walnut-ply-1/2": ["11 mm", "12.5 mm"]})
    proposal = propose(text, finding_of(text, "sheet thickness"))
    assert proposal.changes is None
    assert proposal.tried == 0
    assert "batch" in proposal.nearest_miss
    assert isinstance(levers_of("a check of tomorrow"), Nothing)


# --- numbers by hand ------------------------------------------------------------------


def test_the_top_groove_is_deepened_by_what_the_engagement_lacks() -> None:
    """The recipe of the trade article: top groove - lift clearance - bottom groove >= 2 mm."""
    proposal = fixed({"doors.top_depth": "4 mm"}, "doors stay in")
    doors = parse(EXAMPLE).doors
    assert doors is not None
    wanted = LEAST_ENGAGED + doors.bottom_depth + doors.lift_clearance
    tick = INCH / 32
    least = -(-wanted // tick) * tick
    assert number(proposal, "doors.top_depth") == pytest.approx(least)


def test_a_case_gets_narrower_by_a_tick_sooner_than_another_joint() -> None:
    """A top of 96 1/16 in on a sheet of 96 in: the bays share 1/16 in, so that several fields
    change, and next to nothing of each; a butt joint would be another case."""
    proposal = fixed({"case.width": "96 in"}, "boards fit a sheet")
    assert number(proposal, "case.width") == pytest.approx((95 + 15 / 16) * INCH)


def test_a_groove_gets_the_play_of_the_next_tick() -> None:
    """At least 0.35 mm of play: 1/32 in, which is 0.8 mm."""
    proposal = fixed({"doors.play": "0.2 mm"}, "doors run free")
    assert proposal.changes == {"doors.play": "1/32 in"}


@pytest.mark.slow
def test_a_case_gets_deeper_by_what_the_gear_lacks() -> None:
    """30.1 mm short: 19/16 in are 30.2 mm, 18/16 in 28.6 mm."""
    text = rewrite(EXAMPLE, {"room.wall_gap": "0.1 in"})
    finding = finding_of(text, "fits in depth")
    assert finding.margin is not None
    ticks = -(finding.margin // (INCH / 16))
    proposal = propose(text, finding)
    assert number(proposal, "case.depth") - 21 * INCH == pytest.approx(ticks * INCH / 16)
    assert f"case {ticks // 16:.0f} {ticks % 16:.0f}/16 in deeper" in proposal.side_effects


@pytest.mark.slow
def test_a_screen_wants_a_case_as_wide_as_its_feet() -> None:
    """Feet over 80 in and 10 mm at each end are 80.79 in, so 80 13/16."""
    proposal = fixed({"screen.feet": "78 in"}, "feet on the top")
    assert proposal.changes is not None
    assert number(proposal, "case.width") == pytest.approx((80 + 13 / 16) * INCH)
    assert any(words == "case 2 13/16 in wider" for words in proposal.side_effects)


@pytest.mark.slow
def test_seats_come_as_near_as_the_picture_wants() -> None:
    """SMPTE EG-18: 26 degrees at least; w / (2 tan 13 deg) for 16:9 of 65 in."""
    from math import radians, sqrt, tan

    from kit.checks.screen import picture_depth

    free = {"limits.picture_deg": 26, "fixed.free": ["room.seats.distance"]}
    proposal = fixed({"room.seats.distance": "200 in"} | free, "wide before the eyes")
    work = built(EXAMPLE)
    assert work.design.screen is not None
    away = 65 * INCH * 16 / sqrt(337) / (2 * tan(radians(13)))
    away -= picture_depth(work, work.design.screen)
    tick = INCH / 16
    assert number(proposal, "room.seats.distance") == pytest.approx(away // tick * tick)


def test_a_sheet_in_another_thickness_comes_from_the_table() -> None:
    """Tape 22.2 mm wide covers 21.2 mm: of walnut plywood, 3/4 in is the next below 1 in."""
    proposal = fixed({"case.stock": "walnut-ply-1"}, "edging covers")
    assert proposal.changes == {"case.stock": "walnut-ply-3/4"}
    assert "2 sheets more of 3/4 in walnut plywood" in proposal.side_effects


def test_an_adjustable_shelf_moves_by_whole_holes() -> None:
    """32 mm, the pitch of shelf pins (system-32); a fixed one by ticks of the tape."""
    draft = Draft.of(EXAMPLE)
    scope = Scope({"shelf": ("1", "2")})
    lever = Size("shelf.{shelf}.clear_below", Way.MORE, 100.0)
    fixed_one, on_pins = knobs_of(draft, scope, lever)
    assert [s.value[1] for s in on_pins.settings if s.value] == [
        exact(8 * INCH + n * 32) for n in (1, 2, 3)
    ]
    assert [s.value[1] for s in fixed_one.settings[:2] if s.value] == ["8 1/16 in", "8 1/8 in"]
    assert len(fixed_one.settings) == 100 // (INCH / 16)


def test_a_hole_farther_down_is_written_without_the_noise_of_floats() -> None:
    draft = Draft.of(rewrite(EXAMPLE, {"shelf.2.clear_below": "147.3875 mm"}))
    lever = Size("shelf.{shelf}.clear_below", Way.LESS, 100.0)
    (knob,) = knobs_of(draft, Scope({"shelf": ("2",)}), lever)
    assert 147.3875 - 32 != 115.3875
    written = [s.value[1] for s in knob.settings if s.value]
    assert written == ["115.3875 mm", "83.3875 mm", "51.3875 mm"]


def test_lengths_are_whole_ticks_in_the_units_of_the_design() -> None:
    metric = Draft.of(rewrite(EXAMPLE, {"shop.units": "mm"}))
    (knob,) = knobs_of(metric, Scope({}), Size("case.depth", Way.MORE, 3.0))
    # 21 in are 533.4 mm
    assert [s.value[1] for s in knob.settings if s.value] == ["534 mm", "535 mm", "536 mm"]


@pytest.mark.parametrize(
    ("cures", "least"),
    [((37, 200), 37), ((0, 200), 0), ((60, 71), 60), ((199, 200), 199), ((40, 44), None)],
)
def test_the_search_finds_the_least_setting(cures: tuple[int, int], least: int | None) -> None:
    """Settings that cure from some place on, at the very end, or in a window; of the window
    between two samples only trying all of them tells.
    """
    good = set(range(*cures))
    assert least_of(good, good, thorough=True) == cures[0]
    assert least_of(good, good, thorough=False) == least


@pytest.mark.parametrize(
    ("cures", "works", "least"),
    [
        # the step to 7 works, and halving goes past it to 4, which harms
        (range(4, 200), {7}, 7),
        # seen while halving down to the first cure
        (range(4, 200), {5, 7}, 5),
        # no step is a cure, and 76 is a sample: halved down to the first
        (range(66, 127), set(range(66, 127)), 66),
        (range(10, 200), set(range(90, 200)), 90),
        (range(10, 200), set(), None),
    ],
)
def test_the_search_loses_nothing_that_works(
    cures: range, works: set[int], least: int | None
) -> None:
    assert least_of(set(cures), works, thorough=False) == least


def least_of(cures: set[int], works: set[int], *, thorough: bool) -> int | None:
    """What `Search` finds on a scale of 200 settings of which it is known what comes of them."""
    harm = next(iter(check(built(EXAMPLE))))

    class Known(Search):
        def __init__(self) -> None:
            pass

        def _at(self, setting: Setting) -> Tried | None:
            number = int(setting.words)
            return Tried(setting, None, number in cures, None if number in works else harm)

    knob = Knob("a knob", [Setting(str(n), n / 200, str) for n in range(200)])
    found = Known().least(knob, within=10.0, thorough=thorough)
    return None if found is None else int(found.setting.words)


def test_the_console_moves_with_all_that_stands_in_its_room() -> None:
    """Outlets and seats are told from the case: what moves it right moves both to its left."""
    text = rewrite(EXAMPLE, {"room.seats.across": "10 in"})
    outlets = built(text).design.room.outlets
    draft, scope = Draft.of(text), Scope({})
    finding = next(iter(check(built(text))))
    (knob,) = edit_knobs(draft, scope, finding, Edit.SHIFT_CASE)
    right = next(setting for setting in knob.settings if "to the right" in setting.words)
    room = built(right.edited(text)).design.room
    moved = room.outlets[0].across - outlets[0].across
    assert moved < 0
    assert room.seats is not None
    assert room.seats.across - 10 * INCH == pytest.approx(moved)


def test_no_cut_is_proposed_too_shallow_to_hold() -> None:
    """3 mm for the bottom groove, as the recipe for sliding doors has it (the trade article)."""
    draft = Draft.of(rewrite(EXAMPLE, {"doors.bottom_depth": "6 mm"}))
    lever = next(lv for lv in HANGING if isinstance(lv, Size) and "bottom_depth" in lv.path)
    depths = [
        length(str(setting.value[1]))
        for knob in knobs_of(draft, Scope({}), lever)
        for setting in knob.settings
        if setting.value
    ]
    assert 3.0 <= min(depths) < 4.0


@pytest.mark.slow
def test_none_is_proved_as_an_enumeration_of_its_own_has_it() -> None:
    """A device wider than any case in reach: widths up to the last are built and checked here."""
    text = rewrite(EXAMPLE, {"gear.1.width": "120 in"})
    finding = finding_of(text, "fits in width", "receiver")
    proposal = propose(text, finding, thorough=True)
    assert proposal.changes is None
    assert proposal.proved
    (furthest,) = [words for words in proposal.reach if words.startswith("case.width")]
    most = length(furthest.split(" = ")[1])
    wide = built(text).design.case.width
    for mm in range(math.ceil(wide), math.floor(most), 50):
        try:
            report = check(built(case_width_in_proportion(text, float(mm))))
        except KitError:
            continue
        assert any(f.key == finding.key and f.status is Status.FAIL for f in report)
    assert most < 120 * INCH
    assert furthest in to_text(proposal)


# --- two changes together -------------------------------------------------------------

#: A receiver wider than its bay and almost as high, in a case whose height is fixed: what its
#: sides and its top want is nowhere in the case.
BROAD = {
    "gear.1.width": "36 in", "gear.1.height": "13 1/2 in", "fixed.values": ["case.height"],
}  # fmt: skip


@cache
def of_two(name: str) -> Proposal:
    return fixed(BROAD, name, "receiver")


def to_the_top(text: str, words: str) -> str:
    assert words.startswith("receiver to the top and ")
    return rewrite(text, {"gear.1.on": "top", "gear.1.bay": None})


def case_wider(text: str, words: str) -> str:
    width, _ = words.removeprefix("case.width = ").split(" and ")
    return case_width_in_proportion(text, length(width))


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "first"),
    [
        ("free above", to_the_top),
        ("free at the sides", case_wider),
    ],
)
def test_two_changes_cure_what_the_first_of_them_does_not(
    name: str, first: Callable[[str, str], str]
) -> None:
    text = rewrite(EXAMPLE, BROAD)
    finding = finding_of(text, name, "receiver")
    proposal = of_two(name)
    assert proposal.two
    assert_cured(text, finding, proposal)
    alone = first(text, proposal.words)
    found = [f for f in check(built(alone)).about(name) if f.subject == "receiver"]
    assert harmed(text, alone) or Status.FAIL in {f.status for f in found}


def test_the_second_of_two_is_as_small_as_it_can_be() -> None:
    """The picture is raised above the receiver on the top, to the next 1/16 in."""
    proposal = of_two("free above")
    assert proposal.words.startswith("receiver to the top and screen.bottom = ")
    raised = number(proposal, "screen.bottom")
    receiver = next(p for p in built(proposal.text).gear if p.item.name == "receiver")
    height = receiver.body.size[2]
    assert height <= raised + 1e-6
    less = rewrite(proposal.text, {"screen.bottom": exact(raised - INCH / 16)})
    assert finding_of(less, "clear of the picture").subject.startswith("receiver")


def test_two_are_told_as_two() -> None:
    told = to_text(of_two("free above"))
    assert told.startswith("Two changes together make it right: receiver to the top and screen.")
    assert "no single change was found that does it (not every one within reach was tried)" in told
    proved = to_text(replace(of_two("free above"), proved=True))
    assert "(every one within reach was tried), and two smaller ones may do it too." in proved


def test_the_search_for_two_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    text = rewrite(EXAMPLE, BROAD)
    finding = finding_of(text, "free above", "receiver")
    monkeypatch.setattr(pairs, "MOST_BESIDE", 0)
    found = propose(text, finding)
    assert found.changes is None
    assert not found.two
    assert "would cure it, but then 'clear of the picture' of receiver" in found.nearest_miss


# --- behaviour ------------------------------------------------------------------------


def test_a_cure_that_a_later_one_makes_needless_is_taken_back() -> None:
    """The case was made deeper for want of room behind; then it came away from the wall."""
    text = rewrite(EXAMPLE, {"room.wall_gap": "0.1 in"})
    deeper = propose(text, finding_of(text, "fits in depth"))
    assert deeper.changes is not None
    assert set(deeper.changes) == {"case.depth"}
    away = rewrite(deeper.text, {"room.wall_gap": "2 in"})
    later = replace(
        deeper,
        changes={"room.wall_gap": "2 in"},
        words="room.wall_gap = 2 in",
        text=away,
        report=check(built(away)),
    )
    mended = without_needless(text, [deeper, later])
    assert mended.taken_back == (deeper.words,)
    assert mended.text == rewrite(text, {"room.wall_gap": "2 in"})
    assert mended.report == check(built(mended.text))
    alone = without_needless(text, [deeper])
    assert alone == Mended(deeper.text, deeper.report, ())
    assert without_needless(text, []).text == text


def test_comments_and_untouched_bytes_stay() -> None:
    text = rewrite(EXAMPLE, {"doors.play": "0.2 mm"})
    proposal = propose(text, finding_of(text, "doors run free"))
    before, after = text.splitlines(), proposal.text.splitlines()
    assert len(before) == len(after)
    assert sum(a != b for a, b in zip(before, after, strict=True)) == 1


def test_until_ok_leaves_nothing_to_watch() -> None:
    text = rewrite(EXAMPLE, {"doors.play": "0.2 mm"})
    finding = finding_of(text, "doors run free")
    passing, sure = propose(text, finding), propose(text, finding, until=Status.OK)
    assert number(sure, "doors.play") > number(passing, "doors.play")
    assert "it passes with little to spare" in passing.side_effects
    after = next(f for f in sure.report if f.check == finding.check)
    assert after.status is Status.OK


def test_the_report_is_that_of_the_changed_design() -> None:
    text = rewrite(EXAMPLE, {"doors.play": "0.2 mm"})
    proposal = propose(text, finding_of(text, "doors run free"))
    assert proposal.report == check(built(proposal.text))


def test_thorough_tries_every_setting() -> None:
    """The router bits of the table are the whole range of this lever."""
    text = rewrite(EXAMPLE, {"doors.slats.slot": "40 mm", "doors.slats.land": "40 mm"})
    finding = finding_of(text, "a cutter fits the slots")
    proposal = propose(text, finding, until=Status.OK, thorough=True)
    bits = {row.diameter_mm for row in cutters().values() if row.kind in ROUTER_BITS}
    assert proposal.proved
    assert proposal.changes is not None
    assert number(proposal, "doors.slats.slot") == pytest.approx(max(bits))


def test_none_is_told_with_the_nearest_miss() -> None:
    """A device wider than the top (78 in) by 32 in, and any bay is narrower."""
    text = rewrite(EXAMPLE, {"gear.1.width": "110 in", "fixed.values": ["case.width"]})
    proposal = propose(text, finding_of(text, "fits in width", "receiver"))
    assert proposal.changes is None
    assert not proposal.proved
    assert proposal.nearest_miss == "receiver to the top comes nearest, and is 32 in short."


def test_a_finding_that_does_not_fail_is_refused() -> None:
    fine = next(iter(check(built(EXAMPLE))))
    with pytest.raises(BuildError, match="does not fail"):
        propose(EXAMPLE, fine)


@pytest.mark.parametrize(
    ("name", "what"),
    [("shelves", "818 boards and cuts: 500"), ("gear", "100 devices: 50")],
)
def test_a_piece_too_large_to_try_changes_on_is_refused_at_once(name: str, what: str) -> None:
    text = limit_designs.singles()[name]
    with pytest.raises(BuildError, match=f"^No fix is looked for in a piece of {what} is the most"):
        next(propose_in_turn(text))


def test_stopped_work_raises() -> None:
    text = rewrite(EXAMPLE, {"doors.play": "0.2 mm"})
    with pytest.raises(CancelledError):
        propose(text, finding_of(text, "doors run free"), cancelled=lambda: True)


def test_a_text_that_is_no_design_is_an_error() -> None:
    finding = next(iter(check(built(EXAMPLE))))
    with pytest.raises(KitError):
        propose("name = 3", finding)
