"""The rooms a cable can be in, and the openings between them.

A room is the clear space above a surface of a bay, the top of the case, the space under it, at
its left or right, or behind it. A cable hole or notch is a narrow opening with one place; the
gap in front of or behind a shelf, an open back and the rear edge of the top are wide ones, that
a cable passes where it likes.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from functools import cached_property
from math import hypot, pi

from kit.board import Board
from kit.cabling import Cable, Section
from kit.casework import Casework, once
from kit.components.spaces import ABOVE, Spaces
from kit.geometry import SAME_MM, Box, Vec, bounds
from kit.hardware import Grommet, liner_of
from kit.joinery import Hole, HoleRow, Notch, Purpose

BEHIND, ON_TOP, UNDER = "behind the case", "on the top", "under the case"
AT_LEFT, AT_RIGHT = "left of the case", "right of the case"

#: How far from the face of a board the room is looked for that a hole in it opens into, mm.
BESIDE = 0.5


class OpeningKind(Enum):
    """What sort of opening it is."""

    HOLE = "hole"
    NOTCH = "notch"
    GAP = "gap"
    OPEN_BACK = "open back"
    EDGE = "edge"


@dataclass(frozen=True)
class Opening:
    """A way between two rooms; mm.

    `box` is where a cable may cross: a point for a hole or notch, a flat box for a wide opening.
    `size` are its two clear widths, equal in a hole: what the liner leaves of the bore
    `bored`. `in_sight` says that it is in front of a shelf.
    """

    name: str
    kind: OpeningKind
    zones: tuple[str, str]
    box: Box
    size: tuple[float, float]
    board: str = ""
    bored: float | None = None
    liner: Grommet | None = None
    in_sight: bool = False

    @property
    def narrow(self) -> bool:
        """Whether cables lie together in it: a hole or a notch."""
        return self.kind in (OpeningKind.HOLE, OpeningKind.NOTCH)

    @property
    def centre(self) -> Vec:
        """Its middle."""
        return self.box.centre

    @property
    def area_mm2(self) -> float:
        """Clear area, mm2."""
        a, b = self.size
        return pi * a * b / 4 if self.kind is OpeningKind.HOLE else a * b

    def across(self, point: Vec) -> Vec:
        """The place in the opening that is nearest to a point."""
        lo, hi = self.box.lo, self.box.hi
        x, y, z = (min(max(p, a), b) for p, a, b in zip(point, lo, hi, strict=True))
        return (x, y, z)

    def play(self, kind: Cable) -> float:
        """How much wider it is than the larger plug of a cable needs, mm; negative: too small.

        Plugs go through straight on. Through a rectangle a plug lies square; a corner of it
        may touch the rim of a hole.
        """
        if self.kind is OpeningKind.HOLE:
            return self.size[0] - kind.hole_mm
        least, most = sorted(self.size)
        plays = []
        for plug in kind.plugs:
            small, large = sorted((plug.plug_width_mm, plug.plug_height_mm))
            if plug.section is Section.ROUND:
                small = large
            plays.append(min(least - small, most - large))
        return min(plays)


def cable_holes(board: Board) -> Iterator[Hole]:
    """The cable holes of a board one by one, in the order in which they are counted."""
    for feature in board.features:
        if isinstance(feature, HoleRow) and feature.purpose is Purpose.CABLE:
            yield from feature.holes
        elif isinstance(feature, Hole) and feature.purpose is Purpose.CABLE:
            yield feature


class Zones:
    """The rooms of a design by name, and the openings between them."""

    def __init__(self, casework: Casework) -> None:
        self.casework = casework

    @cached_property
    def spaces(self) -> Mapping[str, Box]:
        """The clear room above each surface of each bay: `bay 1 on shelf-1`, mm."""
        work = self.casework
        shelves = [
            (shelf.bay, board)
            for shelf, board in zip(work.design.shelves, work.shelf_boards, strict=True)
        ]
        spaces = Spaces(work.frame, work.bays, shelves)
        return {
            f"{bay.name} on {on}": spaces.above(bay.number, on)
            for bay in work.bays
            for on in spaces.names(bay.number)
        }

    @cached_property
    def bay_of(self) -> Mapping[str, int]:
        """Number of the bay of each room inside the case."""
        return {name: int(name.split()[1]) for name in self.spaces}

    @cached_property
    def of_bay(self) -> Mapping[int, Mapping[str, Box]]:
        """The rooms of each bay by its number."""
        found: dict[int, dict[str, Box]] = defaultdict(dict)
        for name, box in self.spaces.items():
            found[self.bay_of[name]][name] = box
        return found

    @cached_property
    def case(self) -> Box:
        """The four boards of the case together, mm."""
        return bounds([board.box for board in self.casework.frame.boards])

    @cached_property
    def floor(self) -> float:
        """Height of the floor, mm."""
        return self.casework.floor

    def of(self, point: Vec) -> str | None:
        """The room in which a point is; None in wood and in front of the case."""
        for bay, spaces in self.of_bay.items():
            clear = self.casework.bays[bay - 1].clear
            if not clear.lo[0] - SAME_MM <= point[0] <= clear.hi[0] + SAME_MM:
                continue
            for name, box in spaces.items():
                if all(a - SAME_MM <= p <= b + SAME_MM for a, p, b in _each(box, point)):
                    return name
        case, (x, y, z) = self.case, point
        if y < case.lo[1]:
            return None
        if z > case.hi[2]:
            return ON_TOP if y <= case.hi[1] else BEHIND
        if z < case.lo[2]:
            under = self._under
            inside = under and all(
                under.lo[i] - SAME_MM <= point[i] <= under.hi[i] + SAME_MM for i in (0, 1)
            )
            return UNDER if inside else BEHIND
        rear = [b.box.lo[1] for b in self.casework.panels]
        if y > min([case.hi[1], *rear]):
            return BEHIND
        if x < case.lo[0]:
            return AT_LEFT
        return AT_RIGHT if x > case.hi[0] else None

    @cached_property
    def _under(self) -> Box | None:
        """The space between the boards of the base."""
        base = [b.box for b in self.casework.boards if b.box.hi[2] <= self.case.lo[2] + SAME_MM]
        return bounds(base) if base else None

    @cached_property
    def openings(self) -> tuple[Opening, ...]:
        """Every opening, the narrow ones first, in the order of the boards."""
        narrow = [cut for board in self.casework.boards for cut in self._cut(board)]
        return (*narrow, *self._gaps(), *self._open_backs(), *self._edges())

    def _cut(self, board: Board) -> Iterator[Opening]:
        out = [0.0, 0.0, 0.0]
        out[board.place.out.axis] = float(board.place.out.sign)
        for number, hole in enumerate(cable_holes(board), start=1):
            if hole.surface.axis != 2 or hole.depth is not None:
                continue
            liner = liner_of(hole.diameter)
            clear = liner.clear_mm if liner else hole.diameter
            yield from self._through(
                board,
                Opening(
                    name=f"{board.name} hole {number}",
                    kind=OpeningKind.HOLE,
                    zones=("", ""),
                    box=_at(board, *hole.at),
                    size=(clear, clear),
                    board=board.name,
                    bored=hole.diameter,
                    liner=liner,
                ),
            )
        notches = [f for f in board.features if isinstance(f, Notch)]
        for number, notch in enumerate(notches, start=1):
            (x0, y0), (x1, y1) = notch.lo, notch.hi
            yield from self._through(
                board,
                Opening(
                    name=f"{board.name} notch {number}",
                    kind=OpeningKind.NOTCH,
                    zones=("", ""),
                    box=_at(board, (x0 + x1) / 2, (y0 + y1) / 2),
                    size=(x1 - x0, y1 - y0),
                    board=board.name,
                ),
            )

    def _through(self, board: Board, opening: Opening) -> Iterator[Opening]:
        """The opening with the rooms on either side, where there are two."""
        rooms = []
        axis, half = board.place.out.axis, board.thickness / 2 + BESIDE
        for sign in (-1, 1):
            point = list(opening.centre)
            point[axis] += sign * half
            rooms.append(self.of((point[0], point[1], point[2])))
        one, other = rooms
        if one and other and one != other:
            yield replace(opening, zones=(one, other))

    def _gaps(self) -> Iterator[Opening]:
        """In front of and behind each shelf."""
        work = self.casework
        for shelf, shelf_board in zip(work.design.shelves, work.shelf_boards, strict=True):
            name, board = shelf_board.name, shelf_board.box
            bay = work.bays[shelf.bay - 1]
            front = min(part.box.lo[1] for part in work.with_strips(name))
            middle = (board.lo[2] + board.hi[2]) / 2
            x0, x1 = bay.clear.lo[0], bay.clear.hi[0]
            above, below = (
                self.of(((x0 + x1) / 2, (bay.clear.lo[1] + bay.clear.hi[1]) / 2, z))
                for z in (board.hi[2] + BESIDE, board.lo[2] - BESIDE)
            )
            for where, y0, y1 in (
                ("behind", board.hi[1], bay.clear.hi[1]),
                ("in front of", bay.clear.lo[1], front),
            ):
                if above and below and y1 - y0 > BESIDE:
                    yield Opening(
                        name=f"gap {where} {name}",
                        kind=OpeningKind.GAP,
                        zones=(below, above),
                        box=Box((x0, y0, middle), (x1, y1, middle)),
                        size=(x1 - x0, y1 - y0),
                        board=name,
                        in_sight=where != "behind",
                    )

    def _open_backs(self) -> Iterator[Opening]:
        for name, box in self.spaces.items():
            if self.casework.bays[self.bay_of[name] - 1].open_back:
                y = box.hi[1]
                yield Opening(
                    name=f"open back of {name}",
                    kind=OpeningKind.OPEN_BACK,
                    zones=(name, BEHIND),
                    box=Box((box.lo[0], y, box.lo[2]), (box.hi[0], y, box.hi[2])),
                    size=(box.size[0], box.size[2]),
                )

    def _edges(self) -> Iterator[Opening]:
        """From outside rooms to the room behind, round the rear edges of the case."""
        (x0, _, z0), (x1, y, z1) = self.case.lo, self.case.hi
        edges = [
            ("rear edge of the top", ON_TOP, (x0, y, z1), (x1, y, z1)),
            ("rear edge of the left side", AT_LEFT, (x0, y, z0), (x0, y, z1)),
            ("rear edge of the right side", AT_RIGHT, (x1, y, z0), (x1, y, z1)),
        ]
        base = self.casework.design.base
        if base is not None and base.kind != "plinth":
            edges.append(("open base", UNDER, (x0, y, z0), (x1, y, z0)))
        for name, zone, lo, hi in edges:
            yield Opening(
                name=name,
                kind=OpeningKind.EDGE,
                zones=(zone, BEHIND),
                box=Box(lo, hi),
                size=(ABOVE, ABOVE),
            )


@once
def zones_of(casework: Casework) -> Zones:
    """The rooms and openings of a design."""
    return Zones(casework)


def distance(a: Vec, b: Vec) -> float:
    """Straight from point to point, mm."""
    return hypot(*(p - q for p, q in zip(a, b, strict=True)))


def _at(board: Board, x: float, y: float) -> Box:
    """A point on the middle plane of a board, in the room."""
    point = board.place.to_room((x, y, board.thickness / 2))
    return Box(point, point)


def _each(box: Box, point: Vec) -> Iterator[tuple[float, float, float]]:
    return zip(box.lo, point, box.hi, strict=True)
