"""One board on its own figure: heading, views, sections, notes."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from kit.board import Board, Feature, Surface
from kit.casework import Casework
from kit.draw.as_measured import as_measured
from kit.draw.drafting import (
    CAPITALS,
    RING,
    SCALES,
    TITLE,
    Disc,
    Figure,
    Line,
    Scale,
    Words,
    largest_scale,
    ring,
    rows,
    stacked,
    width,
    wrapped,
)
from kit.draw.drafting.figure import Item
from kit.draw.parts.section import Profile, profiles, section_figure
from kit.draw.parts.surface import Drawn, surface_view
from kit.draw.svg import Anchor
from kit.edition import Edition, edition
from kit.geometry import cutter_box
from kit.making.cut_order import diagonal
from kit.units import System, decimal

#: More boards than this that are the same are named in a list.
FEW = 4
UNITS = {System.INCH: "inches", System.METRIC: "mm"}
#: Between views, mm on paper.
GAP = 5.0
#: A part drawing is kept this low if a little smaller scale allows it, as a share of the room.
SHARE = 0.48
#: How much smaller a scale may be for that; and the largest scale of a view, one to this.
SMALLER, LARGEST = 2.1, 2.0
#: Sections are drawn full size, or half size where that is too wide, mm on paper.
SECTION_WIDE = 120.0
#: The key of the numbers: lines in a column, and its width, mm on paper.
KEY_ROWS, KEY_WIDE = 7, 74.0
#: Width of the notes: two narrow figures stand beside each other on a page, mm on paper.
NOTES_WIDE = 112.0


@dataclass(frozen=True)
class PartDrawing:
    """The figures of one board, or of several that are the same; `scale` is that of its views.

    One figure, or more where all that is cut into the board does not fit on one page.
    """

    boards: tuple[Board, ...]
    marks: tuple[str, ...]
    scale: Scale
    figures: tuple[Figure, ...]
    drawn: tuple[Drawn, ...]

    @cached_property
    def title(self) -> str:
        """Marks and names; of many boards the first and the last."""
        named = [f"{m} {b.name}" for m, b in zip(self.marks, self.boards, strict=True)]
        if len(named) > FEW:
            return f"{len(named)}x: {named[0]} to {named[-1]}"
        return ", ".join(named)


def part_drawings(
    casework: Casework, system: System, room: tuple[float, float]
) -> tuple[PartDrawing, ...]:
    """A figure for every board; boards that are the same in every way share one.

    `room` is the width and height that a page has for it, mm. A board that is cut to fit is
    drawn as its opening was measured, where it was. Identical boards stand together
    where the first of them stands in build order.
    """
    alike: dict[Board, list[Board]] = {}
    for planned in casework.boards:
        board = as_measured(casework, planned)
        alike.setdefault(_sameness(board), []).append(board)
    sizes = edition(casework, system)
    return tuple(part_drawing(casework, tuple(same), sizes, room) for same in alike.values())


def part_drawing(
    casework: Casework, boards: tuple[Board, ...], sizes: Edition, room: tuple[float, float]
) -> PartDrawing:
    """The figure of one board or of several that are the same, at the largest scale that fits.

    `room` is width and height in mm on paper. A smaller scale is taken where it makes the
    figure so low that a second one fits on the page.
    """
    board, system = boards[0], sizes.system
    content = _Content.of(casework, boards, sizes, room)
    chosen: tuple[Scale, tuple[Figure, ...], tuple[Drawn, ...]] | None = None
    for scale in SCALES[system]:
        if scale.ratio < LARGEST or scale.on_paper(board.length) > room[0]:
            continue
        if chosen and scale.ratio > SMALLER * chosen[0].ratio:
            break
        figures, drawn = content.composed(scale)
        if all(f.frame.width <= room[0] and f.frame.height <= room[1] for f in figures):
            low = len(figures) == 1 and figures[0].frame.height <= SHARE * room[1]
            if chosen is None or len(figures) < len(chosen[1]) or low:
                chosen = (scale, figures, drawn)
            if low:
                break
    if chosen is None:  # longer than any page at the smallest scale
        scale = SCALES[system][-1]
        chosen = (scale, *content.composed(scale))
    scale, figures, drawn = chosen
    marks = tuple(casework.marks[board.name] for board in boards)
    return PartDrawing(boards, marks, scale, figures, drawn)


def _sameness(board: Board) -> Board:
    """The board without what tells it apart from others that are made alike."""
    return replace(board, name="board", place=replace(board.place, corner=(0.0, 0.0, 0.0)))


@dataclass(frozen=True)
class _Content:
    """What a part drawing shows, but for the views, which depend on the scale."""

    casework: Casework
    boards: tuple[Board, ...]
    sizes: Edition
    room: tuple[float, float]
    numbers: dict[Feature, str]
    beside: tuple[Figure, ...]
    notes: Figure

    @classmethod
    def of(
        cls,
        casework: Casework,
        boards: tuple[Board, ...],
        sizes: Edition,
        room: tuple[float, float],
    ) -> "_Content":
        """The key, the sections and the notes of some boards that are the same."""
        system = sizes.system
        numbers, lines = _numbered(boards[0], system)
        sections = [_section(letter, group, system) for letter, group in _sections(boards[0])]
        notes = _notes(casework, boards, sizes, min(room[0], NOTES_WIDE))
        return cls(casework, boards, sizes, room, numbers, (*_key(lines), *sections), notes)

    def composed(self, scale: Scale) -> tuple[tuple[Figure, ...], tuple[Drawn, ...]]:
        """The pages at a scale, and the dimensions that stand on them."""
        board = self.boards[0]
        views = [
            surface_view(board, surface, scale, self.sizes, self.numbers)
            for surface in _surfaces(board)
        ]
        figures = [*(view.figure for view in views), *self.beside]
        pages: list[Figure] = []
        page = [self._heading("")]
        for row in (*rows(figures, 1.5 * GAP, self.room[0]), self.notes):
            longer = [*page, row]
            if len(page) > 1 and stacked(longer, GAP).frame.height > self.room[1]:
                pages.append(stacked(page, GAP))
                longer = [self._heading(" (continued)"), row]
            page = longer
        pages.append(stacked(page, GAP))
        return tuple(pages), tuple(d for view in views for d in view.drawn)

    def _heading(self, more: str) -> Figure:
        """Marks in rings, names, size and material; of many boards the marks in a list."""
        board = self.boards[0]
        marks = [self.casework.marks[one.name] for one in self.boards]
        count = f" ({len(self.boards)}x)" if len(self.boards) > 1 else ""
        lines = [(", ".join(one.name for one in self.boards) + count + more, TITLE)]
        items: list[Item] = []
        x = 0.0
        if len(self.boards) > FEW:
            wide = min(self.room[0], NOTES_WIDE)
            names = wrapped(", ".join(one.name for one in self.boards), wide)
            lines = [(words, TITLE) for words in wrapped(", ".join(marks), wide, TITLE, bold=True)]
            lines[-1] = (lines[-1][0] + count + more, TITLE)
            lines += [(words, CAPITALS) for words in names]
            marks = []
        for mark in marks:
            half = max(width(mark, TITLE, bold=True) / 2 + 1.6, 3.4)
            items.append(Disc((x + half, 0.0), half, Line.VISIBLE))
            items.append(Words((x + half, 0.0), mark, TITLE, bold=True))
            x += 2 * half + 1.5
        thick = decimal(board.thickness, self.sizes.system)
        size = f"{thick} x {self.sizes.boards[board.name].finished.text} (T x W x L)"
        layers = f", {board.layers} layers" if board.layers > 1 else ""
        lines += [(size, CAPITALS), (f"{board.stock.label}{layers}", CAPITALS)]
        y = 1.8
        for words, capitals in lines:
            at = (x + 1.5, y)
            items.append(Words(at, words, capitals, Anchor.START, bold=capitals == TITLE))
            y -= 1.5 * capitals + 0.5
        return Figure(tuple(items))


def _numbered(board: Board, system: System) -> tuple[dict[Feature, str], list[tuple[str, str]]]:
    """The number of each feature, and the words of each number; what reads alike shares one."""
    letters = {
        channel: letter
        for letter, group in _sections(board)
        for profile in group
        for channel in profile.channels
    }
    alike: dict[tuple[Surface, str], list[Feature]] = {}
    for feature in board.features:
        words = feature.callout(board, system)
        if feature in letters:
            words += f"; section {letters[feature]}"
        alike.setdefault((feature.surface, words), []).append(feature)
    numbers: dict[Feature, str] = {}
    lines = []
    for number, ((_, words), features) in enumerate(alike.items(), start=1):
        numbers |= dict.fromkeys(features, str(number))
        lines.append((str(number), f"{len(features)}x: {words}" if len(features) > 1 else words))
    return numbers, lines


def _key(lines: list[tuple[str, str]]) -> Iterator[Figure]:
    """What the numbers mean, in columns."""
    for start in range(0, len(lines), KEY_ROWS):
        items: list[Item] = []
        y = 0.0
        for number, words in lines[start : start + KEY_ROWS]:
            items += ring((RING, y), number)
            for line in wrapped(words, KEY_WIDE):
                items.append(Words((2 * RING + 1.5, y), line, anchor=Anchor.START))
                y -= CAPITALS * 1.7
            y -= 1.8
        yield Figure(tuple(items))


def _surfaces(board: Board) -> tuple[Surface, ...]:
    """The surfaces that something is cut into; the show face where there is nothing."""
    cut = [s for s in Surface if any(f.surface is s for f in board.features)]
    faces = [s for s in cut if s.axis == 2]
    return tuple(faces or [Surface.FACE_A]) + tuple(s for s in cut if s.axis != 2)


def _sections(board: Board) -> Iterator[tuple[str, tuple[Profile, ...]]]:
    """The letter of each section, and the profiles that look like it."""
    for number, group in enumerate(profiles(board)):
        yield chr(ord("A") + number), group


def _section(letter: str, group: tuple[Profile, ...], system: System) -> Figure:
    profile = group[0]
    full, half = (largest_scale(system, lambda s: True, most=m) for m in (1.0, 2.0))
    scale = full if profile.high - profile.low <= SECTION_WIDE else half
    figure = section_figure(profile, scale, system)
    count = f", {len(group)}x" if len(group) > 1 else ""
    words = f"Section {letter}{count}, {profile.channels[0].surface.plain} up, {scale.words}"
    caption = Words((0.0, 0.0), words, anchor=Anchor.START)
    return stacked([figure, Figure((caption,))], 2.5)


def _notes(casework: Casework, boards: tuple[Board, ...], sizes: Edition, room: float) -> Figure:
    lines = [line for note in _note_lines(casework, boards, sizes) for line in wrapped(note, room)]
    return Figure(
        tuple(
            Words((0.0, -i * CAPITALS * 1.7), line, anchor=Anchor.START)
            for i, line in enumerate(lines)
        )
    )


def _note_lines(casework: Casework, boards: tuple[Board, ...], sizes: Edition) -> Iterator[str]:
    board = boards[0]
    thickness = "measured" if board.stock.measured else "NOT measured: measure before cutting"
    yield (
        f"Finished sizes from end 1 and edge 1 (0), in {UNITS[sizes.system]}. "
        f"Thickness {thickness}. Grain {board.grain.value}."
    )
    if board.edged:
        edges = ", ".join(surface.plain for surface in board.edged)
        yield f"Banded (chain line): {edges}."
    if board.fit:
        yield f"CUT TO FIT: {sizes.boards[board.name].fit}. Measure, then cut."
    if casework.by_name[board.name].fit and not board.fit:
        yield "Its opening was measured; this is the size to cut."
    if diagonal(board) is not None:
        yield f"Diagonals when cut: {sizes.diagonal(board.cut)} both ways."
    for twin in _twins(casework, board):
        yield f"Opposite hand of {casework.marks[twin.name]} {twin.name}: same numbers, mirrored."


def _twins(casework: Casework, board: Board) -> Iterator[Board]:
    """Boards with the same numbers and the other hand."""
    mine = _numbers(board)
    for other in casework.boards:
        twin = other.place.mirrored is not board.place.mirrored and _numbers(other) == mine
        if twin and board.features:
            yield other


def _numbers(board: Board) -> tuple[object, ...]:
    """The sizes of a board and of all that is cut into it, whatever it is cut for; to 0.001 mm."""
    cuts = sorted(
        (type(feature).__name__, feature.surface.plain, *(round(x, 3) for x in (*box.lo, *box.hi)))
        for feature in board.features
        for box in map(cutter_box, feature.cutters(board))
    )
    size = board.finished
    return (*(round(x, 3) for x in (size.thickness, size.width, size.length)), *cuts)
