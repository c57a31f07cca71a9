"""The live view as a maker handles it, driven from cells of a notebook."""

import json
import re
from urllib.parse import parse_qs, urlsplit

import numpy as np
import pytest
from labpage import cut_off, different, is_drawn, looked, open_notebook, run_all, run_cell

import kit
from kit.draw.moves import slid_open

NAME = "live.ipynb"
FIRST = """
import kit
from ipywidgets import HTML
from kit.notebook import LiveView
text = kit.example_text()
casework = kit.build(kit.parse(text))
live = LiveView(casework, gear=True)
told = HTML("told:")
def tell(name):
    told.value += f" {name}"
live.on_pick(tell)
live
"""
#: Cells below the view: what is told, and one to type in.
CELLS = (FIRST, "told", "pass")
ROOT = "/film-room-console"
#: The viewer that was drawn last, as its own page knows it.
VIEWER = "currentCadViewer.viewer"
GROUPS = f"{VIEWER}.nestedGroup.groups"
#: A chromium without 3D.
NO_3D = "--disable-3d-apis"
#: How far from the ground a grey of 256 is plain to see.
PLAIN = 60


def api(lab, what):
    """The address of a part of the server, and the headers it asks for."""
    address = urlsplit(lab)
    headers = {"Authorization": f"token {parse_qs(address.query)['token'][0]}"}
    return f"{address.scheme}://{address.netloc}/api/{what}", headers


def write(page, lab):
    """Put the notebook into the lab."""
    url, headers = api(lab, f"contents/{NAME}")
    cells = [
        {
            "cell_type": "code",
            "source": text.strip(),
            "metadata": {},
            "outputs": [],
            "execution_count": None,
        }
        for text in CELLS
    ]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
    content = {"cells": cells, "metadata": kernel, "nbformat": 4, "nbformat_minor": 4}
    body = json.dumps({"type": "notebook", "format": "json", "content": content})
    answer = page.request.put(url, headers=headers, data=body)
    assert answer.ok, answer.status_text


def opened(page, lab):
    """The notebook, all run, with the cursor in its last cell."""
    write(page, lab)
    open_notebook(page, lab, NAME)
    run_all(page)
    return page


@pytest.fixture(scope="module")
def lab_page(lab, shared_page):
    """The notebook, opened and not run."""
    write(shared_page, lab)
    return open_notebook(shared_page, lab, NAME)


@pytest.fixture
def notebook(lab_page):
    """The notebook run from the top, and a fresh view drawn in it."""
    page, before = lab_page, lab_page.evaluate_handle("() => window.currentCadViewer ?? null")
    page.set_viewport_size({"width": 1280, "height": 900})
    page.errors.clear()
    do(page, "pass")
    run_all(page)
    page.wait_for_function(
        "before => (window.currentCadViewer ?? null) !== before && currentCadViewer.viewer?.ready",
        arg=before,
    )
    looked(page, is_drawn)
    # the picture that stands in until the view is drawn
    page.get_by_alt_text("Picture of").wait_for(state="hidden")
    return page


@pytest.fixture(scope="session")
def casework():
    return kit.build(kit.parse(kit.example_text()))


def do(page, code):
    """Run this in the last cell."""
    cell = page.locator(".jp-CodeCell").last
    cell.locator(".cm-content").click()
    page.keyboard.press("Control+a")
    page.keyboard.insert_text(code)
    run_cell(page)


def front(board, slid=0.0):
    """A spot on the front of a door, in the middle of its bottom rail, mm in the room."""
    (x0, y0, z0), (x1, _, _) = board.box.lo, board.box.hi
    return [(x0 + x1) / 2 + slid, y0, z0 + 25.0]


def seen(page, spot):
    """Where a spot of the room shows in the view, pixels from its upper left corner."""
    return page.evaluate(
        f"""spot => {{
            const at = new THREE.Vector3(...spot).project({VIEWER}.camera.getCamera());
            const box = document.querySelector('.jp-OutputArea canvas').getBoundingClientRect();
            return [box.width * (1 + at.x) / 2, box.height * (1 - at.y) / 2];
        }}""",
        spot,
    )


def pick(page, spot):
    canvas = page.locator(".jp-OutputArea canvas")
    canvas.scroll_into_view_if_needed()
    box, (x, y) = canvas.bounding_box(), seen(page, spot)
    page.mouse.dblclick(box["x"] + x, box["y"] + y)


def is_told(page, *names):
    page.get_by_text(" ".join(("told:", *names)), exact=True).wait_for()


def opacity(page, name):
    return page.evaluate(f"name => {GROUPS}[name].front.material.opacity", f"{ROOT}/{name}")


def shows(page, name):
    return page.evaluate(f"name => {GROUPS}[name].getVisibility()", f"{ROOT}/{name}")


def wait_shows(page, name, shown):
    page.wait_for_function(
        f"([name, shown]) => {GROUPS}[name]?.getVisibility() === shown",
        arg=[f"{ROOT}/{name}", shown],
    )


def is_at(page, name, x):
    page.wait_for_function(
        f"([name, x]) => Math.abs({GROUPS}[name].position.x - x) < 1e-3", arg=[f"{ROOT}/{name}", x]
    )


def origin_x(page, name):
    return page.evaluate(f"name => {GROUPS}[name].position.x", f"{ROOT}/{name}")


def is_as_wide(page, inches):
    page.wait_for_function(
        f"wide => {VIEWER}.ready && Math.abs({VIEWER}.bbox.max.x - wide) < 1", arg=inches * 25.4
    )


def greys(pixels):
    """Pixels as a printer without colour shows them: luma of ITU-R BT.601."""
    return pixels @ np.array((0.299, 0.587, 0.114))


def test_a_pick_tells_the_name_of_the_board_and_nothing_else(notebook, casework):
    spot = front(casework.by_name["door-2"])
    pick(notebook, spot)
    is_told(notebook, "door-2")
    pick(notebook, spot)
    is_told(notebook, "door-2", "door-2")
    notebook.get_by_text("film-room-console", exact=True).click()  # the root is no board
    notebook.locator(f'[data-path="{ROOT}/gear-1-receiver"]').scroll_into_view_if_needed()
    notebook.get_by_text("gear-1-receiver").click()
    is_told(notebook, "door-2", "door-2", "gear-1-receiver")
    assert notebook.errors == []


def test_highlit_boards_stand_out_in_grey_too_and_stay_so(notebook, casework):
    usual = looked(notebook, is_drawn)
    do(notebook, "live.highlight({'door-2'})")
    notebook.wait_for_function(f"() => {GROUPS}['{ROOT}/top'].front.material.opacity < 0.2")
    assert opacity(notebook, "door-2") == 1.0
    looked(notebook, lambda pixels: different(pixels, usual) > 0.05)

    grey = greys(looked(notebook, is_drawn, tree=False))

    def contrast(spot):
        x, y = map(round, seen(notebook, spot))
        return abs(np.median(grey[y - 2 : y + 3, x - 2 : x + 3]) - grey[5, -5])

    (x0, y0, _), (x1, y1, z1) = casework.by_name["top"].box.lo, casework.by_name["top"].box.hi
    on_top = contrast([0.3 * x0 + 0.7 * x1, (y0 + y1) / 2, z1])
    assert contrast(front(casework.by_name["door-2"])) > max(2 * on_top, PLAIN)

    do(notebook, "live.update(kit.build(kit.parse(text.replace('78 in', '74 in'))))")
    notebook.wait_for_function(
        f"() => {GROUPS}['{ROOT}/door-2'].front.material.opacity === 1"
        f" && {GROUPS}['{ROOT}/top'].front.material.opacity < 0.2"
    )
    do(notebook, "live.update(casework); live.highlight(())")
    notebook.wait_for_function(f"() => {GROUPS}['{ROOT}/top'].front.material.opacity === 1")
    looked(notebook, lambda pixels: different(pixels, usual) < 0.01)
    assert notebook.errors == []


def test_doors_slide_and_boards_come_apart_without_a_new_scene(notebook, casework):
    shut = looked(notebook, is_drawn)
    ways = slid_open(casework)
    home = {name: origin_x(notebook, name) for name in ways}
    notebook.evaluate(f"() => {{ window.before = {VIEWER}.nestedGroup; }}")
    do(notebook, "scenes = []; live.widget.observe(scenes.append, 'shapes')")
    for share in (0.5, 1.0):
        do(notebook, f"live.slide_doors({share})")
        for name, way in ways.items():
            assert abs(way) > 100
            is_at(notebook, name, home[name] + share * way)
        looked(notebook, lambda pixels: different(pixels, shut) > 0.01)
    pick(notebook, front(casework.by_name["door-2"], ways["door-2"]))
    is_told(notebook, "door-2")
    do(notebook, "live.slide_doors(0); live.explode(1)")
    looked(notebook, lambda pixels: different(pixels, shut) > 0.1)
    do(notebook, "live.explode(0)")
    looked(notebook, lambda pixels: different(pixels, shut) < 0.002)
    assert notebook.evaluate(f"() => window.before === {VIEWER}.nestedGroup")
    do(
        notebook,
        "assert scenes == []; live.slide_doors(1); live.update(kit.build(kit.parse(text)))",
    )
    is_at(notebook, "door-1", home["door-1"] + ways["door-1"])
    assert notebook.errors == []


def test_what_is_hidden_stays_hidden(notebook):
    do(notebook, "live.show_gear(False)")
    wait_shows(notebook, "gear-1-receiver", False)
    row = notebook.locator(f'[data-path="{ROOT}/top"]')
    row.scroll_into_view_if_needed()
    row.locator(".tv-icon0").click()
    wait_shows(notebook, "top", False)
    notebook.evaluate(f"() => {{ window.before = {VIEWER}.nestedGroup; }}")
    do(notebook, "live.update(kit.build(kit.parse(text.replace('78 in', '74 in'))))")
    notebook.wait_for_function(f"() => {VIEWER}.ready && window.before !== {VIEWER}.nestedGroup")
    for name in ("top", "gear-1-receiver"):
        wait_shows(notebook, name, False)
    assert shows(notebook, "bottom")
    do(notebook, "live.show_gear(True)")
    wait_shows(notebook, "gear-1-receiver", True)
    assert not shows(notebook, "top")
    # under another name, and in another place
    do(
        notebook,
        "live.update(kit.build(kit.parse(text.replace('Film room', 'Reading room'))))\nlive",
    )
    notebook.wait_for_function(
        f"() => {GROUPS}['/reading-room-console/top']?.getVisibility() === false"
    )
    assert notebook.errors == []


def test_many_updates_leave_one_view_with_its_drawing_context(notebook):
    do(
        notebook,
        "from ipywidgets.widgets.widget import _instances\n"
        "other = kit.build(kit.parse(text.replace('78 in', '74 in')))\n"
        "before = len(_instances)\n"
        "scenes = []; live.widget.observe(scenes.append, 'shapes')",
    )
    for number in range(6):
        name, width = (("casework", 78), ("other", 74))[number % 2]
        do(notebook, f"live.update({name})")
        is_as_wide(notebook, width)
    # faster than the browser draws: only the last of them is drawn
    do(
        notebook,
        "scenes.clear()\nfor _ in range(10):\n    live.update(casework); live.update(other)",
    )
    is_as_wide(notebook, 74)
    do(notebook, "live.update(casework)")
    is_as_wide(notebook, 78)
    do(notebook, "told.value += f' {len(_instances) - before} more, {len(scenes) < 12}'")
    is_told(notebook, "0 more, True")
    for _ in range(3):
        before = notebook.evaluate_handle("currentCadViewer")
        do(notebook, "live")
        notebook.wait_for_function(
            "before => before !== currentCadViewer && currentCadViewer.viewer?.ready", arg=before
        )
    looked(notebook, is_drawn)
    assert notebook.locator(".jp-OutputArea canvas").count() == 1
    assert not notebook.evaluate(f"() => {VIEWER}.renderer.getContext().isContextLost()")
    for size in ((1280, 900), (1920, 1080)):
        notebook.set_viewport_size(dict(zip(("width", "height"), size, strict=True)))
        assert cut_off(notebook) == []
    assert notebook.errors == []


def test_without_3d_in_the_browser_the_picture_stands_in(lab, browser):
    from conftest import FLAGS, program

    flags = [flag for flag in FLAGS if "swiftshader" not in flag]
    blind = browser.browser_type.launch(executable_path=program(), args=[*flags, NO_3D])
    try:
        page = blind.new_page(viewport={"width": 1280, "height": 900})
        opened(page, lab)
        picture = page.get_by_alt_text("Picture of Film room console")
        picture.wait_for()
        assert picture.evaluate("image => image.complete && image.naturalWidth > 0")
        assert page.get_by_text(re.compile("it stays where the browser has no 3D")).is_visible()
        # nothing of the viewer, which came to a stop half built, lies over it
        assert picture.evaluate(
            """image => {
                const box = image.getBoundingClientRect();
                return [0.02, 0.3, 0.5, 0.7, 0.98].every(x => [0.02, 0.5, 0.98].every(y =>
                    document.elementFromPoint(box.left + x * box.width, box.top + y * box.height)
                    === image));
            }"""
        )
        shown = picture.get_attribute("src")
        do(
            page,
            "live.highlight({'top'}); live.slide_doors(1); live.show_gear(False)\n"
            "live.update(kit.build(kit.parse(text.replace('78 in', '74 in'))))\n"
            "told.value += ' on'",
        )
        is_told(page, "on")
        page.wait_for_function(
            """before => document.querySelector('img[alt^="Picture"]').src !== before""", arg=shown
        )
    finally:
        blind.close()
