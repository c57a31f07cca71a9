"""One face of a board as it lies on the bed of the machine, with everything that is cut there.

A view shows the real board, seen square on the face: its length runs to the right, end 1 on
the left. A left-handed frame mirrors once and turning over mirrors once, so the width runs
downwards on face A of a left-handed board and on face B of a right-handed one. The lower left
corner of the first view is the origin.

Sizes are cut sizes: a board is cut before its edging goes on, and what is measured from a
finished edge is drawn from the cut one, less the edging.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from kit.board import Board, Feature, Operation, Surface
from kit.draw.dxf import relief
from kit.draw.dxf.outline import inside_corners, outline
from kit.draw.dxf.shapes import (
    REFERENCE,
    Loop,
    Point,
    Ring,
    Shape,
    Stroke,
    polygon,
    rectangle,
)
from kit.geometry import SAME_MM, Box, Cutter, Drill, Slot, Wedge, cutter_box
from kit.joinery import Trench

_FACES = (Surface.FACE_A, Surface.FACE_B)
OUTLINE = "OUTLINE-THROUGH"
NOTCH_RELIEF = "RELIEF-THROUGH"
#: Room between two views beside the overrun, mm.
APART = 60.0


@dataclass(frozen=True)
class View:
    """A board seen from `face`; `first` is the view that carries what is cut right through.

    `cutter_mm` is the diameter of the cutter, or None for the bare shapes.
    """

    board: Board
    face: Surface
    first: bool
    cutter_mm: float | None

    @cached_property
    def blank(self) -> Box:
        """The board as cut, before its edging goes on, in its own coordinates."""
        return cut_blank(self.board)

    @property
    def turned_over(self) -> bool:
        """Whether the width runs downwards."""
        return self.board.place.mirrored is not (self.face is Surface.FACE_B)

    def at(self, x: float, y: float) -> Point:
        """A point of the board, in its own coordinates, on the drawing."""
        lo, hi = self.blank.lo, self.blank.hi
        v = hi[1] - y if self.turned_over else y - lo[1]
        drop = 0.0 if self.first else hi[1] - lo[1] + APART + (self.cutter_mm or 0.0)
        return (x - lo[0], v - drop)

    @cached_property
    def shapes(self) -> tuple[Shape, ...]:
        """All that is cut or shown in this view, the outline first."""
        cuts = (shape for made in self._made for shape in self._shape(*made))
        return (*self._outline(), *cuts)

    def narrow(self) -> Iterator[tuple[Operation, float]]:
        """What the cutter is too wide for: the operation and its clear width, mm."""
        if self.cutter_mm is None:
            return
        for _, operation, cutter in self._made:
            if isinstance(cutter, Slot) and cutter.width < self.cutter_mm - SAME_MM:
                yield operation, cutter.width
            elif isinstance(cutter, Box) and (width := self._too_narrow(cutter)) is not None:
                yield operation, width

    @cached_property
    def _made(self) -> tuple[tuple[Feature, Operation, Cutter], ...]:
        """What belongs to this view: feature, operation and cut."""
        return tuple(
            (feature, feature.set_ups(self.board)[0].operation, cutter)
            for feature in self.board.features
            for cutter in feature.cutters(self.board)
            if self._shown(feature, cutter)
        )

    def _too_narrow(self, cutter: Box) -> float | None:
        """The clear width of a channel or notch that the cutter is too wide for, or None."""
        channel = self.blank.common(cutter)
        if channel is None or self.cutter_mm is None:
            return None
        return relief.too_narrow_mm(channel, self.blank, self.cutter_mm)

    @property
    def _letter(self) -> str:
        return self.face.name[-1]

    def _shown(self, feature: Feature, cutter: Cutter) -> bool:
        """Whether it belongs here: what goes through or is no work of this bed is shown once."""
        if through(cutter, self.board) or not _upright(cutter):
            return self.first
        return feature.surface is self.face

    def _outline(self) -> Iterator[Shape]:
        notches = [c for c in self.board.cutters if isinstance(c, Box) and through(c, self.board)]
        for loop in outline(self.blank, notches):
            points = [self.at(x, y) for x, y in loop]
            yield polygon(OUTLINE if self.first else REFERENCE, points)
            if self.cutter_mm is None or not self.first:
                continue
            narrow = [n for n in notches if self._too_narrow(n) is not None]
            for corner, way in inside_corners(loop):
                if not any(_touches(notch, corner) for notch in narrow):
                    yield self._relief(NOTCH_RELIEF, corner, way, 0.0)

    def _shape(self, feature: Feature, operation: Operation, cutter: Cutter) -> Iterator[Shape]:
        name = operation.name
        match cutter:
            case Box():
                if not through(cutter, self.board):
                    yield from self._channel(feature, name, cutter)
            case Slot():
                yield self._slot(f"{name}-THROUGH-D{cutter.width:.2f}", cutter)
            case Wedge():
                yield from self._chamfer(cutter)
            case Drill() if _upright(cutter):
                depth = "THROUGH" if cutter.through else f"{self._letter}-{cutter.depth:.2f}"
                x, y, _ = cutter.entry
                layer = f"{name}-{depth}-D{cutter.diameter:.2f}"
                yield Ring(layer, self.at(x, y), cutter.diameter / 2)
            case Drill():
                side = feature.surface.name.replace("_", "-")
                layer = f"{REFERENCE}-{name}-{side}-D{cutter.diameter:.2f}"
                yield self._rectangle(layer, cutter_box(cutter))

    def _channel(self, feature: Feature, name: str, cutter: Box) -> Iterator[Shape]:
        channel = self.blank.common(cutter)
        if channel is None:  # it lies wholly in the edging
            return
        depth = f"{self._letter}-{channel.size[2]:.2f}"
        layer = f"{name}-{depth}"
        if self.cutter_mm is None:
            yield self._rectangle(layer, channel)
            return
        yield self._rectangle(layer, relief.overrun(channel, self.blank, self.cutter_mm))
        if self._too_narrow(cutter) is None:
            gap = feature.fit.gap if isinstance(feature, Trench) else 0.0
            for corner, way in relief.closed_corners(channel, self.blank):
                yield self._relief(f"RELIEF-{depth}", corner, way, gap)

    def _relief(self, layer: str, corner: Point, way: Point, gap: float) -> Ring:
        assert self.cutter_mm is not None
        found = relief.relief(layer, corner, way, cutter_mm=self.cutter_mm, gap_mm=gap)
        return Ring(layer, self.at(*found.centre), found.radius)

    def _rectangle(self, layer: str, box: Box) -> Loop:
        (x0, y0), (x1, y1) = self.at(*box.lo[:2]), self.at(*box.hi[:2])
        return rectangle(layer, (x0, min(y0, y1)), (x1, max(y0, y1)))

    def _slot(self, layer: str, slot: Slot) -> Shape:
        x, y = self.at(*slot.centre)
        r, half = slot.width / 2, (slot.length - slot.width) / 2
        if half < SAME_MM:
            return Ring(layer, (x, y), r)
        if slot.along == 0:
            vertices = (
                (x - half, y - r, 0.0), (x + half, y - r, 1.0),
                (x + half, y + r, 0.0), (x - half, y + r, 1.0),
            )  # fmt: skip
        else:
            vertices = (
                (x + r, y - half, 0.0), (x + r, y + half, 1.0),
                (x - r, y + half, 0.0), (x - r, y - half, 1.0),
            )  # fmt: skip
        return Loop(layer, vertices)

    def _chamfer(self, wedge: Wedge) -> Iterator[Shape]:
        """The line where a chamfer ends on the face, its corner clipped to the board as cut."""
        size = max(abs(v) for v in wedge.b)
        away = wedge.a[:2]
        sides = (Surface.EDGE_1, Surface.EDGE_2, Surface.END_1, Surface.END_2)
        (side,) = (s for s in sides if s.inward[0] * away[0] + s.inward[1] * away[1] > 0)
        after = side in self.board.edged
        layer = f"{REFERENCE}-CHAMFER-AFTER-EDGING" if after else f"CHAMFER-{self._letter}"
        start = (wedge.corner[0] + away[0], wedge.corner[1] + away[1])
        end = (start[0] + wedge.run[0], start[1] + wedge.run[1])
        yield Stroke(
            f"{layer}-{size:.2f}", self.at(*self._clipped(start)), self.at(*self._clipped(end))
        )

    def _clipped(self, point: Point) -> Point:
        x, y = (
            min(max(v, low), high)
            for v, low, high in zip(point, self.blank.lo[:2], self.blank.hi[:2], strict=True)
        )
        return (x, y)


def views(board: Board, cutter_mm: float | None) -> tuple[View, ...]:
    """The faces that are cut, A before B; a board with nothing cut into a face is seen from A.

    What goes right through is cut in the first of them, so that a board with cuts in one face
    is never turned over.
    """
    cut = [
        face
        for face in _FACES
        if any(
            feature.surface is face and not through(c, board) and _upright(c)
            for feature in board.features
            for c in feature.cutters(board)
        )
    ] or [Surface.FACE_A]
    return tuple(View(board, face, face is cut[0], cutter_mm) for face in cut)


def cut_blank(board: Board) -> Box:
    """A board before its edging and before any cut, in the coordinates of the finished board."""
    strip = board.edging.thickness_mm if board.edging else 0.0

    def less(surface: Surface) -> float:
        return strip if surface in board.edged else 0.0

    return Box(
        (less(Surface.END_1), less(Surface.EDGE_1), 0.0),
        (
            board.length - less(Surface.END_2),
            board.width - less(Surface.EDGE_2),
            board.thickness,
        ),
    )


def through(cutter: Cutter, board: Board) -> bool:
    """Whether a cut square to the face goes right through the board."""
    if isinstance(cutter, Drill):
        return cutter.through and _upright(cutter)
    hull = cutter_box(cutter)
    return (
        not isinstance(cutter, Wedge)
        and hull.lo[2] <= SAME_MM
        and hull.hi[2] >= board.thickness - SAME_MM
    )


def _upright(cutter: Cutter) -> bool:
    """Whether a cutter that stands square on a face makes it."""
    return not isinstance(cutter, Drill) or abs(cutter.heading[2]) == 1.0


def _touches(notch: Box, corner: Point) -> bool:
    return all(
        low - SAME_MM <= value <= high + SAME_MM
        for low, value, high in zip(notch.lo[:2], corner, notch.hi[:2], strict=True)
    )
