"""How the steps say things: boards with their letters, lengths in one display system."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from kit.board import Board
from kit.casework import Casework
from kit.components.made import Fastening, Means
from kit.hardware import glue, piece
from kit.making.buy_list.row import GLUE
from kit.making.steps.step import LIFT
from kit.materials import lumbers
from kit.units import System, decimal, text

#: Boards at least this long and wide are checked by their diagonals, mm.
BIG_LENGTH, BIG_WIDTH = 600.0, 300.0
#: A piece heavier than this is lifted in twos, kg.
HEAVY_KG = 20.0


@dataclass(frozen=True, slots=True)
class Words:
    """The words for one design, its lengths in `system`."""

    casework: Casework
    system: System

    def named(self, boards: Iterable[Board]) -> str:
        """The boards with their letters: `A top, B bottom`."""
        marks = self.casework.marks
        return ", ".join(f"{marks[board.name]} {board.name}" for board in boards)

    def say(self, mm: float) -> str:
        """A length to be measured by tape."""
        return text(mm, self.system)

    def exactly(self, mm: float) -> str:
        """A length to be measured by caliper."""
        return decimal(mm, self.system)

    def clamped(self) -> str:
        """How long the glue stays in the clamps."""
        row = glue(GLUE)
        return f"{row.clamp_min_minutes:.0f} to {row.clamp_max_minutes:.0f} minutes"

    def heavy(self) -> str:
        """The caution for lifting the piece."""
        kg = self.casework.mass_kg
        return f"The wood alone weighs {kg:.0f} kg. {LIFT}" if kg > HEAVY_KG else LIFT

    def square(self) -> str:
        """How the case is proved square, with the value."""
        case = self.casework.design.case
        return (
            "Both diagonals across the front, outside corner to outside corner, must be equal: "
            f"{self.say(math.hypot(case.width, case.height))} each. So at the rear."
        )

    def diagonals(self, boards: Iterable[Board]) -> Iterator[str]:
        """How big boards are proved square; equal ones in one line."""
        alike: dict[str, list[Board]] = {}
        for board in boards:
            short, long = sorted((board.cut.length, board.cut.width))
            if long >= BIG_LENGTH and short >= BIG_WIDTH:
                alike.setdefault(self.say(math.hypot(short, long)), []).append(board)
        for diagonal, equal in alike.items():
            expected = ", as expected" if any(board.fit for board in equal) else ""
            yield f"Check by equal diagonals ({diagonal}{expected}): {self.named(equal)}."

    def measure_back(self, board: Board) -> str:
        """What to measure for a board that is cut to fit, and what to make of it."""
        assert board.fit is not None
        side = board.fit.side
        finished, cut = getattr(board.finished, side), getattr(board.cut, side)
        line = f"{self.named([board])}: {board.fit.formula(self.system)}"
        line += f"; expected {self.say(finished)}"
        if finished - cut > 0.05:
            line += f", cut {self.exactly(finished - cut)} less for its edging"
        other = "width" if side == "length" else "length"
        return f"{line}. Its {other}: {self.say(getattr(board.cut, other))}."

    def edging(self, boards: Iterable[Board]) -> list[str]:
        """Which edging goes on which sides; one line a kind."""
        rows: dict[str, list[str]] = {}
        for board in boards:
            if board.edging:
                sides = ", ".join(surface.plain for surface in board.edged)
                rows.setdefault(board.edging.label, []).append(f"{self.named([board])} ({sides})")
        return [f"{label}: {'; '.join(where)}." for label, where in rows.items()]

    def fastened(self, fastenings: Sequence[Fastening]) -> list[str]:
        """One line a kind of fastener: how many, and from which board to which."""
        groups: dict[str, list[Fastening]] = {}
        for fastening in fastenings:
            groups.setdefault(self._label(fastening), []).append(fastening)
        lines = []
        for label, alike in groups.items():
            if alike[0].means is Means.GLUE:
                lines.append(f"{label}: {', '.join(f'{f.board} to {f.to}' for f in alike)}.")
            else:
                pairs = ", ".join(f"{f.board} to {f.to} {f.count}" for f in alike)
                lines.append(f"{sum(f.count for f in alike)} x {label}: {pairs}.")
            notes = dict.fromkeys((f.board, f.note) for f in alike if f.note)
            lines += [f"{name}: {note}." for name, note in notes]
        return lines

    def _label(self, fastening: Fastening) -> str:
        if fastening.means is Means.GLUE:
            return glue(GLUE).label
        if fastening.item is None:
            return f"{fastening.means.value} of {self.exactly(fastening.diameter or 0.0)}"
        if fastening.item in lumbers():
            rod = lumbers()[fastening.item]
            return f"{rod.nominal} rod, {self.say(fastening.length or 0.0)} long"
        return piece(fastening.item).label
