"""`kit open`: the design desk as a maker meets it, in JupyterLab and as an app by Voila."""

import re
import sys
from urllib.parse import urlsplit

import pytest
from labpage import TIMEOUT_S, cut_off, is_drawn, looked
from machine import LAB, LOOPBACK, free_port, serving

from kit.design_file import example_text

#: A kernel starts, loads the solid kernel and makes the console, on a machine that is busy.
START_S = 120
OPEN = (sys.executable, "-m", "kit", "open", "mine.toml")


@pytest.fixture
def home(tmp_path):
    """A folder with a design file in it."""
    (tmp_path / "mine.toml").write_text(example_text())
    return tmp_path


def watched(page):
    page.errors = []
    page.on("pageerror", lambda error: page.errors.append(str(error)))
    page.set_default_timeout(TIMEOUT_S * 1000)
    return page


def narrow(page):
    """Type a width into the desk that does not do for all devices, and wait for the verdict."""
    from playwright.sync_api import expect  # is there once the browser is

    expect.set_options(timeout=TIMEOUT_S * 1000)
    tally = page.locator(".kit-desk .kit-tally")
    expect(tally).to_contain_text("78 in wide")
    expect(tally).to_contain_text(re.compile(r"\b0 fail"))
    width = page.locator(".kit-desk").get_by_role("textbox", name="Width", exact=True)
    width.fill("70 in")
    width.press("Enter")
    expect(tally).to_contain_text("70 in wide")
    expect(tally).to_contain_text(re.compile(r"\b[1-9]\d* fail"))


def test_jupyterlab_opens_on_the_desk_of_the_design_file(home, page):
    watched(page)
    with serving([*OPEN, *LAB], "/lab/tree/mine.ipynb?token=", home) as url:
        page.goto(url)
        page.get_by_text(re.compile(r"^Python 3.*\| Idle$")).wait_for()
        page.get_by_role("menuitem", name="Run", exact=True).click()
        page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
        page.locator(".kit-desk").wait_for(timeout=START_S * 1000)
        looked(page, is_drawn)
        narrow(page)
    assert (home / "mine.toml").read_text() == example_text()  # nobody has saved


def test_the_desk_is_an_app_by_voila(home, page):
    """Without code; and without a network, as the page's own policy says, and not only the test."""
    outside = []

    def refuse(route):
        outside.append(route.request.url)
        route.abort()

    page.route(lambda url: urlsplit(url).hostname != LOOPBACK, refuse)
    watched(page)
    command = [*OPEN, "--app", "--no-browser", f"--port={free_port()}"]
    with serving(command, "/?token=", home) as url:
        page.goto(url, wait_until="commit")  # the page is whole when its notebook has run
        page.locator(".kit-desk").wait_for(timeout=START_S * 1000)
        assert "from kit.notebook import desk" not in page.locator("body").inner_text()
        looked(page, is_drawn)
        narrow(page)
        assert cut_off(page) == []
    assert outside == []
    assert page.errors == []
