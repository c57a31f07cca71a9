"""The drawings of the book: views, sections, details, exploded, part drawings, templates.

Each function answers with the blocks of its chapter in their order, above all `Plate`s; without
any, the chapter is left out. `layout.drawing_area(paper)` says how large a plate may be; small
ones are set beside each other.
"""

from kit.casework import Casework
from kit.draw import templates as full_size
from kit.plan_pack import layout
from kit.plan_pack.book import Block, Plate
from kit.title_block import Paper


def views(casework: Casework, paper: Paper) -> tuple[Block, ...]:
    """Front, top and side, all to one scale."""
    return ()


def sections(casework: Casework, paper: Paper) -> tuple[Block, ...]:
    """A vertical section through each different bay, and a level one."""
    return ()


def details(casework: Casework, paper: Paper) -> tuple[Block, ...]:
    """Details, full or half size: tracks, joints, edging, base, back, slots."""
    return ()


def exploded(casework: Casework, paper: Paper) -> tuple[Block, ...]:
    """The piece taken apart, every board with its mark."""
    return ()


def part_drawings(casework: Casework, paper: Paper) -> tuple[Block, ...]:
    """Each board with its cuts, measured from one corner."""
    return ()


def templates(casework: Casework, paper: Paper) -> tuple[Block, ...]:
    """Templates at full size, each page of one a plate."""
    system = casework.design.shop.units
    plates = []
    for template in full_size.templates(casework, system, layout.drawing_area(paper)):
        for tile in template.tiles:
            svg = tile.figure.svg(template.title)
            width, height = layout.svg_size(svg)
            page = f", page {tile.name}" if len(template.tiles) > 1 else ""
            plates.append(Plate(svg, width, height, f"Template {template.where}{page}", "1:1"))
    return tuple(plates)
