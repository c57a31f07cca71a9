"""The drawings of the book: views, sections, details, exploded, part drawings, templates.

They are drawn once, before the release gate asks what stands on them. `layout.drawing_area`
says how large a plate may be; small ones are set beside each other.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from kit.casework import Casework
from kit.draw.drafting import SCALES, Figure, Scale
from kit.draw.parts import PartDrawing, part_drawings
from kit.draw.templates import templates
from kit.draw.views import (
    Drawing,
    Exploded,
    details,
    doors_open_svg,
    exploded,
    overall,
    sections,
)
from kit.paper import Paper
from kit.plan_pack.book import Block, DocumentType, Picture, Plate, Prose
from kit.plan_pack.layout import drawing_area
from kit.plan_pack.progress import Step

#: White round a figure within its plate, mm.
MARGIN = 1.0


@dataclass(frozen=True)
class Drawings:
    """The drawings of a design on one paper: (title, type, blocks) of each chapter in order.

    `marks` are the letters of boards that stand on them, by chapter; `parts` the part drawings
    that one of the chapters was made from; `templates` come later in the book.
    """

    chapters: tuple[tuple[str, DocumentType, tuple[Block, ...]], ...]
    templates: tuple[Block, ...]
    marks: Mapping[str, tuple[str, ...]]
    parts: tuple[PartDrawing, ...]


def drawings(
    casework: Casework, paper: Paper, *, progress: Callable[[Step], None] = lambda step: None
) -> Drawings:
    """Draw everything; `progress` is told each step before it begins.

    Raises SolidError where a board cannot be built, and what `progress` raises.
    """
    system, room = casework.design.shop.units, _room(paper)
    progress(Step.VIEWS)
    whole = [overall(casework, system, room)]
    cuts = sections(casework, system, room)
    close = details(casework, system, room)
    progress(Step.PARTS)
    parts = part_drawings(casework, system, room)
    progress(Step.APART)
    apart = exploded(casework)
    pictures = tuple(_pictures(casework, apart))
    progress(Step.TEMPLATES)
    full_size = tuple(_template_plates(casework, paper))
    marks = {
        "Sections": tuple(sorted({mark for drawing in cuts for mark in drawing.marks})),
        "Details": tuple(sorted({mark for drawing in close for mark in drawing.marks})),
        "Exploded view": tuple(apart.lettered),
        "Part drawings": tuple(mark for part in parts for mark in part.marks),
    }
    return Drawings(
        chapters=(
            ("Views", DocumentType.ARRANGEMENT, _plates(whole)),
            ("Sections", DocumentType.ARRANGEMENT, _plates(cuts)),
            ("Details", DocumentType.DETAIL, _plates(close)),
            ("Exploded view", DocumentType.ASSEMBLY, pictures),
            ("Part drawings", DocumentType.PART, tuple(_part_plates(parts))),
        ),
        templates=full_size,
        marks=marks,
        parts=parts,
    )


def _pictures(casework: Casework, apart: Exploded) -> Iterator[Block]:
    """The piece taken apart, every board with its letter; and with its doors open."""
    yield Picture(apart.svg, "Taken apart, with the letters of the cut list")
    if apart.unlettered:
        hidden = ", ".join(apart.unlettered)
        yield Prose("", (f"Hidden behind others in this picture: {hidden}.",))
    opened = doors_open_svg(casework)
    if opened is not None:
        yield Picture(opened, "With the doors open")


def _part_plates(parts: Iterable[PartDrawing]) -> Iterator[Plate]:
    for part in parts:
        for figure in part.figures:
            yield _plate(figure, part.title, part.scale)


def _template_plates(casework: Casework, paper: Paper) -> Iterator[Plate]:
    """Templates at full size, each page of one a plate."""
    system = casework.design.shop.units
    for template in templates(casework, system, drawing_area(paper)):
        for tile in template.tiles:
            page = f", page {tile.name}" if len(template.tiles) > 1 else ""
            caption = f"Template {template.where}{page}"
            yield _plate(tile.figure, caption, SCALES[system][0])


def _plates(drawings: Iterable[Drawing]) -> tuple[Block, ...]:
    return tuple(_plate(d.figure, d.title, d.scale) for d in drawings)


def _plate(figure: Figure, caption: str, scale: Scale) -> Plate:
    frame = figure.frame.grown(MARGIN)
    svg = figure.svg(caption, margin=MARGIN)
    return Plate(svg, frame.width, frame.height, caption, scale)


def _room(paper: Paper) -> tuple[float, float]:
    width, height = drawing_area(paper)
    return (width - 2 * MARGIN, height - 2 * MARGIN)
