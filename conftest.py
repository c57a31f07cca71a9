"""The lanes of the tests: which of them run, and in what order.

A test is in the fast lane unless a marker puts it into another:

    slow      it takes seconds: whole packs, all drawings of many designs, notebooks
    browser   it drives a browser, and is skipped where there is none (never where CI is set)
    minutes   it takes a minute or nearly: programs killed, commands one by one, the wheel

`pytest` runs the fast lane, `pytest --lane slow` another, `pytest --lane all` every test; with
the environment variable CI set, `all` is what `pytest` alone runs. A test that is asked for by
its id (`file.py::test`) runs whatever its lane, and so does what `-m` chooses.
"""

import os

import pytest

#: The slowest first: two processes share the files, and one that comes last keeps the other idle.
MARKED = ("minutes", "browser", "slow")
FAST, ALL = "fast", "all"


def pytest_addoption(parser: pytest.Parser) -> None:
    """Let a developer choose a lane."""
    lanes = (FAST, *MARKED, ALL)
    words = "which tests run: fast (those without a marker, the default), or all where CI is set"
    parser.addoption("--lane", choices=lanes, help=words)


def lane(config: pytest.Config) -> str:
    """The lane that is asked for."""
    chosen = config.getoption("--lane")
    if chosen is None:
        by_name = config.option.markexpr or any("::" in argument for argument in config.args)
        chosen = ALL if by_name or os.environ.get("CI") else FAST
    return str(chosen)


def pytest_report_header(config: pytest.Config) -> str:
    """Say which lane runs."""
    others = "" if lane(config) == ALL else "; --lane all runs every test"
    return f"lane: {lane(config)}{others}"


def pytest_itemcollected(item: pytest.Item) -> None:
    """Put every notebook into the slow lane: each starts a kernel of its own."""
    if item.path.suffix == ".ipynb":
        item.add_marker(pytest.mark.slow)


def _lane(item: pytest.Item) -> str:
    return next((name for name in MARKED if item.get_closest_marker(name)), FAST)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Keep what is in the lane, and begin with the files that hold the slowest of it."""
    chosen = lane(config)
    lanes = {item: _lane(item) for item in items}
    if chosen != ALL:
        config.hook.pytest_deselected(items=[i for i in items if lanes[i] != chosen])
        items[:] = [item for item in items if lanes[item] == chosen]
    order = (*MARKED, FAST)
    first: dict[object, int] = {}
    for item in items:
        place = order.index(lanes[item])
        first[item.path] = min(first.get(item.path, place), place)
    items.sort(key=lambda item: first[item.path])
