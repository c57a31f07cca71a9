"""The book of plans as data: title block, status, chapters, and the blocks that fill them.

    Book -> Chapter -> Plate | Picture | Table | Prose | Steps | Cautions | Cover | SheetIndex

A book says what is on its pages; `layout` says where, and `compile` makes the PDF.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from kit.draw.drafting import Scale
from kit.making.steps import Step
from kit.paper import Paper


@dataclass(frozen=True, slots=True)
class Released:
    """The plans have passed the release gate."""


@dataclass(frozen=True, slots=True)
class Draft:
    """The plans are not to be built from, for these reasons; at least one."""

    reasons: tuple[str, ...]

    def __post_init__(self) -> None:
        if not self.reasons:
            raise ValueError("A draft has a reason; plans without one are Released().")


type Standing = Released | Draft


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """What the strip at the foot of every page says; each as printed. Fields: iso-7200."""

    title: str
    owner: str
    creator: str
    approved_by: str
    number: str
    date: str
    revision: str
    units: str
    design: str
    """Begin of the hash of the design."""


class DocumentType(Enum):
    """What a page is. Names: common practice, no source."""

    COVER = "Cover sheet"
    ARRANGEMENT = "Arrangement drawing"
    ASSEMBLY = "Assembly drawing"
    DETAIL = "Detail drawing"
    PART = "Part drawing"
    DIAGRAM = "Diagram"
    LIST = "List"
    INSTRUCTION = "Instruction"
    TEMPLATE = "Full-size template"
    REPORT = "Check report"


class Align(Enum):
    """On which side of its column a cell stands."""

    LEFT = "left"
    CENTER = "center"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class Plate:
    """A drawing to scale: an SVG with its size in true mm of paper, placed at exactly that size.

    `scale` is None for what has none. A plate that is larger than `layout.drawing_area` is an
    error of the caller.
    """

    svg: str
    width_mm: float
    height_mm: float
    caption: str
    scale: Scale | None


@dataclass(frozen=True, slots=True)
class Picture:
    """An SVG that is not to scale: it is fitted to the page."""

    svg: str
    caption: str


@dataclass(frozen=True, slots=True)
class Column:
    """A column: as wide as what it holds, or `share` parts of the width that is left.

    Columns side by side with one `group` get that word above them.
    """

    title: str
    share: float = 0.0
    align: Align = Align.LEFT
    strong: bool = False
    group: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows of text under columns whose titles come again on every page."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""

    def __post_init__(self) -> None:
        if any(len(row) != len(self.columns) for row in self.rows):
            raise ValueError(f"table {self.title!r} has a row that is not as long as its head")

    @classmethod
    def of(
        cls,
        title: str,
        columns: Mapping[str, Column],
        rows: Sequence[Mapping[str, str]],
        note: str = "",
    ) -> "Table":
        """The columns named by the keys of printed rows, in the order of `columns`."""
        return cls(
            title=title,
            columns=tuple(columns.values()),
            rows=tuple(tuple(row[key] for key in columns) for row in rows),
            note=note,
        )


@dataclass(frozen=True, slots=True)
class Prose:
    """Sentences, each a paragraph."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Steps:
    """The order of work."""

    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Cautions:
    """Cautions: what of, and what to mind."""

    lines: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Cover:
    """The picture of the piece, with facts beside it."""

    svg: str
    caption: str
    facts: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class SheetIndex:
    """All chapters with their pages."""

    title: str


type Block = Plate | Picture | Table | Prose | Steps | Cautions | Cover | SheetIndex


@dataclass(frozen=True, slots=True)
class Chapter:
    """Pages that belong together; a chapter without blocks gets none."""

    title: str
    document_type: DocumentType
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """The whole book."""

    title_block: TitleBlock
    standing: Standing
    paper: Paper
    chapters: tuple[Chapter, ...]
