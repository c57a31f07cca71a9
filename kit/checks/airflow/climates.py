"""The air in a console in one state: what each device draws in, what moves where."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum
from functools import cached_property

import numpy as np

from kit.cabling import Service, cable
from kit.casework import Casework
from kit.checks.airflow.air import CP_J_KG_K, density_kg_m3
from kit.checks.airflow.equations import Floats, links_matrix, system
from kit.checks.airflow.network import Network
from kit.checks.airflow.reading import network
from kit.checks.airflow.site import Site, site
from kit.checks.airflow.solve import Solution, film, steady
from kit.components.contents import Placed

#: Film on the case of a device, convection and radiation, W/m²K. From memory: 8 to 12.
DEVICE_W_M2K = 10.0
#: Specific heat of a device: steel, aluminium, copper and plastics, J/kgK. From memory.
DEVICE_J_KG_K = 700.0


#: Share of what an adaptor takes from the mains that it hands on at full load, at least. From
#: memory: rules for efficient adaptors ask for 0.8 to 0.9 from some 8 W up.
HANDED_ON = 0.8


class Heat(Enum):
    """How much the gear works."""

    STANDBY = "standby"
    TYPICAL = "in use"
    PLATE = "at plate load"

    def of(self, placed: Placed) -> float | None:
        """What one device draws in this state, W; None where it is not known. See `own_heat_w`."""
        kind = placed.kind
        match self:
            case Heat.STANDBY:
                return kind.standby_w
            case Heat.TYPICAL:
                return kind.typical_w
            case Heat.PLATE:
                return kind.plate_w


@dataclass(frozen=True)
class Climate:
    """A solved state of a console."""

    here: Site
    network: Network
    heat: Heat
    heat_w: tuple[float, ...]
    solution: Solution

    @property
    def casework(self) -> Casework:
        """The console."""
        return self.here.casework

    @property
    def room_c(self) -> float:
        """Air of the room, °C."""
        return self.solution.equations.room_c

    @cached_property
    def air_c(self) -> tuple[float, ...]:
        """Air of each zone, °C."""
        return tuple(float(t) for t in self.solution.air_c)

    def intake_c(self, placed: Placed) -> float:
        """Air that a device draws in: the mean of its zone, °C."""
        return self.air_c[self.here.holding(placed)]

    @cached_property
    def flows_m3_h(self) -> tuple[tuple[float, float], ...]:
        """Flow through each opening, a to b and b to a, m³/h at the density of the room."""
        there, back = self.solution.opening_kg_s()
        per = 3600.0 / density_kg_m3(self.room_c)
        return tuple((float(t) * per, float(b) * per) for t, b in zip(there, back, strict=True))

    def through_m3_h(self, zone: int) -> float:
        """Air that passes through a zone, m³/h."""
        total = 0.0
        for opening, (there, back) in zip(self.network.openings, self.flows_m3_h, strict=True):
            if opening.b == zone:
                total += there
            if opening.a == zone:
                total += back
        return total


def own_heat_w(casework: Casework, placed: Placed, heat: Heat) -> float | None:
    """Heat that one device leaves where it stands, W; None where it is not known.

    The rating plate of an adaptor says what it takes from the mains, and nearly all of that is
    heat in what it feeds, which is counted there: its own is what it loses, and no less than in
    use. An adaptor that no cable of the design joins to anything may feed whatever stands beside
    it, and counts with its plate.
    """
    watts = heat.of(placed)
    if heat is not Heat.PLATE or watts is None or not _feeds(casework, placed):
        return watts
    return max((1.0 - HANDED_ON) * watts, Heat.TYPICAL.of(placed) or 0.0)


def _feeds(casework: Casework, placed: Placed) -> bool:
    """Whether it is an adaptor with a cable to something that is not the mains."""
    name = placed.item.name
    return placed.kind.adaptor and any(
        name in (run.start, run.end) and cable(run.kind).service is not Service.MAINS
        for run in casework.design.cables
    )


def unknown_heat(casework: Casework, heat: Heat) -> tuple[str, ...]:
    """Names of the devices whose heat in this state is not known."""
    return tuple(p.item.name for p in casework.inside if heat.of(p) is None)


def zone_heat_w(here: Site, heat: Heat, without: Placed | None = None) -> Floats:
    """Heat of the gear in each zone, W; unknown heat counts as none, so ask `unknown_heat`."""
    total = np.zeros(len(here.zones))
    for placed in here.casework.inside:
        if placed is not without:
            total[here.holding(placed)] += own_heat_w(here.casework, placed, heat) or 0.0
    return total


def climate(
    casework: Casework,
    heat: Heat = Heat.TYPICAL,
    *,
    open_bay: int | None = None,
    covered_bay: int | None = None,
    cable_fill: Mapping[str, float] | None = None,
) -> Climate:
    """The steady state, doors shut or slid as in `site`.

    Unknown heat counts as none. Raises NoAnswerError where the network has no answer.
    """
    here = site(casework, open_bay, covered_bay)
    return solved(here, network(here, cable_fill), heat, zone_heat_w(here, heat))


def solved(
    here: Site, ways: Network, heat: Heat, heat_w: Floats, guess: Floats | None = None
) -> Climate:
    """The steady state of a network with so much heat in each zone. Raises NoAnswerError.

    `guess` are the unknowns of a state that is near, such as that with the doors elsewhere.
    """
    equations = system(ways, heat_w, here.casework.design.room.air_c)
    return Climate(here, ways, heat, tuple(float(w) for w in heat_w), steady(equations, guess))


def again(state: Climate, heat: Heat, *, without: Placed | None = None) -> Climate:
    """The same console and doors with other heat, from the state that is known."""
    heat_w = zone_heat_w(state.here, heat, without)
    equations = replace(state.solution.equations, heat=heat_w)
    found = steady(equations, state.solution.x)
    return Climate(state.here, state.network, heat, tuple(float(w) for w in heat_w), found)


@dataclass(frozen=True)
class Evening:
    """A film from cold: `times_s` (t,) and the air of each zone `air_c` (t, zones)."""

    state: Climate
    times_s: Floats
    air_c: Floats


def evening(state: Climate, hours: float = 3.0, steps: int = 48) -> Evening:
    """How the air warms from cold over `hours` with the heat of `state`.

    Boards store heat at their middle, gear in its mass (none where that is not known).
    Raises NoAnswerError.
    """
    ways, here = state.network, state.here
    n = len(ways.zones)
    stores = [link for link in ways.links if link.capacity_j_k > 0.0]
    gear = [(p, own_heat_w(here.casework, p, state.heat) or 0.0) for p in here.casework.inside]
    gear = [(p, w) for p, w in gear if p.kind.mass_kg is not None]
    m = n + len(stores) + len(gear)
    # the room is the last row while the links are laid
    laid = np.zeros((m + 1, m + 1))
    bare = Network(ways.zones, (), tuple(k for k in ways.links if k.capacity_j_k <= 0.0))
    laid[:n, :n] = links_matrix(bare)
    capacity, heat_w = np.zeros(m), np.zeros(m)
    heat_w[:n] = state.heat_w
    for number, zone in enumerate(ways.zones):
        volume_m3 = zone.box.volume_mm3 / 1e9
        capacity[number] = density_kg_m3(state.room_c) * volume_m3 * CP_J_KG_K
    for node, link in enumerate(stores, start=n):
        for side in (link.a, link.b):
            _join(laid, node, side % (m + 1) if side < 0 else side, 2 * link.ua_w_k)
        capacity[node] = link.capacity_j_k
    for node, (placed, watts) in enumerate(gear, start=n + len(stores)):
        zone_number = here.holding(placed)
        w, d, h = (mm / 1000 for mm in placed.body.size)
        _join(laid, node, zone_number, DEVICE_W_M2K * 2 * (w * d + w * h + d * h))
        capacity[node] = DEVICE_J_KG_K * (placed.kind.mass_kg or 0.0)
        heat_w[zone_number] -= watts
        heat_w[node] += watts
    equations = system(
        ways, heat_w, state.room_c, conductance_w_k=laid[:m, :m], capacity_j_k=capacity
    )
    times_s, states = film(equations, hours, steps)
    return Evening(state, times_s, np.array([s.air_c for s in states]))


def _join(matrix: Floats, i: int, j: int, ua_w_k: float) -> None:
    matrix[i, i] += ua_w_k
    matrix[j, j] += ua_w_k
    matrix[i, j] -= ua_w_k
    matrix[j, i] -= ua_w_k
