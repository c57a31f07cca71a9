"""How hard to look for a layout: which bounded runs, in which order, for so many boards.

Chosen by measuring on jobs with a known optimum (tests/benchmarks/known_optimum.py).
Three-stage searches on joined boards are quick; free stages find the tightest layouts and
take a second or more.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kit.making.nesting.jobs import Job, Joining, Method, Rung, Stages


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard to look: rungs in batches, then rounds of repacking a few sheets together.

    With one kind of bin, the rungs of `single` look for one sheet fewer with no board joined;
    and any `batches` take the place of the rounds: see `restarts`.
    """

    ladder: tuple[tuple[Rung, ...], ...]
    rounds: int
    repack: tuple[Rung, ...]
    most_items: int  # repack no more boards than this at once
    single: tuple[Rung, ...] = ()
    batches: int = 0
    batch_size: int = 0
    restart: tuple[Rung, ...] = ()  # one of these for all boards; its joining is drawn
    rest: tuple[Rung, ...] = ()  # one of these for the boards that full sheets leave; as above


MOST_SINGLE = 30
"""Of more boards, looked at one by one, the live answer would take too long."""

EffortFor = Callable[[Job], Effort]
"""How hard to look for the packing of a job."""


def live_effort(job: Job) -> Effort:
    """Return the effort that answers in a fraction of a second."""
    items = len(job.items)
    simple = len(job.bins) == 1 and not job.bins[0].defects
    half, fifth = Joining(0.5, 0.0), Joining(0.2, 0.0)
    if not simple and items <= 80:
        return Effort(((_tree(64, half),), (_values(32, 4, fifth),)), 0, (), 0)
    if items > 80:
        return Effort(((_tree(4, half),),), 0, (), 0)
    return Effort(
        (
            (_tree(64, half),),
            (_values(32, 4, half),),
            (_values(32, 8, fifth), _tree(128, fifth)),
        ),
        4,
        (_values(32, 4, fifth), _tree(64, fifth)),
        30,
        single=(_tree(64, None),) if items <= MOST_SINGLE else (),
    )


def final_effort(job: Job) -> Effort:
    """Return the effort for the layout that goes to the saw."""
    items = len(job.items)
    half, fifth, tenth = Joining(0.5, 0.0), Joining(0.2, 0.0), Joining(0.1, 0.0)
    if items > 80:
        return Effort(
            ((_tree(16, half), _values(8, 1, half)),),
            4,
            (_free(1, 1, fifth), _values(32, 4, fifth)),
            30,
        )
    one, four, three_stages = _free(1, 1, None), _free(4, 1, None), _values(32, 4, None)
    return Effort(
        (
            (_values(64, 16, fifth), _free(1, 1, tenth)),
            (_tree(256, tenth), _free(1, 1, half)),
        ),
        24,
        (_free(4, 4, tenth), _values(64, 16, fifth), _free(4, 4, fifth), _free(8, 2, tenth)),
        30,
        batches=40,
        batch_size=4,
        restart=(one, one, one, four, three_stages),
        rest=(one, _free(2, 1, None), four),
        single=(_tree(256, None), _values(64, 4, None)),
    )


def _tree(queue: int, joining: Joining | None) -> Rung:
    return Rung(Method.TREE, Stages.THREE_AND_TRIM, queue, 1, joining)


def _values(queue: int, iterations: int, joining: Joining | None) -> Rung:
    return Rung(Method.VALUES, Stages.THREE_AND_TRIM, queue, iterations, joining)


def _free(queue: int, iterations: int, joining: Joining | None) -> Rung:
    return Rung(Method.VALUES, Stages.FREE, queue, iterations, joining)
