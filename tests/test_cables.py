"""Cables: their ways, lengths and holes. Lengths are worked out here a second way.

The independent check enumerates every chain of openings from room to room. Along rectilinear ways
the three axes are independent of each other, so that the least length through a chain of boxes
is a sum of three small searches over the coordinates at which a way can turn.
"""

import tomllib
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from math import inf
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kit import sources
from kit.cabling import cable
from kit.casework import Casework
from kit.checks.cables import check_cables, check_opening
from kit.design import Design
from kit.draw.cables import cables_svg
from kit.errors import BuildError, TableError
from kit.finding import Finding, Status
from kit.making.buy_list import BuyKind, buy_list
from kit.making.cable_schedule import cable_schedule, holes_csv, printed, to_csv
from kit.routes import Opening, OpeningKind, Route, Zones, new_holes, routes
from kit.routes.cable_route import SERVICE_LOOP, ends_of
from kit.routes.network import Network, Spot, passing, way_mm
from kit.routes.zones import BEHIND, distance
from kit.units import System
from profiles import CONSOLE, examples
from strategies import built

type Rebuild = Callable[[dict[str, Any]], Casework]

few = examples(CONSOLE)


def found(work: Casework, check: str) -> dict[str, Finding]:
    return {f.subject: f for f in check_cables(work) if f.check == check}


def one(start: str, end: str, kind: str = "hdmi", **more: str) -> dict[str, str]:
    return {"from": start, "to": end, "kind": kind, **more}


# --- a second way to find the shortest way --------------------------------------------


def chains(openings: tuple[Opening, ...], here: str, goal: str) -> Iterator[list[Opening]]:
    """Every chain of openings from room to room that enters no room twice."""

    def go(room: str, been: list[str], chain: list[Opening]) -> Iterator[list[Opening]]:
        if room == goal:
            yield chain
        for opening in openings:
            if room in opening.zones:
                other = opening.zones[opening.zones[0] == room]
                if other not in been:
                    yield from go(other, [*been, other], [*chain, opening])

    yield from go(here, [here], [])


def least_mm(start: Spot, end: Spot, chain: list[Opening]) -> float:
    """Least rectilinear length from start through the boxes of a chain to the end, mm."""
    total = 0.0
    for axis in range(3):
        spans = [(o.box.lo[axis], o.box.hi[axis]) for o in chain]
        ends = (start.at[axis], end.at[axis])
        turns = {*ends, *(value for span in spans for value in span)}
        far = {ends[0]: 0.0}
        for lo, hi in [*spans, (ends[1], ends[1])]:
            stops = [turn for turn in turns if lo <= turn <= hi]
            far = {s: min(mm + abs(s - at) for at, mm in far.items()) for s in stops}
        total += far[ends[1]]
    return total


def brute_mm(work: Casework, route: Route) -> float:
    zones = Zones(work)
    starts, ends = ends_of(Network(zones), route)
    open_to_it = tuple(o for o in zones.openings if o.play(route.kind) >= 0)
    return min(
        (
            least_mm(starts[0], end, chain)
            for end in ends
            for chain in chains(open_to_it, starts[0].zones[0], end.zones[0])
        ),
        default=inf,
    )


def shortest_mm(work: Casework, route: Route, closed: str = "") -> float:
    """Without regard to other cables."""
    network = Network(Zones(work))
    starts, ends = ends_of(network, route)
    free = passing(route.kind)
    path = network.shortest(
        starts[0], ends, lambda opening: inf if opening.name == closed else free(opening)
    )
    return way_mm(path) if path else inf


def test_ways_are_the_shortest_of_all_chains(example: Casework) -> None:
    for route in routes(example):
        assert shortest_mm(example, route) == pytest.approx(brute_mm(example, route)), route.name


@pytest.mark.parametrize("bay", [1, 2, 3])
def test_ways_are_the_shortest_where_all_bays_are_closed(rebuilt: Rebuild, bay: int) -> None:
    hole = {"diameter": "60 mm", "across": "7 in", "up": "5 in"}
    panels = [{"bays": [n], "holes": [hole] if n == bay else []} for n in (1, 2, 3)]
    work = rebuilt({"back.panels": panels})
    for route in routes(work):
        want = brute_mm(work, route)
        assert shortest_mm(work, route) == pytest.approx(want)
        assert bool(route.path and not route.tight) is (want < inf)


def test_a_way_by_hand(rebuilt: Rebuild) -> None:
    work = rebuilt({"cable": [one("disc player", "network switch", "ethernet")]})
    (route,) = routes(work)
    player, switch = work.gear[1].body, work.gear[3].body
    holes = [(17 * 25.4, 1), (4 * 25.4, 3)]
    clear = {n: work.bays[n - 1].clear for _, n in holes}
    (x1, z1), (x2, z2) = ((clear[n].lo[0] + x, clear[n].lo[2] + 12 * 25.4) for x, n in holes)
    y = work.by_name["back-1"].box.centre[1]
    want = (
        abs(player.centre[0] - x1) + (y - player.hi[1]) + abs(player.centre[2] - z1)
        + abs(x2 - x1) + abs(z2 - z1)
        + abs(switch.centre[0] - x2) + (y - switch.hi[1]) + abs(switch.centre[2] - z2)
    )  # fmt: skip
    assert route.way_mm == pytest.approx(want)
    assert route.needed_mm == pytest.approx(want + SERVICE_LOOP)
    assert [o.name for o in route.openings] == ["back-1 hole 2", "back-2 hole 2"]
    assert BEHIND in route.legs


def test_boring_or_stopping_one_hole(example: Casework, rebuilt: Rebuild) -> None:
    """Without one of the holes no cable has a shorter way, and some have a longer one."""
    holes = [
        {"board": f"divider-{n}", "along": "3 in", "across": "16 in", "diameter": "60 mm"}
        for n in (1, 2)
    ]
    for stays in holes:
        work = rebuilt({"hole": [stays]})
        with_both = [shortest_mm(example, route) for route in routes(example)]
        with_one = [shortest_mm(work, route) for route in routes(work)]
        assert all(a <= b + 1e-6 for a, b in zip(with_both, with_one, strict=True))
        assert any(a < b - 1 for a, b in zip(with_both, with_one, strict=True))


# --- properties -----------------------------------------------------------------------


@few
@given(built(), st.data())
def test_what_holds_for_the_cables_of_every_console(
    made: tuple[Design, Casework], data: st.DataObject
) -> None:
    _, work = made
    assume(work.design.cables)
    zones = Zones(work)
    for opening in zones.openings:
        assert len(set(opening.zones)) == 2
    laid = routes(work)
    assert laid == routes(work)
    for route in laid:
        if route.path:
            assert way_mm(route.path) >= distance(route.path[0].at, route.path[-1].at) - 1e-6
            for here, there in pairwise(route.path):
                assert set(here.zones) & set(there.zones)
        if route.missing:
            continue
        free = shortest_mm(work, route)
        assert (free < inf) is bool(route.path and not route.tight)
        if free < inf and zones.openings:
            closed = data.draw(st.sampled_from(zones.openings)).name
            assert shortest_mm(work, route, closed) >= free - 1e-6
    findings = list(check_cables(work))
    assert all(sources.source(f.source) and set(f.boards) <= set(work.by_name) for f in findings)
    cables_svg(work)


@few
@given(
    st.lists(st.sampled_from(["hdmi", "mains-c13", "rca", "lead-fixed", "speaker"]), min_size=1),
    st.floats(5, 100),
    st.floats(0, 50),
)
def test_a_wider_hole_never_fails_more(
    example: Casework, kinds: list[str], clear: float, more: float
) -> None:
    run = example.design.cables[0]
    inside = [Route(n, run, cable(kind), ()) for n, kind in enumerate(kinds, start=1)]
    hole = next(o for o in Zones(example).openings if o.kind is OpeningKind.HOLE)

    def fails(size: float) -> int:
        findings = check_opening(example, replace(hole, size=(size, size)), inside)
        return sum(f.status is Status.FAIL for f in findings)

    assert fails(clear + more) <= fails(clear)


# --- the example ----------------------------------------------------------------------


def test_every_cable_of_the_example_is_good(example: Casework) -> None:
    findings = list(check_cables(example))
    assert {f.status for f in findings} == {Status.OK}
    assert len(found(example, "cable has a way")) == len(example.design.cables)
    assert found(example, "mains apart from signal")["all cables"].measured == 2


def test_mains_and_signal_share_a_hole_only_without_a_second(rebuilt: Rebuild) -> None:
    hole = {"diameter": "60 mm", "across": "7 in", "up": "5 in"}
    panels = [{"bays": [n], "holes": [hole]} for n in (1, 2, 3)]
    cables = [
        one("streaming box", "receiver"),
        one("box adaptor", "power strip", "mains-c7"),
    ]
    apart = rebuilt({"back.panels": panels, "cable": cables})
    assert {f.status for f in found(apart, "mains apart from signal").values()} == {Status.OK}
    two = [{o.name for o in r.openings if o.narrow} for r in routes(apart)]
    assert not two[0] & two[1]
    panels = [{"bays": [1, 2], "holes": []}, {"bays": [3], "holes": []}]
    together = rebuilt({"back.panels": panels, "cable": cables})
    finding = found(together, "mains apart from signal")["divider-1 hole 1"]
    assert finding.status is Status.WATCH


# --- holes ----------------------------------------------------------------------------


@pytest.mark.parametrize("closed", ["panel", "divider", "shelf"])
def test_the_hole_that_is_proposed_gives_the_cable_a_way(rebuilt: Rebuild, closed: str) -> None:
    cables, changes = [one("streaming box", "receiver", "mains-c13")], {}
    if closed == "panel":
        changes = {"back.panels.1.holes": [], "hole": []}
    if closed == "divider":
        changes = {"hole": [], "back.panels": [{"bays": [n]} for n in (1, 2, 3)]}
    if closed == "shelf":
        changes = {"hole": [], "back.panels": [{"bays": [n]} for n in (1, 2, 3)]}
        changes["shelf.1.rear_gap"] = "0 in"
        cables = [one("disc player", "streaming box")]
    work = rebuilt({**changes, "cable": cables})
    zones = Zones(work)
    laid = routes(work)
    (finding,) = found(work, "cable has a way").values()
    assert finding.status is Status.FAIL
    (hole,) = new_holes(work, laid, zones)
    assert hole.board == {"panel": "back-1", "divider": "divider-1", "shelf": "shelf-1"}[closed]
    assert hole.line in finding.why
    assert hole.cutter in finding.why
    if hole.field == "[[hole]]":
        row = tomllib.loads(hole.line.replace(", ", "\n"))
        mended = rebuilt({"hole": [row]})
    else:
        mended = rebuilt({hole.field: [tomllib.loads(f"hole = {hole.line}")["hole"]]})
    # a lead with large plugs, wherever it ends
    way = [f for f in check_cables(mended) if f.check != "cable suits its ends"]
    assert {f.status for f in way} == {Status.OK}
    assert holes_csv(cable_schedule(work), System.INCH).count("\n") == 2
    assert holes_csv(cable_schedule(mended), System.INCH) == ""


def test_a_hole_too_small_for_the_plug_is_named(rebuilt: Rebuild) -> None:
    hole = {"board": "divider-1", "along": "3 in", "across": "16 in", "diameter": "30 mm"}
    cables = [one("streaming box", "receiver", "mains-c13")]
    work = rebuilt({"back.panels.1.holes": [], "hole": [hole], "cable": cables})
    finding = found(work, "plugs pass the hole")["divider-1 hole 1"]
    assert finding.status is Status.FAIL
    # the plug of 28 x 26 mm at the other end: its diagonal
    assert finding.measured == pytest.approx(30 - (28**2 + 26**2) ** 0.5)
    (way,) = found(work, "cable has a way").values()
    assert way.status is Status.FAIL
    assert "divider-1 hole 1" in way.why


def test_a_liner_takes_its_share(example: Casework) -> None:
    hole = next(o for o in Zones(example).openings if o.name == "divider-1 hole 1")
    assert (hole.bored, hole.size) == (60, (54, 54))


@pytest.mark.parametrize(("diameter", "status"), [("21 mm", Status.FAIL), ("15 mm", Status.OK)])
def test_the_fill_of_a_hole(rebuilt: Rebuild, diameter: str, status: Status) -> None:
    cables = [one("disc player", "network switch", diameter=diameter)] * 3
    work = rebuilt({"cable": cables})
    finding = found(work, "cables fill the hole")["back-1 hole 2"]
    assert finding.status is status
    assert finding.required == 40
    assert finding.measured == pytest.approx(300 * (float(diameter[:2]) / 54) ** 2)


def test_three_cables_may_jam(rebuilt: Rebuild) -> None:
    for diameter, status in (("18 mm", Status.WATCH), ("15 mm", Status.OK)):
        cables = [one("disc player", "network switch", diameter=diameter)] * 3
        work = rebuilt({"cable": cables})
        assert found(work, "three cables do not jam")["back-1 hole 2"].status is status


def test_an_unknown_diameter_is_never_good(rebuilt: Rebuild) -> None:
    lead = one("disc player", "network switch", "lead-fixed")
    hole = "back-1 hole 2"
    work = rebuilt({"cable": [lead]})
    assert found(work, "cables fill the hole")[hole].status is Status.UNKNOWN
    work = rebuilt({"cable": [lead | {"diameter": "7 mm"}]})
    assert found(work, "cables fill the hole")[hole].status is Status.OK


# --- length ---------------------------------------------------------------------------


def test_lengths_are_rounded_up_to_what_is_sold(rebuilt: Rebuild) -> None:
    (first,) = routes(rebuilt({"cable": [one("disc player", "network switch", "ethernet")]}))
    (more,) = routes(
        rebuilt({"cable": [one("disc player", "network switch", "ethernet", pull_out="1 m")]})
    )
    assert first.needed_mm is not None
    assert more.needed_mm == pytest.approx(first.needed_mm + 1000)
    for route in (first, more):
        assert route.buy_m is not None
        enough = [m for m in route.kind.stock_m if 1000 * m >= (route.needed_mm or inf)]
        assert route.buy_m == enough[0]


def test_a_cable_is_held_against_the_one_that_is_bought(example: Casework) -> None:
    """'Cable is long enough: 393 11/16 in' was the longest of its kind, and nobody's cable."""
    bought = {route.name: route.buy_m for route in routes(example)}
    for name, finding in found(example, "cable is long enough").items():
        metres = bought[name]
        assert metres is not None
        assert finding.measured == pytest.approx(1000 * metres)


def test_a_cable_that_is_not_sold_so_long(rebuilt: Rebuild) -> None:
    work = rebuilt({"cable": [one("disc player", "network switch", "minijack", pull_out="3 m")]})
    (finding,) = found(work, "cable is long enough").values()
    assert finding.status is Status.FAIL
    assert "3 m" in finding.why
    (row,) = printed(cable_schedule(work), System.METRIC)
    assert row["length to buy"] == "none: sold up to 3 m"


# --- names ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "error", "words"),
    [
        (one("reciever", "screen"), BuildError, "cable.1.from names 'reciever'.*'receiver'"),
        (one("receiver", "screan"), BuildError, "cable.1.to names 'screan'.*'screen'"),
        (one("outlet", "receiver"), BuildError, "cable.1.from names 'outlet'"),
        (one("receiver", "receiver"), BuildError, "with itself"),
        (one("receiver", "screen", "hdmy"), TableError, "no kind of cable 'hdmy'.*hdmi"),
    ],
)
def test_names_that_are_not_there(
    rebuilt: Rebuild, row: dict[str, str], error: type[Exception], words: str
) -> None:
    with pytest.raises(error, match=words):
        rebuilt({"cable": [row]})


def test_an_outlet_that_is_not_drawn_is_unknown(rebuilt: Rebuild) -> None:
    work = rebuilt({"room.outlets": []})
    finding = found(work, "cable has a way")["cable 12 (power strip to outlet)"]
    assert finding.status is Status.UNKNOWN
    assert "[[room.outlets]]" in finding.why


# --- lists and picture ----------------------------------------------------------------


@pytest.mark.parametrize("system", list(System))
def test_the_schedule_names_every_cable(example: Casework, system: System) -> None:
    rows = printed(cable_schedule(example), system)
    assert [row["no"] for row in rows] == [str(n) for n in range(1, len(rows) + 1)]
    assert len(rows) == len(example.design.cables)
    for row in rows:
        assert row["length needed"].endswith(f" {system.value}")
        assert row["length to buy"].endswith(" m")
    assert to_csv(cable_schedule(example), system).count("\n") == len(rows) + 1


def test_cables_are_on_the_buy_list(example: Casework) -> None:
    bought = [row for row in buy_list(example) if row.kind is BuyKind.CABLE]
    assert sum(row.buy for row in bought) == len(example.design.cables)
    assert {row.key: row.buy for row in bought}["hdmi-2m"] == 2


def test_the_picture_shows_every_number_and_says_from_where(example: Casework) -> None:
    picture = cables_svg(example)
    assert "BEHIND" in picture
    for number in range(1, len(example.design.cables) + 1):
        assert f">{number}</text>" in picture
    assert picture == cables_svg(example)


def test_without_cables_nothing_is_said(rebuilt: Rebuild) -> None:
    work = rebuilt({"cable": []})
    assert list(check_cables(work)) == []
    assert to_csv(cable_schedule(work), System.INCH) == ""


def test_mains_ends_at_a_socket_and_nothing_else_does(rebuilt: Rebuild) -> None:
    def status(start: str, end: str, kind: str) -> Status:
        work = rebuilt({"cable": [{"from": start, "to": end, "kind": kind}]})
        (finding,) = (f for f in check_cables(work) if f.check == "cable suits its ends")
        return finding.status

    assert status("disc player", "power strip", "mains-c7") is Status.OK
    assert status("power strip", "outlet", "mains-strip") is Status.OK
    assert status("disc player", "receiver", "mains-c7") is Status.FAIL
    assert status("receiver", "outlet", "hdmi") is Status.FAIL
    assert status("disc player", "receiver", "hdmi") is Status.OK
