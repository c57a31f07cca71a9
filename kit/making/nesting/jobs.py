"""A layout task in the solver's whole numbers, and how to search it.

Lengths are ticks of 1/8000 mm, in which every 1/64 in and every 0.001 mm is exact. Boards are
rounded up and sheets down, so that no rounding lets a board fit that does not. The kerf is
already added to every board and to the usable sheet, so that sizes simply add up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

TICKS_PER_MM = 8000


class Method(Enum):
    """Which search of the solver a rung uses."""

    TREE = "tree"  # beam search over three stages of cuts
    SHORTEST = "shortest"  # beam search for the least length of one sheet that holds all
    VALUES = "values"  # sheet by sheet, boards hard to place made more valuable each time


class Stages(Enum):
    """How often the direction of the cuts may change."""

    THREE = "three"
    THREE_AND_TRIM = "three and trim"  # three, and one more cut between two boards of a strip
    FREE = "free"


@dataclass(frozen=True, slots=True)
class Joining:
    """How far to join boards into blocks first: most of a sheet per block, most waste in one.

    A share of the pairs, drawn by the seed, is passed over: other blocks, other layouts.
    """

    sheet_share: float
    waste_share: float
    pass_over: float = 0.0
    seed: int = 0


@dataclass(frozen=True, slots=True)
class Rung:
    """One step of the ladder: a search with a fixed amount of work, so it is repeatable."""

    method: Method
    stages: Stages
    queue: int
    iterations: int = 1
    joining: Joining | None = None


@dataclass(frozen=True, slots=True)
class Bin:
    """A kind of sheet in ticks, kerf added: extents, how many, cost, defects (x, y, l, w)."""

    length: int
    width: int
    copies: int
    cost: float
    defects: tuple[tuple[int, int, int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Item:
    """A board in ticks, kerf added; `locked` boards are not turned."""

    length: int
    width: int
    locked: bool


@dataclass(frozen=True, slots=True)
class Job:
    """All that one run needs."""

    bins: tuple[Bin, ...]
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Spot:
    """Where item number `item` lies in its bin, ticks from the usable corner."""

    item: int
    x: int
    y: int
    turned: bool


Packing = tuple[tuple[int, tuple[Spot, ...]], ...]
"""Bins used: number of the kind of bin, and the spots in it."""


def ticks_up(length_mm: float) -> int:
    """Return a length in ticks, rounded up; an error of a float's last bits is not rounded."""
    return math.ceil(length_mm * TICKS_PER_MM - 1e-3)


def ticks_down(length_mm: float) -> int:
    """Return a length in ticks, rounded down."""
    return math.floor(length_mm * TICKS_PER_MM + 1e-3)
