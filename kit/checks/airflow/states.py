"""All the states of a console that its verdicts need, each solved once."""

from collections.abc import Mapping
from dataclasses import dataclass

from kit.casework import Casework
from kit.checks.airflow.climates import Climate, Heat, again, climate
from kit.checks.airflow.solve import NoAnswerError


@dataclass(frozen=True)
class States:
    """Steady states by heat with the doors shut, and by (heat, bay) slid away from a bay.

    `lost` are those, doors shut, that have no answer, with the reason.
    """

    shut: Mapping[Heat, Climate]
    opened: Mapping[tuple[Heat, int], Climate]
    lost: Mapping[Heat, NoAnswerError]


def solve_states(casework: Casework, cable_fill: Mapping[str, float] | None) -> States:
    """Every state by heat and doors. `cable_fill` as in `other_openings`."""
    shut, lost = _by_heat(casework, None, cable_fill)
    opened: dict[tuple[Heat, int], Climate] = {}
    holding = {placed.within.number for placed in casework.inside}
    for bay in casework.bays:
        doors = next(iter(shut.values())).here.doors if shut else ()
        lo, hi = bay.clear.lo[0], bay.clear.hi[0]
        before = any(hung.span[0] < hi and hung.span[1] > lo for hung in doors)
        if before and bay.number in holding:
            found, _ = _by_heat(casework, bay.number, cable_fill)
            opened |= {(heat, bay.number): state for heat, state in found.items()}
    return States(shut, opened, lost)


def _by_heat(
    casework: Casework, open_bay: int | None, cable_fill: Mapping[str, float] | None
) -> tuple[dict[Heat, Climate], dict[Heat, NoAnswerError]]:
    """The states of one position of the doors; each begins where the last one ended."""
    found: dict[Heat, Climate] = {}
    lost: dict[Heat, NoAnswerError] = {}
    last: Climate | None = None
    for heat in (Heat.TYPICAL, Heat.STANDBY, Heat.PLATE):
        try:
            if last is None:
                last = climate(casework, heat, open_bay=open_bay, cable_fill=cable_fill)
            else:
                last = again(last, heat)
            found[heat] = last
        except NoAnswerError as reason:
            lost[heat] = reason
    return found, lost
