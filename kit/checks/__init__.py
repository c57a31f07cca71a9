"""Checks: pure functions from a `Casework` to findings. `check` runs them all."""

from collections.abc import Callable, Iterable, Mapping
from functools import cache

from kit.casework import Casework
from kit.checks.airflow import check_airflow
from kit.checks.as_built import check_as_built
from kit.checks.baseboard import check_baseboard
from kit.checks.cables import check_cables
from kit.checks.clash import check_clashes
from kit.checks.doors import check_doors
from kit.checks.edging import check_edging
from kit.checks.edition import check_edition
from kit.checks.fasteners import check_fasteners
from kit.checks.fit import check_fit
from kit.checks.joints import check_joints
from kit.checks.media import check_media
from kit.checks.openings import check_openings
from kit.checks.power import check_power
from kit.checks.screen import check_screen
from kit.checks.service import check_service
from kit.checks.sheets import check_sheets
from kit.checks.sight import check_sight
from kit.checks.stability import check_stability
from kit.checks.strength import check_strength
from kit.checks.thickness import check_thickness
from kit.checks.way_in import check_way_in
from kit.finding import Finding, Report
from kit.routes import filled, routes, zones_of

#: What no check looks at; said wherever findings are shown.
NOT_CHECKED = (
    "household circuits",
    "the wall that anchors go into",
    "warp of doors",
    "seasonal movement of solid wood",
)

#: Said there, too.
CAUTION = (
    "Anchor the console and the screen to the wall: furniture tips when a child climbs it. "
    "No extension cord goes through a wall, or into a space that warm air cannot leave. "
    "The manual of each device and local rules go before what is said here."
)


def cable_fill(casework: Casework) -> Mapping[str, float] | None:
    """Share of the cable holes of each board that cables take; None where the design has none."""
    laid = routes(casework)
    return filled(zones_of(casework), laid) if laid else None


def groups(casework: Casework) -> tuple[Callable[[], Iterable[Finding]], ...]:
    """Every check of a casework, still to be asked, in the order of the report.

    What several of them want is worked out as the first of them is asked, and once.
    """
    laid = cache(lambda: routes(casework))
    fill = cache(lambda: cable_fill(casework))
    return (
        lambda: check_thickness(casework),
        lambda: check_sheets(casework),
        lambda: check_as_built(casework),
        lambda: check_edition(casework),
        lambda: check_joints(casework),
        lambda: check_edging(casework),
        lambda: check_fasteners(casework),
        lambda: check_clashes(casework),
        lambda: check_doors(casework),
        lambda: check_fit(casework),
        lambda: check_media(casework),
        lambda: check_way_in(casework),
        lambda: check_service(casework),
        lambda: check_openings(casework),
        lambda: check_cables(casework, zones_of(casework), laid()),
        lambda: check_power(casework, laid()),
        lambda: check_screen(casework),
        lambda: check_baseboard(casework),
        lambda: check_sight(casework),
        lambda: check_airflow(casework, fill()),
        lambda: check_strength(casework),
        lambda: check_stability(casework),
    )


def check(casework: Casework) -> Report:
    """Run every check on boards that have been built."""
    return Report.of(*(ask() for ask in groups(casework)))
