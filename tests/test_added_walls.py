"""Boards that no component knows: walls for the air, and unknown where geometry cannot judge them.

What an opening loses is worked out here by hand: the part that a board lies before, less the way
round it where it stands off.
"""

from collections.abc import Callable
from math import inf, pi
from typing import Any

import pytest

from kit.board import Board, Surface
from kit.casework import Casework
from kit.checks import cable_fill, check
from kit.checks.airflow import Opening, OpeningKind, check_airflow, climate, read_network
from kit.components.made import Fastening, Made, Means
from kit.finding import Finding, Status
from kit.geometry import Box, Heading, Place, Vec
from kit.joinery import Hole, Purpose, house
from kit.making.commissioning import commissioning

type Rebuild = Callable[[dict[str, Any]], Casework]

LEVEL = (Heading.RIGHT, Heading.BACK, Heading.UP)
FACING = (Heading.RIGHT, Heading.UP, Heading.FRONT)
UPRIGHT = (Heading.UP, Heading.BACK, Heading.LEFT)


def own(work: Casework, lo: Vec, hi: Vec, name: str = "own") -> Board:
    """A board of one's own from corner to corner; where `hi` is inf, as thick as its sheet."""
    stock = work.by_name["door-1"].stock
    axis = hi.index(inf)
    ways = (UPRIGHT, FACING, LEVEL)[axis]
    corner = tuple(a + stock.thickness_mm if b == inf else b for a, b in zip(lo, hi, strict=True))
    box = Box(lo, (corner[0], corner[1], corner[2]))
    return Board(
        name=name,
        stock=stock,
        length=box.size[ways[0].axis],
        width=box.size[ways[1].axis],
        place=Place.of(box, *ways),
    )


def opening(work: Casework, kind: OpeningKind, a: int, b: int) -> Opening:
    """The first opening of a kind between two zones."""
    ways = read_network(work).openings
    return next(o for o in ways if o.kind is kind and (o.a, o.b) == (a, b))


def lost_mm2(work: Casework, added: Board, kind: OpeningKind, a: int, b: int) -> float:
    before = opening(work, kind, a, b).area_m2
    return (before - opening(work.having(Made((added,))), kind, a, b).area_m2) * 1e6


def air(work: Casework) -> list[Finding]:
    return list(check_airflow(work, cable_fill(work)))


# --- what a board covers --------------------------------------------------------------------


def test_a_board_flat_on_a_hole_shuts_what_it_covers(example: Casework) -> None:
    """A cable hole of back-1 is 60 mm wide; the board ends on its middle."""
    (_, y, _), t = example.by_name["back-1"].box.lo, example.by_name["door-1"].thickness
    hole = opening(example, OpeningKind.CABLE_HOLE, 0, 5)
    half = own(example, (hole.x_mm, y - t, 30.0), (hole.x_mm + 100.0, inf, 200.0))
    whole = own(example, (hole.x_mm - 100.0, y - t, 30.0), (hole.x_mm + 100.0, inf, 200.0))
    assert lost_mm2(example, half, OpeningKind.CABLE_HOLE, 0, 5) == pytest.approx(
        hole.area_m2 * 1e6 / 2
    )
    shut = read_network(example.having(Made((whole,))))
    assert (OpeningKind.CABLE_HOLE, 0, 5) not in {(o.kind, o.a, o.b) for o in shut.openings}


def test_a_board_behind_the_slats_shuts_as_much_of_each_slot(example: Casework) -> None:
    """It hides 100 mm of the height of every slot in the lower level of bay 1."""
    slats = opening(example, OpeningKind.SLATS, 0, -1)
    (x0, _, _), (x1, y1, _) = (example.by_name["door-1"].box.lo, example.by_name["door-1"].box.hi)
    low, high = 1000 * slats.low_m, 1000 * slats.high_m
    behind = own(example, (x0, y1, low - 10.0), (x1, inf, low + 100.0))
    share = 100.0 / (high - low)
    lost = lost_mm2(example, behind, OpeningKind.SLATS, 0, -1)
    assert lost == pytest.approx(share * slats.area_m2 * 1e6)


def test_what_stands_off_leaves_the_way_round_it(example: Casework) -> None:
    """300 x 200 mm, 40 mm before the open front of bay 2: round it 2 x 500 mm x 40 mm are free."""
    t = example.by_name["door-1"].thickness
    off = own(example, (700.0, -40.0 - t, 100.0), (1000.0, inf, 300.0))
    lost = lost_mm2(example, off, OpeningKind.OPEN_FRONT, 2, -1)
    assert lost == pytest.approx(300.0 * 200.0 - 2 * 500.0 * 40.0)
    far = own(example, (700.0, -70.0 - t, 100.0), (1000.0, inf, 300.0))
    assert lost_mm2(example, far, OpeningKind.OPEN_FRONT, 2, -1) == 0.0


def test_two_boards_cover_a_place_once(example: Casework) -> None:
    """One behind the other on the open front: 300 x 200 mm, and 100 mm more of the second."""
    t = example.by_name["door-1"].thickness
    near = own(example, (700.0, -t, 100.0), (1000.0, inf, 300.0))
    behind = own(example, (700.0, -2 * t, 100.0), (1100.0, inf, 300.0), "own-2")
    before = opening(example, OpeningKind.OPEN_FRONT, 2, -1).area_m2
    both = example.having(Made((near, behind)))
    lost = (before - opening(both, OpeningKind.OPEN_FRONT, 2, -1).area_m2) * 1e6
    # the second stands off by one thickness, and leaves as much round its 400 x 200 mm
    assert lost == pytest.approx(300.0 * 200.0 + max(0.0, 100.0 * 200.0 - t * 2 * 600.0))


def test_a_fin_takes_its_thickness_of_an_open_back(example: Casework) -> None:
    deep = example.bays[1].clear.hi[1]
    fin = own(example, (900.0, 400.0, 50.0), (inf, deep, 350.0))
    lost = lost_mm2(example, fin, OpeningKind.OPEN_BACK, 2, 5)
    assert lost == pytest.approx(fin.thickness * 300.0)


def test_holes_of_an_added_board_stay_open_and_join_nothing(example: Casework) -> None:
    """A panel over the open back with two holes of 80 mm leaves those; in a bay it opens none."""
    lo, hi = example.bays[1].clear.lo, example.bays[1].clear.hi
    panel = own(example, (lo[0], hi[1], lo[2]), (hi[0], inf, hi[2]))
    holes = tuple(
        Hole(surface=Surface.FACE_A, at=(x, 200.0), diameter=80.0, purpose=Purpose.VENT)
        for x in (200.0, 600.0)
    )
    vented = example.having(Made((panel.having(*holes),)))
    left = opening(vented, OpeningKind.OPEN_BACK, 2, 5).area_m2 * 1e6
    assert left == pytest.approx(2 * pi / 4 * 80.0**2)
    inside = own(example, (100.0, 400.0, 30.0), (400.0, inf, 120.0))
    hole = Hole(surface=Surface.FACE_A, at=(100.0, 40.0), diameter=30.0, purpose=Purpose.VENT)
    ways = read_network(example.having(Made((inside.having(hole),)))).openings
    assert OpeningKind.VENT not in {o.kind for o in ways}


def test_a_strip_in_the_gap_behind_a_shelf(example: Casework) -> None:
    """200 mm of the gap, over its whole depth."""
    shelf, clear = example.by_name["shelf-1"].box, example.bays[0].clear
    strip = own(example, (100.0, shelf.hi[1], shelf.lo[2]), (300.0, clear.hi[1], inf))
    lost = lost_mm2(example, strip, OpeningKind.SHELF_GAP, 0, 1)
    assert lost == pytest.approx(200.0 * (clear.hi[1] - shelf.hi[1]))


def test_a_strip_in_the_gap_before_a_divider(example: Casework) -> None:
    """The gap before divider-2 leads past a door; a strip beside it shuts a part of its height."""
    divider = example.by_name["divider-2"].box
    strip = own(example, (divider.hi[0], 22.0, 50.0), (inf, 120.0, 150.0))
    gap = opening(example, OpeningKind.DIVIDER_GAP, -1, 3)
    wide = divider.lo[1] - example.by_name["door-2"].box.hi[1]
    lost = lost_mm2(example, strip, OpeningKind.DIVIDER_GAP, -1, 3)
    assert gap.width_m == pytest.approx(wide / 1000)
    assert lost == pytest.approx((divider.lo[1] - 22.0) * 100.0)


def test_a_walled_up_bay_is_warmer(example: Casework) -> None:
    """Doors of one's own before the open bay, and a panel behind it."""
    lo, hi = example.bays[1].clear.lo, example.bays[1].clear.hi
    t = example.by_name["door-1"].thickness
    front = own(example, (lo[0], -t, lo[2]), (hi[0], inf, hi[2]))
    back = own(example, (lo[0], hi[1], lo[2]), (hi[0], inf, hi[2]), "own-2")
    receiver = next(p for p in example.inside if p.item.name == "receiver")
    free = climate(example).intake_c(receiver)
    shut = climate(example.having(Made((front, back)))).intake_c(receiver)
    assert shut > free + 10.0


# --- what parts the air of a bay ------------------------------------------------------------


def plank(work: Casework, deep: float, *, hosts: bool = True) -> Made:
    """A level board through the upper level of bay 1, from its front, so deep."""
    lo, hi = work.bays[0].clear.lo, work.bays[0].clear.hi
    board = own(work, (lo[0], lo[1], 350.0), (hi[0], lo[1] + deep, inf))
    glue = Fastening(board="own", to="side-left, divider-1", means=Means.GLUE)
    return Made((board,), (), (glue,) if hosts else ())


def test_a_board_through_a_bay_makes_its_air_unknown(example: Casework) -> None:
    deep = example.bays[0].clear.size[1]
    parted = air(example.having(plank(example, 0.6 * deep)))
    as_built = {(f.check, f.subject): f for f in air(example)}
    of_bay = {p.item.name for p in example.inside if p.within.number == 1}
    for finding in parted:
        named = set(finding.subject.split(", ")) & of_bay
        if finding.check in ("intake air", "intake air at plate load") and named:
            assert finding.status is Status.UNKNOWN
            assert finding.measured is None
            assert "own parts the air of bay 1, level 2 in two" in finding.why
        elif finding.check == "intake air":
            known = as_built[finding.check, finding.subject]
            assert finding.status is known.status
    assert {n for f in parted if f.status is Status.UNKNOWN for n in f.subject.split(", ")} == {
        "disc player", "streaming box", "box adaptor",
    }  # fmt: skip
    assert not [f for f in parted if f.check == "wood above a device" and "player" in f.subject]


def test_one_that_leaves_more_than_half_of_the_way_does_not(example: Casework) -> None:
    deep = example.bays[0].clear.size[1]
    short = air(example.having(plank(example, 0.4 * deep)))
    assert Status.UNKNOWN not in {f.status for f in short}


def test_two_that_part_it_together_do(example: Casework) -> None:
    """Edge to edge, each less than half as deep as the bay."""
    lo, hi = example.bays[0].clear.lo, example.bays[0].clear.hi
    middle = lo[1] + 0.4 * (hi[1] - lo[1])
    first = own(example, (lo[0], lo[1], 350.0), (hi[0], middle, inf))
    second = own(example, (lo[0], middle, 350.0), (hi[0], hi[1] - 40.0, inf), "own-2")
    (told,) = {
        f.why for f in air(example.having(Made((first, second)))) if f.status is Status.UNKNOWN
    }
    assert told.startswith("own and own-2 part the air of bay 1, level 2 in two")


def test_a_lining_parts_nothing(example: Casework) -> None:
    """A board flat against the side has air on one face only."""
    lo, hi = example.bays[0].clear.lo, example.bays[0].clear.hi
    lining = own(example, lo, (inf, hi[1], 221.0))
    assert Status.UNKNOWN not in {f.status for f in air(example.having(Made((lining,))))}


def test_a_fan_of_such_a_bay_gets_no_figure(rebuilt: Rebuild) -> None:
    fan = {"name": "fan", "bay": 1, "free_flow_m3_h": 40, "max_pressure_pa": 15}
    work = rebuilt({"fan": [fan]})
    parted = air(work.having(plank(work, 0.6 * work.bays[0].clear.size[1])))
    told = [f for f in parted if f.subject == "fan" and f.check not in ("fan is held",)]
    assert {f.check for f in told if f.status is Status.UNKNOWN} == {"fan has an intake"}
    assert {f.check for f in told} <= {"fan has an intake", "fan stands clear"}


def test_a_thermometer_in_such_a_bay_is_promised_nothing(example: Casework) -> None:
    deep = example.bays[0].clear.size[1]
    readings = commissioning(example.having(plank(example, 0.6 * deep)))
    unknown = {r.device for r in readings if r.film_k is None}
    assert unknown == {"disc player", "streaming box", "box adaptor"}
    (said,) = {r.sentence(25.0).partition("not known")[2] for r in readings if r.film_k is None}
    assert "own parts the air of bay 1" in said


# --- what geometry cannot judge -------------------------------------------------------------


def about(work: Casework, name: str) -> dict[str, Finding]:
    """The unknown findings about a board of one's own, by check; no question twice."""
    found = [f for f in check(work) if f.subject == name and f.status is Status.UNKNOWN]
    checks = {f.check: f for f in found}
    assert len(checks) == len(found)
    return checks


def test_the_sag_of_a_board_that_nothing_holds_is_unknown(example: Casework) -> None:
    deep = 0.4 * example.bays[0].clear.size[1]
    loose = about(example.having(plank(example, deep, hosts=False)), "own")
    assert set(loose) == {"sag", "board is held"}
    assert "say what holds it" in loose["board is held"].why
    held = example.having(plank(example, deep))
    assert about(held, "own") == {}
    (sag,) = [f for f in check(held).about("sag") if f.subject == "own"]
    assert sag.measured is not None


def test_a_board_that_lies_on_another_all_along_does_not_sag(example: Casework) -> None:
    floor = example.bays[0].clear.lo
    mat = own(example, (60.0, 300.0, floor[2]), (120.0, 500.0, inf))
    assert set(about(example.having(Made((mat,))), "own")) == {"board is held"}


def test_a_board_held_by_what_the_sag_does_not_follow_is_unknown(example: Casework) -> None:
    """Screwed to the back alone: a cantilever that no upright holds."""
    y = example.bays[0].clear.hi[1]
    ledge = own(example, (60.0, y - 100.0, 350.0), (500.0, y, inf))
    screws = Fastening(board="own", to="back-1", means=Means.GLUE)
    told = about(example.having(Made((ledge,), (), (screws,))), "own")
    assert set(told) == {"sag"}
    assert "back-1" in told["sag"].why


def test_a_board_in_a_groove_is_held(example: Casework) -> None:
    bottom = example.by_name["bottom"]
    low = bottom.box.hi[2] - bottom.thickness / 3
    fin = own(example, (250.0, 300.0, low), (inf, 420.0, 120.0))
    housed = example.having(Made((fin,), (("bottom", house(bottom, fin)),)))
    assert about(housed, "own") == {}
    floor = bottom.box.hi[2]
    stands = own(example, (250.0, 300.0, floor), (inf, 420.0, 120.0))
    assert set(about(example.having(Made((stands,))), "own")) == {"board is held"}


def test_screws_that_nobody_chose_are_unknown(example: Casework) -> None:
    """Screws without a piece of the tables: where they end is not known."""
    floor = example.bays[0].clear.lo[2]
    fin = own(example, (250.0, 300.0, floor), (inf, 420.0, 120.0))
    screws = Fastening(board="own", to="bottom", means=Means.SCREWS, count=3)
    told = about(example.having(Made((fin,), (), (screws,))), "own")
    assert set(told) == {"fasteners grip"}


def test_a_front_of_ones_own_may_be_a_door(example: Casework) -> None:
    lo, hi = example.bays[1].clear.lo, example.bays[1].clear.hi
    t = example.by_name["door-1"].thickness
    front = own(example, (lo[0], -t, lo[2]), (hi[0], inf, hi[2]))
    told = about(example.having(Made((front,))), "own")
    assert set(told) == {"board is held", "front can be opened"}
    assert "bay 2" in told["front can be opened"].why
    # glued on it is no door, and a rail that leaves most of the front is none either
    glue = Fastening(board="own", to="bottom", means=Means.GLUE)
    assert about(example.having(Made((front,), (), (glue,))), "own") == {}
    rail = own(example, (lo[0], -t, hi[2] - 60.0), (hi[0], inf, hi[2]))
    assert set(about(example.having(Made((rail,))), "own")) == {"board is held"}
