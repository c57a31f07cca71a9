"""The network of a console, read off its boards."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from kit.casework import Casework
from kit.checks.airflow.added import added_boards, less_covered
from kit.checks.airflow.boards import door_links, standing_links
from kit.checks.airflow.fronts import front_openings
from kit.checks.airflow.network import Link, Network, Opening
from kit.checks.airflow.site import Site, site
from kit.checks.airflow.ways import shelf_gaps, standing_openings


@dataclass(frozen=True, slots=True)
class Standing:
    """What stays as it is wherever the doors stand: openings, and boards that conduct."""

    openings: tuple[Opening, ...]
    links: tuple[Link, ...]


def standing(here: Site, cable_fill: Mapping[str, float] | None = None) -> Standing:
    """The part of the network that every place of the doors shares."""
    return Standing(tuple(standing_openings(here, cable_fill or {})), tuple(standing_links(here)))


def network(
    here: Site, cable_fill: Mapping[str, float] | None = None, shared: Standing | None = None
) -> Network:
    """Zones, openings and boards of a site; `cable_fill` as in `standing_openings`.

    `shared` is the part that stays, where it was read before.
    """
    rest = shared or standing(here, cable_fill)
    openings: Iterable[Opening] = (*front_openings(here), *rest.openings, *shelf_gaps(here))
    if here.casework.added:
        openings = less_covered(openings, added_boards(here.casework))
    return Network(
        here.zones,
        tuple(o for o in openings if o.area_m2 > 0.0),
        (*rest.links, *door_links(here)),
    )


def read_network(
    casework: Casework,
    *,
    open_bay: int | None = None,
    covered_bay: int | None = None,
    cable_fill: Mapping[str, float] | None = None,
) -> Network:
    """The network with the doors shut, or slid as in `site`."""
    return network(site(casework, open_bay, covered_bay), cable_fill)
