"""Zones of air in a console, where its doors stand, and which zone is where."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from kit.board import Board
from kit.casework import Casework
from kit.checks.airflow.network import ROOM, Zone, ZoneKind
from kit.components.base import Plinth
from kit.components.contents import Placed
from kit.components.doors import Door
from kit.components.made import Bay
from kit.geometry import Box

type Span = tuple[float, float]

#: A zone that is lower than this is none, mm.
LEAST_MM = 1.0


@dataclass(frozen=True, slots=True)
class Hung:
    """A door where it stands now: its board as built, and the span in X that it covers, mm."""

    door: Door
    left: float

    @property
    def span(self) -> Span:
        """What it covers, mm."""
        return (self.left, self.left + self.door.board.box.size[0])

    @property
    def shift(self) -> float:
        """How far it has been slid from where it stands when shut, mm."""
        return self.left - self.door.shut

    @property
    def near(self) -> float:
        """Its front face, mm from the front of the case."""
        return self.door.board.box.lo[1]

    @property
    def far(self) -> float:
        """Its rear face, mm from the front of the case."""
        return self.door.board.box.hi[1]


@dataclass(frozen=True, slots=True)
class Site:
    """A console with its zones numbered, its doors in one state."""

    casework: Casework
    zones: tuple[Zone, ...]
    doors: tuple[Hung, ...]

    @property
    def depth(self) -> float:
        """Depth of the case, mm."""
        return self.casework.frame.left.width

    def of_bay(self, bay: int) -> Iterator[tuple[int, Zone]]:
        """The zones of a bay with their numbers, lowest first."""
        return ((n, zone) for n, zone in enumerate(self.zones) if zone.bay == bay)

    def number(self, kind: ZoneKind) -> int | None:
        """The zone of this kind outside the bays, or None."""
        return next((n for n, zone in enumerate(self.zones) if zone.kind is kind), None)

    def at(self, x: float, z: float) -> int | None:
        """The zone of a bay at a point seen from the front; None in wood or outside."""
        for number, zone in enumerate(self.zones):
            lo, hi = zone.box.lo, zone.box.hi
            if zone.bay and lo[0] <= x <= hi[0] and lo[2] <= z <= hi[2]:
                return number
        return None

    def bay_at(self, x: float) -> Bay:
        """The bay at x, or the one nearest to it."""
        return min(
            self.casework.bays,
            key=lambda bay: max(bay.clear.lo[0] - x, x - bay.clear.hi[0], 0.0),
        )

    def holding(self, placed: Placed) -> int:
        """The zone in which a device stands."""
        z = placed.space.lo[2] + 5.0

        def off(numbered: tuple[int, Zone]) -> float:
            box = numbered[1].box
            return max(box.lo[2] - z, z - box.hi[2], 0.0)

        return min(self.of_bay(placed.within.number), key=off)[0]

    def covered(self, span: Span, but: Hung | None = None) -> list[Span]:
        """The parts of a span in X with a door in front."""
        return [
            part
            for hung in self.doors
            if hung is not but and (part := common(span, hung.span)) is not None
        ]


def site(casework: Casework, open_bay: int | None = None, covered_bay: int | None = None) -> Site:
    """The zones, with the doors shut or slid: clear of `open_bay`, or before `covered_bay`.

    Just clear of the one, or as far as they go; before the other as many of them, over as much of
    it, as can be.
    """
    doors = casework.doors.doors if casework.doors else ()
    bay = open_bay if covered_bay is None else covered_bay
    if bay is None or not doors:
        hung = tuple(Hung(door, door.shut) for door in doors)
    else:
        clear = casework.bays[bay - 1].clear
        hung = _slid(doors, (clear.lo[0], clear.hi[0]), before=covered_bay is not None)
    return Site(casework, zones(casework), hung)


def zones(casework: Casework) -> tuple[Zone, ...]:
    """The bays from left to right, each cut by its shelves from below; the space to the wall; and
    the space inside a plinth."""
    found = [zone for bay in casework.bays for zone in _of_bay(casework, bay)]
    case, depth = casework.frame.right.box.hi, casework.frame.left.width
    low = min(0.0, casework.box.lo[2])
    wall = depth + casework.design.room.wall_gap
    behind = Box((0.0, depth, low), (case[0], wall, casework.frame.left.box.hi[2]))
    found.append(Zone("behind the case", behind, ZoneKind.BEHIND))
    if isinstance(casework.design.base, Plinth) and low < 0.0:
        under = Box((0.0, 0.0, low), (case[0], depth, 0.0))
        found.append(Zone("inside the plinth", under, ZoneKind.UNDER))
    return tuple(found)


def shelf_levels(casework: Casework, bay: Bay) -> list[list[Board]]:
    """The shelves of a bay from below, those that overlap in height together."""
    shelves = zip(casework.design.shelves, casework_shelves(casework), strict=True)
    boards = sorted((b for spec, b in shelves if spec.bay == bay.number), key=lambda b: b.box.lo[2])
    levels: list[list[Board]] = []
    for board in boards:
        if levels and board.box.lo[2] < max(b.box.hi[2] for b in levels[-1]) + LEAST_MM:
            levels[-1].append(board)
        else:
            levels.append([board])
    return levels


def casework_shelves(casework: Casework) -> list[Board]:
    """The boards of the shelves in the order of the design file."""
    return list(casework.shelf_boards)


def _of_bay(casework: Casework, bay: Bay) -> Iterator[Zone]:
    lo, hi = bay.clear.lo, bay.clear.hi
    levels = shelf_levels(casework, bay)
    floors = [lo[2], *(max(b.box.hi[2] for b in level) for level in levels)]
    ceilings = [*(min(b.box.lo[2] for b in level) for level in levels), hi[2]]
    spans = [(a, b) for a, b in zip(floors, ceilings, strict=True) if b - a > LEAST_MM]
    for number, (a, b) in enumerate(spans, start=1):
        name = bay.name if len(spans) == 1 else f"{bay.name}, level {number}"
        yield Zone(name, Box((lo[0], lo[1], a), (hi[0], hi[1], b)), ZoneKind.BAY, bay.number)


def _slid(doors: Sequence[Door], span: Span, *, before: bool) -> tuple[Hung, ...]:
    """The doors slid to where they cover least of a span, and of such places to the nearest.

    `before` it: to where they cover most of it, and of such places most of it twice.
    """
    tracks = sorted({door.track for door in doors})
    rows = [sorted((d for d in doors if d.track == t), key=lambda d: d.shut) for t in tracks]
    places = [list((_before if before else _places)(row, span)) for row in rows]

    def cost(choice: tuple[tuple[Hung, ...], ...]) -> tuple[float, ...]:
        parts = [part for row in choice for part in _parts(row, span)]
        covers, shift = length(union(parts)), sum(abs(h.shift) for row in choice for h in row)
        if before:
            return (-round(covers, 3), -round(length(parts), 3), shift)
        return (round(covers, 3), shift)

    best = min(product(*places), key=cost)
    return tuple(sorted((h for row in best for h in row), key=lambda h: h.door.board.name))


def _places(row: Sequence[Door], span: Span) -> Iterator[tuple[Hung, ...]]:
    """Where the doors of one track may stand: shut, just clear of a span, or pushed to the ends."""
    yield tuple(Hung(door, door.shut) for door in row)
    if len(row) == 1:
        (door,) = row
        for left in (span[0] - door.board.box.size[0], span[1], door.least, door.most):
            if door.least <= left <= door.most:
                yield (Hung(door, left),)
        return
    for at_left in range(len(row) + 1):  # so many pushed to the left, the rest to the right
        left, right = row[0].least, row[0].most + row[0].board.box.size[0]
        hung = []
        for door in row[:at_left]:
            hung.append(Hung(door, left))
            left += door.board.box.size[0]
        for door in reversed(row[at_left:]):
            right -= door.board.box.size[0]
            hung.append(Hung(door, right))
        yield tuple(hung)


def _before(row: Sequence[Door], span: Span) -> Iterator[tuple[Hung, ...]]:
    """Where the doors of one track may stand before a span: shut, or side by side at its left end,
    at its right end or in its middle, as far as the track lets them."""
    yield tuple(Hung(door, door.shut) for door in row)
    wide = sum(door.board.box.size[0] for door in row)
    least, most = row[0].least, row[-1].most + row[-1].board.box.size[0] - wide
    for left in (span[0], span[1] - wide, (span[0] + span[1] - wide) / 2):
        hung, at = [], min(max(left, least), most)
        for door in row:
            hung.append(Hung(door, at))
            at += door.board.box.size[0]
        yield tuple(hung)


def _parts(row: Iterable[Hung], span: Span) -> Iterator[Span]:
    return (part for hung in row if (part := common(span, hung.span)) is not None)


def common(one: Span, other: Span) -> Span | None:
    """What two spans share, or None."""
    low, high = max(one[0], other[0]), min(one[1], other[1])
    return (low, high) if high - low > 1e-6 else None


def union(spans: Iterable[Span]) -> list[Span]:
    """The same stretches without overlaps, in order."""
    joined: list[Span] = []
    for low, high in sorted(spans):
        if joined and low <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], high))
        else:
            joined.append((low, high))
    return joined


def less(span: Span, taken: Iterable[Span]) -> list[Span]:
    """A span less what is taken of it."""
    rest, low = [], span[0]
    for a, b in union(taken):
        if a - low > 1e-6:
            rest.append((low, min(a, span[1])))
        low = max(low, b)
    if span[1] - low > 1e-6:
        rest.append((low, span[1]))
    return rest


def length(spans: Iterable[Span]) -> float:
    """How long the spans are together."""
    return sum(b - a for a, b in spans)


def under(here: Site) -> int | None:
    """The zone under the bottom of the case: the plinth, the room, or None on the floor."""
    plinth = here.number(ZoneKind.UNDER)
    if plinth is not None:
        return plinth
    casework = here.casework
    stands = casework.design.base is not None or casework.frame.bottom.box.lo[2] > 0.0
    return ROOM if stands else None
