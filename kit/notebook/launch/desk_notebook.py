"""The notebook of the design desk: what the kit writes, and whether a file is that very one."""

import json
from pathlib import Path
from typing import Any

from kit.tables import data_file

#: What the notebook that comes with the kit shows: the desk of the example.
OF_EXAMPLE = "desk()"
#: The name in a notebook's metadata below which the kit keeps its mark.
MARK = "casework_kit"
#: The largest notebook that is looked at, bytes: a desk with all that it keeps has some 2 MB.
LARGEST = 50_000_000


def beside(design_file: Path | None) -> str:
    """The notebook, not run, that stands beside a design file and names it as seen from there."""
    return _showing("" if design_file is None else _quoted(design_file.name))


def apart(design_file: Path | None, folder: Path) -> str:
    """The notebook of the app, which stands elsewhere.

    Its desk reads and writes below `folder` alone.
    """
    within = f"within={_quoted(str(folder))}"
    return _showing(within if design_file is None else f"{_quoted(str(design_file))}, {within}")


def is_own(path: Path, text: str) -> bool:
    """Whether running the notebook there runs what `text` would, and nothing else.

    What it shows and keeps may be other: running replaces it. A link is never the kit's own, nor
    is what cannot be read.
    """
    try:
        if path.is_symlink() or not path.is_file() or path.stat().st_size > LARGEST:
            return False
        return _runs(json.loads(path.read_text(encoding="utf-8"))) == _runs(json.loads(text))
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return False


def _runs(notebook: dict[str, Any]) -> object:
    """All of a notebook that decides what is run: the mark of the kit, the kernel, the cells."""
    metadata = notebook["metadata"]
    cells = [(cell["cell_type"], "".join(cell["source"])) for cell in notebook["cells"]]
    kernel = (metadata["kernelspec"]["name"], metadata["kernelspec"]["language"])
    return metadata[MARK], kernel, notebook["nbformat"], cells


def _showing(arguments: str) -> str:
    notebook = json.loads(data_file("desk.ipynb").read_text(encoding="utf-8"))
    code = notebook["cells"][-1]
    code["source"] = code["source"].replace(OF_EXAMPLE, f"desk({arguments})")
    return json.dumps(notebook, indent=1, ensure_ascii=False) + "\n"


def _quoted(name: str) -> str:
    """A name as a Python string, in double quotes where they do as well."""
    plain = repr(name) == f"'{name}'" and '"' not in name
    return f'"{name}"' if plain else repr(name)
