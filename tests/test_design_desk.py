"""The design desk without a browser: what its controls do to the design, and what they show."""

import gc
import html
import re
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import ipywidgets as widgets
import pytest

import kit
import kit.units
from kit.design_file import example_text, parse, rewrite
from kit.errors import BuildError, CancelledError, KitError, OutputError
from kit.finding import Status
from kit.fixes import Proposal, propose
from kit.making.cut_list import cut_list
from kit.notebook.design_desk import Bench, Desk, as_code, kept
from kit.notebook.design_desk.bench import STEPS
from kit.notebook.design_desk.fields import MISSING, look_up
from kit.notebook.design_desk.later import Later
from kit.notebook.design_desk.mending import instead
from kit.notebook.design_desk.places import Places

#: Too long for its sheet, for the thickness of its top, and for its doors under the sagged top.
WIDE = {"case.width": "96 in"}


@pytest.fixture
def bench() -> Bench:
    return Bench(example_text())


class OnRequest(Later):
    """What waits until a control is let go waits here until a test says so: solids take long."""

    def ask(self) -> None:
        self.asked = True


@pytest.fixture
def made(bench: Bench) -> Iterator[Desk]:
    opened = Desk(bench, OnRequest)
    yield opened
    opened.close()


def all_in(widget: widgets.Widget) -> Iterator[widgets.Widget]:
    yield widget
    for child in getattr(widget, "children", ()):
        yield from all_in(child)


def visible_in(widget: widgets.Widget) -> Iterator[widgets.Widget]:
    if widget.layout.display == "none":
        return
    yield widget
    for child in getattr(widget, "children", ()):
        yield from visible_in(child)


def group(opened: Desk, title: str) -> widgets.Widget:
    number = [g.title for g in opened.groups].index(title)
    opened.choose_group(number)
    return opened.groups[number].widget


def panel(opened: Desk, title: str) -> widgets.Widget:
    number = [p.title for p in opened.panels].index(title)
    opened.choose_panel(number)
    return opened.panels[number].widget


def control(widget: widgets.Widget, label: str, kind: type = widgets.Widget) -> widgets.Widget:
    """The one visible control with this label."""
    (found,) = (
        w
        for w in visible_in(widget)
        if getattr(w, "description", None) == label and isinstance(w, kind)
    )
    return found


def press(widget: widgets.Widget, label: str) -> None:
    button = control(widget, label, widgets.Button)
    assert not button.disabled
    button.click()


def alerts(widget: widgets.Widget) -> list[str]:
    texts = (w.value for w in visible_in(widget) if isinstance(w, widgets.HTML))
    return [re.sub("<[^>]*>", "", t) for t in texts if 'role="alert"' in t]


# --- the bench ------------------------------------------------------------------------


def test_a_change_is_read_built_and_judged_before_it_takes_hold(bench):
    seen = []
    bench.follow(seen.append)
    bench.change(lambda text: rewrite(text, {"case.width": "80 in"}))
    assert bench.work.design.case.width == pytest.approx(80 * 25.4)
    assert bench.work.casework.box.size[0] == pytest.approx(80 * 25.4)
    assert bench.work.report == kit.check(bench.work.casework)
    assert bench.work.rows == cut_list(bench.work.casework)
    assert seen == [bench.work]


def test_a_change_that_makes_no_piece_leaves_everything_as_it_was(bench):
    before = bench.work
    for wrong in ("1 in", "fast", "78"):
        with pytest.raises(KitError):
            bench.change(lambda text, wrong=wrong: rewrite(text, {"case.width": wrong}))
    assert bench.work is before
    assert not bench.can_undo


def test_steps_go_back_and_forth_to_the_very_same_text(bench):
    texts = [bench.work.text]
    for inches in (79, 80, 81):
        bench.change(lambda text, i=inches: rewrite(text, {"case.width": f"{i} in"}))
        texts.append(bench.work.text)
    for expected in reversed(texts[:-1]):
        bench.undo()
        assert bench.work.text == expected
    assert not bench.can_undo
    bench.undo()
    for expected in texts[1:]:
        bench.redo()
        assert bench.work.text == expected
    bench.undo()
    bench.change(lambda text: rewrite(text, {"case.depth": "20 in"}))
    assert not bench.can_redo, "a new step forgets what was taken back"


def test_a_slider_that_is_held_makes_one_step(bench):
    for inches in (79, 80, 81):
        bench.change(lambda text, i=inches: rewrite(text, {"case.width": f"{i} in"}), held=True)
    bench.let_go()
    bench.change(lambda text: rewrite(text, {"case.width": "82 in"}), held=True)
    bench.undo()
    assert bench.work.design.case.width == pytest.approx(81 * 25.4)
    bench.undo()
    assert bench.work.text == example_text()


def test_saved_and_loaded_again_it_is_the_same(bench, tmp_path):
    path = tmp_path / "console.toml"
    bench.change(lambda text: rewrite(text, {"case.width": "80 in"}))
    assert not bench.saved
    bench.save(path)
    assert bench.saved
    again = Bench(path.read_text(encoding="utf-8"), path)
    assert again.work.text == bench.work.text
    assert again.work.design == bench.work.design
    bench.change(lambda text: rewrite(text, {"case.width": "81 in"}))
    assert not bench.saved
    bench.load(path)
    assert bench.work.text == again.work.text
    bench.undo()
    assert bench.work.design.case.width == pytest.approx(81 * 25.4)


def test_saving_loses_nothing_that_somebody_else_has_written(bench, tmp_path):
    path = tmp_path / "console.toml"
    path.write_text("something else", encoding="utf-8")
    with pytest.raises(OutputError, match="holds something else"):
        bench.save(path)
    assert path.read_text(encoding="utf-8") == "something else"
    bench.save(path, replace=True)
    assert path.read_text(encoding="utf-8") == bench.work.text
    edited = rewrite(bench.work.text, {"case.width": "90 in"})
    path.write_text(edited, encoding="utf-8")  # by hand, in an editor
    bench.change(lambda text: rewrite(text, {"case.width": "80 in"}))
    with pytest.raises(OutputError):
        bench.save()
    assert path.read_text(encoding="utf-8") == edited


@pytest.mark.parametrize(
    "name", ["plain", 'three """ quotes', "back\\slash \\n", 'ends with "', "ünï ☂ #{x}"]
)
def test_code_that_is_written_makes_the_same_design(name):
    text = rewrite(example_text(), {"name": name}) + '# the end "'
    scope: dict[str, object] = {}
    exec(as_code(text), scope)  # what a cell does with it
    assert scope["design_text"] == text
    assert scope["casework"].design.name == name


# --- controls -------------------------------------------------------------------------


def test_look_up_finds_what_stands_in_the_file_and_says_what_it_is():
    design = parse(example_text())
    value, about = look_up(design, "shelf.2.clear_below")
    assert value == pytest.approx(8 * 25.4)
    assert about == "Clear height from the bottom of the case to the underside of the shelf."
    for nowhere in ("shelf.9.bay", "case.hat", "next_screen.diagonal", "base.leg"):
        assert look_up(design, nowhere)[0] is MISSING


def test_a_length_typed_changes_verdicts_and_cut_list(made):
    size = group(made, "Size")
    before = made.work
    control(size, "Width", widgets.Text).value = "8'"
    assert made.work.design.case.width == pytest.approx(96 * 25.4)
    assert made.work.report.failed
    assert not before.report.failed
    assert "96" in control(size, "Width", widgets.Text).value
    table = panel(made, "Cut list").value
    (row,) = (row for row in cut_list(made.work.casework) if row.name == "top")
    assert row.editions[kit.System.INCH].cut.length.text.removesuffix(" in") in table.replace(
        "\N{NO-BREAK SPACE}", " "
    )


def test_a_bad_length_is_refused_in_a_sentence_and_the_old_value_kept(made):
    size = group(made, "Size")
    before = made.work
    typed = control(size, "Width", widgets.Text)
    for wrong, told in (("78", "has no unit"), ("1 in", "wide"), ("", "missing")):
        typed.value = wrong
        (alert,) = alerts(size)
        assert told in alert
        assert typed.value == "78 in"
        assert made.work is before
    typed.value = "79 in"
    assert alerts(size) == []


def test_bays_keep_their_proportions_when_the_case_is_dragged_wider(made):
    def openings():
        return [bay.clear.size[0] for bay in made.work.casework.bays]

    before = openings()
    width = control(group(made, "Size"), "Width", widgets.Text)
    (slider,) = (
        w
        for w in visible_in(made.groups[0].widget)
        if isinstance(w, widgets.FloatSlider) and w.tooltip.startswith("Width")
    )
    for wide in (2000.0, 2050.0, 2100.0):
        slider.value = wide
    shares = [b / sum(before) for b in before]
    assert [a / sum(openings()) for a in openings()] == pytest.approx(shares, abs=1e-3)
    assert kit.units.length(width.value) == pytest.approx(2100.0, abs=0.8)
    made.bench.undo()
    assert openings() == pytest.approx(before), "one drag is one step"


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("22 1/2 in", "22 1/2 in"),
        ("22.5 in", "22 1/2 in"),
        ("380 mm", "380 mm"),
        ("0.716 in", "0.716 in"),
        ("12.05 mm", "12.05 mm"),
    ],
)
def test_a_length_is_shown_as_a_maker_would_type_it(made, written, shown):
    made.bench.change(lambda text: rewrite(text, {"room.wall_gap": written}))
    assert control(group(made, "Room"), "Gap to the wall", widgets.Text).value == shown


def test_a_length_that_was_solved_is_shown_as_the_tape_reads_it(made):
    assert re.fullmatch(
        r"\d+ \d+/\d+ in", control(group(made, "Bays"), "Clear width", widgets.Text).value
    )


def test_a_slider_that_a_browser_moves_to_its_nearest_step_changes_nothing(made):
    bays = group(made, "Bays")
    slider = next(w for w in visible_in(bays) if isinstance(w, widgets.FloatSlider))
    at = slider.value
    slider.value = round(at / slider.step) * slider.step
    assert slider.value != at
    assert not made.bench.can_undo
    slider.value += slider.step
    assert made.bench.can_undo
    assert made.work.casework.bays[0].clear.size[0] == pytest.approx(slider.value, abs=1.0)


@pytest.mark.slow
def test_a_bay_is_added_widened_and_taken_away(made):
    bays = group(made, "Bays")
    which = control(bays, "Bay, from the left")
    which.value = 2
    press(bays, "Part this bay in two")
    assert len(made.work.casework.bays) == 4
    which.value = 3
    control(bays, "Clear width", widgets.Text).value = "12 in"
    assert made.work.casework.bays[2].clear.size[0] == pytest.approx(12 * 25.4, abs=1.0)
    press(bays, "Make all bays even")
    openings = [bay.clear.size[0] for bay in made.work.casework.bays]
    assert max(openings) - min(openings) < 3.2
    which.value = 2
    press(bays, "Join it with the next")
    assert len(made.work.casework.bays) == 3


def test_every_control_says_what_it_is(made):
    """A screen reader speaks label and tooltip; no control goes by its place or colour alone."""
    for one in (*made.groups, *made.panels):
        for widget in all_in(one.widget):
            if isinstance(widget, widgets.ValueWidget) and not isinstance(
                widget, widgets.HTML | widgets.IntProgress
            ):
                assert widget.description or widget.tooltip, (one.title, widget)
                if not isinstance(widget, widgets.Checkbox):  # its words stand behind it
                    assert len(widget.description) <= 18, "longer labels are cut off"
            if isinstance(widget, widgets.Button):
                assert widget.description or widget.layout.display == "none"
                assert widget.tooltip or widget.layout.display == "none"


@pytest.mark.slow
def test_every_control_can_be_shown_and_writes_where_it_shows(made):
    """Each field is there in some design, and writing back what it shows changes nothing."""
    designs = [
        {},
        {"base": {"kind": "beam", "height": "4 in"}},
        {"base": {"kind": "legs", "height": "6 in", "leg_stock": "walnut-board-8/4"}},
        {
            "content.1": {"kind": "records", "bay": 2},
            "sheet.1": {"stock": "walnut-ply-3/4"},
            "fan.1": {"name": "fan", "bay": 1, "free_flow_m3_h": 40, "max_pressure_pa": 15},
        },
        {"fan.1.free_flow_m3_h": None, "fan.1.free_flow_cfm": 25},
    ]
    tried: set[str] = set()
    labels: set[str] = set()
    for changes in designs:
        bare = rewrite(made.work.text, {"base": None}) if "base" in changes else made.work.text
        made.bench.change(lambda _, text=bare, c=changes: rewrite(text, c))
        for number, one in enumerate(made.groups):
            made.choose_group(number)
            shown = set(visible_in(one.widget))
            for widget in all_in(one.widget):
                if isinstance(widget, widgets.Text | widgets.Dropdown | widgets.Checkbox):
                    label = f"{one.title}: {widget.description}"
                    labels.add(label)
                    if widget not in shown or label in tried:
                        continue
                    tried.add(label)
                    design, value = made.work.design, widget.value
                    widget.notify_change(
                        {"name": "value", "old": None, "new": value, "type": "change"}
                        | {"owner": widget}
                    )
                    assert alerts(one.widget) == [], label
                    assert made.work.design == design, label
    assert tried == labels


def test_the_switch_of_units_changes_what_is_shown_and_not_the_piece(made):
    before = made.work.casework.box
    shop = group(made, "Sheets and shop")
    control(shop, "Print in").value = "mm"
    assert made.work.casework.box == before
    assert control(group(made, "Size"), "Width", widgets.Text).value == "1981.2 mm"
    told = panel(made, "Cut list").value.replace("\N{NO-BREAK SPACE}", " ")
    assert "All in millimetres" in told
    assert "533 × 1970" in told  # the top as it is cut: 20 31/32 in x 77 9/16 in
    assert "77 9/16" not in told


@pytest.mark.slow
def test_parts_come_and_go(made):
    for title, name in (("Doors", "doors"), ("Back", "back"), ("Base", "base")):
        part = group(made, title)
        assert getattr(made.work.design, name) is not None
        press(part, f"Take {name} away")
        assert getattr(made.work.design, name) is None
        press(part, f"Add {name}")
        assert getattr(made.work.design, name) is not None


def test_kinds_of_base_are_exchanged_whole(made):
    base = group(made, "Base")
    for kind in ("legs", "beam", "plinth"):
        control(base, "Kind").value = kind
        assert alerts(base) == []
        assert made.work.design.base.kind == kind
        assert made.work.design.base.height == pytest.approx(4 * 25.4)


@pytest.mark.slow
def test_devices_shelves_records_and_cables_come_and_go(made):
    gear = group(made, "Gear")
    count = len(made.work.design.gear)
    press(gear, "Add a device")
    press(gear, "Add records, discs, books")
    assert len(made.work.design.gear) == count + 1
    assert len(made.work.design.contents) == 1
    cables = group(made, "Cables")
    runs = len(made.work.design.cables)
    press(cables, "Take this cable away")
    assert len(made.work.design.cables) == runs - 1
    shelves = group(made, "Shelves")
    press(shelves, "Add a shelf")
    assert len(made.work.design.shelves) == 3
    press(shelves, "Take this shelf away")
    assert len(made.work.design.shelves) == 2


# --- answers --------------------------------------------------------------------------


def findings_list(shown: widgets.Widget) -> widgets.Select:
    (listed,) = (w for w in visible_in(shown) if isinstance(w, widgets.Select))
    return listed


def pick(opened: Desk, words: str) -> widgets.Widget:
    """The panel of findings, with this one picked."""
    shown = panel(opened, "Findings")
    listed = findings_list(shown)
    listed.value = next(n for label, n in listed.options if label == words)
    return shown


def buttons(widget: widgets.Widget) -> set[str]:
    return {w.description for w in visible_in(widget) if isinstance(w, widgets.Button)}


def words_in(widget: widgets.Widget) -> str:
    texts = (w.value for w in visible_in(widget) if isinstance(w, widgets.HTML))
    return html.unescape(re.sub("<[^>]*>", " ", " ".join(texts)))


def test_the_worst_finding_comes_first(made):
    made.bench.change(lambda text: rewrite(text, WIDE))
    words = [label for label, _ in findings_list(panel(made, "Findings")).options]
    assert words[0].startswith("✗ FAIL")
    signs = [label.split()[1] for label in words]
    assert signs == sorted(signs, key=["FAIL", "UNKNOWN", "WATCH", "ACCEPTED", "OK"].index)


# --- what would make it right ---------------------------------------------------------

#: The question, and what can be done with its answer.
ASK, TAKE, EVERY = "What would make it right?", "Apply this change", "Try every setting"
#: The groove of the doors gives them no play: cured by one length.
TIGHT = {"doors.play": "0.2 mm"}
TIGHT_FINDING = "✗ FAIL  doors run free: sliding doors"


def of(report, check, subject):
    return [f for f in report if (f.check, f.subject) == (check, subject)]


@pytest.mark.slow
def test_what_makes_a_finding_right_is_found_applied_and_taken_back(made):
    made.bench.change(lambda text: rewrite(text, TIGHT))
    mending, before = made.findings.mending, made.work
    shown = pick(made, TIGHT_FINDING)
    (finding,) = of(before.report, "doors run free", "sliding doors")
    assert buttons(shown) == {ASK}
    press(shown, ASK)
    mending.wait()
    found = propose(before.text, finding)
    assert found.words in words_in(mending.widget)
    assert found.side_effects
    for effect in found.side_effects:
        assert effect in words_in(mending.widget)
    assert "not every smaller change" in words_in(mending.widget)
    assert buttons(shown) == {TAKE, EVERY}
    press(shown, EVERY)
    mending.wait()
    assert "every smaller change" in words_in(mending.widget)
    assert "not every" not in words_in(mending.widget)
    assert buttons(shown) == {TAKE}
    assert made.work is before, "nothing is done unasked"

    press(shown, TAKE)
    after = of(made.work.report, finding.check, finding.subject)
    assert {f.status for f in after} <= {Status.OK, Status.WATCH}
    assert made.work.text == found.text
    assert buttons(shown) == set()
    assert words_in(mending.widget).strip() == ""
    made.bench.undo()
    assert made.work.text == before.text


def test_only_what_fails_is_asked_about(made):
    made.bench.change(lambda text: rewrite(text, TIGHT))
    shown = panel(made, "Findings")
    control(shown, "Also what is right").value = True
    listed = findings_list(shown)
    for status in Status:
        number = next((n for label, n in listed.options if f" {status.name} " in label), None)
        listed.value = number
        assert buttons(shown) == ({ASK} if status is Status.FAIL else set())
    listed.value = None
    assert buttons(shown) == set()


@pytest.mark.slow
def test_where_nothing_helps_it_says_so_with_what_comes_nearest(made):
    vast = {"gear.1.width": "110 in", "fixed.values": ["case.width"]}
    made.bench.change(lambda text: rewrite(text, vast))
    shown = pick(made, "✗ FAIL  fits in width: receiver")
    press(shown, ASK)
    made.findings.mending.wait()
    told = words_in(made.findings.mending.widget)
    assert "Nothing was found." in told
    assert "receiver to the top comes nearest, and is 32 in short" in told
    assert buttons(shown) == {EVERY}


@pytest.mark.slow
def test_where_nothing_helps_without_harm_the_fix_of_the_check_itself_can_be_had(made, monkeypatch):
    made.bench.change(lambda text: rewrite(text, WIDE))
    (sag,) = of(made.work.report, "sag", "top")
    assert sag.fix is not None
    none = Proposal(
        finding=sag,
        changes=None,
        words="",
        text=made.work.text,
        report=made.work.report,
        side_effects=(),
        tried=3,
        nearest_miss="Something else would fail.",
    )
    monkeypatch.setattr("kit.fixes.propose", lambda *said, **more: none)
    before = made.work.text
    shown = pick(made, "✗ FAIL  sag: top")
    press(shown, ASK)
    made.findings.mending.wait()
    alone = f"Apply all the same: {sag.fix.parameter} = {sag.fix.value}"
    assert buttons(shown) == {alone, EVERY}
    press(shown, alone)
    assert {f.status for f in of(made.work.report, "sag", "top")} <= {Status.OK, Status.WATCH}
    assert [shelf.bay for shelf in made.work.design.shelves] == [1, 3], "each where it was"
    assert len(made.work.casework.bays) == 4
    assert buttons(shown) == set()
    made.bench.undo()
    assert made.work.text == before


class Slow:
    """A search for a fix that ends only when it is told to: stopped, or let go too late."""

    def __init__(self) -> None:
        self.begun, self.gate = threading.Event(), threading.Event()
        self.heeds, self.stopped = True, 0

    def __call__(self, text, finding, *, thorough, cancelled):
        self.begun.set()
        for _ in range(2000):  # ten seconds at most
            if self.heeds and cancelled():
                self.stopped += 1
                raise CancelledError("The search for a fix was stopped; nothing was changed.")
            if self.gate.wait(0.005):
                return propose(text, finding)
        raise AssertionError("nobody stopped it")


@pytest.fixture
def slow(monkeypatch) -> Slow:
    search = Slow()
    monkeypatch.setattr("kit.fixes.propose", search)
    return search


def test_a_search_is_stopped_by_the_maker_by_another_pick_and_by_a_change(made, slow):
    made.bench.change(lambda text: rewrite(text, WIDE | TIGHT))
    mending = made.findings.mending
    shown = pick(made, TIGHT_FINDING)
    press(shown, ASK)
    assert slow.begun.wait(10)
    assert buttons(shown) == {"Stop"}
    made.findings.show(made.work)  # a look at the same finding stops nothing
    assert buttons(shown) == {"Stop"}
    press(shown, "Stop")
    mending.wait()
    assert slow.stopped == 1
    assert "Stopped" in words_in(mending.widget)
    assert buttons(shown) == {ASK}, "it can be asked again"

    press(shown, ASK)
    pick(made, "✗ FAIL  sag: top")
    mending.wait()
    assert slow.stopped == 2
    assert buttons(shown) == {ASK}
    assert words_in(mending.widget).strip() == ""

    press(shown, ASK)
    panel(made, "Cut list")  # a panel that nobody looks at
    made.bench.change(lambda text: rewrite(text, {"case.depth": "22 in"}))
    mending.wait()
    assert slow.stopped == 3
    assert buttons(panel(made, "Findings")) == {ASK}, "it fails still"


@pytest.mark.slow
def test_an_answer_that_comes_too_late_is_not_shown(made, slow):
    slow.heeds = False
    made.bench.change(lambda text: rewrite(text, TIGHT))
    shown = pick(made, TIGHT_FINDING)
    press(shown, ASK)
    assert slow.begun.wait(10)
    made.bench.change(lambda text: rewrite(text, {"case.depth": "22 in"}))
    slow.gate.set()
    made.findings.mending.wait()
    assert buttons(shown) == {ASK}
    assert words_in(made.findings.mending.widget).strip() == ""


def test_what_was_found_for_another_design_is_refused(bench):
    before, after = bench.work.text, rewrite(bench.work.text, {"case.depth": "22 in"})
    edit = instead(before, after)
    bench.change(edit)
    assert bench.work.text == after
    with pytest.raises(KitError, match="has changed since"):
        bench.change(edit)


def test_a_search_that_goes_wrong_leaves_the_desk_usable(made, monkeypatch):
    def broken(text, finding, *, thorough, cancelled):
        raise BuildError("It cannot be <built>.")

    monkeypatch.setattr("kit.fixes.propose", broken)
    made.bench.change(lambda text: rewrite(text, TIGHT))
    shown = pick(made, TIGHT_FINDING)
    press(shown, ASK)
    made.findings.mending.wait()
    assert "It cannot be <built>." in words_in(made.findings.mending.widget)
    assert buttons(shown) == {ASK}


# --- other answers --------------------------------------------------------------------


def test_a_finding_that_is_picked_tells_its_boards(made):
    told = []
    made.scene.highlight = told.append
    made.findings._highlight = told.append
    shown = panel(made, "Findings")
    (listed,) = (w for w in visible_in(shown) if isinstance(w, widgets.Select))
    control(shown, "Also what is right").value = True
    assert len(listed.options) == len(made.work.report)
    number = next(
        n
        for n, f in enumerate(made.work.report.worst_first())
        if f.boards and f.status is Status.OK
    )
    listed.value = number
    assert told == [made.work.report.worst_first()[number].boards]
    made.bench.change(lambda text: rewrite(text, {"case.width": "77 in"}))
    assert len(told) == 1, "it is there still"
    control(shown, "Also what is right").value = False
    assert told[1:] == [()], "what is not listed any more is not shown any more"


def test_a_board_that_is_picked_shows_its_row_its_drawing_and_its_settings(made):
    made.picked("side-left")
    assert made.board.widget in set(visible_in(made.widget))
    told = panel(made, "Board").children[1].value
    assert "kit-cut-list" in told
    assert "kit-set-ups" in told
    assert 'alt="Part drawing C side-left"' in told
    assert told.count("<tr>") >= 3
    made.picked("no-board")
    assert panel(made, "Board").children[0].value == "side-left"


def test_what_a_design_says_is_never_run(made):
    hostile = '<img src=x onerror="alert(1)">'
    made.bench.change(
        lambda text: rewrite(text, {"name": hostile, "gear.1.name": hostile, "cable": None})
    )
    for title in [p.title for p in made.panels]:
        for widget in visible_in(panel(made, title)):
            if isinstance(widget, widgets.HTML):
                assert hostile not in widget.value, title
    assert hostile not in made.kept.html
    assert all(
        hostile not in w.value for w in visible_in(made.widget) if isinstance(w, widgets.HTML)
    )


def test_what_is_kept_shows_console_verdicts_and_cut_list(made):
    shown = kept(made.work)
    assert f'alt="Picture of {made.work.design.name}"' in shown.html
    assert 'class="kit-findings"' in shown.html
    assert 'class="kit-cut-list"' in shown.html
    assert 'class="kit-set-ups"' in shown.html
    assert 'alt="3/4 in walnut plywood, sheet 1' in shown.html
    for board in made.work.casework.boards:
        assert board.name in shown.html
    assert "<script" not in shown.html
    assert "widget" not in shown.html


def test_without_the_3d_view_the_picture_stands_in_its_place(bench, monkeypatch):
    monkeypatch.setitem(sys.modules, "cad_viewer_widget", None)
    opened = Desk(bench)
    told = [w.value for w in visible_in(opened.scene.widget) if isinstance(w, widgets.HTML)]
    assert "cad_viewer_widget is not installed here" in told[0]
    assert f'alt="Picture of {bench.work.design.name}"' in told[0]
    bench.change(lambda text: rewrite(text, {"case.width": "80 in"}))
    after = [w.value for w in visible_in(opened.scene.widget) if isinstance(w, widgets.HTML)]
    assert after[0] != told[0]
    opened.picked("top")
    opened.close()


@pytest.mark.slow
def test_a_pack_is_written_beside_the_desk_and_can_be_stopped(made, tmp_path):
    files = panel(made, "Files")
    folder = tmp_path / "pack"
    control(files, "Folder").value = str(folder)
    press(files, "Write the plan pack")
    made.files.pack.stop()
    made.files.pack.wait()
    assert not folder.exists()
    assert list(tmp_path.iterdir()) == []
    press(files, "Write the plan pack")
    made.files.pack.wait()
    assert (folder / "plan.pdf").is_file()
    assert parse((folder / "design.toml").read_text(encoding="utf-8")) == made.work.design


@pytest.fixture
def app(tmp_path: Path) -> Iterator[Desk]:
    """The desk of an app, with a folder of designs and one beside it."""
    designs = tmp_path / "designs"
    (designs / "more").mkdir(parents=True)
    (tmp_path / "private").mkdir()
    for path in (designs / "mine.toml", tmp_path / "private" / "theirs.toml"):
        path.write_text(example_text(), encoding="utf-8")
    (designs / "out").symlink_to(tmp_path / "private")
    (designs / "out.toml").symlink_to(tmp_path / "private" / "theirs.toml")
    (designs / "round.toml").symlink_to(designs / "round.toml")
    (designs / "dotted.toml").symlink_to(designs / ".hidden.toml")
    path = designs / "mine.toml"
    opened = Desk(Bench(example_text(), path), OnRequest, Places(designs))
    yield opened
    opened.close()


def everything(folder: Path) -> dict[str, bytes | None]:
    return {str(p): p.read_bytes() if p.is_file() else None for p in folder.rglob("*")}


NOT_BELOW = [
    "../private/theirs.toml",
    "/etc/hosts.toml",
    "~/mine.toml/../../../x.toml",
    "out/theirs.toml",
    "out/new.toml",
    "out.toml",
    "more/../../private/new.toml",
    "round.toml",
    "dotted.toml",
    ".bashrc",
    ".bashrc.toml",
    ".git/mine.toml",
    "more/.x/mine.toml",
    "a\0.toml",
]


def test_an_app_reads_and_writes_design_files_below_its_folder_alone(app, tmp_path):
    app.bench.change(lambda text: rewrite(text, {"case.width": "80 in"}))
    before, design = everything(tmp_path), app.work.text
    files = panel(app, "Files")
    for name in (*NOT_BELOW, "", ".", "..", "more", "mine.txt", "mine.toml.sh"):
        control(files, "Design file").value = name
        for button in ("Save as", "Save as", "Load"):  # what is lost is so at the second time
            press(files, button)
            assert alerts(files), name
            assert everything(tmp_path) == before, name
    assert app.work.text == design
    assert app.bench.path == tmp_path / "designs" / "mine.toml"


@pytest.mark.slow
def test_an_app_writes_packs_below_its_folder_alone(app, tmp_path):
    before = everything(tmp_path)
    files = panel(app, "Files")
    for name in (*NOT_BELOW, "", ".", ".."):
        control(files, "Folder").value = name
        press(files, "Write the plan pack")
        app.files.pack.wait()
        told = [w.value for w in visible_in(files) if isinstance(w, widgets.HTML)]
        assert any("Not written" in value for value in told), name
    assert everything(tmp_path) == before


def test_an_app_saves_and_loads_below_its_folder(app, tmp_path):
    files, designs = panel(app, "Files"), tmp_path / "designs"
    assert control(files, "Design file").value == "mine.toml"
    app.bench.change(lambda text: rewrite(text, {"case.width": "80 in"}))
    press(files, "Save")
    assert (designs / "mine.toml").read_text(encoding="utf-8") == app.work.text
    control(files, "Design file").value = "more/wide.toml"
    press(files, "Save as")
    assert (designs / "more" / "wide.toml").read_text(encoding="utf-8") == app.work.text
    assert control(files, "Design file").value == str(Path("more", "wide.toml"))
    app.bench.undo()
    control(files, "Design file").value = str(designs / "more" / "wide.toml")
    press(files, "Load")
    assert app.work.design.case.width == pytest.approx(80 * 25.4)


@pytest.mark.slow
def test_an_app_does_not_save_through_a_link_that_leads_out(tmp_path, app):
    designs = tmp_path / "designs"
    opened = Desk(Bench(example_text(), designs / "out.toml"), OnRequest, Places(designs))
    opened.bench.change(lambda text: rewrite(text, {"case.width": "80 in"}))
    before = everything(tmp_path)
    press(panel(opened, "Files"), "Save")
    assert everything(tmp_path) == before
    opened.close()


@pytest.mark.slow
def test_nothing_grows_over_many_changes(bench):
    opened = Desk(bench, OnRequest)

    def count() -> int:
        gc.collect()
        return sum(isinstance(one, widgets.Widget) for one in gc.get_objects())

    for number in range(20):
        bench.change(lambda text, n=number: rewrite(text, {"case.width": f"{1900 + n} mm"}))
    before = count()
    for number in range(60):
        bench.change(lambda text, n=number: rewrite(text, {"case.width": f"{1950 + n} mm"}))
        opened.choose_group(number % len(opened.groups))
    assert count() == before
    assert len(bench._past) <= STEPS
    opened.close()
