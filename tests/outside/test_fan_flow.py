"""Fan flow from heat: EDN, 12 May 2005 (text read): 0.569 W·min/(°C·ft³), so 1.757 cfm a W/°C;
a fan maker's 3160 cfm a kW/°F (text read). 2.97 m³/h a W/K at 20 °C (computed apart).
"""

from functools import partial

import numpy as np
import pytest

from kit.checks.airflow import ROOM, Network, Opening, OpeningKind, Zone, ZoneKind, steady, system
from kit.checks.airflow.air import carried_w, density_kg_m3, fan_flow_m3_h, fan_point_m3_h
from kit.checks.airflow.network import fan_opening
from kit.components.fan import M3_H_PER_CFM
from kit.geometry import Box
from kit.sources import source
from published import Figure, by, each, held, share, worked


def cfm(heat_w: float, rise_k: float) -> float:
    return fan_flow_m3_h(heat_w, rise_k) / M3_H_PER_CFM


def rise_f(heat_w: float, flow_cfm: float) -> float:
    """Rise of the air of a fan, °F."""
    return heat_w / carried_w(flow_cfm * M3_H_PER_CFM / 3600, 1.0, 20.0) * 1.8


FAN = source("fan-flow")
PUBLISHED = {
    FAN: [
        Figure("flow by heat and rise", "cfm·°C/W", 1.757, partial(cfm, 1.0, 1.0), share(0.01)),
        Figure(
            "heat by flow and rise", "W·min/°C·ft³", 0.569, lambda: 1 / cfm(1.0, 1.0), share(0.01)
        ),
        Figure("the same in °F", "cfm·°F/W", 3.16, partial(cfm, 1.0, 1 / 1.8), share(0.01)),
        Figure("a fan maker's, of a kW", "cfm·°F", 3160, partial(cfm, 1e3, 1 / 1.8), share(0.01)),
    ],
    worked(FAN): [
        Figure("the same at 20 °C", "m³/h·K/W", 2.97, partial(fan_flow_m3_h, 1, 1), share(0.01)),
        Figure("120 W at 10 K", "m³/h", 35.7, partial(fan_flow_m3_h, 120, 10), by(0.3)),
        Figure("120 W at 10 K, in feet", "cfm", 21, partial(cfm, 120, 10), by(0.2)),
    ],
    source("builders-accounts"): [
        # the volume rule for ten cubic feet
        Figure("500 W carried by 30 cfm, rise", "°F", 53, partial(rise_f, 500, 30), by(0.6))
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


@pytest.mark.parametrize("inlet_m2", [1.0, 0.01, 0.003, 0.0005])
def test_the_working_point_lies_on_the_curve(inlet_m2):
    free_m3_h, max_pa, heat_w = 60.0, 15.0, 1e-6
    zone = Zone("box", Box((0.0, 0.0, 0.0), (400.0, 400.0, 400.0)), ZoneKind.BAY, 1)
    inlet = Opening(
        kind=OpeningKind.VENT,
        a=ROOM,
        b=0,
        area_m2=inlet_m2,
        low_m=0.2,
        high_m=0.2,
        width_m=0.1,
        depth_m=0.0,
    )
    fan = fan_opening(
        0, ROOM, free_m3_h=free_m3_h, max_pa=max_pa, z_m=0.2, density_kg_m3=density_kg_m3(25.0)
    )
    solution = steady(system(Network((zone,), (inlet, fan), ()), np.array([heat_w]), 25.0))
    flow = solution.opening_kg_s()[0][1] / density_kg_m3(25.0) * 3600
    assert flow == pytest.approx(solution.opening_kg_s()[0][0] / density_kg_m3(25.0) * 3600)
    assert flow == pytest.approx(fan_point_m3_h(free_m3_h, max_pa, -solution.x[0]), rel=0.01)
    # behind an orifice A both losses add up: Q = Q_free / √(1 + (A_fan / A)²)
    share = 1 / (1 + (fan.area_m2 / inlet_m2) ** 2) ** 0.5
    assert flow / free_m3_h == pytest.approx(share, rel=0.02)


def test_a_fan_carries_the_heat():
    zone = Zone("box", Box((0.0, 0.0, 0.0), (400.0, 400.0, 400.0)), ZoneKind.BAY, 1)
    inlet = Opening(
        kind=OpeningKind.VENT,
        a=ROOM,
        b=0,
        area_m2=0.5,
        low_m=0.05,
        high_m=0.05,
        width_m=0.1,
        depth_m=0.0,
    )
    fan = fan_opening(
        0, ROOM, free_m3_h=35.7, max_pa=30.0, z_m=0.05, density_kg_m3=density_kg_m3(25.0)
    )
    solution = steady(system(Network((zone,), (inlet, fan), ()), np.array([120.0]), 25.0))
    assert solution.rise_k[0] == pytest.approx(10.0, rel=0.04)
