"""The candidates of a search against two goals, as SVG; each verdict has its own mark."""

from collections.abc import Callable

from kit.design import Design
from kit.design_file import parse
from kit.draw.plots import COLOURS, own_settings, plain, plot, plot_svg
from kit.search import Free, Goal, Measure, Result, Row, Verdict
from kit.units import MM_PER_INCH, System

#: Mark, ink and size of each verdict; what stands in the way of the front is drawn first.
_MARKS = {
    Verdict.FAILS: ("x", "#777777", 5.0),
    Verdict.OVER: ("v", "#999999", 5.0),
    Verdict.UNKNOWN: ("s", "#999999", 4.5),
    Verdict.BEATEN: (".", "#999999", 5.0),
    Verdict.HOLDS: ("o", COLOURS[0], 5.0),
    Verdict.FRONT: ("D", COLOURS[0], 8.0),
}
#: So many of the front bear the number of their row; more would hide each other.
NUMBERED = 24
_SAID = {
    Measure.SIZE: "size of the case, m³",
    Measure.MASS: "mass of the boards, kg",
    Measure.WASTE: "waste of the sheets, %",
    Measure.HEAT: "warmest air drawn in, °C",
}

type _Axis = tuple[str, Callable[[Row], float | None]]


@own_settings
def trade_offs_svg(result: Result, across: Goal | None = None, up: Goal | None = None) -> str:
    """Every candidate for which both goals are known; the front with the numbers of its rows.

    Without goals: the first one across and the second up; a search with one goal has its first
    free parameter across.
    """
    design, wanted = parse(result.text), result.wanted
    goals = wanted.goals
    figure, axes = plot()
    if up is None and len(goals) == 1:
        free, up = wanted.free[0], goals[0]
        x = _parameter(free, design.shop.units)
        if not free.lengths:
            axes.set_xticks(range(len(free.values)), [plain(str(v)) for v in free.values])
    else:
        x = _goal(across or goals[0], design)
        up = up or goals[1]
    y = _goal(up, design)
    for verdict, (marker, ink, size) in _MARKS.items():
        spots = [(x[1](r), y[1](r), r.number) for r in result.rows if r.verdict is verdict]
        known = [(a, b, n) for a, b, n in spots if a is not None and b is not None]
        if not known:
            continue
        axes.plot(
            [a for a, _, _ in known],
            [b for _, b, _ in known],
            linestyle="none",
            marker=marker,
            markersize=size,
            color=ink,
            markerfacecolor=ink if verdict is Verdict.FRONT else "none",
            label=f"{verdict.value} ({len(known)})",
        )
        for a, b, number in known[:NUMBERED] if verdict is Verdict.FRONT else ():
            axes.annotate(
                str(number), (a, b), xytext=(6, 5), textcoords="offset points", fontsize=8
            )
    axes.set_xlabel(plain(x[0]))
    axes.set_ylabel(plain(y[0]))
    axes.set_title(plain(f"{design.name}: {', '.join(goal.value for goal in goals)}"))
    axes.ticklabel_format(axis="y", useOffset=False)
    if axes.get_legend_handles_labels()[0]:
        figure.legend(fontsize=8, loc="outside lower center", ncols=6)
    else:
        said = "none of the candidates can be shown"
        axes.text(0.5, 0.5, said, transform=axes.transAxes, ha="center", va="center")
    return plot_svg(figure)


def _goal(goal: Goal, design: Design) -> _Axis:
    measure = goal.measure
    money = f"cost of what has a price, {design.prices.currency}".rstrip(", ")
    return _SAID.get(measure, money), lambda row: row.answer.value(measure)


def _parameter(free: Free, system: System) -> _Axis:
    if not free.lengths:
        return free.path, lambda row: float(row.point[0])
    unit = MM_PER_INCH if system is System.INCH else 1.0
    return f"{free.path}, {system.value}", lambda row: free.lengths[row.point[0]] / unit
