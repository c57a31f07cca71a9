"""Pictures with letters: the boards moved apart, and the doors slid open."""

import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot

import numpy as np
from numpy.typing import NDArray

from kit.board import Board
from kit.casework import Casework
from kit.draw.moves import apart, slid_open
from kit.draw.pictorial import FRONT_LEFT_ABOVE, INK, Projection, pictorial_svg
from kit.geometry import Vec

#: Points tried on each surface for a letter; the ring round it, as a share of the picture.
TRIES, RING = 9, 0.0125

type Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Exploded:
    """The picture, the marks on it, and those of boards that no letter could be put on."""

    svg: str
    lettered: tuple[str, ...]
    unlettered: tuple[str, ...]


def exploded(casework: Casework, *, size_px: float = 1200.0) -> Exploded:
    """All boards moved apart along the axes of the room, each with the letter of the cut list."""
    boards = [_moved(board, apart(casework, board.box)) for board in casework.boards]
    svg = pictorial_svg(casework, boards=boards, size_px=size_px)
    view = Projection.of(boards, FRONT_LEFT_ABOVE, size_px)
    places = _letters(boards, FRONT_LEFT_ABOVE, view, RING * size_px)
    missing = tuple(casework.marks[b.name] for b in boards if b.name not in places)
    lettered = {casework.marks[name]: at for name, at in places.items()}
    return Exploded(_with_letters(svg, lettered, RING * size_px), tuple(lettered), missing)


def doors_open_svg(casework: Casework, *, size_px: float = 960.0) -> str | None:
    """The piece with its doors slid open; None where it has none."""
    if casework.doors is None:
        return None
    slid = slid_open(casework)
    boards = [_moved(b, (slid.get(b.name, 0.0), 0.0, 0.0)) for b in casework.boards]
    return pictorial_svg(casework, boards=boards, size_px=size_px)


def _moved(board: Board, by: Vec) -> Board:
    x, y, z = (a + b for a, b in zip(board.place.corner, by, strict=True))
    return replace(board, place=replace(board.place, corner=(x, y, z)))


def _letters(boards: Sequence[Board], eye: Vec, view: Projection, radius: float) -> dict[str, Spot]:
    """For each board a point of the picture where it is seen, rings clear of each other."""
    owners = [(i, box) for i, board in enumerate(boards) for box in board.solid_boxes]
    lo = np.array([box.lo for _, box in owners])
    hi = np.array([box.hi for _, box in owners])
    number = np.array([i for i, _ in owners])
    taken: list[Spot] = []
    places: dict[str, Spot] = {}
    for i, board in enumerate(boards):
        best: tuple[float, list[Spot]] = (0.0, [])
        for points, area in sorted(_faces(board, eye), key=lambda face: -face[1]):
            if area * len(points) <= best[0]:
                break  # no smaller face can show more
            free = ~_hidden(points, np.array(eye), lo[number != i], hi[number != i])
            spots = [view.at((p[0], p[1], p[2])) for p in points[free]]
            spots = [s for s in spots if all(_far(s, t) > 2.3 * radius for t in taken)]
            best = max(best, (area * len(spots), spots), key=lambda b: b[0])
        if best[1]:
            x, y = (sum(values) / len(best[1]) for values in zip(*best[1], strict=True))
            spot = min(best[1], key=lambda s: _far(s, (x, y)))
            taken.append(spot)
            places[board.name] = spot
    return places


def _far(a: Spot, b: Spot) -> float:
    return hypot(a[0] - b[0], a[1] - b[1])


def _faces(board: Board, eye: Vec) -> Iterator[tuple[NDArray[np.float64], float]]:
    """A grid of points on each surface that faces the eye, just off it; the area each stands for.

    The area is as it is seen.
    """
    shares = (np.arange(TRIES) + 0.5) / TRIES
    for box in board.solid_boxes:
        for axis in range(3):
            i, j = (k for k in range(3) if k != axis)
            points = np.empty((TRIES, TRIES, 3))
            points[:, :, axis] = box.hi[axis] + 0.01 if eye[axis] > 0 else box.lo[axis] - 0.01
            points[:, :, i] = (box.lo[i] + shares * box.size[i])[:, None]
            points[:, :, j] = (box.lo[j] + shares * box.size[j])[None, :]
            yield points.reshape(-1, 3), box.size[i] * box.size[j] * abs(eye[axis])


def _hidden(
    points: NDArray[np.float64],
    eye: NDArray[np.float64],
    lo: NDArray[np.float64],
    hi: NDArray[np.float64],
) -> NDArray[np.bool_]:
    """Whether the way from each point towards the eye runs through any box."""
    with np.errstate(divide="ignore", invalid="ignore"):
        one = (lo[None, :, :] - points[:, None, :]) / eye
        two = (hi[None, :, :] - points[:, None, :]) / eye
    enter = np.minimum(one, two).max(axis=2)
    leave = np.maximum(one, two).min(axis=2)
    hits: NDArray[np.bool_] = ((enter < leave) & (leave > 1e-6)).any(axis=1)
    return hits


def _with_letters(svg: str, places: dict[str, Spot], radius: float) -> str:
    """The picture with a letter in a ring at each place."""
    ET.register_namespace("", "http://www.w3.org/2000/svg")
    root = ET.fromstring(svg)
    group = ET.SubElement(
        root,
        "{http://www.w3.org/2000/svg}g",
        {"font-family": "DejaVu Sans", "font-weight": "bold", "text-anchor": "middle"},
    )
    for mark, (x, y) in places.items():
        wide = radius * (1.0 if len(mark) == 1 else 1.25)
        ring = {"cx": f"{x:.1f}", "cy": f"{y:.1f}", "r": f"{wide:.1f}"}
        ring |= {"fill": "#ffffff", "stroke": INK, "stroke-width": "1.4"}
        ET.SubElement(group, "{http://www.w3.org/2000/svg}circle", ring)
        size = 1.25 * radius
        at = {"x": f"{x:.1f}", "y": f"{y + 0.365 * size:.1f}", "font-size": f"{size:.1f}"}
        ET.SubElement(group, "{http://www.w3.org/2000/svg}text", at | {"fill": INK}).text = mark
    return ET.tostring(root, encoding="unicode") + "\n"
