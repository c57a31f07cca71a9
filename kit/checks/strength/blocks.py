"""Symmetric sets of equations in small blocks, most of which are empty; numpy alone.

Blocks stay below the size from which numpy's libraries share out to threads, which stalls where
the processor has other work; and scipy takes longer to load than all checks take. The block with
the fewest neighbours goes first (minimum degree). Source: textbook, block LDLᵀ without an exchange
of rows, sound for the stiffness of what is held. Range: some thousand unknowns.
"""

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

#: Most unknowns of a block.
MOST = 60
#: Up to so many unknowns are gathered in one piece, which is quicker.
WHOLE = 2000

type Floats = NDArray[np.float64]


class Blocks:
    """The matrix as blocks (i, j) with i <= j, which `add` fills and `solve` takes apart."""

    def __init__(self, parts: Sequence[tuple[int, int]]) -> None:
        """`parts` are (first, size) of what is to stay together, in order and without gaps."""
        ends = [0]
        for first, size in parts:
            count = -(-size // MOST)
            ends += [first + size * n // count for n in range(1, count + 1)]
        self.ends = np.array(ends, dtype=np.intp)
        self.size = int(ends[-1])
        self.block_of = np.repeat(np.arange(len(ends) - 1), np.diff(self.ends))
        self.within = np.arange(self.size) - self.ends[self.block_of]
        self.blocks: dict[tuple[int, int], Floats] = {}
        self.whole = np.zeros((self.size, self.size)) if self.size <= WHOLE else None

    def add(self, places: NDArray[np.intp], matrix: Floats) -> None:
        """Add a symmetric matrix at distinct places."""
        if self.whole is not None:
            self.whole[places[:, None], places] += matrix
            return
        of, at = self.block_of[places], self.within[places]
        here = {int(b): np.nonzero(of == b)[0] for b in set(of.tolist())}
        for i, rows in here.items():
            for j, columns in here.items():
                if i <= j:
                    block = self._block(i, j)
                    block[at[rows][:, None], at[columns]] += matrix[rows[:, None], columns]

    def _block(self, i: int, j: int) -> Floats:
        found = self.blocks.get((i, j))
        if found is None:
            shape = (self.ends[i + 1] - self.ends[i], self.ends[j + 1] - self.ends[j])
            found = self.blocks[i, j] = np.zeros(shape)
        return found

    def solve(self, loads: Floats) -> Floats:
        """The unknowns under loads (size,) or (size, cases); the blocks are used up.

        Raises numpy.linalg.LinAlgError for a singular matrix.
        """
        self._cut()
        beside: defaultdict[int, set[int]] = defaultdict(set)
        for i, j in self.blocks:
            if i != j:
                beside[i].add(j)
                beside[j].add(i)
        force = [loads[a:b].copy() for a, b in zip(self.ends[:-1], self.ends[1:], strict=True)]
        left, done = set(range(len(force))), []
        while left:
            pivot = min(left, key=lambda b: (len(beside[b]), b))
            left.remove(pivot)
            near = sorted(beside.pop(pivot))
            inverse = np.linalg.inv(self._block(pivot, pivot))
            across = {q: self._upper(pivot, q) for q in near}
            carried = {q: inverse @ block for q, block in across.items()}
            for n, q in enumerate(near):
                beside[q].remove(pivot)
                beside[q].update(other for other in near if other != q)
                turned = across[q].T
                force[q] -= turned @ (inverse @ force[pivot])
                for r in near[n:]:
                    self._block(q, r)[...] -= turned @ carried[r]
            done.append((pivot, inverse, carried))
        for pivot, inverse, carried in reversed(done):
            force[pivot] = inverse @ force[pivot]
            for q, block in carried.items():
                force[pivot] -= block @ force[q]
        return np.concatenate(force)

    def _cut(self) -> None:
        """Cut the whole into the blocks that are not empty."""
        if self.whole is None:
            return
        spans = [slice(a, b) for a, b in zip(self.ends[:-1], self.ends[1:], strict=True)]
        for i, rows in enumerate(spans):
            for j, columns in enumerate(spans[i:], start=i):
                block = self.whole[rows, columns]
                if block.any():
                    self.blocks[i, j] = block

    def _upper(self, i: int, j: int) -> Floats:
        """Block (i, j) wherever it is kept."""
        return self.blocks[i, j] if i < j else self.blocks[j, i].T
