"""Newton's method for a network: the steady state, and a film of some hours."""

from dataclasses import dataclass, replace

import numpy as np

from kit.checks.airflow.air import CP_J_KG_K, ZERO_C_K
from kit.checks.airflow.equations import Floats, Flows, System, start

#: Balance of mass and of heat that counts as solved, as a share of what moves.
SOLVED = 1e-9
#: No step of Newton's method changes a rise by more than this, K.
STEP_K = 25.0
#: Steps shorter than this share lead nowhere; so often the air is balanced instead.
SHORT, LEVELS = 0.02, 8
#: So many implicit steps are tried, until one is so long that it stores nothing any more; air
#: that grows too hot in the shortest stays so, s.
TIME_STEPS, STEADY_S, SHORTEST_S = 300, 3e7, 1e-2
#: The air of more zones than this is not solved: each asks for a share of every step.
MOST_ZONES = 200
#: A rise past this lies outside every formula used here, K.
MOST_K = 400.0
TOO_HOT = f"the air would rise by more than {MOST_K:.0f} K, past the range of the formulas"


class NoAnswerError(Exception):
    """The network was not solved; the text says why."""


class TooHotError(NoAnswerError):
    """The air would be warmer than any formula here holds for."""


@dataclass(frozen=True)
class Solution:
    """Rise of each node (K) and pressure of each zone (Pa), with what moves in each slice."""

    equations: System
    x: Floats
    flows: Flows
    steps: int

    @property
    def rise_k(self) -> Floats:
        """Rise of each node over the room, K."""
        return self.x[self.equations.n :]

    @property
    def air_c(self) -> Floats:
        """Temperature of each zone, °C."""
        return self.rise_k[: self.equations.n] + self.equations.room_c

    def opening_kg_s(self) -> tuple[Floats, Floats]:
        """Mass flow through each opening from a to b, and from b to a, kg/s."""
        count = len(self.equations.network.openings)
        mass, where = self.flows.mass_kg_s, self.equations.of_opening
        there = np.bincount(where, np.maximum(mass, 0.0), minlength=count)
        back = np.bincount(where, np.maximum(-mass, 0.0), minlength=count)
        return there, back

    def imbalance(self) -> tuple[float, float]:
        """Greatest imbalance of mass and of heat in any node, as a share of what moves in all."""
        left = np.abs(self.equations.residual(self.x))
        mass_w, heat_w = _sizes(self.equations, self.x, self.flows)
        n = self.equations.n
        return float(left[:n].max(initial=0.0) / mass_w), float(left[n:].max() / heat_w)


def steady(equations: System, guess: Floats | None = None) -> Solution:
    """The steady state.

    Newton's method from `guess` or from cold; where it gets stuck, heating up in longer and
    longer implicit steps, which is slow and sure. Raises NoAnswerError with the reason.
    """
    if equations.n > MOST_ZONES:
        raise NoAnswerError(
            f"the air of so many spaces is not calculated: there are {equations.n}, and "
            f"{MOST_ZONES} is the most; divide the piece into two designs"
        )
    try:
        return _within(_newton(equations, start(equations) if guess is None else guess))
    except NoAnswerError as first:
        reason = first
    return _within(_heated_up(equations, reason))


def _within(solution: Solution) -> Solution:
    """The solution, if it lies within the range of the formulas; else TooHotError."""
    if float(solution.rise_k.max(initial=0.0)) > MOST_K:
        raise TooHotError(TOO_HOT)
    return solution


def _heated_up(equations: System, reason: NoAnswerError) -> Solution:
    """The steady state by implicit steps in time from cold, 2 kJ/K in every zone.

    A short enough step has one answer, which is near; each that is found lets the next be longer,
    and each that is not makes it shorter (pseudo-transient continuation). Raises TooHotError where
    no step leads on below that, and `reason` where it does not come to an end.
    """
    nominal = np.full(equations.m, 2000.0)
    x, seconds = start(equations), 1.0
    for _ in range(TIME_STEPS):
        if seconds > STEADY_S:
            return _newton(equations, x)
        try:
            x = _newton(_Storing(equations, nominal, seconds)(x), x, most=20).x
        except NoAnswerError as stopped:
            seconds /= 3.0
            if seconds < SHORTEST_S and isinstance(stopped, TooHotError):
                raise
        else:
            seconds *= 2.0
    raise reason


@dataclass(frozen=True)
class _Storing:
    """Makes the equations of one implicit Euler step of `seconds` from what came before."""

    equations: System
    capacity_j_k: Floats
    seconds: float

    def __call__(self, before: Floats) -> System:
        keep = self.capacity_j_k / self.seconds
        rise = before[self.equations.n :]
        return replace(
            self.equations,
            conductance=self.equations.conductance + np.diag(keep),
            heat=self.equations.heat + keep * rise,
        )


def film(equations: System, hours: float, steps: int = 48) -> tuple[Floats, tuple[Solution, ...]]:
    """From cold over so many hours: times in s, and the state after each, by implicit Euler.

    `equations` store heat (`capacity`). The steps grow from a few seconds so that the quick
    air and the slow wood are both followed. Raises NoAnswerError.
    """
    share = np.linspace(0.0, 1.0, steps + 1) ** 2
    times = hours * 3600.0 * share
    x = np.zeros(equations.n + equations.m)
    states = []
    for seconds in np.diff(times):
        solution = _newton(_Storing(equations, equations.capacity, float(seconds))(x), x)
        states.append(replace(solution, equations=equations))
        x = solution.x
    return times[1:], tuple(states)


def _sizes(equations: System, x: Floats, flows: Flows) -> tuple[float, float]:
    """What moves in all: mass flow as heat at the scale of the residual, and heat, W."""
    mass = float(np.abs(flows.mass_kg_s).sum())
    rise = float(np.abs(x[equations.n :]).max(initial=0.0))
    conducted = float(np.abs(equations.conductance @ x[equations.n :]).sum())
    scale_w = float(np.abs(equations.heat).sum())
    return (
        max(CP_J_KG_K * 5.0 * mass, 1e-9),
        max(scale_w, conducted, CP_J_KG_K * mass * rise, 1e-9),
    )


def _newton(equations: System, x: Floats, most: int = 60) -> Solution:
    """Damped Newton. Raises NoAnswerError when it does not get there."""
    n = equations.n
    moving = equations.moving(x)
    left = equations.residual(x, moving)
    size = float(left @ left)
    levelled = 0
    for step in range(most):
        flows = moving.flows
        mass_w, heat_w = _sizes(equations, x, flows)
        if (
            np.abs(left[:n]).max(initial=0.0) <= SOLVED * mass_w
            and np.abs(left[n:]).max() <= SOLVED * heat_w
        ):
            return Solution(equations, x, flows, step)
        change = _solved(equations.jacobian(x, moving), -left)
        if not np.isfinite(change).all():
            raise NoAnswerError("the flows do not settle: they grow past all bounds")
        longest = float(np.abs(change[n:]).max())
        share = min(1.0, STEP_K / longest) if longest else 1.0
        for _ in range(12):
            ahead = x + share * change
            if float(ahead[n:].min()) > -(equations.room_c + ZERO_C_K) / 2:
                moving_ahead = equations.moving(ahead)
                left_ahead = equations.residual(ahead, moving_ahead)
                size_ahead = float(left_ahead @ left_ahead)
                if size_ahead < size * (1 - 1e-4 * share):
                    break
            share /= 2.0
        else:
            if size <= (1e-7 * heat_w) ** 2:  # as near as the arithmetic gets
                return Solution(equations, x, flows, step)
            if levelled == LEVELS:
                raise NoAnswerError(
                    "the flows do not settle: Newton's method finds no better state"
                )
            share = 0.0
        if share < SHORT and levelled < LEVELS:
            # an opening near rest: balance the air for these temperatures first
            levelled += 1
            ahead = _levelled(equations, x)
            moving_ahead = equations.moving(ahead)
            left_ahead = equations.residual(ahead, moving_ahead)
            size_ahead = float(left_ahead @ left_ahead)
        x, left, size, moving = ahead, left_ahead, size_ahead, moving_ahead
        if float(x[n:].max()) > MOST_K:
            raise TooHotError(TOO_HOT)
    raise NoAnswerError(f"the flows do not settle in {most} steps of Newton's method")


def _solved(slope: Floats, wanted: Floats) -> Floats:
    try:
        found: Floats = np.linalg.solve(slope, wanted)
    except np.linalg.LinAlgError:
        raise NoAnswerError(
            "a zone of air has neither an opening nor a board that cools it"
        ) from None
    return found


def _levelled(equations: System, x: Floats) -> Floats:
    """The same temperatures with pressures that balance the air, as far as 30 steps go.

    The flow out of a zone rises with its pressure, so that this part alone has one answer.
    """
    n = equations.n
    x = x.copy()
    left = equations.residual(x)[:n]
    for _ in range(30):
        change = _solved(equations.jacobian(x)[:n, :n], -left)
        share = 1.0
        for _ in range(10):
            ahead = x.copy()
            ahead[:n] += share * change
            left_ahead = equations.residual(ahead)[:n]
            if float(left_ahead @ left_ahead) < float(left @ left):
                break
            share /= 2.0
        else:
            return x
        x, left = ahead, left_ahead
        if float(np.abs(left).max()) < 1e-6:
            break
    return x
