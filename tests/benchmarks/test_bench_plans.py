"""How long a whole pack takes. Wanted: the example under 10 s, 200 boards under 60 s."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from pieces import wall
from pytest_benchmark.fixture import BenchmarkFixture
from reference_loop import Stretched

from kit.commands import FAILS, OK
from kit.design_file import example_text


def wall_of_203() -> str:
    """As many boards as a large piece has, and each shelf with its strip."""
    return wall(5, 19, lipped=True)


@pytest.mark.parametrize(("piece", "most_s"), [(example_text, 10.0), (wall_of_203, 60.0)])
def test_whole_pack(
    benchmark: BenchmarkFixture,
    stretched: Stretched,
    tmp_path: Path,
    piece: Callable[[], str],
    most_s: float,
) -> None:
    """In a fresh process, so that loading the kernel counts, as it does at the command line.

    Not the first one of an installation, which compiles every module that it loads.
    """
    if not benchmark.enabled:
        pytest.skip("other tests write packs; this one is only for the clock")
    design = tmp_path / "design.toml"
    design.write_text(piece(), encoding="utf-8")
    command = [sys.executable, "-m", "kit", "plan", str(design), "--out", str(tmp_path / "pack")]
    keep = {"PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": str(tmp_path / "compiled")}

    def plan() -> int:
        return subprocess.run(
            command, check=False, capture_output=True, env=os.environ | keep
        ).returncode

    # a wall of shelves that nobody anchors fails a check, and has its pack all the same
    assert benchmark.pedantic(plan, rounds=1, warmup_rounds=1) in (OK, FAILS)
    assert (tmp_path / "pack" / "plan.pdf").read_bytes().startswith(b"%PDF")
    assert benchmark.stats.stats.max < stretched(most_s)
