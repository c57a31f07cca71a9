"""What a picture is made from: triangles, and the lines seen from a given side."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import cadquery as cq
import numpy as np
from numpy.typing import NDArray
from OCP.BRep import BRep_Tool
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_PolyAlgo, HLRBRep_PolyHLRToShape
from OCP.TopAbs import TopAbs_EDGE, TopAbs_REVERSED
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS

from kit.board import Board
from kit.geometry import SAME_MM, Vec
from kit.solid.body import location, placed, solid
from kit.solid.turn import KEPT

#: Chord and angle tolerance of meshes: what is left of a curve, mm and radians.
CHORD_MM, CHORD_RAD = 0.1, 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """The surface of one board in the room: `vertices` (n, 3) mm, `triangles` (m, 3) indices."""

    name: str
    vertices: NDArray[np.float64]
    triangles: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Line:
    """A polyline of one board in the picture plane: mm to the right and up.

    `smooth` is the outline of a rounded surface; other lines are sharp edges.
    """

    board: str
    points: tuple[tuple[float, float], ...]
    visible: bool
    smooth: bool


def meshes(
    boards: Sequence[Board], *, chord_mm: float = CHORD_MM, chord_rad: float = CHORD_RAD
) -> tuple[Mesh, ...]:
    """The surface of every board as triangles, in the room, curves within the tolerances.

    Raises SolidError as `solid` does.
    """
    made = []
    for board in boards:
        own, triangles = _triangles(solid(board), chord_mm, chord_rad)
        motion = location(board).wrapped.Transformation()
        matrix = np.array([[motion.Value(i, j) for j in (1, 2, 3, 4)] for i in (1, 2, 3)])
        room = own @ matrix[:, :3].T + matrix[:, 3]
        made.append(Mesh(board.name, room, triangles))
    return tuple(made)


@lru_cache(maxsize=KEPT)
def _triangles(
    shape: cq.Solid, chord_mm: float, chord_rad: float
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    _fill(shape, chord_mm, chord_rad)
    vertices: list[Vec] = []
    triangles: list[tuple[int, int, int]] = []
    for face in shape.Faces():
        place = TopLoc_Location()
        patch = BRep_Tool.Triangulation_s(face.wrapped, place)
        first, motion = len(vertices) - 1, place.Transformation()
        nodes = (patch.Node(i) for i in range(1, patch.NbNodes() + 1))
        vertices += [node.Transformed(motion).Coord() for node in nodes]
        back = face.wrapped.Orientation() == TopAbs_REVERSED
        for i in range(1, patch.NbTriangles() + 1):
            a, b, c = patch.Triangle(i).Get()
            triangles.append((first + a, first + (c if back else b), first + (b if back else c)))
    points, corners = np.array(vertices), np.array(triangles, dtype=np.int64)
    for shared in (points, corners):
        shared.setflags(write=False)
    return points, corners


def _fill(shape: cq.Shape, chord_mm: float, chord_rad: float) -> None:
    """Triangles for all faces that have none; one thread, for boards are too small to share out."""
    BRepMesh_IncrementalMesh(shape.wrapped, chord_mm, False, chord_rad, False)


def visible_lines(boards: Sequence[Board], eye: Vec) -> tuple[Line, ...]:
    """The lines of the boards as seen from far away in direction `eye` (from them to the eye).

    Hidden lines are found on the triangles, which stays quick where exact curves do not: two
    doors with fourteen slots each take a fraction of a second. Z is up in the picture.

    Raises SolidError as `solid` does.
    """
    shapes = [placed(board) for board in boards]
    hider = HLRBRep_PolyAlgo()
    for shape in shapes:
        _fill(shape, CHORD_MM, CHORD_RAD)
        hider.Load(shape.wrapped)
    right, _, towards = picture_axes(eye)
    frame = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*towards), gp_Dir(*right))
    hider.Projector(HLRAlgo_Projector(frame))
    hider.Update()
    seen = HLRBRep_PolyHLRToShape()
    seen.Update(hider)
    kinds: tuple[tuple[Callable[..., Any], bool, bool], ...] = (
        (seen.VCompound, True, False),
        (seen.OutLineVCompound, True, True),
        (seen.HCompound, False, False),
        (seen.OutLineHCompound, False, True),
    )
    return tuple(
        Line(board.name, points, visible, smooth)
        for board, shape in zip(boards, shapes, strict=True)
        for find, visible, smooth in kinds
        for points in _chains(_segments(find(shape.wrapped)))
    )


def picture_axes(eye: Vec) -> tuple[Vec, Vec, Vec]:
    """Unit vectors to the right, up and towards the eye of a picture with Z up."""
    size = math.hypot(*eye)
    if not size > 0:
        raise ValueError(f"eye is {eye}: it must point from the boards to the eye")
    x, y, z = (v / size for v in eye)
    flat = math.hypot(x, y)
    right = (-y / flat, x / flat, 0.0) if flat > SAME_MM else (1.0, 0.0, 0.0)
    up = (-z * right[1], z * right[0], x * right[1] - y * right[0])
    return right, up, (x, y, z)


type _Point = tuple[float, float]


def _segments(compound: Any) -> Iterator[tuple[_Point, _Point]]:
    """The straight edges of what the hider found, none twice; it finds nothing at times."""
    if compound is None or compound.IsNull():
        return
    known = set()
    explorer = TopExp_Explorer(compound, TopAbs_EDGE)
    while explorer.More():
        edge = TopoDS.Edge_s(explorer.Current())
        points = [
            BRep_Tool.Pnt_s(vertex)
            for vertex in (TopExp.FirstVertex_s(edge), TopExp.LastVertex_s(edge))
        ]
        # to a hundredth of a millimetre: far below a line's width, so that ends meet
        a, b = sorted((round(p.X(), 2) + 0.0, round(p.Y(), 2) + 0.0) for p in points)
        if a != b and (a, b) not in known:
            known.add((a, b))
            yield a, b
        explorer.Next()


def _chains(segments: Iterator[tuple[_Point, _Point]]) -> Iterator[tuple[_Point, ...]]:
    """Segments joined end to end wherever just two meet."""
    at: dict[_Point, list[_Point]] = {}
    for a, b in segments:
        at.setdefault(a, []).append(b)
        at.setdefault(b, []).append(a)
    ends = [p for p, others in at.items() if len(others) != 2]
    for start in (*ends, *at):
        while at[start]:
            chain = [start]
            while at[chain[-1]]:
                here = chain[-1]
                there = at[here].pop()
                at[there].remove(here)
                chain.append(there)
                if there in ends or there == start:
                    break
            yield tuple(chain)
