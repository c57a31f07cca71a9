"""How long the design desk takes: from one changed number to its answers.

Run with `uv run pytest tests/benchmarks`. Every round changes the design of the last to a width
that none had before, so that nothing is known of it yet; what was kept of boards that stay the
same is used, as on the desk. The times are those of the processor, so that other work on the
machine does not blur them.
"""

import gc
import itertools
import time
from collections.abc import Callable

import psutil
import pytest
from ipywidgets import Widget
from pytest_benchmark.fixture import BenchmarkFixture
from reference_loop import Stretched

from kit.casework import Casework, build
from kit.checks import check
from kit.design_file import example_text, parse, rewrite
from kit.making.cut_list import cut_list
from kit.notebook.design_desk import Bench, Desk
from kit.notebook.design_desk.later import Later
from kit.solid.scene import scene

ROUNDS = 15
#: Median from a changed number to verdicts and cut list, and to the mesh, seconds.
ANSWERS_S, MESH_S = 0.100, 0.400
#: Changes in a row over which memory must not grow by more than this.
CHANGES, GROWN_MB = 500, 60
#: After so many of them the garbage is collected.
COLLECTED = 20

pytestmark = pytest.mark.benchmark(timer=time.process_time)


class Waiting(Later):
    """What waits until a control is let go waits for ever here."""

    def ask(self) -> None:
        """Wait."""


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


def test_change_to_verdicts_and_cut_list(
    benchmark: BenchmarkFixture, change: Change, stretched: Stretched
) -> None:
    def answer() -> tuple[int, int]:
        work = change()
        return len(check(work)), len(cut_list(work))

    verdicts, rows = benchmark.pedantic(answer, rounds=ROUNDS, warmup_rounds=2)
    assert verdicts > 200
    assert rows == 18
    if benchmark.enabled:
        assert benchmark.stats.stats.median < stretched(ANSWERS_S)


def test_control_to_verdicts_and_cut_list(
    benchmark: BenchmarkFixture, stretched: Stretched
) -> None:
    """The same on the desk, with its controls and its panels; solids wait until it is let go."""
    desk = Desk(Bench(example_text()), Waiting)
    heights = itertools.count(18 * 32)
    panels = itertools.cycle((0, 1))  # findings, cut list

    def drag() -> str:
        desk.choose_panel(next(panels))
        height = f"{next(heights) / 32} in"
        desk.bench.change(lambda text: rewrite(text, {"case.height": height}), held=True)
        return desk.work.report.tally

    tally = benchmark.pedantic(drag, rounds=ROUNDS, warmup_rounds=2)
    assert tally == check(build(parse(desk.work.text))).tally
    desk.close()
    if benchmark.enabled:
        assert benchmark.stats.stats.median < stretched(ANSWERS_S)


def test_memory_stays_flat(benchmark: BenchmarkFixture) -> None:
    """Changes with their solids and panels, one after another: nothing is kept of the earlier."""
    desk = Desk(Bench(example_text()))
    heights = itertools.count(18 * 32)

    def change() -> None:
        number = next(heights)
        desk.choose_group(number % len(desk.groups))
        desk.choose_panel(number % len(desk.panels))
        height = f"{number / 32} in"
        desk.bench.change(lambda text: rewrite(text, {"case.height": height}))
        if number % COLLECTED == 0:
            gc.collect()  # garbage that only waits would weigh as much as a leak

    def widgets() -> int:
        gc.collect()
        return sum(isinstance(one, Widget) for one in gc.get_objects())

    rounds = CHANGES if benchmark.enabled else 3
    for _ in range(rounds // 5):
        change()  # caches of a bounded size fill first
    before, at_first = widgets(), psutil.Process().memory_info().rss
    benchmark.pedantic(change, rounds=rounds)
    assert widgets() == before
    grown = (psutil.Process().memory_info().rss - at_first) / 1e6
    desk.close()
    print(f"memory grew by {grown:.0f} MB over {rounds} changes")
    if benchmark.enabled:
        assert grown < GROWN_MB


@pytest.mark.parametrize("gear", [False, True], ids=["boards", "boards and gear"])
def test_change_to_mesh(
    benchmark: BenchmarkFixture, change: Change, stretched: Stretched, gear: bool
) -> None:
    def show() -> int:
        return len(scene(change(), gear=gear)["shapes"]["parts"])

    things = benchmark.pedantic(show, rounds=ROUNDS, warmup_rounds=2)
    assert things == (25 if gear else 18)
    if benchmark.enabled:
        assert benchmark.stats.stats.median < stretched(MESH_S)
