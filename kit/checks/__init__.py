"""Checks: pure functions from a `Casework` to findings. `check` runs them all."""

from collections.abc import Callable, Iterable
from functools import cache

from kit.casework import Casework
from kit.checks.acceptance import check_acceptances, with_acceptances
from kit.checks.added import check_added
from kit.checks.airflow import check_airflow
from kit.checks.as_built import check_as_built
from kit.checks.baseboard import check_baseboard
from kit.checks.cables import check_cables
from kit.checks.causes import in_order_of_cause
from kit.checks.clash import check_clashes
from kit.checks.device_size import check_device_sizes
from kit.checks.doors import check_doors
from kit.checks.edging import check_edging
from kit.checks.edition import check_edition
from kit.checks.fasteners import check_fasteners
from kit.checks.fit import check_fit
from kit.checks.fixed import check_fixed
from kit.checks.joints import check_joints
from kit.checks.media import check_media
from kit.checks.openings import check_openings
from kit.checks.power import check_power
from kit.checks.screen import check_screen
from kit.checks.service import check_service
from kit.checks.sheets import check_sheets
from kit.checks.sight import check_sight
from kit.checks.stability import check_stability
from kit.checks.standing import as_it_stands
from kit.checks.strength import check_strength
from kit.checks.thickness import check_thickness
from kit.checks.way_in import check_way_in
from kit.finding import Finding, Report
from kit.routes import cable_fill as cable_fill
from kit.routes import routes, zones_of

#: What no check looks at; said wherever findings are shown.
NOT_CHECKED = (
    "household circuits",
    "the wall that anchors go into",
    "warp of doors",
    "seasonal movement of solid wood",
)

#: Checks that are unknown for each stock, and each device, that nobody has measured.
NOT_MEASURED = ("sheet thickness", "device size")

#: Said there, too.
CAUTION = (
    "Anchor the console and the screen to the wall: furniture tips when a child climbs it. "
    "No extension cord goes through a wall, or into a space that warm air cannot leave. "
    "The manual of each device and local rules go before what is said here."
)


def groups(casework: Casework) -> tuple[Callable[[], Iterable[Finding]], ...]:
    """Every check of a casework, still to be asked, in the order of the report.

    What the maker accepts comes out as accepted. What several of them want is worked out as the
    first of them is asked, and once.
    """
    laid = cache(lambda: routes(casework))
    asked: tuple[Callable[[], Iterable[Finding]], ...] = (
        lambda: check_fixed(casework),
        lambda: check_thickness(casework),
        lambda: check_device_sizes(casework),
        lambda: check_sheets(casework),
        lambda: check_as_built(casework),
        lambda: check_edition(casework),
        lambda: check_joints(casework),
        lambda: check_edging(casework),
        lambda: check_fasteners(casework),
        lambda: check_clashes(casework),
        lambda: check_added(casework),
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
        lambda: check_airflow(casework, cable_fill(casework)),
        lambda: check_strength(casework),
        lambda: check_stability(casework),
    )
    return tuple(lambda ask=ask: _as_said(casework, ask()) for ask in asked)


def _as_said(casework: Casework, findings: Iterable[Finding]) -> Iterable[Finding]:
    """What the design says of the findings: that it hangs, and what the maker accepts."""
    return with_acceptances(casework, as_it_stands(casework, findings))


def report_of(casework: Casework, answers: Iterable[Iterable[Finding]]) -> Report:
    """The whole report from the answers of all `groups`: each cause with what follows from it,
    and the acceptances that do nothing.
    """
    found = Report.of(*answers)
    return in_order_of_cause(Report.of(found, check_acceptances(casework, found)))


def check(casework: Casework) -> Report:
    """Run every check on boards that have been built."""
    return report_of(casework, (ask() for ask in groups(casework)))
