"""Figures that measure, placed by rule so that none touches another or a line.

- Stations (`ordinates`) are read from one datum: each has its own extension line, and its
  words stand at the end of it. Where stations lie close their words are moved apart, in
  order, so that the lines with their bends cannot cross.
- Tags (`tags`) are numbers in rings, in one row above a view, each with a leader to its point.
- Flags (`flags`) are words on an upright leader. The one farthest right is lowest, and words
  run to the right of their leader, so no leader passes through words.
- A span (`span`) is a dimension line with two arrows, for what is not read from the datum.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

import numpy as np
from scipy.optimize import isotonic_regression

from kit.draw.drafting.figure import Disc, Fill, Item, Path, Point, Words
from kit.draw.drafting.lettering import CAPITALS, NOTE, width
from kit.draw.drafting.line_types import Line
from kit.draw.svg import Anchor

#: Gap between outline and extension line; its run before, in and after a bend, mm. ISO 129-1
#: (from memory) asks for a gap of about eight line widths.
GAP, RUN, BEND, TAIL = 1.2, 2.2, 2.6, 1.2
#: From line to line of words, mm.
PITCH = CAPITALS * 1.65
ARROW = (2.6, 0.45)
#: Words moved less than this stand where they are wanted, mm.
SAME = 1e-6
#: Radius of the ring round a tag, mm.
RING = 2.4


class Side(Enum):
    """The side of a view on which stations stand, as (axis of the stations, sense outwards)."""

    BELOW = (0, -1)
    LEFT = (1, -1)


@dataclass(frozen=True, slots=True)
class Station:
    """A place along one axis of a view: on paper, as printed, and where its line begins."""

    at: float
    words: str


@dataclass(frozen=True, slots=True)
class Flag:
    """Lines of words for a point of a view."""

    point: Point
    lines: tuple[str, ...]


def spread(wanted: Sequence[float], gap: float) -> tuple[float, ...]:
    """Places at least `gap` apart, in the same order, that differ least from those `wanted`.

    Least squares: isotonic regression of the places less the gaps. `wanted` has to be sorted.
    """
    gaps = gap * np.arange(len(wanted))
    placed = isotonic_regression(np.asarray(wanted, dtype=float) - gaps).x + gaps
    return tuple(float(value) for value in placed)


def ordinates(
    stations: Sequence[Station], side: Side, edge: float, *, clear: float = 0.0
) -> tuple[Item, ...]:
    """Stations on one side of a view whose outline ends at `edge`, mm on paper.

    Lines run straight for `clear` mm first, past what else stands there. Raises ValueError
    where two stations are at one place.
    """
    ordered = sorted(stations, key=lambda s: s.at)
    if any(a.at == b.at for a, b in pairwise(ordered)):
        raise ValueError("two stations at one place")
    axis, sense = side.value
    places = spread([s.at for s in ordered], PITCH)
    items: list[Item] = []

    def point(along: float, away: float) -> Point:
        across = edge + sense * away
        return (along, across) if axis == 0 else (across, along)

    bend = GAP + RUN + clear
    reach = bend + BEND + TAIL
    for station, place in zip(ordered, places, strict=True):
        line = [point(station.at, GAP), point(station.at, bend)]
        if abs(place - station.at) > SAME:
            line.append(point(place, bend + BEND))
        line.append(point(place, reach))
        items.append(Path(tuple(line), Line.THIN))
        items.append(
            Words(point(place, reach + 0.8), station.words, anchor=Anchor.END, turned=axis == 0)
        )
    return tuple(items)


def flags(wanted: Sequence[Flag], top: float) -> tuple[Item, ...]:
    """Words above a view that ends at `top`, mm on paper, each with a leader to its point."""
    ordered = sorted(wanted, key=lambda f: (f.point[0], f.point[1]))
    places = spread([f.point[0] for f in ordered], 2.0)
    items: list[Item] = []
    level = top + 4.0
    for flag, x in reversed(list(zip(ordered, places, strict=True))):
        height = level + PITCH * len(flag.lines)
        leader = [flag.point]
        if abs(x - flag.point[0]) > SAME:
            leader.append((x, top + 2.0))
        leader += [(x, height - PITCH / 2), (x + 1.5, height - PITCH / 2)]
        items.append(Path(tuple(leader), Line.THIN))
        items.append(Disc(flag.point, 0.5, Line.THIN, Fill.SOLID))
        for i, line in enumerate(flag.lines):
            at = (x + 2.3, height - PITCH * (i + 0.5))
            items.append(Words(at, line, anchor=Anchor.START))
        level = height + 0.8
    return tuple(items)


def tags(points: Sequence[tuple[Point, str]], top: float) -> tuple[Item, ...]:
    """Numbers (point, number) in rings above a view that ends at `top`, mm on paper."""
    ordered = sorted(points)
    places = spread([point[0] for point, _ in ordered], 2 * RING + 1.0)
    items: list[Item] = []
    level = top + GAP + BEND + RING
    for (point, number), x in zip(ordered, places, strict=True):
        leader = [point]
        if abs(x - point[0]) > SAME:
            leader.append((point[0], top + GAP))
        leader.append((x, level - RING))
        items.append(Path(tuple(leader), Line.THIN))
        items.append(Disc(point, 0.5, Line.THIN, Fill.SOLID))
        items += ring((x, level), number)
    return tuple(items)


def ring(at: Point, number: str) -> tuple[Item, ...]:
    """A number or mark in a ring; a longer one in smaller letters."""
    capitals = CAPITALS if width(number) < 1.6 * RING else NOTE
    return (Disc(at, RING, Line.THIN), Words(at, number, capitals))


def span(a: Point, b: Point, words: str, *, away: float) -> tuple[Item, ...]:
    """A dimension between two points that lie level or upright, its line `away` mm from them.

    A level one stands above (`away` > 0) or below, its words over the line; an upright one to
    the right (`away` > 0) or left, its words turned. Where there is no room between the
    arrows they point inwards from outside, and the words stand level beside the line.
    """
    upright = abs(a[0] - b[0]) < abs(a[1] - b[1])
    i = 1 if upright else 0
    (low, high) = sorted((a, b), key=lambda p: p[i])
    level = (max if away > 0 else min)(a[1 - i], b[1 - i]) + away
    sense = 1.0 if away > 0 else -1.0

    def point(along: float, across: float) -> Point:
        return (across, along) if upright else (along, across)

    items: list[Item] = [
        Path((point(p[i], p[1 - i] + sense * GAP), point(p[i], level + sense * 1.6)), Line.THIN)
        for p in (low, high)
    ]
    start, end = low[i], high[i]
    inside = end - start >= width(words) + 2 * ARROW[0] + 1.0
    out = 0.0 if inside else 2 * ARROW[0]
    items.append(Path((point(start - out, level), point(end + out, level)), Line.THIN))
    for at, towards in ((start, 1.0 if inside else -1.0), (end, -1.0 if inside else 1.0)):
        back = at + towards * ARROW[0]
        tip = (
            point(at, level),
            point(back, level + ARROW[1]),
            point(back, level - ARROW[1]),
        )
        items.append(Path(tip, None, closed=True, fill=Fill.SOLID))
    middle = (start + end) / 2
    if inside:
        # above a level line; left of an upright one, as it reads from the right of the paper
        shift = CAPITALS / 2 + 1.0
        place = (level - shift, middle) if upright else (middle, level + shift)
        items.append(Words(place, words, turned=upright))
    elif upright:
        items.append(Words((level + 1.6, middle), words, anchor=Anchor.START))
    else:
        items.append(Words((end + out + 1.2, level), words, anchor=Anchor.START))
    return tuple(items)
