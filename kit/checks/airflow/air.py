"""Air: density, flow through openings by buoyancy, heat carried by a flow, fans.

Plain functions in SI units, usable alone. Temperatures are in °C, differences in K.
"""

from math import sqrt

#: Standard gravity, m/s².
G_M_S2 = 9.80665
#: Pressure of the air at sea level, Pa, and its gas constant, J/kgK.
PRESSURE_PA = 101325.0
GAS_J_KG_K = 287.05
#: Specific heat of air, J/kgK.
CP_J_KG_K = 1006.0
#: Dynamic viscosity of air at 30 °C, Pa·s. From memory; +0.5 % for every 2 K.
VISCOSITY_PA_S = 1.86e-5
#: 0 °C in K.
ZERO_C_K = 273.15
#: Share of an opening that a jet fills: sharp edges, one way; from memory 0.60 to 0.65.
DISCHARGE = 0.61
#: As above where air goes in low and out high through one opening; from memory 0.4 to 0.6.
DISCHARGE_TWO_WAY = 0.5


def density_kg_m3(air_c: float) -> float:
    """Density of dry air at sea level: ρ = p / (R·T), kg/m³. Source: ideal gas."""
    return PRESSURE_PA / (GAS_J_KG_K * (air_c + ZERO_C_K))


def effective_area_m2(low_m2: float, high_m2: float) -> float:
    """Area of one opening that passes what two in series pass, m².

    A = A1·A2 / √(A1² + A2²); 0 where either is shut. Source: two losses in series.
    """
    if min(low_m2, high_m2) <= 0.0:
        return 0.0
    return low_m2 * high_m2 / sqrt(low_m2**2 + high_m2**2)


def stack_flow_m3_s(
    area_m2: float, height_m: float, inside_c: float, outside_c: float, discharge: float = DISCHARGE
) -> float:
    """Flow that warm air drives through a low and a high opening, m³/s at inside temperature.

    Q = Cd·A·√(2·g·H·(Ti - To) / Ti) with `area_m2` from `effective_area_m2` and `height_m`
    from the middle of one opening to that of the other. 0 where it is no warmer inside.
    Range: still room, inside well mixed, Reynolds number over about 500.
    Source: stack-effect.
    """
    rise_k = inside_c - outside_c
    if rise_k <= 0.0:
        return 0.0
    return discharge * area_m2 * sqrt(2 * G_M_S2 * height_m * rise_k / (inside_c + ZERO_C_K))


def neutral_level_m(
    low_m2: float, high_m2: float, height_m: float, inside_c: float, outside_c: float
) -> float:
    """Height over the middle of the low opening at which inside and outside pressure agree, m.

    h = H / (1 + (A1/A2)²·Ti/To). Source: ASHRAE Fundamentals, ventilation (from memory).
    """
    ratio = (inside_c + ZERO_C_K) / (outside_c + ZERO_C_K)
    return height_m / (1 + (low_m2 / high_m2) ** 2 * ratio)


def tall_opening_flow_m3_s(
    area_m2: float, height_m: float, rise_k: float, mean_c: float, discharge: float = DISCHARGE
) -> float:
    """Flow in through the lower half of one tall opening and out through the upper, m³/s.

    Q = (Cd/3)·A·√(g·h·ΔT / T), the integral of the stack flow over half the height.
    Range: the only opening. Source: textbook (from memory), derivation.
    """
    if rise_k <= 0.0:
        return 0.0
    return discharge / 3 * area_m2 * sqrt(G_M_S2 * height_m * rise_k / (mean_c + ZERO_C_K))


def vented_rise_k(
    heat_w: float,
    area_m2: float,
    height_m: float,
    outside_c: float,
    *,
    ua_w_k: float = 0.0,
    discharge: float = DISCHARGE,
) -> float:
    """Rise of the air in a well mixed box with a low and a high opening, K.

    Solves W = ρ·cp·Q·ΔT + UA·ΔT with Q from `stack_flow_m3_s` and ρ at inside temperature.
    Without conduction ΔT goes with W^(2/3), A^(-2/3) and H^(-1/3). Source: heat balance.
    """
    if heat_w <= 0.0:
        return 0.0

    def surplus_w(rise_k: float) -> float:
        inside_c = outside_c + rise_k
        flow_m3_s = stack_flow_m3_s(area_m2, height_m, inside_c, outside_c, discharge)
        return carried_w(flow_m3_s, rise_k, inside_c) + ua_w_k * rise_k - heat_w

    low, high = 0.0, 1.0
    while surplus_w(high) < 0.0:
        high *= 2.0
        if high > 1e5:
            return float("inf")
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if surplus_w(middle) < 0.0 else (low, middle)
    return high


def carried_w(flow_m3_s: float, rise_k: float, air_c: float) -> float:
    """Heat that a flow, measured at `air_c`, takes away as it warms: ρ·cp·Q·ΔT, W."""
    return density_kg_m3(air_c) * CP_J_KG_K * flow_m3_s * rise_k


def fan_flow_m3_h(heat_w: float, rise_k: float, air_c: float = 20.0) -> float:
    """Flow that carries `heat_w` at a rise of `rise_k`, m³/h at `air_c` and sea level.

    Q = W / (ρ·cp·ΔT): 2.97·W/ΔT at 20 °C, which is CFM = 1.757·W/ΔT(K) = 3.16·W/ΔT(°F).
    It is what must be delivered: a fan gives its free flow only against no pressure.
    Source: fan-flow.

    >>> round(fan_flow_m3_h(120, 10), 1)
    35.7
    """
    return 3600.0 * heat_w / (density_kg_m3(air_c) * CP_J_KG_K * rise_k)


def fan_point_m3_h(free_m3_h: float, max_pa: float, against_pa: float) -> float:
    """Flow of a fan against a pressure, m³/h: Q = Q_free·√(1 - Δp/p_max), 0 past p_max.

    Source: parabola through both ends of the curve, usual for small axial fans (from memory).
    """
    return free_m3_h * sqrt(max(0.0, 1.0 - against_pa / max_pa))
