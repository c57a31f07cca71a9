"""A figure: ink on paper in mm, x to the right and y up, and its SVG in true size."""

import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from functools import cached_property
from itertools import groupby, pairwise
from math import cos, pi, sin

import numpy as np
from numpy.typing import NDArray

from kit.draw.drafting.lettering import CAPITALS, DESCENT_SHARE, FAMILY, font_size, width
from kit.draw.drafting.line_types import Line
from kit.draw.svg import INK, NAMESPACE, Anchor, printable

type Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Frame:
    """A rectangle on the paper, mm."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        """Its width, mm."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """Its height, mm."""
        return self.y1 - self.y0

    def grown(self, by: float) -> "Frame":
        """The rectangle with a margin of `by` mm all round."""
        return Frame(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)

    def overlaps(self, other: "Frame") -> bool:
        """Whether the two have more than an edge in common."""
        return (
            self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1
        )

    def holds(self, a: Point, b: Point) -> bool:
        """Whether any of the straight line from `a` to `b` lies inside."""
        near, far = 0.0, 1.0
        for start, end, low, high in (
            (a[0], b[0], self.x0, self.x1),
            (a[1], b[1], self.y0, self.y1),
        ):
            run = end - start
            if run == 0:
                if not low < start < high:
                    return False
                continue
            one, two = sorted(((low - start) / run, (high - start) / run))
            near, far = max(near, one), min(far, two)
        return near < far

    def met_by(self, lines: NDArray[np.float64]) -> bool:
        """Whether any of many straight lines, rows of (x, y, x, y), lies partly inside."""
        if not len(lines):
            return False
        start, run = lines[:, :2], lines[:, 2:] - lines[:, :2]
        low, high = np.array((self.x0, self.y0)), np.array((self.x1, self.y1))
        flat = run == 0
        steps = np.where(flat, 1.0, run)
        one, two = (low - start) / steps, (high - start) / steps
        within = (low < start) & (start < high)
        near = np.where(flat, np.where(within, 0.0, 2.0), np.minimum(one, two))
        far = np.where(flat, 1.0, np.maximum(one, two))
        return bool((np.maximum(near.max(axis=1), 0.0) < np.minimum(far.min(axis=1), 1.0)).any())

    @classmethod
    def round(cls, frames: Iterable["Frame"]) -> "Frame":
        """The smallest rectangle round all of them."""
        every = tuple(frames)
        if not every:
            return cls(0.0, 0.0, 0.0, 0.0)
        return cls(
            min(f.x0 for f in every),
            min(f.y0 for f in every),
            max(f.x1 for f in every),
            max(f.y1 for f in every),
        )


class Fill(Enum):
    """What an area is filled with."""

    NONE = "none"
    PAPER = "#ffffff"
    PALE = "#e6e6e6"
    SOLID = INK
    CUT_ALONG = "url(#along)"
    """Cut wood whose grain is cut along: hatching that rises."""
    CUT_ACROSS = "url(#across)"
    """Cut wood whose grain is cut across: hatching that falls."""


@dataclass(frozen=True, slots=True)
class Path:
    """A line through points; `rings` are further closed lines of one filled area."""

    points: tuple[Point, ...]
    line: Line | None = Line.VISIBLE
    closed: bool = False
    fill: Fill = Fill.NONE

    @property
    def frame(self) -> Frame:
        """The rectangle round it."""
        xs, ys = zip(*self.points, strict=True)
        return Frame(min(xs), min(ys), max(xs), max(ys))

    def segments(self) -> Iterator[tuple[Point, Point]]:
        """The straight lines that it is made of; none where no line is drawn."""
        if self.line is not None:
            yield from pairwise((*self.points, self.points[0]) if self.closed else self.points)

    def moved(self, dx: float, dy: float) -> "Path":
        """The same elsewhere."""
        return replace(self, points=tuple((x + dx, y + dy) for x, y in self.points))


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle."""

    centre: Point
    radius: float
    line: Line | None = Line.VISIBLE
    fill: Fill = Fill.NONE

    @property
    def frame(self) -> Frame:
        """The rectangle round it."""
        (x, y), r = self.centre, self.radius
        return Frame(x - r, y - r, x + r, y + r)

    def segments(self) -> Iterator[tuple[Point, Point]]:
        """The circle as a polygon of 24 sides."""
        if self.line is not None:
            (x, y), r = self.centre, self.radius
            turn = [i * pi / 12 for i in range(25)]
            yield from pairwise([(x + r * cos(a), y + r * sin(a)) for a in turn])

    def moved(self, dx: float, dy: float) -> "Disc":
        """The same elsewhere."""
        return replace(self, centre=(self.centre[0] + dx, self.centre[1] + dy))


@dataclass(frozen=True, slots=True)
class Round:
    """A rectangle with corners rounded by `radius`: a slot, seen square on."""

    frame: Frame
    radius: float
    line: Line | None = Line.VISIBLE
    fill: Fill = Fill.NONE

    def segments(self) -> Iterator[tuple[Point, Point]]:
        """The rectangle round it: on the safe side."""
        if self.line is not None:
            f = self.frame
            corners = [(f.x0, f.y0), (f.x1, f.y0), (f.x1, f.y1), (f.x0, f.y1)]
            yield from pairwise([*corners, corners[0]])

    def moved(self, dx: float, dy: float) -> "Round":
        """The same elsewhere."""
        f = self.frame
        return replace(self, frame=Frame(f.x0 + dx, f.y0 + dy, f.x1 + dx, f.y1 + dy))


@dataclass(frozen=True, slots=True)
class Words:
    """A line of words; `at` is at the middle of its capitals, at the end that `anchor` names.

    `turned` reads from the right side of the paper, upwards. `capitals` is their height, mm.
    """

    at: Point
    words: str
    capitals: float = CAPITALS
    anchor: Anchor = Anchor.MIDDLE
    turned: bool = False
    bold: bool = False

    @property
    def frame(self) -> Frame:
        """The rectangle round it, with what reaches below the line."""
        length = width(printable(self.words), self.capitals, bold=self.bold)
        start = {Anchor.START: 0.0, Anchor.MIDDLE: -length / 2, Anchor.END: -length}[self.anchor]
        half = self.capitals / 2
        below = half + DESCENT_SHARE * font_size(self.capitals) * any(
            c in "gjpqy,;()" for c in self.words
        )
        (x, y) = self.at
        if self.turned:
            return Frame(x - half, y + start, x + below, y + start + length)
        return Frame(x + start, y - below, x + start + length, y + half)

    def segments(self) -> Iterator[tuple[Point, Point]]:
        """Words draw no lines."""
        return iter(())

    def moved(self, dx: float, dy: float) -> "Words":
        """The same elsewhere."""
        return replace(self, at=(self.at[0] + dx, self.at[1] + dy))


type Item = Path | Disc | Round | Words


@dataclass(frozen=True)
class Figure:
    """Things drawn, in the order in which they cover each other; mm on paper."""

    items: tuple[Item, ...]

    @cached_property
    def frame(self) -> Frame:
        """The rectangle round all of it."""
        return Frame.round(item.frame for item in self.items)

    @property
    def words(self) -> tuple[Words, ...]:
        """All its words."""
        return tuple(item for item in self.items if isinstance(item, Words))

    def moved(self, dx: float, dy: float) -> "Figure":
        """The same elsewhere."""
        return Figure(tuple(item.moved(dx, dy) for item in self.items))

    def collisions(self) -> Iterator[tuple[Words, Item]]:
        """Words that touch other words or a line."""
        words = self.words
        for i, one in enumerate(words):
            frame = one.frame
            for other in words[i + 1 :]:
                if frame.overlaps(other.frame):
                    yield one, other
            for item in self.items:
                if item.frame.grown(1e-9).overlaps(frame) and any(
                    frame.holds(a, b) for a, b in item.segments()
                ):
                    yield one, item

    def svg(self, title: str, *, margin: float = 1.0) -> str:
        """The figure as SVG whose width and height are its true size, in mm."""
        frame = self.frame.grown(margin)
        root = ET.Element(
            "svg",
            {
                "xmlns": NAMESPACE,
                "width": f"{frame.width:.3f}mm",
                "height": f"{frame.height:.3f}mm",
                "viewBox": f"0 0 {frame.width:.3f} {frame.height:.3f}",
                "role": "img",
                "aria-label": printable(title),
                "font-family": FAMILY,
                "stroke-linecap": "butt",
                "stroke-linejoin": "miter",
            },
        )
        ET.SubElement(root, "title").text = printable(title)
        for fill in (Fill.CUT_ALONG, Fill.CUT_ACROSS):
            if any(not isinstance(i, Words) and i.fill is fill for i in self.items):
                _hatching(root, fill)
        for style, group in groupby(self.items, key=_style):
            if style is None:
                for item in group:
                    _write(root, item, frame)
                continue
            line, fill, _ = style
            attributes = {"d": "".join(_outline(i, frame) for i in group), "fill": fill.value}
            if line is None:
                attributes["stroke"] = "none"
            else:
                attributes |= {"stroke": INK, "stroke-width": f"{line.mm:g}"}
                if line.dashes:
                    attributes["stroke-dasharray"] = " ".join(f"{d:g}" for d in line.dashes)
            ET.SubElement(root, "path", attributes)
        return ET.tostring(root, encoding="unicode") + "\n"


def lines_of(items: Iterable[Item]) -> NDArray[np.float64]:
    """All straight lines of some things, rows of (x, y, x, y) for `Frame.met_by`."""
    lines = [(*a, *b) for item in items for a, b in item.segments()]
    return np.array(lines, dtype=np.float64).reshape(-1, 4)


def stacked(figures: Sequence[Figure], gap: float) -> Figure:
    """Figures one below another, their left sides in a line, `gap` mm apart; the first on top."""
    items: list[Item] = []
    y = 0.0
    for figure in figures:
        frame = figure.frame
        items += figure.moved(-frame.x0, y - frame.y1).items
        y -= frame.height + gap
    return Figure(tuple(items))


def rows(figures: Sequence[Figure], gap: float, room: float) -> tuple[Figure, ...]:
    """Figures side by side, their tops in a line, in as many rows of `room` mm as they take."""
    found: list[list[Figure]] = []
    x = 0.0
    for figure in figures:
        frame = figure.frame
        if not found or x + frame.width > room:
            found.append([])
            x = 0.0
        found[-1].append(figure.moved(x - frame.x0, -frame.y1))
        x += frame.width + gap
    return tuple(Figure(tuple(item for figure in row for item in figure.items)) for row in found)


def _style(item: Item) -> tuple[Line | None, Fill, int] | None:
    """What neighbours in one SVG path have in common; None for words.

    Areas with a rim stay apart, since each covers what is under it.
    """
    if isinstance(item, Words):
        return None
    alone = item.fill is not Fill.NONE and item.line is not None
    return (item.line, item.fill, id(item) if alone else 0)


def _reaches_below(words: str) -> bool:
    return any(c in "gjpqy,;()" for c in words)


def _outline(item: Item, frame: Frame) -> str:
    """The SVG path of anything but words."""
    if isinstance(item, Path):
        steps = (f"{x - frame.x0:.3f} {frame.y1 - y:.3f}" for x, y in item.points)
        return "M" + "L".join(steps) + ("Z" if item.closed else "")
    assert not isinstance(item, Words)
    f = item.frame
    r = item.radius
    x0, x1, y0, y1 = f.x0 - frame.x0, f.x1 - frame.x0, frame.y1 - f.y1, frame.y1 - f.y0
    arc = f"A{r:.3f} {r:.3f} 0 0 1 "
    return (
        f"M{x0 + r:.3f} {y0:.3f}L{x1 - r:.3f} {y0:.3f}{arc}{x1:.3f} {y0 + r:.3f}"
        f"L{x1:.3f} {y1 - r:.3f}{arc}{x1 - r:.3f} {y1:.3f}"
        f"L{x0 + r:.3f} {y1:.3f}{arc}{x0:.3f} {y1 - r:.3f}"
        f"L{x0:.3f} {y0 + r:.3f}{arc}{x0 + r:.3f} {y0:.3f}Z"
    )


def _write(root: ET.Element, item: Item, frame: Frame) -> None:
    assert isinstance(item, Words)
    x, y = item.at[0] - frame.x0, frame.y1 - item.at[1]
    half = item.capitals / 2
    x, y = (x + half, y) if item.turned else (x, y + half)
    attributes = {
        "x": f"{x:.3f}",
        "y": f"{y:.3f}",
        "font-size": f"{font_size(item.capitals):.3f}",
        "fill": INK,
    }
    if item.anchor is not Anchor.START:
        attributes["text-anchor"] = item.anchor.value
    if item.bold:
        attributes["font-weight"] = "bold"
    if item.turned:
        attributes["transform"] = f"rotate(-90 {x:.3f} {y:.3f})"
    ET.SubElement(root, "text", attributes).text = printable(item.words)


def _hatching(root: ET.Element, fill: Fill) -> None:
    key = fill.value.removeprefix("url(#").removesuffix(")")
    defs = ET.SubElement(root, "defs")
    step = 1.6 if fill is Fill.CUT_ALONG else 1.1
    pattern = ET.SubElement(
        defs,
        "pattern",
        {
            "id": key,
            "width": f"{step:g}",
            "height": f"{step:g}",
            "patternUnits": "userSpaceOnUse",
            "patternTransform": f"rotate({45 if fill is Fill.CUT_ALONG else -45})",
        },
    )
    ET.SubElement(
        pattern,
        "line",
        {"x1": "0", "y1": "0", "x2": "0", "y2": f"{step:g}", "stroke": INK}
        | {"stroke-width": f"{Line.HATCH.mm * 2:g}"},
    )
