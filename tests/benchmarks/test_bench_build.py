"""How long a console takes: from the design to its boards, and from boards to solids to mesh.

Run with `uv run pytest tests/benchmarks`. The same
console as a plain fluent script is timed beside, on the same machine in the same run; ours has
to be at least five times as fast, with nothing kept from an earlier build, and four times as one
that makes each row of slots and holes in one call. The times are those
of the processor, so that other work on the machine does not blur the ratio.
"""

import time
import tomllib

import cadquery as cq
import pytest
from fluent_console import fluent_console
from pytest_benchmark.fixture import BenchmarkFixture

from kit import solid
from kit.casework import Casework, build
from kit.design_file import example_text, from_data
from kit.solid import body, inlay, picture, turn

pytestmark = pytest.mark.benchmark(timer=time.process_time)

#: Chord and angle tolerance of the mesh on both sides, mm and radians.
CHORD_MM, CHORD_RAD = picture.CHORD_MM, picture.CHORD_RAD


@pytest.fixture(scope="module")
def least_s() -> dict[str, float]:
    """The least time of each way to build, seconds, in the order of the tests."""
    return {}


def forget() -> None:
    """As in a process that has built nothing yet."""
    for kept in (body._cut, inlay._inlay, picture._triangles, turn.turned):
        kept.cache_clear()


def test_design_to_boards(benchmark: BenchmarkFixture) -> None:
    design = from_data(tomllib.loads(example_text()))
    work = benchmark(build, design)
    assert len(work.boards) == 18


def test_boards_to_solids_to_mesh(
    benchmark: BenchmarkFixture, example: Casework, least_s: dict[str, float]
) -> None:
    def make() -> tuple[solid.Mesh, ...]:
        return solid.meshes(example.boards, chord_mm=CHORD_MM, chord_rad=CHORD_RAD)

    meshes = benchmark.pedantic(make, setup=forget, rounds=5)
    assert all(len(mesh.triangles) >= 12 for mesh in meshes)
    if benchmark.enabled:
        least_s["kit"] = benchmark.stats.stats.min


@pytest.mark.parametrize("grouped", [False, True], ids=["one by one", "rows in one call"])
def test_the_same_as_a_fluent_script(
    benchmark: BenchmarkFixture, example: Casework, least_s: dict[str, float], grouped: bool
) -> None:
    def make() -> list[cq.Shape]:
        shapes = fluent_console(example.boards, grouped=grouped)
        for shape in shapes:
            shape.tessellate(CHORD_MM, CHORD_RAD)
        return shapes

    if not benchmark.enabled:
        pytest.skip("the script is only a yardstick for the benchmark")
    volumes = [shape.Volume() for shape in benchmark.pedantic(make, rounds=3)]
    wanted = [board.volume_mm3 for board in example.boards]
    assert volumes == pytest.approx(wanted, rel=1e-6)  # the same wood on both sides
    if "kit" in least_s:
        ratio = benchmark.stats.stats.min / least_s["kit"]
        benchmark.extra_info["times as long as kit"] = round(ratio, 1)
        print(f"\nfluent script, {'rows in one call' if grouped else 'one by one'}: {ratio:.1f} x")
        assert ratio >= (4.0 if grouped else 5.0)
