"""The network that cables run in: places joined where they share a room, by rectilinear length."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf
from typing import TYPE_CHECKING

from kit.cabling import Cable
from kit.components.cables import OUTLET, SCREEN
from kit.components.contents import Placed
from kit.geometry import Vec
from kit.room import Screen, Stand
from kit.routes.zones import BEHIND, ON_TOP, Opening, Zones

if TYPE_CHECKING:
    import networkx

#: Of two ways equally long the one with fewer places wins: added for each leg, mm.
PER_LEG = 1e-3


@dataclass(frozen=True)
class Spot:
    """A place that a cable passes or ends at. `opening` is None for an end."""

    name: str
    at: Vec
    zones: tuple[str, ...]
    opening: Opening | None = None


#: What passing an opening costs on top of its length, mm; infinite: closed.
type Toll = Callable[[Opening], float]


class Network:
    """The places of a design as a graph, to be asked for the shortest way of a cable."""

    def __init__(self, zones: Zones) -> None:
        self.zones = zones
        self.ends = _ends(zones)
        self._spots = _spots([s for spots in self.ends.values() for s in spots], zones.openings)
        # the graph holds their numbers: a spot is slow to hash, and the search does nothing else
        self._number = {spot: number for number, spot in enumerate(self._spots)}
        self._graph = _graph(self._spots)

    def end(self, name: str, plugs: Iterable[str] = ()) -> tuple[Spot, ...]:
        """The places of an end: one for a device, at the first of `plugs` it has; all outlets."""
        spots = self.ends.get(name, ())
        if name == OUTLET or not spots:
            return spots
        by_plug = {spot.name: spot for spot in spots}
        return (next((by_plug[p] for p in plugs if p in by_plug), spots[0]),)

    def shortest(self, start: Spot, ends: Iterable[Spot], toll: Toll) -> tuple[Spot, ...]:
        """The places of the way from `start` to the nearest of `ends`; empty where there is none.

        A way leads through openings only, never over another device.
        """
        import networkx

        goals = tuple(self._number[end] for end in ends)
        begin = self._number[start]
        tolls = {opening.name: toll(opening) for opening in self.zones.openings}
        prices = [tolls[spot.opening.name] if spot.opening else inf for spot in self._spots]
        leads = [spot.opening is not None for spot in self._spots]
        leads[begin] = True
        for goal in goals:
            prices[goal] = 0.0

        def weight(here: int, there: int, edge: Mapping[str, float]) -> float | None:
            price = prices[there]
            return None if price == inf or not leads[here] else edge["mm"] + PER_LEG + price

        far, ways = networkx.single_source_dijkstra(self._graph, begin, weight=weight)
        reached = [goal for goal in goals if goal in far]
        if not reached:
            return ()
        return tuple(self._spots[n] for n in ways[min(reached, key=lambda goal: far[goal])])

    def reached(self, start: Iterable[Spot], toll: Toll) -> set[str]:
        """The rooms that a cable gets to from any of the places."""
        rooms = {zone for spot in start for zone in spot.zones}
        while True:
            more = {
                zone
                for opening in self.zones.openings
                if rooms & set(opening.zones) and toll(opening) < inf
                for zone in opening.zones
            }
            if more <= rooms:
                return rooms
            rooms |= more


def way_mm(path: Iterable[Spot]) -> float:
    """Length of a way, rectilinear from place to place, mm."""
    spots = tuple(path)
    return sum(rectilinear(a.at, b.at) for a, b in pairwise(spots))


def rectilinear(a: Vec, b: Vec) -> float:
    """Along the three axes from point to point, mm."""
    return sum(abs(p - q) for p, q in zip(a, b, strict=True))


def passing(kind: Cable) -> Toll:
    """Free where the plugs of the cable pass, closed elsewhere."""
    return lambda opening: 0.0 if opening.play(kind) >= 0 else inf


def _spots(ends: list[Spot], openings: Iterable[Opening]) -> tuple[Spot, ...]:
    """The ends, the narrow openings, and where each wide one is nearest to one of these."""
    narrow = [Spot(o.name, o.centre, o.zones, o) for o in openings if o.narrow]
    fixed = [*ends, *narrow]
    wide = [
        Spot(o.name, o.across(spot.at), o.zones, o)
        for o in openings
        if not o.narrow
        for spot in fixed
        if set(spot.zones) & set(o.zones)
    ]
    return tuple(dict.fromkeys([*fixed, *wide]))


def _graph(spots: Sequence[Spot]) -> networkx.Graph[int]:
    """The numbers of the spots, joined where two share a room and are not in one opening."""
    import networkx

    graph: networkx.Graph[int] = networkx.Graph()
    graph.add_nodes_from(range(len(spots)))
    rooms = [frozenset(spot.zones) for spot in spots]
    for one, here in enumerate(spots):
        for other in range(one + 1, len(spots)):
            there = spots[other]
            if here.opening is not None and here.opening is there.opening:
                continue
            if not rooms[one].isdisjoint(rooms[other]):
                graph.add_edge(one, other, mm=rectilinear(here.at, there.at))
    return graph


def _ends(zones: Zones) -> dict[str, tuple[Spot, ...]]:
    work = zones.casework
    ends = {placed.item.name: tuple(_plugs(placed)) for placed in work.gear}
    room = work.design.room
    wall = zones.case.hi[1] + room.wall_gap
    if work.design.screen is not None:
        ends[SCREEN] = (_screen(zones, work.design.screen, wall),)
    ends[OUTLET] = tuple(
        Spot(f"outlet {number}", (outlet.across, wall, zones.floor + outlet.up), (BEHIND,))
        for number, outlet in enumerate(room.outlets, start=1)
    )
    return ends


def _plugs(placed: Placed) -> list[Spot]:
    """The middle of the rear of a device, named by it, then each of its plugs with a position."""
    (x0, _, z0), (x1, y, z1) = placed.body.lo, placed.body.hi
    zone = (placed.where if placed.bay else ON_TOP,)
    spots = [Spot(placed.item.name, ((x0 + x1) / 2, y, (z0 + z1) / 2), zone)]
    for plug, _ in placed.plugs:
        if plug.across is not None or plug.up is not None:
            x = (x0 + x1) / 2 if plug.across is None else x0 + plug.across
            z = (z0 + z1) / 2 if plug.up is None else z0 + plug.up
            spots.append(Spot(plug.kind, (x, y, z), zone))
    return spots


def _screen(zones: Zones, screen: Screen, wall: float) -> Spot:
    """Half way up the picture, in the middle of the case: where its sockets are is not known."""
    case = zones.case
    up = case.hi[2] + screen.middle
    y = wall if screen.stand is Stand.WALL else case.hi[1]
    return Spot(SCREEN, ((case.lo[0] + case.hi[0]) / 2, y, up), (BEHIND,))
