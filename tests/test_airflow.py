"""The airflow network of consoles: balances, directions, what is read off the boards, verdicts.

Balances hold by physics; that more heat is hotter and more vent cooler is common sense. What an
opening measures is worked out here from the numbers of the design.
"""

import itertools
from collections.abc import Callable
from dataclasses import replace
from math import pi
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kit import sources
from kit.casework import Casework
from kit.checks.airflow import (
    ROOM,
    Link,
    Network,
    NoAnswerError,
    Opening,
    OpeningKind,
    Zone,
    ZoneKind,
    check_airflow,
    climate,
    evening,
    quick_rules,
    read_network,
    rises_by_area_k,
    size_fan_m3_h,
    size_vents,
    steady,
    system,
)
from kit.checks.airflow.air import effective_area_m2, vented_rise_k
from kit.checks.airflow.equations import start
from kit.checks.airflow.layout import blows_into, check_recirculation
from kit.checks.airflow.sizing import allowed_rise_k, rise_with_fan_k, rise_with_vents_k
from kit.checks.airflow.solve import Solution, TooHotError
from kit.checks.airflow.solve import film as film_of
from kit.checks.airflow.told import told_c
from kit.components import gear_item
from kit.design_file import DesignFileError, from_data
from kit.errors import BuildError
from kit.finding import Finding, Status
from kit.gear import Face
from kit.geometry import Box, Heading
from profiles import CONSOLE, LISTS, examples
from strategies import assemble, built, designs

type Rebuild = Callable[[dict[str, Any]], Casework]

CP = 1006.0

#: The receiver in bay 1, behind a slatted door and below the disc player.
SHUT_IN = {
    "back.panels": [{"bays": [1], "holes": []}, {"bays": [2]}, {"bays": [3]}],
    "gear.1.bay": 1,
}


# --- balances -------------------------------------------------------------------------


def balances(net: Network, solution: Solution, heat_w: np.ndarray) -> tuple[float, float]:
    """Greatest imbalance of mass and heat, as shares of all that moves; reckoned from the
    openings and boards themselves, apart from the solver."""
    n = len(net.zones)
    rise = np.append(solution.rise_k, 0.0)
    there, back = solution.opening_kg_s()
    mass, heat = np.zeros(n + 1), np.append(heat_w, 0.0)
    moved = 1e-12
    for opening, ab, ba in zip(net.openings, there, back, strict=True):
        a, b = opening.a, opening.b
        mass[a] += ba - ab
        mass[b] += ab - ba
        carried = CP * (ab * rise[a] - ba * rise[b])
        heat[a] -= carried
        heat[b] += carried
        moved += ab + ba
    for link in net.links:
        through = link.ua_w_k * (rise[link.a] - rise[link.b])
        heat[link.a] -= through
        heat[link.b] += through
    scale_w = max(float(heat_w.sum()), 1e-6)
    # what reaches the room is what the gear gives off
    assert heat[n] == pytest.approx(heat_w.sum(), rel=1e-6, abs=1e-9)
    return float(np.abs(mass[:n]).max() / moved), float(np.abs(heat[:n]).max() / scale_w)


HEATS = st.lists(st.floats(0.0, 120.0), min_size=45, max_size=45)


@pytest.mark.slow
@examples(times=5)
@given(built(), HEATS, st.integers(0, 5), st.floats(5.0, 40.0))
def test_mass_and_heat_balance_on_any_console(
    made: tuple[Any, Casework], heats: list[float], door: int, room_c: float
) -> None:
    work = made[1]
    net = read_network(work, open_bay=door if 0 < door <= len(work.bays) else None)
    heat_w = np.array([w if z.bay else 0.0 for z, w in zip(net.zones, heats, strict=False)])
    solution = steady(system(net, heat_w, room_c))
    mass, heat = balances(net, solution, heat_w)
    assert mass < 1e-6
    assert heat < 1e-6
    assert solution.rise_k.min() > -1e-6  # nothing cools the air below that of the room


@examples(LISTS)
@given(built(), HEATS)
def test_the_jacobian_is_the_slope_of_the_residual(
    made: tuple[Any, Casework], heats: list[float]
) -> None:
    net = read_network(made[1])
    equations = system(net, np.array(heats[: len(net.zones)]), 25.0)
    rng = np.random.default_rng(7)
    x = start(equations) + rng.normal(0.0, 0.05, equations.n + equations.m)
    way = rng.normal(0.0, 1.0, len(x))
    step = 1e-7
    slope = (equations.residual(x + step * way) - equations.residual(x - step * way)) / (2 * step)
    reckoned = equations.jacobian(x) @ way
    assert reckoned == pytest.approx(slope, rel=1e-3, abs=1e-3 * float(np.abs(reckoned).max()))


@examples(CONSOLE)
@given(built(), HEATS)
def test_more_heat_is_hotter(made: tuple[Any, Casework], heats: list[float]) -> None:
    net = read_network(made[1])
    heat_w = np.array([w if z.bay else 0.0 for z, w in zip(net.zones, heats, strict=False)])
    if heat_w.sum() < 1.0:
        return
    try:
        less = steady(system(net, heat_w, 25.0)).rise_k.max()
        more = steady(system(net, 1.3 * heat_w, 25.0)).rise_k.max()
    except TooHotError:
        assume(False)  # shut in, there is no answer to hold the other against
    assert more > less


@pytest.mark.slow
def test_wide_ways_at_rest_settle() -> None:
    """Bays that are open to the wall behind closed doors: next to no pressure drives the air
    there, and Newton's method alone goes to and fro about the way it turns."""
    boxes = [
        ((18, 42, 18), (168, 341.5, 78)),
        ((18, 42, 96), (168, 341.5, 282)),
        ((186, 42, 18), (1475, 341.5, 106.5)),
        ((186, 42, 124.5), (1475, 341.5, 216)),
        ((186, 42, 252), (1475, 341.5, 282)),
        ((0, 341.5, 0), (1493, 341.5, 300)),
    ]
    ways = [
        (OpeningKind.OPEN_BACK, 2, 5, 0.11408, 0.018, 0.106, 0.088, 0.0),
        (OpeningKind.OPEN_BACK, 3, 5, 0.11794, 0.124, 0.216, 0.091, 0.0),
        (OpeningKind.OPEN_BACK, 4, 5, 0.03867, 0.252, 0.282, 0.03, 0.0),
        (OpeningKind.SHELF_GAP, 3, 4, 0.02514, 0.234, 0.234, 0.019, 0.036),
        (OpeningKind.LEAK, 0, ROOM, 1e-5, 0.078, 0.078, 0.001, 0.018),
        (OpeningKind.LEAK, 1, ROOM, 1e-5, 0.282, 0.282, 0.001, 0.018),
        (OpeningKind.LEAK, 5, ROOM, 1e-5, 0.3, 0.3, 0.001, 0.018),
    ]
    boards = [
        (1, ROOM, 0.1376),
        (0, 1, 0.1243),
        (3, ROOM, 0.0709),
        (4, ROOM, 1.1829),
        (2, 3, 0.9934),
    ]
    names = ("kind", "a", "b", "area_m2", "low_m", "high_m", "width_m", "depth_m")
    net = Network(
        tuple(Zone(f"zone {n}", Box(*box)) for n, box in enumerate(boxes)),
        tuple(Opening(**dict(zip(names, way, strict=True))) for way in ways),
        tuple(Link(a=a, b=b, ua_w_k=ua) for a, b, ua in boards),
    )
    for warm in range(30, 55):
        heat_w = np.array([0.0, warm, 0.0, 81.0, 0.0, 0.0])
        mass, heat = balances(net, steady(system(net, heat_w, 5.0)), heat_w)
        assert mass < 1e-6
        assert heat < 1e-6


BOXES = {
    "heat_w": st.floats(5.0, 500.0),
    "low": st.floats(1e-3, 0.05),
    "high": st.floats(1e-3, 0.05),
    "height": st.floats(0.1, 1.5),
    "ua": st.floats(0.0, 8.0),
}


def box_rise(heat_w: float, low: float, high: float, height: float, ua: float) -> float:
    zone = Zone("box", Box((0.0, 0.0, 0.0), (600.0, 400.0, 1000.0 * height)), ZoneKind.BAY, 1)
    vents = tuple(
        Opening(
            kind=OpeningKind.VENT,
            a=0,
            b=ROOM,
            area_m2=area,
            low_m=z,
            high_m=z,
            width_m=0.05,
            depth_m=0.018,
        )
        for area, z in ((low, 0.0), (high, height))
    )
    net = Network((zone,), vents, (Link(a=0, b=ROOM, ua_w_k=ua),))
    return float(steady(system(net, np.array([heat_w]), 25.0)).rise_k[0])


@given(**BOXES)
def test_one_box_goes_the_right_way(**box: float) -> None:
    vents = effective_area_m2(box["low"], box["high"])
    assume(vented_rise_k(box["heat_w"], vents, box["height"], 25.0, ua_w_k=box["ua"]) < 150.0)
    rise = box_rise(**box)
    assert box_rise(**(box | {"heat_w": 1.1 * box["heat_w"]})) > rise
    assert box_rise(**(box | {"low": 1.1 * box["low"]})) < rise
    assert box_rise(**(box | {"high": 1.1 * box["high"]})) < rise
    assert box_rise(**(box | {"height": 1.1 * box["height"]})) < rise
    assert box_rise(**(box | {"ua": box["ua"] + 0.5})) < rise


def test_past_the_formulas_there_is_no_answer() -> None:
    with pytest.raises(NoAnswerError, match="past the range"):
        box_rise(5000.0, 1e-3, 1e-3, 0.1, 0.0)


def test_no_heat_is_no_rise(example: Casework) -> None:
    net = read_network(example)
    solution = steady(system(net, np.zeros(len(net.zones)), 25.0))
    assert np.abs(solution.rise_k).max() < 1e-9
    assert np.abs(solution.flows.mass_kg_s).max() < 1e-9


def test_more_vent_is_cooler_and_more_fan_too(rebuilt: Rebuild) -> None:
    state = climate(rebuilt(SHUT_IN))
    hot = state.casework.gear[0]
    rises = rises_by_area_k(state, hot, [0.0, 1e3, 4e3, 1.6e4, 6.4e4])
    assert all(a > b for a, b in itertools.pairwise(rises))
    fans = [rise_with_fan_k(state, hot, flow) for flow in (5.0, 20.0, 80.0)]
    assert fans == sorted(fans, reverse=True)


def test_the_same_answer_twice(example: Casework) -> None:
    assert climate(example).air_c == climate(example).air_c


# --- what is read off the boards ------------------------------------------------------


def ways(net: Network, kind: OpeningKind) -> list[Opening]:
    return [o for o in net.openings if o.kind is kind]


def test_zones_of_the_example(example: Casework) -> None:
    names = [zone.name for zone in read_network(example).zones]
    assert names == [
        "bay 1, level 1",
        "bay 1, level 2",
        "bay 2",
        "bay 3, level 1",
        "bay 3, level 2",
        "behind the case",
        "inside the plinth",
    ]


def test_open_fronts_and_backs(example: Casework) -> None:
    net = read_network(example)
    clear = example.bays[1].clear
    (back,) = ways(net, OpeningKind.OPEN_BACK)
    assert back.area_m2 == pytest.approx(clear.size[0] * clear.size[2] / 1e6)
    (front,) = ways(net, OpeningKind.OPEN_FRONT)
    # the doors pass their dividers by 1/2 in, and a divider is thicker than that
    assert front.area_m2 == pytest.approx(clear.size[0] * clear.size[2] / 1e6)
    assert (front.low_m, front.high_m) == pytest.approx((clear.lo[2] / 1000, clear.hi[2] / 1000))


def test_slats_are_open_where_nothing_stands_behind_them(example: Casework) -> None:
    net = read_network(example)
    door = example.by_name["door-1"]
    (field,) = [f for f in door.features if hasattr(f, "open_mm2")]
    inside = [o for o in ways(net, OpeningKind.SLATS) if o.board == "door-1"]
    found = sum(o.area_m2 for o in inside) * 1e6
    # less what lies behind the shelf, which is as thick as a share of a slot
    shelf = example.by_name["shelf-1"].thickness
    assert found == pytest.approx(field.open_mm2 * (1 - shelf / field.slot_length), rel=0.01)
    assert {o.a for o in inside} == {0, 1}


def test_a_door_over_another_shuts_its_slats(rebuilt: Rebuild) -> None:
    changes = {"doors.layout": "bypass", "divider": [], "shelf": [], "gear": [], "hole": []}
    panels = {"back.panels": [{"bays": [1]}]}
    apart = rebuilt(changes | panels | {"doors.overlap": "20 mm"})
    over = rebuilt(changes | panels | {"doors.overlap": "600 mm"})
    area = [sum(o.area_m2 for o in ways(read_network(w), OpeningKind.SLATS)) for w in (apart, over)]
    fields = [
        sum(f.open_mm2 for b in w.boards for f in b.features if hasattr(f, "open_mm2")) / 1e6
        for w in (apart, over)
    ]
    assert area[0] == pytest.approx(fields[0])
    assert area[1] < 0.6 * fields[1]
    gap = ways(read_network(apart), OpeningKind.DOOR_GAP)
    assert any(o.depth_m == pytest.approx(0.020) for o in gap)


def test_cables_take_their_share_of_a_hole(example: Casework) -> None:
    full = pi / 4 * 0.060**2
    for fill, share in ((None, 0.6), ({"back-1": 0.0}, 1.0), ({"back-1": 1.0}, 0.0)):
        net = read_network(example, cable_fill=fill)
        holes = [o for o in ways(net, OpeningKind.CABLE_HOLE) if o.board == "back-1"]
        assert sum(o.area_m2 for o in holes) == pytest.approx(2 * share * full)
    # one of the two opens below the shelf, one above
    both = [o for o in ways(read_network(example), OpeningKind.CABLE_HOLE) if o.board == "back-1"]
    assert [o.a for o in both] == [0, 1]


def test_holes_in_dividers_join_bays(example: Casework) -> None:
    net = read_network(example)
    joined = {o.board: {o.a, o.b} for o in ways(net, OpeningKind.CABLE_HOLE)}
    assert joined["divider-1"] == {0, 2}
    assert joined["divider-2"] == {2, 3}


def test_the_gaps_of_a_shelf(example: Casework) -> None:
    net = read_network(example)
    bay = example.bays[0]
    gaps = [o for o in ways(net, OpeningKind.SHELF_GAP) if o.board == "shelf-1"]
    rear = max(gaps, key=lambda o: o.y_mm)
    assert rear.area_m2 == pytest.approx(50.8 * bay.clear.size[0] / 1e6, rel=1e-3)
    assert {o.width_m > 0 for o in gaps} == {True}
    # an adjustable shelf leaves a gap at each end as well
    pinned = [o for o in ways(net, OpeningKind.SHELF_GAP) if o.board == "shelf-2"]
    assert len(pinned) == len(gaps) + 1


def test_the_wall_limits_the_way_out(rebuilt: Rebuild) -> None:
    rises = []
    for gap in ("0 mm", "10 mm", "50 mm", "150 mm"):
        state = climate(rebuilt(SHUT_IN | {"room.wall_gap": gap, "doors.style": "plain"}))
        behind = sum(o.area_m2 for o in ways(state.network, OpeningKind.BEHIND))
        case = state.casework.frame.right.box.hi
        mm = float(gap.split()[0])
        plinth = 4 * 25.4
        assert behind == pytest.approx(mm * (case[0] + 2 * (case[2] + plinth)) / 1e6)
        rises.append(state.intake_c(state.casework.gear[0]))
    assert rises == sorted(rises, reverse=True)


def test_a_notch_and_a_vent_in_the_top_count(rebuilt: Rebuild) -> None:
    hole = {"board": "top", "along": "10 in", "across": "8 in", "diameter": "50 mm"}
    notch = {"board": "back-1", "along": ["0 mm", "60 mm"], "across": ["100 mm", "160 mm"]}
    net = read_network(rebuilt({"hole": [hole], "notch": [notch]}))
    (top,) = [o for o in net.openings if o.board == "top"]
    assert (top.a, top.b) == (1, ROOM)
    assert top.low_m == top.high_m
    (cut,) = ways(net, OpeningKind.NOTCH)
    assert cut.area_m2 == pytest.approx(60 * 60 / 1e6)
    assert net.zones[cut.b].kind is ZoneKind.BEHIND


def test_a_bottom_on_the_floor_is_shut(rebuilt: Rebuild) -> None:
    hole = {"hole": [{"board": "bottom", "along": "10 in", "across": "8 in", "diameter": "50 mm"}]}
    assert [o.b for o in read_network(rebuilt(hole)).openings if o.board == "bottom"] == [0]
    on_floor = read_network(rebuilt(hole | {"base": None}))
    assert [o for o in on_floor.openings if o.board == "bottom"] == []


@examples(CONSOLE)
@given(designs(doors=True).map(assemble), st.data())
def test_open_doors_uncover_their_bay(made: tuple[Any, Casework], data: Any) -> None:
    work = made[1]
    bay = data.draw(st.sampled_from(work.bays))

    def front(net: Network) -> float:
        return sum(
            o.area_m2 for o in ways(net, OpeningKind.OPEN_FRONT) if net.zones[o.a].bay == bay.number
        )

    assert front(read_network(work, open_bay=bay.number)) >= front(read_network(work)) - 1e-9


# --- the evening ----------------------------------------------------------------------


def test_an_evening_nears_the_steady_state(example: Casework) -> None:
    state = climate(example)
    film = evening(state, 3.0)
    assert film.times_s[-1] == pytest.approx(3 * 3600)
    assert film.air_c.shape == (48, len(state.network.zones))
    assert np.all(np.diff(film.air_c, axis=0) > -1e-6)
    assert np.all(film.air_c[-1] <= np.array(state.air_c) + 1e-6)
    assert evening(state, 200.0, 60).air_c[-1] == pytest.approx(np.array(state.air_c), abs=0.01)
    # four times finer steps change nothing to speak of
    assert evening(state, 3.0, 192).air_c[-1] == pytest.approx(film.air_c[-1], abs=0.05)


def test_a_store_warms_as_its_time_constant_says() -> None:
    # one zone that only conducts: θ = W/UA·(1 - exp(-t·UA/C)); exact solution
    zone = Zone("box", Box((0.0, 0.0, 0.0), (600.0, 400.0, 400.0)), ZoneKind.BAY, 1)
    pinhole = Opening(
        kind=OpeningKind.LEAK,
        a=0,
        b=ROOM,
        area_m2=1e-4,
        low_m=0.2,
        high_m=0.2,
        width_m=0.01,
        depth_m=0.0,
    )
    ua, capacity = 2.0, 7200.0
    equations = system(
        Network((zone,), (pinhole,), ()),
        np.array([20.0]),
        25.0,
        conductance_w_k=np.array([[ua]]),
        capacity_j_k=np.array([capacity]),
    )
    times, states = film_of(equations, 3.0, 600)
    exact = 20.0 / ua * (1 - np.exp(-times * ua / capacity))
    assert np.array([s.rise_k[0] for s in states]) == pytest.approx(exact, abs=0.05)


def test_air_that_nothing_holds_has_no_answer() -> None:
    zone = Zone("box", Box((0.0, 0.0, 0.0), (600.0, 400.0, 400.0)), ZoneKind.BAY, 1)
    with pytest.raises(NoAnswerError, match="neither an opening nor a board"):
        steady(system(Network((zone,), (), ()), np.array([20.0]), 25.0))


# --- sizing ---------------------------------------------------------------------------


def test_vents_bring_the_device_to_its_limit(rebuilt: Rebuild) -> None:
    state = climate(rebuilt(SHUT_IN | {"room.wall_gap": "150 mm"}))
    hot = state.casework.gear[0]
    size = size_vents(state, hot, 45.0, uncertain=0.0)
    assert size.each_mm2 is not None
    assert rise_with_vents_k(state, hot, size.each_mm2) == pytest.approx(20.0, abs=0.05)
    assert size.holes == pytest.approx(size.each_mm2 / (pi / 4 * 60**2), abs=1.0)
    wary = size_vents(state, hot, 45.0)
    assert wary.each_mm2 is None or wary.each_mm2 > size.each_mm2
    flow = size_fan_m3_h(state, hot, 45.0, uncertain=0.0)
    assert flow is not None
    assert rise_with_fan_k(state, hot, flow) == pytest.approx(20.0, abs=0.05)


def test_nothing_is_wanted_where_it_is_cool_and_nothing_helps_below_the_room(
    example: Casework,
) -> None:
    state = climate(example)
    receiver = example.gear[0]
    assert size_vents(state, receiver, 60.0).each_mm2 == 0.0
    assert size_fan_m3_h(state, receiver, 60.0) == 0.0
    assert size_vents(state, receiver, 24.0).each_mm2 is None
    assert size_fan_m3_h(state, receiver, 24.0) is None
    assert allowed_rise_k(state, 38.0) == pytest.approx(10.0)


def test_quick_rules_are_cross_checks_with_a_notice(rebuilt: Rebuild) -> None:
    state = climate(rebuilt(SHUT_IN))
    hot = state.casework.gear[0]
    rules = quick_rules(state, hot)
    assert [rule.label for rule in rules] == ["Flow by heat", "Flow by volume"]
    # three cubic feet a minute for each cubic foot
    zone = state.network.zones[state.here.holding(hot)]
    feet3 = zone.box.volume_mm3 / 304.8**3
    assert rules[1].flow_m3_h == pytest.approx(3 * feet3 * 1.699, rel=1e-3)
    for rule in rules:
        apart = not 0.5 <= rule.flow_m3_h / rule.model_m3_h <= 2.0
        assert bool(rule.notice) is apart


# --- verdicts -------------------------------------------------------------------------


def found(work: Casework, check: str = "intake air") -> dict[str, Finding]:
    return {f.subject: f for f in check_airflow(work) if f.check == check}


def test_the_example_stays_cool(example: Casework) -> None:
    findings = list(check_airflow(example))
    warm = {p.item.name: p.kind for p in example.gear if p.kind.typical_w}
    assert {name: f.status for name, f in found(example).items()} == dict.fromkeys(warm, Status.OK)
    for name, finding in found(example).items():
        assert finding.required == warm[name].max_intake_c
        assert 25.0 < finding.measured < finding.required
    not_ok = [(f.check, f.subject) for f in findings if f.status is not Status.OK]
    assert not_ok == [
        ("intake air at plate load", "receiver"),
        ("intake air at plate load", "disc player, streaming box"),
    ]
    for finding in findings:
        assert sources.source(finding.source)
        assert set(finding.boards) <= set(example.by_name)
    # the least tolerant device is the one with the least to spare, not the hottest
    least = [f.subject for f in findings if "least tolerant" in f.why]
    assert set(least) == {"disc player"}


def test_shut_in_it_does_not(rebuilt: Rebuild) -> None:
    work = rebuilt(SHUT_IN)
    finding = found(work)["receiver"]
    assert finding.status is Status.FAIL
    assert finding.measured is not None
    assert finding.measured > 40.0
    # what would cure the device that bears least
    (least,) = [f for f in found(work).values() if "least tolerant" in f.why]
    assert "fan of" in least.why
    state = climate(work)
    assert finding.measured == told_c(state.intake_c(work.gear[0]))
    pair = found(work, "hot gear below")["receiver below disc player"]
    assert pair.status is Status.FAIL


def test_the_room_and_the_band(rebuilt: Rebuild, example: Casework) -> None:
    receiver = found(example)["receiver"]
    rise = receiver.measured - 25.0
    for room_c, status in (
        (40.0 - 0.9 * rise, Status.FAIL),
        (40.0 - 1.1 * rise, Status.WATCH),
        (40.0 - 1.8 * rise, Status.OK),
    ):
        finding = found(rebuilt({"room.air_c": room_c}))["receiver"]
        assert finding.measured - room_c == pytest.approx(rise, abs=0.7)  # whole degrees
        assert finding.status is status


def test_unknown_heat_is_never_ok(rebuilt: Rebuild, monkeypatch: pytest.MonkeyPatch) -> None:
    real = gear_item.gear_kind
    monkeypatch.setattr(
        gear_item,
        "gear_kind",
        lambda key: replace(real(key), typical_w=None) if key == "receiver" else real(key),
    )
    findings = found(rebuilt({}))
    assert {f.status for f in findings.values()} == {Status.UNKNOWN}
    assert all("receiver" in f.why for f in findings.values())


def test_past_every_formula_fails(rebuilt: Rebuild, monkeypatch: pytest.MonkeyPatch) -> None:
    real = gear_item.gear_kind
    monkeypatch.setattr(gear_item, "gear_kind", lambda key: replace(real(key), plate_w=9e5))
    findings = list(check_airflow(rebuilt(SHUT_IN)))
    (plate,) = [f for f in findings if f.check == "intake air at plate load"]
    assert plate.status is Status.FAIL
    assert "past the range" in plate.why
    # what could be reckoned still is
    assert found(rebuilt({}))["network switch"].status is Status.OK


def test_an_answer_that_is_not_found_is_unknown(
    rebuilt: Rebuild, monkeypatch: pytest.MonkeyPatch
) -> None:
    def lost(*_: object) -> Solution:
        raise NoAnswerError("the flows do not settle")

    monkeypatch.setattr("kit.checks.airflow.climates.steady", lost)
    findings = list(check_airflow(rebuilt({})))
    assert {f.status for f in findings} == {Status.UNKNOWN}
    assert all("do not settle" in f.why for f in findings)


def test_an_unknown_limit_is_unknown(rebuilt: Rebuild, monkeypatch: pytest.MonkeyPatch) -> None:
    real = gear_item.gear_kind
    monkeypatch.setattr(
        gear_item,
        "gear_kind",
        lambda key: replace(real(key), max_intake_c=None) if key == "receiver" else real(key),
    )
    findings = found(rebuilt({}))
    assert findings.pop("receiver").status is Status.UNKNOWN
    assert {f.status for f in findings.values()} == {Status.OK}


def test_gear_without_heat_needs_nothing(rebuilt: Rebuild) -> None:
    speaker = {"name": "centre speaker", "kind": "centre-speaker", "bay": 2}
    assert list(check_airflow(rebuilt({"gear": [speaker]}))) == []
    assert list(check_airflow(rebuilt({"gear": []}))) == []


@examples(CONSOLE)
@given(built())
def test_verdicts_of_any_console(made: tuple[Any, Casework]) -> None:
    for finding in check_airflow(made[1]):
        assert (finding.status is Status.UNKNOWN) == (finding.measured is None)
        assert sources.source(finding.source)


# --- fans and layout ------------------------------------------------------------------

FAN = {"name": "fan", "bay": 1, "free_flow_m3_h": 40, "max_pressure_pa": 15}


def test_a_fan_cools_its_bay(rebuilt: Rebuild, example: Casework) -> None:
    before = found(example)["disc player"].measured
    after = found(rebuilt({"fan": [FAN]}))["disc player"].measured
    assert after < before - 2.0


def test_a_fan_without_an_intake(rebuilt: Rebuild) -> None:
    shut = {"doors.style": "plain", "hole": [], "back.panels": [{"bays": [1]}], "fan": [FAN]}
    without = found(rebuilt(shut), "fan has an intake")["fan"]
    assert without.status is Status.FAIL
    slatted = found(rebuilt({"doors.style": "slatted"}), "fan has an intake")["fan"]
    assert slatted.status is Status.OK
    # the same the other way round: a fan that blows in needs a way out
    blowing = found(rebuilt({"doors.style": "plain", "fan": [FAN | {"moves": "in"}]}))
    assert blowing
    outlet = found(rebuilt({}), "fan has an intake")["fan"]
    assert outlet.status is Status.FAIL


def test_a_short_circuit(rebuilt: Rebuild) -> None:
    # a hole in the panel 12 in up, beside the fan that sits high in the same panel
    near = found(rebuilt({"fan": [FAN]}), "fan short circuit")["fan"]
    holes = [{"diameter": "60 mm", "across": "17 in", "up": "3 in"}]
    apart = found(rebuilt({"fan": [FAN], "back.panels.1.holes": holes}), "fan short circuit")["fan"]
    assert apart.measured < near.measured


def test_each_fan_is_judged_by_its_own_flow(rebuilt: Rebuild) -> None:
    two = [FAN, FAN | {"bay": 3, "free_flow_m3_h": 80}]
    why = [f.why for f in check_airflow(rebuilt({"fan": two})) if f.check == "fan has an intake"]
    assert ["of the 40 m³/h" in why[0], "of the 80 m³/h" in why[1]] == [True, True]


def test_a_fan_in_a_bay_that_is_not_there(rebuilt: Rebuild) -> None:
    with pytest.raises(BuildError, match="fan is meant for bay 4, and the case has 3"):
        rebuilt({"fan": [FAN | {"bay": 4}]})


def test_either_unit_of_flow(example_data: dict[str, Any]) -> None:
    fan = {"name": "fan", "bay": 1, "max_pressure_pa": 15}
    for more, flow in (({"free_flow_m3_h": 34}, 34.0), ({"free_flow_cfm": 20}, 33.98)):
        (read,) = from_data(example_data | {"fan": [fan | more]}).fans
        assert read.m3_h == pytest.approx(flow, abs=0.01)
    for wrong in ({}, {"free_flow_m3_h": 34, "free_flow_cfm": 20}):
        with pytest.raises(DesignFileError, match="one of free_flow_m3_h"):
            from_data(example_data | {"fan": [fan | wrong]})


def test_an_exhaust_at_an_intake() -> None:
    low = Box((0.0, 0.0, 0.0), (400.0, 300.0, 100.0))
    above = Box((0.0, 0.0, 150.0), (400.0, 300.0, 200.0))
    beside = Box((500.0, 0.0, 0.0), (900.0, 300.0, 100.0))
    up, down, left, right = Heading.UP, Heading.DOWN, Heading.LEFT, Heading.RIGHT
    assert blows_into({up}, low, {down}, above)
    assert not blows_into({up}, low, {up}, above)
    assert not blows_into({up}, low, {down}, beside)
    assert blows_into({right}, low, {left}, beside)
    assert not blows_into({left}, low, {right}, beside)
    far = Box((0.0, 0.0, 500.0), (400.0, 300.0, 600.0))
    assert not blows_into({up}, low, {down}, far)


def test_a_device_that_blows_at_another(example: Casework) -> None:
    # the streaming box stands below the disc player, with a shelf between: far enough apart
    box, player = example.gear[2], example.gear[1]
    box = replace(box, kind=replace(box.kind, intake=(), exhaust=(Face.TOP,)))
    player = replace(player, kind=replace(player.kind, intake=(Face.BOTTOM,), exhaust=()))
    low = replace(player, body=Box(box.body.lo, box.body.hi))
    for up, status in ((20.0, Status.FAIL), (150.0, Status.WATCH)):
        lo, hi = low.body.lo, low.body.hi
        z = box.body.hi[2] + up
        moved = replace(low, body=Box((lo[0], lo[1], z), (hi[0], hi[1], z + 50.0)))
        (finding,) = check_recirculation([box, moved])
        assert finding.status is status
        assert finding.measured == pytest.approx(up)
        assert list(check_recirculation([box, replace(moved, bay=example.bays[1])])) == []
    away = replace(box, kind=replace(box.kind, exhaust=(Face.FRONT,)))
    assert list(check_recirculation([away, player])) == []
