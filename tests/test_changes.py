"""What changes from one design to the next: boards, sheets, labels, the whole."""

import csv
import io
import re

import pytest
from hypothesis import assume, given

from kit import edits
from kit.__main__ import main
from kit.casework import build as built
from kit.design_file import example_text, parse
from kit.errors import BuildError
from kit.making.changes import Kind, Remedy, changes, printed, to_csv, to_text
from kit.making.sheets import sheet_plan
from kit.units import System, exact, length
from profiles import CHANGE, examples
from strategies import assemble, designs

BOTH = pytest.mark.parametrize("system", list(System))


def by_name(report):
    return {board.name: board for board in report.boards}


def told(report, *kinds):
    return {board.name for board in report.boards if board.kind in kinds}


def with_plans(old, new, system=None):
    return changes(old, new, system=system, plans=(sheet_plan(old), sheet_plan(new)))


def otherwise(old, new):
    """Names of boards in both designs whose plain geometry differs, by size or by any cutter."""
    found = set()
    for board in new.boards:
        was = old.by_name.get(board.name)
        if was is None:
            continue
        same = (was.blank, was.cutters, was.stock) == (board.blank, board.cutters, board.stock)
        if not same:
            found.add(board.name)
    return found


@BOTH
def test_one_design_twice_changes_nothing(example, rebuilt, system):
    report = with_plans(example, rebuilt({}), system)
    assert report.is_empty
    assert to_text(report) == "Film room console: nothing changes.\n"
    assert {row["is"] for row in printed(report)} == {"unchanged"}
    assert len(printed(report)) == len(example.boards)
    assert all(board.remedy is Remedy.NOTHING for board in report.boards)


@BOTH
def test_a_shelf_set_higher_touches_its_two_uprights_alone(example, rebuilt, system):
    # shelf-1 stands in bay 1 between side-left and divider-1; it keeps its size, its dadoes move
    new = rebuilt({"shelf.1.clear_below": "9 in"})
    report = with_plans(example, new, system)
    assert told(report, Kind.CHANGED) == {"side-left", "divider-1"} == otherwise(example, new)
    assert told(report, Kind.ADDED, Kind.REMOVED) == set()
    side = by_name(report)["side-left"]
    (joint,) = side.differences
    places = [
        length(re.search(r", ([^,]+) from end 1$", words)[1])
        for words in (joint.before, joint.after)
    ]
    assert places[1] - places[0] == pytest.approx(25.4, abs=0.1)
    assert side.remedy is Remedy.ANEW
    assert side.words.startswith("side-left (C): joint dado ")
    assert (report.sheets, report.labels) == ((), ())


@pytest.mark.slow
@examples(CHANGE)
@given(designs())
def test_the_boards_that_change_are_those_whose_geometry_does(plain):
    assume(plain.get("shelf"))
    _, old = assemble(plain)
    shelf = plain["shelf"][0]
    raised = {**shelf, "clear_below": exact(length(shelf["clear_below"]) + 10.0)}
    try:
        _, new = assemble({**plain, "shelf": [raised, *plain["shelf"][1:]]})
    except BuildError:
        assume(False)
    for system in System:
        report = changes(old, new, system=system)
        assert told(report, Kind.CHANGED) == otherwise(old, new)
        assert [b.name for b in report.boards] == [b.name for b in new.boards]


def test_a_longer_board_is_cut_anew_and_its_label_is_void(example, rebuilt):
    # divider-1 half an inch to the right: its bay, and the shelf in it, grow by as much
    new = rebuilt({"divider.1.at": "23 in"})
    report = with_plans(example, new)
    assert by_name(report)["shelf-1"].words == (
        "shelf-1 (G): length 21 7/8 in -> 22 3/8 in; cut it anew"
    )
    assert "  shelf-1 (G): length 21 7/8 in -> 22 3/8 in; cut it anew\n" in to_text(report)
    assert told(report, Kind.CHANGED) == otherwise(example, new)
    void = {label.name: label.lines for label in report.labels}
    assert void["shelf-1"] == ("size", "rough")
    assert "side-left" not in void
    assert "sheet 1" in " ".join(sheet.name for sheet in report.sheets)
    moved = {piece for sheet in report.sheets for piece in sheet.pieces}
    assert {"shelf-1", "back-1", "door-1"} <= moved
    assert not moved & {"base-front"}


def test_a_measured_thickness_changes_joints_and_what_stands_between(example, rebuilt):
    old = rebuilt({"measured": {"thickness": {"walnut-ply-3/4": ["18.2 mm"]}}})
    new = rebuilt({"measured": {"thickness": {"walnut-ply-3/4": ["18.7 mm"]}}})
    report = by_name(changes(old, new, system=System.METRIC))
    for board in new.boards:
        whats = {d.what: d for d in report[board.name].differences}
        if board.stock.key == "walnut-ply-3/4":
            assert (whats["thickness"].before, whats["thickness"].after) == ("18.2 mm", "18.7 mm")
        else:
            assert "thickness" not in whats
    # a dado is as wide as its mate and 0.15 mm: 18.35 -> 18.85 mm, to a tenth
    dado = next(d for d in report["top"].differences if "dado" in d.before)
    assert dado.before.startswith("dado 18.4 mm wide")
    assert dado.after.startswith("dado 18.9 mm wide")
    # shelf-2 on pins: half a divider and a side take 0.25 + 0.5 mm of its bay
    assert new.by_name["shelf-2"].length - old.by_name["shelf-2"].length == pytest.approx(-0.75)
    (shelf,) = (d for d in report["shelf-2"].differences if d.what == "length")
    assert length(shelf.after) - length(shelf.before) in (-0.5, -1.0)
    assert report["top"].remedy is Remedy.ANEW


def test_a_panel_of_another_thickness_stays_and_what_houses_it_changes(rebuilt):
    # rabbeted panels: the rabbet is as wide as the panel, and the dividers end before it
    old = rebuilt({"measured": {"thickness": {"walnut-ply-1/4": ["5.2 mm"]}}})
    new = rebuilt({"measured": {"thickness": {"walnut-ply-1/4": ["6.2 mm"]}}})
    report = by_name(changes(old, new, system=System.METRIC))
    assert report["back-1"].remedy is Remedy.THICKNESS
    assert [d.words for d in report["back-1"].differences] == ["thickness 5.2 mm -> 6.2 mm"]
    (width,) = (d for d in report["divider-1"].differences if d.what == "width")
    assert length(width.after) - length(width.before) == pytest.approx(-1.0)
    assert {"top", "bottom", "side-left", "side-right"} <= {
        name for name, board in report.items() if board.kind is Kind.CHANGED
    }
    assert report["base-front"].kind is Kind.SAME


def test_a_board_left_out_and_one_added(example, rebuilt):
    shelves = rebuilt({}).design.model_dump(mode="json", by_alias=True)["shelf"]
    old = rebuilt({"gear": []})  # nothing stands on what is left out
    new = rebuilt({"gear": [], "shelf": shelves[:1]})
    gone = with_plans(old, new)
    assert told(gone, Kind.REMOVED) == {"shelf-2"}
    assert gone.boards[-1].name == "shelf-2"
    assert gone.boards[-1].words == "shelf-2 (H): removed; it is not needed any more"
    # its pin holes go with it; what comes after it in the list gets another letter
    assert told(gone, Kind.CHANGED) == {"divider-2", "side-right"} == otherwise(old, new)
    void = {label.name: label for label in gone.labels}
    assert void["shelf-2"].kind is Kind.REMOVED
    assert "mark" in void["base-front"].lines
    assert "top" not in void
    back = with_plans(new, old)
    assert told(back, Kind.ADDED) == {"shelf-2"}
    assert by_name(back)["shelf-2"].words == "shelf-2 (H): added; cut it"
    assert "boards 17 -> 18" in to_text(back)
    holes = by_name(back)["divider-2"]
    assert holes.remedy is Remedy.JOINTS
    assert all(d.words.startswith("new joint: ") for d in holes.differences)


def test_a_board_that_only_gets_another_name_is_not_cut_anew():
    old = built(parse(example_text()))
    new = built(parse(edits.add_bay(example_text(), 3)))
    report = by_name(changes(old, new))
    # its third bay is parted by a new divider, and the panel behind its first two stays
    assert report["back-1"].kind is Kind.SAME
    new = built(parse(edits.add_bay(example_text(), 2)))
    report = by_name(changes(old, new))
    was = report["divider-3"]
    assert was.kind is Kind.CHANGED
    assert was.remedy is Remedy.RENAME
    assert was.words == "divider-3 (G): name divider-2 -> divider-3; only its name changes"
    assert report["divider-2"].kind is Kind.ADDED
    assert not [b for b in report.values() if b.kind is Kind.REMOVED]


def test_a_board_that_was_cut_stays_cut_under_its_new_name():
    head = "[measured.thickness]"
    text = example_text().replace(head, f'[measured]\ncut = ["divider-2"]\n\n{head}', 1)
    report = changes(built(parse(text)), built(parse(edits.add_bay(text, 2))))
    assert by_name(report)["divider-3"].is_cut
    assert not report.void


def test_boards_cut_already_are_void_where_they_change(example, rebuilt):
    cut = ["shelf-1", "side-left", "shelf-2"]
    old = rebuilt({"measured.cut": cut})
    new = rebuilt({"divider.1.at": "23 in", "measured.cut": cut})
    report = changes(old, new)
    assert [board.name for board in report.void] == ["shelf-1"]
    assert by_name(report)["shelf-1"].words.endswith("; it was cut already and is void")
    assert "Cut already and void\n  G shelf-1\n" in to_text(report)
    assert "not compared" in to_text(report)


def test_a_bare_board_that_gets_smaller_is_trimmed():
    def console(at):
        plain = {
            "name": "Film room shelf",
            "case": {
                "width": "1000 mm",
                "height": "400 mm",
                "depth": "300 mm",
                "stock": "birch-ply-18",
            },
            "divider": [{"at": at}],
            "back": {"stock": "birch-ply-6.5", "panels": [{"bays": [1]}, {"bays": [2]}]},
        }
        return assemble(plain)[1]

    report = by_name(changes(console("500 mm"), console("520 mm"), system=System.METRIC))
    assert report["back-1"].remedy is Remedy.ANEW
    assert report["back-2"].remedy is Remedy.TRIM
    (width,) = report["back-2"].differences
    assert length(width.after) - length(width.before) == pytest.approx(-20.0, abs=0.5)


def test_the_whole_is_told_before_and_after(example, rebuilt):
    new = rebuilt({"case.width": "80 in", "doors.top_depth": "1/8 in"})
    lines = [d.words for d in changes(example, new).whole]
    assert "overall width 78 in -> 80 in" in lines
    assert not any("overall height" in line for line in lines)
    assert any(re.fullmatch(r"mass of the boards [0-9.]+ kg -> [0-9.]+ kg", ln) for ln in lines)
    (findings,) = (line for line in lines if line.startswith("findings"))
    assert findings.startswith("findings 0 fail")
    assert "-> 1 fail" in findings


def test_another_name_alone_voids_no_label(example, rebuilt):
    # the stamp on a label is a hash of the whole design, and does not count
    report = with_plans(example, rebuilt({"name": "Console of the film room"}))
    assert report.is_empty
    assert to_text(report) == "Film room console -> Console of the film room: nothing changes.\n"


@BOTH
def test_csv_tells_what_the_report_does(example, rebuilt, system):
    report = with_plans(example, rebuilt({"divider.1.at": "23 in"}), system)
    rows = list(csv.DictReader(io.StringIO(to_csv(report))))
    assert rows == printed(report)
    assert {row["name"] for row in rows if row["of"] == "board"} == set(example.by_name)
    unit = f" {system.value}"
    for row in rows:
        if row["what"] in ("length", "width", "thickness"):
            assert row["before"].endswith(unit)
            assert row["after"].endswith(unit)


def test_hostile_names_are_printed_as_text(example, rebuilt):
    sheets = [{"stock": "walnut-ply-3/4", "name": "=HYPERLINK(1)"}]
    name = '=cmd("<b>&")'
    old = rebuilt({"name": name, "sheet": sheets})
    new = rebuilt({"divider.1.at": "23 in"})
    report = with_plans(old, new)
    assert to_text(report).startswith(f"{name}: what changes\n")
    assert "(=HYPERLINK(1)): changed" in to_text(report)
    for row in csv.reader(io.StringIO(to_csv(report))):
        assert not any(cell.startswith(("=", "+", "-", "@")) for cell in row)


def test_the_command(tmp_path, capsys):
    old, new, bad = (tmp_path / name for name in ("old.toml", "new.toml", "bad.toml"))
    old.write_text(example_text())
    new.write_text(example_text().replace('at = "22 1/2 in"', 'at = "23 in"'))
    bad.write_text("[case")
    assert main(["changes", str(old), str(old)]) == 0
    assert capsys.readouterr().out == "Film room console: nothing changes.\n"
    assert main(["changes", str(old), str(new)]) == 0
    out = capsys.readouterr().out
    assert "shelf-1 (G): length 21 7/8 in -> 22 3/8 in; cut it anew" in out
    assert main(["changes", str(old), str(new), "--units", "mm", "--csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert any(r["name"] == "shelf-1" and r["what"] == "length" for r in rows)
    for pair in ((old, bad), (bad, old), (old, tmp_path / "none.toml")):
        assert main(["changes", *map(str, pair)]) == 2
        told = capsys.readouterr()
        assert told.out == ""
        assert told.err.startswith("kit: ")
