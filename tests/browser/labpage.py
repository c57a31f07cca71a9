"""A notebook in JupyterLab as a maker handles and sees it."""

import io
import re
import time
from collections import Counter

import numpy as np
from PIL import Image

#: Longest wait for the page, s. It is no bar: a shared machine may be slow.
TIMEOUT_S = 90
#: Sum of the differences in red, green and blue from which a pixel counts as another colour.
ANOTHER = 24
#: The console takes a sixth of the view; buttons and lists over it take a fiftieth.
LEAST_DRAWN = 0.08
#: What the tree of boards leaves free of the view, pixels from the left.
TREE_PX = 260


def open_notebook(page, lab, name):
    """A notebook of the lab, opened and its kernel ready; nothing run yet."""
    page.errors = []
    page.on("pageerror", lambda error: page.errors.append(str(error)))
    page.set_default_timeout(TIMEOUT_S * 1000)
    page.goto(lab.replace("/lab?", f"/lab/tree/{name}?"))
    page.get_by_text(re.compile(r"^Python 3.*\| Idle$")).wait_for()
    return page


def run_all(page):
    """Run all cells, and wait until they have run; what was saved with them is cleared first."""
    page.get_by_role("menuitem", name="Edit", exact=True).click()
    page.get_by_role("menuitem", name="Clear Outputs of All Cells", exact=True).click()
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
    all_have_run(page)


def all_have_run(page):
    """Wait until every cell has its number."""
    page.wait_for_function(
        """() => [...document.querySelectorAll('.jp-CodeCell .jp-InputPrompt')]
                 .every(prompt => /\\d/.test(prompt.textContent))""",
        timeout=3 * TIMEOUT_S * 1000,
    )


def run_cell(page):
    """Run the cell that has the cursor, and wait for its new number."""
    from playwright.sync_api import expect  # is there once the browser is

    prompt = page.locator(".jp-Notebook-cell.jp-mod-active .jp-InputPrompt")
    before = prompt.inner_text()
    page.keyboard.press("Control+Enter")
    expect(prompt).to_have_text(
        re.compile(rf"^(?!{re.escape(before.strip())})\[\d+\]:\s*$"), timeout=TIMEOUT_S * 1000
    )


def look(page, tree=True):
    """The pixels of the 3D view, (height, width, 3); right of its tree where it has one."""
    canvas = page.locator(".jp-OutputArea canvas")
    canvas.scroll_into_view_if_needed()
    picture = Image.open(io.BytesIO(canvas.screenshot())).convert("RGB")
    return np.asarray(picture)[:, TREE_PX * tree :].astype(int)


def drawn(pixels):
    """The share of pixels that are not background."""
    (background, _), *_ = Counter(map(tuple, pixels.reshape(-1, 3))).most_common(1)
    return different(pixels, np.array(background))


def is_drawn(pixels):
    return drawn(pixels) > LEAST_DRAWN


def different(a, b):
    return float((abs(a - b).sum(axis=2) > ANOTHER).mean())


def looked(page, good, tree=True):
    """The pixels of the 3D view once they are `good`, looked at frame by frame."""
    end = time.monotonic() + TIMEOUT_S
    while not good(pixels := look(page, tree)):
        assert time.monotonic() < end, f"the view did not come; the page says {page.errors}"
        page.evaluate("() => new Promise(done => requestAnimationFrame(() => done(1)))")
    return pixels


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
