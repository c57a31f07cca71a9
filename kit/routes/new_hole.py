"""The holes to add so that every cable has a way: board, place, cutter, and what to write."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import hypot, pi

from kit.board import Board
from kit.casework import Casework
from kit.cutters import cutter
from kit.geometry import Box, Vec, cutter_box
from kit.hardware import Grommet, grommets
from kit.routes.cable_route import Route, ends_of
from kit.routes.network import Network, passing
from kit.routes.zones import BEHIND, Zones
from kit.units import Step, exact, text

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
    network = Network(zones)
    found: dict[tuple[str, tuple[str, str], bool], tuple[_Wall, list[tuple[Route, Vec]]]] = {}
    for route in blocked:
        starts, ends = ends_of(network, route)
        toll = passing(route.kind)
        here, there = network.reached(starts, toll), network.reached(ends, toll)
        for wall in _walls(zones, here, there):
            if _place(wall, _bore([route]), starts[0].at, ()):
                key = (wall.board.name, wall.rooms, route.mains)
                found.setdefault(key, (wall, []))[1].append((route, starts[0].at))
                break
    holes: list[NewHole] = []
    for wall, wanting in found.values():
        cables, near = [route for route, _ in wanting], wanting[0][1]
        for bore in (_bore(cables), _bore(cables[:1])):
            at = _place(wall, bore, near, holes)
            if at is not None:
                holes.append(_written(casework, wall, bore, at, tuple(r.number for r in cables)))
                break
    return tuple(holes)


def hole_for(route: Route, holes: Sequence[NewHole]) -> NewHole | None:
    """The hole that a cable wants, of those that `new_holes` found."""
    return next((hole for hole in holes if route.number in hole.cables), None)


def _walls(zones: Zones, here: set[str], there: set[str]) -> Iterator[_Wall]:
    """The boards between what a cable reaches from one end and from the other, best first.

    Straight from the one to the other; failing that, from a closed bay to behind the case.
    """
    yield from _between(zones, here, there)
    if BEHIND not in here:
        yield from _between(zones, here, {BEHIND})
    if BEHIND not in there:
        yield from _between(zones, there, {BEHIND})


def _between(zones: Zones, here: set[str], there: set[str]) -> Iterator[_Wall]:
    work, spaces = zones.casework, zones.spaces
    rooms = [*spaces, BEHIND]
    pairs = [
        (a, b)
        for a, b in product(rooms, rooms)
        if a != b and ((a in here and b in there) or (a in there and b in here))
    ]
    for a, b in pairs:
        if a in spaces and b == BEHIND:
            middle = spaces[a].centre[0]
            for board in work.boards:
                box = board.box
                if board.name.startswith("back-") and box.lo[0] < middle < box.hi[0]:
                    yield _Wall(board, _cut(spaces[a], box, 1), 1, (a, b))
    for a, b in pairs:
        if a in spaces and b in spaces and zones.bay_of[b] - zones.bay_of[a] == 1:
            board = work.by_name[work.bays[zones.bay_of[a] - 1].right.name]
            box = _cut(_cut(spaces[a], spaces[b], 0), board.box, 0)
            yield _Wall(board, _cut(box, spaces[a], 0), 0, (a, b))
    for a, b in pairs:
        if a in spaces and b in spaces and zones.bay_of[a] == zones.bay_of[b]:
            name = b.split(" on ")[1]
            if name in work.by_name and work.by_name[name].box.lo[2] == spaces[a].hi[2]:
                board = work.by_name[name]
                yield _Wall(board, _cut(spaces[a], board.box, 2, both=True), 2, (a, b))


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


def _place(wall: _Wall, bore: Grommet, near: Vec, before: Sequence[NewHole]) -> Vec | None:
    """The middle nearest to `near` that keeps flange and rim off all that is there.

    `before` are holes that are to be added, too.
    """
    half = (bore.flange_mm or bore.hole_mm) / 2 + RIM
    u, v = (i for i in range(3) if i != wall.axis)
    lo, hi = wall.box.lo, wall.box.hi
    cuts = [wall.board.place.box_to_room(cutter_box(c)) for c in wall.board.cutters]
    for hole in before:
        if hole.board == wall.board.name:
            r = (hole.bore.flange_mm or hole.bore.hole_mm) / 2
            x, y, z = hole.at
            cuts.append(Box((x - r, y - r, z - r), (x + r, y + r, z + r)))
    best: tuple[float, Vec] | None = None
    for p in _steps(lo[u] + half, hi[u] - half):
        for q in _steps(lo[v] + half, hi[v] - half):
            far = hypot(p - near[u], q - near[v])
            if best and far >= best[0]:
                continue
            if all(
                hypot(
                    max(cut.lo[u] - p, 0.0, p - cut.hi[u]), max(cut.lo[v] - q, 0.0, q - cut.hi[v])
                )
                >= half
                for cut in cuts
            ):
                at = list(wall.box.centre)
                at[u], at[v] = p, q
                best = (far, (at[0], at[1], at[2]))
    return best[1] if best else None


def _steps(first: float, last: float) -> Iterator[float]:
    while first <= last:
        yield first
        first += STEP


def _written(
    casework: Casework, wall: _Wall, bore: Grommet, at: Vec, cables: tuple[int, ...]
) -> NewHole:
    board = wall.board

    def say(mm: float) -> str:
        return text(mm, casework.design.shop.units, step=Step.OVERALL)

    wide = exact(bore.hole_mm)
    back = casework.design.back
    if board.name.startswith("back-") and back is not None:
        number = int(board.name.removeprefix("back-"))
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
