"""Judges one candidate on the real checks and the real sheet layout, the cheap questions first."""

from collections.abc import Mapping
from dataclasses import replace

from kit.casework import Casework, build
from kit.checks import check
from kit.design_file import parse, rewrite
from kit.edits import case_width_in_proportion
from kit.errors import KitError
from kit.finding import Report, Status
from kit.making.buy_list import BuyKind, buy_list, total
from kit.making.sheets import Effort, SheetPlan, least_sheets, sheet_plan
from kit.search.answer import Answer, Stage
from kit.search.front import Bar
from kit.search.request import Written
from kit.units import length

WIDTH = "case.width"


def changed_text(text: str, changes: Mapping[str, Written]) -> str:
    """The text of a design with these values; a new width of the case is shared by its bays.

    The bays keep their proportions, unless a change says where a divider stands. Raises KitError
    for a path that names no field, and for what cannot be built.
    """
    rest = dict(changes)
    width = None
    if not any(path.startswith("divider.") for path in rest):
        width = rest.pop(WIDTH, None)
    if width is None:
        return rewrite(text, rest)
    mm = length(width, what=WIDTH)
    try:
        return case_width_in_proportion(rewrite(text, rest), mm)
    except KitError:
        # what there is no room for in the old width may fit the new one
        return rewrite(case_width_in_proportion(text, mm), rest)


def judge_change(
    text: str, changes: Mapping[str, Written], bar: Bar, known: Answer | None = None
) -> Answer:
    """Judge a design with some values changed; see `judge`."""
    try:
        return judge(changed_text(text, changes), bar, known)
    except KitError as error:
        return Answer(stage=Stage.BUILT, refused=_line(error))
    except Exception as error:  # one candidate that the kit fails on must not end the search
        said = f"{type(error).__name__}: {error}"
        return Answer(stage=Stage.BUILT, refused=f"The kit failed on it, please report it: {said}")


def judge(text: str, bar: Bar, known: Answer | None = None) -> Answer:
    """Judge a design as far as the bar lets it on, from what is known of it already."""
    try:
        casework = build(parse(text, ""))
        answer = built(casework) if known is None else known
    except KitError as error:
        return Answer(stage=Stage.BUILT, refused=_line(error))
    if answer.stage < Stage.CHECKED and bar.lets_on(answer):
        answer = checked(answer, check(casework))
    if bar.lets_on(answer):
        try:
            plan = sheet_plan(casework, Effort.LIVE, side_by_side=True)
        except KitError as error:
            return replace(answer, stage=Stage.LAID_OUT, refused=_line(error))
        answer = laid_out(answer, casework, plan)
    return answer


def built(casework: Casework) -> Answer:
    """What the boards tell. Raises BuildError where a board fits no sheet."""
    case = casework.design.case
    least = least_sheets(casework)
    return Answer(
        stage=Stage.BUILT,
        size_mm=casework.box.size,
        size_m3=case.width * case.depth * case.height / 1e9,
        mass_kg=casework.mass_kg,
        sheets_at_least=tuple(sorted(least.items())),
        cost_at_least=_cost(casework, least),
        room_c=casework.design.room.air_c,
    )


def checked(answer: Answer, report: Report) -> Answer:
    """The answer with what the checks found."""
    air = [f for f in report if f.check == "intake air"]
    known = [(f.subject, f.measured) for f in air if f.measured is not None]
    # a device that is not known may be the hottest: then none is
    hottest = max(known, key=lambda one: one[1]) if known and len(known) == len(air) else None
    sags = [f for f in report if f.check == "sag"]
    deep = [
        (f.subject, f.measured, f.measured / f.required)
        for f in sags
        if f.measured is not None and f.required
    ]
    deep = deep if len(deep) == len(sags) else []
    return replace(
        answer,
        stage=Stage.CHECKED,
        tally=tuple(len(report.having(status)) for status in Status),
        failing=tuple(dict.fromkeys(f.check for f in report.having(Status.FAIL))),
        hottest=hottest,
        sag=max(deep, key=lambda one: one[2], default=None),
        most_sag_mm=max((mm for _, mm, _ in deep), default=None),
    )


def laid_out(answer: Answer, casework: Casework, plan: SheetPlan) -> Answer:
    """The answer with what the sheet layout tells."""
    laid = [sheet for one in plan.sheets for sheet in one.layout.sheets]
    area = sum(sheet.sheet.length_mm * sheet.sheet.width_mm for sheet in laid)
    boards = sum(sheet.board_area_mm2 for sheet in laid)
    return replace(
        answer,
        stage=Stage.LAID_OUT,
        sheets=tuple((one.stock.key, one.layout.full_sheets) for one in plan.sheets),
        waste_percent=100.0 * (1.0 - boards / area) if area else None,
        cost=_cost(casework, plan.bought),
    )


def _cost(casework: Casework, sheets: Mapping[str, int]) -> float | None:
    """The sum of the buy list; None where the price of a sheet or a length of wood is not known."""
    prices = casework.design.prices.each
    if not prices and all(sheet.price is None for sheet in casework.design.sheets):
        return None
    rows = buy_list(casework, sheets=sheets)
    wood = (BuyKind.SHEET, BuyKind.LUMBER)
    if any(row.price is None and row.buy for row in rows if row.kind in wood):
        return None
    summed = total(rows)
    return None if summed is None else float(summed.amount)


def _line(error: KitError) -> str:
    return " ".join(str(error).split())
