"""Temperature against vent area, and the evening of a film, as SVG. The same file every time."""

from collections.abc import Sequence

from kit.checks.airflow import (
    UNCERTAIN,
    Climate,
    Evening,
    VentSize,
    ZoneKind,
    in_words,
    rises_by_area_k,
)
from kit.components.contents import Placed
from kit.draw.plots import COLOURS, own_settings, plain, plot, plot_svg

#: Free area of each vent that is plotted, cm²: even steps of a scale of powers.
AREAS_CM2 = tuple(5.0 * 2 ** (step / 2) for step in range(15))
#: The lines differ in dashes as well as in ink, for grey.
DASHES = ("-", "--", "-.", ":", (0, (5, 1, 1, 1, 1, 1)), (0, (8, 3)))


@own_settings
def rise_plot(state: Climate, placed: Placed, size: VentSize | None = None) -> str:
    """Air at the intake of a device against the free area of a low and a high vent more, as SVG.

    The band is the uncertainty of the model; `size` is marked as chosen.
    """
    rises = rises_by_area_k(state, placed, [100.0 * area for area in AREAS_CM2])
    known = [(a, r) for a, r in zip(AREAS_CM2, rises, strict=True) if r is not None]
    areas = [a for a, _ in known]
    figure, axes = plot()
    centre = [state.room_c + r for _, r in known]
    low = [state.room_c + (1 - UNCERTAIN) * r for _, r in known]
    high = [state.room_c + (1 + UNCERTAIN) * r for _, r in known]
    axes.fill_between(areas, low, high, color="#cfd8e6", label=f"±{100 * UNCERTAIN:.0f} % of rise")
    axes.plot(areas, centre, color=COLOURS[0], marker="o", markersize=3.5, label="model")
    limit_c = placed.kind.max_intake_c
    if limit_c is not None:
        axes.axhline(limit_c, color=COLOURS[1], linestyle="--", label=f"limit {limit_c:g} °C")
    now_c = state.intake_c(placed)
    axes.axhline(now_c, color=COLOURS[4], linestyle=":", label=f"as designed {in_words(now_c)}")
    if size is not None and size.each_mm2:
        chosen = size.each_mm2 / 100.0
        (rise_k,) = rises_by_area_k(state, placed, [size.each_mm2])
        if rise_k is not None:
            axes.plot(
                [chosen],
                [state.room_c + rise_k],
                marker="D",
                markersize=9,
                color=COLOURS[1],
                linestyle="none",
                label=f"chosen: {chosen:.0f} cm² each",
            )
    axes.set_xscale("log")
    ticks = (5, 10, 20, 50, 100, 200, 500)
    axes.set_xticks(ticks, [str(tick) for tick in ticks])
    axes.minorticks_off()
    axes.set_xlabel("free area of the low and of the high vent, cm² each")
    axes.set_ylabel("air drawn in, °C")
    axes.set_title(
        plain(placed.item.name) + f", {state.heat.value}, {state.room_c:g} °C in the room"
    )
    axes.legend(fontsize=8)
    return plot_svg(figure)


@own_settings
def evening_plot(film: Evening) -> str:
    """Air of each zone that holds gear over a film from cold, with the limits, as SVG."""
    figure, axes = plot()
    state = film.state
    minutes = [0.0, *(float(s) / 60.0 for s in film.times_s)]
    holding = {state.here.holding(p): p for p in reversed(state.casework.inside)}
    shown = [
        n for n, z in enumerate(state.network.zones) if z.kind is ZoneKind.BAY and n in holding
    ]
    for line, number in enumerate(shown):
        celsius = [state.room_c, *(float(c) for c in film.air_c[:, number])]
        names = [p.item.name for p in state.casework.inside if state.here.holding(p) == number]
        axes.plot(
            minutes,
            celsius,
            color=COLOURS[line % len(COLOURS)],
            linestyle=DASHES[line % len(DASHES)],
            linewidth=1.8,
            label=plain(f"{state.network.zones[number].name}: {', '.join(names)}"),
        )
    limits = _limits([holding[number] for number in shown])
    for limit_c in limits:
        if limit_c < max(max(state.air_c) + 8.0, state.room_c + 12.0):
            axes.axhline(limit_c, color="#777777", linewidth=1.0)
            axes.annotate(
                f"limit {limit_c:g} °C",
                (minutes[-1], limit_c),
                ha="right",
                va="bottom",
                fontsize=8,
            )
    axes.set_xlim(0.0, minutes[-1])
    axes.set_xlabel("minutes from switching on")
    axes.set_ylabel("air, °C")
    axes.set_title(f"{state.heat.value}, from cold, {state.room_c:g} °C in the room")
    figure.legend(fontsize=8, loc="outside lower center", ncols=2)
    return plot_svg(figure)


def _limits(gear: Sequence[Placed]) -> list[float]:
    return sorted({p.kind.max_intake_c for p in gear if p.kind.max_intake_c is not None})
