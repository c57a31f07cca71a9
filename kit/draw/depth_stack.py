"""The depth stacks as one picture: a strip for each device, from the doors to the wall.

Drawn to one scale, the front of the case at the left. What the device and its cable take is
white, what is wood or stands out of the wall is hatched, what is free is dashed; each row
bears a number, and the lines under the strip name the rows with their sizes. Where a device
takes more than there is, what lies behind it is drawn in a lane of its own below, and a heavy
bar shows what is missing. Legible without colour.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from kit.casework import Casework
from kit.checks.depth_stack import DepthStack, Layer, Row, depth_stacks
from kit.draw.svg import INK, Anchor, Canvas, text_width
from kit.units import System, decimal, text

WIDTH, MARGIN = 1120.0, 34.0
#: Heights: the title, a strip's own title, the room for numbers, the strip, a line of names.
HEAD, TITLE, NUMBERS, STRIP, LINE, APART = 64.0, 26.0, 24.0, 44.0, 19.0, 26.0
#: Sizes of text, px, and the columns of names under a strip.
PLAIN, SMALL, COLUMNS = 13.0, 11.0, 3
#: Bold capitals are wider than letters of the plain text by this.
BOLD = 1.25
#: Radius of the disc with the number of a row, px.
DISC = 8.0
#: Room for the bar that shows what is missing, px.
MISSING = 12.0
#: Height of one of several pages, px: with `WIDTH` the shape of an A4 that lies on its side.
PAGE = 660.0
#: Below this a row is none, mm.
NOTHING = 0.05

HATCHED = (Layer.DOORS, Layer.BACK, Layer.BASEBOARD, Layer.WALL_PLUG)
EMPTY = (Layer.FRONT, Layer.FREE, Layer.GAP, Layer.OPEN)


@dataclass(frozen=True, slots=True)
class _Segment:
    """One row of a strip: its number, and from where to where it goes, mm from the front.

    `below` says that it is drawn in the lane below the device.
    """

    number: int
    row: Row
    begin: float
    end: float
    below: bool


type _Strip = tuple[DepthStack, tuple[_Segment, ...]]


def depth_stack_svg(casework: Casework, *, units: System | None = None) -> str:
    """The stacks of all devices as SVG; the same design gives the same text."""
    return _drawing(casework, _strips(casework), units)


def depth_stack_pages(
    casework: Casework, *, units: System | None = None, height: float = PAGE
) -> tuple[str, ...]:
    """The same on as many SVGs as it takes, each at most `height` px high but for a single strip
    that is higher.
    """
    pages: list[list[_Strip]] = []
    left = 0.0
    for strip in _strips(casework):
        high = _height(strip[1])
        if not pages or high > left:
            pages.append([])
            left = height - HEAD - MARGIN
        pages[-1].append(strip)
        left -= high
    return tuple(_drawing(casework, page, units) for page in pages)


def _strips(casework: Casework) -> list[_Strip]:
    return [(stack, _segments(stack)) for stack in depth_stacks(casework)]


def _drawing(casework: Casework, strips: Sequence[_Strip], units: System | None) -> str:
    system = units or casework.design.shop.units
    longest = max((s.end for _, segments in _strips(casework) for s in segments), default=1.0)
    per_mm = (WIDTH - 2 * MARGIN) / longest
    heights = [_height(segments) for _, segments in strips]
    height = HEAD + sum(heights) + MARGIN
    title = f"{casework.design.name}: depth, from the front to the wall"
    canvas = Canvas.of(WIDTH, height, title)
    hatch = canvas.hatch("wood", 5.0, rising=True)
    canvas.rect(0, 0, WIDTH, height, fill="#ffffff", line=0)
    size = min(17.0, (WIDTH - 2 * MARGIN) / text_width(title, BOLD))
    canvas.text(MARGIN, 20, title, size=size, anchor=Anchor.START, bold=True)
    legend = (
        "front at the left; hatched: doors, back, and what stands out of the wall; "
        "white: the device with its plug; dashed: free"
    )
    canvas.text(MARGIN, 44, legend, size=SMALL, anchor=Anchor.START)
    top = HEAD
    for (stack, segments), high in zip(strips, heights, strict=True):
        _strip(canvas, top, stack, segments, per_mm, system, hatch)
        top += high
    return canvas.markup()


def _segments(stack: DepthStack) -> tuple[_Segment, ...]:
    """The rows with their place; a row of unknown size takes none, one that is less than nought
    lies back over those before it.
    """
    segments: list[_Segment] = []
    at = 0.0 if stack.of(Layer.DOORS) is not None else stack.front
    short = any((row.size or 0.0) < 0 for row in stack.rows if row.layer in EMPTY)
    past = False
    for number, row in enumerate(stack.rows, start=1):
        if row.layer is Layer.FREE and row.size is None:
            gap = 0.0 if stack.of(Layer.OPEN) is None else stack.of(Layer.GAP)
            at = stack.limit - (gap or 0.0)
        end = at + (row.size or 0.0)
        segments.append(_Segment(number, row, at, end, below=short and past))
        at, past = end, past or row.layer is Layer.FREE
    return tuple(segments)


def _height(segments: Sequence[_Segment]) -> float:
    lines = -(-len(segments) // COLUMNS)
    return TITLE + _drawn(segments) + 8 + lines * LINE + APART


def _drawn(segments: Sequence[_Segment]) -> float:
    """Height of a strip with its numbers, and of the lane below where there is one."""
    lane = NUMBERS + STRIP
    return 2 * lane + MISSING if any(segment.below for segment in segments) else lane


def _strip(
    canvas: Canvas,
    top: float,
    stack: DepthStack,
    segments: Sequence[_Segment],
    per_mm: float,
    system: System,
    hatch: str,
) -> None:
    """One device: its name, its strip with numbers above, and the names of the rows below."""
    placed = stack.placed
    title = f"{placed.item.name} ({placed.where}): {_verdict(stack, system)}"
    size = min(PLAIN, (WIDTH - 2 * MARGIN) / text_width(title, BOLD))
    canvas.text(MARGIN, top + TITLE / 2, title, size=size, anchor=Anchor.START, bold=True)
    bar = top + TITLE + NUMBERS
    for below in (False, True):
        lane = [segment for segment in segments if segment.below is below]
        at = bar + (STRIP + MISSING + NUMBERS if below else 0.0)
        for segment in lane:
            _segment(canvas, segment, at, per_mm, system, hatch)
        _numbers(canvas, lane, at, per_mm)
    under = top + TITLE + _drawn(segments) + 8
    wide = (WIDTH - 2 * MARGIN) / COLUMNS
    for place, segment in enumerate(segments):
        line, column = divmod(place, COLUMNS)
        x, y = MARGIN + column * wide, under + (line + 0.5) * LINE
        _disc(canvas, x + DISC, y, segment.number)
        words = _words(segment.row, system)
        fits = min(SMALL, (wide - 2 * DISC - 14) / text_width(words, 1.0))
        canvas.text(x + 2 * DISC + 6, y, words, size=fits, anchor=Anchor.START)


def _verdict(stack: DepthStack, system: System) -> str:
    wanted, room = stack.wanted, _size(stack.room, system)
    if wanted is None:
        return f"what it takes is not known; up to {stack.ends_at} there are {room}"
    short = stack.room - wanted
    words = f"takes {_size(wanted, system)} of {room} up to {stack.ends_at}"
    return f"{words}; {_size(-short, system)} short" if short < 0 else words


def _words(row: Row, system: System) -> str:
    note = f" ({row.note})" if row.note and row.layer is not Layer.BEND else ""
    if row.layer is Layer.OPEN:
        return f"{row.layer.value}"
    if row.size is None:
        return f"{row.layer.value}{note}: not known"
    if abs(row.size) < NOTHING:
        return f"{row.layer.value}{note}: none"
    if row.size < 0:
        return f"{row.layer.value}{note}: {_size(-row.size, system)} too little"
    return f"{row.layer.value}{note}: {_size(row.size, system)}"


def _size(mm: float, system: System) -> str:
    return text(mm, system) if mm >= 6.0 else decimal(mm, system)


def _segment(
    canvas: Canvas, segment: _Segment, bar: float, per_mm: float, system: System, hatch: str
) -> None:
    begin, end = sorted((segment.begin, segment.end))
    x, wide = MARGIN + begin * per_mm, (end - begin) * per_mm
    layer, missing = segment.row.layer, segment.end < segment.begin
    if missing:
        canvas.rect(x, bar + STRIP + 3, wide, 6, fill=INK, line=0)
        return
    if layer in EMPTY:
        for y in (bar, bar + STRIP):
            canvas.line(x, y, x + wide, y, width=0.8, dash="5 3")
        if layer is not Layer.OPEN:
            canvas.line(x + wide, bar, x + wide, bar + STRIP, width=0.8)
    else:
        canvas.rect(x, bar, wide, STRIP, fill=hatch if layer in HATCHED else "#ffffff", line=1.4)
    words = _size(segment.row.size or 0.0, system)
    size = min(PLAIN, 0.9 * wide / text_width(words, 1.0))
    if layer not in HATCHED and size >= 8.0:
        canvas.text(x + wide / 2, bar + STRIP / 2, words, size=size)


def _numbers(canvas: Canvas, segments: Sequence[_Segment], bar: float, per_mm: float) -> None:
    """A disc with its number above each row, moved aside where two would meet, with a leader."""
    wished = [MARGIN + (s.begin + s.end) / 2 * per_mm for s in segments]
    step = 2 * DISC + 3
    places: list[float] = []
    for x in wished:
        places.append(max(x, places[-1] + step) if places else max(x, MARGIN + DISC))
    last = WIDTH - MARGIN - DISC
    for number in reversed(range(len(places))):
        places[number] = min(places[number], last - (len(places) - 1 - number) * step)
    for segment, x, wish in zip(segments, places, wished, strict=True):
        canvas.line(x, bar - NUMBERS + 2 * DISC, wish, bar, width=0.7)
        _disc(canvas, x, bar - NUMBERS + DISC, segment.number)


def _disc(canvas: Canvas, x: float, y: float, number: int) -> None:
    canvas.circle(x, y, DISC, fill=INK, line=0)
    canvas.text(x, y, str(number), size=10, fill="#ffffff", bold=True)
