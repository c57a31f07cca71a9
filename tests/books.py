"""The book of plans of a design without the rest of its pack, for tests and pictures."""

from kit.casework import Casework
from kit.checks import check
from kit.draw.pictorial import pictorial_svg
from kit.draw.sheets import sheet_svg
from kit.finding import Report
from kit.making.sheets import Effort, sheet_plan
from kit.paper import Paper
from kit.plan_pack.book import Book, Draft, Standing
from kit.plan_pack.drawings import drawings
from kit.plan_pack.pages import make_book

UNCHECKED = Draft(("not passed through the release gate",))


def book_of(
    casework: Casework,
    *,
    paper: Paper = Paper.LETTER,
    standing: Standing = UNCHECKED,
    report: Report | None = None,
) -> Book:
    """The book, with sheets laid out quickly and no pictures of the room."""
    units = casework.design.shop.units
    plan = sheet_plan(casework, Effort.LIVE)
    pictures = {"console.svg": pictorial_svg(casework)}
    drawn = ((one, sheet) for one in plan.stocks for sheet in one.layout.sheets)
    for number, (one, sheet) in enumerate(drawn, start=1):
        pictures[f"sheets-{number}.svg"] = sheet_svg(casework, one, sheet, units=units)
    return make_book(
        casework,
        check(casework) if report is None else report,
        plan,
        pictures,
        drawings(casework, paper),
        standing=standing,
        paper=paper,
        units=units,
    )
