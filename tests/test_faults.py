"""Faults: killed processes, full disks, crashes of the kernel. Old files stay whole, or new ones.

    python tests/test_faults.py 50      kills `kit plan` and a save at 50 random moments each
"""

import hashlib
import json
import os
import random
import resource
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from kit import solid
from kit.__main__ import main
from kit.design_file import example_text, parse, read, write
from kit.errors import OutputError, SolidError
from kit.plan_pack import files, swap, trial, write_pack
from kit.plan_pack.swap import swap_in
from kit.plan_pack.trial import tried

#: A small piece, so that a pack of it is soon written.
SMALL = """name = "Leaflet shelf"
[case]
width = "400 mm"
height = "350 mm"
depth = "300 mm"
stock = "birch-ply-18"
[shop]
units = "mm"
"""


def run(*arguments, **more):
    return subprocess.run(
        [sys.executable, "-m", "kit", *map(str, arguments)],
        capture_output=True, text=True, check=False, **more,
    )  # fmt: skip


def assert_whole(folder: Path) -> dict[str, bytes]:
    """Every file of a pack is there, as its manifest says, and no other."""
    there = {p.relative_to(folder).as_posix(): p.read_bytes() for p in files.files_in(folder)}
    listed = json.loads(there["manifest.json"])["sha256"]
    assert set(listed) == set(there) - {"manifest.json"}
    for name, digest in listed.items():
        assert hashlib.sha256(there[name]).hexdigest() == digest, name
    return there


@pytest.fixture(scope="module")
def pack(tmp_path_factory):
    """A pack of the small piece, to be copied."""
    folder = tmp_path_factory.mktemp("faults") / "pack"
    (folder.parent / "small.toml").write_text(SMALL)
    assert main(["plan", str(folder.parent / "small.toml"), "--out", str(folder)]) in (0, 1)
    return folder


# --- killed ---------------------------------------------------------------------------


def kill_plans(count: int, pack: Path, place: Path, chance: random.Random) -> tuple[int, int]:
    """Kill `kit plan` into a pack at random moments: (how many were killed, how many were new)."""
    (place / "new.toml").write_text(SMALL.replace("400 mm", "401 mm"))
    folder = place / "pack"
    killed = new = 0
    took = 0.0
    for _ in range(count):
        shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(pack, folder)
        begin = time.monotonic()
        command = [sys.executable, "-m", "kit", "plan", place / "new.toml", "--out", folder]
        with subprocess.Popen(
            command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        ) as process:
            try:
                process.wait(chance.uniform(0, took * 1.02) if took else None)
            except subprocess.TimeoutExpired:
                process.kill()
                killed += 1
        took = took or time.monotonic() - begin
        width = read(folder / "design.toml").case.width
        assert width in (400.0, 401.0)
        new += width == 401.0
        assert_whole(folder)
    return killed, new


SAVES = """
import sys
from kit.design_file import write
texts = [f"{letter * 200}\\n" * 400 for letter in "ab"]
print("go", flush=True)
while True:
    for text in texts:
        write(sys.argv[1], text)
"""


def kill_saves(count: int, place: Path, chance: random.Random) -> int:
    """Kill a process that saves over and over: how many files held the later text."""
    whole = [f"{letter * 200}\n" * 400 for letter in "ab"]
    later = 0
    for _ in range(count):
        write(place / "a.toml", whole[0])
        command = [sys.executable, "-c", SAVES, place / "a.toml"]
        with subprocess.Popen(command, stdout=subprocess.PIPE) as process:
            assert process.stdout is not None
            process.stdout.readline()
            time.sleep(chance.uniform(0, 0.1))
            process.kill()
        text = (place / "a.toml").read_text()
        assert text in whole
        later += text == whole[1]
    return later


def test_a_save_that_is_killed_leaves_the_old_file_or_the_new_one(tmp_path):
    kill_saves(3, tmp_path, random.Random(1))


def test_a_plan_that_is_killed_leaves_the_old_pack_or_the_new_one(pack, tmp_path, monkeypatch):
    """Killed at the very swap, which by chance is hardly ever met; see `main` for the others."""
    shutil.copytree(pack, tmp_path / "pack")
    shutil.copytree(pack, tmp_path / "fresh")
    (tmp_path / "fresh" / "design.toml").write_text("new")
    code = (
        "import sys; from pathlib import Path; from kit.plan_pack.swap import swap_in\n"
        "print('go', flush=True)\n"
        "while True: swap_in(Path(sys.argv[1]), Path(sys.argv[2]))"
    )
    command = [sys.executable, "-c", code, tmp_path / "fresh", tmp_path / "pack"]
    with subprocess.Popen(command, stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        process.stdout.readline()
        seen = {(tmp_path / "pack" / "manifest.json").exists() for _ in range(3000)}
        process.kill()
    assert seen == {True}


# --- swapped --------------------------------------------------------------------------


@pytest.mark.parametrize("can_exchange", [True, False])
def test_a_folder_is_swapped_in_whatever_the_system_can_do(tmp_path, monkeypatch, can_exchange):
    if not can_exchange:
        monkeypatch.setattr(swap, "_exchanged", lambda one, other: False)
    fresh, place = tmp_path / "fresh", tmp_path / "place"
    for text in ("one", "two"):
        fresh.mkdir()
        (fresh / "a").write_text(text)
        swap_in(fresh, place)
        assert (place / "a").read_text() == text
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

    def fill(folder, casework, design_text, **_):
        (folder / "design.toml").write_text(design_text)
        stands = files.Released()
        (folder / "manifest.json").write_text(files.manifest(folder, casework, stands))
        return None, files.Book

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


def test_a_file_that_comes_while_a_pack_is_written_is_not_lost(soon, tmp_path, example, monkeypatch):
    folder, fill = tmp_path / "pack", files.fill

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
    write_pack(example, "two", tmp_path / "pack")
    assert (tmp_path / "mine.txt").read_text() == "mine"
    assert not (tmp_path / "pack" / "design.toml").is_symlink()
    (tmp_path / "pack" / "far").symlink_to(tmp_path / "mine.txt")
    with pytest.raises(OutputError, match=r"\(far\)"):
        write_pack(example, "three", tmp_path / "pack")


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


def test_two_runs_into_one_folder_leave_one_pack_whole(soon, tmp_path):
    """The slow part is left out, so that both get to the swap again and again."""
    code = (
        "import sys; from test_faults import soon; from kit.casework import build\n"
        "from kit.design_file import parse, example_text; from kit.errors import OutputError\n"
        "from kit.plan_pack import files, write_pack; import pytest\n"
        "soon.__wrapped__(pytest.MonkeyPatch()); work = build(parse(example_text()))\n"
        "for n in range(60): write_pack(work, f'{sys.argv[2]}{n}', sys.argv[1])\n"
    )
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", code, tmp_path / "pack", letter],
            env=os.environ | {"PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
        )
        for letter in "ab"
    ]
    assert [run.wait(timeout=120) for run in runs] == [0, 0]
    there = assert_whole(tmp_path / "pack")
    assert there["design.toml"] in (b"a59", b"b59")
    assert [p.name for p in tmp_path.iterdir()] == ["pack"]


# --- full and write-protected ---------------------------------------------------------


def full(largest: int):
    """For a child: no file may grow beyond that many bytes, as on a disk that is full."""
    return lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (largest, largest))


@pytest.mark.parametrize("largest", [0, 3_000, 100_000])
def test_a_plan_on_a_full_disk_leaves_the_old_pack(pack, tmp_path, largest):
    shutil.copytree(pack, tmp_path / "pack")
    (tmp_path / "new.toml").write_text(SMALL.replace("400 mm", "401 mm"))
    before = assert_whole(tmp_path / "pack")
    done = run(
        "plan", tmp_path / "new.toml", "--out", tmp_path / "pack", preexec_fn=full(largest)
    )  # fmt: skip
    assert done.returncode == 2, done.stderr
    assert "Traceback" not in done.stderr
    assert "cannot be written" in done.stderr.splitlines()[-1]
    assert assert_whole(tmp_path / "pack") == before
    assert sorted(p.name for p in tmp_path.iterdir()) == ["new.toml", "pack"]


def test_a_new_file_on_a_full_disk_is_not_begun(tmp_path):
    done = run("new", tmp_path / "a.toml", preexec_fn=full(100))
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert "cannot be written" in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_model_that_the_disk_has_no_room_for_is_no_model(example, tmp_path, monkeypatch):
    """The kernel writes its files itself, and says little of what went wrong."""
    code = (
        "import sys, resource; from pathlib import Path; from kit import solid\n"
        "from kit.casework import build; from kit.design_file import example_text, parse\n"
        "from kit.errors import OutputError; work = build(parse(example_text()))\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (20000, 20000))\n"
        "for write, name in ((solid.write_step, 'a.step'), (solid.write_glb, 'a.glb')):\n"
        "    try: write(work, Path(sys.argv[1]) / name)\n"
        "    except OutputError as error: print(error)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, tmp_path], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    for name in ("a.step", "a.glb"):
        assert f"{name} cannot be written" in done.stdout
    assert list(tmp_path.iterdir()) == []


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


@pytest.mark.parametrize("fault", FAULTS)
def test_a_kernel_that_crashes_or_hangs_is_told_by_the_name_of_the_board(
    fault, tmp_path, monkeypatch, capsys
):
    monkeypatch.setattr(trial, "LONGEST_S", 1)
    monkeypatch.setattr(
        trial,
        "PROGRAM",
        "import sys; from types import ModuleType; fake = sys.modules['kit.solid'] = "
        "ModuleType('kit.solid')\n"
        "def solid(board):\n"
        f"    if board.name == 'divider-2': {FAULTS[fault]}\n"
        "fake.solid = solid\n"
        "from kit.plan_pack import trial; trial.LONGEST_S = 1; trial.make()",
    )
    assert main(["plan", "--out", str(tmp_path / "pack")]) == 2
    told = capsys.readouterr().err.splitlines()[-1]
    assert told.startswith("kit: divider-2 (")
    assert f"cannot be made solid: the kernel {fault}. Move or take out one of its cuts." in told
    assert list(tmp_path.iterdir()) == []


def test_an_error_of_the_kernel_is_told_by_the_name_of_the_board(
    tmp_path, monkeypatch, capsys, example
):
    real, bad = solid.body._cut, example.by_name["shelf-1"]

    def broken(size, cutters):
        if size == pytest.approx((bad.length, bad.width, bad.thickness)):
            raise RuntimeError("BRep_API: command not done")
        return real(size, cutters)

    monkeypatch.setattr(solid.body, "_cut", broken)
    with pytest.raises(SolidError, match=r"^shelf-1 \(.*BRep_API"):
        solid.solid(bad)


def test_boards_that_can_be_made_are_let_through():
    work = parse(SMALL)
    from kit.casework import build

    with tried(build(work).boards) as wait:
        wait(lambda: False)


if __name__ == "__main__":
    import tempfile

    many = int(sys.argv[1])
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        (place / "small.toml").write_text(SMALL)
        first = place / "first"
        assert main(["plan", str(place / "small.toml"), "--out", str(first)]) in (0, 1)
        killed, new = kill_plans(many, first, place, random.Random(1))
        print(f"{many} plans, {killed} killed at random moments: {many - new} old packs, "
              f"{new} new ones, all whole")  # fmt: skip
        later = kill_saves(many, place, random.Random(1))
        print(f"{many} saves killed at random moments: {many - later} old files, {later} new ones, "
              "all whole")  # fmt: skip
