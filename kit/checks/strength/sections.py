"""What the cuts of a board leave of it, piece by piece, as a plate opposes bending with it."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from kit.board import Board
from kit.checks.strength.layup import board_modulus, rolling_modulus, shear_modulus
from kit.checks.strength.plate import Rigidity, gauss
from kit.geometry import Box

#: Nearer than this to its ends a board is not looked at, mm.
SAME = 2.0
#: Wood that is left where a cut runs through, mm of thickness.
LEAST_SECTION = 1.0


def sections(board: Board, axes: tuple[int, int, int], stations: Sequence[float]) -> list[Rigidity]:
    """The section of each piece, in its middle, from what the square cuts leave of the wood."""
    s = axes[0]
    boxes = board.solid_boxes
    known: dict[tuple[int, ...], Rigidity] = {}
    found = []
    for a, b in pairwise(stations):
        middle = min(max((a + b) / 2, board.box.lo[s] + SAME), board.box.hi[s] - SAME)
        there = tuple(i for i, box in enumerate(boxes) if box.lo[s] <= middle < box.hi[s])
        if there not in known:
            known[there] = _rigidity(board, axes, [boxes[i] for i in there])
        found.append(known[there])
    return found


def _rigidity(board: Board, axes: tuple[int, int, int], boxes: Sequence[Box]) -> Rigidity:
    """What a section is across: strips between its edges, each as thick as the wood that is left.

    Along the board they bend about one neutral axis, as `section.glued` has it; across it each
    bends about its own middle.
    """
    s, t, n = axes
    low, high = board.box.lo[t], board.box.hi[t]
    edges = sorted({low, high, *(x for box in boxes for x in (box.lo[t], box.hi[t]))})
    edges = [edges[0], *(b for a, b in pairwise(edges) if b - a > 0.5)]
    strips = []
    for a, b in pairwise(edges):
        middle = (a + b) / 2
        left = _left([(x.lo[n], x.hi[n]) for x in boxes if x.lo[t] <= middle < x.hi[t]])
        thick = max(sum(hi - lo for lo, hi in left), LEAST_SECTION)
        centre = sum((hi**2 - lo**2) / 2 for lo, hi in left) / thick
        cube = max(sum((hi - lo) ** 3 for lo, hi in left), LEAST_SECTION**3)
        strips.append((a, b, thick, centre, cube / 12))
    wood = sum((b - a) * thick for a, b, thick, _, _ in strips)
    neutral = sum((b - a) * thick * centre for a, b, thick, centre, _ in strips) / wood
    e = board_modulus(board, s)
    points, weights, along, own = [], [], [], []
    for a, b, thick, centre, inertia in strips:
        y, w = gauss(5 if b - a > (high - low) / 4 else 3, a, b)
        points.append(y)
        weights.append(w)
        steiner = e.axial_mpa * thick * (centre - neutral) ** 2
        along.append(np.full(len(y), e.typical_mpa * inertia + steiner))
        own.append(np.full(len(y), inertia))
    inertias = np.concatenate(own)
    return Rigidity(
        np.concatenate(points),
        np.concatenate(weights),
        np.concatenate(along),
        board_modulus(board, t).typical_mpa * inertias,
        0.0 * inertias,
        shear_modulus(board.stock.key) * inertias,
        1.2 * e.typical_mpa * board.thickness**2 / rolling_modulus(board.stock.key),
    )


def _left(spans: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """What lies over each other, from below; what touches is one."""
    whole: list[tuple[float, float]] = []
    for lo, hi in sorted(spans):
        if whole and lo <= whole[-1][1] + 0.01:
            whole[-1] = (whole[-1][0], max(hi, whole[-1][1]))
        else:
            whole.append((lo, hi))
    return whole
