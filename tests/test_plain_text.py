"""Text that leaves the kit is plain: in spreadsheets, in a terminal, and from a file of answers."""

import csv
import io
import json
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from killing import SMALL

from kit.__main__ import main
from kit.errors import OutputError
from kit.making.table_text import csv_text
from kit.search.answer import Answer, Stage
from kit.search.answers import LARGEST, Answers

# --- spreadsheets ---------------------------------------------------------------------

#: Where spreadsheets part cells, by the settings of a country or of a file that is opened.
DELIMITERS = (",", ";", "\t")
LENGTHS = ("-3", "-1/2 in", "+2 3/4 in", "+0.5 mm", "-0.25 in")


def formulas(text: str, delimiter: str) -> list[str]:
    """The cells that a spreadsheet would run. Source: OWASP, 'CSV Injection'."""
    cells = [
        c for row in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter) for c in row
    ]
    plain = [(c, unicodedata.normalize("NFKC", c.lstrip(" \u00a0"))) for c in cells]
    return [
        cell
        for cell, start in plain
        if start.startswith(("=", "+", "-", "@", "\t", "\r")) and cell not in LENGTHS
    ]


@pytest.mark.parametrize("delimiter", DELIMITERS)
@pytest.mark.parametrize(
    "cell",
    [
        "dp;=cmd|' /C calc'!A0;x",
        "a\t=1",
        "a\n=1",
        "a\r=1",
        'a;"=1',
        'a,;""=1',
        "a; =1",
        "a;\t=1",
        "a;;=1",
        ";＝1",
        "a;+0.5 mm",
    ],
)
def test_no_cell_begins_a_formula_in_its_middle(cell: str, delimiter: str) -> None:
    text = csv_text([{"a": "x", "b": cell, "c": "y"}, {"a": cell, "b": "", "c": cell}])
    assert formulas(text, delimiter) == []


def test_a_length_that_begins_a_row_is_one_cell_with_the_rest_at_semicolons() -> None:
    assert formulas(csv_text([{"a": "-3", "b": "A1|x"}]), ";") == []
    assert csv_text([{"b": "x", "a": "-1/2 in"}]) == "b,a\nx,-1/2 in\n"


ODD = st.text(st.sampled_from(';;\t\n\r,,""\'==+-@ \u00a0a1＝'), max_size=7)
CELLS = st.one_of(ODD, st.text(max_size=9), st.sampled_from(LENGTHS))


@given(st.integers(1, 4).flatmap(lambda n: st.lists(st.lists(CELLS, min_size=n, max_size=n))))
def test_no_cell_starts_a_formula_wherever_cells_are_parted(rows: list[list[str]]) -> None:
    text = csv_text([{f"h{n}": cell for n, cell in enumerate(row)} for row in rows])
    for delimiter in DELIMITERS:
        assert formulas(text, delimiter) == []


# --- terminals ------------------------------------------------------------------------

#: Sets the title, colours, clears; the same in one character of C1; turns a line; goes back in it.
ESCAPES = "\x1b]0;owned\x07\x1b[31m\x9b2J\u202egnp\r\x08"


def plain(said: str) -> bool:
    return not set(said) & set("\x1b\x07\x9b\u202e\r\x08")


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", f"{ESCAPES}.toml"],
        ["new", f"no/{ESCAPES}/x.toml"],
        ["fix", "a.toml", ESCAPES],
        ["plan", "a.toml", "--out", f"a.toml/{ESCAPES}"],
        ["search", "a.toml", "--out", "o", "--goal", "largest", "--free", f"{ESCAPES} = a | b"],
        ["search", "a.toml", "--out", "o", "--goal", ESCAPES],
        ["search", "a.toml", "--out", "o", "--limit", ESCAPES],
        ["what-if", "a.toml", "--set", f"{ESCAPES}: case.depth = 3 mm; {ESCAPES} = 3"],
        ["open", f"{ESCAPES}.toml"],
    ],
    ids=lambda arguments: arguments[0],
)
def test_no_escape_reaches_a_terminal(
    arguments: list[str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("a.toml").write_text(SMALL)
    assert main(arguments) == 2
    said = capsys.readouterr()
    assert plain(said.out)
    assert plain(said.err)
    assert "owned" in said.err or "NAME" in said.err


def test_neither_does_what_the_command_line_is_refused_for(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(SystemExit):
        main(["check", "a.toml", f"--{ESCAPES}"])
    said = capsys.readouterr().err
    assert "owned" in said
    assert plain(said)


@pytest.mark.parametrize(
    "line",
    [
        f'"{ESCAPES}" = 1',
        f"name = '{ESCAPES}'",
        f"stock = {ESCAPES}",
        '"\\u001b[31m\\u009b" = 1',
        'case.corner = "\\u001b[31m\\u009b2J\\u202e"',
        'case.stock = "\\u001b[31m\\u009b2J\\u202e"',
        'gear = [{name = "a", kind = "\\u001b[31m\\u009b"}]',
    ],
)
def test_what_a_design_file_says_is_quoted_plainly(
    line: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "a.toml").write_text(f"{line}\n{SMALL}", encoding="utf-8")
    assert main(["check", str(tmp_path / "a.toml")]) == 2
    assert plain(capsys.readouterr().err)


def test_findings_as_json_stay_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "a.toml").write_text(SMALL.replace("Leaflet", "Légère \\u200f\\ufeff🪑"))
    main(["check", str(tmp_path / "a.toml"), "--json"])
    assert json.loads(capsys.readouterr().out)


def test_text_that_is_shown_means_the_same_in_json() -> None:
    from kit.plain_text import shown

    said = json.dumps({"a": ESCAPES + "\x7f\u2028é漢🪑"}, ensure_ascii=False)
    assert plain(shown(said))
    assert json.loads(shown(said)) == json.loads(said)
    assert shown("a\tb\n") == "a\tb\n"
    assert shown("é漢🪑\u200f") == "é漢🪑\u200f"
    assert shown("x" * 99, most=9) == "xxxxxx..."


def test_a_program_that_fails_says_so_plainly(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An error that nobody expected is a traceback: it is printed after `main` has ended."""
    import sys
    import traceback

    def broken(*_: object) -> None:
        raise AssertionError(ESCAPES)

    monkeypatch.setattr("kit.commands.check.check", broken)
    (tmp_path / "a.toml").write_text(SMALL)
    before = sys.stdout, sys.stderr
    try:
        with pytest.raises(AssertionError) as caught:
            main(["check", str(tmp_path / "a.toml")])
        traceback.print_exception(caught.value)
    finally:
        sys.stdout, sys.stderr = before
    said = capsys.readouterr().err
    assert "owned" in said
    assert plain(said)


# --- answers from a stranger ----------------------------------------------------------

KEY = "a" * 64
GOOD = {"stage": 1, "size_mm": [1000.0, 400.0, 500.0], "size_m3": 0.2, "mass_kg": 9.0}


def line_of(**changed: object) -> str:
    return json.dumps({"key": KEY, "answer": GOOD | changed})


BAD = {
    "nests very deep": "[" * 200_000,
    "nests deep": '{"key": "' + "[" * 15_000,
    "nests deeper": f'{{"key": "{KEY}", "answer": ' + "[" * 18_000,
    "not a number": line_of(size_mm=[float("nan"), 1.0, 1.0]),
    "infinite": line_of(mass_kg=float("inf")),
    "infinite as it is read": line_of(mass_kg=0).replace('"mass_kg": 0', '"mass_kg": 1e999'),
    "huge": line_of(cost=10**400),
    "huge digits": line_of(mass_kg=0).replace('"mass_kg": 0', '"mass_kg": ' + "9" * 9000),
    "too long to write": line_of(size_mm=[1e8, 1.0, 1.0]),
    "negative": line_of(size_mm=[-1.0, 1.0, 1.0]),
    "counts below none": line_of(tally=[-1, 0, 0, 0]),
    "escapes": line_of(stage=1, refused="\x1b]0;owned\x07"),
    "escapes of C1": line_of(failing=["\x9b31m"]),
    "turned": line_of(sheets=[["\u202egnp", 2]]),
    "many lines": line_of(refused="a\nb"),
    "a long text": line_of(refused="x" * 9000),
    "a long line": line_of(refused="x" * 1_000_000),
    "a long list": line_of(failing=["sag"] * 900),
    "no such stage": line_of(stage=9),
    "no answer": json.dumps({"key": KEY, "answer": None}),
    "another key": json.dumps({"key": "x", "answer": GOOD}),
    "a list": json.dumps([1]),
}


@pytest.mark.parametrize("what", BAD)
def test_a_line_that_no_search_has_written_is_passed_over(tmp_path: Path, what: str) -> None:
    path, other = tmp_path / "answers.jsonl", "b" * 64
    good = json.dumps({"key": other, "answer": GOOD})
    path.write_text("\n".join([good.replace(other, "c" * 64), BAD[what], good, ""]))
    with Answers(path) as kept:
        assert kept.get(KEY) is None
        known = kept.get(other)
        assert known is not None
        assert known.size_mm == (1000.0, 400.0, 500.0)
        assert kept.get("c" * 64) == known


def test_what_is_put_is_there_again(tmp_path: Path) -> None:
    path = tmp_path / "answers.jsonl"
    answer = Answer(
        stage=Stage.LAID_OUT,
        size_mm=(1.0, 2.0, 3.0),
        tally=(0, 1, 2, 3),
        hottest=("receiver é", 31.5),
        sag=("shelf-1", 0.1, 0.2),
        sheets=(("birch-ply-18", 2),),
        cost=1e8,
    )
    with Answers(path) as kept:
        kept.put(KEY, answer)
    path.write_bytes(path.read_bytes() + path.read_bytes()[:30])  # killed in the next line
    with Answers(path) as kept:
        assert kept.get(KEY) == answer
        kept.put("b" * 64, answer)
    with Answers(path) as kept:
        assert kept.get("b" * 64) == answer


def test_only_a_file_of_answers_is_read_and_added_to(tmp_path: Path) -> None:
    path = tmp_path / "answers.jsonl"
    for said in ("mine\n", "{}\n", '{"keys": 1}\n', "\n", "x" * 100_000):
        path.write_text(said)
        with pytest.raises(OutputError, match="holds something else than answers"), Answers(path):
            pass
        assert path.read_text() == said
    for said in ("", '{"k', '{"key": "ab'):  # as a kill in the first line leaves it
        path.write_text(said)
        with Answers(path) as kept:
            kept.put(KEY, Answer(stage=Stage.BUILT))
        with Answers(path) as kept:
            assert kept.get(KEY)
    with path.open("r+b") as file:
        file.truncate(LARGEST + 1)
    with pytest.raises(OutputError, match="larger than 200 MB"), Answers(path):
        pass
