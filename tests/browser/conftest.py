"""A JupyterLab on the loopback address, and a browser without a network to look at it."""

import os
import queue
import re
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
LOOPBACK = "127.0.0.1"
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


def missing(what: str) -> None:
    """Skip where a developer has no browser; on the build machine that is a failure."""
    if os.environ.get("CI"):
        pytest.fail(f"{what} is missing, and the environment variable CI is set")
    pytest.skip(f"{what} is missing")


@pytest.fixture(scope="module")
def lab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address, with token, of a JupyterLab on a copy of the notebooks."""
    home = tmp_path_factory.mktemp("lab")
    shutil.copytree(NOTEBOOKS, home / "notebooks", ignore=shutil.ignore_patterns(".*"))
    for name, text in SETTINGS.items():
        path = home / "settings" / "@jupyterlab" / f"{name}.jupyterlab-settings"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    folders = {"CONFIG", "DATA", "RUNTIME"}
    process = subprocess.Popen(
        [
            *(sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root"),
            *(f"--ServerApp.ip={LOOPBACK}", "--ServerApp.port=0"),
            f"--ServerApp.root_dir={home / 'notebooks'}",
        ],
        env=os.environ
        | {f"JUPYTER_{name}_DIR": str(home / name.lower()) for name in folders}
        | {
            "JUPYTERLAB_SETTINGS_DIR": str(home / "settings"),
            "JUPYTERLAB_WORKSPACES_DIR": str(home / "workspaces"),
        },
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        yield _address(process)
    finally:
        process.terminate()
        process.wait(timeout=30)


def _address(process: subprocess.Popen[str]) -> str:
    """Where the server says it listens; its further words are read and dropped."""
    lines: queue.Queue[str] = queue.Queue()

    def read() -> None:
        assert process.stderr is not None
        for line in process.stderr:
            lines.put(line)
        lines.put("")

    threading.Thread(target=read, daemon=True).start()
    told = []
    while line := lines.get(timeout=60):
        told.append(line)
        if found := re.search(rf"http://{re.escape(LOOPBACK)}:\d+/lab\?token=\w+", line):
            return found[0]
    raise AssertionError("JupyterLab ended: " + "".join(told))


@pytest.fixture(scope="module")
def browser() -> Iterator[object]:
    """Chromium with software WebGL."""
    try:
        from playwright.sync_api import sync_playwright
    except ModuleNotFoundError:
        missing("the package playwright")
    chromium = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
    if chromium is None:
        missing("the program chromium")
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        yield launched
        launched.close()


@pytest.fixture
def page(browser):
    """A page that reaches the loopback address alone."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    context.route(
        lambda url: urlsplit(url).hostname not in {LOOPBACK, "localhost", None},
        lambda route: route.abort(),
    )
    yield context.new_page()
    context.close()
