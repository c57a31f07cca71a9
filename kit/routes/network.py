"""The network that cables run in: places joined where they share a room, by rectilinear length."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import count, pairwise
from math import inf

from kit.cabling import Cable
from kit.components.cables import OUTLET, SCREEN
from kit.components.contents import Placed
from kit.geometry import Vec
from kit.room import Screen, Stand
from kit.routes.zones import BEHIND, ON_TOP, Opening, Zones

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
        # told by their numbers: a spot is slow to hash, and the search does nothing else
        self._number = {spot: number for number, spot in enumerate(self._spots)}
        self._joined = _joined(self._spots)

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
        goals = tuple(self._number[end] for end in ends)
        begin = self._number[start]
        tolls = {opening.name: toll(opening) for opening in self.zones.openings}
        prices = [tolls[spot.opening.name] if spot.opening else inf for spot in self._spots]
        leads = [spot.opening is not None for spot in self._spots]
        leads[begin] = True
        for goal in goals:
            prices[goal] = 0.0

        far, before = {begin: 0.0}, {begin: begin}
        pushed = count()  # of places equally far the first one found is the first one left
        ahead, done = [(0.0, next(pushed), begin)], set[int]()
        while ahead:  # Dijkstra's search
            gone, _, here = heappop(ahead)
            if here in done or not leads[here]:
                continue
            done.add(here)
            for there, mm in self._joined[here]:
                on = gone + (mm + PER_LEG + prices[there])
                if on < far.get(there, inf):
                    far[there], before[there] = on, here
                    heappush(ahead, (on, next(pushed), there))
        reached = [goal for goal in goals if goal in far]
        if not reached:
            return ()
        way = [min(reached, key=lambda goal: far[goal])]
        while way[-1] != begin:
            way.append(before[way[-1]])
        return tuple(self._spots[number] for number in reversed(way))

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


def _joined(spots: Sequence[Spot]) -> list[list[tuple[int, float]]]:
    """What each spot is joined to, and how far off, mm: a shared room, and not one opening."""
    joined: list[list[tuple[int, float]]] = [[] for _ in spots]
    rooms = [frozenset(spot.zones) for spot in spots]
    for one, here in enumerate(spots):
        for other in range(one + 1, len(spots)):
            there = spots[other]
            if here.opening is not None and here.opening is there.opening:
                continue
            if not rooms[one].isdisjoint(rooms[other]):
                mm = rectilinear(here.at, there.at)
                joined[one].append((other, mm))
                joined[other].append((one, mm))
    return joined


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
