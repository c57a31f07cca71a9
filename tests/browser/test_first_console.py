"""The first notebook as a maker sees it: open it, run all, look, turn the console round."""

import io
import re
import time
from collections import Counter

import numpy as np
import pytest
from PIL import Image

import kit

TIMEOUT_S = 40
#: Sum of the differences in red, green and blue from which a pixel counts as another colour.
ANOTHER = 24
TITLE = "Film room console"
#: The console takes a sixth of the view; buttons and lists over it take a fiftieth.
LEAST_DRAWN = 0.08
#: What the tree of boards leaves free of the view, pixels from the left.
TREE_PX = 260


@pytest.fixture
def notebook(lab, page):
    """The first notebook, opened and its kernel ready; nothing run yet."""
    page.errors = []
    page.on("pageerror", lambda error: page.errors.append(str(error)))
    page.set_default_timeout(TIMEOUT_S * 1000)
    page.goto(lab.replace("/lab?", "/lab/tree/10-first-console.ipynb?"))
    page.get_by_text(re.compile(r"^Python 3.*\| Idle$")).wait_for()
    return page


def run_all(page):
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
    page.locator(".jp-OutputArea canvas").wait_for()
    page.wait_for_function(
        """() => [...document.querySelectorAll('.jp-CodeCell .jp-InputPrompt')]
                 .every(prompt => !prompt.textContent.includes('*'))"""
    )


def look(page):
    """The pixels of the 3D view right of its tree, (height, width, 3)."""
    canvas = page.locator(".jp-OutputArea canvas")
    canvas.scroll_into_view_if_needed()
    picture = Image.open(io.BytesIO(canvas.screenshot())).convert("RGB")
    return np.asarray(picture)[:, TREE_PX:].astype(int)


def drawn(pixels):
    """The share of pixels that are not background."""
    (background, _), *_ = Counter(map(tuple, pixels.reshape(-1, 3))).most_common(1)
    return different(pixels, np.array(background))


def is_drawn(pixels):
    return drawn(pixels) > LEAST_DRAWN


def different(a, b):
    return float((abs(a - b).sum(axis=2) > ANOTHER).mean())


def looked(page, good):
    """The pixels of the 3D view once they are `good`, looked at frame by frame."""
    end = time.monotonic() + TIMEOUT_S
    while not good(pixels := look(page)):
        assert time.monotonic() < end, f"the view did not come; the page says {page.errors}"
        page.evaluate("() => new Promise(done => requestAnimationFrame(() => done(1)))")
    return pixels


def turn(page):
    """Drag the console round by its middle."""
    box = page.locator(".jp-OutputArea canvas").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 120, y + 30, steps=4)
    page.mouse.up()


def run_cell(page):
    """Run the cell that has the cursor, and wait for its new number."""
    from playwright.sync_api import expect  # is there once the browser is

    prompt = page.locator(".jp-Notebook-cell.jp-mod-active .jp-InputPrompt")
    before = prompt.inner_text()
    page.keyboard.press("Control+Enter")
    expect(prompt).to_have_text(re.compile(rf"^(?!{re.escape(before.strip())})\[\d+\]:\s*$"))


def names_in_tree(page):
    paths = page.locator(".jp-OutputArea [data-path]").evaluate_all(
        "nodes => nodes.map(node => node.dataset.path)"
    )
    return {path.rpartition("/")[2] for path in paths}


def cut_off(page):
    """Outputs that reach past the width of their cell."""
    return page.evaluate(
        """() => [...document.querySelectorAll('.jp-OutputArea-output')]
                 .filter(output => output.scrollWidth > output.clientWidth + 1)
                 .map(output => output.innerText.slice(0, 80))"""
    )


def picture_is_there(page):
    picture = page.get_by_alt_text(f"Picture of {TITLE}")
    picture.scroll_into_view_if_needed()
    return picture.evaluate("image => image.complete && image.naturalWidth > 0")


def test_what_was_saved_is_there_before_anything_runs(notebook):
    assert picture_is_there(notebook)
    assert notebook.locator("table.kit-cut-list").is_visible()
    assert notebook.locator("table.kit-findings").is_visible()
    assert notebook.locator(".jp-OutputArea canvas").count() == 0


def test_run_all_shows_a_console_that_can_be_turned(notebook):
    run_all(notebook)
    first = looked(notebook, is_drawn)
    # the viewer writes its tree only where it can be seen, and Run All ends further down
    notebook.get_by_role("button", name="E", exact=True).click()
    boards = {board.name for board in kit.build(kit.parse(kit.example_text())).boards}
    assert names_in_tree(notebook) >= boards | {"gear-1-receiver"}
    assert notebook.get_by_text("Not checked here:").is_visible()

    turn(notebook)
    turned = looked(notebook, lambda pixels: is_drawn(pixels) and different(pixels, first) > 0.05)

    def as_turned(pixels):
        return is_drawn(pixels) and different(pixels, turned) < 0.02

    # the cell again: in its place, seen from where the maker looked
    cell = notebook.locator(".jp-CodeCell", has_text="view(casework, gear=True)")
    cell.locator(".cm-content").click()
    run_cell(notebook)
    looked(notebook, as_turned)
    assert names_in_tree(notebook) >= boards | {"gear-1-receiver"}

    # another scene, from another cell, in the same view
    notebook.keyboard.press("b")
    notebook.keyboard.press("Enter")
    notebook.keyboard.type("_ = view(casework)")
    run_cell(notebook)
    notebook.wait_for_function(
        """() => !document.querySelector('[data-path*="/gear-"]')
                 && document.querySelector('[data-path$="/door-1"]')"""
    )
    looked(notebook, as_turned)
    assert notebook.locator(".jp-OutputArea canvas").count() == 1

    for width, height in ((1280, 900), (1920, 1080)):
        notebook.set_viewport_size({"width": width, "height": height})
        assert cut_off(notebook) == []
    assert notebook.errors == []
