"""The words on a drawing: what it shows, what to mind, and a 100 mm line to check the scale."""

from collections.abc import Iterator, Sequence

from kit.board import Board, Grain, Operation
from kit.draw.dxf.relief import past
from kit.draw.dxf.shapes import NOTES, REFERENCE, Ring, Shape, Stroke, Words
from kit.draw.dxf.view import View, cut_blank
from kit.geometry import Slot
from kit.units import System

#: Height of the notes and from line to line, and of the words on the board, mm.
HEIGHT, LEADING, ON_BOARD = 6.0, 10.0, 10.0
#: Length of the line that shows the scale, and its distance from the board, mm.
SCALE, ASIDE = 100.0, 40.0


def notes(views: Sequence[View], title: str) -> Iterator[Shape]:
    """Everything on a drawing that is not cut."""
    first = views[0]
    cut = first.blank.size
    lines = list(_lines(views, title))
    clear = ASIDE / 2 + (first.cutter_mm or 0.0)
    for number, line in enumerate(reversed(lines)):
        yield Words(NOTES, (0.0, cut[1] + clear + number * LEADING), line, HEIGHT)
    left = cut[0] + ASIDE + (first.cutter_mm or 0.0)
    yield Stroke(REFERENCE, (left, 0.0), (left + SCALE, 0.0))
    for end in (left, left + SCALE):
        yield Stroke(REFERENCE, (end, -HEIGHT / 2), (end, HEIGHT / 2))
    yield Words(REFERENCE, (left, HEIGHT), "this line is 100 mm long", HEIGHT)
    for view in views:
        yield from _on_board(view)


def _on_board(view: View) -> Iterator[Shape]:
    """Name, face, datum and grain, written on the board itself."""
    length, width, _ = view.blank.size
    _, low = view.at(*view.blank.lo[:2])
    low = min(low, view.at(*view.blank.hi[:2])[1])
    size = min(ON_BOARD, width / 8, length / 16)
    middle = low + width / 2
    words = f"{view.board.name}, {view.face.plain} up"
    yield Words(NOTES, (length / 3, middle + size / 2), words, size)
    yield Words(NOTES, (size, middle - size / 2), "end 1", size)
    edge = low + width - 2 * size if view.turned_over else low + size
    yield Words(NOTES, (length / 3, edge), "edge 1", size)
    if view.board.stock.grained:
        start, tip = (length / 3, middle - size), (2 * length / 3, middle - size)
        yield Stroke(NOTES, start, tip)
        for rise in (-size, size):
            yield Stroke(NOTES, tip, (tip[0] - size, tip[1] + rise / 2))
        yield Words(NOTES, (start[0], middle - 2.5 * size), "grain", size)


def _lines(views: Sequence[View], title: str) -> Iterator[str]:
    """The notes in order, one line each."""
    board = views[0].board
    yield f"{title} | {board.name}"
    yield from _size(board)
    yield from _order(views)
    yield from _cutter(views)
    if any(isinstance(c, Slot) for c in board.cutters):
        yield (
            "CAUTION, slots: nothing holds the strips between them. Leave tabs or an onion skin, "
            "screw down the waste, or hold by vacuum, as the manual of the machine says."
        )
    yield (
        "Hold-down, feeds, speeds, guards, eye and ear protection, dust extraction: as the manuals "
        "of machine and cutter say."
    )
    yield from dict.fromkeys(
        f"{feature.surface.plain}: {feature.callout(board, System.METRIC)}"
        for feature in board.features
    )


def _size(board: Board) -> Iterator[str]:
    blank = cut_blank(board).size
    size = f"{_mm(blank[1])} wide x {_mm(blank[0])} long"
    yield f"Coordinates are in mm: check the 100 mm line first. Drawn at its cut size, {size}."
    if board.edged and board.edging:
        sides = ", ".join(surface.plain for surface in board.edged)
        yield (
            f"Cut before edging: {_mm(board.edging.thickness_mm)} goes on {sides}; "
            "places are drawn from the cut edge."
        )
    known = "" if board.stock.measured else ", NOT MEASURED: measure the sheet before cutting"
    yield f"{board.stock.label}, {_mm(board.thickness)} thick{known}."
    if board.layers > 1:
        yield f"Laminate its {board.layers} layers first, then cut it from this drawing."
    if board.fit:
        yield f"Cut to fit, {board.fit.formula(System.METRIC)}: measure before cutting."
    if board.grain is Grain.FREE:
        yield "May lie either way on the sheet."


def _order(views: Sequence[View]) -> Iterator[str]:
    yield "Cut outside the line of the outline and inside every other closed line."
    shown = {shape.layer for view in views for shape in view.shapes}
    if len(views) > 1:
        yield (
            f"Two faces are cut: {views[0].face.plain} first, above. Turn the board over about its "
            f"length for {views[1].face.plain}, below: end 1 stays on the left."
        )
        yield "The outline below is for reference; it is cut from above."
    if any(layer.startswith(f"{REFERENCE}-") for layer in shown):
        yield (
            f"Layers {REFERENCE}-... are not cut on a flat bed: holes into edges and ends, pocket "
            "holes, chamfers after edging."
        )


def _cutter(views: Sequence[View]) -> Iterator[str]:
    cutter_mm = views[0].cutter_mm
    if cutter_mm is None:
        yield (
            "No cutter is known: channels end at the edge and inside corners are square. Overrun "
            "the edge, and square the corners with a chisel."
        )
        return
    yield (
        f"For a cutter of {_mm(cutter_mm)} diameter. Channels run out past the edge; "
        "layers RELIEF-... clear the square corners: cut them before the outline."
    )
    rings = [s for v in views for s in v.shapes if isinstance(s, Ring)]
    if reaches := [past(ring, cutter_mm) for ring in rings if ring.layer.startswith("RELIEF")]:
        yield (
            f"They reach {_mm(max(reaches))} past the walls: where that would show, leave them out "
            "and square the corner with a chisel."
        )
    for what, width in dict.fromkeys(item for view in views for item in view.narrow()):
        yield (
            f"CANNOT BE CUT with that cutter: {_name(what)} {_mm(width)} wide. Take "
            "a cutter of that diameter or less; its corners carry no relief."
        )


def _name(what: Operation) -> str:
    return {Operation.SLOT: "slots"}.get(what, what.value)


def _mm(length: float) -> str:
    """Millimetres to the hundredth, whatever the maker reads elsewhere: so does the machine."""
    return f"{length:.2f} mm"
