"""Start JupyterLab, or Voila, on the notebook of the design desk.

The notebook stands beside the design file and is written once: what a maker adds to it stays.
"""

import json
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from enum import Enum
from importlib.util import find_spec
from pathlib import Path
from types import FrameType
from urllib.parse import quote

from kit.design_file import write
from kit.errors import KitError
from kit.tables import data_file

#: The notebook of the built-in example, in the current folder.
EXAMPLE = Path("design-desk.ipynb")
#: The page of the app asks nobody but its own server: not for icons, nor for widgets.
OWN_SERVER_ALONE = {
    "headers": {
        "Content-Security-Policy": "default-src 'self' 'unsafe-inline' 'unsafe-eval' data: blob:"
    }
}
#: Voila with that; its command line has no way to say it.
APP = f"from voila.app import Voila; Voila.launch_instance(tornado_settings={OWN_SERVER_ALONE})"
#: What the notebook that comes with the kit shows: the desk of the example.
OF_EXAMPLE = "desk()"


class Program(Enum):
    """What shows the desk: module, what it is called, how to get it."""

    LAB = ("jupyterlab", "JupyterLab", "pip install jupyterlab")
    APP = ("voila", "Voila", "pip install 'casework-kit[app]'")


def desk_notebook(design_file: Path | None) -> Path:
    """The notebook of the desk for a design file, written where there is none yet.

    Raises OutputError where it cannot be written.
    """
    path = EXAMPLE if design_file is None else design_file.with_suffix(".ipynb")
    if not path.exists():
        write(path, notebook_text(design_file))
    return path


def notebook_text(design_file: Path | None) -> str:
    """The notebook of the desk, not run; it names the design file as seen from beside it."""
    notebook = json.loads(data_file("desk.ipynb").read_text(encoding="utf-8"))
    if design_file is not None:
        code = notebook["cells"][-1]
        code["source"] = code["source"].replace(OF_EXAMPLE, f"desk({_quoted(design_file.name)})")
    return json.dumps(notebook, indent=1, ensure_ascii=False) + "\n"


def launch(notebook: Path, program: Program, further: Sequence[str] = ()) -> int:
    """Show a notebook until the program ends, or is ended by Ctrl-C; its exit code.

    `further` options go to the program as they are. Raises KitError where it is not installed.
    """
    module, name, install = program.value
    if find_spec(module) is None:
        raise KitError(f"{name} is not installed here; to get it: {install}.")
    notebook = notebook.resolve()
    command = {
        Program.LAB: (
            *("-m", module),
            f"--ServerApp.root_dir={notebook.parent}",
            f"--LabApp.default_url=/lab/tree/{quote(notebook.name)}",
            "--ServerApp.answer_yes=True",  # Ctrl-C ends it without a question
        ),
        Program.APP: ("-c", APP, str(notebook)),
    }
    with (
        subprocess.Popen([sys.executable, *command[program], *further]) as child,
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


def _quoted(name: str) -> str:
    """A name as a Python string, in double quotes where they do as well."""
    plain = repr(name) == f"'{name}'" and '"' not in name
    return f'"{name}"' if plain else repr(name)
