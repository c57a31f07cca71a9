"""The search for the cheapest packing: a ladder of bounded runs, then emptying the last sheet.

Beside the first runs stands our own packing: boards that the runs join into blocks can go past
a layout in plain rips. With one kind of bin one sheet fewer is looked for with boards that are
not joined, and the last sheet is emptied by `restarts` where the effort has any.

Everything is fixed by the job: which runs, in which order, and the seed of every choice. Only
a deadline can cut it short.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from kit.making.nesting.effort import Effort
from kit.making.nesting.first_fit import first_fit
from kit.making.nesting.jobs import Bin, Item, Job, Packing, Rung, Spot
from kit.making.nesting.rank import better, cost, fill, rank
from kit.making.nesting.restarts import restarted

Runner = Callable[[Sequence[tuple[Job, Rung]]], list[Packing | None]]
"""Runs some jobs and returns their answers in the same order."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search is: share of its planned work (0..1) and sheets of the best so far."""

    share: float
    sheets: int | None


def search(
    job: Job,
    least_cost: float,
    effort: Effort,
    run: Runner,
    deadline: float,
    progress: Callable[[Progress], None] | None = None,
) -> Packing | None:
    """Return the cheapest packing found, or None; stops at once when it costs `least_cost`."""
    orders = _orders(job)
    one_kind = len(job.bins) == 1 and effort.batches > 0
    planned = len(effort.ladder) + (effort.batches if one_kind else effort.rounds)

    def over(best: Packing | None, done: int) -> bool:
        if progress is not None:
            progress(Progress(done / planned, None if best is None else len(best)))
        met = best is not None and cost(job, best) <= least_cost * (1 + 1e-9)
        return met or time.monotonic() > deadline

    first = _climbed(job, None, orders, effort.ladder[0], run)
    own = first_fit(job) if first is None or not over(first, 0) else None
    found = [packing for packing in (first, own) if packing is not None]
    if not found:
        return None
    best = min(found, key=lambda packing: rank(job, packing))
    for done, rungs in enumerate(effort.ladder[1:], start=1):
        if over(best, done):
            return best
        best = _climbed(job, best, orders, rungs, run) or best
    if len(job.bins) == 1 and not over(best, len(effort.ladder)):
        best = _one_fewer(job, best, effort.single, run)
    if len(job.bins) > 1 and not over(best, len(effort.ladder)):
        best = _downsized(job, best, effort.ladder[0][0], run)
    if one_kind:
        return restarted(
            job, best, effort, run, lambda found, done: over(found, len(effort.ladder) + done)
        )
    rng = random.Random(len(job.items))
    current = best
    for number in range(effort.rounds):
        if over(best, len(effort.ladder) + number):
            return best
        current = _repacked(job, current, effort, number, rng, run)
        best = better(job, best, current)
        if cost(job, current) > cost(job, best):
            current = best
    over(best, planned)
    return best


def _climbed(
    job: Job,
    best: Packing | None,
    orders: Sequence[Sequence[int]],
    rungs: Sequence[Rung],
    run: Runner,
) -> Packing | None:
    """Return the best of one batch of rungs, in every order of opening the bins."""
    runs = [(order, rung) for rung in rungs for order in orders]
    answers = run([(_chosen(job, order), rung) for order, rung in runs])
    for (order, _), answer in zip(runs, answers, strict=True):
        if answer is not None:
            renamed = tuple((order[kind], spots) for kind, spots in answer)
            best = renamed if best is None else better(job, best, renamed)
    return best


def _one_fewer(job: Job, best: Packing, rungs: Sequence[Rung], run: Runner) -> Packing:
    """Return a packing in fewer bins than the best, as if so many were all there are; or the
    best. For jobs with one kind of bin.
    """
    while rungs and len(best) > 1:
        fewer = Job((replace(job.bins[0], copies=len(best) - 1),), job.items)
        found = [one for one in run([(fewer, rung) for rung in rungs]) if one is not None]
        if not found:
            break
        best = min(found, key=lambda one: rank(job, one))
    return best


def _repacked(
    job: Job, packing: Packing, effort: Effort, number: int, rng: random.Random, run: Runner
) -> Packing:
    """Return the packing with a few sheets laid out anew together; it may be no better."""
    picks = _picks(job, packing, effort.most_items, rng)
    runs = [
        (_part(job, packing, pick), _varied(effort.repack, number, i))
        for i, pick in enumerate(picks)
    ]
    answers = run(runs) if runs else []
    candidates = [
        _merged(packing, pick, answer)
        for pick, answer in zip(picks, answers, strict=True)
        if answer is not None
    ]
    return min(candidates, key=lambda candidate: rank(job, candidate), default=packing)


def _varied(rungs: Sequence[Rung], number: int, slot: int) -> Rung:
    """Return the next rung; once all have had their turn, with other boards joined each time."""
    rung = rungs[(number + slot) % len(rungs)]
    if rung.joining is None or number < len(rungs):
        return rung
    return replace(rung, joining=replace(rung.joining, pass_over=0.3, seed=2 * number + slot))


def _orders(job: Job) -> list[list[int]]:
    """Return the orders in which to open the kinds of bins: free ones first, then each kind."""
    free, dear = _free_and_dear(job)
    by_area = sorted(dear, key=lambda k: job.bins[k].cost / _area(job.bins[k]))
    orders = [[*free, k, *(other for other in by_area if other != k)] for k in by_area]
    if free and dear:
        orders.append(by_area)
    return orders or [free]


def _free_and_dear(job: Job) -> tuple[list[int], list[int]]:
    """Split the kinds of bins in those that cost nothing (small ones first) and others."""
    free = [k for k, bin_ in enumerate(job.bins) if bin_.cost == 0]
    dear = [k for k, bin_ in enumerate(job.bins) if bin_.cost > 0]
    return sorted(free, key=lambda k: _area(job.bins[k])), dear


def _chosen(job: Job, order: Sequence[int]) -> Job:
    return Job(tuple(job.bins[k] for k in order), job.items)


def _area(bin_: Bin) -> float:
    return float(bin_.length * bin_.width)


def _downsized(job: Job, packing: Packing, rung: Rung, run: Runner) -> Packing:
    """Return the packing with its emptiest sheets moved to cheaper or unused free ones."""
    free, dear = _free_and_dear(job)
    best = packing
    for size in (1, 2, 3):
        order = sorted(range(len(best)), key=lambda i: fill(job, best[i][1]))
        pick = [i for i in order if best[i][0] in dear][:size]
        if len(pick) < size:
            break
        kept = [bin_ for i, bin_ in enumerate(best) if i not in pick]
        used = [sum(kind == k for kind, _ in kept) for k in range(len(job.bins))]
        items = [s.item for i in pick for s in best[i][1]]
        runs: list[tuple[list[int], Job]] = []
        for target in dear:
            kinds = [k for k in (*free, target) if used[k] < job.bins[k].copies]
            if not kinds:
                continue
            bins = tuple(replace(job.bins[k], copies=job.bins[k].copies - used[k]) for k in kinds)
            runs.append((kinds, Job(bins, tuple(job.items[i] for i in items))))
        answers = run([(part, rung) for _, part in runs])
        for (kinds, _), answer in zip(runs, answers, strict=True):
            if answer is not None:
                moved = [
                    (kinds[kind], tuple(replace(s, item=items[s.item]) for s in spots))
                    for kind, spots in answer
                ]
                best = better(job, best, tuple(kept + moved))
    return best


def _picks(job: Job, packing: Packing, most_items: int, rng: random.Random) -> list[list[int]]:
    """Choose which sheets to repack together: the emptiest, with a few others of its kind."""
    dear = [i for i, (kind, _) in enumerate(packing) if job.bins[kind].cost > 0]
    order = sorted(dear, key=lambda i: fill(job, packing[i][1]))
    if len(order) < 2:
        return []
    emptiest = order[0]
    others = [i for i in order[1:] if packing[i][0] == packing[emptiest][0]]
    picks: list[list[int]] = []
    for _ in range(2):
        rng.shuffle(others)
        pick, items = [emptiest], len(packing[emptiest][1])
        for i in others:
            if len(pick) > 1 and items + len(packing[i][1]) > most_items:
                break
            pick.append(i)
            items += len(packing[i][1])
        if len(pick) > 1:
            picks.append(pick)
    return picks


def _part(job: Job, packing: Packing, pick: Sequence[int]) -> Job:
    items: list[Item] = [job.items[s.item] for i in pick for s in packing[i][1]]
    bin_ = job.bins[packing[pick[0]][0]]
    copies = len(items) if bin_.copies >= len(job.items) else len(pick)
    return Job((replace(bin_, copies=copies),), tuple(items))


def _merged(packing: Packing, pick: Sequence[int], answer: Packing) -> Packing:
    back = [s.item for i in pick for s in packing[i][1]]
    kind = packing[pick[0]][0]
    kept = [bin_ for i, bin_ in enumerate(packing) if i not in pick]
    new = [
        (kind, tuple(Spot(back[s.item], s.x, s.y, s.turned) for s in spots)) for _, spots in answer
    ]
    return tuple(kept + new)
