"""`uv run pytest tests/benchmarks` times everything, one after another, and prints one table.

Each time is told as a multiple of the reference loop (`reference_loop.py`) and held against the
stored one in `baseline.json`; `--keep-baseline` stores what was measured instead. In a run of the
whole suite the benchmarks are mere tests, which run once and untimed.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest
from reference_loop import USUAL_S, Stretched, loop_s

BASELINE = Path(__file__).with_name("baseline.json")
#: What takes so many times as long as its baseline is pointed out, and fails the run.
SLOWER = 1.5


class Timed(NamedTuple):
    """A benchmark: median in seconds, and as a multiple of the loop timed round it."""

    name: str
    median_s: float
    loops: float


TIMED = pytest.StashKey[list[Timed]]()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--keep-baseline", action="store_true", help="store what the benchmarks take as baseline"
    )


@pytest.hookimpl(tryfirst=True)
def pytest_cmdline_main(config: pytest.Config) -> None:
    """Time, in this process alone, where nothing but benchmarks was asked for."""
    here = Path(__file__).parent
    start = config.invocation_params.dir
    asked = [(start / argument.split("::")[0]).resolve() for argument in config.args]
    if all(here in (path, *path.parents) for path in asked):
        config.option.numprocesses = 0
        config.option.benchmark_disable = False
        config.option.benchmark_enable = True
        config.option.benchmark_quiet = True  # the table below stands for its own
        config.option.lane = "all"
        config.stash[TIMED] = []


@pytest.fixture(autouse=True)
def against_the_loop(request: pytest.FixtureRequest) -> Iterator[float | None]:
    """Time the reference loop before and after each benchmark, and keep both.

    A machine that is shared changes its pace meanwhile.
    """
    timed = request.config.stash.get(TIMED, None)
    if timed is None or "benchmark" not in request.fixturenames:
        yield None
        return
    benchmark = request.getfixturevalue("benchmark")
    loop = loop_s()
    yield loop
    if benchmark.stats is not None:
        median_s = float(benchmark.stats.stats.median)
        loops = median_s / ((loop + loop_s()) / 2.0)
        timed.append(Timed(_name(request.node), median_s, loops))


@pytest.fixture
def stretched(against_the_loop: float | None) -> Stretched:
    """What a bar in seconds comes to here: as it is, or longer where the reference loop is slower.

    A bar is meant for a usual machine. What it asks of the kit is the same on a slower one.
    """
    slower = 1.0 if against_the_loop is None else max(1.0, against_the_loop / USUAL_S)
    return lambda seconds: seconds * slower


def _name(node: pytest.Item) -> str:
    file = node.path.stem.removeprefix("test_bench_")
    return f"{file}: {node.name.removeprefix('test_').replace('_', ' ')}"


def _baseline() -> dict[str, float]:
    if not BASELINE.exists():
        return {}
    stored: dict[str, float] = json.loads(BASELINE.read_text(encoding="utf-8"))
    return stored


def _slower(timed: Timed) -> bool:
    before = _baseline().get(timed.name)
    return before is not None and timed.loops > SLOWER * before


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    """Store the baseline where that is asked for; else fail where something grew slower."""
    rows = session.config.stash.get(TIMED, None) or []
    if session.config.getoption("--keep-baseline", default=False):
        kept = _baseline() | {row.name: float(f"{row.loops:.3g}") for row in rows}
        BASELINE.write_text(json.dumps(kept, indent=2, sort_keys=True) + "\n", encoding="utf-8")
    elif exitstatus == pytest.ExitCode.OK and any(map(_slower, rows)):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """The one table."""
    rows = terminalreporter.config.stash.get(TIMED, None)
    if not rows:
        return
    baseline, width = _baseline(), max(len(row.name) for row in rows)
    write = terminalreporter.write_line
    write("")
    write(
        f"{'benchmark':{width}}  {'median ms':>10}  {'in loops':>9}  {'baseline':>9}  {'to it':>6}"
    )
    for row in rows:
        before = baseline.get(row.name)
        held = f"{before:9.3g}  {row.loops / before:5.2f}x" if before else f"{'none':>9}  {'':6}"
        told = f"{row.name:{width}}  {1000 * row.median_s:10.1f}  {row.loops:9.3g}  {held}"
        write(told + ("  slower" if _slower(row) else ""))
    write(
        "Medians of this run on this machine. In loops: as a multiple of the reference loop, timed "
        f"before and after; past {SLOWER} times the stored baseline the run fails."
    )
