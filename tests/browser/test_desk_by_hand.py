"""The design desk as a maker uses it, in JupyterLab: move a control, read the answer, save."""

import re

import pytest
from labpage import TIMEOUT_S, cut_off, different, is_drawn, looked, open_notebook, run_all

import kit
from kit import edits
from kit.making.cut_list import cut_list

NOTEBOOK = "01-start-here.ipynb"
#: Longer than a sheet.
WIDE = "96 in"
TITLE = "Film room console"
#: The desk follows only once a kernel has loaded the solid kernel, on a machine that is busy.
START_S = 120


@pytest.fixture(scope="module")
def expect(browser):
    from playwright.sync_api import expect  # is there once the browser is

    expect.set_options(timeout=TIMEOUT_S * 1000)
    return expect


@pytest.fixture(scope="module")
def notebook(lab, shared_page):
    """The notebook, opened and its kernel ready; nothing run yet."""
    return open_notebook(shared_page, lab, NOTEBOOK)


@pytest.fixture
def desk(notebook, expect):
    """A fresh desk, shown and drawn."""
    notebook.set_viewport_size({"width": 1280, "height": 900})
    notebook.errors.clear()
    run_all(notebook)
    notebook.locator(".kit-desk canvas").wait_for(timeout=START_S * 1000)
    expect(tally(notebook)).to_contain_text("78 in wide")
    return notebook


def tally(page):
    return page.locator(".kit-desk .kit-tally")


def field(page, label):
    return page.locator(".kit-desk").get_by_role("textbox", name=label, exact=True)


def button(page, label):
    return page.locator(".kit-desk").get_by_role("button", name=label, exact=True)


def type_in(page, label, words):
    field(page, label).fill(words)
    field(page, label).press("Enter")


def alert(page):
    return page.locator(".kit-desk").get_by_role("alert")


def text(page):
    return page.locator(".kit-desk").inner_text().replace("\N{NO-BREAK SPACE}", " ")


def printed(design_text):
    """The length of each board as the cut list prints it."""
    casework = kit.build(kit.parse(design_text))
    return {
        row.name: row.editions[kit.System.INCH].cut.length.text.removesuffix(" in")
        for row in cut_list(casework)
    }


def row_of(page, board):
    cell = page.get_by_role("cell", name=board, exact=True)
    return page.locator(".kit-desk table.kit-cut-list tr").filter(has=cell)


def test_what_was_saved_is_there_without_a_kernel(notebook):
    picture = notebook.get_by_alt_text(f"Picture of {TITLE}")
    picture.scroll_into_view_if_needed()
    assert picture.evaluate("image => image.complete && image.naturalWidth > 0")
    assert notebook.locator("table.kit-cut-list").is_visible()
    assert notebook.locator("table.kit-findings").is_visible()
    assert notebook.locator(".kit-desk").count() == 0


def test_a_console_is_designed_by_hand(desk, expect):
    first = looked(desk, is_drawn)

    # a control moved: the verdict and a row of the cut list follow, then the solids
    button(desk, "Cut list").click()
    expect(row_of(desk, "bottom")).to_contain_text(
        printed(kit.example_text())["bottom"].replace(" ", "\N{NO-BREAK SPACE}")
    )
    type_in(desk, "Width", WIDE)
    expect(tally(desk)).to_contain_text("96 in wide")
    expect(tally(desk)).to_contain_text(re.compile(r"✗\s[1-9]\d* fail"))
    wide = edits.case_width_in_proportion(kit.example_text(), 96 * 25.4)
    length = printed(wide)["bottom"]
    expect(row_of(desk, "bottom")).to_contain_text(length.replace(" ", "\N{NO-BREAK SPACE}"))
    looked(desk, lambda pixels: is_drawn(pixels) and different(pixels, first) > 0.01)

    # a bad length is refused with a sentence, and the old one kept
    type_in(desk, "Width", "2")
    expect(alert(desk)).to_contain_text("has no unit")
    expect(field(desk, "Width")).to_have_value(WIDE)
    expect(tally(desk)).to_contain_text("96 in wide")

    # a heavy device: its shelf sags
    button(desk, "Gear").click()
    desk.locator(".kit-desk").get_by_label("Device", exact=True).select_option("disc player")
    type_in(desk, "Mass, kg", "40")
    button(desk, "Findings").click()
    found = desk.locator(".kit-findings-list select")
    sag = "✗ FAIL  sag: shelf-1"
    expect(found).to_contain_text(sag)

    # the desk is asked what would make a finding right, and takes that
    sheet = "✗ FAIL  boards fit a sheet: 3/4 in walnut plywood"
    found.select_option(label=sheet)
    button(desk, "What would make it right?").click()
    apply = desk.locator(".kit-desk button.kit-fix")
    apply.wait_for(timeout=START_S * 1000)  # it loads the solvers of the sheet layouts first
    expect(desk.locator(".kit-desk").get_by_role("status")).to_contain_text("This makes it right")
    assert cut_off(desk) == []
    apply.click()
    expect(found).not_to_contain_text(sheet)
    expect(found).to_contain_text(sag)

    # back to the start, step by step
    button(desk, "Undo").click()
    expect(found).to_contain_text(sheet)
    button(desk, "Undo").click()
    expect(found).not_to_contain_text(sag)
    button(desk, "Undo").click()
    expect(tally(desk)).to_contain_text("78 in wide")
    expect(button(desk, "Undo")).to_be_disabled()
    looked(desk, lambda pixels: is_drawn(pixels) and different(pixels, first) < 0.01)
    button(desk, "Redo").click()
    expect(tally(desk)).to_contain_text("96 in wide")

    # what is kept in the notebook follows, too
    expect(desk.locator("details", has_text="as it is kept")).to_contain_text("96 in wide")
    assert desk.errors == []


def test_saved_and_loaded_it_is_the_same_and_the_plan_is_written(desk, lab, expect):
    type_in(desk, "Width", "80 in")
    expect(tally(desk)).to_contain_text("80 in wide")
    button(desk, "Files").click()
    type_in(desk, "Design file", "by-hand.toml")
    button(desk, "Save as").click()
    state = desk.locator(".kit-desk", has_text="by-hand.toml: saved")
    state.wait_for()
    type_in(desk, "Width", "85 in")
    expect(tally(desk)).to_contain_text("85 in wide")
    expect(desk.locator(".kit-desk")).to_contain_text("by-hand.toml: not saved")
    button(desk, "Load").click()
    expect(tally(desk)).to_contain_text("80 in wide")
    expect(desk.locator(".kit-desk")).to_contain_text("by-hand.toml: saved")

    type_in(desk, "Folder", "by-hand-pack")
    button(desk, "Write the plan pack").click()
    expect(button(desk, "Stop")).to_be_enabled()
    # the desk goes on answering while the pack is written
    type_in(desk, "Height", "19 in")
    expect(tally(desk)).to_contain_text("23 in high")
    expect(desk.locator(".kit-desk")).to_contain_text("✓ Wrote", timeout=START_S * 1000)
    server, _, query = lab.partition("/lab?")

    def on_disk(name):
        answer = desk.request.get(f"{server}/files/{name}?{query}")
        assert answer.ok, name
        return answer.body()

    design = kit.parse(on_disk("by-hand.toml").decode())
    assert design.case.width == pytest.approx(80 * 25.4)
    assert on_disk("by-hand-pack/plan.pdf").startswith(b"%PDF-")
    assert kit.parse(on_disk("by-hand-pack/design.toml").decode()) == design


def test_it_works_by_keyboard_and_fits(desk, expect):
    width = field(desk, "Width")
    width.focus()
    desk.keyboard.press("Control+a")
    desk.keyboard.type("79 in")
    desk.keyboard.press("Tab")  # leaving a field takes it, as Enter does
    expect(tally(desk)).to_contain_text("79 in wide")
    button(desk, "Shelves").focus()
    desk.keyboard.press("Space")  # Enter belongs to the notebook
    expect(field(desk, "Clear below")).to_be_visible()
    button(desk, "Undo").focus()
    desk.keyboard.press("Space")
    expect(tally(desk)).to_contain_text("78 in wide")
    # to look at every group changes nothing
    expect(button(desk, "Undo")).to_be_disabled()
    for wide, high in ((1280, 900), (1920, 1080)):
        desk.set_viewport_size({"width": wide, "height": high})
        for group in ("Size", "Bays", "Doors", "Gear", "Cables", "Room", "Sheets and shop"):
            button(desk, group).click()
            expect(desk.locator(".kit-desk h3").first).to_have_text(group)
            assert cut_off(desk) == []
        for panel in ("Cut list", "Sheets", "Board", "Settings", "Files", "Findings"):
            button(desk, panel).click()
            expect(desk.locator(".kit-desk h3").nth(1)).to_have_text(panel)
            assert cut_off(desk) == []
    expect(button(desk, "Undo")).to_be_disabled()
    assert desk.errors == []
