"""The search: candidates judged side by side, each as far as it can still be of use."""

import warnings
from collections.abc import Callable, Generator, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random
from typing import Any

from kit.casework import build
from kit.children import safe
from kit.design import Design
from kit.design_file import parse, rewrite
from kit.errors import CancelledError, DesignFileError, KitError, TableError
from kit.search.answer import Answer
from kit.search.answers import Answers, answer_key, design_key, kit_key
from kit.search.candidates import Point, changes, neighbours, spread, whole_grid
from kit.search.front import Aims, Bar, front
from kit.search.judging import judge_change
from kit.search.request import Depth, Free, Measure, Request
from kit.search.result import Result, result_of

#: So many candidates are judged against one front: few at first, so that there is one soon, then
#: more, so that workers seldom wait for each other. It does not follow the number of workers, or
#: the answer would.
FIRST_BATCH, BATCH = 16, 64


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search has come: candidates judged, of how many so far, and how many hold."""

    done: int
    of: int
    hold: int

    def __str__(self) -> str:
        return f"{self.done} of {self.of} judged, {self.hold} hold"


def search(
    text: str,
    wanted: Request,
    *,
    workers: int | None = None,
    answers: str | Path | None = None,
    progress: Callable[[Progress], None] = lambda now: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Result:
    """Search the designs that a design file (its text) and some free parameters describe.

    `workers` processes of this machine judge them, or this process alone where it is 1. None
    leaves that to the `joblib.parallel_config` round the call: there a Dask cluster does the work
    (`backend="dask"`). The answer is the same wherever and in how many they are judged.
    `answers` is a file in which each answer is kept: the same search, begun again after a kill,
    judges none of them twice but the best, which are never taken from a file. `progress` is told
    after each candidate, and `cancelled` asked.

    Raises KitError where the design cannot be built as it is, where a free parameter is none of
    its fields or names what no table knows, for fewer workers than 1, or where the cost is asked
    for and no price is known; CancelledError when `cancelled` says so, and what was judged is kept.
    """
    if workers is not None and workers < 1:
        raise DesignFileError(f"{workers} workers judge nothing; give 1 at least, or none.")
    design = parse(text)
    build(design)
    for free in wanted.free:
        _try(text, free)
        _refuse_unknown_names(text, free)
    _refuse_without_prices(design, wanted)
    with Answers(None if answers is None else Path(answers)) as kept, _pool(workers) as pool:
        run = _Run(text, design_key(design), wanted, kept, pool, progress, cancelled)
        return result_of(text, wanted, run.judged())


class _Run:
    """One search under way: what was judged, and what is best so far."""

    def __init__(
        self,
        text: str,
        begins: str,
        wanted: Request,
        kept: Answers,
        pool: Any,
        progress: Callable[[Progress], None],
        cancelled: Callable[[], bool],
    ) -> None:
        self.text, self.begins, self.wanted, self.kept, self.pool = text, begins, wanted, kept, pool
        self.progress, self.cancelled = progress, cancelled
        self.bar = Bar(wanted.goals, wanted.limits, strict=True)
        self.best: tuple[Aims, ...] = ()
        self.found: dict[Point, Answer] = {}
        self.here: set[Point] = set()  # judged from the first in this run; of others a file tells
        self.hold = 0
        self.of = 0

    def judged(self) -> dict[Point, Answer]:
        """Every candidate that was looked at, with its answer."""
        for batch in self._batches():
            self._judge(batch)
        while said := [point for point in self._front_points() if point not in self.here]:
            self._judge_anew(said)
        return self.found

    def _batches(self) -> Iterator[Sequence[Point]]:
        wanted = self.wanted
        points = whole_grid(wanted) if wanted.whole else spread(wanted)
        first = points if wanted.whole else points[: (wanted.most + 1) // 2]
        self.of = len(first)
        start, size = 0, len(first) if wanted.depth is Depth.ALL else FIRST_BATCH
        while start < len(first):
            yield first[start : start + size]
            start, size = start + size, min(2 * size, BATCH)
        chance = Random(wanted.seed)
        while not wanted.whole and self.of < wanted.most:
            near = dict.fromkeys(neighbours(wanted, self._front_points()))
            # few at a time: the front moves, and the next are its neighbours as it stands then
            room = min(FIRST_BATCH, wanted.most - self.of)
            if new := [point for point in near if point not in self.found]:
                batch = chance.sample(new, min(room, len(new)))
            else:
                batch = [point for point in points if point not in self.found][:room]
            if not batch:
                return
            self.of += len(batch)
            yield batch

    def _front_points(self) -> list[Point]:
        goals = self.wanted.goals
        return sorted(
            point
            for point, answer in self.found.items()
            if self.bar.holds(answer) and answer.aims(goals) in self.best
        )

    def _judge(self, batch: Sequence[Point]) -> None:
        """Judge a batch against the front as it was before it."""
        bar = self.bar if self.wanted.depth is Depth.ALL else replace(self.bar, best=self.best)
        keys = {p: answer_key(self.begins, changes(self.wanted, p)) for p in batch}
        todo = []
        for point in batch:
            known = self.kept.get(keys[point])
            if known is None or bar.lets_on(known):
                todo.append((point, known))
            else:
                self._take(point, known)
        self._ask(todo, bar)
        held = [self.found[point] for point in batch if self.bar.holds(self.found[point])]
        aims = [answer.aims(self.wanted.goals) for answer in held]
        self.best = front([*self.best, *(one for one in aims if one is not None)])

    def _ask(self, todo: Sequence[tuple[Point, Answer | None]], bar: Bar) -> None:
        """Judge candidates, each from what is known of it."""
        self.here.update(point for point, known in todo if known is None)
        jobs = (_job(self.text, self.wanted, point, bar, known) for point, known in todo)
        with _ended(self.pool(jobs)) as answers:
            for point, answer in answers:
                self.kept.put(answer_key(self.begins, changes(self.wanted, point)), answer)
                self._take(point, answer)

    def _judge_anew(self, said: Sequence[Point]) -> None:
        """Judge what only a file calls best from the first, and what was left for its sake."""
        self._ask([(point, None) for point in said], self.bar)
        self.best = self._whole_front()
        bar = self.bar if self.wanted.depth is Depth.ALL else replace(self.bar, best=self.best)
        self._ask([(p, answer) for p, answer in self.found.items() if bar.lets_on(answer)], bar)
        self.best = self._whole_front()

    def _whole_front(self) -> tuple[Aims, ...]:
        held = [answer for answer in self.found.values() if self.bar.holds(answer)]
        aims = [answer.aims(self.wanted.goals) for answer in held]
        return front(sorted(one for one in aims if one is not None))

    def _take(self, point: Point, answer: Answer) -> None:
        earlier = self.found.get(point)
        self.found[point] = answer
        self.hold += self.bar.holds(answer) - (earlier is not None and self.bar.holds(earlier))
        self.progress(Progress(len(self.found), self.of, self.hold))
        if self.cancelled():
            raise CancelledError(
                f"The search was stopped after {len(self.found)} of {self.of} candidates; what "
                "was judged is kept where a file of answers was named, and the same search goes on."
            )


@contextmanager
def _ended(answers: Generator[tuple[Point, Answer]]) -> Iterator[Iterator[tuple[Point, Answer]]]:
    """Answers as they come; who stops before the last ends what is still at work."""
    try:
        yield answers
    finally:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)  # that work was lost, which is known
            answers.close()


def _job(text: str, wanted: Request, point: Point, bar: Bar, known: Answer | None) -> Any:
    from joblib import delayed

    return delayed(_at)(kit_key(), point, text, dict(changes(wanted, point)), bar, known)


def _at(key: str, point: Point, *asked: Any) -> tuple[Point, Answer]:
    if key != kit_key():
        raise DesignFileError(
            "A worker of the cluster has another kit, or other libraries, than this machine; "
            "install the same there."
        )
    return point, judge_change(*asked)


def processors() -> int:
    """How many processors this program may use."""
    from joblib import cpu_count

    return int(cpu_count())


@contextmanager
def _pool(workers: int | None) -> Iterator[Any]:
    """Workers that judge, and hand back each answer as soon as it is there."""
    from joblib import Parallel
    from joblib.externals.loky.process_executor import TerminatedWorkerError

    # one candidate a worker: further threads in its linear algebra would only get in the way
    here = {"n_jobs": workers, "backend": "loky", "inner_max_num_threads": 1}
    how = {} if workers is None else here
    try:
        with safe(), Parallel(return_as="generator_unordered", batch_size=1, **how) as pool:
            yield pool
    except TerminatedWorkerError:
        raise KitError(
            "A worker was killed from outside, most likely for want of memory; what was judged is "
            "kept where a file of answers was named. Begin again with fewer workers."
        ) from None


def _refuse_without_prices(design: Design, wanted: Request) -> None:
    asked = [goal.measure for goal in wanted.goals] + [limit.measure for limit in wanted.limits]
    priced = design.prices.each or any(sheet.price is not None for sheet in design.sheets)
    if Measure.COST in asked and not priced:
        raise DesignFileError(
            "The cost is asked for, and the design names no price; write what a sheet costs, such "
            'as: [prices] each = { "walnut-ply-3/4" = 100 }.'
        )


def _try(text: str, free: Free) -> None:
    """Refuse a path that names no field of the design, by its own error."""
    refused: KitError | None = None
    for value in free.values:
        try:
            rewrite(text, {free.path: value})
        except KitError as error:
            refused = refused or error
        else:
            return
    assert refused is not None
    raise refused


def _refuse_unknown_names(text: str, free: Free) -> None:
    """Refuse a choice that names what no table knows; it is misspelt, and never can be built."""
    for value in () if free.lengths else free.values:
        try:
            build(parse(rewrite(text, {free.path: value})))
        except TableError as error:
            raise DesignFileError(f"{free.path}: {error}") from None
        except KitError:
            continue  # a candidate that cannot be built: its row says why
