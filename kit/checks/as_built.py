"""As built: what the measured sheets and openings change, and what was cut too early.

The plan is the design without anything measured. Where a dry-fitted opening was measured,
the boards that are cut to fit take their size from it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum

from kit.board import Board, Size
from kit.casework import Casework, build
from kit.design import Measured
from kit.errors import BuildError
from kit.finding import Finding, Sense, judge

#: A board that is off by no more than this still fits, mm. Common practice, no source.
FITS = 0.4
#: Sizes closer than this are the same to any saw, mm.
SAME = 0.05


class Verdict(Enum):
    """What becomes of a board now that more is known."""

    AS_PLANNED = "as planned"
    CHANGES = "not cut yet: cut to the new size"
    STILL_FITS = "cut, and still fits"
    TRIM = "cut, and too large: trim it"
    TOO_SMALL = "cut, and too small: cut a new one"


@dataclass(frozen=True, slots=True)
class Change:
    """One board: its cut size as planned and as measured (mm), and what to do."""

    board: str
    planned: Size
    measured: Size
    is_cut: bool

    @property
    def short(self) -> float:
        """What a board cut as planned lacks at most, in length or width, mm."""
        return max(
            self.measured.length - self.planned.length, self.measured.width - self.planned.width
        )

    @property
    def excess(self) -> float:
        """What it has too much at most, in length or width, mm."""
        return max(
            self.planned.length - self.measured.length, self.planned.width - self.measured.width
        )

    @property
    def verdict(self) -> Verdict:
        """What to do with it."""
        if not self.is_cut:
            changed = max(self.short, self.excess) > SAME
            return Verdict.CHANGES if changed else Verdict.AS_PLANNED
        if self.short > FITS:
            return Verdict.TOO_SMALL
        return Verdict.TRIM if self.excess > FITS else Verdict.STILL_FITS


def as_measured(casework: Casework, board: Board) -> Size:
    """The cut size of a board, from the measured opening where it is cut to fit one; mm."""
    size = board.cut
    opening = casework.design.measured.opening
    if board.fit is None or board.fit.opening not in opening:
        return size
    more = opening[board.fit.opening] - casework.openings[board.fit.opening]
    return replace(size, length=size.length + more)


def changes(casework: Casework) -> tuple[Change, ...]:
    """Every board, in build order, against the plan; empty where nothing was measured.

    Raises BuildError for a name under measured.cut or a key under measured.opening that is
    not in the design.
    """
    measured = casework.design.measured
    _check_names(casework)
    if measured == Measured():
        return ()
    plan = build(casework.design.model_copy(update={"measured": Measured()}))
    return tuple(
        Change(
            board.name,
            plan.by_name[board.name].cut,
            as_measured(casework, board),
            board.name in measured.cut,
        )
        for board in casework.boards
    )


def check_as_built(casework: Casework) -> Iterator[Finding]:
    """One finding for each board that was cut before the measures were taken."""
    for change in changes(casework):
        if not change.is_cut:
            continue
        trim = change.verdict is Verdict.TRIM
        yield judge(
            "cut board fits",
            change.board,
            change.short,
            FITS,
            sense=Sense.AT_MOST,
            unit="mm",
            why=f"{change.board} is {change.verdict.value}; it wants "
            f"{casework.say(change.measured.width)} x {casework.say(change.measured.length)} and "
            f"was cut {casework.say(change.planned.width)} x "
            f"{casework.say(change.planned.length)}.",
            watch=FITS - change.short + 1.0 if trim else 0.0,
            source="common-practice",
            boards=(change.board,),
        )


def _check_names(casework: Casework) -> None:
    measured = casework.design.measured
    for name in measured.cut:
        if name not in casework.by_name:
            raise BuildError(
                f"measured.cut names the board {name!r}, which is not in the design; its boards "
                f"are {', '.join(casework.by_name)}."
            )
    for key in measured.opening:
        if key not in casework.openings:
            raise BuildError(
                f"measured.opening has {key!r}, and the openings of this case are "
                f"{', '.join(casework.openings)}; use one of those."
            )
