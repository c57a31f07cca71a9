"""The search as the product calls it: the same answer whatever is said of the sheets on hand.

How many sheets there are of a kind decides whether an answer will do, and never how it is looked
for. Kinds that are cut alike are one kind; and besides the mixtures of several kinds, each is
looked at alone, so that a kind which is of no use makes no answer worse.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from kit.making.nesting.effort import EffortFor
from kit.making.nesting.jobs import Bin, Job, Packing
from kit.making.nesting.rank import better, cost
from kit.making.nesting.search import Progress, Runner, search


def fewest(
    job: Job,
    least_cost: float,
    effort_for: EffortFor,
    run: Runner,
    deadline: float,
    progress: Callable[[Progress], None] | None = None,
) -> Packing | None:
    """Return the cheapest packing found, or None; stops at once when it costs `least_cost`."""
    kinds = _alike(job)
    whole = Job(tuple(_together(job, kind) for kind in kinds), job.items)
    best: Packing | None = None
    for part, numbers in _parts(whole):
        least = max(least_cost, _by_area(part))
        if best and cost(whole, best) <= least * (1 + 1e-9):
            continue
        unbounded = replace(part, bins=tuple(_unbounded(part)))
        found = search(unbounded, least, effort_for(part), run, deadline, progress)
        if found is None or (len(part.bins) == 1 and len(found) > part.bins[0].copies):
            continue
        named = tuple((numbers[kind], spots) for kind, spots in found)
        best = better(whole, best, named) if best else named
    return None if best is None else _told_apart(job, kinds, best)


def _alike(job: Job) -> list[list[int]]:
    """The numbers of the bins of each kind that are cut alike and cost the same.

    Of one kind, those of which there are fewer come first: what is on hand before what is bought.
    """
    kinds: dict[Bin, list[int]] = {}
    for number, bin_ in enumerate(job.bins):
        kinds.setdefault(replace(bin_, copies=0), []).append(number)
    return [sorted(kind, key=lambda number: job.bins[number].copies) for kind in kinds.values()]


def _together(job: Job, kind: Sequence[int]) -> Bin:
    copies = sum(job.bins[number].copies for number in kind)
    return replace(job.bins[kind[0]], copies=min(copies, len(job.items)))


def _parts(whole: Job) -> Iterator[tuple[Job, tuple[int, ...]]]:
    """Yield the job, then it on each kind alone that costs something; each with its kinds."""
    yield whole, tuple(range(len(whole.bins)))
    if len(whole.bins) > 1:
        for number, bin_ in enumerate(whole.bins):
            if bin_.cost > 0:
                yield Job((bin_,), whole.items), (number,)


def _unbounded(part: Job) -> Iterator[Bin]:
    """A kind that is alone: as many as there are boards, whatever there is."""
    for bin_ in part.bins:
        yield replace(bin_, copies=len(part.items)) if len(part.bins) == 1 else bin_


def _by_area(part: Job) -> float:
    """What one kind of bin costs at least, by area; 0 for several."""
    if len(part.bins) > 1:
        return 0.0
    (bin_,) = part.bins
    area = sum(item.length * item.width for item in part.items)
    return math.ceil(area / (bin_.length * bin_.width) - 1e-9) * bin_.cost


def _told_apart(job: Job, kinds: Sequence[Sequence[int]], packing: Packing) -> Packing:
    """The packing with the numbers of the job's own bins, each used as often as it is there."""
    left = {
        kind: [number for number in numbers for _ in range(job.bins[number].copies)]
        for kind, numbers in enumerate(kinds)
    }
    return tuple((left[kind].pop(0), spots) for kind, spots in packing)
