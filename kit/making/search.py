"""The search for the cheapest packing: a ladder of bounded runs, then emptying the last sheet.

Everything is fixed by the job: which runs, in which order, and the seed of every choice. Only
a deadline can cut it short.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from kit.making.jobs import Bin, Item, Job, Joining, Method, Packing, Rung, Spot, Stages

Runner = Callable[[Sequence[tuple[Job, Rung]]], list[Packing | None]]
"""Runs some jobs and returns their answers in the same order."""


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard to look: rungs in batches, then rounds of repacking a few sheets together."""

    ladder: tuple[tuple[Rung, ...], ...]
    rounds: int
    repack: tuple[Rung, ...]
    most_items: int  # repack no more boards than this at once


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search is: share of its planned work (0..1) and sheets of the best so far."""

    share: float
    sheets: int | None


def live_effort(items: int, kinds: int) -> Effort:
    """Return the effort that answers in a fraction of a second for so many boards and kinds."""
    half, fifth = Joining(0.5, 0.0), Joining(0.2, 0.0)
    if kinds > 1 and items <= 80:
        return Effort(((_tree(64, half),), (_values(32, 4, fifth),)), 0, (), 0)
    if items > 80:
        return Effort(((_tree(4, half),),), 0, (), 0)
    return Effort(
        (
            (_tree(64, half), _values(32, 4, half)),
            (_values(32, 8, fifth), _tree(128, fifth)),
        ),
        4,
        (_values(32, 4, fifth), _tree(64, fifth)),
        30,
    )


def final_effort(items: int) -> Effort:
    """Return the effort for the layout that goes to the saw."""
    half, fifth, tenth = Joining(0.5, 0.0), Joining(0.2, 0.0), Joining(0.1, 0.0)
    if items > 80:
        return Effort(
            (
                (_tree(16, half), _values(8, 1, half)),
            ),
            4,
            (_free(1, 1, fifth), _values(32, 4, fifth)),
            30,
        )
    return Effort(
        (
            (_values(64, 16, fifth), _free(4, 4, tenth)),
            (_tree(256, tenth), _free(4, 4, half)),
        ),
        16,
        (_free(4, 4, tenth), _free(16, 4, None), _values(64, 16, fifth), _free(4, 4, fifth)),
        30,
    )


def _tree(queue: int, joining: Joining | None) -> Rung:
    return Rung(Method.TREE, Stages.THREE_AND_TRIM, queue, 1, joining)


def _values(queue: int, iterations: int, joining: Joining | None) -> Rung:
    return Rung(Method.VALUES, Stages.THREE_AND_TRIM, queue, iterations, joining)


def _free(queue: int, iterations: int, joining: Joining | None) -> Rung:
    return Rung(Method.VALUES, Stages.FREE, queue, iterations, joining)


def search(
    job: Job,
    least_cost: float,
    effort: Effort,
    run: Runner,
    deadline: float,
    progress: Callable[[Progress], None] | None = None,
) -> Packing | None:
    """Return the cheapest packing found, or None; stops at once when it costs `least_cost`."""
    best: Packing | None = None
    orders = _orders(job)
    planned = len(effort.ladder) + effort.rounds
    done = 0

    def over() -> bool:
        if progress is not None:
            progress(Progress(done / planned, None if best is None else len(best)))
        if best is not None and cost(job, best) <= least_cost * (1 + 1e-9):
            return True
        return time.monotonic() > deadline

    for rungs in effort.ladder:
        if over():
            return best
        runs = [(order, rung) for rung in rungs for order in orders]
        answers = run([(_chosen(job, order), rung) for order, rung in runs])
        for (order, _), answer in zip(runs, answers, strict=True):
            if answer is not None:
                renamed = tuple((order[kind], spots) for kind, spots in answer)
                best = _better(job, best, renamed)
        done += 1
    if best is None:
        return None
    if len(job.bins) > 1:
        best = _downsized(job, best, effort, run)
    rng = random.Random(len(job.items))
    current = best
    for number in range(effort.rounds):
        if over():
            return best
        picks = _picks(job, current, effort, rng)
        if not picks:
            return best
        runs = [
            (_part(job, current, pick), effort.repack[(number + i) % len(effort.repack)])
            for i, pick in enumerate(picks)
        ]
        base = current
        for pick, answer in zip(picks, run(runs), strict=True):
            if answer is not None:
                candidate = _merged(base, pick, answer)
                if _rank(job, candidate) <= _rank(job, current) or current is base:
                    current = candidate
                best = _better(job, best, candidate)
        if cost(job, current) > cost(job, best):
            current = best
        done += 1
    over()
    return best


def cost(job: Job, packing: Packing) -> float:
    """Return what the bins of a packing cost together."""
    return sum(job.bins[kind].cost for kind, _ in packing)


def _orders(job: Job) -> list[list[int]]:
    """Return the orders in which to open the kinds of bins: free ones first, then each kind."""
    free, dear = _free_and_dear(job)
    by_area = sorted(dear, key=lambda k: job.bins[k].cost / _area(job.bins[k]))
    orders = [[*free, k, *(other for other in by_area if other != k)] for k in by_area]
    if free and dear:
        orders.append(by_area)
    return orders or [free]


def _free_and_dear(job: Job) -> tuple[list[int], list[int]]:
    """Split the kinds of bins in those that cost next to nothing (small ones first) and others."""
    dearest = max(bin_.cost for bin_ in job.bins)
    free = [k for k, bin_ in enumerate(job.bins) if bin_.cost < 1e-4 * dearest]
    dear = [k for k in range(len(job.bins)) if k not in free]
    return sorted(free, key=lambda k: _area(job.bins[k])), dear


def _chosen(job: Job, order: Sequence[int]) -> Job:
    return Job(tuple(job.bins[k] for k in order), job.items)


def _area(bin_: Bin) -> float:
    return float(bin_.length * bin_.width)


def _downsized(job: Job, packing: Packing, effort: Effort, run: Runner) -> Packing:
    """Return the packing with its emptiest sheets moved to cheaper or unused free ones."""
    free, dear = _free_and_dear(job)
    best = packing
    for size in (1, 2, 3):
        order = sorted(range(len(best)), key=lambda i: _fill(job, best[i][1]))
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
        answers = run([(part, effort.ladder[0][0]) for _, part in runs])
        for (kinds, _), answer in zip(runs, answers, strict=True):
            if answer is not None:
                moved = [
                    (kinds[kind], tuple(replace(s, item=items[s.item]) for s in spots))
                    for kind, spots in answer
                ]
                best = _better(job, best, tuple(kept + moved)) or best
    return best


def _rank(job: Job, packing: Packing) -> tuple[float, float]:
    """Cheaper first; then the more uneven, for a sheet that empties is a sheet to be saved."""
    return cost(job, packing), -sum(_fill(job, spots) ** 2 for _, spots in packing)


def _fill(job: Job, spots: Sequence[Spot]) -> float:
    return float(sum(job.items[s.item].length * job.items[s.item].width for s in spots))


def _better(job: Job, best: Packing | None, answer: Packing | None) -> Packing | None:
    if answer is None or (best is not None and _rank(job, best) <= _rank(job, answer)):
        return best
    return answer


def _picks(job: Job, packing: Packing, effort: Effort, rng: random.Random) -> list[list[int]]:
    """Choose which sheets to repack together: the emptiest, with a few others of its kind."""
    order = sorted(range(len(packing)), key=lambda i: _fill(job, packing[i][1]))
    if len(order) < 2:
        return []
    emptiest = order[0]
    others = [i for i in order[1:] if packing[i][0] == packing[emptiest][0]]
    picks: list[list[int]] = []
    for _ in range(2):
        rng.shuffle(others)
        pick, items = [emptiest], len(packing[emptiest][1])
        for i in others:
            if len(pick) > 1 and items + len(packing[i][1]) > effort.most_items:
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
