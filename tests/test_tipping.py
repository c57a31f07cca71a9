"""Tipping where it can happen: forward always, backward only where no wall is in reach.

What a wall takes is statics by hand: moments about the rear edge that the piece turns over.
"""

from collections.abc import Callable
from math import cos, pi, radians, sin
from pathlib import Path
from typing import Any

import pytest

from kit.casework import Casework, build
from kit.checks import check
from kit.checks.loads import GRAVITY, loads
from kit.checks.screen import check_screen, picture_depth
from kit.checks.stability import check_stability
from kit.checks.stability.states import State, Way, states
from kit.checks.stability.tipping import restraint_force_n, touch_tilt_deg
from kit.design_file import parse, rewrite
from kit.finding import Finding, Status

type Rebuild = Callable[[dict[str, Any]], Casework]

ORDINARY = (Path(__file__).parent / "inputs" / "ordinary-72.toml").read_text(encoding="utf-8")
PUSH, SLOPE = "stands a push at the top", "stands on a slope"


def ordinary(**changes: Any) -> Casework:
    said = {key.replace("__", "."): value for key, value in changes.items()}
    return build(parse(rewrite(ORDINARY, said)))


def about(work: Casework) -> dict[str, Finding]:
    return {f.check: f for f in check_stability(work)}


def named(work: Casework) -> dict[str, State]:
    return {s.name: s for s in states(work, loads(work))}


# --- the geometry of leaning ------------------------------------------------------------


@pytest.mark.parametrize(
    ("reach", "height", "gap", "degrees"),
    [
        # a right-angled triangle: the corner swings from straight up to 30 degrees, 0.5 h away
        (0.0, 500.0, 250.0, 30.0),
        # 3-4-5: from (0, 5) to (3, 4), atan(3/4)
        (0.0, 500.0, 300.0, 36.8699),
        # a corner 100 behind the edge and 100 up is as far out as it comes at 45 degrees
        (100.0, 100.0, 100.0 * (2**0.5 - 1), 45.0),
        # it touches already
        (20.0, 500.0, 0.0, 0.0),
    ],
)
def test_the_tilt_at_which_it_touches(
    reach: float, height: float, gap: float, degrees: float
) -> None:
    assert touch_tilt_deg(reach, height, gap) == pytest.approx(degrees, abs=1e-4)


def test_a_wall_farther_than_the_corner_swings_is_never_touched() -> None:
    assert touch_tilt_deg(0.0, 500.0, 500.1) is None
    assert touch_tilt_deg(100.0, 100.0, 42.0) is None


def test_what_the_wall_takes_by_hand() -> None:
    # 50 kg whose centre is 0.10 m before the edge, pushed with 98.0665 N (20 % of it) at 1.5 m,
    # held at 0.5 m: (98.0665 x 1.5 - 490.3325 x 0.1) / 0.5 = 196.133 N
    assert restraint_force_n(98.0665, 1500, 50, 100, 500) == pytest.approx(196.133)


def test_leaning_in_equilibrium() -> None:
    """The forces on the piece as it leans sum to no turning about its rear edge."""
    work = ordinary()
    wall = named(work)["empty, screen in place"].wall
    assert wall is not None
    for state in states(work, loads(work)):
        tilt = radians(wall.tilt_deg)
        back, up = state.arm(Way.BACKWARD), state.height
        arm = back * cos(tilt) - up * sin(tilt)
        reach = work.box.hi[1] - state.base.hi[1]
        high = work.frame.top.box.hi[2] - state.base.lo[2]
        at = high * cos(tilt) - reach * sin(tilt)
        # the corner lies in the plane of the wall
        assert reach * cos(tilt) + high * sin(tilt) == pytest.approx(reach + 25.0)
        push = 60.0
        held = state.on_wall(push)
        turning = push * state.push * cos(tilt) - state.mass.kg * GRAVITY * arm - held * at
        assert turning == pytest.approx(0.0, abs=1e-6) or (held == 0.0 and turning < 0.0)


# --- verdicts ---------------------------------------------------------------------------


def test_a_console_an_inch_from_its_wall_does_not_fail_backward() -> None:
    """Once 'FAIL 54 N ... tip it backward', with a wall 1 in behind."""
    work = ordinary()
    report = check(work)
    assert [(f.check, f.subject) for f in report if f.status is Status.FAIL] == []
    push = about(work)[PUSH]
    assert "tip it forward" in push.why
    assert "the wall" in push.why
    assert "lbf" in push.why
    assert " N " not in push.why
    metric = about(ordinary(shop__units="mm"))[PUSH]
    assert " N " in metric.why
    assert "lbf" not in metric.why


def test_a_piece_that_stands_free_is_judged_backward_too() -> None:
    push = about(ordinary(room__free_standing=True))[PUSH]
    assert push.status is Status.FAIL
    assert "backward" in push.why
    assert push.measured == pytest.approx(54.0, abs=1.0)  # as it was judged before
    # a wall too far away to stop it is none
    assert about(ordinary(room__wall_gap="20 in"))[PUSH] == push


def test_a_wall_holds_only_what_would_come_back() -> None:
    """Where its centre has passed over the edge before it touches, it falls against the wall."""
    work = ordinary(room__wall_gap="6 in")
    placed = named(work)["empty, screen in place"]
    assert placed.wall is not None
    assert placed.wall.tilt_deg > placed.angle(Way.BACKWARD)
    assert Way.BACKWARD in placed.ways
    near = named(ordinary())["empty, screen in place"]
    assert near.wall is not None
    assert near.wall.tilt_deg < near.angle(Way.BACKWARD)
    assert Way.BACKWARD not in near.ways


def test_forward_is_judged_in_every_state() -> None:
    names = named(ordinary())
    assert all(Way.FORWARD in state.ways for state in names.values())
    # pushed with the screen at the front edge it tips sooner than the rule asks: it is told
    # where the feet belong, and there it stands the push of the rule
    work = ordinary()
    push = about(work)[PUSH]
    front = names["empty, screen at the front edge"]
    assert push.required is not None
    assert front.force(Way.FORWARD) < push.required
    assert push.status is Status.WATCH
    told = push.why.split("no nearer to the front edge than ")[1].split(":")[0]
    there = build(parse(rewrite(ORDINARY, {"screen.set_back": told})))
    again = about(there)[PUSH]
    assert again.status is not Status.FAIL
    assert again.measured == pytest.approx(push.required, abs=0.5)
    nearer = about(build(parse(rewrite(ORDINARY, {"screen.set_back": "0 in"}))))[PUSH]
    assert nearer.status is Status.FAIL
    assert "tip it forward" in nearer.why


def test_doors_slide_under_the_screen_too(example: Casework) -> None:
    names = {s.name for s in states(example, loads(example))}
    assert "loaded, doors to the left" in names
    if loads(example).screen:
        assert "empty, doors to the right, screen at the front edge" in names


# --- one place of the screen ------------------------------------------------------------


def test_the_screen_has_one_place() -> None:
    """'feet in depth' once had the feet at the front edge where tipping had them at the rear."""
    work = ordinary()
    (feet,) = [f for f in check_screen(work) if f.check == "feet in depth"]
    assert "5 in from its front" in feet.why
    assert "as far back as they go" in feet.why
    # 16 in of top, feet 11 in deep: their middle is 10 1/2 in from the front, everywhere
    middle = 10.5 * 25.4
    screen = work.design.screen
    assert screen is not None
    assert picture_depth(work, screen) == pytest.approx(middle)
    for foot in loads(work).points:
        assert foot.depth_mm is not None
        assert sum(foot.depth_mm) / 2 == pytest.approx(middle)
    placed = named(work)["empty, screen in place"]
    bare = named(work)["empty"]
    kg = placed.mass.kg - bare.mass.kg
    at = (placed.mass.kg * placed.mass.at[1] - bare.mass.kg * bare.mass.at[1]) / kg
    assert at == pytest.approx(middle)


def test_feet_of_unknown_depth_stand_alike_everywhere() -> None:
    work = ordinary(screen__foot_depth=None)
    screen = work.design.screen
    assert screen is not None
    (depth, *_) = [p.depth_mm for p in loads(work).points]
    assert depth is not None
    assert picture_depth(work, screen) == pytest.approx(sum(depth) / 2)


def test_the_angle_is_a_plain_arc() -> None:
    # small tilts: gap over height
    assert touch_tilt_deg(0.0, 1000.0, 1.0) == pytest.approx(0.001 * 180 / pi, rel=1e-6)
