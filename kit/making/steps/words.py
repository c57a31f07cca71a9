"""How the steps say things: boards with their letters, lengths in one display system."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from kit.board import Board, Surface
from kit.casework import Casework
from kit.checks.stability.handling import ONE_PERSON
from kit.components.made import Fastening, Means
from kit.edition import Edition, edition
from kit.hardware import Head, glue, piece, wood_screws
from kit.making.buy_list.row import GLUE
from kit.making.cut_order import diagonal
from kit.making.steps.step import LIFT
from kit.materials import lumbers
from kit.units import MM_PER_INCH, Step, System, decimal, text

#: A lipping is ripped higher by this and trimmed flush when it is glued on, mm. Common
#: practice, no source.
LIPPING_OVER = MM_PER_INCH / 16


@dataclass(frozen=True)
class Words:
    """The words for one design, its lengths in `system`."""

    casework: Casework
    system: System

    def named(self, boards: Iterable[Board]) -> str:
        """The boards with their letters: `A top, B bottom`."""
        marks = self.casework.marks
        return ", ".join(f"{marks[board.name]} {board.name}" for board in boards)

    @cached_property
    def printed(self) -> Edition:
        """How the sizes of the boards are printed."""
        return edition(self.casework, self.system)

    def say(self, mm: float) -> str:
        """A length to be measured by tape."""
        return text(mm, self.system, step=Step.BOARD)

    def exactly(self, mm: float) -> str:
        """A length to be measured by caliper."""
        return decimal(mm, self.system)

    def clamped(self) -> str:
        """How long the glue stays in the clamps."""
        row = glue(GLUE)
        return f"{row.clamp_min_minutes:.0f} to {row.clamp_max_minutes:.0f} minutes"

    def heavy(self, what: str, boards: Iterable[Board]) -> str:
        """The caution for lifting these boards at once, by their mass."""
        kg = sum(board.mass_kg for board in boards)
        if kg <= ONE_PERSON:
            return LIFT
        return (
            f"{what} weighs {kg:.0f} kg: {self.people(kg)} people lift it, no more than "
            f"{ONE_PERSON:.0f} kg each. Clear the way first."
        )

    def people(self, kg: float) -> int:
        """How many lift a mass: two at least, each no more than one person lifts."""
        return max(2, math.ceil(kg / ONE_PERSON))

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
            if diagonal(board) is not None:
                size = self.casework.as_measured(board, board.cut)
                alike.setdefault(self.printed.diagonal(size), []).append(board)
        for length, equal in alike.items():
            expected = ", as expected" if any(board.fit for board in equal) else ""
            yield f"Check by equal diagonals ({length}{expected}): {self.named(equal)}."

    def measure_back(self, board: Board) -> str:
        """What to measure for a board that is cut to fit, and what to make of it."""
        assert board.fit is not None
        side = board.fit.side
        finished, cut = (
            getattr(self.casework.as_measured(board, size), side)
            for size in (board.finished, board.cut)
        )
        line = f"{self.named([board])}: {self.printed.boards[board.name].fit}"
        line += f"; expected {self.printed.text(finished)}"
        if finished - cut > 0.05:
            line += f", cut {self.exactly(finished - cut)} less for its edging"
        other = "width" if side == "length" else "length"
        over = f", and {self.say(LIPPING_OVER)} over to trim" if is_lipping(board) else ""
        return f"{line}. Its {other}: {self.printed.text(getattr(board.cut, other))}{over}."

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
            lines += self._countersunk(alike)
            if alike[0].means in (Means.DOWELS, Means.CROSS_PINS):
                lines.append(f"Glue the {alike[0].means.value} in with {glue(GLUE).label}.")
            notes = dict.fromkeys((f.board, f.note) for f in alike if f.note)
            lines += [f"{name}: {note}." for name, note in notes]
        return lines

    def _countersunk(self, alike: Sequence[Fastening]) -> Iterator[str]:
        """How flat heads go into the boards that they are driven through; else nothing."""
        key = alike[0].item
        if key is None or key not in wood_screws() or wood_screws()[key].head is not Head.FLAT:
            return
        through: dict[Surface, list[Board]] = {}
        for fastening in alike:
            for host in fastening.to.split(", "):
                pair = self.casework.by_name[fastening.board], self.casework.by_name[host]
                board, face = _driven_through(*pair)
                if board not in through.setdefault(face, []):
                    through[face].append(board)
        if Surface.FACE_A in through:
            yield (
                "Drill and countersink the screws in the show faces of "
                f"{self.named(through[Surface.FACE_A])}; plug or cover the heads that are seen."
            )
        if Surface.FACE_B in through:
            yield (
                "Drill, and countersink the heads flush in the inner faces of "
                f"{self.named(through[Surface.FACE_B])}."
            )

    def _label(self, fastening: Fastening) -> str:
        if fastening.means is Means.GLUE:
            return glue(GLUE).label
        if fastening.item is None:
            return f"{fastening.means.value} of {self.exactly(fastening.diameter or 0.0)}"
        if fastening.item in lumbers():
            rod = lumbers()[fastening.item]
            return f"{rod.nominal} rod, {self.say(fastening.length or 0.0)} long"
        return piece(fastening.item).label


def is_lipping(board: Board) -> bool:
    """Whether a board is the lipping of a shelf."""
    return board.name.endswith("-lipping")


def _driven_through(one: Board, other: Board) -> tuple[Board, Surface]:
    """Of two boards that meet, the one that meets with a face, and its face behind: the heads'."""
    a, b = one.box, other.box
    meets = min(range(3), key=lambda i: min(a.hi[i], b.hi[i]) - max(a.lo[i], b.lo[i]))
    board, mate = (one, other) if one.place.out.axis == meets else (other, one)
    away = board.box.centre[meets] - mate.box.centre[meets]
    return board, Surface.FACE_A if away * board.place.out.sign > 0 else Surface.FACE_B
