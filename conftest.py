"""The lanes of the tests: which of them run.

A test is in the fast lane unless a marker, or its folder, puts it into another:

    slow      it takes seconds: whole packs, drawings of many designs, notebooks, benchmarks
    browser   it drives a browser, and is skipped where there is none (never where CI is set)
    minutes   it takes a minute or nearly: programs killed, commands one by one, the wheel

`pytest` runs the fast lane, `pytest --lane slow` another, `pytest --lane all` every test; where
the environment variable CI is set, `pytest` alone runs all. What is asked for by name, as
`file.py::test` or as a file in a folder that has a lane, runs whatever its lane; so does what
`-m` chooses.
"""

import os
from pathlib import Path

import pytest

MARKED = ("minutes", "browser", "slow")
FAST, ALL = "fast", "all"
#: Folders whose tests are all in one lane: they are not even imported for another.
FOLDERS = {"tests/browser": "browser", "tests/benchmarks": "slow", "notebooks": "slow"}
ROOT = Path(__file__).parent


def pytest_addoption(parser: pytest.Parser) -> None:
    """Let a developer choose a lane."""
    words = "which tests run: fast (those without a marker, the default), or all where CI is set"
    parser.addoption("--lane", choices=(FAST, *MARKED, ALL), help=words)


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    """Settle the lane, once for all processes."""
    if config.option.lane is None:
        start = config.invocation_params.dir
        asked = [argument for argument in config.invocation_params.args if argument in config.args]
        by_name = any("::" in name or folder_lane((start / name).resolve()) for name in asked)
        every = by_name or config.option.markexpr or os.environ.get("CI")
        config.option.lane = ALL if every else FAST


def folder_lane(path: Path) -> str | None:
    """The lane of the folder that a file is in."""
    inside = (name for folder, name in FOLDERS.items() if path.is_relative_to(ROOT / folder))
    return next(inside, None)


def pytest_report_header(config: pytest.Config) -> str:
    """Say which lane runs."""
    lane = config.option.lane
    return f"lane: {lane}" if lane == ALL else f"lane: {lane} (--lane all runs every test)"


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Pass by a folder of another lane."""
    there = folder_lane(collection_path)
    return True if there is not None and config.option.lane not in (there, ALL) else None


def pytest_itemcollected(item: pytest.Item) -> None:
    """Mark what is in a folder of a lane."""
    there = folder_lane(item.path)
    if there is not None:
        item.add_marker(there)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Keep what is in the lane, and begin with the files that hold the slowest of it.

    Two processes share the files out in their order: a long one that comes last keeps one waiting.
    """
    lanes = {item: next(filter(item.get_closest_marker, MARKED), FAST) for item in items}
    chosen = config.option.lane
    if chosen != ALL:
        config.hook.pytest_deselected(items=[item for item in items if lanes[item] != chosen])
        items[:] = [item for item in items if lanes[item] == chosen]
    slowest: dict[Path, int] = {}
    for item in items:
        place = (*MARKED, FAST).index(lanes[item])
        slowest[item.path] = min(place, slowest.get(item.path, place))
    items.sort(key=lambda item: slowest[item.path])
