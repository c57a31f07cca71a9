"""The equations of a network as arrays: residual and Jacobian, ready for Newton's method.

Unknown are the pressure π of each zone at its middle height against the room at that height
(Pa), and the rise θ of each node over the room (K). Nodes are the zones, then whatever only
stores and conducts (boards and gear, in the transient). Every opening is cut into slices; the
air in a slice is driven by

    Δp(z) = π_a - π_b + g·(ρ_o - ρ_a)·(z - z_a) - g·(ρ_o - ρ_b)·(z - z_b) + boost
    Δp = ρ·v²/(2·Cd²) + B·v,    B = 12·μ·L/s² + 19·μ/s

with the orifice loss and the drag of a narrow way: slit flow along its depth L (parallel
plates) and creeping flow at its mouth (Sampson's law), s being its least width.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.checks.airflow.air import (
    CP_J_KG_K,
    G_M_S2,
    GAS_J_KG_K,
    PRESSURE_PA,
    VISCOSITY_PA_S,
    ZERO_C_K,
    density_kg_m3,
)
from kit.checks.airflow.network import Network, Opening

type Floats = NDArray[np.float64]

#: Slices of an opening that is taller than SLICE_M; enough for 1 % of the flow through one
#: tall opening.
SLICES = 10
SLICE_M = 0.03
#: Below this pressure a flow without drag is made linear, so that it has a slope at rest, Pa.
REST_PA = 1e-4
#: One residual of mass counts as much as that heat at a rise of this many K.
MASS_SCALE_K = 5.0
#: The rise of the room.
NOUGHT = np.zeros(1)


class Flows(NamedTuple):
    """What moves at one state. `mass_kg_s` of each slice from a to b, `dp_pa` what drives it."""

    mass_kg_s: Floats
    dp_pa: Floats


class Moving(NamedTuple):
    """The flows at one state, and what they come from, slice by slice.

    `up` is the zone each slice draws from, the room last; `t_k` and `rho` are those of the zones.
    """

    flows: Flows
    up: NDArray[np.intp]
    t_k: Floats
    rho: Floats
    rho_up: Floats
    size: Floats
    root: Floats
    speed: Floats


@dataclass(frozen=True)
class System:
    """A network as arrays. `n` zones, `m` nodes, `k` slices; see `system`."""

    network: Network
    room_c: float
    n: int
    m: int
    a: NDArray[np.intp]
    b: NDArray[np.intp]
    of_opening: NDArray[np.intp]
    area: Floats
    loss: Floats
    drag: Floats
    boost: Floats
    lift: Floats
    incidence: Floats
    conductance: Floats
    capacity: Floats
    heat: Floats

    def flows(self, x: Floats) -> Flows:
        """The flow in every slice at the unknowns x = (π of n zones, θ of m nodes)."""
        return self.moving(x).flows

    def moving(self, x: Floats) -> Moving:
        """The flows at x with what `residual` and `jacobian` need besides."""
        n = self.n
        # absolute temperature and density of each zone, the room last
        t_k = np.concatenate((x[n : 2 * n], NOUGHT)) + (self.room_c + ZERO_C_K)
        rho = PRESSURE_PA / (GAS_J_KG_K * t_k)
        dp = self.incidence[:, :n] @ x[:n] + self.lift @ (rho[n] - rho) + self.boost
        up = np.where(dp >= 0.0, self.a, self.b)
        rho_up = rho[up]
        size = np.sqrt(dp * dp + REST_PA**2)
        root = np.sqrt(self.drag**2 + 2.0 * rho_up * self.loss * size)
        speed = 2.0 * dp / (self.drag + root)
        mass = rho_up * self.area * speed
        return Moving(Flows(mass, dp), up, t_k, rho, rho_up, size, root, speed)

    def residual(self, x: Floats, moving: Moving | None = None) -> Floats:
        """Mass balance of the zones as heat (W), then heat balance of the nodes (W).

        `moving` is that at x, where it is known.
        """
        known = moving or self.moving(x)
        mass, n = known.flows.mass_kg_s, self.n
        rise = x[n:]
        to = -self.incidence[:, :n].T
        heat = self.heat - self.conductance @ rise
        heat[:n] += to @ (CP_J_KG_K * mass * self._up_rise(known, rise))
        return np.concatenate([CP_J_KG_K * MASS_SCALE_K * (to @ mass), heat])

    def _up_rise(self, moving: Moving, rise: Floats) -> Floats:
        whole = np.concatenate((rise[: self.n], NOUGHT))
        up_rise: Floats = whole[moving.up]
        return up_rise

    def jacobian(self, x: Floats, moving: Moving | None = None) -> Floats:
        """Derivatives of `residual`, shape (n + m, n + m).

        A slice touches the pressure and the rise of its two zones only: its derivatives by these
        four are laid into the balances of the two.
        """
        n, known = self.n, moving or self.moving(x)
        (mass, dp), up_zone, t_k, rho, rho_up, size, root, speed = known
        bent = 2.0 * dp / (self.drag + root) ** 2  # minus the derivative of the speed by `root`
        by_dp = 2.0 / (self.drag + root) - bent * rho_up * self.loss * dp / (size * root)
        by_rho = -bent * self.loss * size / root
        mass_by_dp = rho_up * self.area * by_dp
        mass_by_t = -self.area * (speed + rho_up * by_rho) * rho_up / t_k[up_zone]
        lift_a, lift_b, places = self._touched
        thinner = rho / t_k
        from_a = up_zone == self.a
        by = np.array(
            [
                mass_by_dp,
                -mass_by_dp,
                mass_by_dp * lift_a * thinner[self.a] + np.where(from_a, mass_by_t, 0.0),
                mass_by_dp * lift_b * thinner[self.b] + np.where(from_a, 0.0, mass_by_t),
            ]
        )
        carried = by * self._up_rise(known, x[n:])
        carried[2] += np.where(from_a, mass, 0.0)
        carried[3] += np.where(from_a, 0.0, mass)
        jac = np.zeros((n + self.m, n + self.m))
        jac[:n, : 2 * n] = MASS_SCALE_K * self._laid(by, places)
        jac[n:, n:] = -self.conductance
        jac[n : 2 * n, : 2 * n] += self._laid(carried, places)
        return jac

    @cached_property
    def _touched(self) -> tuple[Floats, Floats, NDArray[np.intp]]:
        """The lift of each slice at its two zones, and where its derivatives go: the places, in a
        matrix of n + 1 zones by the pressures and then the rises of as many, flat."""
        wide, each = self.n + 1, np.arange(len(self.a))
        columns = np.array([self.a, self.b, wide + self.a, wide + self.b])
        rows = 2 * wide * np.array([self.a, self.b])
        places = (rows[:, None, :] + columns[None, :, :]).ravel()
        return self.lift[each, self.a], self.lift[each, self.b], places

    def _laid(self, by: Floats, places: NDArray[np.intp]) -> Floats:
        """Derivatives of the slices (4, k) as those of what flows into the zones (n, 2n), W."""
        n, wide = self.n, self.n + 1
        into = CP_J_KG_K * np.array([-by, by]).ravel()
        whole = np.bincount(places, into, minlength=2 * wide * wide).reshape(wide, 2, wide)
        laid: Floats = whole[:n, :, :n].reshape(n, 2 * n)
        return laid


def _slices(openings: Sequence[Opening]) -> tuple[NDArray[np.intp], Floats, Floats]:
    """The slices of all openings: the number of its opening, the height and the area of each."""
    low_m = np.array([o.low_m for o in openings], dtype=float)
    tall_m = np.array([o.high_m for o in openings], dtype=float) - low_m
    count = np.where(tall_m > SLICE_M, SLICES, 1)
    of = np.repeat(np.arange(len(openings)), count)
    step = np.arange(len(of)) - (np.cumsum(count) - count)[of]
    area_m2 = np.array([o.area_m2 for o in openings], dtype=float) / count
    return of, (low_m[of] + tall_m[of] * (step + 0.5) / count[of]), area_m2[of]


def drag_pa_s_m(width_m: float, depth_m: float) -> float:
    """Drag of a narrow way per speed, Pa·s/m: 12·μ·L/s² + 19·μ/s.

    Range: laminar, which in a gap of a few millimetres it is. Source: flow between parallel
    plates and Sampson's law of creeping flow through a hole (textbook, from memory).
    """
    return VISCOSITY_PA_S * (12.0 * depth_m / width_m**2 + 19.0 / width_m)


def system(
    network: Network,
    heat_w: Floats,
    room_c: float,
    *,
    conductance_w_k: Floats | None = None,
    capacity_j_k: Floats | None = None,
) -> System:
    """The arrays of a network; `heat_w` has one value a node.

    Nodes past the zones come with a `conductance_w_k` matrix (m x m) and a `capacity_j_k` of
    their own; without them the links of the network are used and nothing is stored.
    """
    n = len(network.zones)
    ways = network.openings
    of, z, area = _slices(ways)
    a = np.array([o.a % (n + 1) for o in ways], dtype=np.intp)[of]
    b = np.array([o.b % (n + 1) for o in ways], dtype=np.intp)[of]
    middle = np.array([zone.box.centre[2] / 1000.0 for zone in network.zones] + [0.0])
    one = np.eye(n + 1)
    incidence = one[a] - one[b]
    lift = G_M_S2 * incidence * (z[:, None] - middle[None, :])
    lift[:, n] = 0.0
    conductance = links_matrix(network) if conductance_w_k is None else conductance_w_k
    m = len(heat_w)
    return System(
        network=network,
        room_c=room_c,
        n=n,
        m=m,
        a=a,
        b=b,
        of_opening=of,
        area=area,
        loss=np.array([1.0 / o.discharge**2 for o in ways], dtype=float)[of],
        drag=np.array([drag_pa_s_m(o.width_m, o.depth_m) for o in ways], dtype=float)[of],
        boost=np.array([o.boost_pa for o in ways], dtype=float)[of],
        lift=lift,
        incidence=incidence,
        conductance=conductance,
        capacity=np.zeros(m) if capacity_j_k is None else capacity_j_k,
        heat=np.asarray(heat_w, dtype=float),
    )


def links_matrix(network: Network) -> Floats:
    """Conductance of the boards between the zones and to the room, W/K, shape (n, n)."""
    n = len(network.zones)
    matrix = np.zeros((n + 1, n + 1))
    for link in network.links:
        i, j = link.a % (n + 1), link.b % (n + 1)
        matrix[i, i] += link.ua_w_k
        matrix[j, j] += link.ua_w_k
        matrix[i, j] -= link.ua_w_k
        matrix[j, i] -= link.ua_w_k
    return matrix[:n, :n]


def start(equations: System) -> Floats:
    """Where to begin from cold: rises as if every opening let 5 cm/s in, level pressures."""
    n, m = equations.n, equations.m
    rho = density_kg_m3(equations.room_c)
    vent = 0.05 * rho * CP_J_KG_K * 0.25
    mixed = equations.conductance.copy()
    weight = np.zeros(m)
    weight[:n] = vent * (np.abs(equations.incidence[:, :n]).T @ equations.area)
    mixed[np.diag_indices(m)] += weight + 1e-9
    x = np.zeros(n + m)
    x[n:] = np.clip(np.linalg.solve(mixed, equations.heat), 0.0, 60.0)
    return x
