"""Pages of a template: what lies in a window, the check rules round it, and the words.

Each page has two check rules, in millimetres and in inches, each with a leg level and a leg
upright: a printer that fits a page to its paper may shrink one way and not the other.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from kit.draw.drafting import NOTE, Figure, Fill, Frame, Line, Path, Words
from kit.draw.drafting.figure import Item, Point
from kit.draw.templates.clip import clipped
from kit.draw.templates.region import Pair, Region
from kit.draw.templates.sheet import (
    OVERLAP,
    Sheet,
    Window,
    count,
    frame_of,
    sheet,
)
from kit.draw.templates.words import TILE, Use, block
from kit.units import System

#: More pages than this are not glued together: the part drawing serves.
MOST = 6
#: The SVG's own margin; the strip of the check rules; between what stands on a page, mm.
EDGE, STRIP, GAP = 1.0, 12.6, 4.0
#: The second rule stands inside the first, mm.
INNER = 6.2
#: Legs of the rules, mm: of each system the long ones, and those for a small page.
LEGS = {System.METRIC: (100.0, 50.0), System.INCH: (101.6, 50.8)}
LEG_WORDS = {100.0: "100 mm", 50.0: "50 mm", 101.6: "4 in", 50.8: "2 in"}
TICK = {System.METRIC: 10.0, System.INCH: 12.7}
#: Columns of words that may stand beside a window; the room of the key of tiles, mm.
COLUMNS, KEY = (64.0, 46.0), (30.0, 20.0)


@dataclass(frozen=True)
class Tile:
    """One page of a template: its name, what it shows of the sheet, and its figure.

    `origin` is where the origin of the sheet comes in the figure.
    """

    name: str
    window: Frame
    origin: Point
    figure: Figure


@dataclass(frozen=True)
class Layout:
    """How a region goes on pages: turned or not, its grid, and where the words stand."""

    turned: bool
    column: float | None
    """Width of the words beside the window, mm; None where they stand below it."""
    grid: tuple[int, int]
    legs: int
    """Which of the lengths of `LEGS`."""

    @property
    def pages(self) -> int:
        """How many pages it takes."""
        return self.grid[0] * self.grid[1]


def layout(region: Region, uses: Sequence[Use], system: System, room: Pair) -> Layout | None:
    """The way to lay out a region on the fewest pages; None where more than `MOST` are needed."""
    found = [
        one
        for turned in (False, True)
        for column in (*COLUMNS, None)
        for single in (True, False)
        if (one := _layout(region, uses, system, room, turned, column, single)) is not None
    ]
    return min(found, key=lambda one: (one.pages, one.legs, one.turned), default=None)


def _layout(
    region: Region,
    uses: Sequence[Use],
    system: System,
    room: Pair,
    turned: bool,
    column: float | None,
    single: bool,
) -> Layout | None:
    wide, high = room[0] - 2 * EDGE - STRIP, room[1] - 2 * EDGE - STRIP
    level = region.lengthwise != turned
    words = block(region, uses, system, _words_wide(room, column, single), not single, level)
    below = max(words.frame.height, 0.0 if single else KEY[1])
    if column is not None:
        below += 0.0 if single else GAP + KEY[1]
        if below > room[1] - 2 * EDGE:
            return None
        wide -= column + GAP
    else:
        high -= below + GAP
    legs = next(
        (i for i in (0, 1) if min(wide, high) + STRIP >= INNER + LEGS[System.INCH][i] + 0.5), None
    )
    if legs is None:
        return None
    frame = frame_of(region, turned=turned)
    grid = count((wide, high), frame, OVERLAP[system])
    one = Layout(turned, column, grid, legs)
    return one if one.pages <= MOST and (one.pages == 1) is single else None


def _words_wide(room: Pair, column: float | None, single: bool) -> float:
    if column is not None:
        return column
    return room[0] - 2 * EDGE - (0.0 if single else KEY[0] + GAP)


def tiles(
    region: Region, uses: Sequence[Use], system: System, room: Pair, way: Layout
) -> tuple[Sheet, tuple[Tile, ...]]:
    """The sheet of a region, and its pages."""
    drawn = sheet(region, system, way.grid, turned=way.turned)
    return drawn, tuple(_pages(drawn, uses, system, room, way))


def _pages(
    drawn: Sheet, uses: Sequence[Use], system: System, room: Pair, way: Layout
) -> Iterator[Tile]:
    region = drawn.region
    single = way.pages == 1
    level = region.lengthwise != way.turned
    said = block(region, uses, system, _words_wide(room, way.column, single), not single, level)
    for window in drawn.windows:
        frame = window.frame
        shift = (STRIP - frame.x0, STRIP - frame.y0)
        view = Figure((*clipped(drawn.figure.items, frame), *_border(frame, drawn)))
        items: list[Item] = [*check_rules(system, way.legs), *view.moved(*shift).items]
        words = said if single else _named(said, window, way.pages)
        beside = max(STRIP + frame.width, INNER + LEGS[System.INCH][way.legs]) + GAP
        top = max(STRIP + frame.height, INNER + LEGS[System.INCH][way.legs])
        b = words.frame
        if way.column is not None:
            # written from the top, which is that of the taller of the two
            top = max(top, b.height + (0.0 if single else GAP + KEY[1]))
            items += words.moved(beside - b.x0, top - b.y1).items
            key_at = (beside, top - b.height - GAP)
        else:
            items += words.moved(-b.x0, -GAP - b.y1).items
            key_at = (room[0] - 2 * EDGE - KEY[0], -GAP)
        if not single:
            items += _key(drawn, window, key_at)
        yield Tile(window.name, frame, shift, Figure(tuple(items)))


def check_rules(system: System, legs: int) -> tuple[Item, ...]:
    """Two rules, that of the pack outside, each a level and an upright leg from one corner."""
    other = next(s for s in System if s is not system)
    items: list[Item] = []
    for at, one in ((0.0, system), (INNER, other)):
        leg = LEGS[one][legs]
        items.append(Path(((at, at + leg), (at, at), (at + leg, at)), Line.THIN))
        steps = round(leg / TICK[one])
        for i in range(1, steps + 1):
            tick = 2.2 if i == steps else 1.2
            along = at + i * TICK[one]
            items.append(Path(((along, at), (along, at + tick)), Line.THIN))
            items.append(Path(((at, along), (at + tick, along)), Line.THIN))
        middle = at + leg / 2 + TICK[one] / 4
        for turned in (False, True):
            place = (middle, at + 3.7) if not turned else (at + 3.7, middle)
            items.append(Words(place, LEG_WORDS[leg], 2.0, turned=turned))
    return tuple(items)


def _border(frame: Frame, drawn: Sheet) -> Iterator[Path]:
    """Broken lines where the next page goes on."""
    whole = Frame.round(w.frame for w in drawn.windows)
    f = frame
    for a, b, inner in (
        ((f.x0, f.y0), (f.x0, f.y1), f.x0 > whole.x0 + 1e-6),
        ((f.x1, f.y0), (f.x1, f.y1), f.x1 < whole.x1 - 1e-6),
        ((f.x0, f.y0), (f.x1, f.y0), f.y0 > whole.y0 + 1e-6),
        ((f.x0, f.y1), (f.x1, f.y1), f.y1 < whole.y1 - 1e-6),
    ):
        if inner:
            yield Path((a, b), Line.HIDDEN)


def _key(drawn: Sheet, here: Window, at: Point) -> Iterator[Item]:
    """How the pages lie, the one at hand pale; its upper left corner at a point."""
    columns, rows = drawn.grid
    wide, high = min(10.0, KEY[0] / columns), min(6.0, KEY[1] / rows)
    for window in drawn.windows:
        x0, y1 = at[0] + window.column * wide, at[1] - window.row * high
        cell = ((x0, y1 - high), (x0 + wide, y1 - high), (x0 + wide, y1), (x0, y1))
        fill = Fill.PALE if window is here else Fill.PAPER
        yield Path(cell, Line.THIN, closed=True, fill=fill)
    for window in drawn.windows:
        x, y = at[0] + (window.column + 0.5) * wide, at[1] - (window.row + 0.5) * high
        yield Words((x, y), window.name, NOTE)


def _named(block: Figure, window: Window, pages: int) -> Figure:
    name = f"Page {window.name} of {pages}"
    return Figure(
        tuple(
            replace(item, words=name) if isinstance(item, Words) and item.words == TILE else item
            for item in block.items
        )
    )
