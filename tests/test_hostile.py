"""Hostile and odd input: a design file is data, its size is bounded, its names are only shown."""

import csv
import io
import json
import os
import tomllib
from collections import Counter
from html.parser import HTMLParser
from xml.etree import ElementTree

import ezdxf
import pytest
import tomlkit
from hypothesis import example, given
from hypothesis import strategies as st

from kit.__main__ import main
from kit.board import Board
from kit.casework import build
from kit.checks import airflow, cable_fill, check
from kit.checks.airflow import Heat, climate, evening
from kit.components.made import MOST_BOARDS, MOST_HOLES, MOST_PLACED
from kit.design_file import LARGEST, example_text, from_data, parse, read, read_text, rewrite, write
from kit.draw import airflow as air_drawn
from kit.draw import heat_plots, strength
from kit.draw.cables import cables_svg
from kit.draw.depth_stack import depth_stack_svg
from kit.draw.dxf import dxf_files
from kit.draw.labels import LabelPaper, labels_svg
from kit.draw.pictorial import pictorial_svg
from kit.draw.sheets import sheet_svg
from kit.draw.sight import sight_plan_svg, sight_side_svg
from kit.errors import BuildError, DesignFileError, KitError, OutputError
from kit.finding import findings_json
from kit.making import as_built, buy_list, cable_schedule, commissioning, set_ups, sheet_data, steps
from kit.making.cut_list import cut_list, to_csv, to_html
from kit.making.labels import labels
from kit.making.sheets import sheet_plan
from kit.making.table_text import csv_text, safe
from kit.units import System, text
from profiles import CHANGE, examples

SMALL = """name = "x"
[case]
width = "3 m"
height = "1.5 m"
depth = "500 mm"
stock = "walnut-ply-3/4"
"""


def refusal(design: str) -> str:
    """Why a design file is refused: one clear sentence, or a few."""
    with pytest.raises(KitError) as caught:
        check(build(parse(design)))
    message = str(caught.value)
    assert message.strip()
    assert len(message) < 1500
    assert len(message.split("\n")) <= 6
    assert all(line.isprintable() for line in message.split("\n")), message
    return message


# --- size -----------------------------------------------------------------------------


def test_a_file_is_read_up_to_its_bound_and_no_further(tmp_path):
    (tmp_path / "a.toml").write_text("#" + "." * (LARGEST - 1))
    assert len(read_text(tmp_path / "a.toml")) == LARGEST
    (tmp_path / "a.toml").write_text("#" + "." * LARGEST)
    with pytest.raises(DesignFileError, match=r"a\.toml is 2 MB large.*may have 2 MB"):
        read_text(tmp_path / "a.toml")


@pytest.mark.parametrize(
    ("design", "says"),
    [
        ("a = " + "9" * 5000, "a number or a name of 5000 characters, and 400 is the most"),
        ("a = " + "9" * 400, "a is not a key"),
        ("a = " + "[" * 100_000, "nests too deep"),
        ("a = " + "{a=" * 100_000, "nests too deep"),
        (".".join("a" * 100_000) + " = 1", "nests too deep"),
        ("[" + " . ".join(['"a b"'] * 100_000) + "]", "nests too deep"),
        ('a = "' + '\\"' * 200_000, "not TOML"),
        ("a = [" + "1," * 100_000 + "]", "a is not a key"),
        ("a" * 100_000 + " = 1", "a name of 100000 characters"),
        ('"' + "a" * 100_000 + '" = 1', "is not a key"),
        ("# " + "a" * 100_000 + "\nb = 1", "b is not a key"),
        ("b = '''" + "a" * 100_000 + "'''", "b is not a key"),
        ('"\\u001b[2J\\n" = 1', '"\\u001b[2J\\n" is not a key'),
        (SMALL.replace('"3 m"', "0x" + "f" * 390), "is not one number up to 100 m"),
        (SMALL.replace('"3 m"', "1e-300"), "case.width"),
        (SMALL.replace("walnut", "\\u001b" * 60), "no material"),
        (SMALL.replace("walnut", "w" * 9000), "at most 300 characters"),
        (
            SMALL + "[[gear]]\nname='a'\nkind='receiver'\nbay=0x" + "f" * 390,
            "gear.1.bay is ",
        ),
        (SMALL + "[[shelf]]\nbay=1\nclear_below='3 in'\n" * 251, "at most 250 items"),
        (SMALL + "[measured]\ncut = [" + '"a",' * 100_000 + "]", "at most 500 items"),
        (SMALL + "[prices]\neach.a = 1e300", "1000000000"),
        (SMALL + "[prices]\ncurrency = '\\u0007'".replace("'", '"'), "U+0007"),
    ],
)
def test_absurd_texts_are_refused_at_once(design, says):
    assert says in refusal(design)


@pytest.mark.parametrize(
    "character", ["\x00", "\x1b", "\x7f", "\x85", "\u2028", "\u202e", "\uffff"]
)
def test_a_name_holds_nothing_that_cannot_be_printed(character):
    data = tomllib.loads(SMALL) | {"name": f"a{character}b"}
    with pytest.raises(DesignFileError, match=f"U\\+{ord(character):04X}"):
        from_data(data)


def holes(panels: int, each: int) -> str:
    """A wide case with that many panels, and that many holes in each."""
    bored = ",".join(
        f'{{diameter="4 mm", across="{50 + 25 * (n % 50)} mm", up="{30 + 14 * (n // 50)} mm"}}'
        for n in range(each)
    )
    return (
        SMALL.replace('"3 m"', '"30 m"')
        + "".join(f'[[divider]]\nat = "{1.5 * n} m"\n' for n in range(1, 20))
        + '[back]\nstock = "birch-ply-4"\n'
        + "".join(f"[[back.panels]]\nbays=[{n}]\nholes=[{bored}]\n" for n in range(1, panels + 1))
    )


def test_more_holes_than_a_piece_can_have_are_refused_before_they_are_made(monkeypatch):
    design = holes(20, 500) + '[[hole]]\nboard="top"\nalong="9 in"\nacross="9 in"\ndiameter="1 in"'
    monkeypatch.setattr(Board, "cuts", property(lambda board: pytest.fail("holes were made")))
    assert f"The piece has 10001 holes that are placed one by one, and {MOST_PLACED} is" in refusal(
        design
    )


@pytest.mark.parametrize(
    "more",
    [
        '[case.pins]\nspacing = "0.000000001 mm"',
        '[doors]\nstock = "walnut-ply-1/2"\nstyle = "slatted"\n'
        '[doors.slats]\nslot = "0.000001 mm"\nland = "0.000001 mm"',
        '[doors]\nstock = "walnut-ply-1/2"\nstyle = "slatted"\n'
        '[doors.slats]\nslot = "0.1 mm"\nland = "0.1 mm"',
    ],
)
def test_holes_that_a_tiny_pitch_would_make_are_refused_before_they_are_made(more):
    assert f"and {MOST_HOLES} is the most" in refusal(SMALL + more)


def test_many_holes_are_checked_in_time_that_grows_with_their_number():
    """1000 holes in one panel; the pairs of them all would take a minute."""
    work = build(parse(holes(2, 500)))
    asked = 0
    meets = type(work.boards[0].box).common

    def counted(box, other):
        nonlocal asked
        asked += 1
        return meets(box, other)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(type(work.boards[0].box), "common", counted)
        for board in work.boards:
            list(board.meetings())
    assert asked < 50_000


def test_more_boards_than_a_piece_can_have_are_refused(example):
    from dataclasses import replace

    from kit.components.made import Made

    board = example.boards[0]
    many = tuple(replace(board, name=f"more-{n}", features=()) for n in range(MOST_BOARDS))
    with pytest.raises(BuildError, match=f"has {MOST_BOARDS + 18} boards, and {MOST_BOARDS} is"):
        example.having(Made(boards=many))


# --- files ----------------------------------------------------------------------------


def test_what_is_no_file_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path / "pipe", "/dev/zero"):
        with pytest.raises(DesignFileError, match="a pipe or a device; give a design file"):
            read(path)
    for path in (tmp_path, "", "a\0b", "a" * 5000):
        with pytest.raises(DesignFileError, match="cannot be read"):
            read(path)


def test_marks_and_line_ends_of_other_editors_are_read(tmp_path):
    path = tmp_path / "a.toml"
    path.write_bytes(b"\xef\xbb\xbf" + example_text().replace("\n", "\r\n").encode())
    assert read(path) == parse(example_text())
    assert read_text(path) == example_text()
    path.write_bytes(example_text().encode("utf-16"))
    with pytest.raises(DesignFileError, match="not text in UTF-8"):
        read(path)


def test_a_save_through_a_link_writes_what_the_link_names(tmp_path):
    (tmp_path / "far").mkdir()
    target, link = tmp_path / "far" / "console.toml", tmp_path / "console.toml"
    target.write_text("old")
    os.chmod(target, 0o640)
    link.symlink_to("far/console.toml")
    write(link, "new")
    assert link.is_symlink()
    assert target.read_text() == "new"
    assert target.stat().st_mode & 0o777 == 0o640
    assert [p.name for p in target.parent.iterdir()] == ["console.toml"]


def test_a_save_through_a_link_to_nothing_or_in_a_circle(tmp_path):
    (tmp_path / "a.toml").symlink_to(tmp_path / "b.toml")
    write(tmp_path / "a.toml", "new")
    assert (tmp_path / "b.toml").read_text() == "new"
    (tmp_path / "c.toml").symlink_to(tmp_path / "c.toml")
    with pytest.raises(OutputError, match="cannot be written"):
        write(tmp_path / "c.toml", "new")
    with pytest.raises(OutputError, match="cannot be written"):
        write(tmp_path / "a\0b", "new")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.toml", "b.toml", "c.toml"]


def test_new_leaves_a_link_to_nothing_alone(tmp_path, capsys):
    (tmp_path / "a.toml").symlink_to(tmp_path / "b.toml")
    assert main(["new", str(tmp_path / "a.toml")]) == 2
    assert "left alone" in capsys.readouterr().err
    assert not (tmp_path / "b.toml").exists()


# --- names ----------------------------------------------------------------------------

#: Said as markup, as code, as a formula, as a path, as a control code of some format.
ODD = (
    '<evil onload="x"/>',
    "</text><evil>",
    "]]><evil/>",
    "--><evil>",
    "&evil;",
    "\"'&<>`",
    "#evil()",
    "$evil$",
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    '=HYPERLINK("a")',
    "../../evil",
    "/etc/evil",
    "C:\\evil",
    "%%c^J\\P{\\fevil;}",
    "${evil}{0}%s",
    "'; evil",
    "é 漢字 🪑 שלום",
    "a\u200bb\u0301",
    "\\u0000",
    "\\",
    "`evil`",
    "[x](javascript:evil)",
    "'''",
    '"""',
    "*strong* _x_",
    "@evil",
    "//",
    "/*",
    "\u00a0",
    "\u2007x",
)
BAD = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufffe\uffff\u2028\u2029"
NAMES = st.one_of(
    st.sampled_from(ODD),
    st.lists(st.sampled_from(ODD), min_size=2, max_size=3).map("".join),
    st.text(st.characters(exclude_categories=("Cs", "Cc"), exclude_characters=BAD), max_size=30),
).map(lambda name: name[:60])


def named(name: str) -> str:
    """The example with that name on everything that has one."""
    data = tomllib.loads(example_text())
    data["name"] = f"n{name}" if not name.strip() else name
    for key in ("owner", "creator", "approved_by", "number"):
        data["pack"][key] = data["name"]
    for row in data["revision"]:
        row["what"], row["mark"] = data["name"], "<&>"
    called = {row["name"]: f"{name} {number}" for number, row in enumerate(data["gear"])}
    for row in data["gear"]:
        row["name"] = called[row["name"]]
    for row in data["cable"]:
        row["from"], row["to"] = (called.get(row[end], row[end]) for end in ("from", "to"))
    data["sheet"] = [{"stock": "walnut-ply-3/4", "name": data["name"], "price": 90.0}]
    data["fan"] = [{"name": data["name"], "bay": 1, "free_flow_cfm": 30, "max_pressure_pa": 20}]
    data["prices"] = {"currency": "=<&>\"'", "each": {"walnut-ply-3/4": 90}}
    return tomlkit.dumps(data)


def outputs(work, units=System.INCH):
    """Every text that is written for a piece, by what it is: svg, html, csv, json, dxf, text."""
    plan = sheet_plan(work)
    fill = cable_fill(work)
    state = climate(work, Heat.TYPICAL, cable_fill=fill)
    tender = airflow.least_tolerant(work.inside, state)
    schedule = cable_schedule.cable_schedule(work)
    name = work.design.name
    yield from (
        ("svg", sheet_svg(work, one, sheet, units=units))
        for one in plan.stocks
        for sheet in one.layout.sheets
    )
    yield from (("svg", s) for s in labels_svg(labels(work, plan, units), name, LabelPaper.A4))
    yield "svg", pictorial_svg(work)
    yield "svg", depth_stack_svg(work, units=units)
    yield "svg", cables_svg(work, units=units)
    yield "svg", sight_plan_svg(work)
    yield "svg", sight_side_svg(work)
    yield "svg", air_drawn.elevation(state)
    yield "svg", heat_plots.rise_plot(state, tender)
    yield "svg", heat_plots.evening_plot(evening(state, 1.0))
    yield "svg", strength.sag_svg(work)
    yield "svg", strength.tip_svg(work)
    yield "csv", to_csv(cut_list(work, plan.sheet_names), units)
    yield "csv", sheet_data.cuts_csv(work, plan, units)
    yield "csv", as_built.to_csv(work, units)
    yield "csv", set_ups.to_csv(set_ups.set_up_sheet(work), units)
    yield "csv", buy_list.to_csv(buy_list.buy_list(work, sheets=plan.bought), units)
    yield "csv", cable_schedule.to_csv(schedule, units)
    yield "csv", cable_schedule.holes_csv(schedule, units)
    yield "json", sheet_data.sheets_json(work, plan)
    yield "json", findings_json(check(work))
    yield "html", to_html(cut_list(work, plan.sheet_names), units)
    yield from (("html", page) for page in notebook_pages(work, plan, state, tender))
    yield from (("dxf", text) for _, text in list(dxf_files(work))[:2])
    yield "text", steps.to_text(steps.steps(work, units), name)
    yield "text", commissioning.to_text(work, fill)


def notebook_pages(work, plan, state, tender):
    from kit import notebook

    report = check(work)
    shown = (
        notebook.findings(report, work),
        notebook.cut_table(work),
        notebook.cable_table(work),
        notebook.hole_table(work),
        notebook.cut_order_table(work, plan),
        notebook.set_up_table(work),
        notebook.buy_table(work, plan),
        notebook.as_built_table(work),
        notebook.depth_picture(work),
        notebook.cable_picture(work),
        notebook.air_picture(state),
        notebook.vent_picture(state, tender),
        notebook.sag_picture(work),
        notebook.tip_picture(work),
        notebook.sheet_pictures(work, plan),
        notebook.picture(work),
    )
    return [one._repr_html_() for one in shown]


class Tags(HTMLParser):
    """The tags and attributes of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: Counter[str] = Counter()
        self.feed(page)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags[tag] += 1
        assert not any(key.startswith("on") for key, _ in attrs), (tag, attrs)

    def handle_comment(self, data):
        self.tags["comment"] += 1

    def unknown_decl(self, data):
        self.tags["declaration"] += 1


def held(kind: str, output: str) -> None:
    """Read an output by a reader of its kind, and see that a name in it is a name."""
    if kind == "svg":
        tags = {element.tag.rpartition("}")[2] for element in ElementTree.fromstring(output).iter()}
        assert not tags & {"evil", "script", "foreignObject"}, tags
    elif kind == "html":
        assert not Tags(output).tags.keys() & {"evil", "script", "iframe", "comment", "declaration"}
    elif kind == "json":
        json.loads(output)
    elif kind == "csv" and output:
        rows = list(csv.reader(io.StringIO(output, newline="")))
        assert len({len(row) for row in rows}) == 1
        for cell in (cell for row in rows for cell in row):
            assert not starts_a_formula(cell), cell
    elif kind == "dxf":
        assert not ezdxf.read(io.StringIO(output)).audit().errors
    elif kind == "text":
        assert all(line.isprintable() or not line for line in map(visible, output.split("\n")))


def visible(line: str) -> str:
    """A line without what a name may hold though it is not printable: marks of format, blanks."""
    import unicodedata

    return "".join(c for c in line if unicodedata.category(c) not in ("Cf", "Zs", "Cn", "Co"))


@pytest.mark.slow
@examples(CHANGE)
@given(NAMES)
@example('=1+1<evil onload="x"/>]]>--></text>&evil;"\'\\')
def test_a_name_is_a_name_in_every_output(name):
    for kind, output in outputs(build(parse(named(name)))):
        held(kind, output)


# --- spreadsheets ---------------------------------------------------------------------

#: Source: OWASP, 'CSV Injection': cells that begin with these are run by spreadsheets.
STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


def starts_a_formula(cell: str) -> bool:
    """As a spreadsheet sees it: wide forms count, and blanks before them do not."""
    import unicodedata

    plain = unicodedata.normalize("NFKC", cell.lstrip(" \u00a0"))
    return plain.startswith(STARTS) and not is_a_length(plain)


def is_a_length(cell: str) -> bool:
    """A number or a length with a sign; nothing can be called or referred to in it."""
    number = cell.removesuffix(" in").removesuffix(" mm").lstrip("+-")
    return cell[1:2].isdigit() and not set(number) - set("0123456789./ ")


@pytest.mark.parametrize(
    ("cell", "written"),
    [
        ("=1+1", "'=1+1"),
        ("+SUM(A1)", "'+SUM(A1)"),
        ("-A1", "'-A1"),
        ("@x", "'@x"),
        ("\tx", "'\tx"),
        ("\rx", "'\rx"),
        ("\nx", "'\nx"),
        (" =1", "' =1"),
        ("＝1", "'＝1"),
        ("\u00a0=1", "'\u00a0=1"),
        ("-1+cmd|' /C x'!A0", "'-1+cmd|' /C x'!A0"),
        ("-", "'-"),
        ("-1-1", "'-1-1"),
        ("--1", "'--1"),
        ("-1,5", "'-1,5"),
        ("-1/2 in", "-1/2 in"),
        ("-2 3/4 in", "-2 3/4 in"),
        ("-0.5 mm", "-0.5 mm"),
        ("-3", "-3"),
        ("+1.25 mm", "+1.25 mm"),
        ("3/4 in", "3/4 in"),
        ("", ""),
        ("top", "top"),
        ("A-1", "A-1"),
    ],
)
def test_a_cell_is_text_or_a_length(cell, written):
    assert safe(cell) == written


@given(
    st.text(max_size=20).map(lambda s: s)
    | st.sampled_from(STARTS).flatmap(
        lambda start: st.text(max_size=9).map(lambda rest: start + rest)
    )
)
def test_no_cell_starts_a_formula(cell):
    assert not starts_a_formula(safe(cell))
    # nothing but that mark is put in, at its start or where another reader would start a cell
    assert safe(cell).replace("'", "") == cell.replace("'", "")


@given(st.floats(-5000, -0.2), st.sampled_from(System))
def test_negative_lengths_stay_as_they_are(mm, system):
    printed = text(mm, system)
    assert safe(printed) == printed


def test_the_head_of_a_table_is_safe_too():
    (head, row) = csv.reader(io.StringIO(csv_text([{"=a": "=b"}])))
    assert (head, row) == (["'=a"], ["'=b"])


# --- changing a file ------------------------------------------------------------------


@given(NAMES)
def test_a_name_survives_being_written(name):
    changed = rewrite(example_text(), {"name": f"n{name}", "pack.owner": f"n{name}"})
    assert parse(changed).name == parse(changed).pack.owner == f"n{name}"
