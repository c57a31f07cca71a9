"""Two published ways to reckon a metal enclosure: neighbours to hold the network against.

They are not used to judge a console, which has walls of wood. They are shown as labelled
cross-checks and compared with the network for the same box in metal by the tests.
"""

from dataclasses import dataclass
from math import exp, log

from kit.errors import BuildError


@dataclass(frozen=True, slots=True)
class IshizukaRise:
    """Mean and outlet rise in K, and where the heat goes in W."""

    mean_k: float
    outlet_k: float
    surface_w: float
    vent_w: float


def open_share_loss(open_share: float) -> float:
    """Loss of a grille by its open share, on the speed in the whole outlet: K = 2.5·(1-b)/b².

    Range: b from 0.2 to 0.9, Reynolds number of the holes over about 100.
    Source: ishizuka (from memory).
    """
    if not 0.0 < open_share < 1.0:
        raise BuildError(f"A grille cannot be {open_share:g} open; give a share between 0 and 1.")
    return 2.5 * (1.0 - open_share) / open_share**2


def ishizuka(
    heat_w: float,
    *,
    top_m2: float,
    sides_m2: float,
    bottom_m2: float,
    outlet_m2: float,
    height_m: float,
    loss: float,
) -> IshizukaRise:
    """Semi-empirical rise of the air in a casing with natural draught.

    Q = 1.78·(S_top + S_side + S_bottom/2)·ΔTm^1.25 + 300·A_o·√(h/K)·ΔTo^1.5, ΔTo = 1.3·ΔTm;
    `height_m` from the heater to the outlet, `loss` is K of the outlet. Range: walls of metal
    or thin plastic, outlet smaller than the inlet; not for wood.
    Source: ishizuka (from memory).
    """
    seq_m2 = top_m2 + sides_m2 + bottom_m2 / 2

    def parts_w(mean_k: float) -> tuple[float, float]:
        vent = 300.0 * outlet_m2 * (height_m / loss) ** 0.5 * (1.3 * mean_k) ** 1.5
        return 1.78 * seq_m2 * mean_k**1.25, vent

    low, high = 0.0, 1000.0
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if sum(parts_w(middle)) < heat_w else (low, middle)
    surface_w, vent_w = parts_w(high)
    return IshizukaRise(high, 1.3 * high, surface_w, vent_w)


@dataclass(frozen=True, slots=True)
class IecRise:
    """Rise of the air at half height and at the top, K."""

    half_k: float
    top_k: float


def iec_area_m2(width_m: float, height_m: float, depth_m: float, *, to_wall: bool = True) -> float:
    """Effective cooling area of an enclosure that stands alone, m²: the sum of A·b.

    b is 1.4 for the top, 0.9 for front, sides and a free back, 0.5 for a back to the wall, 0
    for the floor. Source: iec-60890 (second hand).
    """
    back = 0.5 if to_wall else 0.9
    faces_m2 = width_m * height_m * (0.9 + back) + 2 * depth_m * height_m * 0.9
    return 1.4 * width_m * depth_m + faces_m2


def iec_60890(
    heat_w: float,
    width_m: float,
    height_m: float,
    depth_m: float,
    *,
    inlet_cm2: float = 0.0,
    curve: int = 3,
    to_wall: bool = True,
) -> IecRise:
    """Rise of the air in a sheet-metal enclosure without fans or partitions.

    ΔT½ = k·P^x, ΔT1 = c·ΔT½ with the fitted curves of k and c. `inlet_cm2` 0 is a closed
    enclosure; else the outlet is at least 1.1 times as large. `curve` 1 to 5 is how it stands.
    Range: effective area 1.25 to 12 m², inlets 10 to 1000 cm², heat spread evenly.
    Source: iec-60890 (second hand). Raises BuildError outside that range.
    """
    ae_m2 = iec_area_m2(width_m, height_m, depth_m, to_wall=to_wall)
    if not 1.25 < ae_m2 <= 12.0 or not (inlet_cm2 == 0.0 or 10.0 <= inlet_cm2 <= 1000.0):
        raise BuildError(
            f"IEC TR 60890 as held here covers 1.25 to 12 m² and inlets of 10 to 1000 cm², not "
            f"{ae_m2:.2f} m² and {inlet_cm2:g} cm²; reckon it with the network alone."
        )
    f = height_m**1.35 / (width_m * depth_m)
    if inlet_cm2:
        k = (0.0283 * log(ae_m2) - 0.1039) * log(inlet_cm2) - (0.1952 * log(ae_m2) - 0.7656)
        f = max(f, 1.5)
        power = 5.1e-4 * f**2 - 1.35e-2 * f + 0.14931
        c, x = 0.01 * (7.6 * f + 69.0) * inlet_cm2**power, 0.715
    else:
        k = 0.58 * ae_m2**-0.795
        place = (1.182, 1.164, 1.146, 1.125, 1.087)[curve - 1]
        c, x = -0.0017 * f**2 + 0.055 * f + place, 0.804
    half_k = k * heat_w**x
    return IecRise(half_k, c * half_k)


def small_enclosure_top(height_m: float, width_m: float) -> float:
    """Top over half-height rise of a closed enclosure under 1.25 m²: c by g = H/W.

    Source: iec-60890 (second hand).
    """
    g = height_m / width_m
    if g <= 0.815:
        return 1.0 + 0.19354 * g
    return 0.93643 + 0.324055 * (1.0 - exp(0.38579 - 1.8827 * g))
