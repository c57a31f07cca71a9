"""A JupyterLab on the loopback address, and a browser without a network to look at it."""

import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from machine import LOOPBACK, address, missing, of_its_own

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
#: Software WebGL, and nothing that calls home.
FLAGS = (
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
)
#: Every cell in the page, also those out of sight.
SETTINGS = {
    "notebook-extension/tracker": '{"windowingMode": "none"}',
    "apputils-extension/notification": '{"fetchNews": "false", "checkForUpdates": false}',
}


@pytest.fixture(scope="module")
def lab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address, with token, of a JupyterLab on a copy of the notebooks."""
    home = tmp_path_factory.mktemp("lab")
    shutil.copytree(NOTEBOOKS, home / "notebooks", ignore=shutil.ignore_patterns(".*"))
    for name, text in SETTINGS.items():
        path = home / "settings" / "@jupyterlab" / f"{name}.jupyterlab-settings"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    process = subprocess.Popen(
        [
            *(sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root"),
            *(f"--ServerApp.ip={LOOPBACK}", "--ServerApp.port=0"),
            f"--ServerApp.root_dir={home / 'notebooks'}",
        ],
        env=of_its_own(home),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        yield address(process, "/lab?token=")
    finally:
        process.terminate()
        process.wait(timeout=30)


def program() -> str:
    """The path of chromium."""
    return next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None) or missing(
        "the program chromium"
    )


@pytest.fixture(scope="module")
def browser() -> Iterator[object]:
    """Chromium with software WebGL."""
    try:
        from playwright.sync_api import sync_playwright
    except ModuleNotFoundError:
        missing("the package playwright")
    chromium = program()
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        yield launched
        launched.close()


@contextmanager
def _opened(browser) -> Iterator[object]:
    """A page that reaches the loopback address alone."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    context.route(
        lambda url: urlsplit(url).hostname not in {LOOPBACK, "localhost", None},
        lambda route: route.abort(),
    )
    yield context.new_page()
    context.close()


@pytest.fixture
def page(browser):
    """A page of one test."""
    with _opened(browser) as opened:
        yield opened


@pytest.fixture(scope="module")
def shared_page(browser):
    """A page that the tests of a file share: JupyterLab takes long to load."""
    with _opened(browser) as opened:
        yield opened
