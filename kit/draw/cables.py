"""The ways of the cables on the back elevation: the console as seen from behind, to scale.

Left and right are exchanged, as the maker sees it standing behind. Back panels are drawn as
glass. Mains, low voltage and signal differ by weight and dash, so that the picture is legible
in grey; the numbers are those of the cable schedule.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from kit.cabling import Service
from kit.casework import Casework
from kit.checks.power import CAUTION
from kit.components.cables import SCREEN
from kit.draw.svg import INK, Anchor, Canvas, text_width
from kit.geometry import Box, Vec
from kit.making.cable_schedule import CableSchedule, bought, cable_schedule
from kit.routes import Opening, OpeningKind, Route, Zones, zones_of
from kit.routes.network import Spot
from kit.units import System, decimal

WIDTH, MARGIN, HEAD = 1120.0, 56.0, 62.0
PLAIN, SMALL = 12.0, 10.0
WOOD, GLASS, PAPER = "#d9d4cb", "#f6f4f1", "#ffffff"
#: Width and dashes of the lines by what they carry.
LINES = {
    Service.SIGNAL: (1.4, ""),
    Service.LOW_VOLTAGE: (1.4, "2 3"),
    Service.MAINS: (2.2, "10 4"),
}
#: Cables side by side are so far apart at most, px.
LANE = 7.0
#: Level runs longer than this keep apart by so much, all of them within so much, px.
LONG_RUN, RUNS_APART, SPREAD = 160.0, 5.0, 64.0
#: Radius of a number's ring, and least distance of two, px.
RING, RINGS_APART = 8.0, 18.0
#: What is seen of the screen above its sockets, mm.
ABOVE_SOCKETS = 40.0

type Point = tuple[float, float]
#: Left, top, right, bottom, px.
type Area = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class _View:
    """From mm in the room to px, seen from behind."""

    right_mm: float
    top_mm: float
    per_mm: float

    def at(self, point: Vec) -> Point:
        return (
            MARGIN + (self.right_mm - point[0]) * self.per_mm,
            HEAD + (self.top_mm - point[2]) * self.per_mm,
        )

    def rect(self, box: Box) -> tuple[float, float, float, float]:
        left, top = self.at((box.hi[0], 0.0, box.hi[2]))
        return (left, top, box.size[0] * self.per_mm, box.size[2] * self.per_mm)


class _Labels:
    """Texts on a white ground that keep off each other; written last, over the lines."""

    def __init__(self) -> None:
        self._taken: list[Area] = []
        self._texts: list[tuple[float, float, str, float, float]] = []

    def keep_off(self, x: float, y: float, w: float, h: float) -> None:
        """Write nothing over the rectangle with its middle here."""
        self._taken.append((x - w / 2, y - h / 2, x + w / 2, y + h / 2))

    def put(self, words: str, size: float, places: Sequence[Point]) -> None:
        """Write at the first of `places` that is free, or else where least is covered."""
        w, h = 0.9 * text_width(words, size), 1.3 * size

        def covered(at: Point) -> float:
            x, y = at
            mine = (x - w / 2, y - h / 2, x + w / 2, y + h / 2)
            return sum(_overlap(mine, other) for other in self._taken)

        x, y = min(places, key=covered)
        self.keep_off(x, y, w, h)
        self._texts.append((x, y, words, size, w))

    def cover(self, at: Point, reach: float) -> bool:
        """Whether a text lies within `reach` of a point."""
        x, y = at
        mine = (x - reach, y - reach, x + reach, y + reach)
        texts = (
            (x - w / 2, y - size / 2, x + w / 2, y + size / 2) for x, y, _, size, w in self._texts
        )
        return any(_overlap(mine, text) > 0 for text in texts)

    def write(self, canvas: Canvas) -> None:
        """Draw them all."""
        for x, y, words, size, w in self._texts:
            canvas.rect(x - w / 2, y - 0.62 * size, w, 1.24 * size, fill=PAPER, line=0)
            canvas.text(x, y, words, size=size)


def _overlap(a: Area, b: Area) -> float:
    w, h = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return max(w, 0.0) * max(h, 0.0)


def cables_svg(casework: Casework, *, units: System | None = None) -> str:
    """The cables of a design as SVG; the same design gives the same text."""
    system = units or casework.design.shop.units
    schedule, zones = cable_schedule(casework), zones_of(casework)
    spots = [spot for route in schedule.routes for spot in route.path]
    outlets = casework.design.room.outlets
    xs = [zones.case.lo[0], zones.case.hi[0], *(s.at[0] for s in spots)]
    xs += [x for o in outlets for x in (o.across - 60.0, o.across + 60.0)]
    tops = [zones.case.hi[2], *(p.body.hi[2] for p in casework.gear)]
    tops += [s.at[2] + ABOVE_SOCKETS for s in spots if s.opening is None]
    tops += [zones.floor + o.up + 60.0 for o in outlets]
    view = _View(max(xs), max(tops), (WIDTH - 2 * MARGIN) / (max(xs) - min(xs)))
    bottom = view.at((0.0, 0.0, zones.floor))[1]
    rows = -(-len(schedule.routes) // 2)
    canvas = Canvas.of(WIDTH, bottom + 120.0 + 17.0 * rows, f"{casework.design.name}. Cables")
    canvas.text(
        MARGIN, 22.0, f"{casework.design.name}: cables", size=17, anchor=Anchor.START, bold=True
    )
    canvas.text(
        MARGIN,
        42.0,
        "Seen from BEHIND: what is at the left here is at the right from the front. "
        "Back panels are drawn as glass.",
        size=PLAIN,
        anchor=Anchor.START,
    )
    _boards(canvas, casework, view)
    labels = _Labels()
    for opening in zones.openings:
        if opening.narrow:
            half = (opening.bored or max(opening.size)) * view.per_mm
            labels.keep_off(*view.at(opening.centre), half, half)
    lines = _lines(schedule.routes, view, casework.frame.clear.lo)
    for x, y in (end for line in lines if line for end in (line[0], line[-1])):
        labels.keep_off(x, y, 7, 7)
    _devices(canvas, labels, casework, view)
    drawn = {spot for spot in spots if spot.name == SCREEN and spot.opening is None}
    for spot in drawn:
        _screen(canvas, labels, casework, zones, view, spot)
    _holes(canvas, labels, zones, view, system)
    _room(canvas, labels, casework, zones, view)
    for route, line in zip(schedule.routes, lines, strict=True):
        weight, dash = LINES[route.kind.service]
        for (x1, y1), (x2, y2) in pairwise(line):
            canvas.line(x1, y1, x2, y2, width=weight, dash=dash)
        for x, y in (line[0], line[-1]) if line else ():
            canvas.circle(x, y, 2.6, fill=INK, line=0)
    labels.write(canvas)
    _numbers(canvas, labels, schedule.routes, lines)
    _key(canvas, schedule, bottom + 34.0)
    return canvas.markup()


def _boards(canvas: Canvas, casework: Casework, view: _View) -> None:
    panels = casework.makers.panels
    boards = [board for board in casework.boards if board.name not in casework.door_names]
    for board in sorted(boards, key=lambda b: b.name not in panels):
        glass = board.name in panels
        canvas.rect(*view.rect(board.box), fill=GLASS if glass else WOOD, line=0.6)


def _room(canvas: Canvas, labels: _Labels, casework: Casework, zones: Zones, view: _View) -> None:
    """Floor, baseboard and outlets."""
    room = casework.design.room
    floor = view.at((0.0, 0.0, zones.floor))[1]
    canvas.line(8, floor, WIDTH - 8, floor, width=2)
    if room.baseboard_height:
        top = view.at((0.0, 0.0, zones.floor + room.baseboard_height))[1]
        for x1, x2 in ((8.0, MARGIN - 6), (WIDTH - MARGIN + 6, WIDTH - 8.0)):
            canvas.line(x1, top, x2, top)
        canvas.text(8, top - 8, "baseboard", size=8, anchor=Anchor.START)
    for number, outlet in enumerate(room.outlets, start=1):
        x, y = view.at((outlet.across, 0.0, zones.floor + outlet.up))
        canvas.rect(x - 12, y - 12, 24, 24, fill=PAPER, line=1.6)
        for side in (-4, 4):
            canvas.line(x + side, y - 4, x + side, y + 4, width=1.6)
        labels.keep_off(x, y, 28, 28)
        labels.put(f"outlet {number}", SMALL, [(x, y - 20), (x, y + 20), (x + 44, y), (x - 44, y)])


def _devices(canvas: Canvas, labels: _Labels, casework: Casework, view: _View) -> None:
    for placed in casework.gear:
        x, y, w, h = view.rect(placed.body)
        canvas.rect(x, y, w, h, fill=PAPER, line=1.2)
        name = placed.item.name
        inside = text_width(name, SMALL) <= w and h >= 2.5 * SMALL
        middle = x + w / 2
        off = text_width(name, SMALL) / 2
        corners = [(at, y + SMALL) for at in (middle, x + off, x + w - off)]
        around = [(middle, y - 7), (middle, y + h + 8), (x, y - 7), (x + w, y - 7)]
        labels.put(name, SMALL, [*corners, *around] if inside else around)


def _screen(
    canvas: Canvas, labels: _Labels, casework: Casework, zones: Zones, view: _View, spot: Spot
) -> None:
    """The lower half of the screen, broken off above its sockets."""
    screen = casework.design.screen
    assert screen is not None
    half = screen.width / 2
    low = zones.case.hi[2] + screen.lower
    x, y = spot.at[0], spot.at[2]
    corners = [(x + half, y), (x + half, low), (x - half, low), (x - half, y)]
    points = [view.at((cx, 0.0, cz)) for cx, cz in corners]
    for (x1, y1), (x2, y2) in pairwise(points):
        canvas.line(x1, y1, x2, y2, width=1.2)
    canvas.line(*points[0], *points[-1], width=0.6, dash="1 3")
    at = view.at(spot.at)
    labels.put("screen (lower half)", SMALL, [(at[0], at[1] - 9)])


def _holes(canvas: Canvas, labels: _Labels, zones: Zones, view: _View, system: System) -> None:
    """Holes round where seen square on, else as a gap in the board; each with its bore."""
    boards = zones.casework.by_name
    for opening in zones.openings:
        if not opening.narrow:
            continue
        x, y = view.at(opening.centre)
        half = (opening.bored or max(opening.size)) / 2 * view.per_mm
        axis = boards[opening.board].place.out.axis
        thick = boards[opening.board].thickness * view.per_mm
        if axis == 1 and opening.kind is OpeningKind.HOLE:
            canvas.circle(x, y, half, fill=PAPER, line=1.4)
        else:
            w, h = ((thick, 2 * half), (2 * half, 2 * half), (2 * half, thick))[axis]
            canvas.rect(x - w / 2, y - h / 2, w, h, fill=PAPER, line=1.4)
        below = half if axis != 2 else thick / 2
        beside = half + 32 if axis == 1 else thick + 32
        places = [(x, y - below - 8), (x, y + below + 8), (x - beside, y), (x + beside, y)]
        labels.put(_size(opening, system), 8.5, places)


def _size(opening: Opening, system: System) -> str:
    if opening.bored is not None:
        return f"\N{DIAMETER SIGN} {decimal(opening.bored, system)}"
    return " x ".join(decimal(size, system) for size in opening.size)


def _lines(laid: Sequence[Route], view: _View, floor: Vec) -> list[list[Point]]:
    """Each way as a line of level and upright runs; cables of one place lie side by side.

    What runs above `floor`, the bottom of the case, stays above it.
    """
    there: dict[tuple[str, Point], list[int]] = {}
    for route in laid:
        for spot in route.path:
            there.setdefault(_place(spot), []).append(route.number)
    lines = []
    for route in laid:
        points: list[Point] = []
        for spot in route.path:
            if spot.opening and spot.opening.kind in (OpeningKind.OPEN_BACK, OpeningKind.EDGE):
                continue
            mates = there[_place(spot)]
            room = LANE * len(mates)
            if spot.opening and spot.opening.narrow:
                room = 0.7 * (spot.opening.bored or min(spot.opening.size)) * view.per_mm
            lane = min(LANE, room / len(mates)) * (mates.index(route.number) - (len(mates) - 1) / 2)
            x, y = view.at(spot.at)
            points.append((x + lane, y + lane))
        lowest = view.at(floor)[1] - LANE / 2
        spread = (route.number - (len(laid) + 1) / 2) * min(RUNS_APART, SPREAD / len(laid))
        line = points[:1]
        for x, y in points[1:]:
            before = line[-1]
            if abs(before[0] - x) > LONG_RUN:  # a long run has a height of its own
                level = min(y + spread, lowest) if y <= lowest else y + spread
                line += [(before[0], level), (x, level)]
            elif abs(before[0] - x) > 0.5 and abs(before[1] - y) > 0.5:
                line.append((before[0], y))
            line.append((x, y))
        lines.append(line)
    return lines


def _place(spot: Spot) -> tuple[str, Point]:
    return (spot.name, (round(spot.at[0], 3), round(spot.at[2], 3)))


def _numbers(
    canvas: Canvas, labels: _Labels, laid: Sequence[Route], lines: Sequence[Sequence[Point]]
) -> None:
    """A ring with the number on each line, where it is farthest from the others."""
    rings: list[Point] = []
    for route, line in zip(laid, lines, strict=True):
        every = list(_along(line))
        if not every:
            continue
        places = [at for at in every if not labels.cover(at, RING)] or every

        def free(at: Point) -> float:
            return min((hypot(at[0] - x, at[1] - y) for x, y in rings), default=RINGS_APART)

        at = next((p for p in places if free(p) >= RINGS_APART), max(places, key=free))
        rings.append(at)
        canvas.circle(*at, RING, fill=PAPER, line=1.0)
        canvas.text(*at, str(route.number), size=9.5, bold=True)


def _along(line: Sequence[Point]) -> Iterator[Point]:
    """Places on a line: the middle of its longest run first, then the rest of it."""
    runs = sorted(
        pairwise(line), key=lambda run: -hypot(run[1][0] - run[0][0], run[1][1] - run[0][1])
    )
    for share in (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9):
        for (x1, y1), (x2, y2) in runs:
            yield (x1 + share * (x2 - x1), y1 + share * (y2 - y1))


def _key(canvas: Canvas, schedule: CableSchedule, top: float) -> None:
    """The kinds of line, the list of cables, and the caution."""
    x = MARGIN
    for service, (weight, dash) in LINES.items():
        canvas.line(x, top, x + 46, top, width=weight, dash=dash)
        canvas.text(x + 54, top, service.value, size=PLAIN, anchor=Anchor.START)
        x += 190
    rows = -(-len(schedule.routes) // 2)
    for place, route in enumerate(schedule.routes):
        column, row = divmod(place, rows)
        canvas.text(
            MARGIN + column * (WIDTH / 2 - MARGIN),
            top + 26 + 17 * row,
            f"{route.number}  {route.run.start} to {route.run.end}: {route.kind.label}, "
            + (bought(route) if route.path else "NO WAY"),
            size=SMALL,
            anchor=Anchor.START,
        )
    first, *rest = CAUTION.split("; ")
    for line, words in enumerate((first + ";", "; ".join(rest))):
        canvas.text(
            MARGIN, top + 34 + 17 * rows + 15 * line, words, size=SMALL, anchor=Anchor.START
        )
