"""Rays through slats: against closed forms, against chance, and on the example."""

from collections.abc import Callable
from dataclasses import replace
from math import atan2, degrees, hypot
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit import solid
from kit.board import Board, Surface
from kit.casework import Casework
from kit.checks.sight import check_sight, views
from kit.checks.sight.rays import (
    gap_angle_deg,
    hits_box,
    off_axis_deg,
    open_share,
    slot_angle_deg,
    stopped,
)
from kit.finding import Finding, Status
from kit.geometry import Box, Heading, Place
from kit.joinery import Hole, Purpose, SlotField
from kit.materials import stock
from profiles import CONSOLE, examples

type Rebuild = Callable[[dict[str, Any]], Casework]


def door(
    width: float = 20.0, thickness: float = 18.0, count: int = 1, pitch: float = 40.0
) -> Board:
    """An upright board 600 wide and 500 high, its first slot in the middle of the room."""
    made = replace(stock("birch-ply-18"), thickness_mm=thickness)
    box = Box((-300.0, 0.0, 0.0), (300.0, thickness, 500.0))
    place = Place.of(box, Heading.UP, Heading.RIGHT, Heading.FRONT)
    slots = SlotField(
        at=(250.0, 300.0), slot_length=400.0, slot_width=width, pitch=pitch, count=count
    )
    return Board(name="door", stock=made, length=500.0, width=600.0, place=place, features=(slots,))


def rays(board: Board, eye: tuple[float, float], degrees_off: float) -> bool:
    """Whether a level ray at this bearing from far in front reaches `eye` (x, y)."""
    far = 3000.0
    t = np.tan(np.radians(degrees_off))
    end = np.array([[eye[0], eye[1], 250.0]])
    start = end + np.array([[far * t, -far, 0.0]])
    return not stopped(start, end, board)[0]


@pytest.mark.parametrize(("width", "thickness"), [(12.7, 12.0), (20.0, 18.0), (6.0, 19.0)])
def test_the_steepest_ray_through_a_slot(width: float, thickness: float) -> None:
    # from one wall at the front to the other at the rear: atan(w / t)
    board, limit = door(width, thickness), slot_angle_deg(width, thickness)
    assert limit == pytest.approx(degrees(atan2(width, thickness)))
    assert not any(rays(board, (x, thickness + 100.0), limit + 0.5) for x in range(-200, 100))
    assert any(rays(board, (x, thickness + 100.0), limit - 0.5) for x in np.arange(-200, 100, 0.1))


@pytest.mark.parametrize(
    ("width", "set_back", "told"), [(20.0, 20.0, 26.6), (40.0, 20.0, 45.0), (50.0, 100.0, 14.0)]
)
def test_an_eye_behind_a_thin_gap(width: float, set_back: float, told: float) -> None:
    # published sight test: a receiver set back s behind a gap w sees +-atan(w / 2s)
    assert gap_angle_deg(width, set_back) == pytest.approx(told, abs=0.1)
    thin = 0.01
    board = door(width, thin)
    for off in (-1, 1):
        assert rays(board, (0.0, thin + set_back), off * (told - 0.3))
        assert not rays(board, (0.0, thin + set_back), off * (told + 0.3))


@pytest.mark.parametrize(("width", "thickness"), [(12.7, 12.0), (20.0, 18.0)])
def test_the_share_square_on_a_field_is_slot_over_pitch(width: float, thickness: float) -> None:
    # parallel rays at an angle a see w - t tan(a) of each pitch
    board = door(width, thickness, count=5, pitch=40.0)
    n = 200_000
    for off in (0.0, 15.0, 30.0):
        t = np.tan(np.radians(off))
        wanted = max(0.0, width - thickness * t) / 40.0
        # points over one pitch round the third slot, at mid-thickness
        x = 80.0 + np.linspace(-20.0, 20.0, n, endpoint=False)
        middle = np.stack([x, np.full(n, thickness / 2), np.full(n, 250.0)], axis=1)
        way = np.array([t, -1.0, 0.0])
        seen = ~stopped(middle + 500 * way, middle - 500 * way, board)
        assert seen.mean() == pytest.approx(wanted, abs=2e-4)


def test_the_grid_agrees_with_chance(example: Casework) -> None:
    # the same rays drawn at random: the share to its own standard error (4 of them)
    (view,) = (v for v in views(example) if v.placed.item.name == "disc player")
    rng = np.random.default_rng(1)
    n = 4000
    spread = [view.start.min(axis=0), view.start.max(axis=0)]
    cell = (spread[1] - spread[0]) / np.array([47.0, 1.0, 7.0])
    start = rng.uniform(spread[0] - cell / 2, spread[1] + cell / 2, (n, 3))
    start[:, 1] = view.start[0, 1]
    eye = view.placed.eye
    assert eye is not None
    end = np.array(eye) + rng.uniform(-5.0, 5.0, (n, 3)) * np.array([1.0, 0.0, 1.0])
    end[:, 1] = view.end[0, 1]
    stop = np.zeros(n, dtype=bool)
    for board in example.boards:
        stop |= stopped(start, end, board)
    share = 1 - stop.mean()
    error = (share * (1 - share) / n) ** 0.5
    assert abs(share - view.share) < 4 * error


def test_boxes_stop_what_goes_through_them() -> None:
    box = Box((0.0, 0.0, 0.0), (10.0, 10.0, 10.0))
    start = np.array([[5.0, -5, 5], [5, -5, 15], [-5, -5, 5], [5, -5, 5], [10, -5, 5]])
    end = np.array([[5.0, 20, 5], [5, 20, 15], [20, 20, 5], [5, -1, 5], [10, 20, 5]])
    assert hits_box(start, end, box).tolist() == [True, False, True, False, False]


def test_the_open_share_is_that_of_the_solid(example: Casework) -> None:
    for name in ("door-1", "door-2"):
        board = example.by_name[name]
        bare = replace(board, features=())
        gone = 1 - solid.solid(board).Volume() / solid.solid(bare).Volume()
        assert open_share(board) == pytest.approx(gone, rel=1e-6)
    hole = door(20.0).having(
        Hole(surface=Surface.FACE_A, at=(250.0, 100.0), diameter=60.0, purpose=Purpose.CABLE)
    )
    area = (400 - 20) * 20 + np.pi * (20**2 + 60**2) / 4
    assert open_share(hole) == pytest.approx(area / (500 * 600))


@examples(CONSOLE)
@given(
    st.floats(6.0, 30.0),
    st.floats(1.0, 8.0),
    st.floats(9.0, 24.0),
    st.floats(1.0, 6.0),
    st.integers(0, 10_000),
)
def test_wider_sees_no_less_and_thicker_no_more(
    width: float, wider: float, thickness: float, thicker: float, seed: int
) -> None:
    rng = np.random.default_rng(seed)
    start = rng.uniform([-900, -2500, 0], [900, -2000, 500], (300, 3))
    end = rng.uniform([-50, 60, 100], [50, 200, 400], (300, 3))

    def seen(w: float, t: float) -> np.ndarray:
        return ~stopped(start, end, door(w, t))

    base = seen(width, thickness)
    assert not (base & ~seen(width + wider, thickness)).any()
    assert not (seen(width, thickness + thicker) & ~base).any()


def found(work: Casework, check: str) -> dict[str, Finding]:
    return {f.subject: f for f in check_sight(work) if f.check == check}


def test_a_plain_door_stops_the_remote(rebuilt: Rebuild) -> None:
    work = rebuilt({"doors.style": "plain"})
    finding = found(work, "remote control")["disc player"]
    assert (finding.status, finding.measured) == (Status.FAIL, 0.0)
    assert "door-1 slid to the right it is 100%" in finding.why
    (view,) = (v for v in views(work) if v.placed.item.name == "disc player")
    assert [share for _, share in view.helping] == sorted(
        (share for _, share in view.helping), reverse=True
    )
    assert all(share > view.share for _, share in view.helping)
    assert "repeater" in finding.why
    assert found(work, "remote control")["receiver"].status is Status.OK  # its bay is open


def test_what_each_place_sees_adds_up_to_the_whole(example: Casework) -> None:
    for view in views(example):
        shares = view.by_place
        assert shares.mean() == pytest.approx(view.share)
        assert view.places == pytest.approx(np.count_nonzero(shares) / len(shares))
        # places go from left to right, and a place that sees nothing has no ray to show
        first = view.start[:: len(view.start) // len(shares)]
        assert (np.diff(first[:, 0]) > 0).all()
        assert [ray is None for ray in view.sample] == (shares == 0).tolist()
        for place, ray in zip(first, view.sample, strict=True):
            if ray is not None:
                assert ray[0][0] == place[0]
                start, end = ray[0][None], ray[1][None]
                assert not any(stopped(start, end, board)[0] for board in example.boards)


def test_seats_that_see_nothing_are_told(example: Casework) -> None:
    # 23 % of all rays arrive, yet more than half of the places have none: both are said
    finding = found(example, "remote control")["disc player"]
    (view,) = (v for v in views(example) if v.placed.item.name == "disc player")
    assert view.places < 0.5
    assert f"from {view.places:.0%} of the places" in finding.why
    assert "places" not in found(example, "remote control")["receiver"].why


def test_the_frame_below_the_slots_hides_a_low_receiver_from_far_away(rebuilt: Rebuild) -> None:
    # the highest ray crosses the rear face of the door at z = eye + s (hand - eye) / (d + s + t)
    for distance, hidden in (("2 m", False), ("8 m", True)):
        work = rebuilt({"room.seats.distance": distance, "room.seats.eye_height": "1.1 m"})
        (view,) = (v for v in views(work) if v.placed.item.name == "streaming box")
        door = work.by_name["door-1"]
        slot = door.place.box_to_room(door.cutters[0].box)
        _, y, z = (float(v) for v in view.end[-1])
        hand = float(view.start[:, 2].max())
        top = z + (y - door.box.hi[1]) * (hand - z) / (y + work.design.room.seats.distance)
        assert (top < slot.lo[2]) is hidden
        assert (view.share == 0.0) is hidden


def test_without_seats_nothing_is_known(rebuilt: Rebuild) -> None:
    findings = list(check_sight(rebuilt({"room.seats": None})))
    assert {f.subject for f in findings} == {"receiver", "disc player", "streaming box"}
    assert {f.status for f in findings} == {Status.UNKNOWN}


def test_a_receiver_sees_45_degrees_to_each_side(rebuilt: Rebuild) -> None:
    # seats far to the side: beyond 45 degrees nothing counts (receiver makers' notes)
    aside = {"room.seats.distance": "1 m", "room.seats.across": "2.5 m", "room.seats.width": "1 m"}
    finding = found(rebuilt(aside), "remote control")["receiver"]
    assert finding.measured == 0.0


def test_a_receiver_sees_45_degrees_up_as_well(rebuilt: Rebuild) -> None:
    # standing close before it: hands 1.5 m above a low receiver and 1 m away are 56 degrees up
    near = {"room.seats.distance": "1 m", "room.seats.width": "0 mm"}
    high = near | {"room.seats.eye_height": "2.2 m"}
    assert found(rebuilt(high), "remote control")["receiver"].measured == 0.0
    assert found(rebuilt(near | {"room.seats.eye_height": "1.1 m"}), "remote control")[
        "receiver"
    ].measured == pytest.approx(1.0)


def test_an_angle_off_straight_ahead_is_that_of_a_cone() -> None:
    # 3-4-5: 3 aside and 4 up are 5 off; 5 ahead makes 45 degrees, 12 ahead atan(5 / 12)
    end = np.zeros((3, 3))
    start = np.array([[3.0, -5.0, 4.0], [-3.0, -12.0, 4.0], [0.0, 7.0, 0.0]])
    assert off_axis_deg(start, end) == pytest.approx([45.0, degrees(atan2(5, 12)), 180.0])


def test_metal_gear_hides_an_aerial(rebuilt: Rebuild) -> None:
    box = {"gear.3.bay": 2, "gear.3.across": "13 in", "gear.3.set_back": "450 mm"}
    assert found(rebuilt(box), "radio gets out")["streaming box"].status is Status.FAIL
    front = {"gear.3.set_back": "0 mm", "gear.3.across": "0 mm"}
    assert found(rebuilt(front), "radio gets out")["streaming box"].status is Status.OK


def test_the_eye_is_where_the_maker_says(rebuilt: Rebuild) -> None:
    work = rebuilt({"gear.2.eye": {"across": "40 mm", "up": "20 mm"}})
    placed = work.gear[1]
    assert placed.eye == pytest.approx(
        (placed.body.lo[0] + 40, placed.body.lo[1], placed.body.lo[2] + 20)
    )
    assert hypot(*(a - b for a, b in zip(placed.eye, placed.body.lo, strict=True))) > 40
