"""The drawings of the kit for a notebook: what `kit.draw` returns, as images that last.

An SVG goes into an image, since a notebook that is not trusted yet shows no bare SVG; on white,
so that a dark theme leaves it readable; never wider than its cell. Each has words for those who
do not see it.
"""

from base64 import b64encode
from collections.abc import Iterable
from html import escape
from typing import TYPE_CHECKING

from kit.casework import Casework
from kit.checks.airflow import Climate, Evening, VentSize
from kit.components.contents import Placed
from kit.edition import edition
from kit.errors import BuildError
from kit.making.sheet_data import sheet_name
from kit.making.sheets import SheetPlan
from kit.notebook.shown import Shown

if TYPE_CHECKING:  # the solvers of the sheet layouts are heavy
    from kit.search import Goal, Result

#: The paper of a drawing of one board, mm: as wide as a cell, at 96 dots an inch.
ROOM_MM = (220.0, 160.0)


def drawing(svg: str, words: str) -> Shown:
    """An SVG as an image; `words` say what is on it."""
    return _image("image/svg+xml", svg.encode(), words)


def page(png: bytes, words: str) -> Shown:
    """A page of the plans as an image, from `kit.plan_pack.compile.book_png`."""
    return _image("image/png", png, words)


def depth_picture(casework: Casework) -> Shown:
    """What stands behind what, from the doors to the wall, one strip a device."""
    from kit.draw.depth_stack import depth_stack_svg

    name = casework.design.name
    return drawing(depth_stack_svg(casework), f"What stands behind what in {name}")


def cable_picture(casework: Casework) -> Shown:
    """The ways of the cables, seen from behind."""
    from kit.draw.cables import cables_svg

    return drawing(cables_svg(casework), f"Ways of the cables of {casework.design.name}")


def air_picture(state: Climate) -> Shown:
    """Temperature of each space and the flows between them, from the front."""
    from kit.draw.airflow import elevation

    name = state.casework.design.name
    return drawing(elevation(state), f"Air and heat in {name}, {state.heat.value}")


def vent_picture(state: Climate, placed: Placed, size: VentSize | None = None) -> Shown:
    """Air that a device draws in against the area of vents added to its bay."""
    from kit.draw.heat_plots import rise_plot  # matplotlib is heavy

    words = f"Warmth of the air of {placed.item.name} against the area of its vents"
    return drawing(rise_plot(state, placed, size), words)


def evening_picture(film: Evening) -> Shown:
    """How the air of each bay warms from cold."""
    from kit.draw.heat_plots import evening_plot

    return drawing(evening_plot(film), f"An evening with {film.state.casework.design.name}")


def sag_picture(casework: Casework) -> Shown:
    """The sag of each board after years, exaggerated."""
    from kit.draw.strength import sag_svg

    return drawing(sag_svg(casework), f"Sag of the boards of {casework.design.name}")


def tip_picture(casework: Casework) -> Shown:
    """The side with its centre of mass and its tip line."""
    from kit.draw.strength import tip_svg

    return drawing(tip_svg(casework), f"Tip line of {casework.design.name}, from the side")


def sheet_pictures(casework: Casework, plan: SheetPlan) -> Shown:
    """Every sheet and length to scale, with its boards, its numbered cuts and its waste."""
    from kit.draw.sheets import sheet_svg

    return _below(
        drawing(
            sheet_svg(casework, one, sheet),
            f"{one.stock.label}, {sheet_name(casework, one, sheet)}",
        )
        for one in plan.stocks
        for sheet in one.layout.sheets
    )


def trade_off_picture(
    result: "Result", across: "Goal | None" = None, up: "Goal | None" = None
) -> Shown:
    """The candidates of a search against two goals; the best bear the numbers of their rows.

    Without goals: its first two; with one goal alone, that against its first free parameter.
    """
    from kit.draw.trade_offs import trade_offs_svg  # matplotlib is heavy

    found = ", ".join(str(row.number) for row in result.front)
    return drawing(trade_offs_svg(result, across, up), f"Trade-offs; the best are no. {found}")


def board_picture(casework: Casework, *names: str) -> Shown:
    """Some boards alone, in place, with all that is cut into them.

    Raises BuildError for a board that is not there, SolidError where one cannot be built.
    """
    from kit.draw.pictorial import pictorial_svg

    boards = [casework.by_name[_known(casework, name)] for name in names]
    return drawing(pictorial_svg(casework, boards=boards), f"Picture of {', '.join(names)}")


def board_drawing(casework: Casework, name: str) -> Shown:
    """The part drawing of one board, with the stations of all that is cut into it.

    Raises BuildError for a board that is not there.
    """
    from kit.draw.as_measured import as_measured
    from kit.draw.parts import part_drawing

    board = as_measured(casework, casework.by_name[_known(casework, name)])
    sizes = edition(casework, casework.design.shop.units)
    part = part_drawing(casework, (board,), sizes, ROOM_MM)
    return _below(
        drawing(figure.svg(part.title), f"Part drawing {part.title}") for figure in part.figures
    )


def _known(casework: Casework, name: str) -> str:
    if name not in casework.by_name:
        raise BuildError(
            f"{name!r} is no board of this piece; its boards are {', '.join(casework.by_name)}."
        )
    return name


def _image(kind: str, data: bytes, words: str) -> Shown:
    return Shown(
        f'<img alt="{escape(words)}" style="max-width: 100%; background: white" '
        f'src="data:{kind};base64,{b64encode(data).decode()}">',
        words,
    )


def _below(shown: Iterable[Shown]) -> Shown:
    """Several one below the other."""
    shown = tuple(shown)
    return Shown(
        "".join(f"<div>{one.html}</div>" for one in shown), "\n".join(one.plain for one in shown)
    )
