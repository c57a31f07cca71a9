"""Checks: pure functions from a `Casework` to findings. `check` runs them all."""

from kit.casework import Casework
from kit.checks.as_built import check_as_built
from kit.checks.clash import check_clashes
from kit.checks.doors import check_doors
from kit.checks.edging import check_edging
from kit.checks.fasteners import check_fasteners
from kit.checks.fit import check_fit
from kit.checks.joints import check_joints
from kit.checks.media import check_media
from kit.checks.openings import check_openings
from kit.checks.screen import check_screen
from kit.checks.service import check_service
from kit.checks.sheets import check_sheets
from kit.checks.thickness import check_thickness
from kit.checks.way_in import check_way_in
from kit.finding import Report

#: What no check looks at yet; said wherever findings are shown.
NOT_CHECKED = ("heat", "sag", "racking", "tipping", "cables", "remote control")

#: Said there, too.
CAUTION = (
    "Anchor the console and the screen to the wall: furniture tips when a child climbs it. "
    "The manual of each device and local rules go before what is said here."
)


def check(casework: Casework) -> Report:
    """Run every check on boards that have been built."""
    return Report.of(
        check_thickness(casework),
        check_sheets(casework),
        check_as_built(casework),
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
        check_screen(casework),
    )
