"""From the side: the eyes, the picture before them, and the way of the remote control."""

from collections.abc import Sequence

from kit.casework import Casework
from kit.checks.screen import Look, look, picture_depth
from kit.checks.seat import HAND_BELOW, eye_height, eye_span, floor
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
from kit.draw.svg import Canvas
from kit.geometry import Drill, Slot, cutter_box
from kit.room import Screen, Seats, Stand

#: Room beside what is drawn, and half the thickness of a picture as drawn, mm.
AROUND, THIN = 160.0, 20.0
#: Least height of what is drawn above the floor, mm: above the eyes of a tall viewer.
LEAST_HIGH = 1350.0


def sight_side_svg(casework: Casework) -> str:
    """Eyes, hands, picture and receivers from the side as SVG; the same design, the same text."""
    design = casework.design
    seats, title = design.room.seats, f"{design.name}: the picture before the eyes, from the side"
    if seats is None:
        return nothing(title, "where the viewers sit is not known; write [room.seats]")
    shown = [
        (name, screen, look(casework, screen, seats))
        for name, screen in (("screen", design.screen), ("next screen", design.next_screen))
        if screen is not None
    ]
    seen = views(casework)
    paper = _paper(casework, seats, [screen for _, screen, _ in shown])
    lines = [line for one in shown for line in _picture_lines(casework, *one)]
    lines = lines or ["no screen is given; write [screen]"]
    level = paper.at(0.0, floor(casework))[1] + 26
    notes = level + 32
    canvas = sheet(
        notes + LINE * (len(lines) + len(seen) - 1) + MARGIN,
        title,
        "heavy line: to the middle of the picture; thin: to its edges; dashed: level with the "
        "eyes; bar below the eyes: where the remote is held; to a number: a ray that arrives",
    )
    _room(canvas, casework, paper)
    _console(canvas, casework, paper, seen)
    for _, screen, _ in reversed(shown[1:]):
        _picture(canvas, casework, paper, screen, EMPTY)
    for _, screen, seen_so in shown[:1]:
        _picture(canvas, casework, paper, screen, WOOD if seen_so.known else EMPTY)
        if seen_so.known:
            _lines_of_sight(canvas, casework, paper, screen, seen_so)
    _viewer(canvas, casework, paper, seats)
    x0, x1 = paper.at(-seats.distance, 0)[0], paper.at(0.0, 0)[0]
    dimension(canvas, x0, level, x1, level, casework.say(seats.distance))
    for number, words in enumerate(lines):
        write(canvas, MARGIN, notes + number * LINE, words)
    for number, one in enumerate(seen):
        y = notes + (len(lines) + number) * LINE
        disc(canvas, MARGIN + DISC, y, number + 1)
        write(canvas, MARGIN + 24, y, told(one))
    return canvas.markup()


def _wall(casework: Casework) -> float:
    return casework.design.case.depth + casework.design.room.wall_gap


def _paper(casework: Casework, seats: Seats, screens: Sequence[Screen]) -> Paper:
    low, high = -seats.distance - 2.2 * AROUND, _wall(casework) + 1.6 * AROUND
    top, ground = casework.frame.top.box.hi[2], floor(casework)
    tall = [top, ground + LEAST_HIGH, ground + eye_span(seats)[1]]
    highest = max(tall + [top + screen.upper for screen in screens]) + 60.0
    return Paper(MARGIN, HEAD, low, highest, (WIDTH - 2 * MARGIN) / (high - low))


def _room(canvas: Canvas, casework: Casework, paper: Paper) -> None:
    """Floor, wall and baseboard."""
    room, wall, ground = casework.design.room, _wall(casework), floor(casework)
    canvas.line(*paper.at(paper.x0, ground), *paper.at(wall, ground), width=2.0)
    canvas.line(*paper.at(wall, ground), *paper.at(wall, paper.y1), width=4.0)
    if room.baseboard_height and room.baseboard_depth:
        x, y = paper.at(wall - room.baseboard_depth, ground + room.baseboard_height)
        wide, tall = room.baseboard_depth * paper.scale, room.baseboard_height * paper.scale
        canvas.rect(x, y, wide, tall, fill=WOOD, line=0)


def _console(canvas: Canvas, casework: Casework, paper: Paper, seen: Sequence[View]) -> None:
    """Boards that are cut through, gaps of the doors, receivers and a ray that arrives at each."""
    canvas.rect(*paper.box(casework.frame.left.box, 1, 2), fill=CASE, line=0.8)
    for board in casework.boards:
        if board.place.out.axis != 0:
            canvas.rect(*paper.box(board.box, 1, 2), fill=WOOD, line=0)
    for door in casework.doors.doors if casework.doors else ():
        for cutter in door.board.cutters:
            if isinstance(cutter, Slot | Drill):
                gap = door.board.place.box_to_room(cutter_box(cutter))
                canvas.rect(*paper.box(gap, 1, 2), fill=EMPTY, line=0.5)
    for one in seen:
        canvas.rect(*paper.box(one.placed.body, 1, 2), fill=EMPTY, line=0.8)
    for number, one in enumerate(seen):
        rays = [ray for ray in one.sample if ray is not None]
        if rays:
            start, end = rays[len(rays) // 2]
            dash = DASHES[number % len(DASHES)]
            canvas.line(*paper.at(*start[1:]), *paper.at(*end[1:]), width=0.8, dash=dash)
    windows(canvas, paper, seen, 1, 2, inward=(1.0, 0.0))


def _picture(canvas: Canvas, casework: Casework, paper: Paper, screen: Screen, fill: str) -> None:
    """The picture on its edge, with its feet."""
    y, top = picture_depth(casework, screen), casework.frame.top.box.hi[2]
    x0, y0 = paper.at(y - THIN, top + screen.upper)
    wide, tall = 2 * THIN * paper.scale, screen.height * paper.scale
    canvas.rect(x0, y0, wide, tall, fill=fill, line=1.0)
    if screen.stand is Stand.FEET:
        half = (screen.foot_depth or 0.0) / 2
        canvas.line(*paper.at(y, top), *paper.at(y, top + screen.lower), width=1.2)
        canvas.line(*paper.at(y - half, top), *paper.at(y + half, top), width=3.0)


def _lines_of_sight(
    canvas: Canvas, casework: Casework, paper: Paper, screen: Screen, seen: Look
) -> None:
    """From the eyes to the edges and the middle of the picture, and level; its height."""
    ground, y = floor(casework), picture_depth(casework, screen) - THIN
    x = picture_depth(casework, screen) - seen.away
    middle, eyes = ground + seen.middle, ground + seen.eyes
    half = screen.height / 2
    for z, width in ((middle - half, 0.7), (middle + half, 0.7), (middle, 1.8)):
        canvas.line(*paper.at(x, eyes), *paper.at(y, z), width=width)
    canvas.line(*paper.at(x, eyes), *paper.at(y, eyes), width=0.9, dash="6 4")
    side = _wall(casework) + AROUND
    low, high = paper.at(side, ground), paper.at(side, middle)
    dimension(canvas, *low, *high, casework.say(seen.middle))


def _viewer(canvas: Canvas, casework: Casework, paper: Paper, seats: Seats) -> None:
    """The eyes and their height, the span of short to tall viewers, and the hands below."""
    ground, y = floor(casework), -seats.distance
    eyes = ground + eye_height(seats)
    canvas.line(*paper.at(y, eyes - HAND_BELOW), *paper.at(y, eyes), width=5.0)
    canvas.circle(*paper.at(y, eyes), 6.0, fill=EMPTY, line=1.6)
    lowest, highest = eye_span(seats)
    if lowest < highest:
        ends = [paper.at(y - 0.5 * AROUND, ground + z) for z in (lowest, highest)]
        canvas.line(*ends[0], *ends[1], width=1.2)
        for x, z in ends:
            canvas.line(x - 4, z, x + 4, z, width=1.2)
    low, high = paper.at(y - 1.3 * AROUND, ground), paper.at(y - 1.3 * AROUND, eyes)
    dimension(canvas, *low, *high, casework.say(eye_height(seats)))


def _picture_lines(casework: Casework, name: str, screen: Screen, seen: Look) -> list[str]:
    say = casework.say
    words = f"{name}, {say(screen.diagonal)}: {seen.wide_deg:.0f}° wide"
    words += f" from {say(seen.away)}; "
    if not seen.known:
        return [f"{words}its height is not known (drawn {say(screen.lower)} above the top)"]
    way = "up" if seen.up_deg >= 0 else "down"
    words += f"its middle {say(seen.middle)} above the floor, {abs(seen.up_deg):.0f}° {way}"
    if seen.lowest == seen.highest:
        return [words]
    span = f"{say(seen.lowest)} to {say(seen.highest)}"
    return [words, f"eyes of short to tall viewers: {span} above the floor (upright line)"]
