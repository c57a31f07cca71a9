"""What the numbers of a pack are held against: the solids, and the rules that start from them."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from kit.board import FIT_ALLOWANCE, Board, Size
from kit.casework import Casework
from kit.release.words import Precision, Style, agrees
from kit.solid import Measures, measure
from kit.units import Step, decimal, text


@dataclass(frozen=True)
class Truth:
    """The solids of a design by board name, as measured, and how a pack writes them."""

    casework: Casework
    solids: Mapping[str, Measures]
    style: Style

    @classmethod
    def of(cls, casework: Casework, style: Style | None = None) -> "Truth":
        """Measure every solid of a design. Raises SolidError as `solid` does."""
        solids = {board.name: measure(board) for board in casework.boards}
        return cls(casework, solids, style or Style(casework.design.shop.units))

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

    def agrees(
        self, words: str, mm: float, precision: Precision | None = None, slack: float = 0.0
    ) -> bool:
        """Whether words of the pack say this length; as sizes are written, if not told else."""
        return agrees(words, mm, precision or self.style.sizes, self.style.system, slack)

    def fine(self, words: str, mm: float, slack: float = 0.0) -> bool:
        """The same as thicknesses, bores and joints are written."""
        return self.agrees(words, mm, self.style.fine, slack)

    def say(self, mm: float, precision: Precision | None = None) -> str:
        """A length in the units of the pack, and to the hundredth of a millimetre."""
        step = (precision or self.style.sizes).step
        system = self.style.system
        words = decimal(mm, system) if step is Step.CALIPER else text(mm, system, step=step)
        return f"{words} ({mm:.2f} mm)"

    def named(self, board: Board) -> str:
        """Mark and name of a board, as lists call it."""
        return f"{self.casework.marks[board.name]} {board.name}"
