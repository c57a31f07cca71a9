"""What rabbet, dado and groove have in common: a square-cornered channel in a face."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from kit.board import Board, Feature, Operation, Problem, SetUp, Surface
from kit.geometry import SAME_MM, Box
from kit.joinery.fit import Fit
from kit.units import Say, System, decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Trench(Feature):
    """A channel in face A or B, mm from the datum corner.

    It runs along axis `run` (0 with the length, 1 across it) from `start` to `stop`; its near
    wall lies `offset` from end 1 (run 1) or edge 1 (run 0). `mate` names the board it houses,
    `also` those that it houses beside it.
    """

    run: ClassVar[int]
    operation: ClassVar[Operation]
    #: Least share of the thickness that has to stay under it.
    least_left: ClassVar[float] = 0.5
    source: ClassVar[str] = "common-practice"

    surface: Surface
    offset: float
    width: float
    depth: float
    start: float
    stop: float
    mate: str = ""
    also: tuple[str, ...] = ()
    fit: Fit = Fit.GLUED

    @property
    def across(self) -> int:
        """The board axis that `offset` and `width` are measured along."""
        return 1 - self.run

    def is_through(self, board: Board) -> bool:
        """Whether it runs out at both ends."""
        return (
            self.start <= SAME_MM and self.stop >= (board.length, board.width)[self.run] - SAME_MM
        )

    def cutters(self, board: Board) -> tuple[Box]:
        """The channel as one box."""
        lo, hi = [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]
        lo[self.run], hi[self.run] = self.start, self.stop
        lo[self.across], hi[self.across] = self.offset, self.offset + self.width
        if self.surface is Surface.FACE_A:
            lo[2], hi[2] = board.thickness - self.depth, board.thickness
        else:
            hi[2] = self.depth
        return (Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])),)

    @property
    def least_width(self) -> float:
        """What it may never be printed narrower than, mm: its mate and half of the fit."""
        return self.width - self.fit.gap / 2 if self.mate else 0.0

    def callout(self, board: Board, system: System) -> str:
        """Name, width x depth, and whether it stops; where it does stands on the drawing."""
        words = (
            f"{self.operation.value} {decimal(self.width, system, least=self.least_width)} wide"
            f" x {decimal(self.depth, system)} deep"
        )
        if not self.is_through(board):
            words += ", stopped"
        return words + (f", for {' and '.join((self.mate, *self.also))}" if self.mate else "")

    def set_ups(self, board: Board) -> tuple[SetUp, ...]:
        """One setting: width, depth and fence from the datum edge or end."""
        notes = []
        if self.run == 1 and board.stock.grained:
            notes.append("crosses the face grain: score or tape both lines first")
        if not self.is_through(board):
            notes.append("stopped: square the ends with a chisel")
        return (
            SetUp(
                operation=self.operation,
                tool="dado set or straight bit" if self.is_through(board) else "straight bit",
                width=self.width,
                width_least=self.least_width,
                depth=self.depth,
                fence=self.offset,
                against=(Surface.EDGE_1, Surface.END_1)[self.run],
                surface=self.surface,
                stations=() if self.is_through(board) else (self.start, self.stop),
                note="; ".join(notes),
            ),
        )

    def problems(self, board: Board, say: Say) -> Iterator[Problem]:
        """Off the board, right through it, or too little wood left under it."""
        name = self.operation.value
        size = (board.length, board.width)
        span, reach = size[self.across], size[self.run]
        if self.depth >= board.thickness - SAME_MM or self.depth <= 0:
            yield Problem(
                rule=f"{name} depth",
                why=f"the {name} is {say(self.depth)} deep in a board {say(board.thickness)} "
                "thick; make it shallower than the board.",
                measured=self.depth,
                required=board.thickness,
                impossible=True,
            )
            return
        if (
            self.offset < -SAME_MM
            or self.offset + self.width > span + SAME_MM
            or self.start < -SAME_MM
            or self.stop > reach + SAME_MM
            or self.stop <= self.start
            or self.width <= 0
        ):
            yield Problem(
                rule=f"{name} place",
                why=f"the {name} at {say(self.offset)}, {say(self.width)} wide, from "
                f"{say(self.start)} to {say(self.stop)} lies off the board "
                f"({say(board.length)} x {say(board.width)}); move it onto the board.",
                measured=self.offset,
                required=0.0,
                impossible=True,
            )
            return
        left, least = board.thickness - self.depth, self.least_left * board.thickness
        if left < least - SAME_MM:
            yield Problem(
                rule=f"wood under the {name}",
                why=f"{say(left)} stays under the {name}; "
                f"{self.least_left:.0%} of the thickness should.",
                measured=left,
                required=least,
                source=self.source,
            )
        yield from self.edge_problems(board, say)

    def edge_problems(self, board: Board, say: Say) -> Iterator[Problem]:
        """Too little wood between the channel and the edge beside it."""
        span = (board.length, board.width)[self.across]
        land = min(self.offset, span - self.offset - self.width)
        least = self.least_land(board)
        if land < least - SAME_MM:
            yield Problem(
                rule=f"wood beside the {self.operation.value}",
                why=f"{say(land)} of wood stands between the {self.operation.value} and the "
                f"edge beside it; it breaks out under {say(least)}.",
                measured=land,
                required=least,
                source=self.source,
            )

    def least_land(self, board: Board) -> float:
        """Least wood beside the channel, mm."""
        return board.thickness / 2
