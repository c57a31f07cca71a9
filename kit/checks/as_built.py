"""As built: what the measured sheets and openings change, and what was cut too early.

The plan is the design without anything measured. Where a dry-fitted opening was measured,
the boards that are cut to fit take their size from it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from kit.board import Size
from kit.casework import Casework, build
from kit.design import Measured
from kit.edition import edition
from kit.finding import Finding, Sense, judge

#: A board that is off by no more than this still fits, mm. Common practice, no source.
FITS = 0.4
#: A dry-fitted opening farther from the plan than this is a mistake somewhere, mm. As above.
OFF_PLAN = 3.0
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


def plan_of(casework: Casework) -> Casework:
    """The design as planned: built without anything measured."""
    return build(casework.design.model_copy(update={"measured": Measured()}))


def changes(casework: Casework) -> tuple[Change, ...]:
    """Every board of the design, in build order, against the plan.

    Empty where nothing was measured; boards that were added beside the design have no plan.
    """
    measured = casework.design.measured
    if measured == Measured():
        return ()
    plan = plan_of(casework)
    return tuple(
        Change(
            board.name,
            plan.by_name[board.name].cut,
            casework.as_measured(board, board.cut),
            board.name in measured.cut,
        )
        for board in casework.boards
        if board.name in plan.by_name
    )


def check_as_built(casework: Casework) -> Iterator[Finding]:
    """Each measured opening against the plan, and each board that was cut before."""
    for key, measured in casework.design.measured.opening.items():
        planned = casework.openings[key]
        yield judge(
            "opening as planned",
            key,
            abs(measured - planned),
            OFF_PLAN,
            sense=Sense.AT_MOST,
            unit="mm",
            watch=OFF_PLAN - FITS,
            why=f"The opening measures {casework.say(measured)} and was planned "
            f"{casework.say(planned)}; measure again, and look for the joint that does not close.",
            source="common-practice",
        )
    if not casework.design.measured.cut:
        return
    units = casework.design.shop.units
    now, before = edition(casework, units), edition(plan_of(casework), units)
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
            f"{now.size(change.measured)} and was cut {before.size(change.planned)}.",
            watch=FITS - change.short + 1.0 if trim else 0.0,
            source="common-practice",
            boards=(change.board,),
        )
