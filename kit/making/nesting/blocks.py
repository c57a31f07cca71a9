"""Boards joined into blocks before the search: pairs that share a side lie side by side.

Boards of a case share depths and heights, so blocks without waste are common. A search over
three stages of cuts that is given blocks reaches layouts of many more stages, and quickly.
All sizes are the solver's ticks with the kerf added, so sizes simply add up.
"""

from __future__ import annotations

import heapq
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kit.making.nesting.jobs import Item, Job, Joining, Packing, Spot


@dataclass(frozen=True, slots=True)
class Block:
    """A single board, or two blocks side by side with where each lies in it, ticks."""

    length: int
    width: int
    locked: bool
    item: int | None  # a single board, or else
    parts: tuple[tuple[Block, int, int, bool], ...] = ()  # block, x, y, turned


def join(job: Job, joining: Joining) -> tuple[Job, list[Block]]:
    """Return the job with its boards joined, and the blocks that `expand` needs."""
    room = max(job.bins, key=lambda bin_: bin_.length * bin_.width)
    most = joining.sheet_share * room.length * room.width
    alive: dict[int, Block] = {
        i: Block(item.length, item.width, item.locked, i) for i, item in enumerate(job.items)
    }
    heap: list[tuple[float, int, int, int]] = []
    ways: dict[tuple[int, int], _Way] = {}

    rng = random.Random(joining.seed)

    def offer(first: int, second: int) -> None:
        a, b = alive[first], alive[second]
        boards = a.length * a.width + b.length * b.width
        if boards > most or (joining.pass_over and rng.random() < joining.pass_over):
            return
        best: tuple[float, int] | None = None
        for way in _ways(a, b):
            length, width = way[0], way[1]
            area = length * width
            waste = 1 - boards / area
            if waste > joining.waste_share + 1e-12 or area > most:
                continue
            fits = (length <= room.length and width <= room.width) or (
                not (a.locked or b.locked) and width <= room.length and length <= room.width
            )
            if fits and (best is None or (waste, area) < best):
                best = (waste, area)
                ways[first, second] = way
        if best is not None:
            heapq.heappush(heap, (round(best[0], 4), best[1], first, second))

    numbers = list(alive)
    for i, first in enumerate(numbers):
        for second in numbers[i + 1 :]:
            offer(first, second)
    fresh = len(numbers)
    while heap:
        _, _, first, second = heapq.heappop(heap)
        if first not in alive or second not in alive:
            continue
        block = _joined(alive[first], alive[second], ways[first, second])
        del alive[first], alive[second]
        others = list(alive)
        alive[fresh] = block
        for other in others:
            offer(other, fresh)
        fresh += 1
    blocks = list(alive.values())
    items = tuple(Item(b.length, b.width, b.locked) for b in blocks)
    return Job(job.bins, items), blocks


def expand(packing: Packing, blocks: Sequence[Block]) -> Packing:
    """Return the packing of blocks as a packing of the boards in them."""
    return tuple(
        (kind, tuple(s for spot in spots for s in _spots(blocks[spot.item], spot)))
        for kind, spots in packing
    )


def _spots(block: Block, spot: Spot) -> Iterator[Spot]:
    if block.item is not None:
        yield Spot(block.item, spot.x, spot.y, spot.turned)
        return
    for part, x, y, turned in block.parts:
        if spot.turned:
            x, y = y, x
        yield from _spots(part, Spot(-1, spot.x + x, spot.y + y, turned is not spot.turned))


_Way = tuple[int, int, bool, bool, bool]
"""Length and width of two blocks side by side; first turned, second turned, second above."""


def _ways(a: Block, b: Block) -> Iterator[_Way]:
    """Yield the ways to lay two blocks side by side; none that is another one turned."""
    both_free = not a.locked and not b.locked
    for a_turned in (False,) if a.locked else (False, True):
        al, aw = (a.width, a.length) if a_turned else (a.length, a.width)
        for b_turned in (False,) if b.locked else (False, True):
            bl, bw = (b.width, b.length) if b_turned else (b.length, b.width)
            yield al + bl, max(aw, bw), a_turned, b_turned, False
            if not both_free:
                yield max(al, bl), aw + bw, a_turned, b_turned, True


def _joined(a: Block, b: Block, way: _Way) -> Block:
    length, width, a_turned, b_turned, above = way
    x = 0 if above else (a.width if a_turned else a.length)
    y = (a.length if a_turned else a.width) if above else 0
    parts = ((a, 0, 0, a_turned), (b, x, y, b_turned))
    return Block(length, width, a.locked or b.locked, None, parts)
