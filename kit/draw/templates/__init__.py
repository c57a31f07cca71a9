"""Full-size templates: the corners of boards that are hard to lay out with a rule, to print.

    board -> regions that deserve one (`region`) -> ink at 1:1 (`ink`) -> one sheet with all
    its words (`sheet`) -> pages with check rules and words, cut from it (`clip`, `plate`, `words`)

Each is given once, with all the places it serves; the other hand of a board uses it turned
over. One that is larger than a page goes on several that overlap; where more than
`plate.MOST` pages were needed there is none, and the part drawing serves. So it is for what
lies far from every corner of its board.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from kit.casework import Casework
from kit.draw.as_measured import as_measured
from kit.draw.drafting import Figure, Words
from kit.draw.drafting.figure import Item
from kit.draw.templates.ink import cuts
from kit.draw.templates.plate import Tile, layout, tiles
from kit.draw.templates.region import Region, regions
from kit.draw.templates.sheet import Sheet
from kit.draw.templates.words import Use
from kit.units import System

__all__ = ["Template", "Tile", "Use", "templates"]

SIDE = re.compile(r"\b(end|edge) [12]\b")
#: As many marks stand in a caption.
MARKS = 4
#: Numbers nearer than this are the same on paper, mm.
SAME = 0.01


@dataclass(frozen=True)
class Template:
    """A region of a board at full size, and its pages; `uses` are all the places it serves.

    `sheet` is the whole of it in one drawing, without check rules and page words, the corner
    of the board at its origin.
    """

    sheet: Sheet
    uses: tuple[Use, ...]
    tiles: tuple[Tile, ...]

    @property
    def region(self) -> Region:
        """The part of the board that it shows."""
        return self.sheet.region

    @property
    def figure(self) -> Figure:
        """All of it in one drawing, however large."""
        return self.sheet.figure

    @cached_property
    def boards(self) -> tuple[str, ...]:
        """Names of the boards that it serves."""
        return tuple(dict.fromkeys(use.board for use in self.uses))

    @cached_property
    def marks(self) -> tuple[str, ...]:
        """Their marks."""
        return tuple(dict.fromkeys(use.mark for use in self.uses))

    @property
    def title(self) -> str:
        """Names of its boards, and its corner."""
        return f"{', '.join(self.boards)}: {self.where}"

    @property
    def where(self) -> str:
        """Marks in short, face and corner: of the first place that it serves."""
        end, edge = self.region.corner
        marks, more = self.marks[:MARKS], len(self.marks) - MARKS
        said = ", ".join(marks) + (f" and {more} more" if more > 0 else "")
        return f"{said}, {self.region.surface.plain}, {end.plain} / {edge.plain}"


def templates(
    casework: Casework, system: System, room: tuple[float, float]
) -> tuple[Template, ...]:
    """The templates of a piece, in the order of its boards.

    `room` is the width and height of a page, mm; no SVG of a tile is larger. A board that is
    cut to fit is shown as its opening was measured, where it was.
    """
    return tuple(_templates(casework, system, room))


def _templates(casework: Casework, system: System, room: tuple[float, float]) -> Iterator[Template]:
    groups: list[tuple[_Look, Region, list[Use]]] = []
    for planned in casework.boards:
        board = as_measured(casework, planned)
        mark = casework.marks[board.name]

        def pages(region: Region, mark: str = mark) -> int:
            way = layout(region, [_use(region, mark)], system, room)
            return way.pages if way else 0

        for region in regions(board, pages):
            look = _Look.of(region, system)
            for other, first, uses in groups:
                if look.like(other):
                    uses.append(_use(region, mark, first))
                    break
            else:
                groups.append((look, region, [_use(region, mark)]))
    for _, region, uses in groups:
        yield from _given(region, tuple(uses), system, room)


def _use(region: Region, mark: str, first: Region | None = None) -> Use:
    over = first is not None and first.lengthwise is not region.lengthwise
    return Use(mark, region.board.name, region.surface, region.corner, over)


def _given(
    region: Region, uses: tuple[Use, ...], system: System, room: tuple[float, float]
) -> Iterator[Template]:
    """The template for some places; several, where so many places do not go on its page."""
    way = layout(region, uses, system, room)
    if way is not None:
        sheet, pages = tiles(region, uses, system, room, way)
        yield Template(sheet, uses, pages)
    elif len(uses) > 1:
        half = len(uses) // 2
        yield from _given(region, uses[:half], system, room)
        yield from _given(region, uses[half:], system, room)


@dataclass(frozen=True)
class _Look:
    """What two regions have in common that one template serves: words, and numbers in mm."""

    words: tuple[str, ...]
    numbers: tuple[float, ...]

    @classmethod
    def of(cls, region: Region, system: System) -> "_Look":
        """The look of a region from its corner, whichever that is and whatever its hand."""
        board = region.board
        words = [board.stock.label, str(board.stock.grained), str(region.whole)]
        words.append(board.fit.side if board.fit else "")
        # which end or edge a pocket hole leaves by is told by the lines
        words += [SIDE.sub(r"\1", f.callout(board, system)) for f in region.features]
        shapes = sorted(_shape(item) for item in cuts(region))
        words += [word for _, word, _ in shapes]
        numbers = (*region.size, *(x for _, _, frame in shapes for x in frame))
        return cls(tuple(words), numbers)

    def like(self, other: "_Look") -> bool:
        """Whether the two are the same on paper."""
        return (
            self.words == other.words
            and len(self.numbers) == len(other.numbers)
            and all(abs(a - b) < SAME for a, b in zip(self.numbers, other.numbers, strict=True))
        )


def _shape(item: Item) -> tuple[tuple[int, ...], str, tuple[float, ...]]:
    """What tells a line from another, in an order that does not hang on noise.

    Lines of a region are level, upright, or the same about both axes: their frames tell.
    """
    frame = (item.frame.x0, item.frame.y0, item.frame.x1, item.frame.y1)
    word = type(item).__name__ + ("" if isinstance(item, Words) else str(item.line))
    return tuple(round(x) for x in frame), word, frame
