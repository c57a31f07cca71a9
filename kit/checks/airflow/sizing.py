"""How much vent, or which fan, brings a device under its limit: root finding on the model."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import ceil, exp, log, pi

import numpy as np

from kit.checks.airflow.air import density_kg_m3, fan_flow_m3_h
from kit.checks.airflow.climates import Climate, solved
from kit.checks.airflow.network import Opening, OpeningKind, ZoneKind, fan_opening
from kit.checks.airflow.solve import NoAnswerError
from kit.components.contents import Placed
from kit.components.fan import M3_H_PER_CFM

#: The model may be off by this share of the rise. An estimate: no measured table for a vented
#: wooden console was found.
UNCERTAIN = 0.3
#: From the floor and ceiling of a zone to the middle of a vent, mm.
VENT_IN = 40.0
#: Bounds of a search: each vent in m², a fan in m³/h.
VENTS_M2 = (1e-4, 0.25)
FANS_M3_H = (1.0, 500.0)
#: Pressure at which the fan that is sought stalls, Pa: a small quiet one (from memory).
FAN_PA = 20.0
#: A hole that a common cutter bores, mm, and a slot of a vent, mm.
HOLE_MM = 60.0
SLOT_MM = (12.7, 150.0)
#: Quick rules off by more than this factor get a notice.
DISAGREE = 2.0


@dataclass(frozen=True, slots=True)
class VentSize:
    """Free area of the low and of the high vent each, mm²; None where none is enough."""

    each_mm2: float | None

    @property
    def holes(self) -> int | None:
        """Holes of HOLE_MM that make one vent."""
        return None if self.each_mm2 is None else ceil(self.each_mm2 / (pi / 4 * HOLE_MM**2))

    @property
    def slots(self) -> int | None:
        """Slots of SLOT_MM with round ends that make one vent."""
        wide, long = SLOT_MM
        area = (long - wide) * wide + pi / 4 * wide**2
        return None if self.each_mm2 is None else ceil(self.each_mm2 / area)


def allowed_rise_k(state: Climate, limit_c: float, uncertain: float = UNCERTAIN) -> float:
    """Rise that stays under a limit even where the model is off by `uncertain`, K."""
    return (limit_c - state.room_c) / (1.0 + uncertain)


def rise_with_vents_k(state: Climate, placed: Placed, each_mm2: float) -> float:
    """Rise at the intake of a device with a low and a high vent more at its back, K.

    Both lead behind the case; `each_mm2` is the free area of one. Raises NoAnswerError.
    """
    zone = state.here.holding(placed)
    box = state.network.zones[zone].box
    inset = min(VENT_IN, box.size[2] / 4)
    vents = tuple(
        Opening(
            kind=OpeningKind.VENT,
            a=zone,
            b=_behind(state),
            area_m2=each_mm2 / 1e6,
            low_m=z / 1000,
            high_m=z / 1000,
            width_m=HOLE_MM / 1000,
            depth_m=0.0,
            x_mm=box.centre[0],
            y_mm=state.here.depth,
        )
        for z in (box.lo[2] + inset, box.hi[2] - inset)
    )
    return _rise(state, placed, vents if each_mm2 > 0.0 else ())


def rise_with_fan_k(state: Climate, placed: Placed, free_m3_h: float) -> float:
    """Rise at the intake of a device with a fan more, high at its back, K.

    Air comes in by the openings that are there. Raises NoAnswerError.
    """
    zone = state.here.holding(placed)
    box = state.network.zones[zone].box
    fan = fan_opening(
        zone,
        _behind(state),
        free_m3_h=free_m3_h,
        max_pa=FAN_PA,
        z_m=(box.hi[2] - min(VENT_IN, box.size[2] / 4)) / 1000,
        density_kg_m3=density_kg_m3(state.room_c),
        x_mm=box.centre[0],
        y_mm=state.here.depth,
    )
    return _rise(state, placed, (fan,))


def size_vents(
    state: Climate, placed: Placed, limit_c: float, *, uncertain: float = UNCERTAIN
) -> VentSize:
    """The vents that keep a device under `limit_c`, with the uncertainty taken off.

    0 where it is well without. Raises NoAnswerError.
    """
    allowed_k = allowed_rise_k(state, limit_c, uncertain)
    low, high = VENTS_M2
    if state.intake_c(placed) - state.room_c <= allowed_k:
        return VentSize(0.0)

    def over_k(log_m2: float) -> float:
        return rise_with_vents_k(state, placed, exp(log_m2) * 1e6) - allowed_k

    if allowed_k <= 0.0 or over_k(log(high)) > 0.0:
        return VentSize(None)
    if over_k(log(low)) <= 0.0:
        return VentSize(low * 1e6)
    return VentSize(exp(_root(over_k, log(low), log(high))) * 1e6)


def size_fan_m3_h(
    state: Climate, placed: Placed, limit_c: float, *, uncertain: float = UNCERTAIN
) -> float | None:
    """Free flow of the fan that keeps a device under `limit_c`, m³/h; None where none does.

    0 where it is well without. Raises NoAnswerError.
    """
    allowed_k = allowed_rise_k(state, limit_c, uncertain)
    low, high = FANS_M3_H
    if state.intake_c(placed) - state.room_c <= allowed_k:
        return 0.0

    def over_k(flow: float) -> float:
        return rise_with_fan_k(state, placed, exp(flow)) - allowed_k

    if allowed_k <= 0.0 or over_k(log(high)) > 0.0:
        return None
    if over_k(log(low)) <= 0.0:
        return low
    return exp(_root(over_k, log(low), log(high)))


def rises_by_area_k(
    state: Climate, placed: Placed, each_mm2: Sequence[float]
) -> tuple[float | None, ...]:
    """Rise at the intake of a device for several vents, K; None where there is no answer."""
    found: list[float | None] = []
    for area in each_mm2:
        try:
            found.append(rise_with_vents_k(state, placed, area))
        except NoAnswerError:
            found.append(None)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class QuickRule:
    """A rule of thumb beside the model, as a cross-check only. `notice` where they disagree.

    `blind` is what it takes no account of.
    """

    label: str
    blind: str
    flow_m3_h: float
    model_m3_h: float

    @property
    def notice(self) -> str:
        """What to say where rule and model are more than DISAGREE apart, else nothing."""
        ratio = self.flow_m3_h / self.model_m3_h if self.model_m3_h > 0 else float("inf")
        if 1 / DISAGREE <= ratio <= DISAGREE:
            return ""
        return (
            f"{self.label}, a rule of thumb, would have {self.flow_m3_h:.0f} m³/h pass where "
            f"{self.model_m3_h:.0f} m³/h do, for it leaves out {self.blind}: neither is a size to "
            "build to."
        )


def quick_rules(state: Climate, placed: Placed) -> tuple[QuickRule, ...]:
    """Flow by heat and flow by volume, beside what the model moves through the zone.

    Flow by heat: W / (ρ·cp·ΔT) at the rise that the model finds, as if no board conducted
    (source: fan-flow). Flow by volume: three cubic feet a minute for each cubic foot, whatever
    the heat (source: installers-advice; wrong by up to ten times).
    """
    zone = state.here.holding(placed)
    model = state.through_m3_h(zone)
    rise_k = state.intake_c(placed) - state.room_c
    rules = []
    if state.heat_w[zone] > 0.0 and rise_k > 0.01:
        by_heat = fan_flow_m3_h(state.heat_w[zone], rise_k, state.room_c)
        rules.append(QuickRule("Flow by heat", "what the boards carry off", by_heat, model))
    cubic_feet = state.network.zones[zone].box.volume_mm3 / 304.8**3
    rules.append(QuickRule("Flow by volume", "the heat", 3.0 * cubic_feet * M3_H_PER_CFM, model))
    return tuple(rules)


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a function of one number changes its sign."""
    from scipy.optimize import brentq  # slow to load, and needed only where something fails

    return float(brentq(function, low, high, xtol=1e-3))


def _behind(state: Climate) -> int:
    number = state.here.number(ZoneKind.BEHIND)
    assert number is not None
    return number


def _rise(state: Climate, placed: Placed, more: tuple[Opening, ...]) -> float:
    ways = replace(state.network, openings=(*state.network.openings, *more))
    changed = solved(state.here, ways, state.heat, np.array(state.heat_w))
    return changed.intake_c(placed) - state.room_c
