"""What a search found: rows of designs, the best first, each of which can be opened."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum

from kit.design import Design
from kit.design_file import parse
from kit.search.answer import Answer, Stage
from kit.search.candidates import Point, changes
from kit.search.front import Bar, front
from kit.search.judging import changed_text
from kit.search.request import Depth, Request, Written
from kit.search.table import cells

#: So many reasons are told where nothing holds.
REASONS = 5


class Verdict(Enum):
    """How a candidate came out; the better first."""

    FRONT = "best"
    """It holds, and no other is as good in every goal and better in one."""
    HOLDS = "holds"
    """No check fails and every limit is kept, but another is better."""
    UNKNOWN = "not known"
    """Nothing speaks against it, but what a goal or a limit asks for is not known."""
    BEATEN = "beaten"
    """Another is better, so that it was not judged to the end."""
    OVER = "over a limit"
    """It passes a limit."""
    FAILS = "fails"
    """A check fails."""
    REFUSED = "cannot be built"
    """It cannot be built, or its boards do not come out of the sheets."""


@dataclass(frozen=True, slots=True)
class Row:
    """One candidate: its number from 1 in the order of the result, and how it came out.

    `point` is which value it takes of each free parameter, counted from nought.
    """

    number: int
    point: Point
    changes: Mapping[str, Written]
    answer: Answer
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Result:
    """All candidates that a search looked at: by verdict, the best first by the first goal."""

    text: str
    wanted: Request
    rows: tuple[Row, ...]

    @property
    def front(self) -> tuple[Row, ...]:
        """The best: one where there is one goal and no tie, else a front of trade-offs."""
        return tuple(row for row in self.rows if row.verdict is Verdict.FRONT)

    @property
    def tally(self) -> str:
        """How many candidates came out in which way, in words."""
        counts = {v: sum(row.verdict is v for row in self.rows) for v in Verdict}
        return ", ".join(f"{count} {v.value}" for v, count in counts.items() if count)

    @property
    def in_the_way(self) -> str:
        """What keeps candidates from being of use, the most frequent first, one a line."""
        reasons = Counter(why for row in self.rows for why in _against(row, self.wanted))
        ranked = sorted(reasons.items(), key=lambda reason: (-reason[1], reason[0]))
        lines = [f"- {count} of {len(self.rows)}: {why}" for why, count in ranked[:REASONS]]
        more = len(ranked) - REASONS
        return "\n".join(
            ["In the way:", *lines, *([f"- and {more} more reasons"] if more > 0 else [])]
        )

    def design_text(self, row: Row) -> str:
        """The design file of a row; comments and all that is not searched stay as they are.

        Raises KitError where it cannot be built.
        """
        return changed_text(self.text, row.changes)

    def table(self, rows: tuple[Row, ...] | None = None) -> list[dict[str, str]]:
        """Rows as they are shown, every cell a text with its unit; the front where none are given.

        All rows have the same columns, in the same order.
        """
        design = parse(self.text)
        shown = self.front if rows is None else rows
        return [_cells(design, row) for row in shown]


def result_of(text: str, wanted: Request, found: Mapping[Point, Answer]) -> Result:
    """The result of judging these candidates; it does not follow their order."""
    bar = Bar(wanted.goals, wanted.limits, strict=True)
    aims = {p: answer.aims(wanted.goals) for p, answer in found.items() if bar.holds(answer)}
    best = front(sorted(one for one in aims.values() if one is not None))
    whole = Bar(wanted.goals, wanted.limits, best, strict=True)

    def order(point: Point) -> tuple[object, ...]:
        answer = found[point]
        verdict = _verdict(answer, wanted, whole)
        at = () if answer.refused else answer.best_aims(wanted.goals)
        return list(Verdict).index(verdict), at, point

    return Result(
        text,
        wanted,
        tuple(
            Row(n, p, changes(wanted, p), found[p], _verdict(found[p], wanted, whole))
            for n, p in enumerate(sorted(found, key=order), start=1)
        ),
    )


def _verdict(answer: Answer, wanted: Request, bar: Bar) -> Verdict:
    if answer.refused:
        return Verdict.REFUSED
    if answer.fails:
        return Verdict.FAILS
    if any(answer.breaks(limit) for limit in wanted.limits):
        return Verdict.OVER
    if answer.stage is not Stage.LAID_OUT:
        assert wanted.depth is Depth.FRONT
        return Verdict.BEATEN
    aims = answer.aims(wanted.goals)
    if aims is None or not bar.holds(answer):
        return Verdict.UNKNOWN
    return Verdict.FRONT if aims in bar.best else Verdict.HOLDS


def _against(row: Row, wanted: Request) -> Iterator[str]:
    """Why a candidate is of no use; nothing where it is, or where another is only better."""
    if row.verdict is Verdict.REFUSED:
        yield row.answer.refused
    elif row.verdict is Verdict.FAILS:
        yield from (f"{check} fails" for check in row.answer.failing)
    elif row.verdict is Verdict.OVER:
        yield from (
            f"the limit of {limit.name} is passed"
            for limit in wanted.limits
            if row.answer.breaks(limit)
        )
    elif row.verdict is Verdict.UNKNOWN:
        yield "what a goal or a limit asks for is not known"


def _cells(design: Design, row: Row) -> dict[str, str]:
    return dict(_row_cells(design, row))


def _row_cells(design: Design, row: Row) -> Iterator[tuple[str, str]]:
    yield "no.", str(row.number)
    yield "verdict", row.verdict.value
    yield from ((path, str(value)) for path, value in row.changes.items())
    yield from cells(design, row.answer).items()
