"""The network beside a published semi-empirical law for metal casings.

Ishizuka and others, 1986 (from memory; that it exists and what for: an abstract, text read).
The worked figures were computed apart. Metal walls pass what the two films let pass.
"""

import numpy as np
import pytest

from kit.checks.airflow import ROOM, Link, Network, Opening, OpeningKind, Zone, steady, system
from kit.checks.airflow.neighbours import ishizuka, open_share_loss
from kit.checks.airflow.wood import Flow
from kit.geometry import Box

W, H, D = 0.43, 0.17, 0.38
#: How far the network may lie from the law: films and the loss of a grille differ by so much.
BAND = 0.20


def law(heat_w: float):
    return ishizuka(
        heat_w,
        top_m2=W * D,
        sides_m2=2 * (W + D) * H,
        bottom_m2=W * D,
        outlet_m2=0.01,
        height_m=0.12,
        loss=open_share_loss(0.4),
    )


def test_worked_example():
    assert open_share_loss(0.4) == pytest.approx(9.375)
    rise = law(60.0)
    assert rise.mean_k == pytest.approx(15.65, abs=0.01)
    assert rise.outlet_k == pytest.approx(20.35, abs=0.02)
    assert rise.surface_w == pytest.approx(28.8, abs=0.1)
    assert rise.vent_w == pytest.approx(31.2, abs=0.1)


def test_its_constant_is_that_of_stack_flow():
    # 300 = ρ·cp·√(2g/T) at 300 K
    assert (
        pytest.approx(300, rel=0.01)
        == (101325 / (287.05 * 300)) * 1006 * (2 * 9.80665 / 300) ** 0.5
    )


@pytest.mark.parametrize("heat_w", [20.0, 60.0, 120.0])
def test_the_network_for_the_same_metal_box(heat_w):
    zone = Zone("box", Box((0.0, 0.0, 0.0), (W * 1000, D * 1000, H * 1000)))
    ua = W * D / (2 * Flow.UP.film_m2k_w) + W * D / (2 * Flow.DOWN.film_m2k_w)
    ua += 2 * (W + D) * H / (2 * Flow.LEVEL.film_m2k_w)
    outlet = Opening(
        kind=OpeningKind.VENT,
        a=0,
        b=ROOM,
        area_m2=0.01,
        low_m=0.15,
        high_m=0.15,
        width_m=0.01,
        depth_m=0.0,
        discharge=open_share_loss(0.4) ** -0.5,
    )
    inlet = Opening(
        kind=OpeningKind.VENT,
        a=ROOM,
        b=0,
        area_m2=0.1,
        low_m=0.03,
        high_m=0.03,
        width_m=0.1,
        depth_m=0.0,
    )
    net = Network((zone,), (outlet, inlet), (Link(a=0, b=ROOM, ua_w_k=ua),))
    rise_k = float(steady(system(net, np.array([heat_w]), 25.0)).rise_k[0])
    mean_k = law(heat_w).mean_k
    print(f"{heat_w} W: network {rise_k:.2f} K, law {mean_k:.2f} K, {rise_k / mean_k - 1:+.0%}")
    assert rise_k == pytest.approx(mean_k, rel=BAND)
