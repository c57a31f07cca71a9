"""Details, full size where they fit: corner joint, head and sill of the doors, base."""

from collections.abc import Iterator
from dataclasses import replace

from kit.board import Board
from kit.casework import Casework
from kit.components.made import Means
from kit.draw.drafting import (
    CAPITALS,
    SCALES,
    Figure,
    Flag,
    Scale,
    Words,
    flags,
    span,
    stacked,
    wrapped,
)
from kit.draw.drafting.figure import Item, Point
from kit.draw.svg import Anchor
from kit.draw.views.drawing import Drawing
from kit.draw.views.scene import Cut, Look, Paper, cut
from kit.units import System, decimal, text

#: Wood shown beyond what a detail is about, mm of the piece.
BEYOND = 26.0
#: A detail wider or higher than these shares of the room is drawn smaller.
WIDE, LOW = 0.5, 0.7
#: Most that is shown of the case before a base that stands back, mm of the piece.
SET_BACK = 90.0
#: Room for the words under a detail, mm on paper.
NOTE_WIDE = 78.0


def details(casework: Casework, system: System, room: tuple[float, float]) -> tuple[Drawing, ...]:
    """The details of a piece, each full size, or smaller where that takes too much room."""
    made = []
    for make in (_corner, _head, _sill, _base):
        for scale in SCALES[system]:
            drawing = make(casework, system, scale)
            if drawing is None:
                break
            frame = drawing.figure.frame
            if frame.width <= WIDE * room[0] and frame.height <= LOW * room[1]:
                made.append(drawing)
                break
    return tuple(made)


def _corner(casework: Casework, system: System, scale: Scale) -> Drawing | None:
    """The left upper corner of the case, cut at half depth, from the front."""
    frame = casework.frame
    top, left = casework.by_name[frame.top.name], casework.by_name[frame.left.name]
    corner = (left.box.lo[0], max(left.box.hi[2], top.box.hi[2]))
    thick = (left.thickness, top.thickness)
    low = (corner[0], min(corner[1], top.box.lo[2]) - BEYOND)
    high = (corner[0] + thick[0] + BEYOND, corner[1])
    paper = Paper(scale, low)
    piece = cut([top, left], Look.FRONT, frame.clear.centre[1], paper, (low, high))
    items: list[Item] = [*piece.figure.items]
    y0 = paper.at(*low)[1]
    items += span(
        (paper.at(left.box.lo[0], 0)[0], y0),
        (paper.at(left.box.hi[0], 0)[0], y0),
        decimal(left.thickness, system, unit=False),
        away=-5.0,
    )
    x1 = paper.at(*high)[0]
    items += span(
        (x1, paper.at(0, top.box.lo[2])[1]),
        (x1, paper.at(0, top.box.hi[2])[1]),
        decimal(top.thickness, system, unit=False),
        away=5.0,
    )
    items += flags(_named(casework, piece), max(item.frame.y1 for item in items))
    known = "measured" if top.stock.measured and left.stock.measured else "NOT measured"
    cuts = [
        f.callout(board, system)
        for board, other in ((left, top), (top, left))
        for f in board.features
        if getattr(f, "mate", "") == other.name
    ]
    words = ", ".join(cuts) or "butted"
    return _titled(casework, "Corner of the case", scale, items, piece, f"{words}; {known}.")


def _head(casework: Casework, system: System, scale: Scale) -> Drawing | None:
    """The upper tracks with the doors down: engagement and lift."""
    if casework.doors is None:
        return None
    top = casework.by_name[casework.frame.top.name]
    doors = casework.doors
    low = (top.box.lo[1], top.box.lo[2] - BEYOND)
    high = (top.box.lo[1] + doors.zone + BEYOND / 2, top.box.hi[2])
    door = doors.doors[0].board
    words = (
        f"Door down: {decimal(doors.engagement, system)} of it stand in the top groove, "
        f"{decimal(doors.lift, system)} are left above it when it is lifted in."
    )
    return _track(casework, "Head of the doors", system, scale, (low, high), top, door, words)


def _sill(casework: Casework, system: System, scale: Scale) -> Drawing | None:
    """The lower tracks."""
    if casework.doors is None:
        return None
    bottom = casework.by_name[casework.frame.bottom.name]
    doors = casework.doors
    low = (bottom.box.lo[1], bottom.box.lo[2])
    high = (bottom.box.lo[1] + doors.zone + BEYOND / 2, bottom.box.hi[2] + BEYOND)
    door = doors.doors[0].board
    words = (
        f"Door down on the floor of its groove, {decimal(doors.spec.bottom_depth, system)} deep. "
        "Wax the grooves after the finish."
    )
    return _track(casework, "Sill of the doors", system, scale, (low, high), bottom, door, words)


def _track(
    casework: Casework,
    title: str,
    system: System,
    scale: Scale,
    window: tuple[Point, Point],
    lid: Board,
    door: Board,
    words: str,
) -> Drawing:
    """A cut through lid and doors, where both tracks hold one if that can be."""
    doors = casework.doors
    assert doors is not None
    at = door.box.centre[0]
    pair = [d.board for d in doors.doors if d.track != doors.doors[0].track]
    for other in pair:
        low = max(door.box.lo[0], other.box.lo[0])
        high = min(door.box.hi[0], other.box.hi[0])
        if high > low:
            at = (low + high) / 2
    shown = [lid, door]
    for other in pair[:1]:  # the other track's door is drawn at the same place
        shown.append(other)
        if not other.box.lo[0] < at < other.box.hi[0]:
            shown[-1] = _slid(other, at)
    paper = Paper(scale, window[0])
    piece = cut(shown, Look.RIGHT, at, paper, window)
    items: list[Item] = [*piece.figure.items]
    edge = door.box.lo[2] if lid is casework.by_name[casework.frame.bottom.name] else door.box.hi[2]
    face = lid.box.hi[2] if edge == door.box.lo[2] else lid.box.lo[2]
    x1 = paper.at(*window[1])[0]
    items += span(
        (x1, paper.at(0, min(edge, face))[1]),
        (x1, paper.at(0, max(edge, face))[1]),
        decimal(abs(edge - face), system, unit=False),
        away=5.0,
    )
    first = door.box
    y = paper.at(*window[0])[1]
    items += span(
        (paper.at(first.lo[1], 0)[0], y),
        (paper.at(first.hi[1], 0)[0], y),
        decimal(door.thickness, system, unit=False),
        away=-5.0,
    )
    items += flags(_named(casework, piece), max(item.frame.y1 for item in items))
    groove = f"Grooves {decimal(doors.groove, system)} wide. "
    return _titled(casework, title, scale, items, piece, groove + words)


def _base(casework: Casework, system: System, scale: Scale) -> Drawing | None:
    """The front of the base under the bottom of the case."""
    below = [b for b in casework.boards if b.box.hi[2] <= 1.0]
    if not below:
        return None
    front = min(below, key=lambda b: (b.box.centre[1], b.box.centre[0]))
    bottom = casework.by_name[casework.frame.bottom.name]
    low = (max(bottom.box.lo[1], front.box.lo[1] - SET_BACK), front.box.lo[2])
    high = (front.box.hi[1] + BEYOND, bottom.box.hi[2])
    at = front.box.centre[0]
    paper = Paper(scale, low)
    piece = cut([front, bottom], Look.RIGHT, at, paper, (low, high))
    if front.name not in piece.cells:
        return None
    items: list[Item] = [*piece.figure.items]
    x1 = paper.at(*high)[0]
    items += span(
        (x1, paper.at(0, front.box.lo[2])[1]),
        (x1, paper.at(0, front.box.hi[2])[1]),
        text(front.box.size[2], system, unit=False),
        away=5.0,
    )
    y0 = paper.at(*low)[1]
    ends = sorted({low[0], front.box.lo[1]}) if low[0] == bottom.box.lo[1] else []
    if len(ends) == 2 and ends[1] - ends[0] > 1.0:
        items += span(
            (paper.at(ends[0], 0)[0], y0),
            (paper.at(ends[1], 0)[0], y0),
            text(ends[1] - ends[0], system, unit=False),
            away=-5.0,
        )
    items += flags(_named(casework, piece), max(item.frame.y1 for item in items))
    held = "; ".join(
        f"{line.count} {line.means.value}"
        + (f" {decimal(line.length, system)} long" if line.length else "")
        for line in casework.fastenings
        if line.board == front.name and line.means is not Means.GLUE
    )
    words = f"{front.name} is held by {held}." if held else ""
    return _titled(casework, "Front of the base", scale, items, piece, words)


def _slid(door: Board, x: float) -> Board:
    """A door moved along its track until it stands at `x`."""
    corner = list(door.place.corner)
    corner[0] += x - door.box.centre[0]
    return replace(door, place=replace(door.place, corner=(corner[0], corner[1], corner[2])))


def _named(casework: Casework, piece: Cut) -> list[Flag]:
    """A flag for each board that is cut: its letter, its name and its thickness."""
    found = []
    for name, frames in piece.cells.items():
        widest = max(frames, key=lambda f: f.width * f.height)
        point = ((widest.x0 + widest.x1) / 2, (widest.y0 + widest.y1) / 2)
        found.append(Flag(point, (f"{casework.marks[name]} {name}",)))
    return found


def _titled(
    casework: Casework, title: str, scale: Scale, items: list[Item], piece: Cut, words: str
) -> Drawing:
    figures = [Figure(tuple(items))]
    lines = wrapped(words, NOTE_WIDE)
    if lines:
        figures.append(Figure(tuple(_lines(lines))))
    marks = frozenset(casework.marks[name] for name in piece.cells)
    return Drawing(title, scale, stacked(figures, 4.0), marks)


def _lines(lines: tuple[str, ...]) -> Iterator[Item]:
    for i, line in enumerate(lines):
        yield Words((0.0, -i * CAPITALS * 1.7), line, anchor=Anchor.START)
