"""The cover: what the piece is, what it is reckoned with, and what to measure first."""

from collections.abc import Iterator, Mapping

from kit.casework import Casework
from kit.checks import NOT_MEASURED
from kit.checks.clearance import assumes
from kit.components.contents import Placed
from kit.finding import Finding, Report, Status
from kit.making.sheets import SheetPlan
from kit.plan_pack.book import (
    Block,
    Chapter,
    Column,
    Cover,
    DocumentType,
    Draft,
    SheetIndex,
    Standing,
    Table,
)
from kit.units import Step, text

#: Checks whose findings speak of how the piece is used, not of how it is made.
IN_USE = (
    "intake air",
    "intake air at plate load",
    "hot gear below",
    "remote control",
    "stands a push at the top",
    "stands on a slope",
    "anchors hold",
)


def cover(
    casework: Casework,
    report: Report,
    plan: SheetPlan,
    pictures: Mapping[str, str],
    standing: Standing,
) -> Chapter:
    """The cover sheet, with the index of all sheets."""
    name = casework.design.name
    blocks: list[Block] = [
        Cover(
            pictures["console.svg"],
            f"{name}, not to scale",
            (*_facts(casework, report, plan, standing), *_conditions(casework, report)),
        ),
        SheetIndex("Sheets"),
        _revisions(casework),
        *_devices(casework),
        _measure_first(casework, report),
    ]
    return Chapter("Cover", DocumentType.COVER, tuple(blocks))


def _facts(
    casework: Casework, report: Report, plan: SheetPlan, standing: Standing
) -> Iterator[tuple[str, str]]:
    design, system = casework.design, casework.design.shop.units
    width, depth, height = (text(s, system, step=Step.OVERALL) for s in casework.box.size)
    yield "W x H x D overall", f"{width} x {height} x {depth}"
    yield (
        "Mass",
        f"{casework.mass_kg:.0f} kg without gear; from the density of the tables, hardware and "
        "finish not counted",
    )
    bought = ", ".join(
        f"{one.stock.label} ({one.layout.full_sheets})"
        for one in plan.stocks
        if one.layout.full_sheets
    )
    yield "Boards", f"{len(casework.boards)}, out of {bought or 'what is on hand'}"
    if design.screen is not None:
        screen = design.screen
        mass = "mass not given" if screen.mass_kg is None else f"{screen.mass_kg:g} kg"
        yield (
            "Screen assumed",
            f"{text(screen.diagonal, system)} diagonal, {mass}, "
            f"{'on its feet' if screen.stand.value == 'feet' else 'on the wall'} (design file)",
        )
    if casework.gear:
        typical = sum(not placed.measured for placed in casework.gear)
        yield (
            "Gear assumed",
            f"{', '.join(placed.item.name for placed in casework.gear)}; "
            f"{typical} of {len(casework.gear)} with a size that is only typical: see the table",
        )
    yield "Checks", report.tally
    if isinstance(standing, Draft):
        yield "Draft, because", "; ".join(standing.reasons)


def _conditions(casework: Casework, report: Report) -> Iterator[tuple[str, str]]:
    """What holds while it is used: the assumptions of the checks, and what they found."""
    said = []
    if casework.inside:
        room_c = casework.design.room.air_c
        said.append(
            f"Room air up to {room_c:g} °C; every opening, and the vents of every device, kept free"
        )
    said.append("Console and screen anchored to the wall")
    for finding in report.worst_first():
        if finding.check in IN_USE and finding.status is not Status.OK:
            said.append(f"{finding.check} ({finding.subject}): {finding.why}")
    for number, line in enumerate(said):
        yield ("Conditions of use" if number == 0 else ""), line


def _revisions(casework: Casework) -> Table:
    rows = [
        (row.mark, "not dated" if row.date is None else row.date.isoformat(), row.what)
        for row in casework.design.revisions
    ]
    return Table(
        title="Revisions",
        columns=(Column("Revision", strong=True), Column("Date"), Column("What changed", 1)),
        rows=tuple(rows) or (("none", "", "no revision is recorded in the design file"),),
    )


def _devices(casework: Casework) -> Iterator[Table]:
    if not casework.gear:
        return
    yield Table(
        title="Gear assumed, and where each number comes from",
        note="given: in the design file. typical: of its kind, from the tables; measure yours "
        "before cutting.",
        columns=(
            Column("Device", 1.3, strong=True),
            Column("Kind", 1.2),
            Column("Place", 1.4),
            *(Column(side, 1, group="Body") for side in ("W", "H", "D")),
            *(Column(heat, 0.8, group="Heat") for heat in ("In use", "Rating plate")),
            Column("Air it bears", 0.8),
        ),
        rows=tuple(_device(casework, placed) for placed in casework.gear),
    )


def _device(casework: Casework, placed: Placed) -> tuple[str, ...]:
    item, kind = placed.item, placed.kind
    height = item.height if item.rack_units is None else item.rack_units

    def told(number: float | None, unit: str, given: object) -> str:
        if number is None:
            return "not known"
        return f"{casework.value(number, unit)} ({'typical' if given is None else 'given'})"

    return (
        item.name,
        kind.label,
        placed.where,
        told(kind.width_mm, "mm", item.width),
        told(kind.height_mm, "mm", height),
        told(kind.depth_mm, "mm", item.depth),
        told(kind.typical_w, "W", item.typical_w),
        told(kind.plate_w, "W", item.plate_w),
        told(kind.max_intake_c, "°C", item.max_intake_c),
    )


def _measure_first(casework: Casework, report: Report) -> Table:
    rows = [*_unmeasured(casework), *_fits(casework), *_typical(casework)]
    rows += [
        _unknown(finding)
        for finding in report.causes(Status.UNKNOWN)
        if finding.check not in NOT_MEASURED
    ]
    return Table(
        title="Open: measure before cutting",
        columns=(Column("What", 1, strong=True), Column("Why", 1), Column("What to do", 2)),
        rows=tuple(rows) or (("nothing", "", "everything that can be measured first has been"),),
    )


def _unmeasured(casework: Casework) -> Iterator[tuple[str, str, str]]:
    for stock in casework.stocks:
        if not stock.measured:
            yield (
                stock.label,
                "thickness is only typical",
                "Measure every sheet with a caliper, and write the readings under "
                "[measured.thickness]; every joint follows them.",
            )


def _fits(casework: Casework) -> Iterator[tuple[str, str, str]]:
    """Boards that are cut to fit, those with one rule together."""
    alike: dict[tuple[str, str], list[str]] = {}
    for board in casework.boards:
        if board.fit is not None:
            rule = (board.fit.measure, board.fit.formula(casework.design.shop.units))
            alike.setdefault(rule, []).append(f"{casework.marks[board.name]} {board.name}")
    for (measure, formula), names in alike.items():
        yield (
            ", ".join(names),
            "cut to fit",
            f"Measure {measure} when it stands, then cut: {formula}.",
        )


def _typical(casework: Casework) -> Iterator[tuple[str, str, str]]:
    for placed in casework.gear:
        if not placed.measured or placed.margin:
            yield placed.item.name, assumes(placed), "Measure the device; write its sizes down."


def _unknown(finding: Finding) -> tuple[str, str, str]:
    return f"{finding.check}: {finding.subject}", "not known", finding.why
