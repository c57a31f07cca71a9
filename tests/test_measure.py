"""Measures of a solid against closed forms written out here, and against the boards' own."""

from dataclasses import replace
from itertools import pairwise
from math import dist, pi, radians, sin

import pytest
from hypothesis import given

from kit import solid
from kit.board import Board, Feature, Surface
from kit.geometry import Drill, Heading, Place
from kit.joinery import (
    Chamfer,
    Dado,
    EndRabbet,
    Groove,
    Hole,
    HoleRow,
    Notch,
    PocketHoles,
    SlotField,
)
from kit.materials import stock
from kit.solid import measure
from profiles import PICTURES, examples
from strategies import built

#: No two sizes alike, so that no axis can be mixed up; mm.
LENGTH, WIDTH, THICK = 600.0, 300.0, 18.0
STOCK = stock("birch-ply-18", [THICK])
A, B = Surface.FACE_A, Surface.FACE_B

#: One place of each hand, neither along the axes of the room, and one upside down.
PLACES = {
    "right-handed": Place((7.0, 11.0, 13.0), Heading.UP, Heading.BACK, Heading.LEFT),
    "left-handed": Place((7.0, 11.0, 13.0), Heading.UP, Heading.BACK, Heading.RIGHT),
    "upside down": Place((-5.0, 0.5, 900.0), Heading.FRONT, Heading.DOWN, Heading.RIGHT),
}

each_place = pytest.mark.parametrize("place", PLACES.values(), ids=PLACES)


def a_board(place: Place, *features: Feature) -> Board:
    return Board(name="b", stock=STOCK, width=WIDTH, length=LENGTH, place=place, features=features)


def test_a_plain_board_is_a_box() -> None:
    found = measure(a_board(PLACES["right-handed"]))
    assert found.size == pytest.approx((LENGTH, WIDTH, THICK), abs=1e-6)
    assert found.box.lo == pytest.approx((0, 0, 0), abs=1e-6)
    assert found.volume_mm3 == pytest.approx(LENGTH * WIDTH * THICK, rel=1e-9)
    area = 2 * (LENGTH * WIDTH + WIDTH * THICK + THICK * LENGTH)
    assert found.area_mm2 == pytest.approx(area, rel=1e-9)
    assert len(found.flats) == 6
    assert (found.bores, found.openings, found.open_mm2) == ((), (), 0)


@each_place
def test_a_dado_has_two_walls_and_a_floor_from_the_datum_corner(place: Place) -> None:
    cut = Dado(surface=B, offset=200, width=18.4, depth=6, start=40, stop=WIDTH)
    found = measure(a_board(place, cut))
    lengths, widths, depths = found.planes
    assert lengths == pytest.approx((0, 200, 218.4, LENGTH), abs=1e-6)
    assert widths == pytest.approx((0, 40, WIDTH), abs=1e-6)
    assert depths == pytest.approx((0, 6, THICK), abs=1e-6)
    wood = LENGTH * WIDTH * THICK - 18.4 * 6 * (WIDTH - 40)
    assert found.volume_mm3 == pytest.approx(wood, rel=1e-9)
    floor = next(f for f in found.flats if f.axis == 2 and 1 < f.at < THICK - 1)
    assert floor.area_mm2 == pytest.approx(18.4 * (WIDTH - 40))
    assert not floor.outward  # face B is the lower one
    near, far = (next(f for f in found.flats if f.axis == 0 and abs(f.at - at) < 1e-6)
                 for at in (200, 218.4))  # fmt: skip
    assert near.outward
    assert not far.outward


@each_place
def test_holes_are_found_where_they_start_and_end(place: Place) -> None:
    through = Hole(surface=A, at=(150, 100), diameter=60)
    blind = HoleRow(surface=A, at=(64, 37), pitch=32, count=3, along=0, diameter=5, depth=8)
    edge = Hole(surface=Surface.EDGE_2, at=(400, 9), diameter=8, depth=40)
    found = measure(a_board(place, through, blind, edge))
    assert len(found.bores) == 5
    (large,) = (b for b in found.bores if b.diameter == pytest.approx(60))
    assert large.through
    assert large.start[:2] == pytest.approx((150, 100), abs=1e-5)
    assert large.length == pytest.approx(THICK)
    small = sorted(
        (b for b in found.bores if b.diameter == pytest.approx(5)), key=lambda b: b.start
    )
    assert [b.start for b in small] == [
        pytest.approx((64 + 32 * i, 37, THICK), abs=1e-5) for i in range(3)
    ]
    assert all(not b.through and b.end[2] == pytest.approx(THICK - 8) for b in small)
    (dowel,) = (b for b in found.bores if b.diameter == pytest.approx(8))
    assert dowel.axis == 1
    assert dowel.start == pytest.approx((400, WIDTH, 9), abs=1e-5)
    assert dowel.end == pytest.approx((400, WIDTH - 40, 9), abs=1e-5)
    assert found.open_mm2 == pytest.approx(pi * 30**2)


@each_place
def test_slots_are_openings_with_round_ends(place: Place) -> None:
    slots = SlotField(at=(300, 60), slot_length=480, slot_width=12.7, pitch=31.7, count=6)
    found = measure(a_board(place, slots))
    assert found.bores == ()
    assert len(found.openings) == 6
    one = (480 - 12.7) * 12.7 + pi * 6.35**2
    assert found.open_mm2 == pytest.approx(6 * one)
    first = found.openings[0]
    assert (*first.lo, *first.hi) == pytest.approx((60, 53.65, 540, 66.35), abs=1e-5)
    pitches = [b.lo[1] - a.lo[1] for a, b in pairwise(found.openings)]
    assert pitches == pytest.approx([31.7] * 5)


@each_place
def test_a_pocket_is_a_slanted_bore_and_its_pilot(place: Place) -> None:
    exit_ = Surface.END_2
    found = measure(a_board(place, PocketHoles(surface=B, exit=exit_, stations=(60,))))
    wide, pilot = sorted(found.bores, key=lambda b: -b.diameter)
    assert (wide.axis, pilot.axis) == (None, None)
    assert (wide.diameter, pilot.diameter) == pytest.approx((9.5, 4))
    assert not wide.through
    # the two together are the way from the face to the end at mid thickness, at 15 degrees
    assert wide.length + pilot.length == pytest.approx(THICK / 2 / sin(radians(15)))
    assert dist(wide.end, pilot.start) == pytest.approx(0, abs=1e-5) or dist(
        wide.end, pilot.end
    ) == pytest.approx(0, abs=1e-5)
    assert wide.start[2] == pytest.approx(0, abs=1e-5)
    assert found.openings == ()


def test_blind_holes_face_to_face_are_two() -> None:
    cuts = [Hole(surface=s, at=(100, 100), diameter=8, depth=7) for s in (A, B)]
    found = measure(a_board(PLACES["left-handed"], *cuts))
    assert sorted(b.start[2] for b in found.bores) == pytest.approx([0, THICK], abs=1e-5)
    assert [b.length for b in found.bores] == pytest.approx([7, 7])


def test_a_hole_that_a_larger_one_crosses_is_one() -> None:
    dowel = Hole(surface=Surface.END_1, at=(100, 9), diameter=10, depth=60)
    bolt = Hole(surface=A, at=(30, 100), diameter=6)
    found = measure(a_board(PLACES["left-handed"], dowel, bolt))
    large, small = sorted(found.bores, key=lambda bore: -bore.diameter)
    assert (small.through, small.length) == (True, pytest.approx(THICK))
    assert (large.through, large.length) == (False, pytest.approx(60))


def test_a_hole_through_a_rabbet_is_open_square_through() -> None:
    rabbet = EndRabbet(surface=B, offset=0, width=20, depth=12, start=0, stop=WIDTH)
    pin = Hole(surface=A, at=(10, 50), diameter=6, depth=6)
    found = measure(a_board(PLACES["right-handed"], rabbet, pin))
    (bore,) = found.bores
    assert bore.through
    assert bore.length == pytest.approx(6)
    assert found.open_mm2 == pytest.approx(pi * 9)


def test_a_chamfer_slants_and_a_notch_is_no_opening() -> None:
    cuts = (Chamfer(surface=A, on=(Surface.EDGE_1,), size=3), Notch(lo=(250, 210), hi=(330, 300)))
    found = measure(a_board(PLACES["right-handed"], *cuts))
    (slant,) = (f for f in found.flats if f.axis is None)
    assert slant.normal == pytest.approx((0, -(0.5**0.5), 0.5**0.5))
    assert slant.area_mm2 == pytest.approx(LENGTH * 3 * 2**0.5)
    assert found.planes[0] == pytest.approx((0, 250, 330, LENGTH), abs=1e-6)
    assert found.openings == ()


def test_a_board_that_lost_its_end_measures_short() -> None:
    long = a_board(PLACES["right-handed"])
    short = replace(long, length=LENGTH - 0.5)
    assert measure(long).size[0] - measure(short).size[0] == pytest.approx(0.5)


def test_two_trenches_that_cross_leave_their_planes() -> None:
    cuts = (
        Dado(surface=B, offset=200, width=20, depth=6, start=0, stop=WIDTH),
        Groove(surface=B, offset=30, width=7, depth=9, start=0, stop=LENGTH),
    )
    found = measure(a_board(PLACES["upside down"], *cuts))
    assert found.planes[2] == pytest.approx((0, 6, 9, THICK), abs=1e-6)
    assert found.planes[1] == pytest.approx((0, 30, 37, WIDTH), abs=1e-6)


@pytest.mark.slow
@examples(PICTURES, shrink=False)
@given(built())
def test_random_boards_measure_what_their_cuts_say(made) -> None:
    _, casework = made
    for board in casework.boards:
        found = measure(board)
        assert found.box.hi == pytest.approx(board.blank.hi, abs=1e-5)
        assert found.box.lo == pytest.approx(board.blank.lo, abs=1e-5)
        if any(board.meetings()):  # where cuts run into each other no closed form is exact
            continue
        assert found.volume_mm3 == pytest.approx(solid.solid(board).Volume(), rel=1e-9)
        # the kernel integrates by numbers, and walls of slanted bores not to the last digit
        slanted = any(bore.axis is None for bore in found.bores)
        tolerance = 2e-5 if slanted else 1e-6
        assert found.volume_mm3 == pytest.approx(board.volume_mm3, rel=tolerance)
        drills = [c for c in board.cutters if isinstance(c, Drill)]
        slots = [f for f in board.features if isinstance(f, SlotField)]
        assert len(found.bores) == len(drills)
        for drill in drills:
            ends = {True: (drill.entry, drill.end), False: (drill.end, drill.entry)}
            assert any(
                abs(bore.diameter - drill.diameter) < 1e-5
                and any(
                    dist(bore.start, a) < 1e-4 and dist(bore.end, b) < 1e-4
                    for a, b in ends.values()
                )
                for bore in found.bores
            )
        if slots:
            open_ = sum(slot.open_mm2 for slot in slots)
            holes = sum(pi * b.diameter**2 / 4 for b in found.bores if b.through and b.axis == 2)
            assert found.open_mm2 == pytest.approx(open_ + holes)


def test_the_kernel_is_asked_and_not_the_board(monkeypatch: pytest.MonkeyPatch) -> None:
    """A solid that is not that of its board shows: here one that is 2 mm too long."""
    board = a_board(PLACES["right-handed"])
    wrong = solid.solid(replace(board, length=LENGTH + 2))
    monkeypatch.setattr("kit.solid.measures.solid", lambda _: wrong)
    assert measure(board).size[0] == pytest.approx(LENGTH + 2)
