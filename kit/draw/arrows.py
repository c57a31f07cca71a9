"""Arrows on a canvas, drawn as a line with a solid head and a white edge that sets it off."""

import xml.etree.ElementTree as ET
from math import hypot

from kit.draw.svg import INK, Canvas

#: Length and half width of the head, px.
HEAD = (9.0, 4.0)


def arrow(
    canvas: Canvas, x1: float, y1: float, x2: float, y2: float, *, dashed: bool = False
) -> None:
    """An arrow from the first point to the second, px."""
    long = hypot(x2 - x1, y2 - y1)
    ux, uy = (x2 - x1) / long, (y2 - y1) / long
    bx, by = x2 - HEAD[0] * ux, y2 - HEAD[0] * uy
    points = " ".join(
        f"{x:.2f},{y:.2f}"
        for x, y in (
            (x2, y2),
            (bx - HEAD[1] * uy, by + HEAD[1] * ux),
            (bx + HEAD[1] * uy, by - HEAD[1] * ux),
        )
    )
    ends = {"x1": f"{x1:.2f}", "y1": f"{y1:.2f}", "x2": f"{bx:.2f}", "y2": f"{by:.2f}"}
    dash = {"stroke-dasharray": "4 3"} if dashed else {}
    for colour, width, more in (("#ffffff", "4.5", {}), (INK, "1.8", dash)):
        ET.SubElement(canvas.root, "line", ends | {"stroke": colour, "stroke-width": width} | more)
        head = {"points": points, "fill": INK, "stroke": "#ffffff", "stroke-width": "0.8"}
    ET.SubElement(canvas.root, "polygon", head)
