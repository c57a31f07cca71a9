"""The drawings of the book: views, sections, details, exploded, part drawings, templates.

Each function answers with `Plate`s in the order of the pages; without any, its chapter is left
out. `layout.drawing_area(paper)` says how large a plate may be.
"""

from kit.casework import Casework
from kit.plan_pack.book import Plate
from kit.title_block import Paper


def views(casework: Casework, paper: Paper) -> tuple[Plate, ...]:
    """Front, top and side, all to one scale."""
    return ()


def sections(casework: Casework, paper: Paper) -> tuple[Plate, ...]:
    """A vertical section through each different bay, and a level one."""
    return ()


def details(casework: Casework, paper: Paper) -> tuple[Plate, ...]:
    """Details, full or half size: tracks, joints, edging, base, back, slots."""
    return ()


def exploded(casework: Casework, paper: Paper) -> tuple[Plate, ...]:
    """The piece taken apart, every board with its mark."""
    return ()


def part_drawings(casework: Casework, paper: Paper) -> tuple[Plate, ...]:
    """Each board with its cuts, measured from one corner."""
    return ()


def templates(casework: Casework, paper: Paper) -> tuple[Plate, ...]:
    """Templates at full size."""
    return ()
