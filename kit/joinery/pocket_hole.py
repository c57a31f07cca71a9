"""Pocket holes: slanted two-step bores that take a screw out through an edge or end."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from kit.board import Board, Feature, Operation, Problem, SetUp, Surface
from kit.geometry import Drill, Vec
from kit.units import Say, System

#: Slant of the bore against the face, degrees. Source: makers of pocket screws.
ANGLE_DEG = 15.0
#: Thinner boards than this cannot hold one, mm. Common practice, no source.
LEAST_STOCK = 11.0
#: Wood beside a pocket hole, mm. Common practice, no source.
LEAST_BESIDE = 6.0


def bore_diameter(board: Board) -> float:
    """Diameter of the wide bore, mm: 9.5, or 7 in boards under 15 mm. From memory."""
    return 9.5 if board.thickness >= 15.0 else 7.0


def pocket_reach(board: Board) -> float:
    """How far from the exit the mouth of a pocket reaches over the face, mm."""
    slant = math.radians(ANGLE_DEG)
    return board.thickness / 2 / math.tan(slant) + bore_diameter(board) / 2 / math.sin(slant)


@dataclass(frozen=True, slots=True, kw_only=True)
class PocketHoles(Feature):
    """Pocket holes in `surface` (a face) that come out of `exit` at mid thickness.

    `stations` are mm along the exit edge or end, from the datum corner. The wide bore stops
    `web` mm (on its axis) short of the exit; a pilot goes on. The web is as long as
    the board is thick, or less, so that the shoulder keeps its full circle in the wood.
    """

    surface: Surface
    exit: Surface
    stations: tuple[float, ...]
    pilot: float = 4.0

    @property
    def hole_count(self) -> int:
        """How many there are."""
        return len(self.stations)

    def web(self, board: Board) -> float:
        """Wood from the shoulder to the exit, on the axis, mm."""
        slant = math.radians(ANGLE_DEG)
        radius = bore_diameter(board) / 2
        room = (board.thickness / 2 - radius * math.cos(slant) - 0.2) / math.sin(slant)
        return min(board.thickness, room)

    def _drills(self, board: Board, station: float) -> tuple[Drill, Drill]:
        slant = math.radians(ANGLE_DEG)
        rise = 1.0 if self.surface.far else -1.0
        inward = self.exit.inward
        up = (0.0, 0.0, rise)
        out = [-math.cos(slant) * i - math.sin(slant) * u for i, u in zip(inward, up, strict=True)]
        heading: Vec = (out[0], out[1], out[2])
        on_axis = board.thickness / 2 / math.sin(slant)
        foot = board.point(self.exit, (station, board.thickness / 2))
        entry = tuple(f - h * on_axis for f, h in zip(foot, heading, strict=True))
        web = self.web(board)
        shoulder = tuple(f - h * web for f, h in zip(foot, heading, strict=True))
        return (
            Drill(
                (entry[0], entry[1], entry[2]),
                heading,
                bore_diameter(board),
                on_axis - web,
            ),
            Drill((shoulder[0], shoulder[1], shoulder[2]), heading, self.pilot, web, through=True),
        )

    def cutters(self, board: Board) -> tuple[Drill, ...]:
        """Bore and pilot of each pocket."""
        return tuple(drill for s in self.stations for drill in self._drills(board, s))

    def callout(self, board: Board, system: System) -> str:
        """Count and exit; where they are stands on the drawing."""
        return f"{len(self.stations)}x pocket hole to {self.exit.plain}"

    def set_ups(self, board: Board) -> tuple[SetUp, ...]:
        """One setting of the pocket jig."""
        return (
            SetUp(
                operation=Operation.POCKET,
                tool=f"stepped pocket drill, jig at {ANGLE_DEG:.0f} deg",
                width=bore_diameter(board),
                depth=board.thickness / 2 / math.sin(math.radians(ANGLE_DEG)) - self.web(board),
                fence=0.0,
                against=self.exit,
                surface=self.surface,
                stations=self.stations,
                note="set jig and stop collar for this stock",
            ),
        )

    def problems(self, board: Board, say: Say) -> Iterator[Problem]:
        """Stock too thin, or a pocket off the board or too near its corner."""
        if board.thickness < LEAST_STOCK:
            yield Problem(
                rule="pocket hole stock",
                why=f"a pocket hole does not hold in stock {say(board.thickness)} thick; "
                f"use stock of {say(LEAST_STOCK)} or more, or another joint.",
                measured=board.thickness,
                required=LEAST_STOCK,
                impossible=True,
            )
            return
        span = board.span(self.exit)[0]
        reach = (board.length, board.width)[self.exit.axis]
        land = min(min(s, span - s) - bore_diameter(board) / 2 for s in self.stations)
        if land <= 0 or pocket_reach(board) > reach:
            yield Problem(
                rule="pocket hole place",
                why=f"pocket holes at {', '.join(map(say, self.stations))} do not fit "
                f"a board of {say(board.length)} x {say(board.width)}; "
                "move them inwards or use a larger board.",
                measured=land,
                required=0.0,
                impossible=True,
            )
        elif land < LEAST_BESIDE:
            yield Problem(
                rule="wood beside a pocket hole",
                why=f"{say(land)} stays beside a pocket hole; "
                f"leave {say(LEAST_BESIDE)} or it splits.",
                measured=land,
                required=LEAST_BESIDE,
            )
