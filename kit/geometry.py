"""Boxes, directions and plain cutters: the geometry that needs no solid kernel.

World axes are right-handed, in millimetres: X left to right as seen from the front, Y
front to back, Z up. A board has axes of its own (x along its length, y across its width,
z through its thickness); `Place` carries one into the other.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import Enum

from kit.errors import BuildError

type Vec = tuple[float, float, float]

#: Below this two coordinates in millimetres are the same coordinate.
SAME_MM = 1e-6


class Heading(Enum):
    """A direction in the room, as (world axis, sign)."""

    RIGHT = (0, 1)
    LEFT = (0, -1)
    BACK = (1, 1)
    FRONT = (1, -1)
    UP = (2, 1)
    DOWN = (2, -1)

    def __init__(self, axis: int, sign: int) -> None:
        #: World axis: 0, 1 or 2.
        self.axis = axis
        #: +1 or -1 along that axis.
        self.sign = sign


@dataclass(frozen=True, slots=True)
class Box:
    """An axis-parallel box from corner `lo` to corner `hi`, mm."""

    lo: Vec
    hi: Vec

    @property
    def size(self) -> Vec:
        """Edge lengths along the three axes, mm."""
        return (self.hi[0] - self.lo[0], self.hi[1] - self.lo[1], self.hi[2] - self.lo[2])

    @property
    def volume_mm3(self) -> float:
        """Volume, mm3; zero for a box that is turned inside out."""
        x, y, z = self.size
        return max(x, 0.0) * max(y, 0.0) * max(z, 0.0)

    @property
    def centre(self) -> Vec:
        """Middle of the box."""
        a, b = self.lo, self.hi
        return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2)

    def common(self, other: "Box") -> "Box | None":
        """The box both share, or None where they share at most a face."""
        # most pairs are apart and boxes meet by the thousand: one axis at a time, without a loop
        (a0, a1, a2), (b0, b1, b2) = self.lo, self.hi
        (c0, c1, c2), (d0, d1, d2) = other.lo, other.hi
        lo0, hi0 = max(a0, c0), min(b0, d0)
        if not hi0 - lo0 > SAME_MM:
            return None
        lo1, hi1 = max(a1, c1), min(b1, d1)
        if not hi1 - lo1 > SAME_MM:
            return None
        lo2, hi2 = max(a2, c2), min(b2, d2)
        if not hi2 - lo2 > SAME_MM:
            return None
        return Box((lo0, lo1, lo2), (hi0, hi1, hi2))

    def contains(self, other: "Box") -> bool:
        """Whether `other` lies within this box (faces may touch)."""
        return all(a <= b + SAME_MM for a, b in zip(self.lo, other.lo, strict=True)) and all(
            a >= b - SAME_MM for a, b in zip(self.hi, other.hi, strict=True)
        )

    def less(self, cutter: "Box") -> tuple["Box", ...]:
        """What remains when `cutter` is taken away, as disjoint boxes (at most six)."""
        common = self.common(cutter)
        if common is None:
            return (self,)
        rest = []
        lo, hi = list(self.lo), list(self.hi)
        for axis in range(3):
            if common.lo[axis] - lo[axis] > SAME_MM:
                end = list(hi)
                end[axis] = common.lo[axis]
                rest.append(Box(_vec(lo), _vec(end)))
                lo[axis] = common.lo[axis]
            if hi[axis] - common.hi[axis] > SAME_MM:
                begin = list(lo)
                begin[axis] = common.hi[axis]
                rest.append(Box(_vec(begin), _vec(hi)))
                hi[axis] = common.hi[axis]
        return tuple(rest)


def remainder(blank: Box, cutters: Iterable[Box]) -> tuple[Box, ...]:
    """`blank` less all `cutters` (which may overlap), as disjoint boxes."""
    rest: tuple[Box, ...] = (blank,)
    for cutter in cutters:
        rest = tuple(piece for box in rest for piece in box.less(cutter))
    return rest


def bounds(boxes: Sequence[Box]) -> Box:
    """The smallest box round all of them."""
    return Box(
        _vec([min(b.lo[i] for b in boxes) for i in range(3)]),
        _vec([max(b.hi[i] for b in boxes) for i in range(3)]),
    )


@dataclass(frozen=True, slots=True)
class Drill:
    """A drilled hole: it enters at `entry` on a flat surface and goes `depth` along `heading`.

    `heading` is a unit vector pointing into the wood; it need not be square to the surface.
    The entry surface, and the exit surface of a `through` hole, cut the full circle, so that
    the volume is circle times depth on the axis whatever the slant.
    """

    entry: Vec
    heading: Vec
    diameter: float
    depth: float
    through: bool = False

    @property
    def volume_mm3(self) -> float:
        """Wood removed, mm3."""
        return math.pi * self.diameter**2 / 4 * self.depth

    @property
    def end(self) -> Vec:
        """Where the axis ends."""
        return _vec([p + d * self.depth for p, d in zip(self.entry, self.heading, strict=True)])

    @property
    def box(self) -> Box:
        """The smallest box round the hole, taken between its two end discs."""
        r = self.diameter / 2
        reach = [r * math.sqrt(max(0.0, 1 - d * d)) for d in self.heading]
        ends = (self.entry, self.end)
        return Box(
            _vec([min(p[i] for p in ends) - reach[i] for i in range(3)]),
            _vec([max(p[i] for p in ends) + reach[i] for i in range(3)]),
        )


@dataclass(frozen=True, slots=True)
class Slot:
    """A slot with round ends through the thickness, from z `lo` to z `hi`.

    `centre` is (x, y); `length` is overall, including the round ends; `along` is 0 for a
    slot that runs with x, 1 for one that runs with y.
    """

    centre: tuple[float, float]
    length: float
    width: float
    along: int
    lo: float
    hi: float

    @property
    def area_mm2(self) -> float:
        """Open area seen square on, mm2."""
        return (self.length - self.width) * self.width + math.pi * self.width**2 / 4

    @property
    def volume_mm3(self) -> float:
        """Wood removed, mm3."""
        return self.area_mm2 * (self.hi - self.lo)

    @property
    def box(self) -> Box:
        """The smallest box round the slot."""
        half = [self.width / 2, self.width / 2]
        half[self.along] = self.length / 2
        (x, y), (dx, dy) = self.centre, half
        return Box((x - dx, y - dy, self.lo), (x + dx, y + dy, self.hi))


@dataclass(frozen=True, slots=True)
class Wedge:
    """A triangular strip: the right triangle at `corner` with legs `a` and `b`, swept by `run`.

    The three vectors are parallel to three different axes.
    """

    corner: Vec
    a: Vec
    b: Vec
    run: Vec

    @property
    def volume_mm3(self) -> float:
        """Wood removed, mm3."""
        return math.hypot(*self.a) * math.hypot(*self.b) / 2 * math.hypot(*self.run)

    @property
    def box(self) -> Box:
        """The smallest box round the strip."""
        far = _vec([sum(v) for v in zip(self.corner, self.a, self.b, self.run, strict=True)])
        return Box(_each(min, self.corner, far), _each(max, self.corner, far))


type Cutter = Box | Drill | Slot | Wedge


def cutter_box(cutter: Cutter) -> Box:
    """The smallest box round any cutter."""
    return cutter if isinstance(cutter, Box) else cutter.box


@dataclass(frozen=True, slots=True)
class Place:
    """Where a board stands: its datum corner in the room, and where its own axes point.

    `along`, `across` and `out` are the headings of length, width and thickness. The three
    may form a left-handed frame: a right-hand board then carries the very numbers of its
    left-hand twin, mirrored.
    """

    corner: Vec
    along: Heading
    across: Heading
    out: Heading

    @classmethod
    def of(cls, box: Box, along: Heading, across: Heading, out: Heading) -> "Place":
        """The place of a board that fills `box`.

        Raises BuildError for a box that is turned inside out: two boards want each other's place.
        """
        if not all(a <= b for a, b in zip(box.lo, box.hi, strict=True)):
            sizes = " x ".join(f"{size:.1f}" for size in box.size)
            raise BuildError(
                f"A board would be {sizes} mm (width x depth x height): what stands on either "
                "side of it wants its room. Make the case larger or move them apart."
            )
        corner = [0.0, 0.0, 0.0]
        for heading in (along, across, out):
            i = heading.axis
            corner[i] = box.lo[i] if heading.sign > 0 else box.hi[i]
        return cls(_vec(corner), along, across, out)

    @property
    def mirrored(self) -> bool:
        """Whether the board's own frame is left-handed."""
        order = (self.along.axis, self.across.axis, self.out.axis)
        even = order in ((0, 1, 2), (1, 2, 0), (2, 0, 1))
        sign = self.along.sign * self.across.sign * self.out.sign
        return (sign > 0) is not even

    def to_room(self, point: Vec) -> Vec:
        """A point of the board in room coordinates."""
        room = list(self.corner)
        x, y, z = point
        room[self.along.axis] += self.along.sign * x
        room[self.across.axis] += self.across.sign * y
        room[self.out.axis] += self.out.sign * z
        return (room[0], room[1], room[2])

    def to_board(self, point: Vec) -> Vec:
        """A point of the room in the board's own coordinates."""
        return _vec(
            [
                heading.sign * (point[heading.axis] - self.corner[heading.axis])
                for heading in (self.along, self.across, self.out)
            ]
        )

    def box_to_room(self, box: Box) -> Box:
        """A box of the board in room coordinates."""
        a, b = self.to_room(box.lo), self.to_room(box.hi)
        return Box(_each(min, a, b), _each(max, a, b))

    def box_to_board(self, box: Box) -> Box:
        """A box of the room in the board's own coordinates."""
        a, b = self.to_board(box.lo), self.to_board(box.hi)
        return Box(_each(min, a, b), _each(max, a, b))


def _vec(values: Sequence[float]) -> Vec:
    x, y, z = values
    return (x, y, z)


def _each(choose: Callable[[float, float], float], a: Vec, b: Vec) -> Vec:
    return (choose(a[0], b[0]), choose(a[1], b[1]), choose(a[2], b[2]))
