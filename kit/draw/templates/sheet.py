"""A region on one sheet of paper, however large, and the windows through which pages show it.

Everything is placed on the whole sheet, and each page shows what lies in its window: so what
two pages have in common coincides, and a word is whole on at least one of them.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from math import ceil, hypot

import numpy as np
from numpy.typing import NDArray

from kit.board import Feature
from kit.draw.drafting import CAPITALS, Figure, Fill, Frame, Line, Path, Words, lines_of, width
from kit.draw.drafting.figure import Item, Point
from kit.draw.svg import Anchor
from kit.draw.templates.clip import inside
from kit.draw.templates.ink import cuts, laid, on_paper
from kit.draw.templates.region import Pair, Region
from kit.geometry import cutter_box
from kit.joinery import Hole, HoleRow, Notch, PocketHoles, SlotField
from kit.units import System, decimal

#: Paper round the outline, for the names of ends and edges, mm.
MARGIN = 5.5
#: How much pages have in common, mm. Common practice, no source.
OVERLAP = {System.METRIC: 10.0, System.INCH: 12.7}
#: Words keep this far from lines and other words, mm.
CLEAR = 0.7
#: How far from a cut its words may stand, and the steps in which their place is sought, mm.
FAR, STEP = 50.0, 1.5
#: Half a tile mark, mm; it stands on its corner, as no hole does.
MARK = 2.5
#: Letters of tile marks: narrow, and none that reaches below the line.
LETTERS = "abcdefhiklnorstuvxz"
#: From the end of what two pages share to the first tile mark, mm.
INSET = 5.0
#: The grain arrow with its word, mm.
ARROW = (20.0, 6.0)


@dataclass(frozen=True)
class Window:
    """The part of a sheet that one page shows; row A is the topmost, column 1 on the left."""

    name: str
    row: int
    column: int
    frame: Frame


@dataclass(frozen=True)
class Sheet:
    """A region at full size, its corner at the origin, and the windows of its pages.

    `joints` are the tile marks: the letter, its place, and the two pages that it joins.
    """

    region: Region
    turned: bool
    figure: Figure
    windows: tuple[Window, ...]
    joints: tuple[tuple[str, Point, tuple[str, str]], ...]

    @property
    def grid(self) -> tuple[int, int]:
        """Columns and rows of windows."""
        return (
            1 + max(w.column for w in self.windows),
            1 + max(w.row for w in self.windows),
        )


def frame_of(region: Region, *, turned: bool) -> Frame:
    """The paper that a region takes, with the names of its sides."""
    at = on_paper(region, turned=turned)
    (x0, y0), (x1, y1) = at((0.0, 0.0)), at(region.size)
    return Frame(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)).grown(MARGIN)


def count(room: Pair, frame: Frame, overlap: float) -> tuple[int, int]:
    """Columns and rows of windows no larger than `room` that cover a frame."""

    def along(need: float, have: float) -> int:
        return 1 if need <= have else ceil((need - overlap) / (have - overlap) - 1e-9)

    return along(frame.width, room[0]), along(frame.height, room[1])


def windows_of(frame: Frame, grid: tuple[int, int], overlap: float) -> tuple[Window, ...]:
    """Equal windows that cover a frame, neighbours with `overlap` in common."""
    columns, rows = grid
    wide = (frame.width + (columns - 1) * overlap) / columns
    high = (frame.height + (rows - 1) * overlap) / rows
    found = []
    for row in range(rows):
        for column in range(columns):
            x = frame.x0 + column * (wide - overlap)
            y = frame.y1 - row * (high - overlap)
            name = f"{chr(ord('A') + row)}{column + 1}"
            found.append(Window(name, row, column, Frame(x, y - high, x + wide, y)))
    return tuple(found)


def sheet(region: Region, system: System, grid: tuple[int, int], *, turned: bool) -> Sheet:
    """Draw a region for a grid of windows."""
    at = on_paper(region, turned=turned)
    frame = frame_of(region, turned=turned)
    windows = windows_of(frame, grid, OVERLAP[system])
    ink = _Ink(tuple(w.frame for w in windows))
    ink.add(laid(item, at) for item in cuts(region))
    joints = tuple(_joints(ink, windows))
    for window in windows:
        _names(ink, region, at, window.frame)
    for feature in region.features:
        _label(ink, region, feature, at, system)
    level = region.lengthwise != turned
    if region.board.stock.grained:
        for window in windows:
            _grain(ink, window.frame, level)
    return Sheet(region, turned, Figure(tuple(ink.items)), windows, joints)


@dataclass
class _Ink:
    """What is on the sheet so far; used up inside `sheet`."""

    windows: tuple[Frame, ...]
    items: list[Item] = field(default_factory=list)
    lines: NDArray[np.float64] = field(default_factory=lambda: np.empty((0, 4)))
    words: list[Frame] = field(default_factory=list)

    def add(self, items: Iterable[Item]) -> None:
        added = tuple(items)
        self.items += added
        self.lines = np.concatenate((self.lines, lines_of(added)))
        self.words += [item.frame for item in added if isinstance(item, Words)]

    def free(self, frame: Frame, windows: Iterable[Frame] | None = None) -> bool:
        """Whether a frame lies wholly on a page and touches nothing."""
        near = frame.grown(CLEAR)
        shown = self.windows if windows is None else windows
        return (
            any(inside(near, window) for window in shown)
            and not any(near.overlaps(other) for other in self.words)
            and not near.met_by(self.lines)
        )


def _label(
    ink: _Ink,
    region: Region,
    feature: Feature,
    at: Callable[[Point], Point],
    system: System,
) -> None:
    """What a cut is and its size, beside it; with a leader where it has to stand apart."""
    lo, hi = shown(region, feature)
    a, b = at(lo), at(hi)
    cut = Frame(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
    middle = ((cut.x0 + cut.x1) / 2, (cut.y0 + cut.y1) / 2)
    words = size_words(feature, system)
    place = _spot(ink, width(words), CAPITALS, cut.grown(FAR), middle)
    if place is None:
        return  # the list beside the template says it
    label = Words(place, words)
    f = label.frame
    target = (min(max(place[0], cut.x0), cut.x1), min(max(place[1], cut.y0), cut.y1))
    start = (min(max(target[0], f.x0), f.x1), min(max(target[1], f.y0), f.y1))
    ink.add([label])
    if hypot(start[0] - target[0], start[1] - target[1]) < 4.0:
        return
    start = min(
        ((f.x0 - CLEAR, place[1]), (f.x1 + CLEAR, place[1])),
        key=lambda p: hypot(p[0] - middle[0], p[1] - middle[1]),
    )
    if not any(frame.holds(start, middle) for frame in ink.words):
        ink.add([Path((start, middle), Line.THIN)])


def _spot(ink: _Ink, wide: float, high: float, area: Frame, middle: Point) -> Point | None:
    """The middle of a free rectangle in an area, the nearest to `middle`."""
    hull = Frame.round(ink.windows)
    x0, x1 = max(area.x0, hull.x0) + wide / 2, min(area.x1, hull.x1) - wide / 2
    y0, y1 = max(area.y0, hull.y0) + high / 2, min(area.y1, hull.y1) - high / 2
    places = (
        (x0 + i * STEP, y0 + j * STEP)
        for i in range(max(int((x1 - x0) / STEP) + 1, 0))
        for j in range(max(int((y1 - y0) / STEP) + 1, 0))
    )
    for x, y in sorted(places, key=lambda p: hypot(p[0] - middle[0], p[1] - middle[1])):
        # words reach a little below their capitals
        frame = Frame(x - wide / 2, y - high / 2 - 0.9, x + wide / 2, y + high / 2)
        if ink.free(frame):
            return (x, y)
    return None


def shown(region: Region, feature: Feature) -> tuple[Pair, Pair]:
    """Lowest and highest (p, q) of the first cut of a feature as far as the region shows it."""
    boxes = [region.local_box(cutter_box(c)) for c in feature.cutters(region.board)]
    near = [b for b in boxes if b[0][0] < region.size[0] and b[0][1] < region.size[1]]
    lo, hi = min(near, key=lambda b: (round(b[0][0] + b[0][1], 3), b))
    p, q = (max(x, 0.0) for x in lo)
    r, s = (min(x, most) for x, most in zip(hi, region.size, strict=True))
    return (p, q), (r, s)


def size_words(feature: Feature, system: System) -> str:
    """The few words that stand beside a cut."""
    match feature:
        case Hole() | HoleRow():
            return f"\N{DIAMETER SIGN}{decimal(feature.diameter, system)}"
        case SlotField():
            return f"slot {decimal(feature.slot_width, system)}"
        case PocketHoles():
            return "pocket"
        case Notch():
            return "notch"
    return ""


def _names(ink: _Ink, region: Region, at: Callable[[Point], Point], window: Frame) -> None:
    """The names of the sides of the board that a page shows, each with an arrow to it."""
    p, q = region.size
    end, edge = region.corner
    sides = [((0.0, 0.0), (0.0, q), end.plain), ((0.0, 0.0), (p, 0.0), edge.plain)]
    if region.whole[0]:
        sides.append(((p, 0.0), (p, q), _other(end.plain)))
    if region.whole[1]:
        sides.append(((0.0, q), (p, q), _other(edge.plain)))
    centre = at((p / 2, q / 2))
    for one, two, words in sides:
        a, b = at(one), at(two)
        _name(ink, a, b, centre, words, window)


def _other(words: str) -> str:
    return words[:-1] + ("2" if words[-1] == "1" else "1")


def _name(ink: _Ink, a: Point, b: Point, centre: Point, words: str, window: Frame) -> None:
    """The name of the side from a to b, outside, with an arrow to it."""
    upright = abs(a[0] - b[0]) < abs(a[1] - b[1])
    i = 1 if upright else 0
    level = a[1 - i]
    out = -1.0 if level < centre[1 - i] else 1.0
    low, high = (window.y0, window.y1) if upright else (window.x0, window.x1)
    near, beyond = (window.x0, window.x1) if upright else (window.y0, window.y1)
    if not near <= level + out * (MARGIN - 1) <= beyond:
        return
    start, stop = max(min(a[i], b[i]), low), min(max(a[i], b[i]), high)
    half = width(words) / 2
    room = (stop - start) / 2
    if room < half + 1.0:
        return

    def point(along: float, away: float) -> Point:
        across = level + out * away
        return (across, along) if upright else (along, across)

    away = 1.7 + CAPITALS / 2
    tries = [(start + stop) / 2 + k * s * STEP for k in range(int(room / STEP)) for s in (1, -1)]
    for middle in tries:
        label = Words(point(middle, away), words, turned=upright)
        if ink.free(label.frame.grown(-0.3), [window]):
            ink.add([label])
            break
    else:
        return
    tip = middle + half + 2.4
    if tip + 1.0 < stop:
        head = (point(tip, 0.5), point(tip - 0.9, 3.4), point(tip + 0.9, 3.4))
        ink.add([Path(head, None, closed=True, fill=Fill.SOLID)])


def _grain(ink: _Ink, window: Frame, level: bool) -> None:
    """Put a grain arrow on a page where there is room; the words say it anyway."""
    wide, high = ARROW if level else (ARROW[1] + 8.0, ARROW[0])
    own = _Ink((window,), ink.items, ink.lines, ink.words)
    middle = ((window.x0 + window.x1) / 2, (window.y0 + window.y1) / 2)
    spot = _spot(own, wide, high, window, middle)
    if spot is not None:
        own.add(_arrow(spot, level))


def _arrow(spot: Point, level: bool) -> tuple[Item, ...]:
    """A grain arrow with its word, its middle at `spot`."""
    x, y = spot
    if level:
        line, at = ((x - 9.0, y - 1.8), (x + 9.0, y - 1.8)), (x, y + 1.2)
    else:
        line, at = ((x - 6.0, y - 9.0), (x - 6.0, y + 9.0)), (x + 1.5, y)
    items: list[Item] = [Path(line, Line.THIN), Words(at, "grain")]
    (ax, ay), (bx, by) = line
    dx, dy = (1.0, 0.0) if level else (0.0, 1.0)
    for (px, py), s in (((ax, ay), 1.0), ((bx, by), -1.0)):
        back = (px + s * 2.4 * dx, py + s * 2.4 * dy)
        tips = ((px, py), (back[0] + 0.7 * dy, back[1] + 0.7 * dx))
        head = (*tips, (back[0] - 0.7 * dy, back[1] - 0.7 * dx))
        items.append(Path(head, None, closed=True, fill=Fill.SOLID))
    return tuple(items)


def _joints(ink: _Ink, windows: Sequence[Window]) -> Iterator[tuple[str, Point, tuple[str, str]]]:
    """Tile marks: two to each pair of neighbours, in what the two have in common."""
    letters = iter(LETTERS)
    for one in windows:
        for two in windows:
            beside = two.row == one.row and two.column == one.column + 1
            below = two.column == one.column and two.row == one.row + 1
            if not (beside or below):
                continue
            a, b = one.frame, two.frame
            band = Frame(max(a.x0, b.x0), max(a.y0, b.y0), min(a.x1, b.x1), min(a.y1, b.y1))
            for far in (False, True):
                place = _mark_place(ink, band, far=far)
                if place is not None:
                    letter = next(letters)
                    ink.add(_mark(*place, letter))
                    yield letter, place[0], (one.name, two.name)


def _mark_place(ink: _Ink, band: Frame, *, far: bool) -> tuple[Point, Point] | None:
    """The first place from one end of a band for a mark, and the quarter for its letter.

    The letter is clear of everything; the mark too where there is such a place.
    """
    i = 0 if band.width > band.height else 1
    start, stop = ((band.x0, band.x1), (band.y0, band.y1))[i]
    middle = (band.y0 + band.y1, band.x0 + band.x1)[i] / 2
    steps = max(int((stop - start - 2 * INSET) / 1.0), 0)
    along = [stop - INSET - k if far else start + INSET + k for k in range(steps + 1)]
    second = None
    for t in along:
        for s in (0.0, -1.0, 1.0):
            place = (t, middle + s) if i == 0 else (middle + s, t)
            for quarter in ((1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)):
                # any letter is as wide as this
                if not ink.free(_mark(place, quarter, "n")[-1].frame, [band]):
                    continue
                x, y = place
                if ink.free(Frame(x - MARK, y - MARK, x + MARK, y + MARK), [band]):
                    return place, quarter
                second = second or (place, quarter)
    return second


def _mark(place: Point, quarter: Point, letter: str) -> tuple[Item, ...]:
    (x, y), (sx, sy) = place, quarter
    corners = ((x - MARK, y), (x, y - MARK), (x + MARK, y), (x, y + MARK))
    arms = [Path((corners[k], corners[k + 2]), Line.THIN) for k in (0, 1)]
    anchor = Anchor.START if sx > 0 else Anchor.END
    return (
        Path(corners, Line.THIN, closed=True),
        *arms,
        Words((x + sx * 1.6, y + sy * MARK), letter, anchor=anchor),
    )
