"""README.md and DEVELOPERS.md tell the truth: what they say to type works, what they name is there.

Every command of the two documents stands in one of the tables below; one that stands in none
fails here. What takes long is run by `test_documents_long.py`.
"""

import json
import os
import re
import subprocess
import sys
import tomllib
import warnings
from collections.abc import Callable
from pathlib import Path

import pytest
from documents import DOCUMENTS, ROOT, commands, kit_arguments, links, rows, snippets, spans

from kit.__main__ import main
from kit.design_file import example_text, parse, starter_text
from kit.notebook import launch
from kit.paper import Paper
from kit.search import Goal, Limit

type Seen = subprocess.CompletedProcess[str]
SCHEMA = ("$schema", "properties")
SEARCH = (
    "kit search console.toml --out found --goal largest --goal coolest "
    "--free 'case.width = 70 in .. 96 in by 1/2 in' "
    "--free 'case.stock = walnut-ply-3/4 | birch-ply-18' "
    "--limit 'height = 24 in' --limit 'sheets.walnut-ply-3/4 = 2'"
)

WHAT_IF = (
    "kit what-if console.toml --set 'deeper: case.depth = 23 in' --set 'wide: case.width = 84 in'"
)


def wrote_a_design(out: str, folder: Path) -> bool:
    return (folder / "console.toml").read_text() == starter_text()


def found_designs(out: str, folder: Path) -> bool:
    named = {"01.toml", "found.csv", "trade-offs.svg", "answers.jsonl"}
    parse((folder / "found" / "01.toml").read_text())
    return named <= {path.name for path in (folder / "found").iterdir()}


def says(*words: str) -> Callable[[str, Path], bool]:
    return lambda out, folder: all(word in out for word in words)


#: Run here, in a folder with `console.toml` as `kit new` writes it: what it must come to.
RUN: dict[str, Callable[[str, Path], bool]] = {
    "kit new console.toml": wrote_a_design,
    "kit check console.toml": says("\n0 fail", "Not checked: "),
    "kit fix console.toml": says("Nothing to change: 0 fail"),
    "kit fix console.toml sag shelf-1": says("Nothing to change: 0 fail, 0 unknown, 0 watch, 1 ok"),
    SEARCH: found_designs,
    WHAT_IF: says("as drawn", "deeper", "wide", "84 in x 21 in x 22 in", "78 in x 23 in x 22 in"),
    "kit changes OLD NEW": says("divider-1"),
    "kit schema": lambda out, folder: all(key in json.loads(out) for key in SCHEMA),
}
#: Run here with less than they say, so that it takes seconds.
SMALLER = {
    SEARCH: ("70 in .. 96 in by 1/2 in", "78 in .. 78 in by 1/2 in"),
    "kit changes OLD NEW": ("OLD NEW", "console.toml narrower.toml"),
}
#: They end when the maker wants; what they would start is looked at here, and the tests that are
#: named start it.
STARTED = {
    "kit open console.toml": "tests/test_command_line.py",
    "kit open --app": "tests/browser/test_open.py",
}
#: Run by `test_documents_long.py`.
LONG = {"kit plan --out my-console", "kit plan console.toml --out console-pack"}
#: Not run by any test of ours, and why; each with what runs it, or with what it needs to be there.
NOT_HERE = {
    "uv run": ("is named, not told to be typed", "tests/test_strange_folder.py"),
    "python -m kit": ("is named, as what not to type", "tests/test_strange_folder.py"),
    "python3 -m pip install uv": ("changes the machine: a clean one runs it", ".ci/run"),
    "pytest": ("is what runs this: a clean machine runs it", ".ci/run"),
    "pytest tests/benchmarks": ("takes twenty minutes, and measures", "tests/benchmarks"),
    "jupyter lab notebooks/01-start-here.ipynb": (
        "ends when the maker wants: a browser works it",
        "tests/browser/test_desk_by_hand.py",
    ),
    "python tests/save_notebooks.py": ("changes this project", "tests/save_notebooks.py"),
    "python tests/save_pictures.py": ("changes this project", "tests/save_pictures.py"),
    "python tests/cold_start.py": ("fetches everything, and takes minutes", "tests/cold_start.py"),
    ".ci/run": ("is what runs this", ".ci/run"),
    "kit search --cluster": ("wants a cluster: one of this machine", "tests/test_search.py"),
    "pytest --cov=kit --cov-report=term-missing:skip-covered": ("runs all the tests", ".ci/run"),
    "uv sync --group fuzz": ("changes the machine", "pyproject.toml"),
    "python tests/fuzz/fuzz_readers.py design 300": ("takes minutes", "tests/fuzz/test_fuzz.py"),
    "python tests/random_designs.py 10000 --seed 2": (
        "takes half an hour",
        "tests/test_properties.py",
    ),
    "python tests/limits.py": ("takes an hour", "tests/test_limits.py"),
    "python tests/wrong_names.py 2000": ("takes minutes", "tests/test_added_components.py"),
    "python tests/killing.py 50": ("takes minutes", "tests/test_faults_of_minutes.py"),
    "python tests/audit.py 60 --seed 31": ("takes minutes", "tests/test_audit.py"),
    "python tests/count_fixes.py --prove 50": ("takes hours", "tests/test_fixes.py"),
    "python tests/engine_consoles.py": (
        "takes minutes",
        "tests/test_three_dimensions.py",
    ),
    "python tests/outside_figures.py": ("runs there", "tests/test_outside_figures.py"),
    "python tests/licences.py": ("runs there", "tests/test_licences.py"),
}
NAMES = {"new", "check", "fix", "plan", "open", "changes", "search", "what-if", "schema"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    text = example_text()
    (tmp_path / "console.toml").write_text(text)
    narrower = text.replace('at = "22 1/2 in"', 'at = "22 in"')
    assert narrower != text
    (tmp_path / "narrower.toml").write_text(narrower)
    return tmp_path


def in_folder(folder: Path, *arguments: str) -> Seen:
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )


# --- commands ---------------------------------------------------------------------------------


def test_every_command_of_the_documents_stands_in_a_table() -> None:
    there = {command for document in DOCUMENTS for command in commands(document)}
    bare = {f"kit {name}" for name in NAMES}  # named in a sentence: its options are asked below
    tables = {*RUN, *STARTED, *LONG, *NOT_HERE}
    assert there | bare == tables | bare
    assert set(SMALLER) <= set(RUN)
    for reason, needed in NOT_HERE.values():
        assert reason
        assert (ROOT / needed).exists()
    assert all((ROOT / test).exists() for test in STARTED.values())


def asked(command: str, folder: Path) -> list[str]:
    """The arguments of a command that is run, in a folder made ready for it."""
    if command == "kit new console.toml":
        (folder / "console.toml").unlink()
    old, new = SMALLER.get(command, ("", ""))
    assert old in command
    return kit_arguments(command.replace(old, new, 1))


@pytest.mark.parametrize("command", RUN)
def test_a_command_does_what_the_documents_say(
    command: str,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(folder)
    monkeypatch.setattr("kit.search.processors", lambda: 1)  # its workers are slow to start
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        code = main(asked(command, folder))
    told = capsys.readouterr()
    assert code == 0, told.err
    assert RUN[command](told.out, folder), told.out


@pytest.mark.parametrize("command", STARTED)
def test_what_a_command_would_start(
    command: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = []
    monkeypatch.chdir(folder)
    for name in ("open_app", "open_lab"):
        monkeypatch.setattr(launch, name, lambda *asked, by=name: seen.append((by, *asked)) or 0)
    assert main(kit_arguments(command)) == 0
    ((by, shown, options),) = seen
    assert by == ("open_app" if "--app" in command else "open_lab")
    assert shown is None or (folder / shown).is_file()
    assert options == []


def test_every_command_and_option_that_is_named_is_there(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(SystemExit, match="0"):
        main(["--help"])
    told = capsys.readouterr().out
    assert set(re.findall(r"^    ([a-z-]+) ", told, re.M)) == NAMES
    for name in NAMES:
        with pytest.raises(SystemExit, match="0"):
            main([name, "--help"])
        told += capsys.readouterr().out
    tests = list((ROOT / "tests").rglob("*.py"))
    told += "".join(path.read_text() for path in tests)
    for document in DOCUMENTS:
        for span in spans(document):
            if span.startswith("--"):
                assert re.search(rf"{re.escape(span.split()[0])}\b", told), span


def test_a_snippet_runs(folder: Path) -> None:
    found = [snippet for document in DOCUMENTS for snippet in snippets(document)]
    assert found
    for language, code in found:
        assert language == "python"
        seen = in_folder(folder, "-c", code)
        assert (seen.returncode, seen.stderr) == (0, "")
        lines = seen.stdout.splitlines()
        assert len(lines) > 200
        assert lines[0].startswith("watch ")
        assert lines[-1].startswith("ok ")


# --- what is named ----------------------------------------------------------------------------


def test_links_lead_somewhere() -> None:
    found = [link for document in DOCUMENTS for link in links(document)]
    assert found
    for link in found:
        assert (ROOT / link).is_file(), link


def test_the_notebooks_of_the_table_are_those_of_the_folder() -> None:
    named = [cells[0].strip("`") for cells in rows("README.md", "notebook")]
    assert named == sorted(path.stem for path in (ROOT / "notebooks").glob("*.ipynb"))


def test_goals_limits_and_papers_that_are_named_are_those_there_are() -> None:
    readme = (ROOT / "README.md").read_text()

    def listed(pattern: str) -> list[str]:
        found = re.search(pattern, readme)
        assert found, pattern
        return re.split(r", | and | or ", found[1])

    assert {Goal.read(word) for word in listed(r"Goals are ([^;]*);")} == set(Goal)
    values = {"width": "1 m", "depth": "1 m", "height": "1 m", "sag": "1 mm"}
    limits = listed(r"the most that ([^;]*) may be;")
    for word in limits:
        Limit.read(f"{word} = {values.get(word, '1')}")
    with pytest.raises(ValueError, match=f"there are {', '.join(limits)}, and"):
        Limit.read("love = 1")
    assert set(listed(r"`--paper` chooses ([^.]*)\.")) == {paper.value for paper in Paper}


def test_extras_and_groups_that_are_named_are_there() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    named = {
        extra[1]
        for document in DOCUMENTS
        for span in spans(document)
        if (extra := re.fullmatch(r"casework-kit\[(\w+)\]", span))
    }
    assert named == set(project["optional-dependencies"])


#: What looks like the path of a file here and is none.
NO_PATHS = {"3/4", "plan_pack.py", "dxf/BOARD.dxf"}
OURS = re.compile(r"[\w./*-]+(?:/|\.py|\.toml|\.csv|\.typ|\.ipynb|\.yml|/[\w.-]+)")


def test_files_and_folders_that_developers_are_led_to_are_there() -> None:
    kept = [
        p.relative_to(ROOT).as_posix() for top in ("kit", "tests") for p in ROOT.glob(f"{top}/**/*")
    ]
    led = [s for s in spans("DEVELOPERS.md") if OURS.fullmatch(s) and s not in NO_PATHS]
    assert len(led) > 50
    for path in led:
        direct = any(ROOT.glob(path)) or any((ROOT / "kit").glob(path))
        assert direct or any(f"/{there}".endswith(f"/{path.rstrip('/')}") for there in kept), path


def test_names_of_the_code_that_developers_are_told_are_there() -> None:
    code = [path.read_text() for path in ROOT.glob("kit/**/*.py")]
    dotted = re.compile(r"(\w+)\.(\w+)(?:\(.*\))?")
    named = [found for span in spans("DEVELOPERS.md") if (found := dotted.fullmatch(span))]
    named = [found for found in named if found[1][0].isupper()]
    assert len(named) > 4
    for found in named:
        here = [text for text in code if re.search(rf"^class {found[1]}\b", text, re.M)]
        assert any(re.search(rf"\b(?:def )?{found[2]}[(:]", text) for text in here), found[0]
