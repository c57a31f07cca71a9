"""Shapes to DXF: ASCII, R2010, millimetres; the same board gives the same bytes."""

import math
import re
import unicodedata
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from io import StringIO
from threading import Lock

from ezdxf import options, units  # type: ignore[attr-defined]  # it exports all it imports
from ezdxf.filemanagement import new

from kit.board import Board
from kit.casework import Casework
from kit.cutters import SawKind
from kit.draw.as_measured import as_measured
from kit.draw.dxf.notes import notes
from kit.draw.dxf.shapes import NOTES, REFERENCE, Loop, Ring, Shape, Stroke, Words, bounds
from kit.draw.dxf.view import views
from kit.errors import BuildError

#: The standard colour numbers of the layers, by their first word.
_COLOURS = {
    "OUTLINE": 7, "RABBET": 30, "DADO": 5, "GROOVE": 4, "BORE": 1, "SLOT": 6, "NOTCH": 7,
    "CHAMFER": 3, "RELIEF": 2, NOTES: 8, REFERENCE: 9,
}  # fmt: skip
_FONT = "DejaVuSans.ttf"
_STAMPS = Lock()


def dxf_files(casework: Casework) -> Iterator[tuple[str, str]]:
    """A file name and the text of a DXF for each board, in build order.

    A board that is cut to fit has the size of the opening that was measured, where one was.
    """
    cutter_mm = shop_cutter_mm(casework)
    for board in casework.boards:
        drawn = as_measured(casework, board)
        text = board_dxf(drawn, title=casework.design.name, cutter_mm=cutter_mm)
        yield f"{board.name}.dxf", text


def shop_cutter_mm(casework: Casework) -> float | None:
    """Diameter of the cutter of a shop whose sheets are cut on a CNC router, else None."""
    saw = casework.design.shop.sheet_saw
    return saw.kerf_mm if saw.kind is SawKind.CNC else None


def board_dxf(board: Board, *, title: str, cutter_mm: float | None) -> str:
    """One board as the text of a DXF, to be written as UTF-8.

    The board is seen from each face that is cut, at its size before edging, lower left corner
    at (0, 0); the second view lies below. Layers are named by operation, face and depth in mm
    (`DADO-B-6.09`), bores and slots by diameter too (`BORE-A-8.00-D5.00`, `SLOT-THROUGH-D12.70`);
    nothing on NOTES and on layers that begin with REFERENCE is to be cut.

    `cutter_mm` is the cutter's diameter: channels then run out past the edge, and discs on the
    layers RELIEF clear the square corners (see `kit.draw.dxf.relief`). None leaves both away.
    Raises BuildError for a cutter whose diameter is not positive and finite.
    """
    if cutter_mm is not None and not 0 < cutter_mm < math.inf:
        raise BuildError(
            f"{board.name} cannot be drawn for a cutter of {cutter_mm:g} mm; "
            "give the diameter of the cutter in the machine."
        )
    seen = views(board, cutter_mm)
    shapes = [shape for view in seen for shape in view.shapes]
    return _text([*shapes, *notes(seen, title)])


def plain(line: str) -> str:
    r"""A line of text so written that a DXF reader shows it as it stands.

    In a TEXT entity `%%` begins a control code and `^` a control character. Some readers take
    `\U+` and `\M+` for a coded character and some do not, so an invisible word joiner parts
    them. Control characters, line breaks among them, become spaces.
    """
    line = "".join(" " if unicodedata.category(c) in {"Cc", "Zl", "Zp"} else c for c in line)
    line = re.sub(r"\\(?=[UuMm]\+)", "\\\\\N{WORD JOINER}", line).replace("^", "^ ")
    return re.sub(r"%{2,}", lambda run: "%%%" * len(run[0]), line)


def _text(shapes: Sequence[Shape]) -> str:
    with _fixed_stamps():
        document = new("R2010", units=units.MM)
        document.header["$MEASUREMENT"] = 1
        document.styles.get("Standard").dxf.font = _FONT
        space = document.modelspace()
        for shape in shapes:
            if shape.layer not in document.layers:
                colour = _COLOURS[shape.layer.split("-")[0]]
                document.layers.add(shape.layer, color=colour)
            on = {"layer": shape.layer}
            match shape:
                case Loop():
                    space.add_lwpolyline(shape.vertices, format="xyb", close=True, dxfattribs=on)
                case Ring():
                    space.add_circle(shape.centre, shape.radius, dxfattribs=on)
                case Stroke():
                    space.add_line(shape.start, shape.end, dxfattribs=on)
                case Words():
                    words = space.add_text(plain(shape.text), height=shape.height, dxfattribs=on)
                    words.set_placement(shape.at)
        (left, low), (right, high) = bounds(shapes)
        space.reset_extents((left, low, 0), (right, high, 0))
        document.set_modelspace_vport(1.2 * (high - low), ((left + right) / 2, (low + high) / 2))
        stream = StringIO()
        document.write(stream)
    return stream.getvalue()


@contextmanager
def _fixed_stamps() -> Iterator[None]:
    """Dates, version and identity that ezdxf writes are fixed, for the time of one drawing.

    The option belongs to all of ezdxf, so only one drawing is written at a time.
    """
    with _STAMPS:
        before = options.write_fixed_meta_data_for_testing
        options.write_fixed_meta_data_for_testing = True
        try:
            yield
        finally:
            options.write_fixed_meta_data_for_testing = before
