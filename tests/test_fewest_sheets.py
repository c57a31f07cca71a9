"""The fewest sheets, as the product calls the search: whatever rows of sheets a design has."""

import csv
import json
from pathlib import Path

import pytest

from benchmarks.known_optimum import KERF_MM, design_sheets, known_job
from kit.__main__ import main
from kit.casework import Casework, build
from kit.design_file import parse
from kit.draw.sheets import sheet_svg
from kit.making.buy_list import buy_list
from kit.making.nesting.guillotine import live_layout
from kit.making.nesting.layout import Layout, Piece, Sheet
from kit.making.sheet_data import sheets_json
from kit.making.sheets import Effort, sheet_plan
from kit.making.thresholds import with_thresholds
from kit.notebook.design_desk.bench import Work
from kit.notebook.design_desk.panels import sheets_html
from kit.plan_pack import write_pack

#: Fits on one sheet by hand: rips of 20, 20, 3 1/2 and 3 1/2 in out of 48.
WITH_ROW = (Path(__file__).parent / "inputs" / "one-sheet.toml").read_text(encoding="utf-8")
WITHOUT = WITH_ROW.partition("\n[[sheet]]")[0] + "\n"
STOCK = "walnut-ply-3/4"
#: The rows of sheets that a maker may write: none, as many as needed, more, and in two rows.
ROWS = {
    "no row": WITHOUT,
    "one": WITH_ROW,
    "three": WITH_ROW.replace("count = 1", "count = 3"),
    "as many as needed": WITHOUT + f'[[sheet]]\nstock = "{STOCK}"\n',
    "one, and more to be bought": WITH_ROW + f'\n[[sheet]]\nstock = "{STOCK}"\n',
    "one, and a small offcut": WITH_ROW
    + f'\n[[sheet]]\nstock = "{STOCK}"\noffcut = true\nlength = "20 in"\nwidth = "10 in"\n',
    "one, and a smaller kind": WITH_ROW
    + f'\n[[sheet]]\nstock = "{STOCK}"\nlength = "60 in"\nwidth = "40 in"\n',
}


def of(text: str) -> Casework:
    return build(parse(text))


@pytest.mark.parametrize("effort", list(Effort), ids=lambda effort: effort.value)
@pytest.mark.parametrize("text", ROWS.values(), ids=ROWS)
def test_one_sheet_whatever_the_rows(text: str, effort: Effort) -> None:
    work = of(text)
    plan = sheet_plan(work, effort)
    (laid,) = (one.layout for one in plan.sheets)
    assert plan.bought == {STOCK: 1}
    assert laid.is_least
    (row,) = (r for r in buy_list(work, sheets=plan.bought) if r.key == STOCK)
    assert (row.buy, row.at_least) == (1, False)
    assert sheet_plan(work, effort) == plan


def test_the_rows_change_nothing_in_the_layout() -> None:
    """Sheets on hand that are enough are looked at as if they were to be bought."""

    def where(text: str) -> list[tuple[str, float, float]]:
        (one,) = sheet_plan(of(text)).sheets
        return [
            (p.piece.name, p.rect.x_mm, p.rect.y_mm)
            for sheet in one.layout.sheets
            for p in sheet.placements
        ]

    alone = where(ROWS["no row"])
    for name in ("one", "three", "as many as needed", "one, and more to be bought"):
        assert where(ROWS[name]) == alone, name


@pytest.mark.parametrize("name", ["no row", "one", "three"])
def test_the_desk_shows_one_sheet(name: str) -> None:
    shown = sheets_html(Work.of(ROWS[name]))
    assert shown.count("<img") == 1


@pytest.mark.slow
@pytest.mark.parametrize("name", ["no row", "one", "three"])
def test_the_pack_buys_one_sheet(name: str, tmp_path: Path) -> None:
    write_pack(of(ROWS[name]), ROWS[name], tmp_path / "pack")
    with (tmp_path / "pack" / "buy-list.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if "plywood" in " ".join(row.values())]
    assert [row["buy"] for row in rows] == ["1 sheet"]
    data = json.loads((tmp_path / "pack" / "sheets.json").read_text(encoding="utf-8"))
    assert [len(one["sheets"]) for one in data["stocks"]] == [1]


# The search itself.


def test_boards_are_also_looked_at_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Joined first, and pairs of equal boards go past a layout in rips; alone they find it."""
    monkeypatch.setattr("kit.making.nesting.search.first_fit", lambda job: None)
    (one,) = sheet_plan(of(WITHOUT)).sheets
    assert one.layout.full_sheets == 1


def test_what_cannot_lie_side_by_side_bounds_the_sheets() -> None:
    """Nine of a third and a little each way: four to a sheet, though two sheets go by area."""
    boards = [Piece(f"b{i}", 820.0, 410.0, grain_locked=True) for i in range(9)]
    laid: Layout = live_layout(boards, [Sheet("s", 2440.0, 1220.0)], 3.0)
    assert (laid.full_sheets, laid.least_sheets) == (3, 3)


# What a sheet hangs on.

#: A quarter of an inch deeper, the rips take more than the sheet has between its trims.
DEEPER = WITHOUT.replace('depth="20 in"', 'depth="20 1/4 in"')


def hangs_on(text: str) -> tuple[str, ...]:
    work = of(text)
    return with_thresholds(work, sheet_plan(work, Effort.FINAL)).hangs_on.get(STOCK, ())


def test_what_a_sheet_hangs_on_is_said() -> None:
    """By hand: 2 x 20 1/4 + 2 x 3 1/2 = 47 1/2 in and three cuts, out of 47 1/2 in; and 47 in."""
    assert sheet_plan(of(DEEPER), Effort.FINAL).bought == {STOCK: 2}
    said = hangs_on(DEEPER)
    assert "the edge trim of 1/4 in costs one sheet" in said
    assert "1/4 in less depth: one sheet fewer" in said
    assert hangs_on(DEEPER) == said
    # what is said comes out
    assert sheet_plan(of(WITHOUT)).bought == {STOCK: 1}
    untrimmed = DEEPER.replace("[shop]", '[shop]\nedge_trim = "0 in"')
    assert sheet_plan(of(untrimmed)).bought == {STOCK: 1}


def test_nothing_hangs_on_what_no_piece_can_do_without() -> None:
    assert hangs_on(WITHOUT) == ()


def test_what_is_fixed_is_not_tried() -> None:
    said = hangs_on(DEEPER + '[fixed]\nvalues = ["case.depth"]\n')
    assert not any("depth" in one for one in said)


def test_the_maker_meets_it_in_list_and_picture() -> None:
    work = of(DEEPER)
    plan = with_thresholds(work, sheet_plan(work, Effort.FINAL))
    said = "1/4 in less depth: one sheet fewer"
    rows = buy_list(work, sheets=plan.bought, hangs_on=plan.hangs_on)
    (row,) = (r for r in rows if r.key == STOCK)
    assert said in row.note
    (one,) = plan.sheets
    assert said in sheet_svg(work, one, one.layout.sheets[0])
    assert said in json.loads(sheets_json(work, plan))["stocks"][0]["hangs_on"]


def test_a_quick_look_says_that_it_is_one() -> None:
    """Two sheets, and whether one would do is not proven: a longer look may tell."""
    open_job = (
        WITHOUT.partition("[[divider]]")[0]
        .replace("57 in", "49.98 in")
        .replace("17 in", "23.84 in")
        .replace("20 in", "13.18 in")
        + '[[divider]]\nat="24.99 in"\n'
        + "".join(
            f'[[shelf]]\nbay={bay}\nclear_below="{at} in"\n'
            for bay, at in ((2, 2), (1, 4.5), (2, 7))
        )
        + '[base]\nkind="plinth"\nheight="3.6 in"\n'
    )
    assert not sheet_plan(of(open_job)).sheets[0].layout.is_least
    assert "A quick look" in sheets_html(Work.of(open_job))
    assert "A quick look" not in sheets_html(Work.of(WITHOUT))


# What `kit check` says of the sheets that are counted.


def test_how_far_the_sheets_on_hand_go_is_a_finding(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "box.toml"
    file.write_text(WITH_ROW, encoding="utf-8")
    assert main(["check", str(file)]) == 0
    said = capsys.readouterr()
    assert "OK      sheets on hand (3/4 in walnut plywood): 1 of 1 sheet, 91 % used." in said.out
    file.write_text(WITH_ROW.replace('"20 in"', '"20 1/4 in"'), encoding="utf-8")
    assert main(["check", str(file)]) == 1
    said = capsys.readouterr()
    assert "1 fail" in said.out
    assert "1/4 in less depth: one sheet fewer." in said.out
    assert "[2 sheets, at most 1 sheet]" in said.out
    assert said.err == ""


# Jobs with a known optimum, by the product's own door: a design without a row of sheets.


def test_boards_of_a_makers_own_are_laid_out_as_by_the_search_itself() -> None:
    """The whole experiment: `python tests/benchmarks/known_optimum.py table 200`."""
    for seed in (0, 4, 7):
        job = known_job(seed, 0.10, boards=14)
        direct = live_layout(job.pieces, [job.sheet], KERF_MM).full_sheets
        assert design_sheets(job, Effort.LIVE) == direct == job.optimum


@pytest.mark.slow
def test_known_optima_are_found_by_the_products_own_door() -> None:
    for effort, share, least in ((Effort.LIVE, 0.05, 0.5), (Effort.LIVE, 0.10, 0.85)):
        jobs = [known_job(seed, share) for seed in range(24)]
        over = [design_sheets(job, effort) - job.optimum for job in jobs]
        assert over.count(0) >= least * len(over)
        assert max(over) <= 1
    for seed in range(6):
        job = known_job(seed, 0.10)
        assert design_sheets(job, Effort.FINAL) == job.optimum
