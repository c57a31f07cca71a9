"""What a design at the limits of a design file asks for: work that is counted, and bounded.

The counts are the same on every machine. The times and the memory are those of
`python tests/limits.py`, run here with the tests of minutes.
"""

import itertools
import tomllib
from math import inf

import limit_designs
import limits
import networkx
import pytest

from kit.casework import Casework, build
from kit.checks.loads import loads
from kit.checks.strength import check_strength, sag, verdicts
from kit.design_file import parse
from kit.errors import KitError
from kit.finding import Status
from kit.routes import network as net
from kit.routes import new_hole, routes, zones_of
from kit.routes.cable_route import ends_of

#: A wide bar: what runs the tests may be so much slower than an idle machine.
SLOWER = 4.0


def built(*fill: object) -> Casework:
    """A case with some of its fields at their limits."""
    plain = limit_designs.largest()
    for each in fill:
        each(plain)
    return build(parse(limit_designs.toml(plain)))


def settled(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The spots that searches look at from here on."""
    looked: list[int] = []
    search = net._Search._settled

    def counted(self, most, left):
        for found in search(self, most, left):
            looked.append(found[0])
            yield found

    monkeypatch.setattr(net._Search, "_settled", counted)
    return looked


# --- cables ---------------------------------------------------------------------------


def test_a_back_full_of_holes_is_refused_before_anything_is_made(monkeypatch):
    monkeypatch.setattr("kit.casework.frame", lambda *_: pytest.fail("a board was made"))
    with pytest.raises(KitError, match="8400 holes that are placed one by one, and 1000 is"):
        build(parse(limit_designs.attacks()["back and one cable"]))


def test_the_network_holds_places_and_no_joints_between_them():
    """500 holes in dividers, 500 in backs, 100 devices: once 1.9 GB of joints, and hung."""
    work = built(limit_designs.back_holes, limit_designs.holes, limit_designs.cables)
    found = net.Network(zones_of(work))
    narrow = sum(opening.narrow for opening in zones_of(work).openings)
    assert narrow == 1000
    wide = len(zones_of(work).openings) - narrow
    ends = sum(spot.opening is None for spot in found.spots)
    assert len(found.spots) <= ends + narrow + wide * net.MOST_CROSSINGS


def test_a_wide_opening_is_crossed_in_so_many_places():
    work = built(limit_designs.back_holes, limit_designs.holes, limit_designs.cables)
    spots = net.Network(zones_of(work)).spots
    edge = [spot for spot in spots if spot.name == "rear edge of the top"]
    assert 32 < len(edge) <= net.MOST_CROSSINGS
    assert max(b.at[0] - a.at[0] for a, b in itertools.pairwise(sorted(edge, key=_x))) < 2500


def _x(spot: net.Spot) -> float:
    return spot.at[0]


def test_a_cable_looks_at_few_of_the_places(monkeypatch):
    work = built(limit_designs.back_holes, limit_designs.holes, limit_designs.cables)
    looked = settled(monkeypatch)
    laid = routes(work)
    assert sum(bool(route.path) for route in laid) > 100
    # two searches a cable at the least, and unguided each looks at nearly all of the places
    places = len(net.Network(zones_of(work)).spots)
    assert len(looked) < 2 * len(laid) * places / 8


def test_a_cable_without_a_way_is_not_searched_for(monkeypatch):
    """Every bay closed, no hole: the rooms alone say so."""
    closed = {"stock": "birch-ply-6.5", "panels": [{"bays": [n + 1]} for n in range(21)]}
    work = built(limit_designs.cables, lambda plain: plain.update(back=closed))
    looked = settled(monkeypatch)
    laid = routes(work)
    crossing = [r for r in laid if not r.path]
    assert len(crossing) > 150
    assert len(looked) < 20 * (len(laid) - len(crossing)) + len(laid) * 2


@pytest.mark.parametrize("fill", [limit_designs.holes, limit_designs.shelves])
def test_ways_are_those_of_a_general_search_over_every_joint(fill):
    """networkx, Dijkstra over the whole of a graph in which every joint is written down."""
    work = built(lambda plain: limit_designs.cables(plain, 6), lambda plain: _fewer(plain, fill))
    zones = zones_of(work)
    found = net.Network(zones)
    graph: networkx.Graph[int] = networkx.Graph()
    for one, other in itertools.combinations(range(len(found.spots)), 2):
        a, b = found.spots[one], found.spots[other]
        if set(a.zones) & set(b.zones) and (a.opening is None or a.opening is not b.opening):
            graph.add_edge(one, other, mm=net.rectilinear(a.at, b.at) + net.PER_LEG)
    number = {spot: n for n, spot in enumerate(found.spots)}
    compared = 0
    for route in routes(work):
        toll = net.passing(route.kind)
        starts, ends = ends_of(found, route)
        kept = {number[s] for s in (starts[0], *ends)}
        kept |= {n for n, s in enumerate(found.spots) if s.opening and toll(s.opening) < inf}
        inside = graph.subgraph(kept - {number[end] for end in ends[1:]})
        try:
            want = networkx.dijkstra_path_length(
                inside, number[starts[0]], number[ends[0]], weight="mm"
            )
        except (networkx.NetworkXNoPath, networkx.NodeNotFound):
            want = None
        path = found.shortest(starts[0], ends[:1], toll)
        if want is None:
            assert not path
            continue
        mm = net.way_mm(path) + net.PER_LEG * (len(path) - 1)
        assert mm == pytest.approx(want, abs=1e-6)
        compared += 1
    assert compared


def _fewer(plain: limit_designs.Plain, fill: object) -> None:
    fill(plain)
    for key in ("hole", "shelf"):
        if key in plain:
            plain[key] = plain[key][:40]


def test_a_place_for_a_hole_is_looked_for_once_a_wall_and_liner(monkeypatch):
    closed = {"stock": "birch-ply-6.5", "panels": [{"bays": [n + 1]} for n in range(21)]}
    work = built(limit_designs.cables, lambda plain: plain.update(back=closed))
    looked = []
    free = new_hole._Free

    def counted(wall, bore):
        looked.append((wall.rooms, bore.key))
        return free(wall, bore)

    monkeypatch.setattr(new_hole, "_Free", counted)
    holes = new_hole.new_holes(work, routes(work), zones_of(work))
    assert len(holes) > 20
    assert len(looked) == len(set(looked)) < 21 * 20


# --- sag ------------------------------------------------------------------------------


def test_the_sag_of_too_many_boards_is_unknown(monkeypatch):
    """274 boards once took more than two minutes."""
    work = build(parse(limit_designs.attacks()["many shelves"]))
    monkeypatch.setattr(sag, "carcase", lambda *_, **__: pytest.fail("the case was read"))
    (found,) = (f for f in check_strength(work) if f.check == "sag")
    assert found.status is Status.UNKNOWN
    assert f"there are {len(work.boards)}, and {sag.MOST_BOARDS} is the most" in found.why


def test_cures_of_a_sag_are_tried_on_so_many_boards(monkeypatch):
    """Many shelves of which some sag: each change builds all the boards and solves them anew."""
    plain = tomllib.loads(limit_designs.attacks()["many shelves"])
    work = build(parse(limit_designs.toml(plain | {"shelf": plain["shelf"][:40]})))
    carried = loads(work)
    found = sag.sags(work, carried).boards
    limp = {name: one for name, one in found.items() if one.used > 1.0}
    assert limp
    tried = []
    monkeypatch.setattr("kit.checks.strength.fixes._cures", lambda *_: tried.append(1))
    monkeypatch.setattr(verdicts, "MOST_BUILT", 3 * len(work.boards))
    list(verdicts.check_sag(work, found, carried, loads))
    assert len(tried) == 3


# --- all of it ------------------------------------------------------------------------


@pytest.mark.minutes
@pytest.mark.parametrize("name", list(limit_designs.numbers(10)))
def test_long_numbers_and_names_are_answered_within_the_bounds(name):
    found = limits.judge(limit_designs.numbers(1_900_000)[name])
    assert found.within(SLOWER), found
    assert found.told.startswith("refused")


@pytest.mark.minutes
@pytest.mark.parametrize("name", list(limit_designs.attacks()))
def test_what_an_attack_sent_is_answered_within_the_bounds(name):
    found = limits.judge(limit_designs.attacks()[name])
    assert found.within(SLOWER), found


@pytest.mark.minutes
@pytest.mark.parametrize("name", list(limit_designs.LIMITS))
def test_each_limit_is_answered_within_the_bounds(name):
    found = limits.judge(limit_designs.filled(name))
    assert found.within(SLOWER), found
