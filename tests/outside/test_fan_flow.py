"""Fan flow from heat: EDN, 12 May 2005 (text read): 0.569 W·min/(°C·ft³), so 1.757 cfm a W/°C;
a fan maker's 3160 cfm a kW/°F (text read). 2.97 m³/h a W/K at 20 °C (computed apart).
"""

import numpy as np
import pytest

from kit.checks.airflow import ROOM, Network, Opening, OpeningKind, Zone, ZoneKind, steady, system
from kit.checks.airflow.air import carried_w, density_kg_m3, fan_flow_m3_h, fan_point_m3_h
from kit.checks.airflow.network import fan_opening
from kit.components.fan import M3_H_PER_CFM
from kit.geometry import Box


def test_constants():
    cfm = fan_flow_m3_h(1.0, 1.0) / M3_H_PER_CFM
    assert cfm == pytest.approx(1.757, rel=0.01)
    assert 1 / cfm == pytest.approx(0.569, rel=0.01)
    assert cfm * 1.8 == pytest.approx(3.16, rel=0.01)
    assert fan_flow_m3_h(1000.0, 1 / 1.8) / M3_H_PER_CFM == pytest.approx(3160, rel=0.01)
    assert fan_flow_m3_h(1.0, 1.0) == pytest.approx(2.97, rel=0.01)


def test_a_console_with_a_fan():
    # 120 W at 10 K: 35.7 m³/h, 21 cfm; computed apart
    assert fan_flow_m3_h(120, 10) == pytest.approx(35.7, abs=0.3)
    assert fan_flow_m3_h(120, 10) / M3_H_PER_CFM == pytest.approx(21, abs=0.2)
    # 500 W in ten cubic feet by the volume rule: 30 cfm and a rise of 53 °F; builders' account
    flow_m3_s = 30 * M3_H_PER_CFM / 3600
    assert 500 / carried_w(flow_m3_s, 1.0, 20.0) * 1.8 == pytest.approx(53, abs=0.6)


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
