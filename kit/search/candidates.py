"""Which candidates are looked at, and in which order; the same for the same seed.

A grid of at most `ENUMERATED` candidates is looked through whole, in random order: so a good one
is found early, and what it beats need not be judged to the end. Of a larger grid, half of what
may be judged is spread evenly over it (a scrambled Sobol sequence), and the rest are neighbours
of the front: from each of its candidates steps of 1, 2, 4, ... values both ways, in one parameter
or in two at a time. Where no neighbour is new, or there is no front yet, the spread goes on.
"""

from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations, product

from kit.search.request import Request, Written

#: A candidate: which value of each free parameter, counted from nought.
type Point = tuple[int, ...]


def changes(wanted: Request, point: Point) -> Mapping[str, Written]:
    """What a candidate writes into the design file."""
    return {free.path: free.values[at] for free, at in zip(wanted.free, point, strict=True)}


def whole_grid(wanted: Request) -> list[Point]:
    """Every candidate, in random order."""
    import numpy as np

    sizes = [len(free.values) for free in wanted.free]
    order = np.random.default_rng(wanted.seed).permutation(wanted.size)
    return [tuple(int(at) for at in np.unravel_index(number, sizes)) for number in order]


def spread(wanted: Request) -> list[Point]:
    """As many candidates as may be judged at most, the first half evenly over the grid."""
    import numpy as np
    from scipy.stats import qmc

    sizes = [len(free.values) for free in wanted.free]
    power = (wanted.most - 1).bit_length()  # a Sobol sequence is even over powers of two
    drawn = qmc.Sobol(len(sizes), rng=np.random.default_rng(wanted.seed)).random_base2(power)
    points = [
        tuple(min(int(share * size), size - 1) for share, size in zip(row, sizes, strict=True))
        for row in drawn
    ]
    return list(dict.fromkeys(points))[: wanted.most]


def neighbours(wanted: Request, best: Iterable[Point]) -> Iterator[Point]:
    """Candidates one step away from these in one parameter or in two; some more than once.

    Two at a time, as a limit often trades one against the other: wider, and less deep.
    """
    sizes = [len(free.values) for free in wanted.free]
    alone = [(one,) for one in range(len(sizes))]
    moving = [*alone, *combinations(range(len(sizes)), 2)]
    for point, power in product(best, range(max(sizes).bit_length())):
        for axes in moving:
            for ways in product((-1, 1), repeat=len(axes)):
                moved = list(point)
                for axis, way in zip(axes, ways, strict=True):
                    moved[axis] += way * 2**power
                if all(0 <= at < size for at, size in zip(moved, sizes, strict=True)):
                    yield tuple(moved)
