"""The emptiest sheet laid out once more, so that what is left of it stays in one piece."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from kit.making.nesting.jobs import Bin, Item, Job, Method, Packing, Rung, Spot, Stages
from kit.making.nesting.search import Runner

_SHORTEST = Rung(Method.SHORTEST, Stages.THREE_AND_TRIM, 64)


def tidied(
    job: Job, packing: Packing, run: Runner, largest_offcut: Callable[[Packing], float]
) -> Packing:
    """Return the packing with its emptiest bought sheet pushed to one end or one side.

    The boards stay on their sheets; `largest_offcut` judges a packing of that one sheet.
    """
    bought = [i for i, (kind, _) in enumerate(packing) if job.bins[kind].cost > 0]
    if not bought:
        return packing
    number = min(bought, key=lambda i: _filled(job, packing[i][1]))
    kind, spots = packing[number]
    bin_ = job.bins[kind]
    if bin_.defects:
        return packing
    items = [spot.item for spot in spots]
    part = Job((replace(bin_, copies=1),), tuple(job.items[i] for i in items))
    along, across = run([(part, _SHORTEST), (_transposed(part), _SHORTEST)])
    candidates: list[Packing] = [((kind, spots),)]
    if along is not None:
        candidates.append(((kind, tuple(replace(s, item=items[s.item]) for s in along[0][1])),))
    if across is not None:
        swapped = (replace(s, item=items[s.item], x=s.y, y=s.x) for s in across[0][1])
        candidates.append(((kind, tuple(swapped)),))
    best = max(candidates, key=largest_offcut)
    return (*packing[:number], *best, *packing[number + 1 :])


def _filled(job: Job, spots: tuple[Spot, ...]) -> int:
    return sum(job.items[s.item].length * job.items[s.item].width for s in spots)


def _transposed(job: Job) -> Job:
    bins = tuple(Bin(b.width, b.length, b.copies, b.cost) for b in job.bins)
    return Job(bins, tuple(Item(i.width, i.length, i.locked) for i in job.items))
