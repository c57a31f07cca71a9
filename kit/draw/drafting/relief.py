"""What is seen square on of things made of boxes: every visible edge, exactly.

Boxes are painted from the farthest to the nearest into a grid whose lines are their own
sides. An edge is seen where two neighbouring cells show different things, or one thing at
different depths. There is no search for hidden lines, and no rounding.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kit.geometry import Box

type Segment = tuple[tuple[float, float], tuple[float, float]]

#: Coordinates nearer to each other than this are one, mm.
SAME = 1e-4


@dataclass(frozen=True, slots=True)
class Slab:
    """A box as seen: its rectangle in the plane of the view, its near side, and whose it is.

    `near` grows towards the eye.
    """

    u: tuple[float, float]
    v: tuple[float, float]
    near: float
    owner: str

    @classmethod
    def of(cls, box: Box, owner: str, u: tuple[int, int], v: tuple[int, int]) -> "Slab":
        """The box as seen with axis u[0] to the right and v[0] up; -1 turns an axis round.

        The eye is on the side to which right and up turn like the thumb of a right hand.
        """
        (iu, su), (iv, sv) = u, v
        towards = 3 - iu - iv
        even = (iu, iv, towards) in ((0, 1, 2), (1, 2, 0), (2, 0, 1))
        sign = su * sv * (1 if even else -1)
        us, vs = (box.lo[iu] * su, box.hi[iu] * su), (box.lo[iv] * sv, box.hi[iv] * sv)
        near = box.hi[towards] if sign > 0 else -box.lo[towards]
        return cls((min(us), max(us)), (min(vs), max(vs)), near, owner)


@dataclass(frozen=True)
class Relief:
    """The grid of cells, and for each the number of its owner (-1: nothing) and its depth."""

    us: NDArray[np.float64]
    vs: NDArray[np.float64]
    owner: NDArray[np.int32]
    depth: NDArray[np.float64]
    names: tuple[str, ...]

    @classmethod
    def of(cls, slabs: Sequence[Slab]) -> "Relief":
        """Paint the slabs; among equally near ones the later is seen."""
        us = _lines(value for slab in slabs for value in slab.u)
        vs = _lines(value for slab in slabs for value in slab.v)
        shape = (max(len(us) - 1, 0), max(len(vs) - 1, 0))
        owner = np.full(shape, -1, dtype=np.int32)
        depth = np.full(shape, -np.inf)
        names = tuple(dict.fromkeys(slab.owner for slab in slabs))
        number = {name: i for i, name in enumerate(names)}
        for slab in sorted(slabs, key=lambda slab: slab.near):
            (u0, u1), (v0, v1) = np.searchsorted(us, _q(slab.u)), np.searchsorted(vs, _q(slab.v))
            owner[u0:u1, v0:v1] = number[slab.owner]
            depth[u0:u1, v0:v1] = round(slab.near / SAME) * SAME
        return cls(us, vs, owner, depth, names)

    def edges(self) -> Iterator[Segment]:
        """Every visible edge, as long as it runs straight on."""
        owner = np.pad(self.owner, 1, constant_values=-1)
        depth = np.pad(self.depth, 1, constant_values=-np.inf)
        upright = (owner[1:, 1:-1] != owner[:-1, 1:-1]) | (depth[1:, 1:-1] != depth[:-1, 1:-1])
        level = (owner[1:-1, 1:] != owner[1:-1, :-1]) | (depth[1:-1, 1:] != depth[1:-1, :-1])
        for i, column in enumerate(upright):
            for a, b in _runs(column):
                u = float(self.us[i])
                yield (u, float(self.vs[a])), (u, float(self.vs[b]))
        for j, row in enumerate(level.T):
            for a, b in _runs(row):
                v = float(self.vs[j])
                yield (float(self.us[a]), v), (float(self.us[b]), v)

    def rim(self) -> Iterator[Segment]:
        """The edges of the whole against nothing."""
        whole = np.where(self.owner >= 0, 0, -1).astype(np.int32)
        level = np.where(self.owner >= 0, 0.0, -np.inf)
        return Relief(self.us, self.vs, whole, level, ("whole",)).edges()

    def seen(self, owner: str) -> tuple[tuple[float, float, float, float], ...]:
        """Where one owner is seen, as rectangles (u0, v0, u1, v1) that do not overlap."""
        if owner not in self.names:
            return ()
        mask = self.owner == self.names.index(owner)
        found = []
        for i, column in enumerate(mask):
            for a, b in _runs(column):
                low, high = float(self.vs[a]), float(self.vs[b])
                found.append((float(self.us[i]), low, float(self.us[i + 1]), high))
        return tuple(_joined(found))

    def at(self, u: float, v: float) -> tuple[str, float] | None:
        """Whose surface is seen at a point, and how near; None where nothing is."""
        i, j = np.searchsorted(self.us, u) - 1, np.searchsorted(self.vs, v) - 1
        if not (0 <= i < self.owner.shape[0] and 0 <= j < self.owner.shape[1]):
            return None
        number = int(self.owner[i, j])
        return None if number < 0 else (self.names[number], float(self.depth[i, j]))


def _joined(
    rects: Iterable[tuple[float, float, float, float]],
) -> Iterator[tuple[float, float, float, float]]:
    """Rectangles of one height that stand side by side, made one."""
    open_at: dict[tuple[float, float], tuple[float, float]] = {}
    for u0, v0, u1, v1 in rects:
        start, end = open_at.pop((v0, v1), (u0, u0))
        if end != u0:
            yield (start, v0, end, v1)
            start = u0
        open_at[v0, v1] = (start, u1)
    for (v0, v1), (start, end) in open_at.items():
        yield (start, v0, end, v1)


def _runs(flags: NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
    """Start and stop of each run of true values."""
    steps = np.diff(np.concatenate(([False], flags, [False])).astype(np.int8))
    starts, stops = np.flatnonzero(steps == 1), np.flatnonzero(steps == -1)
    return ((int(a), int(b)) for a, b in zip(starts, stops, strict=True))


def _q(pair: tuple[float, float]) -> NDArray[np.float64]:
    return np.round(np.asarray(pair) / SAME) * SAME


def _lines(values: Iterable[float]) -> NDArray[np.float64]:
    return np.unique(np.round(np.fromiter(values, dtype=np.float64) / SAME) * SAME)
