"""The pictorial shows what a ray from the eye meets first, and the same each time."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from kit import solid
from kit.casework import Casework
from kit.draw.pictorial import FRONT_LEFT_ABOVE, MARGIN, pictorial_svg
from kit.geometry import Vec

SVG = "{http://www.w3.org/2000/svg}"

type Points = NDArray[np.float64]


def painted(svg: str, at: Points) -> list[str | None]:
    """The board of the last surface painted over each point, by even-odd rings."""
    top: list[str | None] = [None] * len(at)
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
            top = [group.get("data-board") if i else t for i, t in zip(inside, top, strict=True)]
    return top


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
    axes = np.array(solid.picture_axes(eye))[:2]
    corners = np.array([m.vertices @ axes.T for m in solid.meshes(example.boards)], dtype=object)
    every = np.concatenate(list(corners)).astype(float)
    low, high = every.min(axis=0), every.max(axis=0)
    at = low + np.random.default_rng(1).random((400, 2)) * (high - low)
    wanted, clear = met(example, eye, at)
    scale = (1600 - 2 * MARGIN) / (high[0] - low[0])
    pixels = np.column_stack(
        [MARGIN + (at[:, 0] - low[0]) * scale, MARGIN + (high[1] - at[:, 1]) * scale]
    )
    seen = painted(svg, pixels)
    compared = [(w, s) for w, s, c in zip(wanted, seen, clear, strict=True) if c]
    assert len(compared) > 200
    assert len({name for name, _ in compared}) > 5
    assert [w for w, _ in compared] == [s for _, s in compared]


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
