"""What a command may load: a start is quick because it does without the rest."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import kit
import kit.commands
from kit.__main__ import main
from kit.commands import parser
from kit.design_file import example_text

PYDANTIC = {
    "pydantic",
    "pydantic_core",
    "annotated_types",
    "typing_extensions",
    "typing_inspection",
}
#: The rooms of the kit that the command line itself is made of.
PARSER = {"commands", "errors", "paper", "plain_text", "units"}
DESIGN = PARSER | {
    "board", "cabling", "components", "cutters", "design", "design_file", "finding", "gear",
    "geometry", "hardware", "joinery", "kinds", "limits", "materials", "media", "own_files", "room",
    "saving", "shop", "sources", "tables", "title_block", "toml_text",
}  # fmt: skip
CHECKS = DESIGN | {"casework", "checks", "edition", "routes"}

#: Command -> exit code, the packages of others that it may load, and the rooms of the kit.
MAY_LOAD: dict[str, tuple[int, set[str], set[str]]] = {
    "": (0, set(), PARSER),
    "--help": (0, set(), PARSER),
    "--version": (0, set(), PARSER),
    "chekc": (2, set(), PARSER),
    "check --help": (0, set(), PARSER),
    "plan --help": (0, set(), PARSER),
    "check --al --write": (2, set(), PARSER),
    "new new.toml": (0, PYDANTIC, DESIGN),
    "schema": (0, PYDANTIC, DESIGN),
    "check missing.toml": (2, PYDANTIC | {"numpy"}, CHECKS),
    "check": (0, PYDANTIC | {"numpy"}, CHECKS),
    "check console.toml --json": (0, PYDANTIC | {"numpy"}, CHECKS),
}


def loaded(folder: Path, *arguments: str) -> tuple[int, set[str]]:
    """The exit code of a Python program, and the modules that it loaded, by `-X importtime`."""
    command = [sys.executable, "-X", "importtime", *arguments]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    lines = [line.split("|") for line in done.stderr.splitlines() if line.startswith("import time")]
    return done.returncode, {line[2].strip() for line in lines[1:]}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("start")
    (made / "console.toml").write_text(example_text(), encoding="utf-8")
    return made


@pytest.fixture(scope="module")
def bare(folder: Path) -> set[str]:
    """What Python itself loads here, with what is installed beside it."""
    return loaded(folder, "-c", "pass")[1]


@pytest.mark.parametrize("command", MAY_LOAD)
def test_a_command_loads_what_it_may(command: str, folder: Path, bare: set[str]) -> None:
    wanted, packages, rooms = MAY_LOAD[command]
    code, modules = loaded(folder, "-m", "kit", *command.split())
    assert code == wanted
    assert {"kit", "kit.commands.parser"} <= modules
    tops = {module.partition(".")[0] for module in modules - bare}
    # a leading mark is a part of Python's own, as `_sysconfigdata_...` is
    others = {top for top in tops if not top.startswith("_")} - set(sys.stdlib_module_names)
    assert others - {"kit"} <= packages
    used = {module.split(".")[1] for module in modules if module.startswith("kit.")}
    assert used <= rooms | {"foreign_settings"}


def test_import_kit_loads_nothing_else(folder: Path, bare: set[str]) -> None:
    _, modules = loaded(folder, "-c", "import kit; dir(kit)")
    assert {m for m in modules - bare if m.partition(".")[0] not in sys.stdlib_module_names} == {
        "kit",
        "kit.foreign_settings",
    }


def test_only_names_of_kit_are_loaded_on_demand() -> None:
    """What type checkers read of `kit` is what it hands out, and what it lists."""
    tree = ast.parse(Path(kit.__file__).read_text(encoding="utf-8"))
    (guarded,) = (node for node in tree.body if isinstance(node, ast.If))
    told = {
        alias.name: str(node.module)
        for node in guarded.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    assert told == {name: f"kit.{home}" for name, home in kit._HOME.items()}
    assert sorted(told) == kit.__all__
    assert set(kit.__all__) <= set(dir(kit))
    for name, home in told.items():
        assert getattr(kit, name) is getattr(sys.modules[home], name)
    with pytest.raises(AttributeError, match="no attribute 'biuld'"):
        kit.biuld  # noqa: B018


def test_each_command_has_a_module_that_runs_it() -> None:
    _, names = parser._parser()
    modules = {path.stem for path in Path(kit.commands.__file__).parent.glob("*.py")}
    wanted = {name.replace("-", "_") for name in names}
    assert modules - {"__init__", "parser", "telling"} == wanted


def test_a_bare_kit_prints_its_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 0
    said = capsys.readouterr()
    with pytest.raises(SystemExit, match="0"):
        main(["--help"])
    assert said == capsys.readouterr()
    assert "check" in said.out


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("chekc", "there is no command 'chekc'; did you mean 'check'?"),
        ("whatif", "did you mean 'what-if'?"),
        ("qqqq", "`kit --help` lists those there are."),
        ("", "there is no command ''"),
    ],
)
def test_a_mistyped_command_offers_the_nearest(
    typed: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit, match="2"):
        main([typed, "console.toml"])
    said = capsys.readouterr()
    assert says in said.err
    assert said.out == ""


def test_the_version_is_that_of_the_project(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="0"):
        main(["--version"])
    project = (Path(kit.__file__).parent.parent / "pyproject.toml").read_text(encoding="utf-8")
    assert f'version = "{capsys.readouterr().out.split()[1]}"' in project
