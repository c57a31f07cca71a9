"""Paper, frames, scales and lines of the plans.

ISO 216 and ANSI Y14.1, paper; ISO 5457, frame; ISO 5455, scales; ISO 128-2, lines (all from
memory); ISO 7200, title block at most 180 mm wide (text read, the width from memory).
"""

from math import isclose

from kit.draw.drafting.line_types import Line
from kit.draw.drafting.scales import SCALES
from kit.paper import Paper
from kit.plan_pack.layout import FRAME, FRAME_LEFT, TITLE_BLOCK
from kit.sources import source
from kit.units import System
from published import NO_MORE, Figure, each, held, share

IN = 25.4
#: ISO 128-2, mm, apart by √2.
WIDTHS = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
#: Shorter and longer side, mm.
ISO_PAPER = {Paper.A4: (210, 297), Paper.A3: (297, 420)}
ANSI_PAPER = {Paper.LETTER: (8.5 * IN, 11 * IN), Paper.TABLOID: (11 * IN, 17 * IN)}
#: Dashes and gaps in widths of the line.
DASHES = {Line.HIDDEN: (12, 3), Line.CENTRE: (24, 3, 0.5, 3)}


def sides(papers: dict[Paper, tuple[float, float]]):
    for paper, (short, long) in papers.items():
        name = paper.value.upper() if paper in ISO_PAPER else paper.value
        yield Figure(f"{name}, shorter side", "mm", short, lambda p=paper: p.height, share(1e-6))
        yield Figure(f"{name}, longer side", "mm", long, lambda p=paper: p.width, share(1e-6))


PUBLISHED = {
    source("iso-216"): [*sides(ISO_PAPER)],
    source("ansi-y14-1"): [*sides(ANSI_PAPER)],
    source("iso-5457"): [
        Figure("frame from the left edge", "mm", 20, lambda: FRAME_LEFT),
        Figure("frame from the other edges", "mm", 10, lambda: FRAME),
    ],
    source("iso-7200"): [Figure("width of the block", "mm", 180, lambda: TITLE_BLOCK, NO_MORE)],
    source("iso-5455"): [
        Figure(f"scale {n + 1}, one to", "", told, lambda n=n: SCALES[System.METRIC][n].ratio)
        for n, told in enumerate((1, 2, 5, 10, 20, 50, 100))
    ],
    source("iso-128"): [
        Figure("wide over narrow", "", 2, lambda: Line.VISIBLE.mm / Line.HIDDEN.mm),
        *(
            Figure(
                f"{line.name.lower()} line, {'gap' if n % 2 else 'dash'} {n // 2 + 1}, in widths",
                "",
                told,
                lambda line=line, n=n: line.dashes[n] / line.mm,
            )
            for line, all_told in DASHES.items()
            for n, told in enumerate(all_told)
        ),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


def test_no_scale_is_left_out():
    assert len(SCALES[System.METRIC]) == len(PUBLISHED[source("iso-5455")])


def test_widths_of_lines_are_of_the_series():
    # 0.175 mm counts as 0.18
    for line in Line:
        assert any(isclose(line.mm, width, rel_tol=0.03) for width in WIDTHS), line
