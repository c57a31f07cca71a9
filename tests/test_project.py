"""The project's own files agree with each other."""

import re
import tomllib
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())


def test_conda_users_get_the_same_packages():
    lines = (ROOT / "environment.yml").read_text().splitlines()
    listed = {line.strip()[2:] for line in lines if re.match(r"\s+- [a-z]", line)}
    pip = {line for line in listed if not line.startswith(("python", "pip", "conda-forge"))}
    assert pip - {"-e ."} == set(PROJECT["project"]["dependencies"])
    assert f"python{PROJECT['project']['requires-python']}" in listed


def test_every_package_that_is_named_has_a_least_and_a_greatest_version():
    project = PROJECT["project"]
    listed = [
        PROJECT["build-system"]["requires"],
        project["dependencies"],
        *project["optional-dependencies"].values(),
        *PROJECT["dependency-groups"].values(),
    ]
    for line in (line for lines in listed for line in lines):
        bounds = {bound.operator for bound in Requirement(line).specifier}
        assert bounds == {">=", "<"}, line


def test_a_maker_is_not_sent_the_packages_of_the_developers():
    for line in re.findall(r"^    (.*uv run .*)$", (ROOT / "README.md").read_text(), re.M):
        command = line.partition("uv run ")[2]
        assert command.startswith("--no-dev ") != ("pytest" in command or "tests/" in command), line


def test_python_is_pinned_to_a_version_that_is_allowed():
    assert (ROOT / ".python-version").read_text() == "3.12\n"
    assert PROJECT["project"]["requires-python"].startswith(">=3.12")


def test_the_test_command_of_the_readme_is_what_ci_runs():
    commands = re.findall(r"^    (python3 -m pip .*)$", (ROOT / "README.md").read_text(), re.M)
    assert commands == [
        "python3 -m pip install uv && uv run --no-dev kit plan --out my-console",
        "python3 -m pip install uv && uv run pytest",
    ]
    ci = (ROOT / ".ci" / "run").read_text()
    assert "\nexport CI=true\n" in ci[: ci.index(f"'{commands[1]}'")]  # all lanes, all examples


def test_examples_are_counted_in_one_place():
    by_hand = re.compile(r"\bmax_exam" r"ples\b")
    counting = [p.name for p in (ROOT / "tests").rglob("*.py") if by_hand.search(p.read_text())]
    assert counting == ["profiles.py"]


def test_every_room_stands_in_the_table_for_developers():
    text = (ROOT / "DEVELOPERS.md").read_text()
    for path in (ROOT / "kit").iterdir():
        if path.name not in {"__init__.py", "__pycache__", "py.typed"}:
            name = f"{path.name}/" if path.is_dir() else path.name
            assert f"`{name}`" in text, name
