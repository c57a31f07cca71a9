"""Checks: pure functions from a `Casework` to findings. `check` runs them all."""

from collections.abc import Mapping

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
from kit.finding import Report
from kit.routes import Zones, filled, routes

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
    zones = Zones(casework)
    laid = routes(casework)
    return filled(zones, laid) if laid else None


def check(casework: Casework) -> Report:
    """Run every check on boards that have been built."""
    zones = Zones(casework)
    laid = routes(casework)
    fill = filled(zones, laid) if laid else None  # without cables in the design, as is usual
    return Report.of(
        check_thickness(casework),
        check_sheets(casework),
        check_as_built(casework),
        check_edition(casework),
        check_joints(casework),
        check_edging(casework),
        check_fasteners(casework),
        check_clashes(casework),
        check_doors(casework),
        check_fit(casework),
        check_media(casework),
        check_way_in(casework),
        check_service(casework),
        check_openings(casework),
        check_cables(casework, zones, laid),
        check_power(casework, laid),
        check_screen(casework),
        check_baseboard(casework),
        check_sight(casework),
        check_airflow(casework, fill),
        check_strength(casework),
        check_stability(casework),
    )
