"""Which of two packings of a job is the better one."""

from __future__ import annotations

from collections.abc import Sequence

from kit.making.nesting.jobs import Job, Packing, Spot


def cost(job: Job, packing: Packing) -> float:
    """Return what the bins of a packing cost together."""
    return sum(job.bins[kind].cost for kind, _ in packing)


def fill(job: Job, spots: Sequence[Spot]) -> float:
    """Return the area of the boards on these spots, square ticks, kerf included."""
    return float(sum(job.items[s.item].length * job.items[s.item].width for s in spots))


def rank(job: Job, packing: Packing) -> tuple[float, float, float]:
    """Return a sort key, the better packing has the smaller one.

    Cheaper first, then more in free bins, then more uneven: what empties can be saved.
    """
    fills = [fill(job, spots) for kind, spots in packing if job.bins[kind].cost > 0]
    return cost(job, packing), sum(fills), -sum(one**2 for one in fills)


def better(job: Job, one: Packing, other: Packing) -> Packing:
    """Return the better of two packings, the first when they are equal."""
    return one if rank(job, one) <= rank(job, other) else other
