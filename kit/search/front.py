"""Which candidates no other is better than, and which are still worth a look."""

from collections.abc import Iterable
from dataclasses import dataclass

from kit.search.answer import Answer, Stage
from kit.search.request import Goal, Limit

#: One number for each goal, less being better.
type Aims = tuple[float, ...]


def beats(one: Aims, other: Aims) -> bool:
    """Whether one is as good in every goal, and better in one."""
    return one != other and all(a <= b for a, b in zip(one, other, strict=True))


def front(candidates: Iterable[Aims]) -> tuple[Aims, ...]:
    """Those that no other beats, each once, in order."""
    kept: list[Aims] = []
    for new in candidates:
        if new in kept or any(beats(old, new) for old in kept):
            continue
        kept = [old for old in kept if not beats(new, old)]
        kept.append(new)
    return tuple(sorted(kept))


@dataclass(frozen=True, slots=True)
class Bar:
    """What a candidate has to meet to be judged further: limits, and the front so far.

    Without any of them, as a what-if table wants it, everything is judged to the end, whether
    a check fails or not (`strict` is off).
    """

    goals: tuple[Goal, ...] = ()
    limits: tuple[Limit, ...] = ()
    best: tuple[Aims, ...] = ()
    strict: bool = False

    def lets_on(self, answer: Answer) -> bool:
        """Whether more of this candidate is worth knowing."""
        if answer.refused or answer.stage is Stage.LAID_OUT:
            return False
        if self.strict and answer.fails:
            return False
        return not any(answer.breaks(limit) for limit in self.limits) and not self.beaten(answer)

    def beaten(self, answer: Answer) -> bool:
        """Whether one of the front is better, however the rest of the judging comes out."""
        at_best = answer.best_aims(self.goals)
        return any(beats(aims, at_best) for aims in self.best)

    def holds(self, answer: Answer) -> bool:
        """Whether it is judged to the end, with no failing check and every limit kept."""
        return (
            answer.stage is Stage.LAID_OUT
            and not answer.refused
            and not answer.fails
            and all(answer.keeps(limit) for limit in self.limits)
        )
