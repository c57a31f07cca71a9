"""Views of the whole piece: three in one scale, sections, details, and pictures with letters.

Everything is read off the boards in place; the letters are those of the cut list.
"""

from kit.draw.views.details import details
from kit.draw.views.drawing import Drawing
from kit.draw.views.exploded import Exploded, doors_open_svg, exploded
from kit.draw.views.overall import overall
from kit.draw.views.sections import sections

__all__ = ["Drawing", "Exploded", "details", "doors_open_svg", "exploded", "overall", "sections"]
