"""What a solid really measures, asked of the kernel and of nothing else.

No number of a `Board` is used but where it stands: its place says where its datum corner is
and which way its own axes point. Everything is in the board's own axes: x along the
length, y across the width, z through the thickness, from the datum corner; mm.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import cadquery as cq
from OCP.Bnd import Bnd_Box
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.BRepGProp import BRepGProp, BRepGProp_Face
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_Cylinder, GeomAbs_Plane
from OCP.gp import gp_Pnt, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape, TopoDS_Wire

from kit.board import Board
from kit.geometry import Box, Place, Vec
from kit.solid.body import location, solid
from kit.solid.bores import SAME, Bore, bores_of, coord, piece_of
from kit.solid.turn import KEPT, vec


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
        return self._place.to_board(coord(gp_Pnt(*p).Transformed(self._motion)))

    def direction(self, d: Vec) -> Vec:
        room = coord(gp_Vec(*d).Transformed(self._motion))
        headings = (self._place.along, self._place.across, self._place.out)
        return vec(heading.sign * room[heading.axis] for heading in headings)

    def box(self, box: Box) -> Box:
        a, b = self.point(box.lo), self.point(box.hi)
        return Box(vec(map(min, a, b)), vec(map(max, a, b)))


@lru_cache(maxsize=KEPT)
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
            pieces.append(piece_of(form))
    hull = _hull(shape.wrapped)
    return _Own(
        hull,
        volume.Mass(),
        surface.Mass(),
        tuple(flats),
        bores_of(shape, hull, pieces),
        tuple(rims),
    )


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
    return coord(out.Normalized())


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


def _from_datum(bore: Bore) -> Bore:
    """A through bore starts at the end nearer to the datum corner."""
    if bore.through and bore.end < bore.start:
        return Bore(bore.end, bore.start, bore.diameter, True)
    return bore
