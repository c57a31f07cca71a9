"""What a maker does to a design at a desk: from the text of a design file to a new text.

Each edit is a pure function. The text keeps its comments, order and spacing, and whatever an
edit does not touch keeps every byte. What is returned has been read and built; where that cannot
be, a KitError says why in a sentence, and nothing is lost. Bays and dividers count from 1 at the
left, all other rows from 1 in the order of the file.
"""

from kit.edits.bays import add_bay, remove_bay
from kit.edits.gear import add_cable, add_gear, remove_cable, remove_gear
from kit.edits.parts import Part, add_part, close_bay, has_part, remove_part
from kit.edits.rows import (
    Row,
    add_content,
    add_fan,
    add_outlet,
    add_sheet,
    remove_row,
    set_units,
)
from kit.edits.shelves import add_shelf, remove_shelf
from kit.edits.widths import bay_width, case_width_in_proportion, even_bays, move_divider

__all__ = [
    "Part",
    "Row",
    "add_bay",
    "add_cable",
    "add_content",
    "add_fan",
    "add_gear",
    "add_outlet",
    "add_part",
    "add_sheet",
    "add_shelf",
    "bay_width",
    "case_width_in_proportion",
    "close_bay",
    "even_bays",
    "has_part",
    "move_divider",
    "remove_bay",
    "remove_cable",
    "remove_gear",
    "remove_part",
    "remove_row",
    "remove_shelf",
    "set_units",
]
