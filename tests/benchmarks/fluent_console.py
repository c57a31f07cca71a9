"""The example console as plain fluent scripts: the yardsticks of the benchmark.

The sizes are those of the example's boards; the manner is that of a script written by hand. A
board is a box on a work plane, and every rabbet, dado, groove, hole and slot is one more call
on the chain. `grouped` is the more careful script, which cuts a row of holes or a field of
slots by one call.
"""

from math import asin, tan

import cadquery as cq

from kit.board import Board, Feature, Surface
from kit.joinery import Hole, HoleRow, Notch, PocketHoles, SlotField, Trench

#: The face of the box that a surface is, as a selector.
FACE = {
    Surface.FACE_A: ">Z",
    Surface.FACE_B: "<Z",
    Surface.EDGE_1: "<Y",
    Surface.EDGE_2: ">Y",
    Surface.END_1: "<X",
    Surface.END_2: ">X",
}


def fluent_board(board: Board, *, grouped: bool = False) -> cq.Workplane:
    """One board in its own axes, feature by feature, each hole and slot by itself or `grouped`."""
    part = cq.Workplane("XY").box(board.length, board.width, board.thickness, centered=False)
    for feature in board.features:
        part = _with(part, board, feature, grouped)
    return part


def _with(part: cq.Workplane, board: Board, feature: Feature, grouped: bool) -> cq.Workplane:
    match feature:
        case Trench() | Notch():
            (cut,) = feature.cutters(board)
            x, y, z = cut.size
            return part.cut(cq.Workplane("XY", origin=cut.lo).box(x, y, z, centered=False))
        case Hole() | HoleRow():
            for at in _groups([drill.entry for drill in feature.cutters(board)], grouped):
                plane = part.faces(FACE[feature.surface]).workplane(origin=at[0])
                local = [plane.plane.toLocalCoords(cq.Vector(*p)).toTuple()[:2] for p in at]
                part = plane.pushPoints(local).hole(feature.diameter, feature.depth)
            return part
        case SlotField():
            for at in _groups([slot.centre for slot in feature.cutters(board)], grouped):
                part = (
                    part.faces(">Z")
                    .workplane(origin=(0, 0, board.thickness))
                    .pushPoints(at)
                    .slot2D(feature.slot_length, feature.slot_width, 90 * feature.along)
                    .cutThruAll()
                )
            return part
        case PocketHoles():
            for bore, pilot in zip(*[iter(feature.cutters(board))] * 2, strict=True):
                slant = asin(abs(bore.heading[2]))
                out = bore.diameter / 2 / tan(slant) + 1  # from the axis' entry to clear of it
                plane = cq.Plane(origin=bore.entry, normal=bore.heading)
                drill = (
                    cq.Workplane(plane)
                    .workplane(offset=-out)
                    .circle(bore.diameter / 2)
                    .extrude(out + bore.depth)
                    .faces(">" + _axis(bore.heading))
                    .workplane()
                    .circle(pilot.diameter / 2)
                    .extrude(pilot.depth + pilot.diameter)
                )
                part = part.cut(drill)
            return part
    raise TypeError(f"{type(feature).__name__} is not in the example; write it out here")


def _groups(places: list, grouped: bool) -> list[list]:
    return [places] if grouped else [[place] for place in places]


def _axis(heading: tuple[float, float, float]) -> str:
    return f"({heading[0]},{heading[1]},{heading[2]})"


def fluent_console(boards: tuple[Board, ...], *, grouped: bool = False) -> list[cq.Shape]:
    """Every board of the console, each built for itself."""
    return [fluent_board(board, grouped=grouped).val() for board in boards]
