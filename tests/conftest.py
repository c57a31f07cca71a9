"""Fixtures that many tests share."""

import copy
import os
import tomllib
from collections.abc import Callable
from typing import Any

import pytest

from kit.casework import Casework, build
from kit.design_file import example_text, from_data

#: Files whose tests take longest. Two processes share the files out in their order: a long one
#: that comes last keeps one process waiting.
LONGEST = (
    "browser/",
    "test_wheel.py",
    "test_faults_of_minutes.py",
    "test_documents_long.py",
    "test_fixes.py",
    "test_plan_pack.py",
    "test_design_desk.py",
    "test_way_in.py",
    "60-the-plan-pack.ipynb",
    "90-the-best-from-these-sheets.ipynb",
    "test_part_drawings.py",
)
#: What takes minutes, and says little that the others do not: it runs before anything lands.
BEFORE_LANDING = (
    "browser/test_first_console.py",
    "browser/test_live_view.py",
    "browser/test_open.py",
    "test_audit.py",
    "test_documents_long.py",
    "test_faults_of_minutes.py",
    "test_fixes.py::test_a_fix_cures_and_harms_nothing_else",
    "test_part_drawings.py::test_words_touch_neither_words_nor_lines_and_keep_to_the_page",
    "test_way_in.py::test_the_way_in_is_that_of_the_solids",
    "test_way_in.py::test_the_windows_are_those_of_the_solid_doors",
    "test_wheel.py",
)


def pytest_addoption(parser: pytest.Parser) -> None:
    """Let a developer ask for the whole."""
    words = "run the tests of minutes, too, as where the environment variable CI is set"
    parser.addoption("--long", action="store_true", help=words)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Begin with what takes longest, and leave out what takes minutes unless it is asked for."""

    def place(item: pytest.Item, parts: tuple[str, ...]) -> int:
        return next((n for n, part in enumerate(parts) if part in item.nodeid), len(parts))

    items.sort(key=lambda item: place(item, LONGEST))
    if not (config.getoption("--long") or os.environ.get("CI")):
        skip = pytest.mark.skip(reason="takes minutes: it runs with --long, and where CI is set")
        for item in items:
            if place(item, BEFORE_LANDING) < len(BEFORE_LANDING):
                item.add_marker(skip)


@pytest.fixture(scope="session")
def example() -> Casework:
    """The built-in example, built."""
    return build(from_data(tomllib.loads(example_text())))


@pytest.fixture
def example_data() -> dict[str, Any]:
    """The built-in example as plain values, free to change."""
    return copy.deepcopy(tomllib.loads(example_text()))


@pytest.fixture
def rebuilt(example_data: dict[str, Any]) -> Callable[[dict[str, Any]], Casework]:
    """Builds the example with some values changed: {"doors.top_depth": "9 mm"}."""

    def rebuild(changes: dict[str, Any]) -> Casework:
        for path, value in changes.items():
            *parents, last = path.split(".")
            table: Any = example_data
            for step in parents:
                table = table[int(step) - 1] if step.isdigit() else table.setdefault(step, {})
            if last.isdigit():
                table[int(last) - 1] = value
            elif value is None:
                table.pop(last, None)
            else:
                table[last] = value
        _cables_of_what_is_there(example_data)
        return build(from_data(example_data))

    return rebuild


def _cables_of_what_is_there(data: dict[str, Any]) -> None:
    """Take away the cables of devices that a test took away: the kit refuses loose ends."""
    ends = {item["name"] for item in data.get("gear", [])} | {"screen", "outlet"}
    named = {end for cable in data.get("cable", []) for end in (cable["from"], cable["to"])}
    of_example = {item["name"] for item in tomllib.loads(example_text())["gear"]} | {"screen"}
    gone = (named & of_example) - ends
    if "screen" not in data:
        gone.add("screen")
    if gone:
        data["cable"] = [c for c in data["cable"] if not gone & {c["from"], c["to"]}]
