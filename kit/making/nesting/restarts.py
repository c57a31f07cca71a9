"""The last part of a search on one kind of sheet: many answers, and the best of all their sheets.

Each quick answer with other boards joined has a few sheets that came out very full, seldom all
of them. So every sheet seen is kept; the fullest that share no board are chosen together (an
integer program, exact), and only the boards they leave are laid out anew.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import replace

from kit.making.nesting.effort import Effort
from kit.making.nesting.jobs import Job, Joining, Packing, Rung, Spot
from kit.making.nesting.rank import better, cost, fill

Seen = dict[frozenset[int], tuple[Spot, ...]]
"""Sheets of earlier answers: the boards on each, and where they lie."""

_PLAIN_BATCHES = 2  # before these there are too few sheets to choose from
_MOST_SEEN = 300  # the fullest sheets that a choice is made from
_BLUR = 0.03  # how much a sheet's fill is played down at most, so that choices differ
_NODES = 500  # of the integer program: a bound that, unlike seconds, is repeatable
_SHEET_SHARES = (0.2, 0.35, 0.5, 0.7, 1.0)
_PASS_OVERS = (0.0, 0.05, 0.1, 0.2, 0.3)


def restarted(
    job: Job,
    best: Packing,
    effort: Effort,
    run: Callable[[Sequence[tuple[Job, Rung]]], list[Packing | None]],
    over: Callable[[Packing, int], bool],
) -> Packing:
    """Return the best of `effort.batches` further batches of runs; at least as good as `best`.

    For jobs with one kind of bin. `over` is told the best so far and the batches done, and says
    whether to stop. Every choice is drawn from a generator with a fixed seed.
    """
    rng = random.Random(len(job.items))
    seen: Seen = {}
    _keep(seen, best)
    everything = tuple(range(len(job.items)))
    for number in range(effort.batches):
        if over(best, number):
            return best
        plans: list[tuple[Packing, tuple[int, ...], Rung]] = []
        for slot in range(effort.batch_size):
            kept: Packing = ()
            if slot and number >= _PLAIN_BATCHES:
                kept = _fullest(job, seen, len(best) - 1, rng)
            held = {spot.item for _, spots in kept for spot in spots}
            rest = tuple(i for i in everything if i not in held)
            rung = rng.choice(effort.rest if kept else effort.restart)
            plans.append((kept, rest, _drawn(rung, rng)))
        answers = run(
            [(Job(job.bins, tuple(job.items[i] for i in rest)), rung) for _, rest, rung in plans]
        )
        for (kept, rest, _), answer in zip(plans, answers, strict=True):
            if answer is not None:
                new: Packing = tuple(
                    (kind, tuple(replace(s, item=rest[s.item]) for s in spots))
                    for kind, spots in answer
                )
                _keep(seen, new)
                if cost(job, kept + new) <= cost(job, best):
                    best = better(job, best, kept + new)
    over(best, effort.batches)
    return best


def _keep(seen: Seen, packing: Packing) -> None:
    for _, spots in packing:
        seen.setdefault(frozenset(s.item for s in spots), spots)


def _drawn(rung: Rung, rng: random.Random) -> Rung:
    """Return the rung with a joining drawn anew."""
    joining = Joining(rng.choice(_SHEET_SHARES), 0.0, rng.choice(_PASS_OVERS), rng.getrandbits(32))
    return replace(rung, joining=joining)


def _fullest(job: Job, seen: Seen, target: int, rng: random.Random) -> Packing:
    """Return the fullest sheets that share no board: all of `target` but one, two or three.

    Empty when so few are to be kept, or none could be chosen.
    """
    count = target - rng.choice((1, 2, 2, 3))
    if count < 1:
        return ()
    import numpy as np  # here and below: the live answer does without, and is quicker for it
    from scipy.optimize import Bounds, LinearConstraint, milp

    ordered = sorted(seen.items(), key=lambda one: (-fill(job, one[1]), sorted(one[0])))
    sheets = [spots for _, spots in ordered[:_MOST_SEEN]]
    room = job.bins[0].length * job.bins[0].width
    worth = [fill(job, spots) / room * rng.uniform(1 - _BLUR, 1) for spots in sheets]
    holds = np.zeros((len(job.items) + 1, len(sheets)))
    for number, spots in enumerate(sheets):
        holds[[s.item for s in spots], number] = 1
    holds[-1] = 1  # the last row counts the sheets
    most = np.array([1.0] * len(job.items) + [float(count)])
    answer = milp(
        -np.array(worth),
        constraints=LinearConstraint(holds, -np.inf, most),
        integrality=np.ones(len(sheets)),
        bounds=Bounds(0, 1),
        options={"node_limit": _NODES, "mip_rel_gap": 0.002},
    )
    if answer.x is None:
        return ()
    return tuple((0, sheets[n]) for n in range(len(sheets)) if answer.x[n] > 0.5)
