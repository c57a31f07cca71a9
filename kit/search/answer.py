"""What is known of one candidate: as much as was asked so far, and bounds for the rest."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum

from kit.finding import Status
from kit.search.request import Goal, Limit, Measure

#: No number is known, and none can be ruled out.
ANY = -math.inf


class Stage(IntEnum):
    """How far a candidate has been judged; each costs about as much as all before."""

    BUILT = 1
    """Boards, and bounds by area."""
    CHECKED = 2
    """Every check has run."""
    LAID_OUT = 3
    """Every board lies on a sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What is known of a candidate, as far as it was judged.

    `refused` says why it cannot be built or laid out. Sizes are those over all in mm, `size_m3`
    that of the case. `hottest` is a device and the air that it draws in, in °C; `sag` the
    board that is nearest to what is allowed, its sag in mm and the share of that; `most_sag_mm` is
    the greatest sag of any board. `cost` is in the currency of the design, and
    None where a sheet or a length of wood has no price; the least of sheets and cost are bounds.
    """

    stage: Stage
    refused: str = ""
    size_mm: tuple[float, float, float] = (0.0, 0.0, 0.0)
    size_m3: float = 0.0
    mass_kg: float = 0.0
    sheets_at_least: tuple[tuple[str, int], ...] = ()
    cost_at_least: float | None = None
    room_c: float = 0.0
    tally: tuple[int, ...] | None = None
    failing: tuple[str, ...] = ()
    hottest: tuple[str, float] | None = None
    sag: tuple[str, float, float] | None = None
    most_sag_mm: float | None = None
    sheets: tuple[tuple[str, int], ...] = ()
    waste_percent: float | None = None
    cost: float | None = None

    @property
    def fails(self) -> bool:
        """Whether a check fails."""
        return self.tally is not None and self.tally[0] > 0

    @property
    def counts(self) -> Mapping[Status, int]:
        """How many findings have which status; empty before the checks."""
        return {} if self.tally is None else dict(zip(Status, self.tally, strict=True))

    def value(self, measure: Measure, stock: str = "") -> float | None:
        """The measure in its unit; None where it is not known, or not yet."""
        checked, laid = self.stage >= Stage.CHECKED, self.stage >= Stage.LAID_OUT
        match measure:
            case Measure.HEAT:
                return self.hottest[1] if checked and self.hottest else None
            case Measure.SAG:
                return self.most_sag_mm if checked else None
            case Measure.SHEETS:
                return _count(self.sheets, stock) if laid else None
            case Measure.WASTE:
                return self.waste_percent
            case Measure.COST:
                return self.cost
            case _:
                return self.least(measure)

    def least(self, measure: Measure, stock: str = "") -> float:
        """What the measure is at least, however the rest of the judging comes out."""
        match measure:
            case Measure.WIDTH:
                return self.size_mm[0]
            case Measure.DEPTH:
                return self.size_mm[1]
            case Measure.HEIGHT:
                return self.size_mm[2]
            case Measure.SIZE:
                return self.size_m3
            case Measure.MASS:
                return self.mass_kg
        known = self.value(measure, stock)
        if known is not None:
            return known
        match measure:
            case Measure.SHEETS:
                return _count(self.sheets_at_least, stock)
            case Measure.COST:
                return ANY if self.cost_at_least is None else self.cost_at_least
            case Measure.HEAT:
                return self.room_c
        return 0.0

    def breaks(self, limit: Limit) -> bool:
        """Whether a limit is passed for certain."""
        return self.least(limit.measure, limit.stock) > limit.most + 1e-6

    def keeps(self, limit: Limit) -> bool:
        """Whether a limit is known to be kept."""
        value = self.value(limit.measure, limit.stock)
        return value is not None and value <= limit.most + 1e-6

    def aims(self, goals: tuple[Goal, ...]) -> tuple[float, ...] | None:
        """Its measure for each goal, less being better; None where one is not known."""
        values = [self.value(goal.measure) for goal in goals]
        known = [value for value in values if value is not None]
        if len(known) < len(values):
            return None
        return tuple(goal.sign * value for goal, value in zip(goals, known, strict=True))

    def best_aims(self, goals: tuple[Goal, ...]) -> tuple[float, ...]:
        """What it could come to at best for each goal, less being better."""
        return tuple(goal.sign * self.least(goal.measure) for goal in goals)


def _count(sheets: tuple[tuple[str, int], ...], stock: str) -> int:
    return sum(count for key, count in sheets if stock in ("", key))
