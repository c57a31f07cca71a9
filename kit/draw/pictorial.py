"""The pictorial: the whole piece as seen from a corner, to be looked at, not measured.

Surfaces are painted back to front from the square-cornered remainders of the boards, which
planes can always put in order; over them lie the visible lines of the solids. Three weights:
heavy for the outline of the whole, medium for edges, thin for rounded surfaces.
"""

import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import cos, hypot, pi, sin

import numpy as np

from kit.board import Board
from kit.casework import Casework
from kit.geometry import SAME_MM, Box, Drill, Slot, Vec, cutter_box, remainder
from kit.solid import picture_axes, tint, visible_lines

#: From the front, a little to the left and above; the vector points from the piece to the eye.
FRONT_LEFT_ABOVE: Vec = (-0.5, -1.0, 0.5)

INK = "#221d19"
#: Line widths in px of the picture.
OUTLINE, EDGE, ROUNDED = 3.0, 1.0, 0.7
MARGIN = 8.0
#: Share of white in the wood tones, so that lines stand out on paper and in grey.
PALE = 0.36
#: Light on a surface by the axis it faces: sides, fronts, tops; and in openings.
LIGHT = (0.84, 1.04, 1.12)
IN_OPENING = 0.6
#: How much wood behind a side makes it an inside one, mm.
SKIN = 0.01
SVG = "http://www.w3.org/2000/svg"

type Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Piece:
    """A box of wood in the room, and the board that it belongs to."""

    board: Board
    box: Box


@dataclass(frozen=True, slots=True)
class _Patch:
    """A flat surface of a board: its rim and openings as points in the room, and its colour."""

    board: str
    rings: tuple[tuple[Vec, ...], ...]
    colour: str


@dataclass(frozen=True, slots=True)
class Projection:
    """From the room to px of a picture, in parallel projection; `height` is the picture's, px."""

    right: Vec
    up: Vec
    left: float
    top: float
    scale: float
    height: float

    @classmethod
    def of(cls, boards: Sequence[Board], eye: Vec, size_px: float) -> "Projection":
        """The projection that fills a picture `size_px` wide with the boards."""
        right, up, _ = picture_axes(eye)
        corners = [
            (x, y, z)
            for board in boards
            for box in board.solid_boxes
            for x in (box.lo[0], box.hi[0])
            for y in (box.lo[1], box.hi[1])
            for z in (box.lo[2], box.hi[2])
        ]
        flat = np.array(corners) @ np.array([right, up]).T
        low, high = flat.min(axis=0), flat.max(axis=0)
        scale = (size_px - 2 * MARGIN) / (high[0] - low[0])
        height = (high[1] - low[1]) * scale + 2 * MARGIN
        return cls(right, up, float(low[0]), float(high[1]), float(scale), float(height))

    def flat(self, point: Vec) -> Point:
        """A point of the room, mm to the right and up."""
        return (_dot(self.right, point), _dot(self.up, point))

    def on_picture(self, flat: Point) -> Point:
        """A point in mm to the right and up, in px."""
        u, v = flat
        return (MARGIN + (u - self.left) * self.scale, MARGIN + (self.top - v) * self.scale)

    def at(self, point: Vec) -> Point:
        """A point of the room, in px."""
        return self.on_picture(self.flat(point))


def pictorial_svg(
    casework: Casework,
    *,
    eye: Vec = FRONT_LEFT_ABOVE,
    size_px: float = 960.0,
    boards: Sequence[Board] | None = None,
) -> str:
    """The piece as an SVG `size_px` wide, seen in parallel projection from direction `eye`.

    `eye` points from the piece to the eye; Z is up in the picture. `boards` are drawn in place
    of the casework's own: moved apart, or with the doors open. The same casework gives the same
    text. Raises SolidError where a board cannot be built.
    """
    boards = casework.boards if boards is None else boards
    towards = picture_axes(eye)[2]
    view = Projection.of(boards, eye, size_px)
    height = view.height
    pieces = [_Piece(board, box) for board in boards for box in board.solid_boxes]
    patches = list(_patches(_back_to_front(pieces, towards), towards))
    lines = [line for line in visible_lines(boards, eye) if line.visible]
    rings = [[[view.flat(p) for p in ring] for ring in patch.rings] for patch in patches]

    def path(points: Iterable[Point], *, closed: bool) -> str:
        steps = (f"{x:.1f} {y:.1f}" for x, y in map(view.on_picture, points))
        return "M" + "L".join(steps) + ("Z" if closed else "")

    title = casework.design.name
    svg = ET.Element(
        "svg",
        {
            "xmlns": SVG,
            "viewBox": f"0 0 {size_px:.0f} {height:.0f}",
            "width": f"{size_px:.0f}",
            "height": f"{height:.0f}",
            "role": "img",
            "aria-label": f"{title}: picture of the whole piece, {len(boards)} boards",
        },
    )
    ET.SubElement(svg, "title").text = title
    painted = ["".join(path(ring, closed=True) for ring in patch) for patch in rings]
    rims = "".join(path(patch[0], closed=True) for patch in rings)
    ET.SubElement(
        svg,
        "path",
        {"d": rims, "fill": "none", "stroke": INK, "stroke-width": str(2 * OUTLINE)}
        | {"stroke-linejoin": "round"},
    )
    # a pixel of stroke in its own colour closes the seams between patches of one surface
    wood = ET.SubElement(svg, "g", {"fill-rule": "evenodd", "stroke-width": "1"})
    for name, group in groupby(zip(patches, painted, strict=True), key=lambda p: p[0].board):
        board = ET.SubElement(wood, "g", {"data-board": name})
        for patch, d in group:
            ET.SubElement(board, "path", {"d": d, "fill": patch.colour, "stroke": patch.colour})
    ink = ET.SubElement(
        svg,
        "g",
        {"fill": "none", "stroke": INK, "stroke-linecap": "round", "stroke-linejoin": "round"},
    )
    for smooth, width in ((True, ROUNDED), (False, EDGE)):
        d = "".join(path(line.points, closed=False) for line in lines if line.smooth is smooth)
        if d:
            ET.SubElement(ink, "path", {"d": d, "stroke-width": str(width)})
    return ET.tostring(svg, encoding="unicode") + "\n"


def _back_to_front(pieces: Sequence[_Piece], eye: Vec) -> Iterator[_Piece]:
    """The pieces from the farthest to the nearest, cut in two where no order exists.

    A plane square to an axis has everything on the eye's side in front of everything on the
    other; planes that cut few pieces and halve the rest are taken first.
    """
    plane = _plane(pieces)
    if plane is None:  # one piece, or pieces that fill the same space
        yield from pieces
        return
    axis, at = plane
    low: list[_Piece] = []
    high: list[_Piece] = []
    for piece in pieces:
        lo, hi = piece.box.lo, piece.box.hi
        if lo[axis] < at - SAME_MM:
            end = list(hi)
            end[axis] = min(at, hi[axis])
            low.append(_Piece(piece.board, Box(lo, (end[0], end[1], end[2]))))
        if hi[axis] > at + SAME_MM:
            begin = list(lo)
            begin[axis] = max(at, lo[axis])
            high.append(_Piece(piece.board, Box((begin[0], begin[1], begin[2]), hi)))
    for half in (low, high) if eye[axis] > 0 else (high, low):
        yield from _back_to_front(half, eye)


def _plane(pieces: Sequence[_Piece]) -> tuple[int, float] | None:
    """The (axis, position) of the best plane between pieces; None where there is none."""
    if len(pieces) < 2:
        return None
    lo = np.array([piece.box.lo for piece in pieces])
    hi = np.array([piece.box.hi for piece in pieces])
    best: tuple[float, int, float] | None = None
    for axis in range(3):
        at = np.unique(np.concatenate([lo[:, axis], hi[:, axis]]))[:, None]
        below = (lo[:, axis] < at - SAME_MM).sum(axis=1)
        above = (hi[:, axis] > at + SAME_MM).sum(axis=1)
        cost = 4 * (below + above - len(pieces)) + np.maximum(below, above)
        cost = np.where((below > 0) & (above > 0), cost, np.inf)
        i = int(cost.argmin())
        if np.isfinite(cost[i]) and (best is None or cost[i] < best[0]):
            best = (float(cost[i]), axis, float(at[i, 0]))
    return None if best is None else best[1:]


def _patches(pieces: Iterable[_Piece], eye: Vec) -> Iterator[_Patch]:
    """The surfaces of each piece that face the eye, in the order to paint.

    The walls of openings lie inside the piece, so they come first: its ends and edges cover
    them, and its face covers all of them but what shows through the openings.
    """
    for piece in pieces:
        board, box = piece.board, piece.box
        out = board.place.out.axis
        openings = tuple(_openings(piece))
        for opening in openings if abs(eye[out]) >= SAME_MM else ():
            yield from _walls(piece, opening, eye)
        for axis in sorted(range(3), key=lambda i: i == out):
            if abs(eye[axis]) < SAME_MM or _covered(piece, axis, eye[axis] > 0):
                continue
            at = (box.hi if eye[axis] > 0 else box.lo)[axis]
            holes = [[_at(axis, at, p) for p in hole] for hole in openings] if axis == out else []
            yield _patch(board, [_rim(box, axis, at), *holes], LIGHT[axis])


def _walls(piece: _Piece, opening: Sequence[Vec], eye: Vec) -> Iterator[_Patch]:
    """The wall of an opening that faces the eye; none where the piece is cut off across it."""
    box, out = piece.box, piece.board.place.out.axis
    i, j = (k for k in range(3) if k != out)
    middle = [sum(p[k] for p in opening) / len(opening) for k in range(3)]
    ends = tuple(zip(box.lo, box.hi, strict=True))

    def shows(a: Vec, b: Vec) -> bool:
        cut = (all(abs(p[k] - at) < SAME_MM for p in (a, b)) for k in (i, j) for at in ends[k])
        if any(cut):
            return False
        across = (b[j] - a[j], a[i] - b[i])
        inward = across[0] * (middle[i] - a[i]) + across[1] * (middle[j] - a[j])
        return inward * (across[0] * eye[i] + across[1] * eye[j]) > 0

    sides = list(zip(opening, (*opening[1:], opening[0]), strict=True))
    turn = next(n for n, side in enumerate(sides) if not shows(*side))
    for facing, run in groupby(sides[turn:] + sides[:turn], key=lambda side: shows(*side)):
        if facing:
            first, *rest = run
            edge = (*first, *(b for _, b in rest))
            low = [_at(out, box.lo[out], p) for p in edge]
            high = [_at(out, box.hi[out], p) for p in reversed(edge)]
            yield _patch(piece.board, [low + high], IN_OPENING)


def _patch(board: Board, rings: Iterable[Sequence[Vec]], light: float) -> _Patch:
    tone = (round(255 * min(1.0, light * (PALE + (1 - PALE) * share))) for share in tint(board))
    colour = "#" + "".join(f"{value:02x}" for value in tone)
    return _Patch(board.name, tuple(tuple(ring) for ring in rings), colour)


def _rim(box: Box, axis: int, at: float) -> list[Vec]:
    """The four corners of a box, carried to `at` along `axis`."""
    i, j = (k for k in range(3) if k != axis)
    rim = []
    for a, b in ((box.lo, box.lo), (box.hi, box.lo), (box.hi, box.hi), (box.lo, box.hi)):
        corner = [at, at, at]
        corner[i], corner[j] = a[i], b[j]
        rim.append((corner[0], corner[1], corner[2]))
    return rim


def _at(axis: int, at: float, point: Vec) -> Vec:
    """A point carried to `at` along `axis`."""
    moved = [at if k == axis else point[k] for k in range(3)]
    return (moved[0], moved[1], moved[2])


def _covered(piece: _Piece, axis: int, positive: bool) -> bool:
    """Whether wood of the same board lies against all of this side of the piece."""
    lo, hi = list(piece.box.lo), list(piece.box.hi)
    lo[axis], hi[axis] = (hi[axis], hi[axis] + SKIN) if positive else (lo[axis] - SKIN, lo[axis])
    skin = Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))
    return not remainder(skin, piece.board.solid_boxes)


def _openings(piece: _Piece) -> Iterator[tuple[Vec, ...]]:
    """The round holes right through the thickness, as far as they lie in the piece."""
    board = piece.board
    own = board.place.box_to_board(piece.box)
    for cutter in board.cutters:
        hull = cutter_box(cutter)
        if hull.lo[2] > SAME_MM or hull.hi[2] < board.thickness - SAME_MM:
            continue
        if isinstance(cutter, Drill) and abs(cutter.heading[2]) == 1.0:
            ring = _round(cutter.entry[0], cutter.entry[1], 0.0, cutter.diameter / 2, 0)
        elif isinstance(cutter, Slot):
            half = (cutter.length - cutter.width) / 2
            ring = _round(*cutter.centre, half, cutter.width / 2, cutter.along)
        else:
            continue
        clipped = _clip(ring, own)
        if clipped:
            yield tuple(board.place.to_room((x, y, 0.0)) for x, y in clipped)


def _round(x: float, y: float, half: float, radius: float, along: int) -> list[Point]:
    """A circle, or a slot whose end circles stand `half` off its middle, as a polygon."""
    steps = 12
    points = []
    for k in range(2 * steps):
        angle = pi * (k + 0.5) / steps
        u, v = radius * cos(angle), radius * sin(angle)
        u += half if u > 0 else -half
        points.append((x + u, y + v) if along == 0 else (x - v, y + u))
    return points


def _clip(ring: list[Point], box: Box) -> list[Point]:
    """The part of a convex ring inside the x and y of a box."""
    for axis in (0, 1):
        for limit, sign in ((box.lo[axis], 1.0), (box.hi[axis], -1.0)):
            kept: list[Point] = []
            for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
                p, q = sign * (a[axis] - limit), sign * (b[axis] - limit)
                if p >= 0:
                    kept.append(a)
                if p * q < 0:
                    t = p / (p - q)
                    kept.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
            ring = kept
    return ring if _span(ring) > SAME_MM else []


def _span(ring: Sequence[Point]) -> float:
    if len(ring) < 3:
        return 0.0
    (x0, y0), (x1, y1) = (tuple(f(p[i] for p in ring) for i in (0, 1)) for f in (min, max))
    return hypot(x1 - x0, y1 - y0)


def _dot(a: Vec, b: Vec) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
