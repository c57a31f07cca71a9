"""Which candidates are looked at, and in which order; the same for the same seed.

A grid of at most `ENUMERATED` candidates is looked through whole, in random order: so a good one
is found early, and what it beats need not be judged to the end. Of a larger grid, half of what
may be judged is spread evenly over it (a scrambled Sobol sequence), and the rest are neighbours
of the front: from each of its candidates, one parameter at a time, steps of 1, 2, 4, ... values
both ways, until no neighbour is new.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from kit.search.request import Request, Written

#: A candidate: which value of each free parameter, counted from nought.
type Point = tuple[int, ...]


def changes(wanted: Request, point: Point) -> Mapping[str, Written]:
    """What a candidate writes into the design file."""
    return {free.path: free.values[at] for free, at in zip(wanted.free, point, strict=True)}


def first_points(wanted: Request) -> list[Point]:
    """The candidates to begin with: the whole grid in random order, or a spread over it."""
    sizes = [len(free.values) for free in wanted.free]
    if not wanted.whole:
        return _spread(sizes, (wanted.most + 1) // 2, wanted.seed)
    import numpy as np

    order = np.random.default_rng(wanted.seed).permutation(wanted.size)
    return [tuple(int(at) for at in np.unravel_index(number, sizes)) for number in order]


def _spread(sizes: Sequence[int], count: int, seed: int) -> list[Point]:
    import numpy as np
    from scipy.stats import qmc

    power = (count - 1).bit_length()  # a Sobol sequence is even over powers of two
    drawn = qmc.Sobol(len(sizes), rng=np.random.default_rng(seed)).random_base2(power)
    points = [
        tuple(min(int(share * size), size - 1) for share, size in zip(row, sizes, strict=True))
        for row in drawn
    ]
    return list(dict.fromkeys(points))[:count]


def neighbours(wanted: Request, best: Iterable[Point]) -> Iterator[Point]:
    """Candidates that differ from one of these in one parameter; some more than once."""
    for point in best:
        for number, free in enumerate(wanted.free):
            step = 1
            while step < len(free.values):
                for at in (point[number] - step, point[number] + step):
                    if 0 <= at < len(free.values):
                        yield (*point[:number], at, *point[number + 1 :])
                step *= 2
