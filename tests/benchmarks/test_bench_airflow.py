"""How long the air of the example takes: live while a control moves means under 20 ms.

Run with `uv run pytest tests/benchmarks`. The times are
those of the processor, so that other work on the machine does not blur them.
"""

import time

import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from reference_loop import Stretched

from kit.casework import Casework
from kit.checks.airflow import Heat, check_airflow, climate, evening, read_network

pytestmark = pytest.mark.benchmark(timer=time.process_time)

#: Most for one new state of the example from its boards, s.
LIVE_S = 0.020


def test_boards_to_temperatures(
    benchmark: BenchmarkFixture, example: Casework, stretched: Stretched
) -> None:
    state = benchmark(climate, example, Heat.TYPICAL)
    assert max(state.air_c) > 28.0
    if benchmark.enabled:
        assert benchmark.stats.stats.median < stretched(LIVE_S)


def test_boards_to_network(benchmark: BenchmarkFixture, example: Casework) -> None:
    net = benchmark(read_network, example)
    assert len(net.zones) == 7


def test_a_film_of_three_hours(benchmark: BenchmarkFixture, example: Casework) -> None:
    film = benchmark(evening, climate(example), 3.0)
    assert film.air_c[-1].max() > 28.0


def test_the_whole_check(benchmark: BenchmarkFixture, example: Casework) -> None:
    assert len(benchmark(lambda: list(check_airflow(example)))) >= 5
