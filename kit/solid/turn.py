"""Which boards are alike: the turn that carries a board to the axes of its solid."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product

from kit.geometry import Box, Cutter, Drill, Slot, Vec, Wedge, cutter_box

#: How many boards are kept, solids and meshes: more than a large piece has, and few enough that a
#: day at the desk does not fill the memory.
KEPT = 320


@dataclass(frozen=True, slots=True)
class Turned:
    """Which axes of a board are turned round to get the axes of its solid, and its cuts there."""

    flips: tuple[bool, bool, bool]
    cutters: tuple[Cutter, ...]


@lru_cache(maxsize=KEPT)
def turned(size: Vec, cutters: tuple[Cutter, ...], mirrored: bool) -> Turned:
    """The first, by where the cuts are, of the four ways to turn that leave a right-handed frame.

    Lengths are snapped to 1e-6 mm, so that twins that differ by the noise of floats agree.
    """
    middles = [cutter_box(cutter).centre for cutter in cutters]

    def places(flips: Sequence[bool]) -> list[list[float]]:
        return sorted(
            [snapped(s - v if f else v) for v, s, f in zip(middle, size, flips, strict=True)]
            for middle in middles
        )

    ways = [way for way in product((False, True), repeat=3) if (sum(way) % 2 == 1) is mirrored]
    x, y, z = min(ways, key=places)
    turned = (_flipped(cutter, (x, y, z), size) for cutter in cutters)
    return Turned((x, y, z), tuple(sorted(turned, key=repr)))


def _flipped(cutter: Cutter, flips: Sequence[bool], size: Vec) -> Cutter:
    """The cutter in axes of which some run the other way, from the far side of the blank."""

    def point(p: Vec) -> Vec:
        turned = (s - v if f else v for v, s, f in zip(p, size, flips, strict=True))
        return vec(snapped(v) for v in turned)

    def direction(d: Vec) -> Vec:
        return vec((-v if f else v) + 0.0 for v, f in zip(d, flips, strict=True))

    match cutter:
        case Box(lo, hi):
            ends = zip(point(lo), point(hi), strict=True)
            low, high = zip(*(sorted(pair) for pair in ends), strict=True)
            return Box(vec(low), vec(high))
        case Drill(entry=entry, heading=heading):
            return replace(
                cutter,
                entry=point(entry),
                heading=direction(heading),
                diameter=snapped(cutter.diameter),
                depth=snapped(cutter.depth),
            )
        case Slot((x, y), length, width, along, lo, hi):
            (x, y, lo), (_, _, hi) = point((x, y, lo)), point((x, y, hi))
            return Slot((x, y), snapped(length), snapped(width), along, min(lo, hi), max(lo, hi))
        case Wedge(corner, a, b, run):
            end = vec(p + r for p, r in zip(corner, run, strict=True))
            first, last = sorted((point(corner), point(end)))
            run = vec(b - a for a, b in zip(first, last, strict=True))
            return Wedge(first, direction(a), direction(b), run)


def snapped(mm: float) -> float:
    """To a millionth of a millimetre; a hair up first, so that no length in use is half way."""
    return round(mm + 3e-8, 6) + 0.0


def vec(values: Iterable[float]) -> Vec:
    """Three values as a vector."""
    x, y, z = values
    return (x, y, z)


def unit(axis: int, sign: int) -> Vec:
    """The unit vector along an axis, or against it."""
    return vec(float(sign) if i == axis else 0.0 for i in range(3))
