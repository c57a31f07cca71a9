"""How long the book of plans takes for a piece of 200 boards. Wanted: under 20 s."""

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from kit.casework import build
from kit.checks import check
from kit.design_file import from_data
from kit.draw.pictorial import pictorial_svg
from kit.draw.sheets import sheet_svg
from kit.making.sheets import Effort, sheet_plan
from kit.plan_pack.book import Book, Draft
from kit.plan_pack.compile import book_pdf
from kit.plan_pack.drawings import drawings
from kit.plan_pack.pages import make_book
from kit.title_block import Paper
from kit.units import System

#: The most that the book may take, s.
WANTED_S = 20.0
BAYS, SHELVES = 5, 19

UNCHECKED = Draft(("not passed through the release gate",))


@pytest.fixture(scope="module")
def large() -> Book:
    """A wall of shelves, each with a strip of wood along its front: 200 boards or more."""
    width, height = 2300.0, 2390.0
    pitch = (height - 60) / (SHELVES + 1)
    data = {
        "name": "Wall of shelves",
        "shop": {"units": "mm"},
        "case": {
            "width": f"{width} mm",
            "height": f"{height} mm",
            "depth": "400 mm",
            "stock": "birch-ply-18",
            "corner": "rabbet",
            "corner_depth": "9 mm",
        },
        "divider": [{"at": f"{width / BAYS * n} mm"} for n in range(1, BAYS)],
        "shelf": [
            {
                "bay": bay,
                "clear_below": f"{pitch * level:.1f} mm",
                "lipping": {"stock": "walnut-lipping-1/4", "thickness": "6 mm", "height": "18 mm"},
            }
            for bay in range(1, BAYS + 1)
            for level in range(1, SHELVES + 1)
        ],
        "back": {
            "stock": "birch-ply-6.5",
            "method": "planted",
            "panels": [{"bays": [bay]} for bay in range(1, BAYS + 1)],
        },
    }
    casework = build(from_data(data))
    assert len(casework.boards) >= 200
    plan = sheet_plan(casework, Effort.LIVE)
    pictures = {"console.svg": pictorial_svg(casework)}
    drawn = ((one, sheet) for one in plan.stocks for sheet in one.layout.sheets)
    for number, (one, sheet) in enumerate(drawn, start=1):
        pictures[f"sheets-{number}.svg"] = sheet_svg(casework, one, sheet, units=System.METRIC)
    return make_book(
        casework,
        check(casework),
        plan,
        pictures,
        drawings(casework, Paper.A4),
        standing=UNCHECKED,
        paper=Paper.A4,
        units=System.METRIC,
    )


def test_book_of_200_boards(benchmark: BenchmarkFixture, large: Book) -> None:
    pdf = benchmark.pedantic(book_pdf, args=(large,), rounds=1)
    assert pdf.startswith(b"%PDF")
    if benchmark.enabled:
        assert benchmark.stats.stats.max < WANTED_S
