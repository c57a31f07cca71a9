"""Faults through whole packs: two runs at once, a full disk, a kernel that crashes or hangs."""

import os
import random
import resource
import shutil
import subprocess
import sys

import pytest
from killing import SMALL, assert_whole, kill_plans, kill_saves
from test_faults import FAULTS, faulty

from kit.__main__ import main
from kit.casework import build
from kit.design_file import parse
from kit.plan_pack.trial import tried

pytestmark = pytest.mark.minutes


def run(*arguments, **more):
    return subprocess.run(
        [sys.executable, "-m", "kit", *map(str, arguments)],
        capture_output=True, text=True, check=False, **more,
    )  # fmt: skip


@pytest.fixture(scope="module")
def pack(tmp_path_factory):
    """A pack of the small piece, to be copied."""
    folder = tmp_path_factory.mktemp("faults") / "pack"
    (folder.parent / "small.toml").write_text(SMALL)
    assert main(["plan", str(folder.parent / "small.toml"), "--out", str(folder)]) in (0, 1)
    return folder


# --- killed ---------------------------------------------------------------------------


def test_what_is_killed_leaves_the_old_files_or_the_new_ones(pack, tmp_path):
    kill_plans(2, pack, tmp_path, random.Random(1))
    kill_saves(4, tmp_path, random.Random(1))


def test_a_pack_is_there_at_every_moment_of_a_swap(pack, tmp_path):
    """A kill at the very swap is hardly ever met by chance."""
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


def test_two_runs_into_one_folder_leave_one_pack_whole(tmp_path):
    """The slow part is left out, so that both get to the swap again and again."""
    code = (
        "import sys; from killing import fill; from kit.casework import build\n"
        "from kit.design_file import example_text, parse; from kit.plan_pack import files\n"
        "from kit.plan_pack import write_pack; files.fill = fill\n"
        "work = build(parse(example_text()))\n"
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


@pytest.mark.parametrize("same", [True, False])
def test_two_plans_into_one_folder_at_once(pack, tmp_path, same):
    """As a maker may start them: each ends with its pack, and the later one is there."""
    for width in ("401 mm", "402 mm"):
        (tmp_path / f"{width[:3]}.toml").write_text(SMALL.replace("400 mm", width))
    if same:
        shutil.copytree(pack, tmp_path / "pack")
    runs = [
        subprocess.Popen(
            [
                sys.executable,
                "-m",
                "kit",
                "plan",
                tmp_path / f"{n}.toml",
                "--out",
                tmp_path / "pack",
            ],
            stdout=subprocess.DEVNULL,
        )
        for n in (401, 402)
    ]
    assert {run.wait(timeout=300) for run in runs} <= {0, 1}
    assert_whole(tmp_path / "pack")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["401.toml", "402.toml", "pack"]


# --- full -----------------------------------------------------------------------------


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


# --- the kernel -----------------------------------------------------------------------


@pytest.mark.parametrize("fault", FAULTS)
def test_a_plan_tells_the_board_that_the_kernel_crashed_on(fault, tmp_path, monkeypatch, capsys):
    faulty(monkeypatch, fault, "divider-2")
    assert main(["plan", "--out", str(tmp_path / "pack")]) == 2
    told = capsys.readouterr().err.splitlines()[-1]
    assert told.startswith("kit: divider-2 (")
    assert f"cannot be made solid: the kernel {fault}. Move or take out one of its cuts." in told
    assert list(tmp_path.iterdir()) == []


def test_boards_that_can_be_made_are_let_through():
    with tried(build(parse(SMALL)).boards) as wait:
        wait(lambda: False)


# --- names ----------------------------------------------------------------------------


def test_a_whole_pack_of_hostile_names(tmp_path):
    """Plans, STEP and all: no file but those of a pack, none outside it, and every one is read."""
    from pypdf import PdfReader
    from test_hostile import held, named

    name = '<evil onload="x"/>]]>--></text>../../#evil()$x$\\=1+1\''
    (tmp_path / "a.toml").write_text(named(name))
    done = run("plan", tmp_path / "a.toml", "--out", tmp_path / "in" / "pack")
    assert done.returncode in (0, 1), done.stderr
    there = assert_whole(tmp_path / "in" / "pack")
    assert [p.name for p in (tmp_path / "in").iterdir()] == ["pack"]
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.toml", "in"]
    for file, content in there.items():
        kind = file.rpartition(".")[2]
        if kind in ("svg", "csv", "json", "dxf"):
            held(kind, content.decode())
    text = "".join(page.extract_text() for page in PdfReader(tmp_path / "in/pack/plan.pdf").pages)
    assert "#evil()$x$" in "".join(text.split())


AUDIT = """
import os, sys
told, allowed = [], sys.argv[1] + "/"
def note(event, args):
    if event in ("socket.connect", "socket.bind", "socket.getaddrinfo"):
        told.append(event)
    if event == "open" and isinstance(args[0], str) and (args[2] or 0) & (os.O_WRONLY | os.O_RDWR):
        place = os.path.abspath(args[0])
        if place != os.devnull and not place.startswith(allowed):
            told.append(place)
sys.addaudithook(note)
from kit.__main__ import main
code = main(["plan", sys.argv[1] + "/a.toml", "--out", sys.argv[1] + "/pack"])
sys.exit("; ".join(told) or code)
"""


def test_a_plan_writes_nowhere_else_and_asks_nobody(tmp_path):
    """Python tells of every file that it opens and of every connection (PEP 578)."""
    (tmp_path / "a.toml").write_text(SMALL)
    (tmp_path / "tmp").mkdir()
    done = subprocess.run(
        [sys.executable, "-c", AUDIT, tmp_path],
        capture_output=True,
        text=True,
        check=False,
        env=os.environ | {"TMPDIR": tmp_path / "tmp"},
    )
    assert done.returncode in (0, 1), done.stderr
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.toml", "pack", "tmp"]
    assert list((tmp_path / "tmp").iterdir()) == []
    assert done.stderr.splitlines()[-1].startswith("kit: 12 of 12"), done.stderr
