"""What bears on the panels of a case: its own weight and what it carries, where they stand."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from kit.board import Board
from kit.checks.loads import GRAVITY, Carried, Depth
from kit.checks.strength.plate import Floats, gauss
from kit.checks.strength.structure import Panel, Structure
from kit.geometry import Box

#: A load on less than this bears on as much, mm.
LEAST = 4.0

type Bearing = tuple[str, tuple[float, float], Depth, float]
"""A board, a span in X and one in depth, and kg spread evenly over them."""


def weight(structure: Structure, level: Sequence[Board], bearings: Iterator[Bearing]) -> Floats:
    """The load of masses on level boards; what bears on no such board is left out."""
    found = np.zeros(structure.size)
    boxes = {board.name: board.box for board in level}
    for name, across, depth, kg in bearings:
        box = boxes.get(name)
        if box is None:
            continue
        x = _within(across, box.lo[0], box.hi[0])
        y = _within(depth or (box.lo[1], box.hi[1]), box.lo[1], box.hi[1])
        panel = structure.panels[name]
        points, areas = over(panel, Box((x[0], y[0], box.lo[2]), (x[1], y[1], box.hi[2])))
        force = -kg * GRAVITY * areas / areas.sum()
        found += structure.load(panel.moved(points, 2), force)
    return found


def standing(structure: Structure, boards: Sequence[Board]) -> Floats:
    """The own weight of boards on edge, at their middles."""
    found = np.zeros(structure.size)
    for board in boards:
        rows = structure.panels[board.name].moved(np.array([board.box.centre]), 2)
        found += structure.load(rows, np.array([-board.mass_kg * GRAVITY]))
    return found


def lying(board: Board, on: str) -> Bearing:
    """The weight of a board that lies on another, or is it, over its own footprint."""
    box = board.box
    return on, (box.lo[0], box.hi[0]), (box.lo[1], box.hi[1]), board.mass_kg


def carried_by(carried: Carried) -> Iterator[Bearing]:
    """What a case carries, spread over its true footprint."""
    for line in carried.lines:
        yield line.board, (line.x0_mm, line.x1_mm), line.depth_mm, line.kg
    for foot in carried.points:
        half = foot.wide_mm / 2
        yield foot.board, (foot.x_mm - half, foot.x_mm + half), foot.depth_mm, foot.kg


def _within(span: tuple[float, float], low: float, high: float) -> tuple[float, float]:
    a, b = max(span[0], low), min(span[1], high)
    middle = min(max((a + b) / 2, low), high)
    return (a, b) if b - a > LEAST else (middle - LEAST / 2, middle + LEAST / 2)


def over(panel: Panel, box: Box) -> tuple[Floats, Floats]:
    """Points of the middle plane of a plate over a box, and the area of each, mm and mm²."""
    assert panel.plate is not None
    s, t, n = panel.axes
    stations = panel.plate.stations
    inner = [x for x in stations[1:-1] if box.lo[s] < x < box.hi[s]]
    cuts = [box.lo[s], *inner, box.hi[s]]
    along = [gauss(4 if b - a > 60.0 else 2, a, b) for a, b in pairwise(cuts)]
    x, wx = (np.concatenate(part) for part in zip(*along, strict=True))
    y, wy = gauss(5 if box.size[t] > 100.0 else 2, box.lo[t], box.hi[t])
    points = np.empty((len(x) * len(y), 3))
    points[:, s], points[:, t] = np.repeat(x, len(y)), np.tile(y, len(x))
    points[:, n] = panel.middle[n]
    return points, np.outer(wx, wy).ravel()
