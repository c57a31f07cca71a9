"""Fixtures that many tests share."""

import copy
import tomllib
from collections.abc import Callable
from typing import Any

import pytest

from kit.casework import Casework, build
from kit.checks import check
from kit.design_file import example_text, from_data
from kit.finding import Report
from profiles import load

load()


@pytest.fixture(scope="session")
def example() -> Casework:
    """The built-in example, built."""
    return build(from_data(tomllib.loads(example_text())))


@pytest.fixture(scope="session")
def example_report(example: Casework) -> Report:
    """What the checks find in it."""
    return check(example)


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
