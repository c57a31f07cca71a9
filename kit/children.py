"""How the kit starts a Python of its own: nothing is imported from the folder it is started in.

A design may come with a folder that somebody else has filled. Python looks for modules in the
current folder first, so a `json.py` there would be run in place of the real one.
"""

import os
import sys
import sysconfig
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def python(*arguments: str) -> list[str]:
    """The command of this Python with these arguments; to be started in `environment()`."""
    return [sys.executable, "-P", *arguments]


def environment() -> dict[str, str]:
    """The variables of this process, so changed that a Python and its own children are safe.

    They find this very kit, and what an absolute entry of PYTHONPATH names. An empty entry of it
    would mean the current folder.
    """
    here = str(Path(__file__).resolve().parents[1])
    told = os.environ.get("PYTHONPATH", "").split(os.pathsep)
    places = [] if here in _installed() else [here]
    places += [place for place in told if Path(place).is_absolute()]
    variables = os.environ | {"PYTHONSAFEPATH": "1", "PYTHONPATH": os.pathsep.join(places)}
    return {name: value for name, value in variables.items() if (name, value) != ("PYTHONPATH", "")}


@contextmanager
def safe() -> Iterator[None]:
    """Within it, what a library starts in the environment of this process is safe as well."""
    names = ("PYTHONSAFEPATH", "PYTHONPATH")
    before = {name: os.environ.get(name) for name in names}
    _set({name: environment().get(name) for name in names})
    try:
        yield
    finally:
        _set(before)


def _set(variables: dict[str, str | None]) -> None:
    for name, value in variables.items():
        if value is None:
            os.environ.pop(name, None)
        else:
            os.environ[name] = value


def _installed() -> set[str]:
    """Where packages are installed: every Python of this environment looks there unasked."""
    return {str(Path(sysconfig.get_path(name)).resolve()) for name in ("purelib", "platlib")}
