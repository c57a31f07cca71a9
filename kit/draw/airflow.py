"""The air in a console as an elevation: each zone in the colour of its temperature, with arrows.

Seen from the front, with depth drawn slantwise: an arrow that rises to the right goes towards
the wall. Solid arrows pass the front, or lead from zone to zone; dashed ones pass the back.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from kit.checks.airflow import (
    ROOM,
    UNCERTAIN,
    Climate,
    Opening,
    OpeningKind,
    Zone,
    ZoneKind,
    in_words,
)
from kit.draw.arrows import arrow
from kit.draw.svg import INK, Anchor, Canvas, text_width
from kit.geometry import Box

#: Width of the picture, and free space round the case, px.
WIDE = 1000.0
LEFT, RIGHT, TOP, BOTTOM = 40.0, 150.0, 110.0, 80.0
#: The map: perceptually even, the same to the colour-blind, and rising in grey.
COLOURS = "cividis"
#: Least span of the scale of colours, K.
LEAST_SPAN_K = 10.0
#: A flow below this is not drawn, m³/h.
LEAST_FLOW = 0.5
#: How far the space behind the case shows past it, and half the length of an arrow, px.
SLANT = 26.0
REACH = 13.0


class Way(Enum):
    """Which way an opening leads, as drawn."""

    FRONT = "through the front"
    BACK = "through the back"
    UP = "up or down"
    ACROSS = "to one side"


#: Heading of a slanted arrow towards the wall, right and down.
TO_WALL = (0.8, -0.8)


@dataclass(frozen=True, slots=True)
class Stream:
    """Air that moves at one place of the picture: m³/h, place in px, heading in px."""

    flow_m3_h: float
    x: float
    y: float
    dx: float
    dy: float
    dashed: bool


@dataclass(frozen=True, slots=True)
class _Sheet:
    """Where things of the room lie on the picture."""

    state: Climate
    scale: float
    top_mm: float

    def at(self, x: float, z: float) -> tuple[float, float]:
        return (LEFT + x * self.scale, TOP + (self.top_mm - z) * self.scale)

    def rect(self, box: Box, slant: float = 0.0) -> tuple[float, float, float, float]:
        x, y = self.at(box.lo[0], box.hi[2])
        return (x + slant, y - slant, box.size[0] * self.scale, box.size[2] * self.scale)


def elevation(state: Climate) -> str:
    """The console in one state, as SVG."""
    casework = state.casework
    frame = casework.frame
    low = min(0.0, casework.box.lo[2])
    wide, top = frame.right.box.hi[0], frame.left.box.hi[2]
    sheet = _Sheet(state, (WIDE - LEFT - RIGHT) / wide, top)
    tall = (top - low) * sheet.scale + TOP + BOTTOM
    canvas = Canvas.of(WIDE, tall, f"Air in {casework.design.name}, {state.heat.value}")
    hot_c = max(*state.air_c, state.room_c + LEAST_SPAN_K)
    shades = [shade_of(c, state.room_c, hot_c) for c in state.air_c]
    _heading(canvas, state)
    behind = next(n for n, z in enumerate(state.network.zones) if z.kind is ZoneKind.BEHIND)
    canvas.rect(*sheet.rect(Box((0.0, 0.0, low), (wide, 0.0, top)), SLANT), fill=shades[behind])
    canvas.rect(*sheet.rect(Box((0.0, 0.0, low), (wide, 0.0, top))), fill="#ffffff")
    words = f"behind the case {in_words(state.air_c[behind])}"
    x, y = sheet.at(0.0, top)
    fill = ink_on(shades[behind])
    canvas.text(
        x + SLANT + 8, y - SLANT / 2, words, size=12, anchor=Anchor.START, bold=True, fill=fill
    )
    for number, zone in enumerate(state.network.zones):
        if number != behind:
            canvas.rect(*sheet.rect(zone.box), fill=shades[number])
    for stream in streams(state, sheet):
        _draw(canvas, stream)
    for number, zone in enumerate(state.network.zones):
        if number != behind:
            _label(canvas, sheet, zone, state.air_c[number], shades[number])
    _scale(canvas, state.room_c, hot_c, (top - low) * sheet.scale)
    notes = (
        "Numbers at arrows: m³/h. Rising to the right: towards the wall. Dashed: through the back.",
        f"Flows under {LEAST_FLOW:g} m³/h are left out. An estimate: rises are good to about "
        f"{100 * UNCERTAIN:.0f} %.",
    )
    for line, note in enumerate(notes):
        canvas.text(LEFT, tall - 42 + 18 * line, note, size=11, anchor=Anchor.START)
    return canvas.markup()


def _heading(canvas: Canvas, state: Climate) -> None:
    words = f"{state.casework.design.name}: air, {state.heat.value}"
    if state.here.doors:
        shut = all(abs(hung.shift) < 1e-6 for hung in state.here.doors)
        words += ", doors shut" if shut else ", doors slid aside"
    canvas.text(LEFT, 22, words, size=16, anchor=Anchor.START, bold=True)
    about = f"{state.room_c:g} °C in the room, {sum(state.heat_w):.0f} W of gear"
    canvas.text(LEFT, 44, about, size=12, anchor=Anchor.START)


def _label(canvas: Canvas, sheet: _Sheet, zone: Zone, air_c: float, shade: str) -> None:
    x, y, w, h = sheet.rect(zone.box)
    ink = ink_on(shade)
    size = max(9.0, min(16.0, h / 2.2, w / 5.0))
    words = in_words(air_c)
    if zone.kind is ZoneKind.UNDER:
        words, size = f"{zone.name} {words}", min(size, 12.0)
    canvas.text(x + w / 2, y + h / 2, words, size=size, bold=True, fill=ink)
    if h > 55 and w > 60:
        rise = f"+{air_c - sheet.state.room_c:.0f} K"
        canvas.text(x + w / 2, y + h / 2 + 15, rise, size=11, fill=ink)


def streams(state: Climate, sheet: _Sheet) -> Iterator[Stream]:
    """What moves, gathered by the way it takes; the smallest are left out."""
    gathered: dict[tuple[int, int, Way], list[tuple[float, Opening]]] = {}
    for opening, (there, back) in zip(state.network.openings, state.flows_m3_h, strict=True):
        if opening.kind is OpeningKind.LEAK:
            continue
        way = _way(opening)
        for source, sink, flow in ((opening.a, opening.b, there), (opening.b, opening.a, back)):
            gathered.setdefault((source, sink, way), []).append((flow, opening))
    for (source, sink, way), parts in gathered.items():
        flow = sum(f for f, _ in parts)
        if flow >= LEAST_FLOW:
            yield _placed(sheet, source, sink, way, flow, parts)


def _way(opening: Opening) -> Way:
    kinds = (OpeningKind.OPEN_BACK, OpeningKind.FAN, OpeningKind.BEHIND)
    if opening.kind in kinds or opening.board.startswith("back-"):
        return Way.BACK
    if opening.low_m == opening.high_m and opening.kind is not OpeningKind.DOOR_GAP:
        return Way.UP
    if opening.board.startswith(("divider", "side")) and ROOM not in (opening.a, opening.b):
        return Way.ACROSS
    return Way.ACROSS if opening.board.startswith("side") else Way.FRONT


def _placed(
    sheet: _Sheet,
    source: int,
    sink: int,
    way: Way,
    flow: float,
    parts: list[tuple[float, Opening]],
) -> Stream:
    zones = sheet.state.network.zones
    zone = zones[max(source, sink) if min(source, sink) == ROOM else min(source, sink)]
    x, y, w, h = sheet.rect(zone.box)
    middle = sum(f * o.x_mm for f, o in parts) / flow, sum(f * o.z_m for f, o in parts) / flow
    px, py = sheet.at(middle[0], middle[1] * 1000)
    outward = sink == ROOM or (sink >= 0 and zones[sink].kind is ZoneKind.BEHIND)
    if zone.kind is ZoneKind.BEHIND:  # between the wall and the room: out on top, in at the side
        if sink == ROOM:
            return Stream(flow, x + w * 0.8, y - SLANT, 0.0, -1.0, False)
        return Stream(flow, x + w + SLANT, y + h * 0.75, -1.0, 0.0, False)
    if way in (Way.FRONT, Way.BACK):
        px = x + w * (0.13 if way is Way.FRONT else 0.8)
        py = y + h * (0.28 if outward else 0.74)
        towards_wall = outward if way is Way.BACK else not outward
        sign = 1.0 if towards_wall else -1.0
        return Stream(flow, px, py, sign * TO_WALL[0], sign * TO_WALL[1], way is Way.BACK)
    if way is Way.UP:
        upward = _height(zones, sink, zone.box.hi[2]) > _height(zones, source, zone.box.hi[2])
        return Stream(flow, x + w * 0.45, py, 0.0, -1.0 if upward else 1.0, False)
    right = _across(zones, sink, middle[0]) > _across(zones, source, middle[0])
    return Stream(flow, px, py, 1.0 if right else -1.0, 0.0, False)


def _height(zones: tuple[Zone, ...], number: int, edge: float) -> float:
    return edge + 1e-3 if number == ROOM else zones[number].box.centre[2]


def _across(zones: tuple[Zone, ...], number: int, edge: float) -> float:
    if number != ROOM:
        return zones[number].box.centre[0]
    return -1.0 if edge < zones[0].box.centre[0] else edge + 1e6


def _draw(canvas: Canvas, stream: Stream) -> None:
    x, y = stream.x, stream.y
    ends = (
        x - REACH * stream.dx,
        y - REACH * stream.dy,
        x + REACH * stream.dx,
        y + REACH * stream.dy,
    )
    words = f"{stream.flow_m3_h:.1f}" if stream.flow_m3_h < 10 else f"{stream.flow_m3_h:.0f}"
    wide = text_width(words, 10.5)
    slanted = stream.dx and stream.dy
    if slanted or not stream.dy:
        tx, ty = x + (REACH + 4 if slanted else -wide / 2), y - 6 if slanted else y - 12
    else:
        tx, ty = x + 7, y
    canvas.rect(tx - 1, ty - 7, wide + 2, 14, fill="#ffffff", line=0)
    canvas.text(tx + wide / 2, ty, words, size=10.5)
    arrow(canvas, *ends, dashed=stream.dashed)


def _scale(canvas: Canvas, room_c: float, hot_c: float, tall: float) -> None:
    """The bar of colours with its figures."""
    x, steps = WIDE - 78, 40
    for step in range(steps):
        share = 1 - (step + 0.5) / steps
        shade = shade_of(room_c + share * (hot_c - room_c), room_c, hot_c)
        canvas.rect(x, TOP + tall * step / steps, 16, tall / steps + 0.5, fill=shade, line=0)
    canvas.rect(x, TOP, 16, tall)
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        y = TOP + tall * (1 - share)
        canvas.line(x + 16, y, x + 21, y)
        words = f"{round(room_c + share * (hot_c - room_c), 1):g} °C"
        canvas.text(x + 25, y, words, size=11, anchor=Anchor.START)


def shade_of(air_c: float, room_c: float, hot_c: float) -> str:
    """Colour of a temperature, cool dark and warm light, as #rrggbb."""
    from matplotlib import colormaps
    from matplotlib.colors import to_hex

    share = (air_c - room_c) / (hot_c - room_c)
    return str(to_hex(colormaps[COLOURS](min(max(share, 0.0), 1.0))))


def ink_on(shade: str) -> str:
    """Black or white, whichever reads better on a colour."""
    r, g, b = (int(shade[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return "#ffffff" if 0.299 * r + 0.587 * g + 0.114 * b < 0.5 else INK
