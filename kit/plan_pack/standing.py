"""Whether a pack is released, or a draft and why: what the release gate says of it."""

from collections.abc import Mapping

from kit.casework import Casework
from kit.finding import Report
from kit.making.labels import labels
from kit.making.sheets import SheetPlan
from kit.plan_pack.book import Draft, Released, Standing
from kit.plan_pack.drawings import Drawings
from kit.release import Drawn, gate, part_stations


def standing(
    casework: Casework,
    report: Report,
    plan: SheetPlan,
    written: Mapping[str, str],
    drawings: Drawings,
) -> Standing:
    """Hold what has been written (files of the pack by name) and drawn against the solids.

    Sheets that were laid out with less than the whole search keep it a draft, too.

    Raises SolidError where a board cannot be built.
    """
    system = casework.design.shop.units
    drawn = Drawn(
        marks=drawings.marks,
        printed=part_stations("part drawings", drawings.parts, system),
        labels=labels(casework, plan, system),
    )
    said = gate(casework, report, written, drawn)
    reasons = (*said.reasons, *plan.cut_short)
    return Draft(reasons) if reasons else Released()
