"""Holes that are cut once and set into many boards.

A boolean costs some milliseconds for every drill in it, and a board has rows of equal ones.
So a hole, or a knot of holes that meet, is cut once out of a block just round it; then
copies of its walls go into the board, and its mouths become inner wires of the board's flat
sides. Nothing is cut or sewn there: walls and sides share the very edges.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product

import cadquery as cq
from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Builder
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_Transform
from OCP.BRepTools import BRepTools
from OCP.TopoDS import (
    TopoDS,
    TopoDS_Compound,
    TopoDS_Face,
    TopoDS_Iterator,
    TopoDS_Shape,
    TopoDS_Shell,
    TopoDS_Solid,
    TopoDS_Wire,
)

from kit.geometry import SAME_MM, Box, Cutter, Drill, Slot, Vec, bounds
from kit.solid.tools import driven, tool
from kit.solid.turn import snapped, vec

#: Wood of the block round a hole, and least wood between two knots, mm.
ROUND, APART = 1.0, 0.05
#: So many knots are kept: a piece has few that differ, and one takes some 0.3 MB.
KNOTS = 96

#: A side of a block: its axis, and whether it is the far one.
type Side = tuple[int, bool]
type Round = Drill | Slot


@dataclass(frozen=True, slots=True)
class _Inlay:
    """The inside of a hole: the rims of its mouths, then its walls.

    `rims` are the sides of the block on which its mouths are, in the order of the rims.
    """

    whole: TopoDS_Compound
    rims: tuple[Side, ...]


@dataclass(frozen=True, slots=True)
class _Knot:
    """Round cutters that meet, and the box in the blank that holds all that they cut."""

    hull: Box
    cutters: tuple[Round, ...]


def blank_with(size: Vec, cutters: Sequence[Cutter]) -> tuple[cq.Solid, tuple[Cutter, ...]]:
    """The blank with all holes set in that can be, and the cutters that are left to cut.

    A hole can be set in where it opens on flat sides only and leaves their edges whole. It may
    meet cuts that are not round: those are taken from the blank with its holes.
    """
    rest: list[Cutter] = [c for c in cutters if not isinstance(c, Drill | Slot)]
    setting = []
    for knot in _knots(size, [c for c in cutters if isinstance(c, Drill | Slot)]):
        block = _block(knot.hull, size)
        opens = tuple(
            (axis, far)
            for axis in range(3)
            for far, at, edge in ((False, block.lo, 0.0), (True, block.hi, size[axis]))
            if at[axis] == edge
        )
        moved = tuple(_moved(cutter, block.lo) for cutter in knot.cutters)
        inlay = _inlay(vec(map(snapped, block.size)), opens, moved)
        if inlay is None:
            rest += knot.cutters
        else:
            setting.append((inlay, block.lo))
    return _set_in(size, setting), tuple(rest)


def _knots(size: Vec, cutters: Sequence[Round]) -> list[_Knot]:
    knots: list[_Knot] = []
    blank = Box((0.0, 0.0, 0.0), size)
    for cutter in cutters:
        hull = blank.common((driven(cutter, size) if isinstance(cutter, Drill) else cutter).box)
        if hull is None:
            continue
        knot = _Knot(hull, (cutter,))
        while near := next((k for k in knots if _near(k.hull, knot.hull)), None):
            knots.remove(near)
            knot = _Knot(bounds([near.hull, knot.hull]), near.cutters + knot.cutters)
        knots.append(knot)
    return knots


def _near(a: Box, b: Box) -> bool:
    return all(a.lo[i] < b.hi[i] + APART and b.lo[i] < a.hi[i] + APART for i in range(3))


def _block(hull: Box, size: Vec) -> Box:
    """The hull with wood round it, but none past a side of the blank that the hull reaches."""
    lo = (0.0 if v <= SAME_MM else snapped(max(v - ROUND, v / 2)) for v in hull.lo)
    hi = (
        s if v >= s - SAME_MM else snapped(min(v + ROUND, (v + s) / 2))
        for v, s in zip(hull.hi, size, strict=True)
    )
    return Box(vec(lo), vec(hi))


def _moved(cutter: Round, origin: Vec) -> Round:
    """The cutter as seen from `origin`."""
    x, y, z = origin
    if isinstance(cutter, Drill):
        entry = vec(snapped(p - o) for p, o in zip(cutter.entry, origin, strict=True))
        return replace(cutter, entry=entry)
    (u, v), low, high = cutter.centre, cutter.lo, cutter.hi
    centre = (snapped(u - x), snapped(v - y))
    return replace(cutter, centre=centre, lo=snapped(low - z), hi=snapped(high - z))


@lru_cache(maxsize=KNOTS)
def _inlay(size: Vec, opens: tuple[Side, ...], cutters: tuple[Round, ...]) -> _Inlay | None:
    """The holes cut out of a block; None where they break its edges or a side not in `opens`."""
    made = cq.Solid.makeBox(*size).cut(*(tool(cutter, size) for cutter in cutters))
    walls, rims, sides = [], [], []
    for face in (TopoDS.Face_s(face.wrapped) for face in made.Faces()):
        side = _side(face, size)
        if side is None:
            walls.append(face)
            continue
        outer, inner = _wires(face)
        if outer.NbChildren() != 4 or (inner and side not in opens):
            return None
        sides.append(side)
        rims += [(side, wire) for wire in inner]
    if len(sides) != 6 or len(set(sides)) != 6 or not rims:
        return None
    builder, whole = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(whole)
    for shape in (*(rim for _, rim in rims), *walls):
        builder.Add(whole, shape)
    return _Inlay(whole, tuple(side for side, _ in rims))


def _set_in(size: Vec, setting: Sequence[tuple[_Inlay, Vec]]) -> cq.Solid:
    """A blank of flat sides, with the rims of all holes in them and the walls behind."""
    blank = cq.Solid.makeBox(*size)
    if not setting:
        return blank
    builder, shell, solid = BRep_Builder(), TopoDS_Shell(), TopoDS_Solid()
    builder.MakeShell(shell)
    flat = [TopoDS.Face_s(face.wrapped) for face in blank.Faces()]
    sides = {_side(face, size): BRepBuilderAPI_MakeFace(face) for face in flat}
    for inlay, origin in setting:
        shift = cq.Location(cq.Vector(*origin)).wrapped.Transformation()
        # a copy each: what fills faces with triangles, in threads, must not meet one twice
        shapes = _parts(BRepBuilderAPI_Transform(inlay.whole, shift, True).Shape())
        for side, rim in zip(inlay.rims, shapes, strict=False):
            sides[side].Add(TopoDS.Wire_s(rim))
        for wall in shapes[len(inlay.rims) :]:
            builder.Add(shell, wall)
    for maker in sides.values():
        builder.Add(shell, maker.Face())
    shell.Closed(True)
    builder.MakeSolid(solid)
    builder.Add(solid, shell)
    return cq.Solid(solid)


def _wires(face: TopoDS_Face) -> tuple[TopoDS_Wire, list[TopoDS_Wire]]:
    """The outer wire of a face and its inner ones, each as it runs round the face."""
    outer = BRepTools.OuterWire_s(face)
    return outer, [TopoDS.Wire_s(part) for part in _parts(face) if not part.IsSame(outer)]


def _parts(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    """What a shape is made of, one level down."""
    parts, each = [], TopoDS_Iterator(shape)
    while each.More():
        parts.append(each.Value())
        each.Next()
    return parts


def _side(face: TopoDS_Face, size: Vec) -> Side | None:
    """The side of a block that a face lies in."""
    extent = Bnd_Box()
    BRepBndLib.Add_s(face, extent)
    *lo, x, y, z = extent.Get()
    for axis, far in product(range(3), (False, True)):
        at = size[axis] if far else 0.0
        if abs(lo[axis] - at) < 2 * SAME_MM and abs((x, y, z)[axis] - at) < 2 * SAME_MM:
            return axis, far
    return None
