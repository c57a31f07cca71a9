"""All of strength and stability on the example; it is live, so it is to stay under 50 ms."""

from kit.casework import Casework
from kit.checks.stability import check_stability
from kit.checks.strength import check_strength


def test_strength_and_stability(benchmark, example: Casework) -> None:
    def both() -> int:
        return len([*check_strength(example), *check_stability(example)])

    assert benchmark(both) > 10
