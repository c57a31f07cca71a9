"""How long a start takes, s of the processor. Wanted: help 0.35, `import kit` 0.2, a check 1.2.

Each is a process of its own, as it is at the command line; not the first one of an installation,
which compiles every module that it loads. Beside it stands how long ten million additions take.
"""

import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from statistics import median

import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from reference_loop import Stretched

ROUNDS = 5


def children_s() -> float:
    """What the processes that ended have taken of the processor, s, in the system as well."""
    spent = resource.getrusage(resource.RUSAGE_CHILDREN)  # `os.times` counts in hundredths
    return spent.ru_utime + spent.ru_stime


pytestmark = pytest.mark.benchmark(timer=children_s)


def additions_s() -> float:
    """Ten million additions, the median of five times, s of the processor."""

    def once() -> float:
        total, start = 0, time.process_time()
        for number in range(10_000_000):
            total += number
        assert total == 49_999_995_000_000
        return time.process_time() - start

    return median(once() for _ in range(ROUNDS))


@pytest.fixture(scope="module")
def loop(request: pytest.FixtureRequest) -> float:
    """The additions, timed in this run; nothing where nothing is timed."""
    return additions_s() if request.config.option.benchmark_enable else 0.0


@pytest.fixture(scope="module")
def start(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., None]:
    """Runs Python, with what it compiled kept from run to run."""
    keep = {
        "PYTHONDONTWRITEBYTECODE": "",
        "PYTHONPYCACHEPREFIX": str(tmp_path_factory.mktemp("compiled")),
    }

    def run(*arguments: str) -> None:
        command = [sys.executable, *arguments]
        subprocess.run(command, check=True, capture_output=True, env=os.environ | keep)

    return run


@pytest.mark.parametrize(
    ("arguments", "most_s"),
    [
        pytest.param(["-c", "import kit"], 0.2, id="import kit"),
        pytest.param(["-m", "kit", "--help"], 0.35, id="kit --help"),
        pytest.param(["-m", "kit", "check"], 1.2, id="kit check"),
        pytest.param(["-c", "pass"], 0.2, id="python alone"),
    ],
)
def test_start(
    benchmark: BenchmarkFixture,
    stretched: Stretched,
    start: Callable[..., None],
    loop: float,
    capsys: pytest.CaptureFixture[str],
    arguments: list[str],
    most_s: float,
) -> None:
    benchmark.pedantic(start, args=arguments, rounds=ROUNDS, warmup_rounds=1)
    if not benchmark.enabled:
        return
    took = float(benchmark.stats.stats.median)
    with capsys.disabled():
        print(
            f"\n{' '.join(arguments)}: {took:.3f} s of at most {most_s} s, "
            f"{took / loop:.2f} times ten million additions ({loop:.3f} s)"
        )
    assert took < stretched(most_s)
