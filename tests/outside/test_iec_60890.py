"""The network beside the switchgear method, for one box of metal.

IEC TR 60890, curve equations of 2022 (second hand: public code; an independent digitising of
the curves agrees within 3 to 8 %). The worked figures were computed apart.
"""

from functools import partial

import numpy as np
import pytest

from kit.checks.airflow import ROOM, Link, Network, Opening, OpeningKind, Zone, steady, system
from kit.checks.airflow.neighbours import iec_60890, iec_area_m2, small_enclosure_top
from kit.checks.airflow.wood import Flow
from kit.errors import BuildError
from kit.geometry import Box
from kit.sources import source
from published import Figure, by, each, held, share, worked

W, H, D = 1.4, 0.5, 0.45
#: How far the network may lie from the method. Its air is mixed: in a closed box it is held
#: against the mean of half height and top; in a vented one against the top, since what leaves by
#: the outlet is as warm as the zone. Fixed films make it too warm at large rises.
BAND = 0.20


def network_k(heat_w: float, inlet_m2: float) -> float:
    """The same box of metal, its back to the wall, the floor left out; outlet 1.1 times inlet."""
    zone = Zone("box", Box((0.0, 0.0, 0.0), (W * 1000, D * 1000, H * 1000)))
    ua = W * D / (2 * Flow.UP.film_m2k_w) + (W * H + 2 * D * H) / (2 * Flow.LEVEL.film_m2k_w)
    vents = tuple(
        Opening(
            kind=OpeningKind.VENT,
            a=0,
            b=ROOM,
            area_m2=area,
            low_m=z,
            high_m=z,
            width_m=0.05,
            depth_m=0.0,
        )
        for area, z in ((inlet_m2, 0.05), (1.1 * inlet_m2, 0.45))
        if area
    )
    net = Network((zone,), vents, (Link(a=0, b=ROOM, ua_w_k=ua),))
    return float(steady(system(net, np.array([heat_w]), 25.0)).rise_k[0])


def off_share(heat_w: float, inlet_cm2: float) -> float:
    """The network over the method, less one."""
    rise = iec_60890(heat_w, W, H, D, inlet_cm2=inlet_cm2)
    theirs_k = rise.top_k if inlet_cm2 else (rise.half_k + rise.top_k) / 2
    return network_k(heat_w, inlet_cm2 / 1e4) / theirs_k - 1


def method_k(inlet_cm2: float, level: str) -> float:
    """The method's rise of 100 W at half height or at the top, K."""
    return getattr(iec_60890(100.0, W, H, D, inlet_cm2=inlet_cm2), f"{level}_k")


IEC = source("iec-60890")
PUBLISHED = {
    IEC: [
        # identities of the factors b
        Figure(
            "effective area to the wall, 1.4 W (H + D) + 1.8 D H",
            "m²",
            1.4 * W * (H + D) + 1.8 * D * H,
            partial(iec_area_m2, W, H, D),
            share(1e-6),
        ),
        Figure(
            "effective area free-standing, 1.8 H (W + D) + 1.4 W D",
            "m²",
            1.8 * H * (W + D) + 1.4 * W * D,
            partial(iec_area_m2, W, H, D, to_wall=False),
            share(1e-6),
        ),
        Figure(
            "small enclosure, H/W 0.8: top over half height",
            "",
            1 + 0.19354 * 0.8,
            partial(small_enclosure_top, 0.4, 0.5),
            share(1e-6),
        ),
    ],
    worked(IEC): [
        Figure(
            "1.4 x 0.5 x 0.45 m at the wall, effective area",
            "m²",
            2.267,
            partial(iec_area_m2, W, H, D),
            by(0.001),
        ),
        Figure("100 W, closed, half height", "K", 12.27, partial(method_k, 0, "half"), by(0.02)),
        Figure("100 W, closed, top", "K", 14.47, partial(method_k, 0, "top"), by(0.03)),
        Figure(
            "closed, over all",
            "W/m²K",
            3.6,
            lambda: 100 / method_k(0, "half") / 2.267,
            by(0.02),
        ),
        Figure(
            "100 W, inlet 100 cm², half height", "K", 6.30, partial(method_k, 100, "half"), by(0.02)
        ),
        Figure("100 W, inlet 100 cm², top", "K", 9.22, partial(method_k, 100, "top"), by(0.03)),
        *(
            Figure(
                f"the kit's network over the method, {heat_w:g} W, inlet {inlet_cm2:g} cm²",
                "",
                1.0,
                partial(lambda w, cm2: 1 + off_share(w, cm2), heat_w, inlet_cm2),
                by(BAND),
            )
            for heat_w in (50.0, 100.0, 200.0)
            for inlet_cm2 in (0.0, 100.0, 300.0)
        ),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


def test_small_enclosures_and_range():
    # both branches meet
    assert small_enclosure_top(0.815, 1.0) == pytest.approx(
        small_enclosure_top(0.8151, 1.0), abs=0.01
    )
    with pytest.raises(BuildError, match="12 m²"):
        iec_60890(100.0, 0.4, 0.4, 0.3)
