"""The holes to add so that every cable has a way: board, place, cutter, and what to write."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf, pi

import numpy as np
from numpy.typing import NDArray

from kit.board import Board
from kit.casework import Casework
from kit.cutters import cutter
from kit.geometry import Box, Vec, cutter_box
from kit.hardware import Grommet, grommets
from kit.routes.cable_route import Route, ends_of
from kit.routes.network import Network, passing
from kit.routes.zones import BEHIND, Zones
from kit.units import Step, exact, text

type Floats = NDArray[np.float64]

#: Wanted round the flange of a liner: off boards and other cuts, mm. Common practice, no source.
RIM = 5.0
#: Places are tried this far apart, mm.
STEP = 5.0
#: Share of a hole that three and more cables may fill. Source: nec-chapter-9.
FILL = 0.40


@dataclass(frozen=True)
class NewHole:
    """A hole that gives cables a way. `at` is its middle in the room, mm.

    `field` is where it goes in the design file and `line` what to write there; `cables` are the
    numbers of the cables that want it, `rooms` the two that it joins.
    """

    board: str
    at: Vec
    bore: Grommet
    field: str
    line: str
    cables: tuple[int, ...]
    rooms: tuple[str, str]

    @property
    def cutter(self) -> str:
        """What bores it, as printed."""
        return cutter(self.bore.cutter).name


@dataclass(frozen=True)
class _Wall:
    """A board between two rooms: the box of wood that a hole may go through, and its axis."""

    board: Board
    box: Box
    axis: int
    rooms: tuple[str, str]


def new_holes(casework: Casework, laid: Sequence[Route], zones: Zones) -> tuple[NewHole, ...]:
    """The holes that cables without a way want, mains and others apart; empty where all have one.

    A cable that a too small hole blocks gets a larger one beside it. Where two boards are in
    the way, the hole is in the first.
    """
    blocked = [r for r in laid if not r.missing and (not r.path or r.tight)]
    if not blocked:
        return ()
    network, walls = Network(zones), _walls(zones)
    free: dict[tuple[str, tuple[str, str], str], _Free] = {}

    def place(wall: _Wall, bore: Grommet, near: Vec, before: Sequence[NewHole]) -> Vec | None:
        key = (wall.board.name, wall.rooms, bore.key)
        if key not in free:
            free[key] = _Free(wall, bore)
        return free[key].nearest(near, before)

    found: dict[tuple[str, tuple[str, str], bool], tuple[_Wall, list[tuple[Route, Vec]]]] = {}
    for route in blocked:
        starts, ends = ends_of(network, route)
        toll = passing(route.kind)
        here, there = network.reached(starts, toll), network.reached(ends, toll)
        for wall in _between(walls, here, there):
            if place(wall, _bore([route]), starts[0].at, ()):
                key = (wall.board.name, wall.rooms, route.mains)
                found.setdefault(key, (wall, []))[1].append((route, starts[0].at))
                break
    holes: list[NewHole] = []
    for wall, wanting in found.values():
        cables, near = [route for route, _ in wanting], wanting[0][1]
        for bore in (_bore(cables), _bore(cables[:1])):
            at = place(wall, bore, near, holes)
            if at is not None:
                holes.append(_written(casework, wall, bore, at, tuple(r.number for r in cables)))
                break
    return tuple(holes)


def hole_for(route: Route, holes: Sequence[NewHole]) -> NewHole | None:
    """The hole that a cable wants, of those that `new_holes` found."""
    return next((hole for hole in holes if route.number in hole.cables), None)


def _walls(zones: Zones) -> tuple[_Wall, ...]:
    """Every board between two rooms, the best to bore first: backs, dividers, then shelves."""
    return (*_backs(zones), *_uprights(zones), *_floors(zones))


def _backs(zones: Zones) -> Iterator[_Wall]:
    panels = zones.casework.panels
    for name, room in zones.spaces.items():
        for board in panels:
            if board.box.lo[0] < room.centre[0] < board.box.hi[0]:
                yield _Wall(board, _cut(room, board.box, 1), 1, (name, BEHIND))


def _uprights(zones: Zones) -> Iterator[_Wall]:
    work = zones.casework
    for name, room in zones.spaces.items():
        bay = zones.bay_of[name]
        for other, beside in zones.of_bay.get(bay + 1, {}).items():
            if min(room.hi[2], beside.hi[2]) > max(room.lo[2], beside.lo[2]):
                board = work.by_name[work.bays[bay - 1].right.name]
                box = _cut(_cut(room, beside, 0), board.box, 0)
                yield _Wall(board, _cut(box, room, 0), 0, (name, other))


def _floors(zones: Zones) -> Iterator[_Wall]:
    by_name = zones.casework.by_name
    for name, room in zones.spaces.items():
        for other in zones.of_bay[zones.bay_of[name]]:
            board = by_name.get(other.split(" on ")[1])
            if other != name and board is not None and board.box.lo[2] == room.hi[2]:
                yield _Wall(board, _cut(room, board.box, 2, both=True), 2, (name, other))


def _between(walls: Sequence[_Wall], here: set[str], there: set[str]) -> Iterator[_Wall]:
    """The boards between what a cable reaches from one end and from the other, best first.

    Straight from the one to the other; failing that, from a closed bay to behind the case.
    """
    meets = [(here, there)]
    meets += [(here, {BEHIND})] if BEHIND not in here else []
    meets += [(there, {BEHIND})] if BEHIND not in there else []
    for one, other in meets:
        for wall in walls:
            a, b = wall.rooms
            if (a in one and b in other) or (a in other and b in one):
                yield wall


def _cut(room: Box, other: Box, axis: int, *, both: bool = False) -> Box:
    """`room` with the sizes of `other` along `axis`, and no larger than it along the others."""
    lo, hi = list(room.lo), list(room.hi)
    for i in range(3):
        if i == axis:
            lo[i], hi[i] = other.lo[i], other.hi[i]
        elif both or axis == 0:
            lo[i], hi[i] = max(lo[i], other.lo[i]), min(hi[i], other.hi[i])
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


def _bore(wanting: Sequence[Route]) -> Grommet:
    """The smallest liner that the plugs pass and the cables do not overfill, or else the largest.

    A cable of unknown diameter counts as one as thick as the thickest in the tables, 8 mm.
    """
    plug = max(route.kind.hole_mm for route in wanting)
    area = sum(pi * (route.od_mm or 8.0) ** 2 / 4 for route in wanting)
    lined = sorted((g for g in grommets().values() if g.flange_mm), key=lambda g: g.hole_mm)
    fitting = (g for g in lined if g.clear_mm >= plug and FILL * pi * g.clear_mm**2 / 4 >= area)
    return next(fitting, lined[-1])


class _Free:
    """The places in a wall that keep flange and rim of a liner off all that is there."""

    def __init__(self, wall: _Wall, bore: Grommet) -> None:
        self._wall = wall
        self._half = (bore.flange_mm or bore.hole_mm) / 2 + RIM
        self._axes = tuple(i for i in range(3) if i != wall.axis)
        u, v = self._axes
        lo, hi = wall.box.lo, wall.box.hi
        self._along = _steps(lo[u] + self._half, hi[u] - self._half)
        self._up = _steps(lo[v] + self._half, hi[v] - self._half)
        self._free = np.ones((len(self._along), len(self._up)), dtype=bool)
        for cut in wall.board.cutters:
            self._bar(self._free, wall.board.place.box_to_room(cutter_box(cut)))

    def nearest(self, near: Vec, before: Sequence[NewHole]) -> Vec | None:
        """The middle nearest to `near`; `before` are holes that are to be added, too."""
        free = self._free
        for hole in before:
            if hole.board == self._wall.board.name:
                r = (hole.bore.flange_mm or hole.bore.hole_mm) / 2
                x, y, z = hole.at
                free = free.copy()
                self._bar(free, Box((x - r, y - r, z - r), (x + r, y + r, z + r)))
        if not free.any():
            return None
        u, v = self._axes
        far = np.hypot(self._along[:, None] - near[u], self._up - near[v])
        p, q = np.unravel_index(int(np.where(free, far, inf).argmin()), free.shape)
        at = list(self._wall.box.centre)
        at[u], at[v] = float(self._along[p]), float(self._up[q])
        return (at[0], at[1], at[2])

    def _bar(self, free: NDArray[np.bool_], cut: Box) -> None:
        """Take out the places that are too near to a cut."""
        u, v = self._axes
        p, off_p = self._beside(self._along, cut.lo[u], cut.hi[u])
        q, off_q = self._beside(self._up, cut.lo[v], cut.hi[v])
        free[p, q] &= np.hypot(off_p[:, None], off_q) >= self._half

    def _beside(self, steps: Floats, lo: float, hi: float) -> tuple[slice, Floats]:
        """The steps less than half a flange from a span, and how far they are from it, mm."""
        reach = self._half + STEP
        first, last = np.searchsorted(steps, (lo - reach, hi + reach))
        near = steps[first:last]
        return slice(first, last), np.maximum(np.maximum(lo - near, 0.0), near - hi)


def _steps(first: float, last: float) -> Floats:
    """Places `STEP` apart from `first` up to `last` at most."""
    steps = []
    while first <= last:
        steps.append(first)
        first += STEP
    return np.array(steps)


def _written(
    casework: Casework, wall: _Wall, bore: Grommet, at: Vec, cables: tuple[int, ...]
) -> NewHole:
    board = wall.board

    def say(mm: float) -> str:
        return text(mm, casework.design.shop.units, step=Step.OVERALL)

    wide = exact(bore.hole_mm)
    back = casework.design.back
    if board in casework.panels and back is not None:
        number = casework.panels.index(board) + 1
        first = casework.bays[min(back.panels[number - 1].bays) - 1].clear
        across, up = say(at[0] - first.lo[0]), say(at[2] - first.lo[2])
        field = f"back.panels.{number}.holes"
        line = f'{{ diameter = "{wide}", across = "{across}", up = "{up}" }}'
    else:
        x, y, _ = board.place.to_board(at)
        field = "[[hole]]"
        line = (
            f'board = "{board.name}", along = "{say(x)}", across = "{say(y)}", diameter = "{wide}"'
        )
    return NewHole(board.name, at, bore, field, line, cables, wall.rooms)
