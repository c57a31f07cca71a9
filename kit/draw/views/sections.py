"""Sections: one upright through each bay that differs, one level through the case."""

from collections.abc import Iterator, Mapping, Sequence
from enum import Enum

from kit.casework import Casework
from kit.components.contents import Placed
from kit.components.made import Bay
from kit.draw.drafting import (
    CAPITALS,
    RING,
    Figure,
    Fill,
    Frame,
    Line,
    Path,
    Scale,
    Side,
    Words,
    largest_scale,
    ordinates,
    tags,
    wrapped,
)
from kit.draw.drafting.figure import Item, Point
from kit.draw.svg import Anchor
from kit.draw.views.drawing import Drawing
from kit.draw.views.overall import stations
from kit.draw.views.scene import Cut, Look, Paper, cut
from kit.geometry import Box
from kit.units import System

#: Where along a cut board its letter may point, and how far letters keep apart, mm on paper.
SHARES = (0.5, 0.3, 0.7, 0.2, 0.8, 0.4, 0.6, 0.1, 0.9)
APART = 2 * RING + 1.0
#: How far beside a slot or hole the plane of a section is put, if it can, mm.
TRIES = tuple(step * side for step in range(0, 60, 6) for side in (1, -1))


class Sides(Enum):
    """Which faces of the boards that are cut have stations; tried in this order."""

    BOTH = "both faces"
    LOW = "the lower face"
    ENDS = "the ends of the piece only"


def sections(casework: Casework, system: System, room: tuple[float, float]) -> tuple[Drawing, ...]:
    """All sections, each at the largest scale that fits `room` (mm on paper)."""
    drawings = []
    for bay in _different(casework):
        at = _plane(casework, bay)
        gear = [p for p in casework.gear if p.bay is None or p.bay.number == bay.number]
        through = [p for p in gear if p.bay or p.body.lo[0] <= at <= p.body.hi[0]]
        title = f"Section through {bay.name}, seen from the right"
        drawings.append(_drawing(casework, title, Look.RIGHT, at, through, system, room))
    level = _level(casework)
    inside = [
        p for p in casework.inside if p.body.lo[2] < level and not _covered(casework, p, level)
    ]
    title = "Section near half height, seen from above"
    drawings.append(_drawing(casework, title, Look.TOP, level, inside, system, room))
    return tuple(drawings)


def _different(casework: Casework) -> Iterator[Bay]:
    """Bays, but for those that show the very same as one before."""
    shown = set()
    for bay in casework.bays:
        low, high = bay.clear.lo[0], bay.clear.hi[0]
        boards = tuple(
            sorted(
                (*_yz(board.box), board.stock.key)
                for board in casework.boards
                if board.box.lo[0] < (low + high) / 2 < board.box.hi[0]
            )
        )
        gear = tuple(_yz(p.body) for p in casework.inside if p.within.number == bay.number)
        if (boards, gear) not in shown:
            shown.add((boards, gear))
            yield bay


def _yz(box: Box) -> tuple[float, ...]:
    return tuple(round(value, 2) for value in (*box.lo[1:], *box.hi[1:]))


def _plane(casework: Casework, bay: Bay) -> float:
    """The middle of a bay, or beside it where the plane would run along a slot of a door."""
    middle = bay.clear.centre[0]
    slots = [
        board.place.box_to_room(cutter.box)
        for board in casework.boards
        for cutter in board.cutters
        if not isinstance(cutter, Box)
    ]

    def free(x: float) -> bool:
        return not any(slot.lo[0] - 1 < x < slot.hi[0] + 1 for slot in slots)

    tries = (middle + step for step in TRIES)
    return next((x for x in tries if free(x)), middle)


def _level(casework: Casework) -> float:
    """Half the height of the case, or beside it where a shelf lies there."""
    middle = casework.frame.clear.centre[2]
    flat = [board.box for board in casework.boards if board.place.out.axis == 2]

    def free(z: float) -> bool:
        return not any(box.lo[2] - 1 < z < box.hi[2] + 1 for box in flat)

    tries = (middle + step for step in TRIES)
    return next((z for z in tries if free(z)), middle)


def _covered(casework: Casework, placed: Placed, level: float) -> bool:
    """Whether a board below `level` lies over the middle of a device."""
    x, y, _ = placed.body.centre
    return any(
        placed.body.hi[2] <= b.box.lo[2] < level
        and b.box.lo[0] < x < b.box.hi[0]
        and b.box.lo[1] < y < b.box.hi[1]
        for b in casework.boards
    )


def _drawing(
    casework: Casework,
    title: str,
    look: Look,
    at: float,
    gear: Sequence[Placed],
    system: System,
    room: tuple[float, float],
) -> Drawing:
    made: dict[Scale, tuple[Figure, frozenset[str]]] = {}
    for sides in Sides:  # a case with very many shelves has no room for all of them

        def fits(scale: Scale, sides: Sides = sides) -> bool:
            made[scale] = _figure(casework, look, at, gear, scale, system, sides)
            frame = made[scale][0].frame
            return frame.width <= room[0] and frame.height <= room[1]

        scale = largest_scale(system, fits, most=2.0)
        if fits(scale):
            break
    figure, marks = made[scale]
    return Drawing(title, scale, figure, marks)


def _figure(
    casework: Casework,
    look: Look,
    at: float,
    gear: Sequence[Placed],
    scale: Scale,
    system: System,
    sides: Sides,
) -> tuple[Figure, frozenset[str]]:
    paper = Paper(scale, look.flat(casework.box.lo))
    piece = cut(casework.boards, look, at, paper)
    items: list[Item] = [*piece.figure.items]
    key: dict[str, str] = {}
    wanted: list[tuple[list[Point], str]] = []
    for name, frames in piece.cells.items():
        mark = casework.marks[name]
        key[mark] = name
        wanted.append((_along(max(frames, key=lambda f: f.width * f.height)), mark))
    for number, placed in enumerate(gear, start=1):
        body = paper.frame(look, placed.body)
        if placed.rear is not None:
            items.append(_box(paper.frame(look, placed.rear), Line.HIDDEN, Fill.NONE))
        items.append(_box(body, Line.CENTRE, Fill.PAPER))
        key[str(number)] = placed.item.name
        wanted.append((_along(body), str(number)))
    rim = Frame.round(item.frame for item in items)
    marked = tags(_apart(wanted), rim.y1)
    items += marked
    past = rim.x0 - min([rim.x0, *(item.frame.x0 for item in marked)])
    across, up = (
        stations(_sides(casework, piece, axis, sides), casework.box.lo[axis], scale, system)
        for axis in (look.right, look.up)
    )
    # the floor is a station too, and may lie below what is cut: what stands on legs
    low = rim.y0 - min([rim.y0, *(station.at for station in up)])
    below = ordinates(across, Side.BELOW, rim.y0, clear=low)
    past = max(past, rim.x0 - min([rim.x0, *(item.frame.x0 for item in below)]))
    items += [*below, *ordinates(up, Side.LEFT, rim.x0, clear=past)]
    items += _key(key, Figure(tuple(items)).frame)
    return Figure(tuple(items)), frozenset(casework.marks[name] for name in piece.cells)


def _sides(casework: Casework, piece: Cut, axis: int, sides: Sides) -> set[float]:
    """Where the faces of the boards that are cut lie along an axis, and the ends of the piece."""
    boxes = [b.box for b in casework.boards if b.name in piece.cells and b.place.out.axis == axis]
    wanted = {casework.box.lo[axis], casework.box.hi[axis]}
    if sides is not Sides.ENDS:
        wanted |= {box.lo[axis] for box in boxes}
    if sides is Sides.BOTH:
        wanted |= {box.hi[axis] for box in boxes}
    return wanted


def _along(frame: Frame) -> list[Point]:
    """Points on the long middle line of a rectangle, the best first."""
    middle = ((frame.x0 + frame.x1) / 2, (frame.y0 + frame.y1) / 2)
    if frame.width >= frame.height:
        return [(frame.x0 + share * frame.width, middle[1]) for share in SHARES]
    return [(middle[0], frame.y0 + share * frame.height) for share in SHARES]


def _apart(wanted: Sequence[tuple[list[Point], str]]) -> list[tuple[Point, str]]:
    """One point for each, so that leaders stand apart where they can; the narrow ones first."""
    chosen: list[tuple[Point, str]] = []
    for choices, mark in sorted(wanted, key=lambda w: abs(w[0][0][0] - w[0][-1][0])):
        best = max(
            choices,
            key=lambda p: min([APART, *(abs(p[0] - other[0]) for other, _ in chosen)]),
        )
        chosen.append((best, mark))
    return chosen


def _box(frame: Frame, line: Line, fill: Fill) -> Path:
    corners = (
        (frame.x0, frame.y0),
        (frame.x1, frame.y0),
        (frame.x1, frame.y1),
        (frame.x0, frame.y1),
    )
    return Path(corners, line, closed=True, fill=fill)


def _key(key: Mapping[str, str], frame: Frame) -> Iterator[Item]:
    """What letters and numbers mean, below the section."""
    words = ";  ".join(f"{mark} {name}" for mark, name in key.items())
    if any(mark.isdigit() for mark in key):
        words += ".  Chain lines: devices; dashes: room for their plugs."
    for i, line in enumerate(wrapped(words, max(frame.width, 80.0))):
        yield Words((frame.x0, frame.y0 - 6.0 - i * CAPITALS * 1.7), line, anchor=Anchor.START)
