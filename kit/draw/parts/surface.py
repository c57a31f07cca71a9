"""One surface of a board as seen from outside, with stations and callouts."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import asin, cos, pi, sin

from kit.board import Board, Feature, Surface
from kit.draw.drafting import (
    CAPITALS,
    Disc,
    Figure,
    Fill,
    Frame,
    Line,
    Path,
    Relief,
    Round,
    Scale,
    Side,
    Slab,
    Station,
    Words,
    lines_of,
    ordinates,
    tags,
    width,
)
from kit.draw.drafting.figure import Item, Point
from kit.edition import Edition
from kit.geometry import SAME_MM, Box, Drill, Slot, Wedge
from kit.joinery import Chamfer, HoleRow, PocketHoles, SlotField
from kit.joinery.trench import Trench
from kit.units import decimal, text

type At = Callable[[float, float], Point]

#: Where along a channel its tag may point, as shares of its run; and how far tags keep apart.
SHARES = (0.5, 0.35, 0.65, 0.25, 0.75, 0.42, 0.58, 0.15, 0.85)
APART = 7.0
#: As many of the features that share a number are pointed at.
MANY = 2
#: Distance of the line that marks a banded edge from the outline, mm on paper.
BAND = 0.9
#: As many holes of a row as this are given stations of their own; of more, first and last.
FEW = 3


@dataclass(frozen=True, slots=True)
class Drawn:
    """A dimension on a part drawing: mm from the datum along a board axis, and as printed."""

    board: str
    axis: int
    at: float
    words: str


@dataclass(frozen=True)
class View:
    """A figure of a board, and the dimensions that stand on it."""

    figure: Figure
    drawn: tuple[Drawn, ...]


@dataclass(frozen=True, slots=True)
class Sight:
    """How a surface is looked at: its two board axes, and whether the second points up.

    The picture is true: of a left-hand board it is the mirror image of its twin's.
    """

    u: int
    v: int
    up: int

    @classmethod
    def of(cls, board: Board, surface: Surface) -> "Sight":
        """Looking square at a surface from outside, the lower of its axes to the right."""
        u, v = (i for i in range(3) if i != surface.axis)
        even = (u, v, surface.axis) != (0, 2, 1)
        out = 1 if surface.far else -1
        return cls(u, v, (1 if even else -1) * out * (-1 if board.place.mirrored else 1))


def printed(board: Board, axis: int, mm: float, edition: Edition) -> str:
    """A station along a board axis as printed: a caliper size through the thickness.

    The far end is the finished size, printed as in every list.
    """
    system = edition.system
    if axis == 2:
        words = decimal(mm, system)
    elif mm == (board.length, board.width)[axis]:
        face = edition.boards[board.name].finished
        words = (face.length, face.width)[axis].text
    else:
        words = text(mm, system)
    return words.removesuffix(f" {system.value}")


def surface_view(
    board: Board,
    surface: Surface,
    scale: Scale,
    edition: Edition,
    numbers: Mapping[Feature, str],
) -> View:
    """A surface of a board at `scale`, each feature with its number."""
    sight = Sight.of(board, surface)

    def at(u: float, v: float) -> Point:
        return (scale.on_paper(u), scale.on_paper(v) * sight.up)

    size = (board.length, board.width, board.thickness)
    mine = [f for f in board.features if f.surface is surface]
    items: list[Item] = [*_wood(board, surface, sight, at), *_openings(board, surface, sight, at)]
    rim = Path((at(0, 0), at(size[sight.u], size[sight.v]))).frame
    items += _banding(board, surface, sight, rim)
    top = rim.y1 + (BAND if board.edged else 0.0)
    marked = tags(_tagged(board, mine, at, sight, numbers), top)
    items += marked
    drawn: list[Drawn] = []
    past = rim.x0 - min([rim.x0, *(item.frame.x0 for item in marked)])
    for axis, side, edge in ((sight.u, Side.BELOW, rim.y0), (sight.v, Side.LEFT, rim.x0)):
        wanted = {0.0, size[axis]} | {s for f in mine for s in _stations(f, board, axis)}
        kept = _distinct(board, axis, sorted(wanted), edition)
        drawn += kept
        sign = 1 if side is Side.BELOW else sight.up
        stations = [Station(scale.on_paper(d.at) * sign, _labelled(d)) for d in kept]
        # those on the left stand past all that reaches there from above and below
        clear = past if side is Side.LEFT else 0.0
        placed = ordinates(stations, side, edge, clear=clear)
        past = max(past, rim.x0 - min(item.frame.x0 for item in placed))
        items += placed
    items += _grain(board, surface, items, rim)
    return View(Figure(tuple(items)), tuple(drawn))


def _wood(board: Board, surface: Surface, sight: Sight, at: At) -> Iterator[Item]:
    """The visible edges of the board less its square-cornered cuts."""
    slabs = []
    for box in board.rest:
        near = box.hi[surface.axis] if surface.far else -box.lo[surface.axis]
        u, v = ((box.lo[i], box.hi[i]) for i in (sight.u, sight.v))
        slabs.append(Slab(u, v, near, board.name))
    for a, b in Relief.of(slabs).edges():
        yield Path((at(*a), at(*b)), Line.VISIBLE)
    for feature in board.features:
        if isinstance(feature, Chamfer) and feature.surface is surface:
            for cutter in feature.cutters(board):
                yield from _chamfered(cutter, sight, at)


def _chamfered(cutter: Wedge, sight: Sight, at: At) -> Iterator[Item]:
    """The line where a chamfer ends on the face."""
    box = cutter.box
    run = next(i for i in (0, 1) if cutter.run[i] != 0)
    inner = box.hi[1 - run] if cutter.a[1 - run] > 0 else box.lo[1 - run]
    ends = [[0.0, 0.0, 0.0], [0.0, 0.0, 0.0]]
    for end, along in zip(ends, (box.lo[run], box.hi[run]), strict=True):
        end[run], end[1 - run] = along, inner
    yield Path(tuple(at(end[sight.u], end[sight.v]) for end in ends), Line.THIN)


def _openings(board: Board, surface: Surface, sight: Sight, at: At) -> Iterator[Item]:
    """Holes and slots in a surface, with the centre lines of larger holes."""
    size = (board.length, board.width, board.thickness)
    level = size[surface.axis] if surface.far else 0.0
    for cutter in board.cutters:
        if isinstance(cutter, Slot) and surface.axis == 2:
            (x0, y0), (x1, y1) = at(*cutter.box.lo[:2]), at(*cutter.box.hi[:2])
            frame = Frame(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
            yield Round(frame, min(frame.width, frame.height) / 2)
        if not isinstance(cutter, Drill):
            continue
        slope = abs(cutter.heading[surface.axis])
        enters = abs(cutter.entry[surface.axis] - level) < 1e-3 and slope > SAME_MM
        leaves = cutter.through and slope > 1 - SAME_MM
        if not (enters or leaves):
            continue
        centre = at(cutter.entry[sight.u], cutter.entry[sight.v])
        radius = abs(at(cutter.diameter, 0.0)[0]) / 2
        if slope > 1 - SAME_MM:
            yield Disc(centre, radius)
            if radius > 1.5:
                (x, y), r = centre, radius + 1.5
                yield Path(((x - r, y), (x + r, y)), Line.CENTRE)
                yield Path(((x, y - r), (x, y + r)), Line.CENTRE)
        elif cutter.through is False:
            yield _mouth(cutter, surface, sight, at, radius)


def _mouth(cutter: Drill, surface: Surface, sight: Sight, at: At, radius: float) -> Path:
    """The ellipse in which a slanted bore opens."""
    slant = asin(abs(cutter.heading[surface.axis]))
    long, points = radius / sin(slant), []
    lies = 0 if abs(cutter.heading[sight.u]) > SAME_MM else 1
    x, y = at(cutter.entry[sight.u], cutter.entry[sight.v])
    for i in range(24):
        a, b = long * cos(i * pi / 12), radius * sin(i * pi / 12)
        points.append((x + a, y + b) if lies == 0 else (x + b, y + a))
    return Path(tuple(points), Line.VISIBLE, closed=True)


def _banding(board: Board, surface: Surface, sight: Sight, rim: Frame) -> Iterator[Item]:
    """A wide chain line beside each edge that is banded (ISO 128: surfaces to be treated)."""
    if surface.axis != 2:
        return
    for edge in board.edged:
        if edge.axis == sight.u:
            x = rim.x1 + BAND if edge.far else rim.x0 - BAND
            yield Path(((x, rim.y0), (x, rim.y1)), Line.CUT)
        else:
            y = rim.y1 + BAND if edge.far == (sight.up > 0) else rim.y0 - BAND
            yield Path(((rim.x0, y), (rim.x1, y)), Line.CUT)


def _distinct(
    board: Board, axis: int, wanted: Iterable[float], edition: Edition
) -> tuple[Drawn, ...]:
    """Stations whose printed words differ; what prints alike is one place at the saw."""
    by_words: dict[str, Drawn] = {}
    for mm in sorted(wanted, reverse=True):  # the size of the board is never left out
        words = printed(board, axis, mm, edition)
        by_words.setdefault(words, Drawn(board.name, axis, mm, words))
    return tuple(by_words.values())


def _labelled(drawn: Drawn) -> str:
    """The words at a station; the datum is named."""
    if drawn.at > 0:
        return drawn.words
    return ("end 1: 0", "edge 1: 0", "face B: 0")[drawn.axis]


def _stations(feature: Feature, board: Board, axis: int) -> Iterator[float]:
    """Where a feature is along a board axis, mm from the datum; nothing at the board's ends."""
    size = (board.length, board.width, board.thickness)[axis]
    for mm in _marks(feature, board, axis):
        if SAME_MM < mm < size - SAME_MM:
            yield mm


def _marks(feature: Feature, board: Board, axis: int) -> Iterator[float]:
    if isinstance(feature, Chamfer):
        return  # its callout says it all
    if isinstance(feature, Trench):
        if axis == feature.run:
            yield from (feature.start, feature.stop)
        elif axis == feature.across:
            yield feature.offset if feature.offset > SAME_MM else feature.offset + feature.width
        return
    if isinstance(feature, PocketHoles):
        if axis != feature.exit.axis:
            yield from feature.stations
        return
    cutters = feature.cutters(board)
    if isinstance(feature, HoleRow) and len(cutters) > FEW:
        cutters = (cutters[0], cutters[-1])
    if isinstance(feature, SlotField):
        cutters = (cutters[0], cutters[-1])
    for cutter in cutters:
        if isinstance(cutter, Drill):
            yield cutter.entry[axis]
        elif isinstance(cutter, Slot) and axis != cutter.along and axis < 2:
            yield cutter.centre[axis]
        elif isinstance(cutter, Box | Slot) and axis < 2:
            box = cutter if isinstance(cutter, Box) else cutter.box
            yield from (box.lo[axis], box.hi[axis])


def _tagged(
    board: Board, features: Iterable[Feature], at: At, sight: Sight, numbers: Mapping[Feature, str]
) -> list[tuple[Point, str]]:
    """A point on paper inside each feature that has a number, away from those of others."""
    points: list[tuple[Point, str]] = []
    for feature in features:
        number = numbers[feature]
        if sum(other == number for _, other in points) == MANY:
            continue
        choices = [at(p[sight.u], p[sight.v]) for p in _inside(feature, board)]

        def apart(point: Point) -> bool:
            return all(abs(point[0] - other[0]) >= APART for other, _ in points)

        points.append((next(filter(apart, choices), choices[0]), number))
    return points


def _inside(feature: Feature, board: Board) -> Iterator[tuple[float, float, float]]:
    """Points inside what a feature takes away, the best first."""
    cutter = feature.cutters(board)[0]
    if isinstance(cutter, Drill):
        yield cutter.entry
        return
    box = cutter if isinstance(cutter, Box) else cutter.box
    for share in SHARES:
        point = list(box.centre)
        long = 0 if box.size[0] >= box.size[1] else 1
        point[long] = box.lo[long] + share * box.size[long]
        yield (point[0], point[1], point[2])


def _grain(board: Board, surface: Surface, items: list[Item], rim: Frame) -> Iterator[Item]:
    """The grain arrow and the name of the surface: inside where there is room, else beside."""
    words = surface.plain + (", show face" if surface is Surface.FACE_A else "")
    room = max(width(words), 14.0)
    tall = 3 * CAPITALS
    spot = _free(items, rim, room + 3.0, tall + 2.0)
    x, y = spot if spot else (rim.x1 + 4.0 + room / 2, (rim.y0 + rim.y1) / 2)
    yield Words((x, y + CAPITALS * 0.8), words)
    if surface.axis == 0 or not board.stock.grained:
        return
    y -= CAPITALS
    half = min(room, 24.0) / 2
    yield Path(((x - half, y), (x + half, y)), Line.THIN)
    for tip in (x - half, x + half):
        back = tip + (2.0 if tip < x else -2.0)
        head = ((tip, y), (back, y + 0.7), (back, y - 0.7))
        yield Path(head, None, closed=True, fill=Fill.SOLID)


def _free(items: list[Item], rim: Frame, wide: float, tall: float) -> Point | None:
    """The middle of a free rectangle inside the outline, nearest to the middle of it."""
    if rim.width < wide or rim.height < tall:
        return None
    busy = lines_of(item for item in items if item.frame.grown(0.01).overlaps(rim))
    words = [item.frame for item in items if isinstance(item, Words)]
    middle = ((rim.x0 + rim.x1) / 2, (rim.y0 + rim.y1) / 2)
    spots = [
        (
            rim.x0 + wide / 2 + i * (rim.width - wide) / 16,
            rim.y0 + tall / 2 + j * (rim.height - tall) / 8,
        )
        for i in range(17)
        for j in range(9)
    ]
    for x, y in sorted(spots, key=lambda p: abs(p[0] - middle[0]) + 2 * abs(p[1] - middle[1])):
        frame = Frame(x - wide / 2, y - tall / 2, x + wide / 2, y + tall / 2)
        if not frame.met_by(busy) and not any(frame.overlaps(w) for w in words):
            return (x, y)
    return None
