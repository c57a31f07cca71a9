"""Plots with axes, as SVG. The same file every time."""

import io
import threading
from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, Any

from kit.draw.svg import printable

if TYPE_CHECKING:  # matplotlib takes a second to load
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Size of a plot, in.
SIZE = (7.2, 4.2)
#: Ink of lines and marks; what is told apart by it differs in shape as well, for grey.
COLOURS = ("#00224e", "#a8327d", "#b8850b", "#1f7a4d", "#555555", "#c2410c")
#: No names that change from file to file, and words as text.
_OWN = {"svg.hashsalt": "kit", "svg.fonttype": "none"}
#: The settings of matplotlib are those of all threads: one at a time sets its own.
_SETTINGS = threading.Lock()


def own_settings[**P](draw: Callable[P, str]) -> Callable[P, str]:
    """Have a function plot by the same settings everywhere.

    Else matplotlib goes by a file in the current folder, which may be a stranger's, or by the
    maker's own; a plot in a pack follows from the design alone.
    """

    @wraps(draw)
    def drawn(*args: P.args, **named: P.kwargs) -> str:
        from matplotlib import rc_context, rcParamsDefault

        # the backend is the notebook's, and would not be set back
        settings: dict[Any, Any] = dict(rcParamsDefault)
        settings.pop("backend")
        with _SETTINGS, rc_context(settings | _OWN):
            return draw(*args, **named)

    return drawn


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
    """A figure as SVG, without a date in it; to be asked within `own_settings`."""
    out = io.StringIO()
    figure.savefig(out, format="svg", metadata={"Date": None})
    return out.getvalue()
