"""Sheet layouts as pictures: drawn to scale, legible in print and without colour.

Boards are white with their mark, name and size; the grain arrow runs with the face grain and
a ring marks a board that may be turned. Waste is hatched, trims are hatched the other way,
zones to avoid are crossed, offcuts worth keeping are dashed and named, and every cut carries
its number in the order of the work. All sizes are width x length, the length along the grain;
a key below the sheet tells what the marks mean.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import hypot

from kit.casework import Casework
from kit.draw.svg import INK, Anchor, Canvas, text_width
from kit.edition import Edition, edition
from kit.making.cut_order import SawCut, Stage
from kit.making.nesting.layout import CutAxis, CutNode, Placement, Rect, SheetLayout
from kit.making.sheet_data import cuts_of, offcut_name, sheet_name
from kit.making.sheets import Part, StockPlan
from kit.units import System, decimal, text

WIDTH = 1120.0
MARGIN, HEAD, FOOT = 34.0, 64.0, 30.0
#: Sizes of text in px: greatest and least in a board, and the rest.
LARGEST, LEAST, PLAIN = 17.0, 7.0, 13.0
#: Text is turned only where it would be smaller than this, px.
SMALL = 10.0
#: From the number of one cut to the next, where they would lie on each other, px.
MARK_PITCH = 16.0
#: Width and height of a sample in the key, px.
SAMPLE = (22.0, 13.0)

#: Left, top, width and height, px.
type _Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class _Scale:
    """From mm on the sheet (origin lower left) to px on the picture (origin upper left)."""

    per_mm: float
    height_mm: float

    def rect(self, rect: Rect) -> _Box:
        top = HEAD + (self.height_mm - rect.top_mm) * self.per_mm
        left = MARGIN + rect.x_mm * self.per_mm
        return (left, top, rect.length_mm * self.per_mm, rect.width_mm * self.per_mm)

    def point(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        return (MARGIN + x_mm * self.per_mm, HEAD + (self.height_mm - y_mm) * self.per_mm)


def sheet_svg(
    casework: Casework, plan: StockPlan, sheet: SheetLayout, *, units: System | None = None
) -> str:
    """One sheet of a plan as SVG; the same layout gives the same text."""
    system = units or casework.design.shop.units
    printed = edition(casework, system)
    length, width = sheet.sheet.length_mm, sheet.sheet.width_mm
    scale = _Scale((WIDTH - 2 * MARGIN) / length, width)
    height = HEAD + width * scale.per_mm + FOOT
    name = sheet_name(casework, plan, sheet, f" of {len(plan.layout.sheets)}")
    title = f"{plan.stock.label}: {name}, {printed.text(width)} x {printed.text(length)}"
    canvas = Canvas.of(WIDTH, height, f"{casework.design.name}. {title}")
    waste = canvas.hatch("waste", 7.0, rising=True)
    trim = canvas.hatch("trim", 4.0, rising=False)
    canvas.rect(0, 0, WIDTH, height, fill="#ffffff", line=0)
    fitting = min(17.0, (WIDTH - 2 * MARGIN) / text_width(title, 1.0))
    canvas.text(MARGIN, 20, title, size=fitting, anchor=Anchor.START, bold=True)
    kerf = plan.layout.kerf_mm
    good = casework.design.shop.sheet_saw.good_face.value
    facts = (
        f"{sheet.yield_share:.0%} becomes boards; kerf {decimal(kerf, system)}; "
        f"{_trims(sheet, system)}; good face {good}"
        + ("; face grain runs left to right" if plan.stock.grained else "")
        + (f"; the grain costs {plan.grain_cost}" if plan.grain_cost else "")
        + "".join(f"; {said}" for said in plan.hangs_on)
    )
    fitting = min(PLAIN, (WIDTH - 2 * MARGIN) / text_width(facts, 1.0))
    canvas.text(MARGIN, 44, facts, size=fitting, anchor=Anchor.START)
    canvas.rect(*scale.rect(Rect(0, 0, length, width)), fill=trim, line=0)
    canvas.rect(*scale.rect(sheet.sheet.usable), fill="#ffffff", line=0)
    canvas.rect(*scale.rect(sheet.sheet.usable), fill=waste, line=0.6)
    for defect in sheet.sheet.defects:
        _crossed(canvas, scale.rect(defect))
    kept = {offcut.rect: offcut_name(plan, offcut) for offcut in sheet.offcuts}
    for node in sheet.cuts.walk():
        if node.rect in kept and node.axis is None:
            _offcut(canvas, scale, node, kept[node.rect], printed)
    parts = {part.name: part for part in plan.parts}
    for placement in sheet.placements:
        _board(canvas, scale, casework, parts[placement.piece.name], placement, printed)
    canvas.rect(*scale.rect(Rect(0, 0, length, width)), line=2.4)
    marks: list[tuple[float, float]] = []
    for cut in cuts_of(plan, sheet):
        _cut_mark(canvas, scale, cut, kerf, marks)
    _key(canvas, HEAD + width * scale.per_mm + 18, sheet, waste=waste, trim=trim)
    return canvas.markup()


def _key(canvas: Canvas, middle: float, sheet: SheetLayout, *, waste: str, trim: str) -> None:
    """One line of samples with their meaning: of the marks that this sheet has."""
    locked = {placement.piece.grain_locked for placement in sheet.placements}
    entries: list[tuple[str, Callable[[float, float], None]]] = [
        ("waste", lambda x, y: canvas.rect(x, y, *SAMPLE, fill=waste, line=0.6))
    ]
    if sheet.sheet.usable.area_mm2 < sheet.sheet.length_mm * sheet.sheet.width_mm - 1.0:
        entries.append(("trim", lambda x, y: canvas.rect(x, y, *SAMPLE, fill=trim, line=0.6)))
    if sheet.offcuts:
        entries.append(("offcut to keep", lambda x, y: _dashed(canvas, (x, y, *SAMPLE))))
    if sheet.sheet.defects:
        entries.append(("no board here", lambda x, y: _crossed(canvas, (x, y, *SAMPLE))))
    if True in locked:
        entries.append(("grain", lambda x, y: _grain(canvas, (x, y, *SAMPLE), 8.0, locked=True)))
    if False in locked:
        entries.append(
            ("may be turned", lambda x, y: _grain(canvas, (x, y, *SAMPLE), 10.0, locked=False))
        )
    entries.append(("cuts in order", lambda x, y: _disc(canvas, x + 11, y + SAMPLE[1] / 2, "1")))
    x = MARGIN
    for words, draw in entries:
        draw(x, middle - SAMPLE[1] / 2)
        x += SAMPLE[0] + 5
        canvas.text(x, middle, words, size=11, anchor=Anchor.START)
        x += text_width(words, 11) + 14
    sizes = "sizes: width x length" + (", length along the grain" if True in locked else "")
    canvas.text(x, middle, sizes, size=11, anchor=Anchor.START)


def _trims(sheet: SheetLayout, system: System) -> str:
    trims = sheet.sheet.trims
    sizes = {trims.left_mm, trims.right_mm, trims.bottom_mm, trims.top_mm}
    if sizes == {0.0}:
        return "no edge trim"
    if len(sizes) == 1:
        return f"{text(trims.left_mm, system)} trimmed off each edge"
    return "edges trimmed as hatched"


def _crossed(canvas: Canvas, box: _Box) -> None:
    x, y, w, h = box
    canvas.rect(x, y, w, h, fill="#ffffff", line=1.2)
    canvas.line(x, y, x + w, y + h)
    canvas.line(x, y + h, x + w, y)


def _dashed(canvas: Canvas, box: _Box) -> None:
    x, y, w, h = box
    canvas.rect(x, y, w, h, fill="#ffffff", line=0)
    for x1, y1, x2, y2 in (
        (x, y, x + w, y),
        (x, y + h, x + w, y + h),
        (x, y, x, y + h),
        (x + w, y, x + w, y + h),
    ):
        canvas.line(x1, y1, x2, y2, width=0.8, dash="5 3")


def _offcut(canvas: Canvas, scale: _Scale, node: CutNode, name: str, printed: Edition) -> None:
    box = scale.rect(node.rect)
    _dashed(canvas, box)
    size = f"{printed.text(node.rect.width_mm)} x {printed.text(node.rect.length_mm)}"
    _lines(canvas, box, [(name, size), (name,)], largest=PLAIN)


def _board(
    canvas: Canvas,
    scale: _Scale,
    casework: Casework,
    part: Part,
    placement: Placement,
    printed: Edition,
) -> None:
    x, y, w, h = scale.rect(placement.rect)
    canvas.rect(x, y, w, h, fill="#ffffff", line=1.4)
    piece = placement.piece
    mark = casework.marks[part.board.name]
    label = f"{mark}  {part.name}"
    size = f"{printed.piece(piece.width_mm)} x {printed.piece(piece.length_mm)}"
    arrow = min(16.0, 0.22 * min(w, h))
    across = w < h
    room = (x + arrow, y, w - arrow, h) if across else (x, y, w, h - arrow)
    choices = [(label, size), (f"{label}  {size}",), (label,), (mark,)]
    _lines(canvas, room, choices, largest=LARGEST, bold=True)
    _grain(canvas, (x, y, w, h), arrow, locked=piece.grain_locked)


def _grain(canvas: Canvas, box: _Box, size: float, *, locked: bool) -> None:
    """A double-headed arrow with the board's grain, or a ring where it may be turned."""
    x, y, w, h = box
    across = w < h
    cx, cy = (x + 0.6 * size + 2, y + h / 2) if across else (x + w / 2, y + h - 0.6 * size - 2)
    if not locked:
        canvas.circle(cx, cy, max(2.0, 0.3 * size), line=1.0)
        return
    reach = 0.5 * (min(w, 3 * size) if across else min(w - 8, 70.0))
    head = max(1.6, 0.28 * size)
    if across:
        reach = min(reach, cx - x - 1)
    canvas.line(cx - reach, cy, cx + reach, cy, width=0.9)
    for tip, way in ((cx - reach, 1), (cx + reach, -1)):
        canvas.line(tip, cy, tip + way * head, cy - head * 0.6, width=0.9)
        canvas.line(tip, cy, tip + way * head, cy + head * 0.6, width=0.9)


def _lines(
    canvas: Canvas,
    box: _Box,
    choices: Sequence[Sequence[str]],
    *,
    largest: float,
    bold: bool = False,
) -> None:
    """The first of the choices of lines that is readable in the box; the last in any case.

    As large as the box allows, never outside it, turned where that is larger; `bold` holds
    for the first line.
    """
    x, y, w, h = box
    fitted = [(lines, *_fitted(lines, w, h, largest)) for lines in choices]
    lines, size, upright = next((one for one in fitted if one[1] >= LEAST), fitted[-1])
    for number, words in enumerate(lines):
        shift = (number - (len(lines) - 1) / 2) * 1.25 * size
        at = (x + w / 2, y + h / 2 + shift) if upright else (x + w / 2 + shift, y + h / 2)
        canvas.text(*at, words, size=size, bold=bold and number == 0, upright=upright)


def _fitted(lines: Sequence[str], w: float, h: float, largest: float) -> tuple[float, bool]:
    """The size in px of lines that fill a box, and whether they stand upright in it."""
    longest = max(text_width(words, 1.0) for words in lines)

    def size(along: float, across: float) -> float:
        return min(largest, 0.94 * along / longest, 0.8 * across / (1.25 * len(lines)))

    level, turned = size(w, h), size(h, w)
    return (turned, False) if level < SMALL and turned > level else (level, True)


def _cut_mark(
    canvas: Canvas, scale: _Scale, cut: SawCut, kerf: float, marks: list[tuple[float, float]]
) -> None:
    """A numbered disc where the cut enters the piece, or along it where other `marks` are not."""
    middle = cut.at + kerf / 2
    if cut.stage is Stage.SQUARE:
        middle = cut.at
    if cut.stage is Stage.TRUE:  # beside the kerf that ends the piece, which has its own disc
        middle = cut.at - 24.0 / scale.per_mm
    if cut.axis is CutAxis.CROSSCUT:
        x, y = scale.point(middle, cut.piece.top_mm)
        along, y = (0.0, MARK_PITCH), y + 9.0
    else:
        x, y = scale.point(cut.piece.x_mm, middle)
        along, x = (MARK_PITCH, 0.0), x + 9.0
    while any(hypot(x - a, y - b) < MARK_PITCH - 0.5 for a, b in marks):
        x, y = x + along[0], y + along[1]
    marks.append((x, y))
    _disc(canvas, x, y, str(cut.number))


def _disc(canvas: Canvas, x: float, y: float, words: str) -> None:
    r = 7.5 if len(words) < 3 else 9.5
    canvas.circle(x, y, r, fill=INK, line=0)
    canvas.text(x, y, words, size=9.5, fill="#ffffff", bold=True)
