"""How much of the holes of each board the cables and liners take, as a warm air would find it."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from math import pi
from types import MappingProxyType

from kit.casework import Casework, once
from kit.routes.cable_route import Route, passing_each, routes
from kit.routes.zones import OpeningKind, Zones, zones_of

#: Share that a cable of unknown thickness is taken to fill. Common practice, no source.
UNKNOWN_SHARE = 0.2


def filled(zones: Zones, laid: Sequence[Route]) -> dict[str, float]:
    """Share of the bored area of a board's cable holes that liners and cables close, by board.

    0 to 1; boards without such holes are left out.
    """
    bored: dict[str, float] = defaultdict(float)
    closed: dict[str, float] = defaultdict(float)
    passing = passing_each(laid)
    for opening in zones.openings:
        if opening.kind is not OpeningKind.HOLE or opening.bored is None:
            continue
        area = pi * opening.bored**2 / 4
        bored[opening.board] += area
        closed[opening.board] += area - opening.area_mm2
        for route in passing.get(opening.name, ()):
            thick = route.od_mm
            taken = UNKNOWN_SHARE * area if thick is None else pi * thick**2 / 4
            closed[opening.board] += taken
    return {board: min(1.0, closed[board] / area) for board, area in bored.items()}


@once
def cable_fill(casework: Casework) -> Mapping[str, float] | None:
    """Share of the cable holes of each board that cables take; None where the design has none."""
    laid = routes(casework)
    return MappingProxyType(filled(zones_of(casework), laid)) if laid else None
