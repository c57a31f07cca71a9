"""The network beside a published semi-empirical law for metal casings.

Ishizuka and others, 1986 (from memory; that it exists and what for: an abstract, text read).
The worked figures were computed apart. Metal walls pass what the two films let pass.
"""

from functools import partial

import numpy as np

from kit.checks.airflow import ROOM, Link, Network, Opening, OpeningKind, Zone, steady, system
from kit.checks.airflow.air import CP_J_KG_K, G_M_S2, density_kg_m3
from kit.checks.airflow.neighbours import ishizuka, open_share_loss
from kit.checks.airflow.wood import Flow
from kit.geometry import Box
from kit.sources import Kind, Seen, Source, source
from published import Figure, by, each, held, share, worked

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


def network_over_law(heat_w: float) -> float:
    """The mean rise by the kit's network for the same metal box, over that of the law."""
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
    return rise_k / law(heat_w).mean_k


LAW = source("ishizuka")
BLEVINS = Source(
    key="blevins",
    title="Loss of a grille with square edges after Blevins (library fluids); the laws of grilles "
    "lie up to 40 % apart",
    kind=Kind.COMPUTED,
    seen=Seen.OWN,
)
PUBLISHED = {
    BLEVINS: [
        # the honest uncertainty of a vent; the rise moves with the cube root of the loss only
        Figure(f"{share_open} open", "", told, partial(open_share_loss, share_open), share(0.4))
        for share_open, told in ((0.3, 14.0), (0.4, 7.1), (0.5, 4.0), (0.6, 2.3))
    ],
    LAW: [
        # 300 = ρ·cp·√(2g/T) at 300 K
        Figure(
            "constant of the flow",
            "W/K^1.5·m^2.5",
            300,
            lambda: density_kg_m3(300 - 273.15) * CP_J_KG_K * (2 * G_M_S2 / 300) ** 0.5,
            share(0.01),
        )
    ],
    worked(LAW): [
        Figure("loss of a grille that is 0.4 open", "", 9.375, partial(open_share_loss, 0.4)),
        Figure("60 W, mean rise", "K", 15.65, lambda: law(60.0).mean_k, by(0.01)),
        Figure("60 W, rise at the outlet", "K", 20.35, lambda: law(60.0).outlet_k, by(0.02)),
        Figure("60 W, through the surface", "W", 28.8, lambda: law(60.0).surface_w, by(0.1)),
        Figure("60 W, by the vents", "W", 31.2, lambda: law(60.0).vent_w, by(0.1)),
        *(
            Figure(
                f"the kit's network over the law, {heat_w:g} W",
                "",
                1.0,
                partial(network_over_law, heat_w),
                by(BAND),
            )
            for heat_w in (20.0, 60.0, 120.0)
        ),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)
