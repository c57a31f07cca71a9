"""What a drawing is made of, in mm on the paper: closed loops, circles, lines and words."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

type Point = tuple[float, float]

#: Layers that no machine follows. Every other layer is a cut.
NOTES = "NOTES"
REFERENCE = "REFERENCE"


@dataclass(frozen=True, slots=True)
class Loop:
    """A closed line, counter-clockwise.

    A vertex is (x, y, bulge); the bulge is the tangent of a quarter of the angle of the arc
    to the next vertex, 0 for a straight line and 1 for half a circle that swells outwards.
    """

    layer: str
    vertices: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle."""

    layer: str
    centre: Point
    radius: float


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight line."""

    layer: str
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text, its lower left corner at `at`, on the layer of notes or references."""

    layer: str
    at: Point
    text: str
    height: float


type Shape = Loop | Ring | Stroke | Words


def polygon(layer: str, points: list[Point]) -> Loop:
    """A loop of straight lines, turned counter-clockwise."""
    ring = zip(points, points[1:] + points[:1], strict=True)
    twice = sum(a[0] * b[1] - b[0] * a[1] for a, b in ring)
    return Loop(layer, tuple((x, y, 0.0) for x, y in (points if twice > 0 else points[::-1])))


def rectangle(layer: str, lo: Point, hi: Point) -> Loop:
    """The rectangle from its lower left corner to its upper right."""
    return polygon(layer, [lo, (hi[0], lo[1]), hi, (lo[0], hi[1])])


def bounds(shapes: Iterable[Shape]) -> tuple[Point, Point]:
    """Lower left and upper right corner of all shapes; of words only where they begin."""
    points = [point for shape in shapes for point in _points(shape)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs), min(ys)), (max(xs), max(ys))


def _points(shape: Shape) -> Iterator[Point]:
    match shape:
        case Loop(vertices=vertices):  # arcs end slots, and those lie within the outline
            yield from ((x, y) for x, y, _ in vertices)
        case Ring(centre=(x, y), radius=r):
            yield from ((x - r, y - r), (x + r, y + r))
        case Stroke(start=start, end=end):
            yield from (start, end)
        case Words(at=at):
            yield at
