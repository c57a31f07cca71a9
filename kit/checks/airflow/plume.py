"""The plume over a hot device, and the board that it heats. SI, usable alone."""

#: Share of the heat of a device that rises as warm air; the rest radiates. From memory.
CONVECTIVE = 0.7
#: Heat below which nothing stands out from the air of the bay, W.
LEAST_W = 1.0


def plume_rise_k(heat_w: float, side_m: float, above_m: float, air_c: float) -> float:
    """Excess of the middle of a plume over the air around it, K.

    ΔT = 9.1·(T/(g·cp²·ρ²))^(1/3)·Qc^(2/3)·(z - z0)^(-5/3), Qc in kW, which at room temperature is
    25·Qc^(2/3)·(z - z0)^(-5/3); virtual origin z0 = -1.02·D for a source too weak to flame, D
    the diameter of a circle as large as the source of `side_m` x `side_m`.
    Range: turbulent plume in calm air; on a device it is an upper estimate, since the warm air
    leaves the case spread out. Source: Heskestad's plume law (from memory).
    """
    if heat_w < LEAST_W:
        return 0.0
    from_origin_m = above_m + 1.02 * 1.128 * side_m
    scale_k = 25.0 * (air_c + 273.15) / 298.15
    return float(scale_k * (CONVECTIVE * heat_w / 1000.0) ** (2 / 3) * from_origin_m ** (-5 / 3))
