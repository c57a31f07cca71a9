"""Round holes of a solid: walls of cylinders that go all round, joined along their line."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

import cadquery as cq
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_IN

from kit.geometry import Box, Vec
from kit.solid.turn import vec

#: Below this two coordinates of a solid are the same, mm: the kernel's tolerance is 1e-7, and
#: lengths are snapped to 1e-6 before they get there.
SAME = 1e-5
#: How far behind the end of a bore wood is looked for, and at which share of its radius, mm.
BEHIND, RIM = 0.01, 0.9


@dataclass(frozen=True, slots=True)
class Bore:
    """A round hole. Its centre line goes from `start`, where it is open, to `end`, mm.

    Both ends lie where the centre line leaves the blank or meets the floor; `through` says that
    no wood closes it. A stepped bore is two of them on one line.
    """

    start: Vec
    end: Vec
    diameter: float
    through: bool

    @property
    def length(self) -> float:
        """Length of the centre line, mm."""
        return math.dist(self.start, self.end)

    @property
    def heading(self) -> Vec:
        """Unit vector from `start` to `end`."""
        return vec((b - a) / self.length for a, b in zip(self.start, self.end, strict=True))

    @property
    def axis(self) -> int | None:
        """The board axis that it runs along; None where it slants."""
        return next((i for i in range(3) if abs(self.heading[i]) > 1 - SAME), None)


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of the wall of a cylinder, mm and radians.

    `foot` is the point of its centre line nearest to the origin; it reaches from `lo` to `hi`
    along `heading` from there, and round it from `turn[0]` to `turn[1]`.
    """

    foot: Vec
    heading: Vec
    radius: float
    lo: float
    hi: float
    turn: tuple[float, float]

    def on_line_of(self, other: "Piece") -> bool:
        """Whether both have one centre line and one radius."""
        return (
            abs(self.radius - other.radius) < SAME
            and math.dist(self.heading, other.heading) < SAME
            and math.dist(self.foot, other.foot) < 10 * SAME
        )


def piece_of(form: BRepAdaptor_Surface) -> Piece:
    """The piece of a wall that a face with a cylinder under it is."""
    cylinder = form.Cylinder()
    frame = cylinder.Position()
    origin, heading = coord(frame.Location()), coord(frame.Direction())
    lo, hi = form.FirstVParameter(), form.LastVParameter()
    along = next(d for d in heading if abs(d) > SAME)
    if along < 0:  # one heading for both ways along a line, so that pieces of one bore agree
        heading, lo, hi = vec(-d for d in heading), -hi, -lo
    shift = _dot(origin, heading)
    foot = vec(o - shift * d for o, d in zip(origin, heading, strict=True))
    span = form.LastUParameter() - form.FirstUParameter()
    middle = _angle(form, heading, origin, form.FirstUParameter() + span / 2)
    return Piece(
        foot,
        heading,
        cylinder.Radius(),
        lo + shift,
        hi + shift,
        (middle - span / 2, middle + span / 2),
    )


def _angle(form: BRepAdaptor_Surface, heading: Vec, origin: Vec, u: float) -> float:
    """Where round `heading` the wall stands at parameter u, from a mark that all walls share."""
    spoke = vec(p - o for p, o in zip(coord(form.Value(u, 0.0)), origin, strict=True))
    mark, side = _across(heading)
    return math.atan2(_dot(spoke, side), _dot(spoke, mark))


def _across(heading: Vec) -> tuple[Vec, Vec]:
    """Two unit vectors square to a heading and to each other."""
    least = min(range(3), key=lambda i: abs(heading[i]))
    spare = vec(float(i == least) for i in range(3))
    side = _cross(heading, spare)
    size = math.hypot(*side)
    side = vec(v / size for v in side)
    return _cross(side, heading), side


def bores_of(shape: cq.Solid, hull: Box, pieces: Iterable[Piece]) -> tuple[Bore, ...]:
    """The pieces that go all round, joined; the rounded ends of slots are none."""
    lines: list[list[Piece]] = []
    for piece in pieces:
        line = next((line for line in lines if piece.on_line_of(line[0])), None)
        if line is None:
            lines.append([piece])
        else:
            line.append(piece)
    wood = _Wood(shape)
    found = (_bore(run, hull, wood) for line in lines for run in _runs(line, wood))
    return tuple(bore for bore in found if bore is not None)


def _runs(line: Sequence[Piece], wood: "_Wood") -> Iterator[list[Piece]]:
    """Pieces on one line with no wood between them.

    Two blind holes end to end are two; one that a larger hole crosses is one.
    """
    run: list[Piece] = []
    for piece in sorted(line, key=lambda piece: piece.lo):
        reach = max((p.hi for p in run), default=piece.lo)
        if piece.lo > reach + SAME and (
            wood.behind(piece, reach, 1.0) or wood.behind(piece, piece.lo, -1.0)
        ):
            yield run
            run = []
        run.append(piece)
    yield run


def _bore(run: Sequence[Piece], hull: Box, wood: "_Wood") -> Bore | None:
    if not _goes_round(run):
        return None
    one = run[0]
    lo, hi = min(p.lo for p in run), max(p.hi for p in run)
    closed = [wood.behind(one, at, way) for at, way in ((lo, -1.0), (hi, 1.0))]
    # a slanted mouth reaches past the point where the centre line comes out
    for i in range(3):
        if abs(one.heading[i]) > SAME:
            ends = sorted((at - one.foot[i]) / one.heading[i] for at in (hull.lo[i], hull.hi[i]))
            lo, hi = max(lo, ends[0]), min(hi, ends[1])
    if closed[0] and not closed[1]:
        lo, hi = hi, lo
    return Bore(_at(one, lo), _at(one, hi), 2 * one.radius, not any(closed))


def _goes_round(run: Sequence[Piece]) -> bool:
    """Whether the pieces together go all round the line."""
    spans = []
    for a, b in (piece.turn for piece in run):
        if b - a > 2 * math.pi - 1e-6:
            return True
        a, b = a % math.tau, a % math.tau + (b - a)
        spans += [(a, b), (a - math.tau, b - math.tau)]
    reach = 0.0
    for a, b in sorted(spans):
        if a > reach + 1e-6:
            return False
        reach = max(reach, b)
    return reach > math.tau - 1e-6


class _Wood:
    """Asks whether there is wood behind the end of a bore."""

    def __init__(self, shape: cq.Solid) -> None:
        self._asked = BRepClass3d_SolidClassifier(shape.wrapped)

    def behind(self, piece: Piece, at: float, way: float) -> bool:
        middle = _at(piece, at + way * BEHIND)
        mark, side = _across(piece.heading)
        reach = RIM * piece.radius
        points = [middle] + [
            vec(m + reach * (u * a + v * b) for m, a, b in zip(middle, mark, side, strict=True))
            for u, v in product((-0.7, 0.7), repeat=2)
        ]
        return any(self._inside(point) for point in points)

    def _inside(self, point: Vec) -> bool:
        self._asked.Perform(gp_Pnt(*point), 1e-6)
        return bool(self._asked.State() == TopAbs_IN)


def _at(piece: Piece, along: float) -> Vec:
    return vec(f + along * d for f, d in zip(piece.foot, piece.heading, strict=True))


def _dot(a: Vec, b: Vec) -> float:
    return math.fsum(x * y for x, y in zip(a, b, strict=True))


def _cross(a: Vec, b: Vec) -> Vec:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def coord(thing: object) -> Vec:
    """The coordinates of a point, vector or direction of the kernel."""
    return vec((thing.X(), thing.Y(), thing.Z()))  # type: ignore[attr-defined]
