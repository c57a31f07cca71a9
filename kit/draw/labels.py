"""Labels on a sheet of labels: one PDF to print, and the same pages as SVG."""

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from enum import Enum
from pathlib import Path
from typing import Literal

import typst

from kit.board import Grain
from kit.draw.drafting.lettering import fonts
from kit.making.labels import Label

TEMPLATE = Path(__file__).with_name("labels.typ")


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of labels, mm: its size, where the first label is, and how many there are."""

    width: float
    height: float
    left: float
    top: float
    columns: int
    rows: int
    label_width: float
    label_height: float
    gap: float


class LabelPaper(Enum):
    """Common sheets of labels, ten to a sheet. From memory: try one on plain paper first."""

    LETTER = Sheet(215.9, 279.4, 4.0, 12.7, 2, 5, 101.6, 50.8, 4.7)
    A4 = Sheet(210.0, 297.0, 4.65, 6.0, 2, 5, 99.1, 57.0, 2.5)


def labels_pdf(rows: Sequence[Label], title: str, paper: LabelPaper) -> bytes:
    """The labels as PDF, fonts embedded; the same labels give the same bytes."""
    pdf = _compile(rows, title, paper, "pdf")
    return pdf if isinstance(pdf, bytes) else pdf[0]


def labels_svg(rows: Sequence[Label], title: str, paper: LabelPaper) -> tuple[str, ...]:
    """The pages of the labels as SVG, in order."""
    pages = _compile(rows, title, paper, "svg")
    return tuple(p.decode() for p in ([pages] if isinstance(pages, bytes) else pages))


def _compile(
    rows: Sequence[Label], title: str, paper: LabelPaper, form: Literal["pdf", "svg"]
) -> bytes | list[bytes]:
    data = {
        "title": title,
        "paper": asdict(paper.value),
        "labels": [
            {**asdict(row), "grain": row.grain.value, "turnable": row.grain is Grain.FREE}
            for row in rows
        ],
    }
    made: bytes | list[bytes] = typst.compile(
        str(TEMPLATE),
        root=str(TEMPLATE.parent),
        font_paths=[str(fonts())],
        ignore_system_fonts=True,
        format=form,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
        timestamp=0,
    )
    return made
