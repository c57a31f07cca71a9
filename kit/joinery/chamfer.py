"""The chamfer: an edge of a face taken off at 45 degrees; a small one eases the edge."""

from collections.abc import Iterator
from dataclasses import dataclass

from kit.board import Board, Feature, Operation, Problem, SetUp, Surface
from kit.geometry import SAME_MM, Vec, Wedge
from kit.units import Say, System, decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Chamfer(Feature):
    """`size` mm off the arrises of `surface` (a face) along the edges and ends in `on`."""

    surface: Surface
    on: tuple[Surface, ...]
    size: float

    def _wedge(self, board: Board, side: Surface) -> Wedge:
        run_axis = 1 - side.axis
        corner = list(board.point(side, (0.0, 0.0)))
        corner[2] = board.thickness if self.surface.far else 0.0
        run = [0.0, 0.0, 0.0]
        run[run_axis] = (board.length, board.width)[run_axis]
        size = self.size

        def scaled(v: Vec) -> Vec:
            return (v[0] * size, v[1] * size, v[2] * size)

        return Wedge(
            (corner[0], corner[1], corner[2]),
            scaled(side.inward),
            scaled(self.surface.inward),
            (run[0], run[1], run[2]),
        )

    def cutters(self, board: Board) -> tuple[Wedge, ...]:
        """One triangular strip an edge."""
        return tuple(self._wedge(board, side) for side in self.on)

    def shared_mm3(self, board: Board) -> float:
        """Where two chamfers meet at a corner both take the same pyramid, size cubed / 3."""
        ends = sum(side.axis == 0 for side in self.on)
        return ends * (len(self.on) - ends) * self.size**3 / 3

    def callout(self, board: Board, system: System) -> str:
        """Size and angle."""
        return f"chamfer {decimal(self.size, system)} x 45\N{DEGREE SIGN}"

    def set_ups(self, board: Board) -> tuple[SetUp, ...]:
        """One setting of the chamfer bit for each edge and end; ends first."""
        return tuple(
            SetUp(
                operation=Operation.CHAMFER,
                tool="chamfer bit, 45 deg",
                width=self.size,
                depth=self.size,
                fence=0.0,
                against=side,
                surface=self.surface,
                note="ends before edges, so that break-out is cut away",
            )
            for side in sorted(self.on, key=lambda side: side.axis)
        )

    def problems(self, board: Board, say: Say) -> Iterator[Problem]:
        """Larger than the board, or not along an edge."""
        if (
            not 0 < self.size < min(board.thickness, board.width / 2, board.length / 2)
            or not self.on
            or len(set(self.on)) < len(self.on)
            or any(side.axis == 2 for side in self.on)
        ):
            yield Problem(
                rule="chamfer size",
                why=f"a chamfer of {say(self.size)} does not fit a board "
                f"{say(board.thickness)} thick; make it smaller than the board.",
                measured=self.size,
                required=board.thickness,
                impossible=True,
            )
        elif self.size > board.thickness / 2 + SAME_MM:
            yield Problem(
                rule="wood under the chamfer",
                why=f"a chamfer of {say(self.size)} leaves a thin edge on a board "
                f"{say(board.thickness)} thick; keep to half the thickness.",
                measured=board.thickness - self.size,
                required=board.thickness / 2,
            )
