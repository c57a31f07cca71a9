"""Solids, read from a STEP file by the kernel itself and by no code of the kit.

Only the place of a board is taken from its design: it says where its datum corner is and which
way its axes point.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import cadquery as cq
from OCP.BRepAdaptor import BRepAdaptor_Surface

from kit.geometry import Place

type Point = tuple[float, float, float]
type Span = tuple[float, float]

#: Two places of a solid are one within this, mm.
SAME = 1e-3


@dataclass(frozen=True)
class Hole:
    """A round hole: board axis that it runs along (None: slantwise), its ends, and its width.

    `lo` and `hi` are along that axis from the datum corner, `at` is its place across it.
    """

    axis: int | None
    lo: float
    hi: float
    at: Point
    diameter: float
    open_lo: bool
    open_hi: bool

    @property
    def through(self) -> bool:
        return self.open_lo and self.open_hi

    def depths(self, size: Point) -> set[float]:
        """How deep it may rightly be said to be in a board of this size, mm.

        As much as it takes of the wood; or from the surface that it is bored from, where
        another cut took that surface away.
        """
        found = {self.hi - self.lo}
        if self.axis is not None:
            found |= {self.hi} if self.open_lo else set()
            found |= {size[self.axis] - self.lo} if self.open_hi else set()
            found |= {size[self.axis]} if self.through else set()
        return found


@dataclass(frozen=True)
class Wood:
    """A board as its solid is: length, width, thickness in mm, what is bored and cut into it.

    `floors` are flat faces in the wood that look at a face: `A` or `B`, depth, and how far they
    reach along the length and the width, in mm.
    `half_rounds` is the number of rounded ends of slots, `slants` of slanted planes.
    """

    size: Point
    volume: float
    holes: tuple[Hole, ...]
    floors: tuple[tuple[str, float, Span], ...]
    half_rounds: int
    slants: int


def from_step(path: Path, places: dict[str, Place]) -> dict[str, Wood]:
    """The solids of a STEP file by name, each seen along the axes of its place."""
    found = {}
    for child in cq.Assembly.importStep(str(path)).children:
        (shape,) = child.shapes
        found[child.name] = wood(shape.moved(child.loc), places[child.name])
    return found


def wood(shape: cq.Shape, place: Place) -> Wood:
    """What one solid in the room is, along the axes of its board."""
    (solid,) = shape.Solids()
    box = solid.BoundingBox(1e-6)
    a = place.to_board((box.xmin, box.ymin, box.zmin))
    b = place.to_board((box.xmax, box.ymax, box.zmax))
    x, y, z = (abs(p - q) for p, q in zip(a, b, strict=True))
    floors, pieces, normals = [], [], []
    for face in solid.Faces():
        if face.geomType() == "PLANE":
            normal = _direction(face.normalAt(), place)
            axis = _axis(normal)
            if axis is None:
                normals.append(normal)
            elif axis == 2:
                at = place.to_board(face.Center().toTuple())[2]
                if SAME < at < z - SAME:
                    side, deep = ("A", z - at) if normal[2] > 0 else ("B", at)
                    floors.append((side, deep, _span(face, place)))
        elif face.geomType() == "CYLINDER":
            pieces.append(_piece(face, place))
    holes, half = _holes(solid, pieces, place)
    # the flat ends of holes that go slantwise are no chamfers
    aslant = [piece.heading for piece in pieces if _axis(piece.heading) is None]
    slants = sum(not any(_parallel(normal, way) for way in aslant) for normal in normals)
    return Wood((x, y, z), solid.Volume(), tuple(holes), tuple(floors), half, slants)


def _span(face: cq.Face, place: Place) -> Span:
    box = face.BoundingBox(1e-6)
    a = place.to_board((box.xmin, box.ymin, box.zmin))
    b = place.to_board((box.xmax, box.ymax, box.zmax))
    return abs(a[0] - b[0]), abs(a[1] - b[1])


def _parallel(a: Point, b: Point) -> bool:
    return abs(abs(sum(p * q for p, q in zip(a, b, strict=True))) - 1) < 1e-6


def _direction(v: cq.Vector, place: Place) -> Point:
    zero = place.to_board((0.0, 0.0, 0.0))
    x, y, z = (p - q for p, q in zip(place.to_board(v.toTuple()), zero, strict=True))
    return (x, y, z)


def _axis(direction: Point) -> int | None:
    return next((i for i, d in enumerate(direction) if abs(d) > 1 - 1e-6), None)


@dataclass(frozen=True)
class _Piece:
    """A part of the wall of a cylinder: its line, and how far it reaches along and round it."""

    foot: Point
    heading: Point
    radius: float
    lo: float
    hi: float
    turn: float

    def on_line_of(self, other: "_Piece") -> bool:
        return (
            abs(self.radius - other.radius) < SAME
            and math.dist(self.foot, other.foot) < SAME
            and math.dist(self.heading, other.heading) < 1e-5
        )

    def at(self, along: float) -> Point:
        x, y, z = (f + along * d for f, d in zip(self.foot, self.heading, strict=True))
        return (x, y, z)


def _piece(face: cq.Face, place: Place) -> _Piece:
    form = BRepAdaptor_Surface(face.wrapped)
    cylinder = form.Cylinder()
    line = cylinder.Axis()
    there, way = line.Location(), line.Direction()
    origin = place.to_board((there.X(), there.Y(), there.Z()))
    heading = _direction(cq.Vector(way.X(), way.Y(), way.Z()), place)
    lo, hi = form.FirstVParameter(), form.LastVParameter()
    if next(d for d in heading if abs(d) > 1e-6) < 0:
        x, y, z = heading
        heading, lo, hi = (-x, -y, -z), -hi, -lo
    shift = sum(o * d for o, d in zip(origin, heading, strict=True))
    x, y, z = (o - shift * d for o, d in zip(origin, heading, strict=True))
    turn = form.LastUParameter() - form.FirstUParameter()
    return _Piece((x, y, z), heading, cylinder.Radius(), lo + shift, hi + shift, turn)


def _holes(solid: cq.Solid, pieces: Sequence[_Piece], place: Place) -> tuple[list[Hole], int]:
    """Round holes, and the number of walls that go round by half only."""
    lines: list[list[_Piece]] = []
    for piece in pieces:
        line = next((line for line in lines if piece.on_line_of(line[0])), None)
        if line is None:
            lines.append([piece])
        else:
            line.append(piece)
    holes, half = [], 0
    for line in lines:
        for run in _runs(solid, line, place):
            first = run[0]
            lo, hi = min(p.lo for p in run), max(p.hi for p in run)
            if abs(sum(p.turn * (p.hi - p.lo) for p in run) / (hi - lo) - math.pi) < 0.02:
                half += 1
                continue
            low, high = (not _in_wood(solid, first.at(at), place) for at in (lo - 0.01, hi + 0.01))
            axis = _axis(first.heading)
            holes.append(Hole(axis, lo, hi, first.foot, 2 * first.radius, low, high))
    return holes, half


def _runs(solid: cq.Solid, line: Sequence[_Piece], place: Place) -> Iterator[list[_Piece]]:
    """Pieces on one line that no wood parts."""
    run: list[_Piece] = []
    for piece in sorted(line, key=lambda p: p.lo):
        if run:
            reach = max(p.hi for p in run)
            middle = piece.at((reach + piece.lo) / 2)
            if piece.lo > reach + SAME and _in_wood(solid, middle, place):
                yield run
                run = []
        run.append(piece)
    yield run


def _in_wood(solid: cq.Solid, at: Point, place: Place) -> bool:
    return bool(solid.isInside(cq.Vector(*place.to_room(at)), 1e-6))
