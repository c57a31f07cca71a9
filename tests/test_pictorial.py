"""The pictorial shows what a ray from the eye meets first, and the same each time."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise, permutations, product
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from kit import solid
from kit.board import Board, Surface
from kit.casework import Casework
from kit.draw.pictorial import FRONT_LEFT_ABOVE, MARGIN, pictorial_svg
from kit.geometry import Box, Heading, Place, Vec, cutter_box
from kit.joinery import Hole, Trench

SVG = "{http://www.w3.org/2000/svg}"

type Points = NDArray[np.float64]


def painted(svg: str, at: Points) -> list[tuple[str | None, str | None]]:
    """Board and colour of the last surface painted over each point, by even-odd rings."""
    top: list[tuple[str | None, str | None]] = [(None, None)] * len(at)
    root = ET.fromstring(svg)
    for group in root.iter(f"{SVG}g"):
        for path in group.findall(f"{SVG}path") if group.get("data-board") else []:
            inside = np.zeros(len(at), dtype=bool)
            for ring in path.attrib["d"].split("M")[1:]:
                numbers = np.array(re.findall(r"-?\d+\.\d+", ring), dtype=float).reshape(-1, 2)
                for (x0, y0), (x1, y1) in zip(numbers, np.roll(numbers, -1, axis=0), strict=True):
                    spans = (y0 > at[:, 1]) != (y1 > at[:, 1])
                    with np.errstate(divide="ignore", invalid="ignore"):
                        inside ^= spans & (at[:, 0] < x0 + (at[:, 1] - y0) * (x1 - x0) / (y1 - y0))
            this = (group.get("data-board"), path.get("fill"))
            top = [this if i else t for i, t in zip(inside, top, strict=True)]
    return top


def pixels(work: Casework, eye: Vec, at: Points, size_px: float) -> Points:
    """Where points of the picture plane, mm, lie in a picture `size_px` wide."""
    low, high = extent(work, eye)
    scale = (size_px - 2 * MARGIN) / (high[0] - low[0])
    return MARGIN + np.column_stack([at[:, 0] - low[0], high[1] - at[:, 1]]) * scale


def extent(work: Casework, eye: Vec) -> tuple[Points, Points]:
    """Lower left and upper right corner of all boards in the picture plane, mm."""
    axes = np.array(solid.picture_axes(eye))[:2]
    every = np.concatenate([mesh.vertices @ axes.T for mesh in solid.meshes(work.boards)])
    return every.min(axis=0), every.max(axis=0)


def met(work: Casework, eye: Vec, at: Points) -> tuple[list[str | None], NDArray[np.bool_]]:
    """The board whose triangles are nearest to the eye at each point of the picture plane, mm.

    The second answer says where the point is clear of every visible triangle's rim by 3 mm.
    """
    axes = np.array(solid.picture_axes(eye))
    depth = np.full(len(at), -np.inf)
    names: list[str | None] = [None] * len(at)
    rim = np.full(len(at), np.inf)
    for mesh in solid.meshes(work.boards):
        for triangle in (mesh.vertices @ axes.T)[mesh.triangles]:
            (a, b, c), z = triangle[:, :2], triangle[:, 2]
            area = np.cross(np.append(b - a, 0), np.append(c - a, 0))[2]
            if area < 1e-9:  # seen from behind, or on edge
                continue
            u = ((at[:, 0] - a[0]) * (c - a)[1] - (at[:, 1] - a[1]) * (c - a)[0]) / area
            v = ((b - a)[0] * (at[:, 1] - a[1]) - (b - a)[1] * (at[:, 0] - a[0])) / area
            here = z[0] + u * (z[1] - z[0]) + v * (z[2] - z[0])
            nearer = (u >= 0) & (v >= 0) & (u + v <= 1) & (here > depth)
            depth = np.where(nearer, here, depth)
            names = [mesh.name if n else old for n, old in zip(nearer, names, strict=True)]
    for line in solid.visible_lines(work.boards, eye):
        if line.visible:
            points = np.array(line.points)
            for p, q in pairwise(points):
                along = np.clip(((at - p) @ (q - p)) / ((q - p) @ (q - p)), 0, 1)
                rim = np.minimum(rim, np.linalg.norm(at - p - along[:, None] * (q - p), axis=1))
    return names, rim > 3.0


@pytest.mark.parametrize("eye", [FRONT_LEFT_ABOVE, (0.7, 1.0, 0.6), (-0.4, -1.0, -0.3)])
def test_the_picture_shows_what_the_eye_meets_first(example: Casework, eye: Vec) -> None:
    svg = pictorial_svg(example, eye=eye, size_px=1600)
    low, high = extent(example, eye)
    at = low + np.random.default_rng(1).random((400, 2)) * (high - low)
    wanted, clear = met(example, eye, at)
    seen = [name for name, _ in painted(svg, pixels(example, eye, at, 1600))]
    compared = [(w, s) for w, s, c in zip(wanted, seen, clear, strict=True) if c]
    assert len(compared) > 200
    assert len({name for name, _ in compared}) > 5
    assert [w for w, _ in compared] == [s for _, s in compared]


#: Every way a board can stand in the room, mirrored ones too.
PLACES = [
    headings
    for headings in permutations(Heading, 3)
    if {heading.axis for heading in headings} == {0, 1, 2}
]


def bored(example: Casework, headings: tuple[Heading, Heading, Heading]) -> Board:
    """A board by itself, with a hole in its middle and one 4 mm from its end and edge."""
    size = dict(zip((h.axis for h in headings), (300.0, 200.0, 40.0), strict=True))
    box = Box((0.0, 0.0, 0.0), (size[0], size[1], size[2]))
    ends = [Hole(surface=Surface.FACE_A, at=at, diameter=20.0) for at in ((14, 14), (286, 186))]
    middle = Hole(surface=Surface.FACE_A, at=(150.0, 100.0), diameter=60.0)
    return Board(
        name="bored",
        stock=example.boards[0].stock,
        length=300.0,
        width=200.0,
        place=Place.of(box, *headings),
        features=(middle, *ends),
    )


def test_a_board_can_stand_in_48_ways() -> None:
    assert len(PLACES) == 48
    assert sum(Place((0.0, 0.0, 0.0), *headings).mirrored for headings in PLACES) == 24


@pytest.mark.parametrize("headings", PLACES, ids=lambda h: "-".join(x.name for x in h))
def test_a_hole_shows_in_the_faces_and_nowhere_else(
    example: Casework, headings: tuple[Heading, Heading, Heading]
) -> None:
    eye: Vec = (-0.5, -1.0, 0.7)
    board = bored(example, headings)
    work = replace(example, boards=(board,))
    plain = replace(example, boards=(replace(board, features=()),))
    axes = np.array(solid.picture_axes(eye))
    share = (0.05, 0.35, 0.5, 0.65, 0.95)
    sampled = 0
    for surface in Surface:
        inward = np.array(board.place.to_room(surface.inward)) - board.place.to_room((0, 0, 0))
        if surface.axis == 2 or inward @ axes[2] > 0:  # a face, or turned away from the eye
            continue
        u, v = board.span(surface)
        points = [board.point(surface, (u * p, v * q)) for p, q in product(share, share)]
        at = np.array([board.place.to_room(point) for point in points]) @ axes[:2].T
        px = pixels(work, eye, at, 960)
        colours = painted(pictorial_svg(work, eye=eye), px)
        assert colours == painted(pictorial_svg(plain, eye=eye), px)
        assert len(set(colours)) == 1
        sampled += 1
    assert sampled == 2
    # and where the eye meets the wall of a hole, there is wood; where it sees through, none
    low, high = extent(work, eye)
    at = low + np.random.default_rng(2).random((1500, 2)) * (high - low)
    wanted, clear = met(work, eye, at)
    seen = painted(pictorial_svg(work, eye=eye), pixels(work, eye, at, 960))
    compared = [(w, s[0]) for w, s, c in zip(wanted, seen, clear, strict=True) if c]
    assert [w for w, _ in compared] == [s for _, s in compared]
    # the wall of a hole is neither as light as a face nor left out
    assert len({colour for _, colour in seen if colour}) == 4


def test_the_veneered_edge_of_a_board_with_a_hole_is_no_hollow(
    example: Casework, rebuilt: Callable[[dict[str, Any]], Casework]
) -> None:
    eye = FRONT_LEFT_ABOVE
    butted = rebuilt({"case.corner": "butt", "case.corner_depth": None, "hole": []})
    axes = np.array(solid.picture_axes(eye))[:2]
    for work, name, edge in (
        (example, "divider-2", Surface.EDGE_1),
        (butted, "side-left", Surface.END_2),
        (butted, "side-right", Surface.END_2),
    ):
        board = work.by_name[name]
        alone = replace(work, boards=(board,))
        plain = replace(work, boards=(replace(board, features=()),))
        assert board.features
        u, v = board.span(edge)
        middle = board.place.to_room(board.point(edge, (u / 2, v / 2)))
        at = np.array([middle]) @ axes.T
        (here,), (there,) = (
            painted(pictorial_svg(one, eye=eye), pixels(one, eye, at, 960))
            for one in (alone, plain)
        )
        assert here == there
        assert here[0] == name


def test_the_wall_of_a_shallow_groove_is_painted(
    rebuilt: Callable[[dict[str, Any]], Casework],
) -> None:
    eye: Vec = (-0.3, 1.0, -0.25)  # from behind and below, into the groove of the top
    work = rebuilt({"back.method": "let-in", "back.panels": [{"bays": [1]}]})
    top = work.by_name["top"]
    (groove,) = (f for f in top.features if isinstance(f, Trench) and f.mate == "back-1")
    (cut,) = (top.place.box_to_room(cutter_box(cutter)) for cutter in groove.cutters(top))
    assert cut.size[2] < top.thickness / 2
    x = top.box.centre[0]
    wall, edge = (x, cut.lo[1], cut.lo[2] + 1.0), (x, top.box.hi[1], top.box.centre[2])
    alone = replace(work, boards=(top,))
    at = np.array([wall, edge]) @ np.array(solid.picture_axes(eye))[:2].T
    in_groove, in_edge = painted(
        pictorial_svg(alone, eye=eye, size_px=4000), pixels(alone, eye, at, 4000)
    )
    assert in_groove == in_edge  # both face the rear
    assert in_edge[0] == "top"


def test_the_svg_can_be_read_and_named(example: Casework) -> None:
    svg = pictorial_svg(example, size_px=640)
    root = ET.fromstring(svg)
    assert root.get("role") == "img"
    assert root.get("width") == "640"
    assert (root.get("aria-label") or "").startswith("Film room console")
    assert root.findtext(f"{SVG}title") == "Film room console"
    assert "<text" not in svg  # a picture carries no numbers
    assert " id=" not in svg  # several may stand in one page
    x0, y0, width, height = map(float, root.attrib["viewBox"].split())
    numbers = np.array(re.findall(r"-?\d+\.\d (?:-?\d+\.\d)", svg))
    points = np.array([pair.split() for pair in numbers], dtype=float)
    assert (points >= (x0, y0)).all()
    assert (points <= (width, height)).all()


def test_the_same_design_gives_the_same_picture(example: Casework) -> None:
    assert pictorial_svg(example) == pictorial_svg(example)


def test_a_change_of_the_design_shows(
    example: Casework, rebuilt: Callable[[dict[str, Any]], Casework]
) -> None:
    assert pictorial_svg(rebuilt({"case.height": "20 in"})) != pictorial_svg(example)


def test_a_name_with_markup_is_escaped(example: Casework) -> None:
    named = replace(example, design=example.design.model_copy(update={"name": 'A <b> & "c"'}))
    assert ET.fromstring(pictorial_svg(named)).findtext(f"{SVG}title") == 'A <b> & "c"'
