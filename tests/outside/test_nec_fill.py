"""The fill of cable holes against NFPA 70 (NEC), chapter 9, Table 1 (text read); counts by area.

The counts of cables are worked out in the open: areas of circles, no packing.
"""

from functools import partial
from itertools import count
from math import floor, pi

from kit.cabling import cables, connectors
from kit.checks.cables import FILL, FILL_MORE, JAM, JAM_SPREAD, greatest_fill
from kit.hardware import grommets
from kit.sources import source
from published import Figure, by, each, held, share, worked

CABLE = cables()["ethernet-6a"]


def usable_mm2(hole_mm: float) -> float:
    """40 % of the circle, mm²."""
    return greatest_fill(3) * pi * hole_mm**2 / 4


def fitting(hole_mm: float) -> int:
    """How often a cable goes into that, by area."""
    assert CABLE.area_mm2 is not None
    return floor(usable_mm2(hole_mm) / CABLE.area_mm2)


NEC = source("nec-chapter-9")
HOLES = [(50, 785, 18), (60, 1131, 27), (80, 2011, 48)]
PUBLISHED = {
    NEC: [
        *(
            Figure(f"fill, {number} in the hole", "", told, partial(greatest_fill, number))
            for number, told in ((1, 0.53), (2, 0.31), (3, 0.40), (4, 0.40), (99, 0.40))
        ),
        # the informational note to Table 1
        Figure("three jam from hole over cable", "", 2.8, lambda: JAM - JAM_SPREAD, share(1e-6)),
        Figure("three jam to hole over cable", "", 3.2, lambda: JAM + JAM_SPREAD, share(1e-6)),
    ],
    worked(NEC): [
        *(
            Figure(f"40 % of a hole of {hole} mm", "mm²", area, partial(usable_mm2, hole), by(0.5))
            for hole, area, _ in HOLES
        ),
        *(
            Figure(f"cables of 7.3 mm in {hole} mm, by area", "", fits, partial(fitting, hole))
            for hole, _, fits in HOLES
        ),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


def test_nothing_else_is_in_the_table() -> None:
    assert ({**FILL}, FILL_MORE) == ({1: 0.53, 2: 0.31}, 0.40)
    assert source("nec-chapter-9").kind.value == "standard"


def test_one_cable_more_is_too_many() -> None:
    assert CABLE.od_mm == 7.3
    for hole, _, fits in HOLES:
        assert next(n for n in count(3) if n * CABLE.area_mm2 > usable_mm2(hole)) == fits + 1


def test_two_cables_fill_less_than_one_or_three() -> None:
    # the table's oddity: two oval together, so 31 % is below both neighbours
    assert greatest_fill(2) < greatest_fill(3) < greatest_fill(1)


def test_holes_of_liners_are_the_usual_three() -> None:
    # 50, 60 and 80 mm are common: from memory
    lined = {g.hole_mm for g in grommets().values() if g.flange_mm}
    assert lined == {50, 60, 80}
    assert all(g.clear_mm < g.hole_mm for g in grommets().values() if g.flange_mm)


def test_every_plug_and_cable_says_where_it_comes_from() -> None:
    for row in (*connectors().values(), *cables().values()):
        assert row.source
        assert all(source(key) for key in row.source)
