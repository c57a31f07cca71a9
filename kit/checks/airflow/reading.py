"""The network of a console, read off its boards."""

from collections.abc import Mapping

from kit.casework import Casework
from kit.checks.airflow.boards import board_links
from kit.checks.airflow.fronts import front_openings
from kit.checks.airflow.network import Network
from kit.checks.airflow.site import Site, site
from kit.checks.airflow.ways import other_openings


def network(here: Site, cable_fill: Mapping[str, float] | None = None) -> Network:
    """Zones, openings and boards of a site; `cable_fill` as in `other_openings`."""
    openings = (*front_openings(here), *other_openings(here, cable_fill or {}))
    return Network(
        here.zones,
        tuple(o for o in openings if o.area_m2 > 0.0),
        tuple(board_links(here)),
    )


def read_network(
    casework: Casework,
    *,
    open_bay: int | None = None,
    cable_fill: Mapping[str, float] | None = None,
) -> Network:
    """The network with the doors shut, or slid clear of `open_bay` if they can be."""
    return network(site(casework, open_bay), cable_fill)
