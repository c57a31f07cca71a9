"""The fill of cable holes against NFPA 70 (NEC), chapter 9, Table 1 (text read); counts by area.

The counts of cables are worked out in the open: areas of circles, no packing.
"""

from itertools import count
from math import floor, pi

import pytest

from kit.cabling import cables, connectors
from kit.checks.cables import FILL, FILL_MORE, JAM, JAM_SPREAD, greatest_fill
from kit.hardware import grommets
from kit.sources import source


@pytest.mark.parametrize(
    ("number", "share"), [(1, 0.53), (2, 0.31), (3, 0.40), (4, 0.40), (99, 0.40)]
)
def test_the_rows_of_table_1(number: int, share: float) -> None:
    # NEC chapter 9, Table 1: one conductor 53 %, two 31 %, over two 40 % (text read)
    assert greatest_fill(number) == share


def test_nothing_else_is_in_the_table() -> None:
    assert ({**FILL}, FILL_MORE) == ({1: 0.53, 2: 0.31}, 0.40)
    assert source("nec-chapter-9").kind.value == "standard"


def test_three_conductors_jam_from_2_8_to_3_2() -> None:
    # NEC chapter 9, the informational note to Table 1 (text read)
    low, high = JAM - JAM_SPREAD, JAM + JAM_SPREAD
    assert (low, high) == pytest.approx((2.8, 3.2))


@pytest.mark.parametrize(("hole", "area", "fits"), [(50, 785, 18), (60, 1131, 27), (80, 2011, 48)])
def test_how_many_data_cables_go_into_a_plain_hole(hole: float, area: int, fits: int) -> None:
    # computed: 40 % of the circle, and how often a cable 7.3 mm thick (Cat 6A) goes into that
    usable = greatest_fill(3) * pi * hole**2 / 4
    assert round(usable) == area
    cable = cables()["ethernet-6a"]
    assert cable.od_mm == 7.3
    assert cable.area_mm2 is not None
    assert floor(usable / cable.area_mm2) == fits
    assert next(n for n in count(3) if n * cable.area_mm2 > usable) == fits + 1


def test_two_cables_fill_less_than_one_or_three() -> None:
    # the table's oddity: two oval together, so 31 % is below both neighbours
    assert greatest_fill(2) < greatest_fill(3) < greatest_fill(1)


def test_holes_of_liners_are_the_usual_three() -> None:
    # 50, 60 and 80 mm are common: from memory
    lined = {g.hole_mm for g in grommets().values() if g.flange_mm}
    assert lined == {50, 60, 80}
    assert all(g.clear_mm < g.hole_mm for g in grommets().values() if g.flange_mm)


@pytest.mark.parametrize(
    ("plug", "hole"),
    # computed, the diagonal of the body; sizes from memory, see connectors.csv
    [("hdmi", 23.7), ("mains-c13", 35.0), ("mains-plug-straight", 38.2), ("ethernet", 14.3)],
)
def test_the_smallest_hole_of_a_plug(plug: str, hole: float) -> None:
    assert connectors()[plug].hole_mm == pytest.approx(hole, abs=0.05)


def test_every_plug_and_cable_says_where_it_comes_from() -> None:
    for row in (*connectors().values(), *cables().values()):
        assert row.source
        assert all(source(key) for key in row.source)
