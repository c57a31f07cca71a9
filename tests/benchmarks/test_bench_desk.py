"""How long the design desk takes: from one changed number to its answers.

Run with `uv run pytest tests/benchmarks --benchmark-enable --benchmark-only -n 0`. Every round
changes the design of the last to a width that none had before, so that nothing is known of it
yet; what was kept of boards that stay the same is used, as on the desk. The times are those of
the processor, so that other work on the machine does not blur them.
"""

import itertools
import time
from collections.abc import Callable

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from kit.casework import Casework, build
from kit.checks import check
from kit.design_file import example_text, parse, rewrite
from kit.making.cut_list import cut_list
from kit.solid.scene import scene

ROUNDS = 15
#: Median from a changed number to verdicts and cut list, and to the mesh, seconds.
ANSWERS_S, MESH_S = 0.100, 0.400

pytestmark = pytest.mark.benchmark(timer=time.process_time)

type Change = Callable[[], Casework]


@pytest.fixture(scope="module")
def change() -> Change:
    """Each call makes the case of the example 1/32 in wider than the last, and builds it."""
    text, widths = example_text(), itertools.count(76 * 32)

    def to_the_next() -> Casework:
        nonlocal text
        text = rewrite(text, {"case.width": f"{next(widths) / 32} in"})
        return build(parse(text))

    return to_the_next


def test_change_to_verdicts_and_cut_list(benchmark: BenchmarkFixture, change: Change) -> None:
    def answer() -> tuple[int, int]:
        work = change()
        return len(check(work)), len(cut_list(work))

    verdicts, rows = benchmark.pedantic(answer, rounds=ROUNDS, warmup_rounds=2)
    assert verdicts > 200
    assert rows == 18
    if benchmark.enabled:
        assert benchmark.stats.stats.median < ANSWERS_S


@pytest.mark.parametrize("gear", [False, True], ids=["boards", "boards and gear"])
def test_change_to_mesh(benchmark: BenchmarkFixture, change: Change, gear: bool) -> None:
    def show() -> int:
        return len(scene(change(), gear=gear)["shapes"]["parts"])

    things = benchmark.pedantic(show, rounds=ROUNDS, warmup_rounds=2)
    assert things == (25 if gear else 18)
    if benchmark.enabled:
        assert benchmark.stats.stats.median < MESH_S
