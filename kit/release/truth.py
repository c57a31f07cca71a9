"""What the numbers of a pack are held against: the solids, and the rules that start from them."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from math import hypot

from kit.board import FIT_ALLOWANCE, Board, Size
from kit.casework import Casework
from kit.draw.as_measured import as_measured
from kit.edition import ALIKE, Edition, edition
from kit.release.words import NOISE, agrees, tick_mm
from kit.solid import Measures, measure
from kit.units import Rounding, Step, System, decimal, length, residue, text

#: `sheets.json` is written in mm to the third digit.
DIGIT_MM = 0.0005 + 1e-6


@dataclass(frozen=True)
class Truth:
    """The solids of a design by board name, as measured, and how a pack prints their sizes."""

    casework: Casework
    solids: Mapping[str, Measures]
    edition: Edition

    @classmethod
    def of(cls, casework: Casework, system: System) -> "Truth":
        """Measure every solid of a design. Raises SolidError as `solid` does."""
        solids = {board.name: measure(board) for board in casework.boards}
        return cls(casework, solids, edition(casework, system))

    @property
    def system(self) -> System:
        """The display system of the pack."""
        return self.edition.system

    def drawn(self, board: Board) -> tuple[Board, Measures]:
        """A board and its solid as drawn: at its measured opening, where there is one."""
        shown = as_measured(self.casework, board)
        return shown, self.solids[board.name] if shown is board else measure(shown)

    def solid_size(self, board: Board) -> Size:
        """The size of the solid, mm."""
        length, width, thickness = self.solids[board.name].size
        return Size(thickness, width, length)

    def finished(self, board: Board) -> Size:
        """The size of the solid, and of the measured opening where the board is cut to one, mm.

        That is the one place where a list may rightly differ from its solid: the solid shows
        the case as planned, the list the opening as it was measured in the dry-fitted case.
        """
        return self.casework.as_measured(board, self.solid_size(board))

    def cut(self, board: Board) -> Size:
        """The finished size less the strips of edging on it, mm."""
        size = self.finished(board)
        strip = board.edging.thickness_mm if board.edging else 0.0
        return replace(
            size,
            width=size.width - strip * sum(surface.axis == 1 for surface in board.edged),
            length=size.length - strip * sum(surface.axis == 0 for surface in board.edged),
        )

    def rough(self, board: Board) -> Size:
        """The cut size with what is trimmed or fitted later; one layer of a laminated board, mm."""
        cut, side = self.cut(board), board.fit.side if board.fit else ""
        return Size(
            cut.thickness / board.layers,
            cut.width + board.trim + FIT_ALLOWANCE * (side == "width"),
            cut.length + board.trim + FIT_ALLOWANCE * (side == "length"),
        )

    # --- how far a printed number may lie from the truth ------------------------------

    def agrees(self, words: str, mm: float, step: Step = Step.JOINT, *, slack: float = 0.0) -> bool:
        """Whether words of the pack say this length; as places are written, if not told else."""
        return agrees(words, mm, step, self.system, slack=slack)

    def fine(self, words: str, mm: float, slack: float = 0.0, least: float = 0.0) -> bool:
        """The same for thicknesses, bores and joints, which are written as by caliper.

        A housing that its mate needs `least` mm wide is never written narrower: where the
        nearest tick is, the next one up says it. Where the nearest is as wide as that to within
        what the solids are known to, both are right.
        """
        step, system = Step.CALIPER, self.system
        near = agrees(words, mm, step, system, slack=slack)
        if not near and mm + residue(mm, system, step=step) < least + NOISE + slack:
            near = agrees(words, mm, step, system, Rounding.UP, slack)
        return near and length(words) >= least - NOISE - slack

    def size_agrees(self, words: str, mm: float) -> bool:
        """Whether words say the length or width of a board, that measures `mm` as a solid.

        One text is right for one size: that of the edition. It has to lie within half a tick of
        the solid, or within a tick where the edition refused the nearest one since it fits not.
        """
        read, chosen = length(words), self.edition.printed(mm)
        if not words.endswith(f" {self.system.value}") or abs(read - chosen.mm) > NOISE:
            return False
        refused = any(refusal.printed == chosen.text for refusal in self.edition.refusals)
        tick = tick_mm(Step.BOARD, self.system)
        return abs(read - mm) <= (tick if refused else tick / 2) + ALIKE

    def piece_agrees(self, words: str, mm: float, rounding: Rounding) -> bool:
        """Whether words say one side of a piece on the saw, mm as `sheets.json` has it.

        Where that is the size of a board it is written as that board's, else rounded to a tick
        of boards.
        """
        off = [abs(size - mm) for size in self._sizes]
        board = (
            self.size_agrees(words, size)
            for size, far in zip(self._sizes, off, strict=True)
            if far <= ALIKE + DIGIT_MM
        )
        other = min(off) > ALIKE - DIGIT_MM and agrees(
            words, mm, Step.BOARD, self.system, rounding, DIGIT_MM
        )
        return other or any(board)

    def diagonal(self, size: Size) -> float:
        """The diagonal of a board that is cut as printed, mm."""
        printed = self.edition.printed
        return hypot(printed(size.width).mm, printed(size.length).mm)

    @cached_property
    def _sizes(self) -> tuple[float, ...]:
        """Every length and width of a board, at any stage, mm."""
        return tuple(
            side
            for board in self.casework.boards
            for size in (self.finished(board), self.cut(board), self.rough(board))
            for side in (size.width, size.length)
        )

    # --- words for reasons --------------------------------------------------------------

    def say(self, mm: float, step: Step = Step.JOINT) -> str:
        """A length in the units of the pack, and to the hundredth of a millimetre."""
        fine = step is Step.CALIPER
        words = decimal(mm, self.system) if fine else text(mm, self.system, step=step)
        return f"{words} ({mm:.2f} mm)"

    def say_size(self, mm: float) -> str:
        """The same for the length or width of a board, as its lists print it."""
        return f"{self.edition.text(mm)} ({mm:.2f} mm)"

    def named(self, board: Board) -> str:
        """Mark and name of a board, as lists call it."""
        return f"{self.casework.marks[board.name]} {board.name}"
