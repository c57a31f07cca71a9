"""Flow by buoyancy against published formulas and their worked figures.

Two openings: public text citing building research institutes (text read), Q = C·A·√(2gHΔT/Ti)
with C from 0.65 to 0.70. Neutral level: ASHRAE Fundamentals, ventilation (from memory). One
tall opening: textbook (from memory), and its integral. The figures of the tables were computed
apart from this code, in the records of the kit's makers.
"""

import numpy as np
import pytest

from kit.checks.airflow import ROOM, Link, Network, Opening, OpeningKind, Zone, air, steady, system
from kit.geometry import Box


def one_zone(
    heat_w: float, openings: list[tuple[float, float, float]], ua_w_k: float = 0.0, cd: float = 0.61
) -> float:
    """Rise of one zone with openings (area m², low m, high m), K."""
    top = max(high for _, _, high in openings)
    zone = Zone("box", Box((0.0, 0.0, 0.0), (1000.0, 500.0, 1000.0 * top)))
    ways = tuple(
        Opening(
            kind=OpeningKind.VENT,
            a=0,
            b=ROOM,
            area_m2=area,
            low_m=low,
            high_m=high,
            width_m=1.0,
            depth_m=0.0,
            discharge=cd,
        )
        for area, low, high in openings
    )
    net = Network((zone,), ways, (Link(a=0, b=ROOM, ua_w_k=ua_w_k),))
    return float(steady(system(net, np.array([heat_w]), 25.0)).rise_k[0])


#: W, area of each vent m², height m, rise without conduction, rise with 6 W/K.
MIXED = [
    (60, 0.010, 0.30, 20.35, 7.58),
    (120, 0.020, 0.35, 19.26, 11.01),
    (120, 0.040, 0.35, 11.85, 8.23),
    (200, 0.040, 0.35, 16.93, 12.28),
    (120, 0.010, 0.35, 31.79, 13.79),
]


@pytest.mark.parametrize(("heat_w", "area", "height", "bare_k", "wood_k"), MIXED)
def test_closed_form_of_a_mixed_box(heat_w, area, height, bare_k, wood_k):
    both = air.effective_area_m2(area, area)
    assert air.vented_rise_k(heat_w, both, height, 25.0) == pytest.approx(bare_k, abs=0.006)
    rise_k = air.vented_rise_k(heat_w, both, height, 25.0, ua_w_k=6.0)
    assert rise_k == pytest.approx(wood_k, abs=0.006)


@pytest.mark.parametrize(("heat_w", "area", "height", "bare_k", "wood_k"), MIXED)
@pytest.mark.parametrize("ua_w_k", [0.0, 6.0])
def test_the_network_with_one_zone_and_two_vents(heat_w, area, height, bare_k, wood_k, ua_w_k):
    rise_k = one_zone(heat_w, [(area, 0.0, 0.0), (area, height, height)], ua_w_k)
    table_k = wood_k if ua_w_k else bare_k
    print(f"{heat_w} W, {area} m2, UA {ua_w_k}: network {rise_k:.2f} K, table {table_k:.2f} K")
    # the table takes the density at inside temperature in both vents, the network that of the
    # air which is in the vent: more mass comes in low, by rise / 2T, so it is a little cooler
    assert table_k * (1 - 1.05 * table_k / 298.15 / 1.3) <= rise_k <= table_k
    # with the mass flow of the table, the rest agrees
    cold, warm = air.density_kg_m3(25.0), air.density_kg_m3(25.0 + rise_k)
    more = (2 * cold**2 / (warm * (cold + warm))) ** 0.5
    like = air.vented_rise_k(
        heat_w, more * air.effective_area_m2(area, area), height, 25.0, ua_w_k=ua_w_k
    )
    assert rise_k == pytest.approx(like, rel=2e-3)


def test_unequal_vents():
    area = air.effective_area_m2(0.01, 0.02)
    assert area == pytest.approx(0.008944, abs=1e-6)
    flow = air.stack_flow_m3_s(area, 0.35, 35.0, 25.0, 0.65)
    assert flow * 1000 == pytest.approx(2.744, abs=0.002)
    assert air.neutral_level_m(0.01, 0.02, 0.35, 35.0, 25.0) == pytest.approx(0.278, abs=0.001)
    draught_pa = (air.density_kg_m3(25.0) - air.density_kg_m3(35.0)) * 9.80665 * 0.35
    assert draught_pa == pytest.approx(0.132, abs=0.001)


def test_a_published_discharge_gives_the_published_flow():
    # equal vents of 0.01 m², 1 m apart, 10 K, 0.65: by stack flow and by neutral level
    area = air.effective_area_m2(0.01, 0.01)
    assert air.stack_flow_m3_s(area, 1.0, 35.0, 25.0, 0.65) * 1000 == pytest.approx(3.667, abs=4e-3)
    level = air.neutral_level_m(0.01, 0.01, 1.0, 35.0, 25.0)
    one = air.stack_flow_m3_s(0.01, level, 35.0, 25.0, 0.65)
    assert one * 1000 == pytest.approx(3.667, rel=0.01)


def test_scaling_laws():
    rise = air.vented_rise_k(1.0, 0.02, 0.35, 25.0)
    assert air.vented_rise_k(8.0, 0.02, 0.35, 25.0) / rise == pytest.approx(4.0, rel=0.03)
    assert air.vented_rise_k(1.0, 0.16, 0.35, 25.0) / rise == pytest.approx(1 / 4, rel=0.01)
    assert air.vented_rise_k(1.0, 0.02, 2.8, 25.0) / rise == pytest.approx(1 / 2, rel=0.01)
    bare = [(0.02, 0.0, 0.0), (0.02, 0.35, 0.35)]
    assert one_zone(40.0, bare) / one_zone(5.0, bare) == pytest.approx(4.0, rel=0.03)


@pytest.mark.parametrize(
    ("heat_w", "wide", "tall", "rise_k"),
    [(120, 1.2, 0.4, 4.4), (120, 0.3, 0.3, 15.5), (60, 0.3, 0.2, 14.6)],
)
def test_one_tall_opening(heat_w, wide, tall, rise_k):
    network_k = one_zone(heat_w, [(wide * tall, 0.0, tall)], cd=0.6)
    assert network_k == pytest.approx(rise_k, rel=0.04)
    mean_c = 25.0 + network_k / 2
    flow = air.tall_opening_flow_m3_s(wide * tall, tall, network_k, mean_c, 0.6)
    assert air.carried_w(flow, network_k, mean_c) == pytest.approx(heat_w, rel=0.02)


def test_no_flow_without_a_rise_or_with_one_vent_shut():
    assert air.stack_flow_m3_s(0.01, 1.0, 20.0, 25.0) == 0.0
    assert air.tall_opening_flow_m3_s(0.01, 1.0, 0.0, 25.0) == 0.0
    assert air.effective_area_m2(0.01, 0.0) == 0.0


@pytest.mark.parametrize(("inches2", "heat_w"), [(20.0, 32.0), (40.0, 64.0), (3.14, 5.0)])
def test_what_a_pair_of_vents_carries(inches2, heat_w):
    # builders' accounts, recomputed: 14 in apart, 18 °F: about 32 and 64 W, 5 W by a 2 in hole
    area = inches2 * 6.4516e-4
    rise_k = one_zone(heat_w, [(area, 0.0, 0.0), (area, 0.3556, 0.3556)])
    assert rise_k == pytest.approx(10.0, rel=0.1)
