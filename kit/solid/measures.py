"""What a solid really measures, asked of the kernel and of nothing else.

No number of a `Board` is used but its place in the room, which says where its datum corner
is and which way its own axes point. Everything is in the board's own axes: x along the
length, y across the width, z through the thickness, from the datum corner; mm.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import product

import cadquery as cq
from OCP.Bnd import Bnd_Box
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.BRepGProp import BRepGProp, BRepGProp_Face
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_Cylinder, GeomAbs_Plane
from OCP.gp import gp_Pnt, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_IN
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape, TopoDS_Wire

from kit.board import Board
from kit.geometry import Box, Place, Vec
from kit.solid.body import location, solid
from kit.solid.turn import vec

#: Below this two coordinates of a solid are the same, mm: the kernel's tolerance is 1e-7, and
#: lengths are snapped to 1e-6 before they get there.
SAME = 1e-5
#: How far behind the end of a bore wood is looked for, and at which share of its radius, mm.
BEHIND, RIM = 0.01, 0.9


@dataclass(frozen=True, slots=True)
class Flat:
    """A planar face: `normal` points out of the wood, `box` is the least round it."""

    normal: Vec
    box: Box
    area_mm2: float

    @property
    def axis(self) -> int | None:
        """The board axis that it is square to; None where it slants."""
        return next((i for i in range(3) if abs(self.normal[i]) > 1 - SAME), None)

    @property
    def at(self) -> float:
        """Where it lies along its axis, mm from the datum corner."""
        assert self.axis is not None
        return self.box.lo[self.axis]

    @property
    def outward(self) -> bool:
        """Whether the wood lies before it along its axis, not behind it."""
        assert self.axis is not None
        return self.normal[self.axis] > 0


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
class Opening:
    """A closed outline that is open square through the thickness; (x, y) in mm."""

    lo: tuple[float, float]
    hi: tuple[float, float]
    area_mm2: float


@dataclass(frozen=True)
class Measures:
    """What a solid measures; mm, mm2 and mm3. `box` starts at the datum corner, or nearly so."""

    box: Box
    volume_mm3: float
    area_mm2: float
    flats: tuple[Flat, ...]
    bores: tuple[Bore, ...]
    openings: tuple[Opening, ...]

    @property
    def size(self) -> Vec:
        """Overall length, width and thickness, mm."""
        return self.box.size

    @cached_property
    def planes(self) -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
        """For each axis the places of all planar faces square to it, ascending, each once."""
        found: list[list[float]] = [[], [], []]
        for flat in sorted((f for f in self.flats if f.axis is not None), key=lambda f: f.at):
            assert flat.axis is not None
            places = found[flat.axis]
            if not places or flat.at - places[-1] > SAME:
                places.append(flat.at)
        x, y, z = (tuple(places) for places in found)
        return x, y, z

    @property
    def open_mm2(self) -> float:
        """Open area seen square on, mm2: closed outlines only, no notches."""
        return sum(opening.area_mm2 for opening in self.openings)


def measure(board: Board) -> Measures:
    """Measure the solid of a board, as it stands in the room, along the board's own axes.

    A left-handed board is measured from its own datum corner too. Raises SolidError as `solid`
    does.
    """
    own, motion = _read(solid(board)), location(board).wrapped.Transformation()
    carry = _Carry(motion, board.place)
    return Measures(
        box=carry.box(own.hull),
        volume_mm3=own.volume_mm3,
        area_mm2=own.area_mm2,
        flats=tuple(
            Flat(carry.direction(f.normal), carry.box(f.box), f.area_mm2) for f in own.flats
        ),
        bores=tuple(
            _from_datum(Bore(carry.point(b.start), carry.point(b.end), b.diameter, b.through))
            for b in own.bores
        ),
        openings=_openings(own.rims, carry),
    )


@dataclass(frozen=True, slots=True)
class _Rim:
    """An inner outline of a face square to the thickness, and whether that face looks up."""

    up: bool
    box: Box
    area_mm2: float


@dataclass(frozen=True, slots=True)
class _Own:
    """What a solid measures in its own axes."""

    hull: Box
    volume_mm3: float
    area_mm2: float
    flats: tuple[Flat, ...]
    bores: tuple[Bore, ...]
    rims: tuple[_Rim, ...]


class _Carry:
    """From the axes of a solid to those of its board, by way of the room."""

    def __init__(self, motion: object, place: Place) -> None:
        self._motion, self._place = motion, place

    def point(self, p: Vec) -> Vec:
        return self._place.to_board(_coord(gp_Pnt(*p).Transformed(self._motion)))

    def direction(self, d: Vec) -> Vec:
        room = _coord(gp_Vec(*d).Transformed(self._motion))
        headings = (self._place.along, self._place.across, self._place.out)
        return vec(heading.sign * room[heading.axis] for heading in headings)

    def box(self, box: Box) -> Box:
        a, b = self.point(box.lo), self.point(box.hi)
        return Box(vec(map(min, a, b)), vec(map(max, a, b)))


@lru_cache(maxsize=1024)
def _read(shape: cq.Solid) -> _Own:
    volume, surface = GProp_GProps(), GProp_GProps()
    BRepGProp.VolumeProperties_s(shape.wrapped, volume)
    BRepGProp.SurfaceProperties_s(shape.wrapped, surface)
    flats, rims, pieces = [], [], []
    for face in (face.wrapped for face in shape.Faces()):
        form = BRepAdaptor_Surface(face, True)
        if form.GetType() == GeomAbs_Plane:
            flat = Flat(_normal(face, form), _hull(face), _area(face))
            flats.append(flat)
            if flat.axis == 2:
                rims += [_rim(wire, flat) for wire in _inner(face)]
        elif form.GetType() == GeomAbs_Cylinder:
            pieces.append(_piece(face, form))
    hull = _hull(shape.wrapped)
    return _Own(
        hull, volume.Mass(), surface.Mass(), tuple(flats), _bores(shape, hull, pieces), tuple(rims)
    )


def _coord(thing: object) -> Vec:
    return vec((thing.X(), thing.Y(), thing.Z()))  # type: ignore[attr-defined]


def _hull(shape: TopoDS_Shape) -> Box:
    """The least box round it: exact, no tolerance added."""
    extent = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, extent, False, False)
    *lo, x, y, z = extent.Get()
    return Box(vec(lo), (x, y, z))


def _area(face: TopoDS_Face) -> float:
    found = GProp_GProps()
    BRepGProp.SurfaceProperties_s(face, found)
    return abs(float(found.Mass()))


def _normal(face: TopoDS_Face, form: BRepAdaptor_Surface) -> Vec:
    """The unit vector out of the wood in the middle of a face."""
    at, out = gp_Pnt(), gp_Vec()
    u = (form.FirstUParameter() + form.LastUParameter()) / 2
    v = (form.FirstVParameter() + form.LastVParameter()) / 2
    BRepGProp_Face(face).Normal(u, v, at, out)
    return _coord(out.Normalized())


def _inner(face: TopoDS_Face) -> Iterator[TopoDS_Wire]:
    outer = BRepTools.OuterWire_s(face)
    return (wire.wrapped for wire in cq.Face(face).Wires() if not wire.wrapped.IsSame(outer))


def _rim(wire: TopoDS_Wire, flat: Flat) -> _Rim:
    disc = BRepBuilderAPI_MakeFace(wire, True)
    return _Rim(flat.outward, _hull(wire), _area(disc.Face()))


def _openings(rims: Sequence[_Rim], carry: _Carry) -> tuple[Opening, ...]:
    """Outlines that stand both in a face that looks up and in one that looks down."""

    def alike(one: _Rim, other: _Rim) -> bool:
        ends = ((one.box.lo, other.box.lo), (one.box.hi, other.box.hi))
        return all(abs(a[i] - b[i]) < 10 * SAME for a, b in ends for i in (0, 1))

    below = [rim for rim in rims if not rim.up]
    found = []
    for rim in (rim for rim in rims if rim.up):
        other = next((other for other in below if alike(rim, other)), None)
        if other is not None:
            below.remove(other)
            box = carry.box(rim.box)
            found.append(Opening(box.lo[:2], box.hi[:2], rim.area_mm2))
    return tuple(sorted(found, key=lambda opening: opening.lo))


# --- bores ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Piece:
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

    def on_line_of(self, other: "_Piece") -> bool:
        return (
            abs(self.radius - other.radius) < SAME
            and math.dist(self.heading, other.heading) < SAME
            and math.dist(self.foot, other.foot) < 10 * SAME
        )


def _piece(face: TopoDS_Face, form: BRepAdaptor_Surface) -> _Piece:
    cylinder = form.Cylinder()
    frame = cylinder.Position()
    origin, heading = _coord(frame.Location()), _coord(frame.Direction())
    lo, hi = form.FirstVParameter(), form.LastVParameter()
    along = next(d for d in heading if abs(d) > SAME)
    if along < 0:  # one heading for both ways along a line, so that pieces of one bore agree
        heading, lo, hi = vec(-d for d in heading), -hi, -lo
    shift = _dot(origin, heading)
    foot = vec(o - shift * d for o, d in zip(origin, heading, strict=True))
    span = form.LastUParameter() - form.FirstUParameter()
    middle = _angle(form, heading, origin, form.FirstUParameter() + span / 2)
    return _Piece(
        foot,
        heading,
        cylinder.Radius(),
        lo + shift,
        hi + shift,
        (middle - span / 2, middle + span / 2),
    )


def _angle(form: BRepAdaptor_Surface, heading: Vec, origin: Vec, u: float) -> float:
    """Where round `heading` the wall stands at parameter u, from a mark that all walls share."""
    spoke = vec(p - o for p, o in zip(_coord(form.Value(u, 0.0)), origin, strict=True))
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


def _bores(shape: cq.Solid, hull: Box, pieces: Iterable[_Piece]) -> tuple[Bore, ...]:
    """The pieces that go all round, joined; the rounded ends of slots are none."""
    lines: list[list[_Piece]] = []
    for piece in pieces:
        line = next((line for line in lines if piece.on_line_of(line[0])), None)
        if line is None:
            lines.append([piece])
        else:
            line.append(piece)
    wood = _Wood(shape)
    found = (_bore(run, hull, wood) for line in lines for run in _runs(line, wood))
    return tuple(bore for bore in found if bore is not None)


def _runs(line: Sequence[_Piece], wood: "_Wood") -> Iterator[list[_Piece]]:
    """Pieces on one line with no wood between them.

    Two blind holes end to end are two; one that a larger hole crosses is one.
    """
    run: list[_Piece] = []
    for piece in sorted(line, key=lambda piece: piece.lo):
        reach = max((p.hi for p in run), default=piece.lo)
        if piece.lo > reach + SAME and (
            wood.behind(piece, reach, 1.0) or wood.behind(piece, piece.lo, -1.0)
        ):
            yield run
            run = []
        run.append(piece)
    yield run


def _bore(run: Sequence[_Piece], hull: Box, wood: "_Wood") -> Bore | None:
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


def _goes_round(run: Sequence[_Piece]) -> bool:
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

    def behind(self, piece: _Piece, at: float, way: float) -> bool:
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


def _from_datum(bore: Bore) -> Bore:
    """A through bore starts at the end nearer to the datum corner."""
    if bore.through and bore.end < bore.start:
        return Bore(bore.end, bore.start, bore.diameter, True)
    return bore


def _at(piece: _Piece, along: float) -> Vec:
    return vec(f + along * d for f, d in zip(piece.foot, piece.heading, strict=True))


def _dot(a: Vec, b: Vec) -> float:
    return math.fsum(x * y for x, y in zip(a, b, strict=True))


def _cross(a: Vec, b: Vec) -> Vec:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
