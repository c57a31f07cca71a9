"""How many sheets no layout can do without, from sizes alone.

Dual feasible functions: each maps a share of a side to a share of a side, so that whatever fits
beside each other still does. Boards measured by one of them along and by one across take no
less than their area in sheets; the most that any pair gives is a bound. Source: S. P. Fekete and
J. Schepers, 'A general framework for bounds for higher-dimensional orthogonal packing
problems', 2004; from memory.
"""

from __future__ import annotations

import math

import numpy as np

from kit.making.nesting.jobs import Job

type Shares = np.ndarray[tuple[int, ...], np.dtype[np.float64]]

#: Shares closer than this are the same.
SAME = 1e-6


def dual_bound(job: Job) -> int:
    """Return a lower bound on the number of bins of all kinds together, whatever their sizes."""
    along = max(bin_.length for bin_ in job.bins)
    across = max(bin_.width for bin_ in job.bins)
    length = np.array([item.length for item in job.items], dtype=np.float64)
    width = np.array([item.width for item in job.items], dtype=np.float64)
    free = np.array([not item.locked for item in job.items])
    straight = _measured(length / along), _measured(width / across)
    turned = _measured(width / along), _measured(length / across)
    # the same function measures a board lying straight and turned
    lying = np.einsum("ap,bp->abp", straight[0], straight[1])
    best = np.where(free, np.minimum(lying, np.einsum("ap,bp->abp", *turned)), lying)
    return math.ceil(float(best.sum(axis=2).max(initial=0.0)) - SAME)


def _measured(shares: Shares) -> Shares:
    """The shares (boards,) by each function: (functions, boards)."""
    least = np.linspace(0.0, 0.5, 51)[:, None]
    # what is too long to lie beside the shortest that counts takes all of the side
    cut = np.where(shares > 1 - least + SAME, 1.0, np.where(shares < least - SAME, 0.0, shares))
    k = np.arange(1, 6)[:, None]
    times = (k + 1) * shares
    whole = np.abs(times - np.round(times)) < SAME
    rounded = np.where(whole, shares, np.floor(times) / k)
    return np.concatenate([cut, rounded])
