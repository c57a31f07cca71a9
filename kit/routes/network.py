"""The network that cables run in: places joined where they share a room, by rectilinear length.

Every two places of a room are joined, so the joints are by the square of the places and are never
written down: a search works them out for the place that it stands on. Where many spots look into
a wide opening, it is crossed at `MOST_CROSSINGS` places.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush
from itertools import count, pairwise
from math import inf

import numpy as np
from numpy.typing import NDArray

from kit.cabling import Cable
from kit.components.cables import OUTLET, SCREEN
from kit.components.contents import Placed
from kit.geometry import Vec
from kit.room import Screen, Stand
from kit.routes.zones import BEHIND, ON_TOP, Opening, Zones

type Floats = NDArray[np.float64]
type Numbers = NDArray[np.intp]

#: Of two ways equally long the one with fewer places wins: added for each leg, mm.
PER_LEG = 1e-3
#: In how many places a wide opening is crossed at most.
MOST_CROSSINGS = 64


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
    """The places of a design, to be asked for the shortest way of a cable."""

    def __init__(self, zones: Zones) -> None:
        self.zones = zones
        self.ends = _ends(zones)
        self.spots = _spots([s for spots in self.ends.values() for s in spots], zones.openings)
        self._number = {s: number for number, s in enumerate(self.spots) if s.opening is None}
        self._at = np.array([spot.at for spot in self.spots]).reshape(-1, 3).T
        places = {opening.name: number for number, opening in enumerate(zones.openings)}
        #: number of the opening of each spot; that of an end is the one past the last
        self._opening = np.array(
            [len(places) if s.opening is None else places[s.opening.name] for s in self.spots],
            dtype=np.intp,
        )

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
        if not goals:
            return ()
        tolls = [toll(opening) for opening in self.zones.openings]
        search = _Search(self, self._number[start], goals, tolls)
        # first how long the way is, towards the goal; then the way, among places within reach
        most = search.length()
        return tuple(self.spots[number] for number in search.way(most)) if most < inf else ()

    def reached(self, start: Iterable[Spot], toll: Toll) -> set[str]:
        """The rooms that a cable gets to from any of the places."""
        beside: dict[str, set[str]] = defaultdict(set)
        for opening in self.zones.openings:
            if toll(opening) < inf:
                for zone in opening.zones:
                    beside[zone].update(opening.zones)
        rooms: set[str] = set()
        waiting = {zone for spot in start for zone in spot.zones}
        while waiting:
            rooms |= waiting
            waiting = {zone for room in waiting for zone in beside[room]} - rooms
        return rooms

    @cached_property
    def in_room(self) -> Mapping[str, Numbers]:
        """The numbers of the spots of each room, ascending."""
        found: dict[str, list[int]] = defaultdict(list)
        for number, spot in enumerate(self.spots):
            for zone in dict.fromkeys(spot.zones):
                found[zone].append(number)
        return {zone: np.array(numbers, dtype=np.intp) for zone, numbers in found.items()}


class _Search:
    """The search for one way: Dijkstra's, over joints that are worked out as they are wanted.

    What is left to go from a place is at least the straight way to the goal and the tolls of the
    rooms between: places from which that is too much are never looked at.
    """

    def __init__(
        self, network: Network, begin: int, goals: tuple[int, ...], tolls: Sequence[float]
    ) -> None:
        self._net, self._begin, self._goals = network, begin, goals
        prices = np.array([*tolls, inf])[network._opening]
        prices[list(goals)] = 0.0
        self._prices: Floats = prices
        self._left = self._at_least(tolls)

    def _at_least(self, tolls: Sequence[float]) -> Floats:
        """What is left to go from each spot at least, mm; infinite where no way leads on."""
        net = self._net
        rooms = _rooms_left({z for g in self._goals for z in net.spots[g].zones}, net.zones, tolls)
        by_opening = [
            min(rooms.get(zone, inf) for zone in opening.zones) for opening in net.zones.openings
        ]
        left = np.array([*by_opening, inf])[net._opening] + PER_LEG
        for end in {self._begin, *self._goals}:
            left[end] = min(rooms.get(zone, inf) for zone in net.spots[end].zones)
        left += np.min([_apart(net._at, net._at[:, g, None]) for g in self._goals], axis=0)
        left[list(self._goals)] = 0.0
        return left

    def length(self) -> float:
        """Length of the shortest way with its tolls, mm; infinite where there is none."""
        goals = set(self._goals)
        return next((mm for spot, mm, _ in self._settled(inf, self._left) if spot in goals), inf)

    def way(self, most: float) -> list[int]:
        """The shortest way, which is `most` long: of equal ones that which is found first."""
        most += 1e-6
        far, before = {}, {}
        for spot, mm, last in self._settled(most, np.zeros_like(self._left)):
            if mm > most:
                break
            far[spot], before[spot] = mm, last
        way = [min((goal for goal in self._goals if goal in far), key=far.__getitem__)]
        while way[-1] != self._begin:
            way.append(before[way[-1]])
        return way[::-1]

    def _settled(self, most: float, left: Floats) -> Iterator[tuple[int, float, int]]:
        """Spots as their shortest way is known: number, length, and the spot before it.

        In ascending order of length and `left`. Spots on no way within `most` are left out.
        """
        net, at, prices, openings = self._net, self._net._at, self._prices, self._net._opening
        straight = _apart(at, at[:, self._begin, None])
        worth = (prices < inf) & (self._left < inf) & (straight + self._left <= most)
        near: dict[tuple[str, ...], Numbers] = {}
        far = np.full(len(prices), inf)
        before = np.full(len(prices), -1, dtype=np.intp)
        done = np.zeros(len(prices), dtype=bool)
        far[self._begin] = 0.0
        waiting = [(float(left[self._begin]), 0, self._begin)]
        pushed = count(1)
        while waiting:
            _, _, here = heappop(waiting)
            if done[here]:
                continue
            done[here] = True
            yield here, float(far[here]), int(before[here])
            if here in self._goals and here != self._begin:
                continue
            zones = net.spots[here].zones
            if zones not in near:
                numbers = np.unique(np.concatenate([net.in_room[zone] for zone in zones]))
                near[zones] = numbers[worth[numbers]]
            there = near[zones]
            mm = far[here] + (_apart(at[:, there], at[:, here, None]) + PER_LEG + prices[there])
            apart = (openings[there] != openings[here]) | (net.spots[here].opening is None)
            better = (mm < far[there]) & apart & (mm + self._left[there] <= most)
            there, mm = there[better], mm[better]
            far[there], before[there] = mm, here
            for key, number in zip((mm + left[there]).tolist(), there.tolist(), strict=True):
                heappush(waiting, (key, next(pushed), number))


def _apart(a: Floats, b: Floats) -> Floats:
    """Along the three axes from points to points, mm."""
    x, y, z = np.abs(a - b)
    total: Floats = x + y + z
    return total


def _rooms_left(goals: set[str], zones: Zones, tolls: Sequence[float]) -> Mapping[str, float]:
    """What the openings cost at least from each room to one of `goals`, mm; none: not reached."""
    beside: dict[str, dict[str, float]] = defaultdict(dict)
    for opening, toll in zip(zones.openings, tolls, strict=True):
        for here, there in (opening.zones, opening.zones[::-1]):
            beside[here][there] = min(toll + PER_LEG, beside[here].get(there, inf))
    left: dict[str, float] = {}
    waiting = [(0.0, room) for room in sorted(goals)]
    while waiting:
        mm, room = heappop(waiting)
        if room in left or mm == inf:
            continue
        left[room] = mm
        for there, more in beside[room].items():
            heappush(waiting, (mm + more, there))
    return left


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
    fixed = [*dict.fromkeys(ends), *narrow]
    in_room: dict[str, set[int]] = defaultdict(set)
    for number, spot in enumerate(fixed):
        for zone in spot.zones:
            in_room[zone].add(number)
    wide = []
    for o in openings:
        if not o.narrow:
            seen = sorted(set().union(*(in_room[zone] for zone in o.zones)))
            places = _crossings(o, [fixed[number].at for number in seen])
            wide += [Spot(o.name, place, o.zones, o) for place in places]
    return (*fixed, *wide)


def _crossings(opening: Opening, seen_from: Iterable[Vec]) -> Iterable[Vec]:
    """Where an opening is nearest to points; of very many one for each part of the opening."""
    places = list(dict.fromkeys(opening.across(point) for point in seen_from))
    if len(places) <= MOST_CROSSINGS:
        return places
    long = [axis for axis in range(3) if opening.box.size[axis] > 0]
    parts = int(MOST_CROSSINGS ** (1 / len(long)) + 1e-9)

    def part(place: Vec) -> tuple[int, ...]:
        lo, size = opening.box.lo, opening.box.size
        return tuple(min(int(parts * (place[i] - lo[i]) / size[i]), parts - 1) for i in long)

    first: dict[tuple[int, ...], Vec] = {}
    for place in places:
        first.setdefault(part(place), place)
    return first.values()


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
