"""Side by side with a general-purpose packing library, in one run.

Source: rectpack (Apache 2.0), all its guillotine algorithms with three sort orders, the best of
all; the kerf is added to boards and sheet. It can lock the grain of all boards or of none, so
only such jobs are compared.
"""

from functools import partial
from itertools import count, islice

import pytest

from benchmarks.known_optimum import KERF_MM, known_job, rectpack_sheets
from kit.making.nesting.guillotine import final_layout, live_layout
from kit.sources import Kind, Seen, Source
from published import NO_MORE, Figure, each, held


def fair_jobs(offcut: float, boards: int):
    for seed in count(300):
        job = known_job(seed, offcut, boards)
        if len({piece.grain_locked for piece in job.pieces}) == 1:
            yield job


def live_sheets(offcut: float, boards: int) -> int:
    """Sheets of the first three jobs by the quick layout, as at the desk."""
    jobs = islice(fair_jobs(offcut, boards), 3)
    return sum(live_layout(job.pieces, [job.sheet], KERF_MM).full_sheets for job in jobs)


RECTPACK = Source(
    key="rectpack",
    title="rectpack, a general packing library, its best of all guillotine algorithms",
    kind=Kind.COMPUTED,
    seen=Seen.OWN,
)
JOBS = [(0.05, 16), (0.10, 24), (0.15, 32)]
#: What rectpack needs for the quick ones; the test below asks it anew.
LISTED = {(0.05, 16): 8, (0.15, 32): 7}
PUBLISHED = {
    RECTPACK: [
        Figure(
            f"sheets of three jobs of {boards} boards, {offcut:.0%} offcut",
            "",
            packed,
            partial(live_sheets, offcut, boards),
            NO_MORE,
        )
        for (offcut, boards), packed in LISTED.items()
    ]
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


@pytest.mark.slow
@pytest.mark.parametrize(("offcut", "boards"), JOBS)
def test_never_more_sheets_than_rectpack(offcut: float, boards: int, capsys) -> None:
    live, final, theirs, bound = 0, 0, 0, 0.0
    for job in islice(fair_jobs(offcut, boards), 3):
        ours_live = live_layout(job.pieces, [job.sheet], KERF_MM).full_sheets
        ours = final_layout(job.pieces, [job.sheet], KERF_MM, budget_s=5).full_sheets
        packed = rectpack_sheets(job)
        assert ours <= ours_live <= packed
        live, final, theirs = live + ours_live, final + ours, theirs + packed
        area = sum(piece.area_mm2 for piece in job.pieces)
        bound += area / (job.sheet.length_mm * job.sheet.width_mm)
    assert theirs == LISTED.get((offcut, boards), theirs)
    with capsys.disabled():
        print(
            f"\n{offcut:.0%} offcut, {boards} boards: sheets {final} final, {live} live, "
            f"{theirs} rectpack; final to rectpack {final / theirs:.2f}, "
            f"to the area bound {final / bound:.2f}"
        )
