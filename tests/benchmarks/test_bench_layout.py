"""Time of the live sheet layout for 40 boards.

    uv run pytest tests/benchmarks/test_bench_layout.py

Wanted on a two-core machine: median under 0.1 s, worst under 0.5 s.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable

import pytest

from benchmarks.known_optimum import KERF_MM, known_job
from kit.making.nesting.guillotine import live_layout
from kit.making.nesting.layout import Layout

JOBS = 20


@pytest.mark.parametrize("offcut_share", [0.05, 0.10, 0.15])
def test_live_layout_of_40_boards(benchmark: Callable[..., Layout], offcut_share: float) -> None:
    jobs = itertools.cycle([known_job(seed, offcut_share, boards=40) for seed in range(JOBS)])

    def lay_out_next() -> Layout:
        job = next(jobs)
        return live_layout(job.pieces, [job.sheet], KERF_MM)

    layout = benchmark.pedantic(lay_out_next, rounds=JOBS, iterations=1)  # type: ignore[attr-defined]
    assert layout.sheets
