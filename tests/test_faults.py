"""Faults: killed processes, full disks, crashes of the kernel. Old files stay whole, or new ones.

What takes longer is in `test_faults_of_minutes`.
"""

import os
import random
import shutil
from pathlib import Path

import pytest
from killing import SMALL, fill, kill_saves

from kit import solid
from kit.casework import build
from kit.design_file import parse, write
from kit.errors import CancelledError, OutputError, SolidError
from kit.plan_pack import files, swap, trial, write_pack
from kit.plan_pack.swap import swap_in
from kit.plan_pack.trial import tried


def test_a_save_that_is_killed_leaves_the_old_file_or_the_new_one(tmp_path):
    kill_saves(1, tmp_path, random.Random(1))


# --- swapped --------------------------------------------------------------------------


@pytest.mark.parametrize("can_exchange", [True, False])
def test_a_folder_is_swapped_in_whatever_the_system_can_do(tmp_path, monkeypatch, can_exchange):
    if not can_exchange:
        monkeypatch.setattr(swap, "exchanged", lambda one, other: False)
    fresh, place = tmp_path / "fresh", tmp_path / "place"
    for text in ("one", "two"):
        fresh.mkdir()
        (fresh / "a").write_text(text)
        swap_in(fresh, place)
        assert (place / "a").read_text() == text
        assert not fresh.exists() or (fresh / "a").read_text() == "one"
        shutil.rmtree(fresh, ignore_errors=True)
    assert [p.name for p in tmp_path.iterdir()] == ["place"]
    with pytest.raises(FileNotFoundError):
        swap_in(tmp_path / "missing", place)
    assert (place / "a").read_text() == "two"
    assert [p.name for p in tmp_path.iterdir()] == ["place"]


# --- what is there --------------------------------------------------------------------


@pytest.fixture
def soon(monkeypatch):
    """Packs of two files, written at once."""
    monkeypatch.setattr(files, "fill", fill)


def test_a_file_of_the_maker_in_a_pack_is_not_lost(soon, tmp_path, example):
    folder = tmp_path / "pack"
    write_pack(example, "one", folder)
    (folder / "notes.txt").write_text("mine")
    with pytest.raises(OutputError, match=r"holds other files than a plan pack \(notes\.txt\)"):
        write_pack(example, "two", folder)
    assert (folder / "design.toml").read_text() == "one"
    (folder / "notes.txt").unlink()
    (folder / ".DS_Store").write_text("of the system")
    write_pack(example, "two", folder)
    assert (folder / "design.toml").read_text() == "two"


@pytest.mark.parametrize("manifest", ["{}", "[]", "null", '{"sha256": 1}', "[" * 9000, "\xff"])
def test_the_manifest_of_something_else_is_no_pack(soon, tmp_path, example, manifest):
    (tmp_path / "manifest.json").write_text(manifest, encoding="latin-1")
    with pytest.raises(OutputError, match=r"\(manifest\.json\)"):
        write_pack(example, "two", tmp_path)


def test_a_file_that_comes_while_a_pack_is_written_is_not_lost(
    soon, tmp_path, example, monkeypatch
):
    folder = tmp_path / "pack"

    def slow(*arguments, **more):
        folder.mkdir()
        (folder / "notes.txt").write_text("mine")
        return fill(*arguments, **more)

    monkeypatch.setattr(files, "fill", slow)
    with pytest.raises(OutputError, match=r"notes\.txt"):
        write_pack(example, "two", folder)
    assert [p.name for p in tmp_path.iterdir()] == ["pack"]
    assert (folder / "notes.txt").read_text() == "mine"


def test_links_are_neither_followed_nor_replaced(soon, tmp_path, example):
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to("real")
    with pytest.raises(OutputError, match="is a link; name the folder"):
        write_pack(example, "one", tmp_path / "link")
    write_pack(example, "one", tmp_path / "pack")
    (tmp_path / "mine.txt").write_text("mine")
    (tmp_path / "pack" / "design.toml").unlink()
    (tmp_path / "pack" / "design.toml").symlink_to(tmp_path / "mine.txt")
    with pytest.raises(OutputError, match=r"\(design\.toml\)"):
        write_pack(example, "two", tmp_path / "pack")
    assert (tmp_path / "pack" / "design.toml").is_symlink()
    (tmp_path / "pack" / "design.toml").unlink()
    (tmp_path / "pack" / "far").symlink_to(tmp_path / "mine.txt")
    with pytest.raises(OutputError, match=r"\(far\)"):
        write_pack(example, "three", tmp_path / "pack")
    assert (tmp_path / "mine.txt").read_text() == "mine"


@pytest.mark.parametrize("name", ["a\0b", "x" * 300])
def test_a_folder_that_cannot_be_named_is_one_sentence(soon, tmp_path, example, name):
    with pytest.raises(OutputError, match="cannot be"):
        write_pack(example, "one", tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_the_folder_one_stands_in_can_be_the_pack(soon, tmp_path, example, monkeypatch):
    (tmp_path / "in").mkdir()
    monkeypatch.chdir(tmp_path / "in")
    write_pack(example, "one", ".")
    assert (tmp_path / "in" / "design.toml").read_text() == "one"


# --- write-protected ------------------------------------------------------------------


def test_a_write_protected_file_is_left_alone(tmp_path, monkeypatch):
    path = tmp_path / "a.toml"
    path.write_text("old")
    path.chmod(0o444)
    monkeypatch.setattr(os, "access", lambda path, mode: False)  # root may write everywhere
    with pytest.raises(OutputError, match="write-protected"):
        write(path, "new")
    assert path.read_text() == "old"
    for other in (os.devnull, tmp_path):
        with pytest.raises(OutputError, match="is no file"):
            write(other, "new")
    assert Path(os.devnull).is_char_device()


def test_a_folder_that_nobody_may_write_in_is_one_sentence(soon, tmp_path, example, monkeypatch):
    def refused(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("tempfile.mkdtemp", refused)
    with pytest.raises(OutputError, match="Permission denied; make room for it, or choose"):
        write_pack(example, "one", tmp_path / "pack")


# --- the kernel -----------------------------------------------------------------------

FAULTS = {
    "crashed": "import os, signal; os.kill(os.getpid(), signal.SIGSEGV)",
    "took more than 1 s": "import time; time.sleep(60)",
}


def faulty(monkeypatch, fault: str, board: str) -> None:
    """Let the kernel of the child fail at a board; the kernel itself is not loaded."""
    monkeypatch.setattr(trial, "LONGEST_S", 1)
    monkeypatch.setattr(
        trial,
        "PROGRAM",
        "import sys; from types import ModuleType; fake = sys.modules['kit.solid'] = "
        "ModuleType('kit.solid')\n"
        "def solid(board):\n"
        f"    if board.name == {board!r}: {FAULTS[fault]}\n"
        "fake.solid = solid\n"
        "from kit.plan_pack import trial; trial.LONGEST_S = 1; trial.make()",
    )


@pytest.mark.slow
@pytest.mark.parametrize("fault", FAULTS)
def test_a_kernel_that_crashes_or_hangs_is_told_by_the_name_of_the_board(fault, monkeypatch):
    faulty(monkeypatch, fault, "side-left")
    boards = build(parse(SMALL)).boards
    says = rf"^side-left \(350\.0 x 300\.0 x 17\.\d mm\) cannot be made solid: the kernel {fault}"
    with tried(boards) as wait, pytest.raises(SolidError, match=says):
        wait(lambda: False)


def test_the_trial_of_the_kernel_is_stopped_when_asked(monkeypatch):
    faulty(monkeypatch, "took more than 1 s", "side-left")
    with tried(build(parse(SMALL)).boards) as wait, pytest.raises(CancelledError):
        wait(lambda: True)


def test_an_error_of_the_kernel_is_told_by_the_name_of_the_board(monkeypatch, example):
    real, bad = solid.body._cut, example.by_name["shelf-1"]

    def broken(size, cutters):
        if size == pytest.approx((bad.length, bad.width, bad.thickness)):
            raise RuntimeError("BRep_API: command not done")
        return real(size, cutters)

    monkeypatch.setattr(solid.body, "_cut", broken)
    with pytest.raises(SolidError, match=r"^shelf-1 \(.*BRep_API"):
        solid.solid(bad)
