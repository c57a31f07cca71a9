"""Times the two commands of the README as a newcomer runs them: a fresh clone, Python and pip.

    python tests/cold_start.py [--warm] [plan] [pytest]     both commands where none is named

The clone is of what is committed here. It and a bare virtual environment lie in a temporary
folder, and so do the caches of pip and uv, so that everything is fetched anew; `--warm` takes
those of this machine. Prints seconds, and the kind of machine that they were seen on.
"""

import os
import platform
import subprocess
import sys
import tempfile
import time
import venv
from collections.abc import Mapping
from pathlib import Path

from documents import ROOT, text_of

BEGIN = "    python3 -m pip install uv && "
#: What would lead a command away from the clone, or have it do more than a newcomer asks for.
FOREIGN = ("PYTHONPATH", "VIRTUAL_ENV", "UV_PROJECT_ENVIRONMENT", "UV_PYTHON", "CI")


def main(wanted: list[str], *, warm: bool) -> int:
    """Print a row for each part of each command; 1 where one of them did not end well."""
    readme = text_of("README.md").splitlines()
    commands = [line.strip() for line in readme if line.startswith(BEGIN)]
    commands = [c for c in commands if not wanted or any(f" {word}" in c for word in wanted)]
    system = f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores"
    print(f"{system}, Python {platform.python_version()}, caches {'warm' if warm else 'empty'}")
    codes = []
    with tempfile.TemporaryDirectory() as folder:
        for number, command in enumerate(commands):
            place = Path(folder) / str(number)
            clone, variables = fresh(place, warm=warm)
            begin = time.monotonic()
            for part in command.split(" && "):
                print(f"{part} ...", flush=True)
                before = time.monotonic()
                codes.append(run(part, clone, variables))
                print(f"  {time.monotonic() - before:.0f} s, exit code {codes[-1]}", flush=True)
            print(f"in all {time.monotonic() - begin:.0f} s: {command}", flush=True)
    return int(any(codes))


def fresh(place: Path, *, warm: bool) -> tuple[Path, Mapping[str, str]]:
    """A clone in `place`, and the variables in which nothing but pip is installed."""
    clone, bare = place / "clone", place / "bare"
    subprocess.run(["git", "clone", "--quiet", str(ROOT), str(clone)], check=True)
    venv.create(bare, with_pip=True)
    programs = bare / ("Scripts" if os.name == "nt" else "bin")
    variables = {name: value for name, value in os.environ.items() if name not in FOREIGN}
    variables["PATH"] = os.pathsep.join((str(programs), variables["PATH"]))
    if not warm:
        variables |= {
            "PIP_CACHE_DIR": str(place / "pip"),
            "UV_CACHE_DIR": str(place / "uv"),
        }
    return clone, variables


def run(part: str, clone: Path, variables: Mapping[str, str]) -> int:
    """Run a part of a command; show the end of what it says where it does not end well."""
    done = subprocess.run(
        part, cwd=clone, env=variables, shell=True, capture_output=True, text=True, check=False
    )
    if done.returncode:
        print(*(done.stdout + done.stderr).splitlines()[-30:], sep="\n")
    return done.returncode


if __name__ == "__main__":
    asked = [word for word in sys.argv[1:] if word != "--warm"]
    sys.exit(main(asked, warm="--warm" in sys.argv))
