"""Sag along the depth and past the supports, and the range of the joints, on whole pieces.

The consoles are those that were solved by three-dimensional finite elements when the plane frame
was found wanting; what a verdict was to be is beside each. The engine is elastic, so it is held
against the sag of now: what creep makes of that follows the warmth of the air.
"""

import tomllib
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from engine_consoles import CONSOLES
from kit.board import Board
from kit.casework import Casework, build
from kit.checks.loads import Carried, LineLoad, loads
from kit.checks.strength import blocks, check_strength
from kit.checks.strength.creep import after_years
from kit.checks.strength.legs import leg_frame, portal_mm
from kit.checks.strength.racking import racking
from kit.checks.strength.sag import Line, dip, droop, rises, sags
from kit.checks.strength.solver import Member, Push, Support, solve
from kit.components.made import Fastening, Made, Means
from kit.design import Design
from kit.design_file import parse, rewrite
from kit.finding import Finding, Status
from kit.geometry import Box, Heading, Place

PLY = "maple-ply-3/4"


def work(**data: Any) -> Casework:
    return build(Design.model_validate({"name": "depth", **data}))


def case(width: str, height: str, depth: str, **more: str) -> dict[str, str]:
    return {"width": width, "height": height, "depth": depth, "stock": PLY, **more}


def now(piece: Casework, board: str) -> float:
    """Sag of a board before any creep, mm."""
    return sags(piece, loads(piece), piece.design.limits.sag).boards[board].now_mm


def found(piece: Casework, check: str) -> dict[str, Finding]:
    return {f.subject: f for f in check_strength(piece) if f.check == check}


BEAM_FAR_IN = """
name = "beam base narrow"
[shop]
units = "in"
[measured.thickness]
"maple-ply-3/4" = ["0.719 in"]
[case]
width = "72 in"
height = "18 in"
depth = "22 in"
stock = "maple-ply-3/4"
[[divider]]
at = "36 in"
[screen]
diagonal = "65 in"
mass_kg = 22
feet = "46 in"
bottom = "3 in"
foot_width = "2 in"
foot_depth = "11 in"
[[content]]
kind = "records"
bay = 1
[[content]]
kind = "records"
bay = 2
[base]
kind = "beam"
height = "4 in"
rail_in = "28 in"
"""


def test_ends_that_hang_past_a_base_fail_with_their_droop() -> None:
    """Engine: 8.5 mm now. It said 'held up all along and does not sag to speak of'."""
    sag = found(build(parse(BEAM_FAR_IN)), "sag")
    assert {f.status for f in sag.values()} == {Status.FAIL}
    assert sag["bottom"].measured == pytest.approx(2 * 8.5, rel=0.1)
    assert "droops" in sag["bottom"].why
    assert "bows up" in sag["top"].why
    fix = sag["bottom"].fix
    assert fix is not None
    assert fix.parameter == "base.rail_in"
    mended = build(parse(rewrite(BEAM_FAR_IN, {fix.parameter: fix.value})))
    assert found(mended, "sag")["bottom"].status is not Status.FAIL


def test_gear_at_the_front_of_a_shelf_on_pins() -> None:
    """Engine: 0.58 mm at the front edge, 1.16 after years in a cool bay, of 0.95 that are allowed;
    spread over the depth it was ok with 0.74.
    """
    piece = work(
        case=case("2400 mm", "500 mm", "450 mm", corner="rabbet"),
        divider=[{"at": f"{x} mm"} for x in (600, 1200, 1800)],
        shelf=[{"bay": 1, "clear_below": "220 mm", "held": "pins"}],
        gear=[
            {"name": "amp", "kind": "stereo-amplifier", "bay": 1, "on": "shelf-1", "mass_kg": 20}
        ],
        back={"stock": "maple-ply-1/4", "panels": [{"bays": [1]}]},
        base={"kind": "plinth", "height": "100 mm"},
    )
    shelf = found(piece, "sag")["shelf-1"]
    assert shelf.status is Status.FAIL
    assert now(piece, "shelf-1") == pytest.approx(1.16 / 2, rel=0.05)
    assert shelf.measured is not None
    assert shelf.measured > 1.16
    assert Line.FRONT.value in shelf.why


def test_a_glued_back_holds_the_top_as_a_web() -> None:
    """Engine: top ok with 1.24 mm after years; without its back it failed with 15.8. Shelf-2: 0.76
    now, 1.52 after years in a cool bay.
    """
    built = build(
        Design.model_validate({"name": "G", **CONSOLES["2100, legs, glued back, doors, lipped"]})
    )
    sag = found(built, "sag")
    assert sag["top"].status is Status.OK
    assert sag["top"].measured < 1.24
    assert sag["shelf-2"].status is Status.FAIL
    assert now(built, "shelf-2") == pytest.approx(1.52 / 2, rel=0.05)
    panels = [{"bays": [1, 2, 3], "removable": True}]
    plain = {**CONSOLES["2100, legs, glued back, doors, lipped"], "name": "G"}
    loose = build(
        Design.model_validate({**plain, "back": {"stock": "white-oak-ply-1/4", "panels": panels}})
    )
    screwed = found(loose, "sag")["top"]
    assert screwed.status is Status.FAIL
    assert "With its screwed backs on" in screwed.why


def test_a_let_in_back_stiffens_the_top() -> None:
    """Engine: 0.564 mm, which is 1.43 of 1.47 after years where the top is 10 K too warm.

    The air of the same report has it 16 K warmer, and creep follows: 1.57, a little too much.
    """
    piece = work(
        case={**case("1800 mm", "480 mm", "450 mm", corner="butt"), "stock": "baltic-birch-18"},
        divider=[{"at": "900 mm"}],
        screen={
            "diagonal": "75 in", "mass_kg": 38, "feet": "1250 mm", "foot_width": "40 mm",
            "foot_depth": "320 mm",
        },
        shelf=[{"bay": 1, "clear_below": "200 mm", "held": "pins"}],
        doors={"stock": "baltic-birch-12", "layout": "bypass", "count": 2},
        back={"stock": "baltic-birch-6", "method": "let-in", "panels": [{"bays": [1, 2]}]},
        base={"kind": "beam", "height": "90 mm", "rail_in": "200 mm"},
        gear=[
            {"name": "receiver", "kind": "receiver", "bay": 2, "mass_kg": 18},
            {"name": "amp", "kind": "stereo-amplifier", "bay": 1, "on": "shelf-1", "mass_kg": 12},
        ],
    )  # fmt: skip
    assert now(piece, "top") == pytest.approx(1.43 / after_years("baltic-birch-18", 10.0), rel=0.05)
    warm = rises(piece)["top"]
    assert warm > 10.0
    top = found(piece, "sag")["top"]
    assert top.status is Status.FAIL
    assert top.measured == pytest.approx(
        now(piece, "top") * after_years("baltic-birch-18", warm), rel=0.02
    )
    assert now(piece, "top") * after_years("baltic-birch-18", 10.0) < top.required


def test_records_two_feet_long_stand_on_four_pins() -> None:
    """Pin holes are as deep as the kit's own table has them; 8 mm deep they failed."""
    piece = work(
        case=case("1260 mm", "700 mm", "400 mm"),
        divider=[{"at": "630 mm"}],
        shelf=[{"bay": 1, "clear_below": "150 mm", "held": "pins"}],
        content=[{"kind": "records", "bay": 1, "on": "shelf-1"}],
    )
    pins = found(piece, "shelf pins hold")["shelf-1"]
    assert pins.status is not Status.FAIL
    assert pins.measured > 113.0  # what they were allowed
    holes = [f for n in ("side-left", "divider-1") for f in piece.by_name[n].features]
    assert {f.depth for f in holes if getattr(f, "purpose", None)} == {12.0}


def test_pin_holes_back_to_back_leave_wood_between_them() -> None:
    shelf = {"clear_below": "200 mm", "held": "pins"}
    piece = work(
        case=case("1260 mm", "500 mm", "400 mm"),
        divider=[{"at": "630 mm"}],
        shelf=[{**shelf, "bay": 1}, {**shelf, "bay": 2}],
    )
    depths = [f.depth for f in piece.by_name["divider-1"].features if getattr(f, "purpose", None)]
    assert len(depths) == 4
    assert 2 * max(depths) <= piece.by_name["divider-1"].thickness - 1.9
    said = {**shelf, "bay": 1, "holes": {"depth": "9 mm"}}
    piece = work(case=case("1260 mm", "500 mm", "400 mm"), shelf=[said])
    assert {
        f.depth for f in piece.by_name["side-left"].features if getattr(f, "purpose", None)
    } == {9.0}


def test_thin_plain_doors_fail_as_their_slatted_twins_do() -> None:
    piece = work(
        case=case("72 in", "30 in", "18 in"),
        divider=[{"at": "36 in"}],
        doors={"stock": "birch-ply-4", "style": "plain"},
    )
    doors = found(piece, "plain door is stiff")
    assert set(doors) == {"door-1", "door-2"}
    assert {f.status for f in doors.values()} == {Status.FAIL}
    assert all(f.measured > 10 for f in doors.values())
    thick = work(
        case=case("72 in", "18 in", "18 in"), doors={"stock": "baltic-birch-12", "style": "plain"}
    )
    assert {f.status for f in found(thick, "plain door is stiff").values()} == {Status.OK}


# --- lines ------------------------------------------------------------------------------------


def test_what_the_eye_sees_of_a_line() -> None:
    xs = np.linspace(0.0, 100.0, 101)
    sagging = -4.0 * xs * (100 - xs) / 100**2
    assert dip(xs, sagging, 0, 100) == pytest.approx((1.0, 50.0))
    assert dip(xs, -sagging, 0, 100) == pytest.approx((-1.0, 50.0))  # it bows up
    tilted = -0.02 * xs
    assert abs(dip(xs, tilted, 0, 100)[0]) < 1e-12
    assert droop(xs, tilted, 20, 100) == pytest.approx((1.6, 100.0))  # below its level
    rising = np.where(xs < 50, 0.02 * xs, 1.0)
    assert droop(xs, rising, 40, 100)[0] == pytest.approx(0.02 * 60 - 0.2)  # below its slope
    assert droop(xs, tilted[::-1], 80, 0) == pytest.approx((1.6, 0.0))


def test_a_load_at_the_front_is_seen_at_the_front() -> None:
    piece = work(
        case=case("1000 mm", "500 mm", "450 mm"),
        shelf=[{"bay": 1, "clear_below": "200 mm", "held": "pins"}],
    )
    shelf = piece.by_name["shelf-1"]
    low, high = shelf.box.lo[1], shelf.box.hi[1]
    sides = {}
    for word, depth in (("front", (low, low + 100)), ("rear", (high - 100, high)), ("even", None)):
        line = LineLoad("shelf-1", 200, 800, 20.0, "", depth)
        sides[word] = sags(piece, Carried(lines=(line,))).boards["shelf-1"]
    assert sides["front"].line is Line.FRONT
    assert sides["rear"].line is Line.REAR
    assert sides["front"].later_mm == pytest.approx(sides["rear"].later_mm, rel=1e-3)
    assert sides["front"].later_mm > 1.2 * sides["even"].later_mm


def test_a_board_of_any_name_that_is_held_is_judged() -> None:
    """Members and what holds them are read, and not names."""
    piece = work(case=case("1000 mm", "500 mm", "450 mm"))
    clear, stock = piece.bays[0].clear, piece.by_name["top"].stock
    box = Box(
        (clear.lo[0] - 6, clear.lo[1], 200.0),
        (clear.hi[0] + 6, clear.hi[1], 200.0 + stock.thickness_mm),
    )
    place = Place.of(box, Heading.RIGHT, Heading.BACK, Heading.UP)
    deck = Board(name="deck", stock=stock, length=box.size[0], width=box.size[1], place=place)
    glue = tuple(
        Fastening(board="deck", to=host, means=Means.GLUE) for host in ("side-left", "side-right")
    )
    more = piece.having(Made(boards=(deck,), fastenings=glue))
    assert "deck" in found(more, "sag")
    alone = piece.having(Made(boards=(replace(deck, name="loose"),)))
    assert found(alone, "sag")["loose"].status is Status.UNKNOWN


# --- the range of the joints ------------------------------------------------------------------


def test_typical_and_worst_come_from_one_table(example: Casework) -> None:
    for sag in sags(example, loads(example)).boards.values():
        assert sag.now_mm < sag.later_mm
        assert sag.worst_mm > 0.8 * sag.later_mm
    sway = racking(example)
    assert 1.5 < sway.worst_mm / sway.fixed_mm < 3.5


def test_a_fail_at_the_worst_alone_is_a_watch() -> None:
    piece = build(parse(BEAM_FAR_IN))
    case_ = found(piece, "racking")["case"]
    sway = racking(piece)
    assert sway.fixed_mm < sway.allowed_mm < sway.worst_mm
    assert case_.status is Status.WATCH
    assert piece.say(sway.worst_mm) in case_.why


def test_side_ends_stand_flat_on_the_floor_as_far_as_their_weight_goes() -> None:
    """Between clamped (0.30 mm by the engine, glued to the floor) and hinged (1.39)."""
    piece = work(
        case=case("1200 mm", "520 mm", "450 mm", corner="dado", inset_bottom="60 mm"),
    )
    from kit.checks.strength import racking as module

    flat = racking(piece).fixed_mm
    patch = pytest.MonkeyPatch()
    with patch.context() as p:
        p.setattr(module, "GRAVITY", 0.0)
        hinged = racking(piece).fixed_mm
        p.setattr(module, "GRAVITY", 1e6)
        clamped = racking(piece).fixed_mm
    assert clamped < flat < hinged
    assert clamped < 0.5 * hinged


def test_legs_sway_as_a_portal_with_sprung_corners() -> None:
    """The closed form against the plane frame, itself held against PyNite."""
    long, span, leg, rail, joint = 180.0, 1000.0, 3.4e9, 5e10, 7e5
    nodes = [(0.0, 0.0), (0.0, long), (span, long), (span, 0.0)]
    members = [
        Member(0, 1, leg, 1e9, spring_b=joint),
        Member(1, 2, rail, 1e9),
        Member(3, 2, leg, 1e9, spring_b=joint),
    ]
    hinged = [Support(0, x=float("inf")), Support(3, x=float("inf"))]
    sway = solve(nodes, members, hinged, [Push(1, x=50.0)]).moved[1, 0]
    assert portal_mm(25.0, long, leg, joint, span / (6 * rail)) == pytest.approx(sway, rel=0.01)


@pytest.mark.parametrize(("height", "status"), [("150 mm", Status.OK), ("400 mm", Status.FAIL)])
def test_tall_slender_legs_are_judged_by_themselves(height: str, status: Status) -> None:
    piece = work(
        case=case("1500 mm", "400 mm", "420 mm"),
        base={
            "kind": "legs", "height": height, "leg": "32 mm", "rail_height": "64 mm",
            "leg_stock": "hard-maple-board-8/4",
        },
    )  # fmt: skip
    legs = found(piece, "racking")["legs"]
    frame = leg_frame(piece)
    assert frame is not None
    assert frame.worst_mm > frame.sway_mm
    assert (legs.status is Status.FAIL) is (status is Status.FAIL)


def test_the_example_stands_as_it_did() -> None:
    from kit.design_file import example_text

    piece = build(parse(example_text()))
    assert tomllib.loads(example_text())
    assert Status.FAIL not in {f.status for f in check_strength(piece)}


@pytest.mark.parametrize("whole", [0, 10_000])
def test_equations_in_blocks_are_those_of_numpy(
    monkeypatch: pytest.MonkeyPatch, whole: int
) -> None:
    """Against the dense solution of numpy, on a matrix as sparse and as stiff as a case."""
    monkeypatch.setattr(blocks, "WHOLE", whole)
    random = np.random.default_rng(7)
    size = 400
    dense = np.zeros((size, size))
    made = blocks.Blocks([(0, 130), (130, 170), (300, 100)])
    for _ in range(300):
        start = int(random.integers(0, size - 40))
        places = start + np.sort(random.choice(40, 9, replace=False))
        form = random.normal(size=(3, 9)) * 10.0 ** random.uniform(0, 4)
        for matrix in (form.T @ form, np.eye(9)):
            made.add(places, matrix)
            dense[places[:, None], places] += matrix
    dense += np.eye(size)
    made.add(np.arange(size), np.eye(size))
    loads_ = random.normal(size=(size, 2))
    wanted = np.linalg.solve(dense, loads_)
    assert np.abs(made.solve(loads_) - wanted).max() < 1e-8 * np.abs(wanted).max()
