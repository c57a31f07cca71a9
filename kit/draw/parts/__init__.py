"""Part drawings: every board with all that is cut into it, from one datum corner.

    board -> views of the surfaces that are cut (`surface`), sections of its channels
    (`section`) -> one figure to a board (`part`)

A board is drawn from its own geometry, exact. A view looks square on from outside, the length
to the right; stations are read from end 1 and edge 1.
"""

from kit.draw.parts.part import PartDrawing, part_drawing, part_drawings
from kit.draw.parts.surface import Drawn

__all__ = ["Drawn", "PartDrawing", "part_drawing", "part_drawings"]
