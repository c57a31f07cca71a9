"""Kills `kit plan`, and a save, at random moments: old files stay whole, or there are new ones.

python tests/killing.py 50      so many of each
"""

import hashlib
import json
import random
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from kit.__main__ import main
from kit.design_file import read, write
from kit.plan_pack import files

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


def fill(folder, casework, design_text, **_):
    """A pack of two files, in the place of `files.fill`: what is slow is left out."""
    (folder / "design.toml").write_text(design_text)
    (folder / "manifest.json").write_text(files.manifest(folder, casework, files.Released()))
    return None, None


def assert_whole(folder: Path) -> dict[str, bytes]:
    """Every file of a pack is there, as its manifest says, and no other."""
    there = {p.relative_to(folder).as_posix(): p.read_bytes() for p in files.files_in(folder)}
    listed = json.loads(there["manifest.json"])["sha256"]
    assert set(listed) == set(there) - {"manifest.json"}
    for name, digest in listed.items():
        assert hashlib.sha256(there[name]).hexdigest() == digest, name
    return there


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


if __name__ == "__main__":
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
