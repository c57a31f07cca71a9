"""The notch: a rectangle taken out of an edge, end or corner, right through."""

from collections.abc import Iterator
from dataclasses import dataclass

from kit.board import Board, Feature, Operation, Problem, SetUp, Surface
from kit.geometry import SAME_MM, Box
from kit.units import Say, System, text


@dataclass(frozen=True, slots=True, kw_only=True)
class Notch(Feature):
    """The rectangle from `lo` to `hi` (x, y in mm from the datum corner), right through.

    It must reach at least one edge or end: baseboard, cable tail, lap over a rail.
    """

    lo: tuple[float, float]
    hi: tuple[float, float]
    surface: Surface = Surface.FACE_A

    def cutters(self, board: Board) -> tuple[Box, ...]:
        """One box through the thickness."""
        return (Box((*self.lo, 0.0), (*self.hi, board.thickness)),)

    def callout(self, board: Board, system: System) -> str:
        """Size along the length x across it."""
        dx, dy = (b - a for a, b in zip(self.lo, self.hi, strict=True))
        return f"notch {text(dx, system)} x {text(dy, system)}"

    def set_ups(self, board: Board) -> tuple[SetUp, ...]:
        """One setting: jigsaw or bandsaw to the line."""
        return (
            SetUp(
                operation=Operation.NOTCH,
                tool="jigsaw or router with a template",
                width=self.hi[0] - self.lo[0],
                depth=self.hi[1] - self.lo[1],
                fence=self.lo[0],
                against=Surface.END_1,
                surface=self.surface,
                stations=(self.lo[1], self.hi[1]),
                note="inside corners keep the radius of the cutter",
            ),
        )

    def problems(self, board: Board, say: Say) -> Iterator[Problem]:
        """Off the board, an enclosed rectangle, or one that cuts the board in two."""
        inside = all(
            -SAME_MM <= a < b <= s + SAME_MM
            for a, b, s in zip(self.lo, self.hi, (board.length, board.width), strict=True)
        )
        reach = [self.lo[0] <= SAME_MM, self.hi[0] >= board.length - SAME_MM]
        sides = [self.lo[1] <= SAME_MM, self.hi[1] >= board.width - SAME_MM]
        if not inside or not any(reach + sides) or all(reach) or all(sides):
            yield Problem(
                rule="notch place",
                why=f"the notch, {say(self.lo[0])} to {say(self.hi[0])} along and "
                f"{say(self.lo[1])} to {say(self.hi[1])} across, must lie on the board, "
                f"{say(board.length)} x {say(board.width)}, reach an edge, and "
                "leave it in one piece.",
                measured=0.0,
                required=0.0,
                impossible=True,
            )
