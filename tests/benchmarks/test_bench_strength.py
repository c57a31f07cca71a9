"""All of strength and stability on the example; it is live, so it is to stay under 60 ms."""

import time

import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from reference_loop import Stretched

from kit.casework import Casework
from kit.checks.stability import check_stability
from kit.checks.strength import check_strength

pytestmark = pytest.mark.benchmark(timer=time.process_time)

#: Most for both, s.
LIVE_S = 0.060


def test_strength_and_stability(
    benchmark: BenchmarkFixture, example: Casework, stretched: Stretched
) -> None:
    def both() -> int:
        return len([*check_strength(example), *check_stability(example)])

    assert benchmark(both) > 10
    if benchmark.enabled:
        assert benchmark.stats.stats.median < stretched(LIVE_S)
