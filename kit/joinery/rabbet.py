"""The rabbet: a step along an edge or end."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

from kit.board import Board, Operation, Problem, SetUp, Surface
from kit.geometry import SAME_MM
from kit.joinery.fit import Fit
from kit.joinery.trench import Trench
from kit.units import Say


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rabbet(Trench):
    operation = Operation.RABBET
    least_left = 0.25
    fit: Fit = Fit.FLUSH

    def at_far_side(self, board: Board) -> bool:
        """Whether the step is at end 2 or edge 2."""
        return self.offset + self.width >= (board.length, board.width)[self.across] - SAME_MM

    def set_ups(self, board: Board) -> tuple[SetUp, ...]:
        """One setting, with the rabbeted edge or end against the fence."""
        (plain,) = Trench.set_ups(self, board)
        near = (Surface.EDGE_1, Surface.END_1)[self.run]
        far = (Surface.EDGE_2, Surface.END_2)[self.run]
        against = far if self.at_far_side(board) else near
        return (replace(plain, fence=0.0, against=against),)

    def edge_problems(self, board: Board, say: Say) -> Iterator[Problem]:
        """A rabbet has no wood beside it: it must reach the edge or end."""
        if self.offset > SAME_MM and not self.at_far_side(board):
            yield Problem(
                rule="rabbet place",
                why=f"the rabbet at {say(self.offset)} does not reach an edge; cut a groove "
                "or dado there instead.",
                measured=self.offset,
                required=0.0,
                impossible=True,
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class EndRabbet(_Rabbet):
    """A step across an end, as for the corner of a case.

    Width = the greatest measured thickness of the mate; depth 1/2 in in 3/4 in stock, with
    at least a quarter of the thickness left. Source: common practice, no source.
    """

    run: ClassVar[int] = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeRabbet(_Rabbet):
    """A step along an edge, as for a back panel: as wide as the panel is thick, half deep.

    At least a quarter of the thickness is left. Source: common practice, no source.
    """

    run: ClassVar[int] = 0
