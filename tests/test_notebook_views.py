import re
import sys
from base64 import b64decode
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest
from cad_viewer_widget import get_viewers_by_id
from ipywidgets.widgets.widget import _instances

from kit.checks import NOT_CHECKED, check
from kit.draw.moves import apart, slid_open
from kit.finding import Finding, Fix, Report, Sense, Status
from kit.notebook import LiveView, Shown, cut_list_text, cut_table, findings, look, picture, view

WIDGET = "application/vnd.jupyter.widget-view+json"
HOSTILE = '<script>alert("x")</script> & "sons"'


class Page(HTMLParser):
    """The tags of an HTML text, and the text of each cell by rows."""

    def __init__(self, html):
        super().__init__()
        self.tags, self.rows, self.attributes, self.in_table = [], [], [], False
        self.feed(html)

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        self.attributes += [name for name, _ in attributes]
        if tag == "tr":
            self.in_table = True
            self.rows.append([])
        elif tag in {"td", "th"}:
            self.rows[-1].append("")

    def handle_endtag(self, tag):
        self.in_table &= tag != "table"

    def handle_data(self, data):
        if self.in_table and self.rows[-1]:
            self.rows[-1][-1] += data.replace("\N{NO-BREAK SPACE}", " ")


def rows(shown):
    head, *body = Page(shown.html).rows
    return [dict(zip(head, row, strict=True)) for row in body]


def finding(status, check_name="doors stay in", **changes):
    values = {
        "subject": "door-1",
        "measured": 1.0,
        "required": 2.0,
        "sense": Sense.AT_LEAST,
        "unit": "mm",
        "why": "It is so.",
        "source": "common-practice",
    }
    return Finding(check=check_name, status=status, **values | changes)


@pytest.fixture
def no_view_yet(monkeypatch):
    monkeypatch.setattr(look, "_live", None)


class Browser:
    """What a browser with the view in it hears, and says back."""

    def __init__(self, live, monkeypatch):
        self.widget = live.open().children[0]
        self.heard = []
        monkeypatch.setattr(self.widget, "send", self.heard.append)

    def called(self, method):
        """The arguments of the calls of a method, by the path of what it was called of."""
        calls = [(call["method"], call["args"]) for call in self.heard]
        return {"/".join(path[3:-1]): args for path, args in calls if path[-1] == method}

    def draws(self):
        """Draw the scene, and answer."""
        parts = self.widget.shapes["shapes"]["parts"]
        self.widget.set_state({"states": {part["id"]: (1, 1) for part in parts}})
        self.answers()

    def answers(self):
        for call in self.heard:
            if call["method"][:2] == ["model", "set"]:
                name, value = call["args"]
                self.widget.set_state({name: value})

    def picks(self, path):
        root, _, name = path.rpartition("/")
        self.widget.set_state({"lastPick": {"path": root, "name": name, "boundingBox": {}}})


@pytest.fixture
def live(example):
    return LiveView(example, gear=True)


@pytest.fixture
def browser(live, monkeypatch):
    return Browser(live, monkeypatch)


@pytest.fixture
def wider(rebuilt):
    return rebuilt({"case.width": "80 in"})


ROOT = "/film-room-console"


@pytest.fixture
def hostile(rebuilt):
    return rebuilt({"name": HOSTILE, "gear.0.name": "\"><img src=x onerror='alert(1)'>"})


def test_findings_come_worst_first_with_a_word_and_a_sign(example):
    report = Report((*map(finding, (Status.OK, Status.WATCH, Status.UNKNOWN, Status.FAIL)),))
    shown = [row["status"] for row in rows(findings(report, example))]
    assert shown == ["✗ FAIL", "? UNKNOWN", "! WATCH", "✓ OK"]


def test_findings_say_what_was_measured_in_the_units_of_the_design(example, rebuilt):
    report = Report((finding(Status.FAIL, measured=63.5, required=None),))
    (row,) = rows(findings(report, example))
    assert (row["measured"], row["required"]) == ("2 1/2 in", "not known")
    (row,) = rows(findings(report, rebuilt({"shop.units": "mm"})))
    assert row["measured"] == "63.5 mm"


def test_findings_tell_source_assumption_and_fix(example):
    fix = Fix("doors.top_depth", "3/8 in")
    report = Report((finding(Status.FAIL, assumes="a flat top", fix=fix),))
    (row,) = rows(findings(report, example))
    assert "Common practice of the trade, no source" in row["why"]
    assert "Assumes: a flat top." in row["why"]
    assert "Try doors.top_depth = 3/8 in" in row["why"]


def test_every_finding_is_told_and_only_like_ones_share_a_row(example, example_report):
    report = example_report
    told = [
        (row["check"], subject)
        for row in rows(findings(report, example))
        for subject in row["of"].split(", ")
    ]
    # one finding may be of many things: "disc player, streaming box"
    of_each = [(f.check, thing) for f in report for thing in f.subject.split(", ")]
    assert sorted(told) == sorted(of_each)
    two = Report((finding(Status.OK), finding(Status.OK, subject="door-2", measured=3.0)))
    assert len(rows(findings(two, example))) == 2


def test_findings_end_with_what_is_not_checked_and_the_caution(example, example_report):
    end = findings(example_report, example).html.rpartition("</table>")[2]
    assert all(subject in end for subject in NOT_CHECKED)
    assert "Anchor the console and the screen to the wall" in end


def test_the_cut_table_has_every_board(example):
    table = rows(cut_table(example))
    assert [row["board"] for row in table] == [board.name for board in example.boards]
    top = table[0]
    # 3/4 in stock that measures 0.71875 in: 78 in less two sides, plus two rabbets 1/2 in deep
    assert (top["T"], top["finished"]) == ("0.719", "21 × 77 9/16")
    assert [line.split()[1] for line in cut_list_text(example).splitlines()] == [
        board.name for board in example.boards
    ]


def test_the_cut_table_tells_the_layers_of_a_laminated_board(rebuilt):
    shelf = {"bay": 1, "clear_below": "8 in", "stock": "walnut-ply-1/2", "layers": 2}
    row = next(r for r in rows(cut_table(rebuilt({"shelf.1": shelf}))) if r["board"] == "shelf-1")
    assert row["T"] == "0.943"
    assert row["rough"].endswith("(2 of 0.472)")


def test_names_from_a_design_file_stay_text(hostile):
    pages = [findings(check(hostile), hostile), cut_table(hostile), picture(hostile)]
    for page in map(Page, (shown.html for shown in pages)):
        assert not {"script"} & set(page.tags)
        assert not [name for name in page.attributes if name.startswith("on")]
    assert Page(findings(check(hostile), hostile).html).tags.count("img") == 0
    assert "<img src=x" in str(rows(findings(check(hostile), hostile)))


def test_the_tree_of_the_view_holds_plain_names_only(hostile):
    # the viewer writes them into its page as they are
    from kit.solid.scene import scene

    shapes = scene(hostile, gear=True)["shapes"]
    names = [shapes["name"], *(part["name"] for part in shapes["parts"])]
    assert all(re.fullmatch(r"[a-z0-9-]+", name) for name in names)


def test_of_earlier_scenes_no_more_is_kept_than_a_large_piece_has(example, monkeypatch):
    from ocp_tessellate import tessellator
    from ocp_tessellate.ocp_utils import bbox

    from kit.solid import scene as room

    monkeypatch.setattr(room, "KEPT_BYTES", 2e5)
    room.scene(example)
    assert 0 < tessellator.cache.currsize <= 2e5
    assert not bbox.cache


def test_the_scene_has_every_board_by_name_in_its_colour(example):
    from kit.solid import tint
    from kit.solid.scene import scene

    shapes = scene(example)["shapes"]
    colours = {part["name"]: part["color"] for part in shapes["parts"]}
    assert list(colours) == [board.name for board in example.boards]
    for board in example.boards:
        wanted = [round(255 * share) for share in tint(board)]
        got = [int(colours[board.name][i : i + 2], 16) for i in (1, 3, 5)]
        assert got == pytest.approx(wanted, abs=1)
    low, high = example.box.lo, example.box.hi
    box = shapes["bb"]
    assert [box[f"{axis}min"] for axis in "xyz"] == pytest.approx(low, abs=1e-3)
    assert [box[f"{axis}max"] for axis in "xyz"] == pytest.approx(high, abs=1e-3)
    assert len(scene(example, gear=True)["shapes"]["parts"]) == len(example.boards) + len(
        example.gear
    )


def test_a_notebook_has_one_view(example, no_view_yet):
    first = view(example, gear=True)
    assert isinstance(first, LiveView)
    widget = first.widget
    assert view(example) is first
    assert first.widget is widget
    assert len(widget.shapes["shapes"]["parts"]) == len(example.boards)


def test_an_update_keeps_the_camera(example, no_view_yet):
    shown = view(example)
    assert shown.widget.reset_camera == "iso"
    camera = {"position": (1.0, 2.0, 3.0), "quaternion": (0.0, 0.0, 0.0, 1.0)}
    camera |= {"target": (4.0, 5.0, 6.0), "zoom": 1.5}
    for name, value in camera.items():
        setattr(shown.widget, name, value)  # as the browser does when the view is turned
    view(example, gear=True)
    assert shown.widget.reset_camera == "keep"
    assert {name: getattr(shown.widget, name) for name in camera} == camera
    before = shown.widget
    shown._repr_mimebundle_()  # shown anew, as when its cell runs again
    assert shown.widget is not before
    assert {name: getattr(shown.widget, name) for name in camera} == camera


def test_showing_the_view_again_lets_go_of_the_last(example, no_view_yet):
    shown = view(example)
    first = shown._repr_mimebundle_()
    before = shown.widget
    second = shown._repr_mimebundle_()
    assert first[WIDGET] != second[WIDGET]
    assert before.disposed
    assert before.shapes is None
    assert second["text/plain"] == "Film room console: run this cell for the live 3D view."


def test_the_view_is_quiet(example, no_view_yet, capfd):
    view(example, gear=True)._repr_mimebundle_()
    view(example)
    assert capfd.readouterr() == ("", "")


def test_a_pick_tells_names_of_the_tree_only(live, browser):
    told = []
    live.on_pick(told.append)
    browser.draws()
    for path in (
        f"{ROOT}/door-1",
        f"{ROOT}/door-1",
        ROOT,
        f"{ROOT}/other",
        f"{ROOT}/gear-1-receiver",
    ):
        browser.picks(path)
    assert told == ["door-1", "door-1", "gear-1-receiver"]
    live.off_pick(told.append)
    browser.picks(f"{ROOT}/top")
    assert len(told) == 3


def test_what_was_asked_before_the_view_is_drawn_is_done_then(live, browser):
    live.highlight({"top", "no such board"})
    live.slide_doors(1)
    live.show_gear(False)
    assert browser.heard == []
    browser.draws()
    assert browser.called("setTransparent") == {"": (True,), f"{ROOT}/top": (False,)}
    assert set(browser.called("set")) >= {f"{ROOT}/door-1/position", f"{ROOT}/door-2/position"}
    (states,) = browser.called("setStates")[""]
    assert set(states.values()) == {(0, 0)}
    assert all("/gear-" in path for path in states)


def test_what_is_asked_of_a_view_holds_for_the_next_scene(live, browser, wider):
    browser.draws()
    live.highlight({"top"})
    live.explode(0.5)
    browser.heard.clear()
    live.update(wider)
    assert browser.widget.transparent is True
    assert browser.called("setTransparent") == {"": (True,), f"{ROOT}/top": (False,)}
    assert len(browser.called("set")) == len(browser.widget.shapes["shapes"]["parts"]) + 1


def test_moving_sends_places_only_of_what_moves(live, browser, example):
    browser.draws()
    scene = browser.widget.shapes
    home = {part["name"]: part["loc"][0] for part in scene["shapes"]["parts"]}
    browser.heard.clear()
    live.slide_doors(0.25)
    sent = browser.called("set")
    assert set(sent) == {f"{ROOT}/{door.board.name}/position" for door in example.doors.doors}
    for name, way in slid_open(example).items():
        x, y, z = home[name]
        assert sent[f"{ROOT}/{name}/position"] == pytest.approx((x + 0.25 * way, y, z))
    browser.heard.clear()
    live.slide_doors(0.25)
    assert browser.heard == []
    live.slide_doors(0)
    for name in slid_open(example):
        assert browser.called("set")[f"{ROOT}/{name}/position"] == pytest.approx(home[name])
    assert browser.widget.shapes is scene


def test_the_assembly_comes_apart_as_in_the_plans(live, browser, example):
    browser.draws()
    home = {part["name"]: part["loc"][0] for part in browser.widget.shapes["shapes"]["parts"]}
    live.explode(1)
    sent = browser.called("set")
    for board in example.boards:
        way = apart(example, board.box)
        at = sent.get(f"{ROOT}/{board.name}/position", home[board.name])
        assert at == pytest.approx([h + w for h, w in zip(home[board.name], way, strict=True)])


def test_an_update_to_the_same_console_sends_nothing(live, browser, rebuilt):
    browser.draws()
    scene = browser.widget.shapes
    live.update(rebuilt({}))
    assert browser.widget.shapes is scene


def test_of_scenes_faster_than_the_browser_only_the_last_is_drawn(live, browser, wider, example):
    browser.draws()
    drawn = []
    browser.widget.observe(lambda change: change["new"] and drawn.append(change["new"]), "shapes")
    for casework in (wider, example, wider, example):
        live.update(casework)
    assert len(drawn) == 1
    browser.answers()
    assert len(drawn) == 2
    wide = drawn[1]["shapes"]["bb"]["xmax"]
    assert wide == pytest.approx(example.box.hi[0], abs=1e-3)
    browser.answers()
    assert len(drawn) == 2


def test_boards_stay_hidden_in_another_place_and_under_another_name(
    live, browser, example, rebuilt
):
    browser.draws()
    states = browser.widget.states | {f"{ROOT}/top": (0, 0)}
    browser.widget.set_state({"states": states})
    live.update(rebuilt({"case.width": "80 in"}))
    assert browser.widget.requested_states is None  # the browser knows them itself
    browser.answers()
    live.update(rebuilt({"name": "Reading room console"}))
    assert browser.widget.requested_states["/reading-room-console/top"] == (0, 0)
    live.update(example)
    browser.answers()
    assert live.open().children[0].requested_states[f"{ROOT}/top"] == (0, 0)


def test_many_updates_leave_no_more_widgets(live, browser, example, wider):
    browser.draws()

    def kept():
        widget = browser.widget
        handlers = sum(len(h) for kinds in widget._trait_notifiers.values() for h in kinds.values())
        return len(_instances), len(get_viewers_by_id()), handlers

    before = kept()
    for number in range(50):
        live.update((wider, example)[number % 2])
        browser.answers()
        browser.heard.clear()
    assert kept() == before


def test_showing_the_view_many_times_leaves_no_more_widgets(live):
    counts = []
    for _ in range(5):
        live._repr_mimebundle_()
        counts.append(len(_instances))
    assert counts[1:] == [counts[1]] * 4


def test_the_picture_stands_in_until_the_view_is_drawn(live, example, wider):
    viewer, stand_in = live.open().children
    assert picture(example).html in stand_in.value
    assert "no 3D (WebGL)" in stand_in.value
    live.update(wider)
    assert picture(wider).html in stand_in.value
    viewer.set_state({"states": {f"{ROOT}/top": (1, 1)}})
    assert stand_in.value == ""
    assert stand_in.layout.display == "none"


def test_a_view_is_as_wide_as_asked(example):
    live = LiveView(example, width_px=640, height_px=300, tools=False)
    viewer = live.open().children[0]
    assert (viewer.cad_width, viewer.height, viewer.tools) == (640, 300, False)
    live.resize(1400, 600)
    assert (viewer.cad_width, viewer.height) == (1400, 600)
    assert live.open().children[0].cad_width == 1400


@pytest.mark.parametrize("package", ["cad_viewer_widget", "ocp_tessellate"])
def test_without_the_viewer_there_is_the_picture(example, no_view_yet, monkeypatch, package):
    monkeypatch.delitem(sys.modules, "kit.solid.scene", raising=False)
    for name in [name for name in sys.modules if name.partition(".")[0] == package]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, package, None)
    shown = view(example)
    assert isinstance(shown, Shown)
    assert package in shown.plain
    assert shown.plain.count("\n") == 0
    assert picture(example).html in shown.html


def test_the_picture_is_the_same_svg_each_time(example):
    shown = picture(example)
    assert shown == picture(example)
    data = re.search(r'src="data:image/svg\+xml;base64,([^"]+)"', shown.html)
    assert ElementTree.fromstring(b64decode(data[1])).tag == "{http://www.w3.org/2000/svg}svg"
    assert 'alt="Picture of Film room console"' in shown.html
