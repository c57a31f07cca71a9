"""Heat through boards: conductivity of wood, films of air, U values. SI, usable alone."""

from enum import Enum

from kit.errors import BuildError

#: Moisture of sheet goods in a heated room, % of dry mass. From memory: 6 to 9.
MOISTURE_PERCENT = 8.0
#: Specific heat of wood at that moisture and 30 °C, J/kgK. From memory: 1400 to 1700.
WOOD_J_KG_K = 1500.0


class Flow(Enum):
    """Which way heat flows through a board, with the film of air on a face, m²K/W.

    Source: iso-6946, internal surfaces; both faces of a console are indoors.
    """

    LEVEL = 0.13
    UP = 0.10
    DOWN = 0.17

    @property
    def film_m2k_w(self) -> float:
        """Resistance of the film on one face, convection and radiation together."""
        return float(self.value)


def wood_conductivity_w_mk(gravity: float, moisture_percent: float = MOISTURE_PERCENT) -> float:
    """Conductivity of wood across the grain, W/mK.

    k = Gx·(0.1941 + 0.004064·M) + 0.01864 with Gx the dry mass over the volume at moisture M,
    in units of water. Range: Gx over 0.3, M under 25 %, about 24 °C; scatter ±20 %.
    Source: wood-handbook-heat. Raises BuildError for a negative gravity or a moisture outside
    0 to 25 %.
    """
    if gravity <= 0.0 or not 0.0 <= moisture_percent < 25.0:
        raise BuildError(
            f"Wood of specific gravity {gravity:g} at {moisture_percent:g} % moisture has no "
            "conductivity here; give a gravity above 0 and a moisture from 0 up to 25 %."
        )
    return gravity * (0.1941 + 0.004064 * moisture_percent) + 0.01864


def board_conductivity_w_mk(density_kg_m3: float) -> float:
    """Conductivity of a board from its density as it stands in the room, W/mK.

    As `wood_conductivity_w_mk` at MOISTURE_PERCENT. Plywood lies within the scatter; boards of
    fibre and chips come out up to a fifth high.
    """
    return wood_conductivity_w_mk(density_kg_m3 / 1000.0 / (1 + MOISTURE_PERCENT / 100.0))


def u_value_w_m2k(thickness_m: float, conductivity_w_mk: float, flow: Flow) -> float:
    """Heat through a board from air to air, W/m²K: U = 1 / (R + t/k + R). Source: iso-6946.

    >>> round(u_value_w_m2k(0.018, 0.15, Flow.LEVEL), 2)
    2.63
    """
    return 1.0 / (2 * flow.film_m2k_w + thickness_m / conductivity_w_mk)


def face_c(warm_c: float, cool_c: float, u_w_m2k: float, flow: Flow) -> float:
    """Temperature of the face of a board towards the warm air, °C: T1 - U·R·(T1 - T2)."""
    return warm_c - u_w_m2k * flow.film_m2k_w * (warm_c - cool_c)
