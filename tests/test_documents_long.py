"""The commands of the documents as a reader starts them, the long ones too."""

import re
from pathlib import Path

import pytest
from documents import kit_arguments, rows
from test_documents import LONG, RUN, asked, folder, in_folder

pytestmark = pytest.mark.minutes

__all__ = ["folder"]

#: In a pack only where the design has what it wants: readings, holes to add.
SOMETIMES = {"as-built.csv", "cable-holes.csv"}


def told_files() -> list[re.Pattern[str]]:
    """The files of a pack by the table of the README, its capital letters any words."""
    cells = ", ".join(cells[0] for cells in rows("README.md", "file"))
    names = re.findall(r"`([^`]+)`", cells)
    return [re.compile(re.sub(r"BOARD|\bN\b", "[^/]+", re.escape(name))) for name in names]


@pytest.mark.parametrize("command", RUN)
def test_a_command_runs_by_itself(command: str, folder: Path) -> None:
    seen = in_folder(folder, "-m", "kit", *asked(command, folder))
    assert seen.returncode == 0, seen.stderr
    assert "Traceback" not in seen.stderr
    assert "Warning" not in seen.stderr
    assert RUN[command](seen.stdout, folder), seen.stdout


@pytest.mark.parametrize("command", sorted(LONG))
def test_a_pack_holds_the_files_that_the_table_names(command: str, folder: Path) -> None:
    seen = in_folder(folder, "-m", "kit", *kit_arguments(command))
    assert seen.returncode == 0, seen.stderr
    assert "Traceback" not in seen.stderr
    assert "Warning" not in seen.stderr
    pack = folder / command.split()[-1]
    there = {p.relative_to(pack).as_posix() for p in pack.rglob("*") if p.is_file()}
    told = told_files()
    assert [name for name in there if not any(one.fullmatch(name) for one in told)] == []
    for one in told:
        if one.pattern not in {re.escape(name) for name in SOMETIMES}:
            assert any(one.fullmatch(name) for name in there), one.pattern
