"""The piece as seen square on, whole or cut by a plane."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from kit.board import Board
from kit.casework import Casework
from kit.draw.drafting import Figure, Fill, Frame, Line, Path, Relief, Round, Scale, Slab
from kit.draw.drafting.figure import Item, Point
from kit.geometry import Box, Cutter, Drill, Slot, Vec, remainder

#: Smaller holes are not drawn in views of the whole, mm.
LEAST_HOLE = 12.0


class Look(Enum):
    """Where the eye is: the room axes to the right and up, that of sight, its sign to the eye."""

    FRONT = (0, 2, 1, -1)
    TOP = (0, 1, 2, 1)
    RIGHT = (1, 2, 0, 1)

    def __init__(self, right: int, up: int, axis: int, sign: int):
        self.right = right
        self.up = up
        self.axis = axis
        self.sign = sign

    def flat(self, point: Vec) -> Point:
        """A point of the room in the plane of the view, mm."""
        return (point[self.right], point[self.up])

    def slab(self, box: Box, owner: str) -> Slab:
        """A box of the room as seen."""
        return Slab.of(box, owner, (self.right, 1), (self.up, 1))

    def behind(self, box: Box, at: float) -> Box | None:
        """What a cut square to the sight leaves of a box: the part away from the eye."""
        lo, hi = list(box.lo), list(box.hi)
        if self.sign > 0:
            hi[self.axis] = min(hi[self.axis], at)
        else:
            lo[self.axis] = max(lo[self.axis], at)
        if hi[self.axis] <= lo[self.axis]:
            return None
        return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


@dataclass(frozen=True)
class Paper:
    """From mm of a view to mm on paper: `origin` of the view lies at (0, 0)."""

    scale: Scale
    origin: Point = (0.0, 0.0)

    def at(self, u: float, v: float) -> Point:
        """A point on paper."""
        return (self.scale.on_paper(u - self.origin[0]), self.scale.on_paper(v - self.origin[1]))

    def frame(self, look: Look, box: Box) -> Frame:
        """A box on paper."""
        (x0, y0), (x1, y1) = self.at(*look.flat(box.lo)), self.at(*look.flat(box.hi))
        return Frame(x0, y0, x1, y1)


def wood(board: Board, look: Look, at: float) -> tuple[Box, ...]:
    """A board in the room less what is cut into it, exact where the plane of a section lies.

    Slots and straight holes that the plane meets are taken out as wide as they are there;
    others, and pocket holes, are not.
    """
    place = board.place
    room = [0.0, 0.0, 0.0]
    room[look.axis] = at
    local = place.to_board((room[0], room[1], room[2]))
    axis = next(
        i for i, h in enumerate((place.along, place.across, place.out)) if h.axis == look.axis
    )
    chords = [c for cutter in board.cutters for c in _chord(cutter, axis, local[axis])]
    boxes = (b for box in board.rest for b in remainder(box, chords)) if chords else board.rest
    return tuple(place.box_to_room(box) for box in boxes)


def _chord(cutter: Cutter, axis: int, at: float) -> Iterator[Box]:
    """What a slot or straight hole is in the plane square to a board axis, as a box."""
    if not isinstance(cutter, Slot | Drill):
        return
    box = cutter.box
    long = cutter.along if isinstance(cutter, Slot) else axis
    runs = 2 if isinstance(cutter, Slot) else _axis(cutter)
    if runs in (None, axis) or not box.lo[axis] < at < box.hi[axis]:
        return
    radius = (cutter.width if isinstance(cutter, Slot) else cutter.diameter) / 2
    lo, hi = list(box.lo), list(box.hi)
    if axis == long:  # through the round ends, or across a hole
        to_middle = max(0.0, abs(at - box.centre[axis]) - (box.size[axis] / 2 - radius))
        half = math.sqrt(radius**2 - to_middle**2)
        other = next(i for i in range(3) if i not in (axis, runs))
        lo[other], hi[other] = box.centre[other] - half, box.centre[other] + half
    elif isinstance(cutter, Slot):  # across a slot: shorter towards its sides
        back = radius - math.sqrt(radius**2 - (at - box.centre[axis]) ** 2)
        lo[long], hi[long] = lo[long] + back, hi[long] - back
    yield Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


def _axis(drill: Drill) -> int | None:
    return next((i for i, d in enumerate(drill.heading) if abs(d) > 1 - 1e-9), None)


def seen(casework: Casework, look: Look, paper: Paper) -> Figure:
    """The whole piece from outside: its rim wide, its edges narrower, slots and holes."""
    slabs = [look.slab(box, b.name) for b in casework.boards for box in b.solid_boxes]
    relief = Relief.of(slabs)
    items: list[Item] = [Path((paper.at(*a), paper.at(*b)), Line.EDGE) for a, b in relief.edges()]
    items += [Path((paper.at(*a), paper.at(*b)), Line.VISIBLE) for a, b in relief.rim()]
    items += _openings(casework.boards, look, paper, relief)
    return Figure(tuple(items))


@dataclass(frozen=True)
class Cut:
    """A section: its figure, and for each board that is cut its rectangles on paper."""

    figure: Figure
    cells: dict[str, tuple[Frame, ...]]


def cut(
    boards: Sequence[Board],
    look: Look,
    at: float,
    paper: Paper,
    window: tuple[Point, Point] | None = None,
) -> Cut:
    """The boards cut at `at` mm along the sight: cut wood hatched, what lies behind in outline.

    `window` (low, high) in mm of the view leaves away what is outside; where it cuts a board
    the edge is drawn thin.
    """
    slabs, sliced = [], []
    for board in boards:
        for box in wood(board, look, at):
            part = look.behind(box, at)
            inside = None if part is None else _inside(part, look, window)
            if inside is None:
                continue
            slab = look.slab(inside, board.name)
            slabs.append(slab)
            if box.lo[look.axis] < at < box.hi[look.axis]:
                sliced.append((board, slab))
    items: list[Item] = []
    cells: dict[str, list[Frame]] = {}
    for board, slab in sliced:
        (x0, y0), (x1, y1) = (paper.at(slab.u[i], slab.v[i]) for i in (0, 1))
        across = board.place.along.axis == look.axis
        corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        fill = Fill.CUT_ACROSS if across else Fill.CUT_ALONG
        items.append(Path(corners, None, closed=True, fill=fill))
        cells.setdefault(board.name, []).append(Frame(x0, y0, x1, y1))
    for some, line in ((slabs, Line.EDGE), ([slab for _, slab in sliced], Line.VISIBLE)):
        for a, b in Relief.of(some).edges():
            broken = window is not None and _on_rim(a, b, window)
            items.append(Path((paper.at(*a), paper.at(*b)), Line.THIN if broken else line))
    return Cut(Figure(tuple(items)), {name: tuple(frames) for name, frames in cells.items()})


def _inside(box: Box, look: Look, window: tuple[Point, Point] | None) -> Box | None:
    if window is None:
        return box
    lo, hi = list(box.lo), list(box.hi)
    for axis, low, high in zip((look.right, look.up), *window, strict=True):
        lo[axis], hi[axis] = max(lo[axis], low), min(hi[axis], high)
        if hi[axis] <= lo[axis]:
            return None
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


def _on_rim(a: Point, b: Point, window: tuple[Point, Point]) -> bool:
    """Whether an edge lies on the rim of the window: the wood goes on behind it."""
    return any(
        abs(a[i] - limit[i]) < 1e-3 and abs(b[i] - limit[i]) < 1e-3
        for i in (0, 1)
        for limit in window
    )


def _openings(boards: Sequence[Board], look: Look, paper: Paper, relief: Relief) -> Iterator[Item]:
    """Slots and larger holes in the surfaces that are seen."""
    for board in boards:
        if board.place.out.axis != look.axis:
            continue
        near = look.slab(board.box, board.name).near
        for cutter in board.cutters:
            if not isinstance(cutter, Slot | Drill):
                continue
            box = board.place.box_to_room(cutter.box)
            shown = relief.at(*look.flat(box.centre))
            if shown is None or shown[0] != board.name or abs(shown[1] - near) > 0.01:
                continue
            if isinstance(cutter, Drill) and cutter.diameter < LEAST_HOLE:
                continue
            frame = paper.frame(look, box)
            yield Round(frame, min(frame.width, frame.height) / 2, Line.HATCH)
