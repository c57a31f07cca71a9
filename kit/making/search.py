"""The search for the cheapest packing: a ladder of bounded runs, then emptying the last sheet.

Everything is fixed by the job: which runs, in which order, and the seed of every choice. Only
a deadline can cut it short.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

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


def live_effort(items: int) -> Effort:
    """Return the effort that answers in a fraction of a second."""
    half, fifth = Joining(0.5, 0.0), Joining(0.2, 0.0)
    if items > 80:
        return Effort(((_tree(4, half),),), 0, (), 0)
    return Effort(
        ((_tree(64, half),), (_values(32, 4, half),), (_values(32, 8, fifth),)),
        6,
        (_values(32, 4, fifth), _tree(64, half), _tree(64, fifth)),
        30,
    )


def final_effort(items: int) -> Effort:
    """Return the effort for the layout that goes to the saw."""
    half, fifth, tenth = Joining(0.5, 0.0), Joining(0.2, 0.0), Joining(0.1, 0.0)
    if items > 80:
        return Effort(
            (
                (_tree(8, half), _tree(64, half)),
                (_values(32, 1, half), _values(32, 1, fifth)),
            ),
            8,
            (_free(4, 1, tenth), _values(64, 8, fifth)),
            40,
        )
    return Effort(
        (
            (_tree(64, half), _values(32, 4, half)),
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
        for answer in run([(job, rung) for rung in rungs]):
            best = _better(job, best, answer)
        done += 1
    if best is None:
        return None
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
    order = [i for i in order if job.bins[packing[i][0]].copies >= len(job.items)]
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
    kind: Bin = job.bins[packing[pick[0]][0]]
    return Job((kind,), tuple(items))


def _merged(packing: Packing, pick: Sequence[int], answer: Packing) -> Packing:
    back = [s.item for i in pick for s in packing[i][1]]
    kind = packing[pick[0]][0]
    kept = [bin_ for i, bin_ in enumerate(packing) if i not in pick]
    new = [
        (kind, tuple(Spot(back[s.item], s.x, s.y, s.turned) for s in spots))
        for _, spots in answer
    ]
    return tuple(kept + new)
