"""The book as PDF, by typst: data goes in as JSON, and no text of it is read as markup."""

import json
from dataclasses import asdict
from functools import cache
from pathlib import Path
from typing import Any

import typst

from kit.draw.drafting.lettering import fonts
from kit.paper import Paper
from kit.plan_pack.book import (
    Block,
    Book,
    Cautions,
    Chapter,
    Cover,
    DocumentType,
    Draft,
    Picture,
    Plate,
    Prose,
    SheetIndex,
    Standing,
    Steps,
    Table,
)
from kit.plan_pack.layout import (
    CAPTION,
    FRAME,
    FRAME_LEFT,
    INSET,
    STRIP,
    TITLE_BLOCK,
    Drawn,
    Flow,
    page_area,
    runs,
    svg_size,
)
from kit.plan_pack.scale import bar
from kit.units import MM_PER_INCH, System

TEMPLATE = Path(__file__).with_name("plan.typ")
#: Reasons of a draft that have their room on every page; the cover has all of them.
REASONS = 2


def book_pdf(book: Book) -> bytes:
    """The book as PDF, fonts embedded; the same book gives the same bytes.

    Raises ValueError for a plate that fits no page.
    """
    pdf = _compiled(book, format="pdf", timestamp=0)
    assert isinstance(pdf, bytes)
    return pdf


def book_png(book: Book, dpi: float) -> tuple[bytes, ...]:
    """The pages of the book as pictures, `dpi` dots an inch. Raises as `book_pdf`."""
    pages = _compiled(book, format="png", ppi=dpi)
    return (pages,) if isinstance(pages, bytes) else tuple(pages)


def _compiled(book: Book, **how: Any) -> Any:
    compiler = typst.Compiler(str(TEMPLATE), root=str(TEMPLATE.parent), font_paths=_fonts())
    return compiler.compile(sys_inputs={"data": json.dumps(_book(book), ensure_ascii=False)}, **how)


@cache
def _fonts() -> typst.Fonts:
    return typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(fonts())]
    )


def _book(book: Book) -> dict[str, Any]:
    system = System(book.title_block.units)
    inch = system is System.INCH
    return {
        "title": book.title_block.title,
        "paper": _paper(book.paper),
        "block": asdict(book.title_block),
        "standing": _standing(book.standing),
        "square": {"mm": MM_PER_INCH, "says": "1 in"} if inch else {"mm": 25.0, "says": "25 mm"},
        "chapters": [
            _chapter(chapter, book.paper, system) for chapter in book.chapters if chapter.blocks
        ],
    }


def _paper(paper: Paper) -> dict[str, Any]:
    return {
        "name": paper.name if paper in (Paper.A4, Paper.A3) else paper.name.title(),
        "width": paper.width,
        "height": paper.height,
        "left": FRAME_LEFT,
        "margin": FRAME,
        "inset": INSET,
        "strip": STRIP,
        "block": TITLE_BLOCK,
        "caption": CAPTION,
        "area_width": page_area(paper)[0],
        "area_height": page_area(paper)[1],
    }


def _standing(standing: Standing) -> dict[str, Any]:
    if not isinstance(standing, Draft):
        return {"draft": False, "why": ""}
    why = "; ".join(standing.reasons[:REASONS])
    more = len(standing.reasons) - REASONS
    return {"draft": True, "why": why + (f"; and {more} more: see sheet 1" if more > 0 else "")}


def _chapter(chapter: Chapter, paper: Paper, system: System) -> dict[str, Any]:
    return {
        "title": chapter.title,
        "type": chapter.document_type.value,
        "full-size": chapter.document_type is DocumentType.TEMPLATE,
        "silent": isinstance(chapter.blocks[0], Cover),
        "runs": [_run(run, system) for run in runs(chapter, paper)],
    }


def _run(run: Flow | Drawn, system: System) -> dict[str, Any]:
    if isinstance(run, Flow):
        return {
            "kind": "flow",
            "drawing": False,
            "scale": "none",
            "bars": [],
            "blocks": [_block(block) for block in run.blocks],
        }
    for p in run.placed:
        if isinstance(p.block, Plate):
            _refuse_stretched(p.block)
    scales = run.scales
    plates = any(isinstance(p.block, Plate) for p in run.placed)
    return {
        "kind": "drawn",
        "drawing": plates,
        "scale": scales[0].words if len(scales) == 1 else "as noted" if scales else "not to scale",
        "bars": [asdict(bar(scale, system)) for scale in scales],
        "placed": [
            {
                "svg": p.block.svg,
                "caption": p.block.caption,
                "scale": _scale(p.block),
                "x": p.x,
                "y": p.y,
                "width": p.width,
                "height": p.height,
                "caption_x": p.caption_x,
                "caption_width": p.caption_width,
            }
            for p in run.placed
        ],
    }


def _scale(block: Plate | Picture) -> str:
    """What a caption says of the scale."""
    return block.scale.words if isinstance(block, Plate) and block.scale else ""


def _refuse_stretched(plate: Plate) -> None:
    """A plate is printed at its very size, so its SVG must have the same shape."""
    width, height = svg_size(plate.svg)
    if abs(width * plate.height_mm - height * plate.width_mm) > 1e-3 * height * plate.width_mm:
        raise ValueError(
            f"plate {plate.caption!r} is {plate.width_mm:.1f} x {plate.height_mm:.1f} mm, and its "
            f"SVG is {width:g} x {height:g}; give both one shape."
        )


def _block(block: Block) -> dict[str, Any]:
    match block:
        case Table():
            columns = [{**asdict(c), "align": c.align.value} for c in block.columns]
            return {
                "kind": "table",
                "title": block.title,
                "columns": columns,
                "rows": block.rows,
                "note": block.note,
            }
        case Prose():
            return {"kind": "prose", "title": block.title, "lines": block.lines}
        case Steps():
            return {
                "kind": "steps",
                "steps": [
                    {
                        "number": step.number,
                        "title": step.title,
                        "gate": step.gate,
                        "lines": step.lines,
                        "cautions": step.cautions,
                    }
                    for step in block.steps
                ],
            }
        case Cautions():
            return {"kind": "cautions", "lines": block.lines}
        case Cover():
            return {"kind": "cover", **asdict(block)}
        case SheetIndex():
            return {"kind": "index", "title": block.title}
        case Plate() | Picture():
            raise TypeError("plates and pictures are placed, they do not flow")
