"""From above: the upright boards cut through in dark, slots left white, and rays that arrive
at each infrared receiver, in a manner of line of its own. The bars under the seats show which
share of the rays arrives from each place.
"""

from collections.abc import Sequence

from kit.casework import Casework
from kit.checks.sight import View, views
from kit.draw.sight.paper import (
    CASE,
    DASHES,
    DISC,
    EMPTY,
    HEAD,
    LINE,
    MARGIN,
    WIDTH,
    WOOD,
    Paper,
    dimension,
    disc,
    nothing,
    sheet,
    told,
    windows,
    write,
)
from kit.draw.svg import Anchor, Canvas
from kit.geometry import Drill, Slot, cutter_box
from kit.room import Seats

#: Greatest height of the view, room for a row of bars and for the highest bar in it, px.
HIGH, ROW, BAR = 800.0, 36.0, 22.0
#: Every so many places along the seats a ray is drawn.
EVERY = 3
#: Room beside what is drawn, and a head, mm.
AROUND, HEAD_RADIUS = 160.0, 80.0


def sight_plan_svg(casework: Casework) -> str:
    """Seats, doors and receivers from above as SVG; the same design gives the same text."""
    seats, title = casework.design.room.seats, f"{casework.design.name}: the remote control"
    if seats is None:
        return nothing(title, "where the viewers sit is not known; write [room.seats]")
    seen = views(casework)
    case, wall = casework.design.case, casework.design.case.depth + casework.design.room.wall_gap
    left, right = _span(casework, seats)
    low, high = -seats.distance - HEAD_RADIUS, wall + 20.0
    scale = min((WIDTH - 2 * MARGIN - 90) / (right - left), HIGH / (high - low))
    paper = Paper((WIDTH - (right - left) * scale) / 2, HEAD, left, high, scale)
    bars = HEAD + (high - low) * scale + 12
    notes = bars + 20 + ROW * len(seen) + LINE
    height = notes + LINE * max(0, len(seen) - 1) + MARGIN
    canvas = sheet(
        height,
        f"{title}, from above",
        "dark: boards cut through, white gaps: slots; lines: rays that arrive with the doors shut; "
        "bars: share of the rays from each place",
    )
    x, y = paper.at(left, wall)
    canvas.line(x, y, x + (right - left) * scale, y, width=4.0)
    px, py = paper.at(0.0, case.depth)
    canvas.rect(px, py, case.width * scale, case.depth * scale, fill=CASE, line=0.8)
    for placed in casework.inside:
        canvas.rect(*paper.box(placed.body, 0, 1), fill=EMPTY, line=0.8)
    _uprights(canvas, casework, paper)
    for number, one in enumerate(seen):
        _rays(canvas, paper, one, DASHES[number % len(DASHES)])
    windows(canvas, paper, seen, 0, 1, inward=(0.0, -1.0))
    _heads(canvas, paper, casework, seats)
    _distance(canvas, casework, paper, seats, left)
    _bars(canvas, casework, paper, seats, seen, bars)
    if not seen:
        write(canvas, MARGIN, notes, "no device has an infrared receiver")
    for number, one in enumerate(seen):
        y = notes + number * LINE
        disc(canvas, MARGIN + DISC, y, number + 1)
        dash = DASHES[number % len(DASHES)]
        canvas.line(MARGIN + 24, y, MARGIN + 64, y, width=1.2, dash=dash)
        write(canvas, MARGIN + 72, y, told(one))
    return canvas.markup()


def _span(casework: Casework, seats: Seats) -> tuple[float, float]:
    """Left and right end of what is drawn from above, mm."""
    middle, half = casework.design.case.width / 2 + seats.across, seats.width / 2 + HEAD_RADIUS
    width = casework.design.case.width
    return (min(0.0, middle - half) - AROUND, max(width, middle + half) + AROUND)


def _uprights(canvas: Canvas, casework: Casework, paper: Paper) -> None:
    """What stands upright between floor and lid, cut level through the middle of the case."""
    level = casework.frame.clear.centre[2]
    for board in casework.boards:
        if board.place.out.axis == 2:
            continue
        for box in board.solid_boxes:
            if box.lo[2] < level < box.hi[2]:
                canvas.rect(*paper.box(box, 0, 1), fill=WOOD, line=0)
        for cutter in board.cutters:
            if not isinstance(cutter, Slot | Drill):
                continue
            gap = board.place.box_to_room(cutter_box(cutter))
            if gap.lo[2] < level < gap.hi[2]:
                canvas.rect(*paper.box(gap, 0, 1), fill=EMPTY, line=0)


def _rays(canvas: Canvas, paper: Paper, one: View, dash: str) -> None:
    for ray in one.sample[EVERY // 2 :: EVERY]:
        if ray is not None:
            start, end = ray
            canvas.line(*paper.at(*start[:2]), *paper.at(*end[:2]), width=0.7, dash=dash)


def _heads(canvas: Canvas, paper: Paper, casework: Casework, seats: Seats) -> None:
    middle = casework.design.case.width / 2 + seats.across
    places = {middle - seats.width / 2, middle, middle + seats.width / 2}
    for x in sorted(places):
        canvas.circle(
            *paper.at(x, -seats.distance), HEAD_RADIUS * paper.scale, fill=EMPTY, line=1.4
        )


def _distance(canvas: Canvas, casework: Casework, paper: Paper, seats: Seats, left: float) -> None:
    x, y0 = paper.at(left, 0.0)
    y1 = paper.at(left, -seats.distance)[1]
    dimension(canvas, x, y0, x, y1, casework.say(seats.distance))


def _bars(
    canvas: Canvas,
    casework: Casework,
    paper: Paper,
    seats: Seats,
    seen: Sequence[View],
    top: float,
) -> None:
    for number, one in enumerate(seen, start=1):
        base = top + number * ROW
        shares = one.by_place
        middle = casework.design.case.width / 2 + seats.across
        half = max(seats.width / 2, HEAD_RADIUS)  # one place alone still needs a row to be seen
        x0, x1 = (paper.at(middle + side * half, 0.0)[0] for side in (-1, 1))
        step = (x1 - x0) / len(shares)
        for place, share in enumerate(shares):
            tall = BAR * float(share)
            if tall:
                canvas.rect(x0 + place * step, base - tall, 0.8 * step, tall, fill=WOOD, line=0)
        canvas.line(x0, base, x1, base, width=0.8)
        canvas.line(x0, base - BAR, x1, base - BAR, width=0.5, dash="2 3")
        disc(canvas, x0 - 16, base - BAR / 2, number)
        for share, y in (("0 %", base), ("100 %", base - BAR)):
            canvas.text(x1 + 6, y, share, size=9, anchor=Anchor.START)
