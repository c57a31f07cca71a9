"""The way of each cable: the shortest over openings that pass its plugs, mains kept apart.

Mains leads are laid first. Then each opening where mains lies costs the other cables a detour,
and, last, the mains leads are laid anew with the same detour round the others: where a second
hole exists on a way not much longer, they end apart. The same design gives the same ways.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import inf

from kit.cabling import Cable, Service, cable
from kit.casework import Casework, once
from kit.components.cables import OUTLET, CableRun
from kit.routes.network import Network, Spot, Toll, way_mm
from kit.routes.zones import BEHIND, Opening, zones_of

#: Loop left at a device so that it can be turned and its plugs reached, mm a cable (12 in). Racks
#: are wired with one of half their height more than the run; common practice, no source.
SERVICE_LOOP = 300.0
#: The longest detour that a cable makes to keep out of a hole of the other service, or behind
#: a shelf instead of in front of it, mm. Common practice, no source.
DETOUR = 1000.0


@dataclass(frozen=True)
class Route:
    """One cable with its way.

    `path` leads from plug to plug; empty where there is none. `missing` says what is not known
    of its ends. `od_mm` is its outer diameter, None where not known.
    """

    number: int
    run: CableRun
    kind: Cable
    path: tuple[Spot, ...]
    missing: str = ""

    @property
    def od_mm(self) -> float | None:
        """Outer diameter: as measured, or of its kind."""
        return self.run.diameter or self.kind.od_mm

    @property
    def name(self) -> str:
        """As printed: `cable 3 (disc player to receiver)`."""
        return f"cable {self.number} ({self.run.start} to {self.run.end})"

    @property
    def passes_behind(self) -> bool:
        """Whether some of it lies behind the case."""
        return any(BEHIND in opening.zones for opening in self.openings)

    @property
    def mains(self) -> bool:
        """Whether it carries mains."""
        return self.kind.service is Service.MAINS

    @cached_property
    def openings(self) -> tuple[Opening, ...]:
        """What it passes, in order."""
        return tuple(spot.opening for spot in self.path if spot.opening)

    @cached_property
    def tight(self) -> tuple[Opening, ...]:
        """Of these the ones that its larger plug does not pass."""
        return tuple(opening for opening in self.openings if opening.play(self.kind) < 0)

    @property
    def legs(self) -> tuple[str, ...]:
        """Room, opening, room, ... from end to end, as printed."""
        legs: list[str] = []
        for here, there in pairwise(self.path):
            legs.append(next(zone for zone in here.zones if zone in there.zones))
            if there.opening:
                legs.append(there.opening.name)
        return tuple(legs)

    @property
    def way_mm(self) -> float | None:
        """Length along the way, mm."""
        return way_mm(self.path) if self.path else None

    @property
    def needed_mm(self) -> float | None:
        """Length along the way, the service loop and the pull-out of the device, mm."""
        way = self.way_mm
        return None if way is None else way + SERVICE_LOOP + (self.run.pull_out or 0.0)

    @property
    def buy_m(self) -> float | None:
        """The least length in which it is sold that is long enough, m; None where none is."""
        need = self.needed_mm
        enough = [m for m in self.kind.stock_m if need is not None and 1000 * m >= need - 1e-6]
        return min(enough, default=None)


@once
def routes(casework: Casework) -> tuple[Route, ...]:
    """The way of every cable of a design, in the order of the design file."""
    if not casework.design.cables:
        return ()
    network = Network(zones_of(casework))
    laid = {
        number: Route(number, run, cable(run.kind), (), _missing(casework, run))
        for number, run in enumerate(casework.design.cables, start=1)
    }

    def lay(which: Callable[[Route], bool], against: Callable[[Route], bool]) -> None:
        taken: dict[str, bool] = defaultdict(bool)
        for route in laid.values():
            if against(route):
                taken |= {opening.name: True for opening in route.openings if opening.narrow}
        for number, route in laid.items():
            if which(route) and not route.missing:
                path = _way(network, route, taken)
                laid[number] = Route(number, route.run, route.kind, path)

    lay(lambda r: r.mains, lambda r: False)
    lay(lambda r: not r.mains, lambda r: r.mains)
    lay(lambda r: r.mains, lambda r: not r.mains)
    return tuple(laid.values())


def passing_each(laid: Iterable[Route]) -> Mapping[str, tuple[Route, ...]]:
    """The cables that pass each opening, by its name; an opening that none passes is left out."""
    found: dict[str, list[Route]] = defaultdict(list)
    for route in laid:
        for name in dict.fromkeys(opening.name for opening in route.openings):
            found[name].append(route)
    return {name: tuple(routes) for name, routes in found.items()}


def _way(network: Network, route: Route, taken: Mapping[str, bool]) -> tuple[Spot, ...]:
    """The way that its plugs pass; where there is none, the one that a larger plug blocks."""
    starts, ends = ends_of(network, route)

    def toll(opening: Opening, *, strict: bool) -> float:
        if strict and opening.play(route.kind) < 0:
            return inf
        apart = DETOUR if opening.name in taken else 0.0
        return apart + (DETOUR if opening.in_sight else 0.0)

    tolls: tuple[Toll, ...] = (
        lambda opening: toll(opening, strict=True),
        lambda opening: toll(opening, strict=False) if opening.narrow else 0.0,
    )
    ways = (network.shortest(starts[0], ends, each) for each in tolls)
    return next((way for way in ways if way), ())


def ends_of(network: Network, route: Route) -> tuple[tuple[Spot, ...], tuple[Spot, ...]]:
    """The places of the two ends of a cable."""
    kind = route.kind
    return (
        network.end(route.run.start, (kind.plug_from, kind.plug_to)),
        network.end(route.run.end, (kind.plug_to, kind.plug_from)),
    )


def _missing(casework: Casework, run: CableRun) -> str:
    if run.end == OUTLET and not casework.design.room.outlets:
        return "where the wall outlet is: write [[room.outlets]] with across and up"
    return ""
