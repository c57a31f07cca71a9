"""What both views of the seats share: paper, marks and lines of text."""

from collections.abc import Sequence
from dataclasses import dataclass

from kit.checks.sight import View
from kit.draw.svg import INK, Anchor, Canvas, text_width
from kit.geometry import Box

WIDTH, MARGIN, HEAD, LINE = 1120.0, 34.0, 64.0, 20.0
#: Sizes of text, and the disc with a number, px.
PLAIN, SMALL, DISC = 13.0, 11.0, 8.0
#: How the rays of the receivers differ: dashes; the fifth begins anew.
DASHES = ("", "7 3", "2 3", "10 3 2 3")
WOOD, CASE, EMPTY = "#5f5f5f", "#e9e9e9", "#ffffff"


@dataclass(frozen=True, slots=True)
class Paper:
    """From mm (right, up on the paper) to px."""

    left: float
    top: float
    x0: float
    y1: float
    scale: float

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A point of the paper, px."""
        return (self.left + (x - self.x0) * self.scale, self.top + (self.y1 - y) * self.scale)

    def box(self, box: Box, x: int, y: int) -> tuple[float, float, float, float]:
        """Corner and size on the paper of a box seen square to world axes `x` and `y`, px."""
        px, py = self.at(box.lo[x], box.hi[y])
        return (px, py, box.size[x] * self.scale, box.size[y] * self.scale)


def sheet(height: float, title: str, legend: str) -> Canvas:
    """An empty picture with its title and legend."""
    canvas = Canvas.of(WIDTH, height, title)
    canvas.rect(0, 0, WIDTH, height, fill=EMPTY, line=0)
    size = min(17.0, (WIDTH - 2 * MARGIN) / text_width(title, 1.0))
    canvas.text(MARGIN, 20, title, size=size, anchor=Anchor.START, bold=True)
    size = min(SMALL, (WIDTH - 2 * MARGIN) / text_width(legend, 1.0))
    canvas.text(MARGIN, 44, legend, size=size, anchor=Anchor.START)
    return canvas


def nothing(title: str, why: str) -> str:
    """A picture that says why there is none."""
    return sheet(HEAD + MARGIN, title, why).markup()


def write(canvas: Canvas, x: float, y: float, words: str) -> None:
    """A line of text that fits the width."""
    size = min(PLAIN, (WIDTH - MARGIN - x) / text_width(words, 1.0))
    canvas.text(x, y, words, size=size, anchor=Anchor.START)


def told(one: View) -> str:
    """What arrives at a receiver, as printed."""
    words = f"{one.placed.item.name}: {one.share:.0%} of the rays arrive"
    if one.bearings:
        words += f", {one.bearings}, from {one.places:.0%} of the seats"
    if one.helping:
        state, share = one.helping[0]
        words += f"; {share:.0%} with {state}"
    return words


def windows(
    canvas: Canvas, paper: Paper, seen: Sequence[View], x: int, y: int, inward: tuple[float, float]
) -> None:
    """A dot at each receiver, its number on a disc behind; moved on where two would meet."""
    taken: list[tuple[float, float]] = []
    for number, one in enumerate(seen, start=1):
        eye = one.end[len(one.end) // 2]
        px, py = paper.at(eye[x], eye[y])
        canvas.circle(px, py, 2.5, fill=INK, line=0)
        dx, dy = px + 14 * inward[0], py + 14 * inward[1]
        while any(abs(dx - a) + abs(dy - b) < 2 * DISC + 2 for a, b in taken):
            dx, dy = dx + 3 * inward[0], dy + 3 * inward[1]
        taken.append((dx, dy))
        disc(canvas, dx, dy, number)


def disc(canvas: Canvas, x: float, y: float, number: int) -> None:
    """A number on a disc."""
    canvas.circle(x, y, DISC, fill=INK, line=0)
    canvas.text(x, y, str(number), size=10, fill=EMPTY, bold=True)


def dimension(canvas: Canvas, x0: float, y0: float, x1: float, y1: float, words: str) -> None:
    """A level or upright dimension line with its number in a gap of its own."""
    level = y0 == y1
    tick = (0.0, 5.0) if level else (5.0, 0.0)
    canvas.line(x0, y0, x1, y1, width=0.8)
    for x, y in ((x0, y0), (x1, y1)):
        canvas.line(x - tick[0], y - tick[1], x + tick[0], y + tick[1], width=0.8)
    x, y, long = (x0 + x1) / 2, (y0 + y1) / 2, text_width(words, SMALL) + 4
    wide, tall = (long, 14.0) if level else (14.0, long)
    canvas.rect(x - wide / 2, y - tall / 2, wide, tall, fill=EMPTY, line=0)
    canvas.text(x, y, words, size=SMALL, upright=level)
