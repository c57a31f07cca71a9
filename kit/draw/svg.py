"""A few helpers for SVG that is drawn to scale; every text is escaped by the XML writer."""

import xml.etree.ElementTree as ET
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

NAMESPACE = "http://www.w3.org/2000/svg"
INK = "#1c1a18"
FONT = "DejaVu Sans, Arial, sans-serif"


class Anchor(Enum):
    """Which part of a text stands at its point."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Canvas:
    """An SVG picture in px. Lines and texts are added to `root` in the order of the calls."""

    root: ET.Element

    @classmethod
    def of(cls, width: float, height: float, title: str) -> "Canvas":
        """An empty picture with a title for screen readers."""
        root = ET.Element(
            "svg",
            {
                "xmlns": NAMESPACE,
                "viewBox": f"0 0 {width:.1f} {height:.1f}",
                "width": f"{width:.0f}",
                "height": f"{height:.0f}",
                "role": "img",
                "aria-label": title,
                "font-family": FONT,
            },
        )
        ET.SubElement(root, "title").text = title
        return cls(root)

    def rect(
        self, x: float, y: float, w: float, h: float, *, fill: str = "none", line: float = 1.0
    ) -> None:
        """A rectangle; `line` is the width of its outline, 0 for none."""
        ET.SubElement(
            self.root,
            "rect",
            {
                "x": f"{x:.2f}",
                "y": f"{y:.2f}",
                "width": f"{w:.2f}",
                "height": f"{h:.2f}",
                "fill": fill,
                "stroke": INK if line else "none",
                "stroke-width": f"{line:g}",
            },
        )

    def line(
        self, x1: float, y1: float, x2: float, y2: float, *, width: float = 1.0, dash: str = ""
    ) -> None:
        """A straight line."""
        attributes = {
            "x1": f"{x1:.2f}",
            "y1": f"{y1:.2f}",
            "x2": f"{x2:.2f}",
            "y2": f"{y2:.2f}",
            "stroke": INK,
            "stroke-width": f"{width:g}",
        }
        if dash:
            attributes["stroke-dasharray"] = dash
        ET.SubElement(self.root, "line", attributes)

    def polygon(
        self, points: Sequence[tuple[float, float]], *, fill: str = "none", line: float = 1.0
    ) -> None:
        """A closed line through `points`."""
        ET.SubElement(
            self.root,
            "polygon",
            {
                "points": " ".join(f"{x:.2f},{y:.2f}" for x, y in points),
                "fill": fill,
                "stroke": INK if line else "none",
                "stroke-width": f"{line:g}",
            },
        )

    def circle(
        self, x: float, y: float, r: float, *, fill: str = "none", line: float = 1.0
    ) -> None:
        """A circle."""
        ET.SubElement(
            self.root,
            "circle",
            {
                "cx": f"{x:.2f}",
                "cy": f"{y:.2f}",
                "r": f"{r:.2f}",
                "fill": fill,
                "stroke": INK if line else "none",
                "stroke-width": f"{line:g}",
            },
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size: float,
        anchor: Anchor = Anchor.MIDDLE,
        bold: bool = False,
        upright: bool = True,
        fill: str = INK,
    ) -> None:
        """A line of text, `y` at the middle of its height; not `upright` reads from the right."""
        attributes = {
            "x": f"{x:.2f}",
            "y": f"{y:.2f}",
            "font-size": f"{size:.2f}",
            "text-anchor": anchor.value,
            "dominant-baseline": "central",
            "fill": fill,
        }
        if bold:
            attributes["font-weight"] = "bold"
        if not upright:
            attributes["transform"] = f"rotate(-90 {x:.2f} {y:.2f})"
        ET.SubElement(self.root, "text", attributes).text = printable(words)

    def hatch(self, key: str, step: float, *, rising: bool) -> str:
        """Define hatching at 45 degrees and return the fill that paints it."""
        defs = ET.SubElement(self.root, "defs")
        pattern = ET.SubElement(
            defs,
            "pattern",
            {
                "id": key,
                "width": f"{step:g}",
                "height": f"{step:g}",
                "patternUnits": "userSpaceOnUse",
                "patternTransform": f"rotate({45 if rising else -45})",
            },
        )
        ET.SubElement(
            pattern,
            "line",
            {"x1": "0", "y1": "0", "x2": "0", "y2": f"{step:g}", "stroke": INK}
            | {"stroke-width": "0.6"},
        )
        return f"url(#{key})"

    def markup(self) -> str:
        """The picture as SVG text."""
        return ET.tostring(self.root, encoding="unicode") + "\n"


def printable(words: str) -> str:
    """Text without the control characters that XML cannot hold."""
    return "".join(c for c in words if c >= " " and c not in "\x7f\ufffe\uffff")


def text_width(words: str, size: float) -> float:
    """A safe upper estimate of the width of a line of text, px."""
    return 0.64 * size * len(words)
