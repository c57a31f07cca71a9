"""The first notebook as a maker sees it: open it, run all, look, turn the console round."""

import pytest
from labpage import (
    all_have_run,
    cut_off,
    different,
    is_drawn,
    looked,
    names_in_tree,
    open_notebook,
    run_all,
    run_cell,
)

import kit

TITLE = "Film room console"


@pytest.fixture
def notebook(lab, page):
    """The first notebook, opened and its kernel ready; nothing run yet."""
    return open_notebook(page, lab, "10-first-console.ipynb")


def turn(page):
    """Drag the console round by its middle."""
    box = page.locator(".jp-OutputArea canvas").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 120, y + 30, steps=4)
    page.mouse.up()


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
    notebook.locator(".jp-OutputArea canvas").wait_for()
    all_have_run(notebook)
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
