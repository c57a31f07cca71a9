"""What tests take from the machine: programs that may be missing, and servers they start."""

import os
import queue
import re
import signal
import socket
import subprocess
import threading
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NoReturn

import pytest

LOOPBACK = "127.0.0.1"
#: Options of `kit open` for a test: no browser of the desktop, and any port.
LAB = ("--no-browser", "--allow-root", "--port=0")


def missing(what: str) -> NoReturn:
    """Skip where a developer has not got it; on the build machine that is a failure."""
    if os.environ.get("CI"):
        pytest.fail(f"{what} is missing, and the environment variable CI is set")
    pytest.skip(f"{what} is missing")


def of_its_own(home: Path) -> dict[str, str]:
    """The environment of a server that keeps what it writes, and its settings, below `home`."""
    return (
        dict(os.environ)
        | {
            f"JUPYTER_{name}_DIR": str(home / name.lower())
            for name in ("CONFIG", "DATA", "RUNTIME")
        }
        | {
            "JUPYTERLAB_SETTINGS_DIR": str(home / "settings"),
            "JUPYTERLAB_WORKSPACES_DIR": str(home / "workspaces"),
        }
    )


@contextmanager
def serving(
    command: Sequence[str], path: str, home: Path, variables: Mapping[str, str] | None = None
) -> Iterator[str]:
    """Run a server in the folder `home`: where it serves what begins with `path`.

    It is ended as by Ctrl-C. Raises AssertionError where it does not end well then.
    """
    process = subprocess.Popen(
        command,
        cwd=home,
        env=variables or of_its_own(home / "jupyter"),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        yield address(process, path)
    finally:
        process.send_signal(signal.SIGINT)
        code = process.wait(timeout=120)
    assert code == 0


def free_port() -> int:
    """A port of this machine that nobody listens at."""
    with socket.socket() as asked:
        asked.bind((LOOPBACK, 0))
        return int(asked.getsockname()[1])


def address(process: subprocess.Popen[str], path: str) -> str:
    """Where a server says on stderr that it listens, with its token.

    Its further words are read and dropped. Raises AssertionError where it ends without a word.
    """
    lines: queue.Queue[str] = queue.Queue()

    def read() -> None:
        assert process.stderr is not None
        for line in process.stderr:
            lines.put(line)
        lines.put("")

    threading.Thread(target=read, daemon=True).start()
    told = []
    while line := lines.get(timeout=240):
        told.append(line)
        if found := re.search(rf"http://{re.escape(LOOPBACK)}:\d+{re.escape(path)}\w*", line):
            return found[0]
    raise AssertionError("the server ended: " + "".join(told))
