"""Where the blocks of a chapter go: plates and pictures each get their place on a page here,
everything else flows and is broken into pages by typst.

A page lies on its longer side. Frame: 20 mm from the left edge, 10 mm from the others
(iso-5457); the title strip stands in its foot. Lengths mm.
"""

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from kit.draw.drafting import Scale
from kit.paper import Paper
from kit.plan_pack.book import Block, Chapter, Picture, Plate

FRAME_LEFT, FRAME = 20.0, 10.0
#: Height of the title strip: the check square stands in it.
STRIP = 28.0
#: Width of the title block; iso-7200 allows 180 mm at most.
TITLE_BLOCK = 180.0
#: Between the frame and what is on the page.
INSET = 2.0
#: Under each plate and picture.
CAPTION = 6.0
#: Between plates, between pictures.
GAP = 6.0
#: A plate takes at least this width, for its caption.
NARROWEST = 45.0
#: Bars that have their room in the strip.
SCALES = 3
#: How small and how large a picture may be printed, mm for one of its own units: its smallest
#: letters, 9 to 12 units high, stay legible, and those of a small plot do not shout.
SMALLEST, LARGEST = 0.2, 0.36


@dataclass(frozen=True, slots=True)
class Placed:
    """A plate or picture on its page: from the left and top of the area to its corner."""

    block: Plate | Picture
    x: float
    y: float
    width: float
    height: float
    #: Room of its caption, which stands below it.
    caption_x: float
    caption_width: float


@dataclass(frozen=True, slots=True)
class Drawn:
    """One page of plates or pictures."""

    placed: tuple[Placed, ...]

    @property
    def scales(self) -> tuple[Scale, ...]:
        """The scales of its plates, each once."""
        plates = (p.block for p in self.placed if isinstance(p.block, Plate))
        return tuple(dict.fromkeys(p.scale for p in plates if p.scale is not None))


@dataclass(frozen=True, slots=True)
class Flow:
    """Blocks that flow over as many pages as they need."""

    blocks: tuple[Block, ...]


def drawing_area(paper: Paper) -> tuple[float, float]:
    """Width and height of the largest plate that a page holds, its caption below it."""
    width, height = page_area(paper)
    return width, height - CAPTION


def page_area(paper: Paper) -> tuple[float, float]:
    """Width and height of what is inside the frame, above the strip."""
    return (
        paper.width - FRAME_LEFT - FRAME - 2 * INSET,
        paper.height - 2 * FRAME - STRIP - 2 * INSET,
    )


def runs(chapter: Chapter, paper: Paper) -> Iterator[Flow | Drawn]:
    """The blocks of a chapter in order, as pages and as what flows.

    Raises ValueError for a plate that fits no page.
    """
    for kind, group in groupby(chapter.blocks, key=_kind):
        blocks = tuple(group)
        if kind is Plate:
            yield from _plates([b for b in blocks if isinstance(b, Plate)], paper)
        elif kind is Picture:
            yield from _pictures([b for b in blocks if isinstance(b, Picture)], paper)
        else:
            yield Flow(blocks)


def _kind(block: Block) -> type:
    return type(block) if isinstance(block, Plate | Picture) else Flow


# --- plates ---------------------------------------------------------------------------


def _plates(plates: Sequence[Plate], paper: Paper) -> Iterator[Drawn]:
    """Plates in reading order: beside each other while they fit, then in the next row."""
    width, height = page_area(paper)
    page: list[list[Plate]] = []
    for plate in plates:
        _refuse_large(plate, paper)
        if page and _row_width([*page[-1], plate]) <= width:
            wider = [*page[:-1], [*page[-1], plate]]
        else:
            wider = [*page, [plate]]
        scales = {p.scale for row in wider for p in row if p.scale is not None}
        if page and (_rows_height(wider) > height or len(scales) > SCALES):
            yield _set(page, width, height)
            page = [[plate]]
        else:
            page = wider
    if page:
        yield _set(page, width, height)


def _refuse_large(plate: Plate, paper: Paper) -> None:
    width, height = drawing_area(paper)
    if plate.width_mm > width + 1e-6 or plate.height_mm > height + 1e-6:
        raise ValueError(
            f"plate {plate.caption!r} is {plate.width_mm:.1f} x {plate.height_mm:.1f} mm, and a "
            f"page of {paper.value} holds {width:.1f} x {height:.1f} mm; draw it to a smaller "
            "scale or in parts."
        )


def _slot(plate: Plate) -> float:
    return max(plate.width_mm, NARROWEST)


def _row_width(row: Sequence[Plate]) -> float:
    return sum(map(_slot, row)) + GAP * (len(row) - 1)


def _rows_height(rows: Sequence[Sequence[Plate]]) -> float:
    return sum(max(p.height_mm for p in row) + CAPTION for row in rows) + GAP * (len(rows) - 1)


def _set(rows: Sequence[Sequence[Plate]], width: float, height: float) -> Drawn:
    """A full page: what is left over is shared out round rows and plates."""
    placed = []
    spare_y = (height - _rows_height(rows)) / (len(rows) + 1)
    y = spare_y
    for row in rows:
        high = max(plate.height_mm for plate in row)
        spare_x = (width - _row_width(row)) / (len(row) + 1)
        x = spare_x
        for plate in row:
            slot = _slot(plate)
            placed.append(
                Placed(
                    plate,
                    x + (slot - plate.width_mm) / 2,
                    y + high - plate.height_mm,
                    plate.width_mm,
                    plate.height_mm,
                    x,
                    slot,
                )
            )
            x += slot + GAP + spare_x
        y += high + CAPTION + GAP + spare_y
    return Drawn(tuple(placed))


# --- pictures -------------------------------------------------------------------------


def _pictures(pictures: Sequence[Picture], paper: Paper) -> Iterator[Drawn]:
    """Pictures in order; up to three on a page where all stay legible."""
    rest = list(pictures)
    while rest:
        count, page = _best(rest, paper)
        yield page
        rest = rest[count:]


def _best(pictures: Sequence[Picture], paper: Paper) -> tuple[int, Drawn]:
    """As many as stay legible, in the arrangement that prints them largest."""
    for count in range(min(3, len(pictures)), 0, -1):
        page = max(_arrangements(pictures[:count], paper), key=_least)
        if count == 1 or _least(page) >= SMALLEST:
            return count, page
    raise AssertionError("one picture always has its page")


def _arrangements(pictures: Sequence[Picture], paper: Paper) -> Iterable[Drawn]:
    """All beside each other, and all below each other."""
    width, height = page_area(paper)
    count = len(pictures)
    beside = (width - GAP * (count - 1)) / count
    below = (height - GAP * (count - 1)) / count
    yield Drawn(
        tuple(
            _fitted(picture, i * (beside + GAP), 0.0, beside, height)
            for i, picture in enumerate(pictures)
        )
    )
    yield Drawn(
        tuple(
            _fitted(picture, 0.0, i * (below + GAP), width, below)
            for i, picture in enumerate(pictures)
        )
    )


def _fitted(picture: Picture, x: float, y: float, width: float, height: float) -> Placed:
    """A picture in the middle of its room, as large as that allows."""
    own_width, own_height = svg_size(picture.svg)
    high = height - CAPTION
    each = min(width / own_width, high / own_height, LARGEST)
    w, h = own_width * each, own_height * each
    return Placed(picture, x + (width - w) / 2, y + (high - h) / 2, w, h, x, width)


def _least(page: Drawn) -> float:
    return min(p.width / svg_size(p.block.svg)[0] for p in page.placed)


def svg_size(svg: str) -> tuple[float, float]:
    """Width and height of an SVG in its own units: its view box, else its width and height."""
    root = ET.fromstring(svg)
    if box := root.get("viewBox"):
        _, _, width, height = map(float, box.replace(",", " ").split())
        return width, height
    return _number(root.get("width")), _number(root.get("height"))


def _number(words: str | None) -> float:
    found = re.match(r"[\d.]+", words or "")
    if found is None:
        raise ValueError("an SVG without view box, width and height has no size")
    return float(found[0])
