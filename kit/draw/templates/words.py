"""The words of a page: what it is for, where to lay it, and every cut to check with a rule."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kit.board import Feature, Surface
from kit.draw.drafting import CAPITALS, Figure, Words, width, wrapped
from kit.draw.drafting.figure import Item
from kit.draw.svg import Anchor, printable
from kit.draw.templates.region import Region
from kit.joinery import Hole, HoleRow, Notch
from kit.units import System, text

PRINT = "Print at 100 %, no fit to page; measure both ways before use."
LEADING = CAPITALS * 1.7
LEVEL, UPRIGHT = "\N{LEFT RIGHT ARROW}", "\N{UP DOWN ARROW}"
#: Blanks where no line may end: in `1 9/16 in`, `100 %`, `edge 1`; and what stands for them
#: while lines are broken (a character of no script, no narrower than a blank).
TOGETHER = re.compile(
    r"(?<=\d) (?=\d+/\d|in\b|mm\b|%)|(?:(?<=\bend)|(?<=\bedge)|(?<=\bface)) (?=[12AB]\b)"
)
JOINT = "\ue000"
#: What stands for the name of a tile until it is known; as wide as any.
TILE = "Page A1 of 6"


@dataclass(frozen=True, slots=True)
class Use:
    """A place that a template serves; `turned_over` where it shows the other hand."""

    mark: str
    board: str
    surface: Surface
    corner: tuple[Surface, Surface]
    turned_over: bool


def block(
    region: Region,
    uses: Sequence[Use],
    system: System,
    room: float,
    tiled: bool,
    level: bool,
) -> Figure:
    """The words of a page, from its first line down; the second is kept for the tile's name."""
    items: list[Item] = []
    y = 0.0
    for words, bold in _lines(region, uses, system, tiled, level):
        # bold letters are about an eighth wider
        whole = TOGETHER.sub(JOINT, printable(words))
        for line in broken(whole, room / 1.15 if bold else room):
            said = line.replace(JOINT, " ")
            items.append(Words((0.0, y), said, anchor=Anchor.START, bold=bold))
            y -= LEADING
        y -= 1.0
    return Figure(tuple(items))


def broken(words: str, room: float) -> tuple[str, ...]:
    """The words in lines of at most `room` mm; a word that is longer is broken."""
    lines = []
    for line in wrapped(words, room):
        rest = line
        while width(rest) > room:
            n = next(n for n in range(len(rest) - 1, 0, -1) if n == 1 or width(rest[:n]) <= room)
            lines.append(rest[:n])
            rest = rest[n:]
        lines.append(rest)
    return tuple(lines)


def _lines(
    region: Region, uses: Sequence[Use], system: System, tiled: bool, level: bool
) -> Iterator[tuple[str, bool]]:
    boards = dict.fromkeys((use.mark, use.board) for use in uses)
    yield ", ".join(f"{mark} {name}" for mark, name in boards), True
    if tiled:
        yield TILE, True
        yield "Lay marks of the same letter on each other, then tape the pages together.", False
    yield f"Full size. {PRINT}", True
    yield region.board.stock.label + ".", False
    if fit := region.board.fit:
        yield f"Cut to fit: its {fit.side} is not final here.", False
    mine = [use for use in uses if not use.turned_over]
    if mine:
        yield f"Lay it, print up, on {_places(mine)}.", False
    if other := [use for use in uses if use.turned_over]:
        yield f"The other hand: mirror it (turn it over, mark through) for {_places(other)}.", False
    if region.board.stock.grained:
        yield f"Grain {LEVEL if level else UPRIGHT} on this page.", False
    for feature in region.features:
        yield _listed(region, feature, system), False


def _places(uses: Sequence[Use]) -> str:
    """Corners, by the boards that have the same ones."""
    by_corner: dict[str, list[str]] = {}
    for use in uses:
        end, edge = use.corner
        words = f"{use.surface.plain} at {end.plain} / {edge.plain}"
        by_corner.setdefault(words, []).append(use.mark)
    by_marks: dict[tuple[str, ...], list[str]] = {}
    for words, marks in by_corner.items():
        by_marks.setdefault(tuple(marks), []).append(words)
    return "; ".join(f"{', '.join(marks)}: {', '.join(w)}" for marks, w in by_marks.items())


def _listed(region: Region, feature: Feature, system: System) -> str:
    """A cut in words: what it is, and where, to check the template with a rule."""
    end, edge = (side.plain for side in region.corner)
    callout = feature.callout(region.board, system)
    if isinstance(feature, Notch):
        lo, hi = region.local_box(feature.cutters(region.board)[0])
        spans = []
        for axis, side in ((0, end), (1, edge)):
            at_far = hi[axis] >= (region.board.length, region.board.width)[axis] - 1e-6
            far = f"{side[:-1]}{'2' if side[-1] == '1' else '1'}" if at_far else ""
            start = text(lo[axis], system) if lo[axis] > 1e-6 else side
            stop = far or f"{text(hi[axis], system)} from {side}"
            spans.append(f"{start} to {stop}")
        return f"{callout}: {spans[0]}, {spans[1]}."
    centres = region.centres(feature)
    if not centres:
        return f"{callout}."
    p, q = min(centres, key=lambda c: (round(c[0] + c[1], 3), c))
    single = isinstance(feature, Hole) or (isinstance(feature, HoleRow) and feature.count == 1)
    first = "centre" if single else "first centre here"
    return f"{callout}: {first} {text(p, system)} from {end}, {text(q, system)} from {edge}."
