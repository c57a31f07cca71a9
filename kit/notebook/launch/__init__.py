"""Start JupyterLab, or Voila, on the notebook of the design desk.

In JupyterLab it stands beside the design file and is written once; the app runs a fresh one.
`desk_notebook` has the notebook, `lab` and `app` what the kit asks of each server.
"""

import signal
import subprocess
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from enum import Enum
from importlib.util import find_spec
from os.path import lexists
from pathlib import Path
from tempfile import TemporaryDirectory
from types import FrameType

from kit.children import environment, python
from kit.design_file import write
from kit.errors import KitError
from kit.notebook.launch import desk_notebook

#: The notebook of the built-in example, in the current folder.
EXAMPLE = Path("design-desk.ipynb")


class Program(Enum):
    """What shows the desk: module, what it is called, how to get it, what starts it."""

    LAB = ("jupyterlab", "JupyterLab", "pip install jupyterlab", "lab.py")
    APP = ("voila", "Voila", "pip install 'casework-kit[app]'", "app.py")


def notebook_beside(design_file: Path | None, *, whatever_it_runs: bool = False) -> Path:
    """The notebook of the desk beside a design file, written where there is none yet.

    Raises KitError where what stands there would run anything else, unless that may be, and
    OutputError where it cannot be written.
    """
    path = EXAMPLE if design_file is None else design_file.with_suffix(".ipynb")
    text = desk_notebook.beside(design_file)
    if not lexists(path):
        write(path, text)
    elif not (whatever_it_runs or desk_notebook.is_own(path, text)):
        raise KitError(
            f"{path} is not, or no longer, the design desk as the kit writes it, and may run "
            "anything; to open it all the same, because you know what is in it, add --notebook."
        )
    return path


def open_lab(notebook: Path, options: Sequence[str] = ()) -> int:
    """Show a notebook in JupyterLab until it ends, or is ended by Ctrl-C; its exit code.

    Raises KitError where it is not installed.
    """
    with _started_in(Program.LAB) as folder:
        return _run(Program.LAB, folder, notebook.resolve(), options)


def open_app(design_file: Path | None, options: Sequence[str] = ()) -> int:
    """Show the desk of a design file, or of the example, as an app; else as `open_lab`.

    The app reads and writes below the folder of the design file, or the current one.
    """
    below = (design_file or EXAMPLE).parent.resolve()
    file = None if design_file is None else below / design_file.name
    with _started_in(Program.APP) as folder:
        notebook = folder / EXAMPLE
        notebook.write_text(desk_notebook.apart(file, below), encoding="utf-8")
        return _run(Program.APP, folder, notebook, options)


@contextmanager
def _started_in(program: Program) -> Iterator[Path]:
    """A folder of this run alone, in which no stranger has left a file for the server to read."""
    module, name, install, _ = program.value
    if find_spec(module) is None:
        raise KitError(f"{name} is not installed here; to get it: {install}.")
    with TemporaryDirectory(prefix="kit-open-", ignore_cleanup_errors=True) as folder:
        yield Path(folder).resolve()


def _run(program: Program, folder: Path, notebook: Path, options: Sequence[str]) -> int:
    # by its path: importing the kit takes seconds, and its servers need nothing of it
    starts = Path(__file__).with_name(program.value[3])
    command = python(str(starts), str(notebook), *options)
    with (
        subprocess.Popen(command, cwd=folder, env=environment()) as child,
        _passed_on(child),
    ):
        return child.wait()


@contextmanager
def _passed_on(child: subprocess.Popen[bytes]) -> Iterator[None]:
    """What would end this process ends its child, which then ends this one's wait."""

    def end(number: int, frame: FrameType | None) -> None:
        child.terminate()

    if threading.current_thread() is not threading.main_thread():
        yield  # only the main thread may change how signals are handled
        return
    before = {number: signal.signal(number, end) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
