"""Plots with axes, as SVG. The same file every time."""

import io
import threading
from typing import TYPE_CHECKING

from kit.draw.svg import printable

if TYPE_CHECKING:  # matplotlib takes a second to load
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Size of a plot, in.
SIZE = (7.2, 4.2)
#: Ink of lines and marks; what is told apart by it differs in shape as well, for grey.
COLOURS = ("#00224e", "#a8327d", "#b8850b", "#1f7a4d", "#555555", "#c2410c")
#: The settings of matplotlib are those of all threads: one at a time sets its own.
_SETTINGS = threading.Lock()


def plain(words: str) -> str:
    """A maker's words as they are: matplotlib reads what stands between dollar signs as maths."""
    return printable(words).replace("$", r"\$")


def plot() -> "tuple[Figure, Axes]":
    """A figure with one pair of axes and a grid."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=SIZE, layout="constrained")
    axes = figure.add_subplot()
    axes.grid(color="#dddddd", linewidth=0.6)
    axes.set_axisbelow(True)
    return figure, axes


def plot_svg(figure: "Figure") -> str:
    """A figure as SVG: no date in it, names in it that do not change, its words as text."""
    from matplotlib import rc_context

    out = io.StringIO()
    with _SETTINGS, rc_context({"svg.hashsalt": "kit", "svg.fonttype": "none"}):
        figure.savefig(out, format="svg", metadata={"Date": None})
    return out.getvalue()
