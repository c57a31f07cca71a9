"""The kit as it is installed: its wheel, in an environment that holds nothing of this folder.

The wheel is built and installed by uv, with everything that it names and nothing else: no test
or developer's package, no editable install, no PYTHONPATH. Versions are those of the
environment that the tests run in, so uv links them out of its cache instead of fetching them.
What is not bare: the interpreter and the libraries of the system are those of this machine.
"""

import json
import os
import shutil
import subprocess
import sys
import zipfile
from email.parser import HeaderParser
from importlib.metadata import distributions
from pathlib import Path

import nbformat
import pytest
from machine import LAB, missing, of_its_own, serving

from kit.__main__ import main
from kit.design_file import example_text

pytestmark = pytest.mark.minutes

ROOT = Path(__file__).parents[1]
NAME = "casework-kit"


def uv(*arguments):
    """Run uv, without the network if that will do."""
    program = os.environ.get("UV") or shutil.which("uv")
    if program is None:
        missing("the program uv")
    for network in ("--offline",), ():
        done = subprocess.run(
            [program, *arguments, *network], capture_output=True, text=True, check=False
        )
        if done.returncode == 0:
            return
    raise AssertionError(done.stderr)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    uv("build", "--wheel", "--out-dir", str(folder), str(ROOT))
    (built,) = folder.glob("*.whl")
    return built


class Bare:
    """An environment with the wheel in it, and a folder to work in, far from the project."""

    def __init__(self, folder, wheel):
        self.environment, self.folder = folder / "environment", folder / "work"
        self.folder.mkdir()
        versions = folder / "versions.txt"
        versions.write_text(
            "\n".join(f"{one.name}=={one.version}" for one in distributions() if one.name != NAME)
        )
        uv("venv", "--python", sys.executable, str(self.environment))
        python = self.environment / "bin" / "python"
        uv("pip", "install", "--python", str(python), "-c", str(versions), str(wheel))
        self.variables = of_its_own(folder / "jupyter")
        for name in ("PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV"):
            self.variables.pop(name, None)

    def run(self, program, *arguments):
        """Run a program of the environment; what it printed."""
        done = subprocess.run(
            [self.environment / "bin" / program, *arguments],
            cwd=self.folder,
            env=self.variables,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout


@pytest.fixture(scope="module")
def bare(tmp_path_factory, wheel):
    made = Bare(tmp_path_factory.mktemp("bare"), wheel)
    yield made
    shutil.rmtree(made.environment)  # two gigabytes, where they are not links into uv's cache


def test_the_wheel_holds_every_file_of_the_package_and_the_command(wheel):
    with zipfile.ZipFile(wheel) as held:
        names = set(held.namelist())
        (about,) = (name for name in names if name.endswith(".dist-info/METADATA"))
        metadata = HeaderParser().parsestr(held.read(about).decode())
        commands = held.read(about.replace("METADATA", "entry_points.txt")).decode().split()
    kinds = {".py", ".csv", ".toml", ".typ", ".ipynb"}
    files = {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "kit").rglob("*")
        if path.suffix in kinds and not any(part.startswith(".") for part in path.parts)
    }
    assert {"kit/data/example.toml", "kit/data/desk.ipynb", "kit/plan_pack/plan.typ"} < files
    assert {name for name in names if ".dist-info/" not in name} == files
    assert metadata["Name"] == NAME
    assert metadata["License-Expression"] == "MIT"
    assert commands == ["[console_scripts]", "kit", "=", "kit.__main__:main"]


def test_the_kit_that_runs_is_the_installed_one(bare):
    where = bare.run("python", "-c", "import kit; print(kit.__file__)")
    assert Path(where.strip()).is_relative_to(bare.environment)
    found = bare.run("python", "-c", "import sys; print(*sys.path, sep=chr(10))").splitlines()
    assert not [path for path in found if path and ROOT in (Path(path), *Path(path).parents)]


def test_check_says_what_it_says_here(bare, capsys):
    assert main(["check"]) == 0
    assert bare.run("kit", "check") == capsys.readouterr().out


def test_plan_writes_a_released_pack(bare):
    bare.run("kit", "plan", "--out", "pack")
    pack = bare.folder / "pack"
    manifest = json.loads((pack / "manifest.json").read_text())
    assert manifest["released"] is True
    assert {"plan.pdf", "model.step", "model.glb", "labels.pdf"} < set(manifest["sha256"])
    assert (pack / "design.toml").read_text() == example_text()


def test_the_desk_opens_and_runs(bare):
    """What `kit open` has written is run by the kernel that it would be run by."""
    bare.run("kit", "new", "desk.toml")
    command = [str(bare.environment / "bin" / "kit"), "open", "desk.toml", *LAB]
    with serving(command, "/lab/tree/desk.ipynb?token=", bare.folder, bare.variables):
        pass
    bare.run("jupyter-execute", "--inplace", "desk.ipynb")
    (shows,) = (
        cell
        for cell in nbformat.read(bare.folder / "desk.ipynb", as_version=4).cells
        if cell.cell_type == "code"
    )
    assert 'desk("desk.toml")' in shows.source
    shown = [output.get("data", {}) for output in shows.outputs]
    assert any("application/vnd.jupyter.widget-view+json" in data for data in shown)
    kept = "".join(data.get("text/html", "") for data in shown)
    assert "78 in wide" in kept
    assert 'class="kit-cut-list"' in kept
    assert "<img " in kept
