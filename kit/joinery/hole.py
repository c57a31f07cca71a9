"""Holes, one or a row: cable holes, shelf pins, dowels, screw clearance."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from kit.board import Board, Feature, Operation, Problem, SetUp, Surface
from kit.geometry import SAME_MM, Drill
from kit.units import Say, System, decimal

#: Wood between the end of a blind hole and the far face, for the point of the bit, mm.
#: Common practice, no source.
LEAST_BEHIND = 1.5


class Purpose(Enum):
    """What a hole is for, as printed."""

    CABLE = "cable hole"
    SHELF_PIN = "shelf pins"
    CROSS_PIN = "cross pins"
    DOWEL = "dowels"
    SCREW = "screw clearance"
    PULL = "finger pull"
    VENT = "vent"
    BOLT = "bolts"
    FAN = "fan opening"
    FAN_SCREW = "fan screws"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole(Feature):
    """One hole into any surface, its centre at `at` mm along the two axes of that surface.

    `depth` None goes right through. A round-bottomed or pointed cutter leaves a little more.
    """

    surface: Surface
    at: tuple[float, float]
    diameter: float
    depth: float | None = None
    purpose: Purpose = Purpose.CABLE

    @property
    def hole_count(self) -> int:
        """One."""
        return 1

    def cutters(self, board: Board) -> tuple[Drill, ...]:
        """One straight cylinder."""
        full = (board.length, board.width, board.thickness)[self.surface.axis]
        return (
            Drill(
                entry=board.point(self.surface, self.at),
                heading=self.surface.inward,
                diameter=self.diameter,
                depth=full if self.depth is None else self.depth,
                through=self.depth is None,
            ),
        )

    def callout(self, board: Board, system: System) -> str:
        """Diameter, depth and purpose."""
        depth = "through" if self.depth is None else f"{decimal(self.depth, system)} deep"
        return f"\N{DIAMETER SIGN}{decimal(self.diameter, system)} {depth}, {self.purpose.value}"

    def set_ups(self, board: Board) -> tuple[SetUp, ...]:
        """One setting of the drill."""
        return (_bore(self, board, (self.at,), along=0),)

    def problems(self, board: Board, say: Say) -> Iterator[Problem]:
        """See `_bore_problems`."""
        return _bore_problems(self, board, say, self.at, self.at)


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleRow(Feature):
    """`count` equal holes along board axis `along`, `pitch` mm apart, the first at `at`.

    Shelf pins: 5 mm holes at 32 mm pitch, 37 mm from the front (32 mm system); 1/4 in at 1 in
    is common too. Only the holes wanted are drilled.
    """

    surface: Surface
    at: tuple[float, float]
    pitch: float
    count: int
    along: int
    diameter: float
    depth: float | None = None
    purpose: Purpose = Purpose.SHELF_PIN

    @property
    def hole_count(self) -> int:
        """All in the row."""
        return self.count

    @property
    def centres(self) -> tuple[tuple[float, float], ...]:
        """Centres on the surface, in order."""
        axes = [i for i in range(3) if i != self.surface.axis]
        which = axes.index(self.along)
        u, v = self.at
        return tuple(
            (u + i * self.pitch, v) if which == 0 else (u, v + i * self.pitch)
            for i in range(self.count)
        )

    @property
    def holes(self) -> tuple[Hole, ...]:
        """The holes one by one."""
        return tuple(
            Hole(
                surface=self.surface,
                at=at,
                diameter=self.diameter,
                depth=self.depth,
                purpose=self.purpose,
            )
            for at in self.centres
        )

    def cutters(self, board: Board) -> tuple[Drill, ...]:
        """One straight cylinder a hole."""
        return tuple(cutter for hole in self.holes for cutter in hole.cutters(board))

    def callout(self, board: Board, system: System) -> str:
        """Count x one hole, and the pitch."""
        one = self.holes[0].callout(board, system)
        if self.count == 1:
            return one
        return f"{self.count}x {one}, {decimal(self.pitch, system)} apart"

    def set_ups(self, board: Board) -> tuple[SetUp, ...]:
        """One setting of the drill."""
        return (_bore(self, board, self.centres, along=self.along),)

    def problems(self, board: Board, say: Say) -> Iterator[Problem]:
        """See `_bore_problems`; and holes that run into each other."""
        if self.count < 1:
            yield Problem(
                rule="hole count",
                why=f"the row of {self.purpose.value} has {self.count} holes; ask for one or more.",
                measured=self.count,
                required=1,
                impossible=True,
            )
            return
        yield from _bore_problems(self, board, say, self.centres[0], self.centres[-1])
        if self.count > 1 and self.pitch < 1.5 * self.diameter:
            yield Problem(
                rule="hole pitch",
                why=f"holes {say(self.diameter)} wide stand {say(self.pitch)} apart; "
                "leave half a diameter of wood between them.",
                measured=self.pitch,
                required=1.5 * self.diameter,
            )


def _bore(
    bore: Hole | HoleRow, board: Board, centres: tuple[tuple[float, float], ...], *, along: int
) -> SetUp:
    """The setting of a drill whose fence runs along board axis `along`."""
    surface = bore.surface
    axes = [i for i in range(3) if i != surface.axis]
    run = axes.index(along) if along in axes else 0
    against = {0: Surface.END_1, 1: Surface.EDGE_1, 2: Surface.FACE_B}[axes[1 - run]]
    full = (board.length, board.width, board.thickness)[surface.axis]
    return SetUp(
        operation=Operation.BORE,
        tool="drill",
        width=bore.diameter,
        depth=full if bore.depth is None else bore.depth,
        fence=centres[0][1 - run],
        against=against,
        surface=surface,
        stations=tuple(centre[run] for centre in centres),
        note="back it up: the far side breaks out" if bore.depth is None else "",
    )


def _bore_problems(
    bore: Hole | HoleRow,
    board: Board,
    say: Say,
    first: tuple[float, float],
    last: tuple[float, float],
) -> Iterator[Problem]:
    """Off the surface, through a wall it should not reach, too near an edge, nearly through."""
    radius = bore.diameter / 2
    span = board.span(bore.surface)
    land = min(
        *(p - radius for p in first),
        *(p - radius for p in last),
        *(s - p - radius for s, p in zip(span, first, strict=True)),
        *(s - p - radius for s, p in zip(span, last, strict=True)),
    )
    full = (board.length, board.width, board.thickness)[bore.surface.axis]
    if land <= 0 or bore.diameter <= 0:
        yield Problem(
            rule="hole place",
            why=f"a hole {say(bore.diameter)} wide, its middle at {say(first[0])}, "
            f"{say(first[1])}, runs off {bore.surface.plain}, "
            f"{say(span[0])} x {say(span[1])}; move it inwards.",
            measured=land,
            required=0.0,
            impossible=True,
        )
        return
    if bore.depth is not None and not 0 < bore.depth < full - SAME_MM:
        yield Problem(
            rule="hole depth",
            why=f"a blind hole {say(bore.depth)} deep comes out of wood {say(full)} thick; "
            "make it shallower.",
            measured=bore.depth,
            required=full,
            impossible=True,
        )
        return
    if bore.depth is not None and bore.surface.axis == 2 and full - bore.depth < LEAST_BEHIND:
        yield Problem(
            rule="wood behind a hole",
            why=f"{say(full - bore.depth)} stays behind a blind hole; the point of the bit "
            f"shows through under {say(LEAST_BEHIND)}.",
            measured=full - bore.depth,
            required=LEAST_BEHIND,
        )
    least = 3.0 if bore.surface.axis == 2 else 2.0
    if land < least:
        yield Problem(
            rule="wood beside a hole",
            why=f"{say(land)} stays between a hole and the edge beside it; "
            f"leave {say(least)} or it breaks out.",
            measured=land,
            required=least,
        )
