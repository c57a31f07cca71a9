"""How the time grows with the piece: walls of shelves from 10 to 300 boards.

Ratios of one run, by processor time: from 30 to 300 boards the time of each step grows no faster
than the square of the number of boards, and that of solids about as they do.
"""

import time
from collections.abc import Callable
from math import log

import pytest
from pieces import wall
from pytest_benchmark.fixture import BenchmarkFixture

from kit import solid
from kit.casework import Casework, build
from kit.checks import check
from kit.design_file import parse
from kit.making.cut_list import cut_list
from kit.making.sheets import sheet_plan
from kit.solid import body, inlay, picture, turn

pytestmark = pytest.mark.benchmark(timer=time.process_time)

#: Bays and shelves in each of walls of 10, 30, 100 and 300 boards, or next to it.
WALLS = {10: (2, 1), 30: (4, 2), 100: (6, 7), 300: (8, 17)}
#: The power of the number of boards with which a step may grow from 30 to 300.
MOST_POWER = 2.0


def forget() -> None:
    """As in a process that has built nothing yet."""
    for kept in (body._cut, inlay._inlay, picture._triangles, turn.turned):
        kept.cache_clear()


def boards(text: str) -> Casework:
    return build(parse(text))


def verdicts(text: str) -> int:
    return len(check(boards(text)))


def rows(text: str) -> int:
    return len(cut_list(boards(text)))


def sheets(text: str) -> int:
    return len(sheet_plan(boards(text)).stocks)


def meshes(text: str) -> int:
    forget()
    return len(solid.meshes(boards(text).boards))


@pytest.fixture(scope="module")
def median_s() -> dict[tuple[str, int], float]:
    """The median of each step at each size, in the order of the tests."""
    return {}


@pytest.mark.parametrize("count", WALLS)
@pytest.mark.parametrize("step", [boards, verdicts, rows, sheets, meshes])
def test_from_10_to_300_boards(
    benchmark: BenchmarkFixture,
    median_s: dict[tuple[str, int], float],
    step: Callable[[str], object],
    count: int,
) -> None:
    text = wall(*WALLS[count], lipped=True)
    if not benchmark.enabled and count > 30:
        pytest.skip("of use for the clock only")
    assert len(boards(text).boards) == pytest.approx(count, rel=0.1)
    benchmark.pedantic(step, (text,), rounds=3, warmup_rounds=count < 300)
    if benchmark.enabled:
        median_s[step.__name__, count] = benchmark.stats.stats.median
        few = median_s.get((step.__name__, 30))
        if count == 300 and few:
            assert log(benchmark.stats.stats.median / few) / log(10) < MOST_POWER
