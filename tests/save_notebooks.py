"""Run the notebooks and save them as they are committed: executed, with what lasts.

    uv run python tests/save_notebooks.py [NOTEBOOK ...]

A live widget means nothing without its kernel, so its output keeps only the plain line.
"""

import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient
from nbformat import NotebookNode

NOTEBOOKS = Path(__file__).parent.parent / "notebooks"
WIDGET = "application/vnd.jupyter.widget-view+json"
METADATA = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


def executed(path: Path) -> NotebookNode:
    """The notebook, run from top to bottom in a fresh kernel, less all that does not last.

    Raises nbclient's CellExecutionError for a cell that fails.
    """
    notebook = nbformat.read(path, as_version=4)
    runs_in = {"metadata": {"path": str(path.parent)}}
    NotebookClient(
        notebook, kernel_name="python3", timeout=300, record_timing=False, resources=runs_in
    ).execute()
    notebook.metadata = NotebookNode(METADATA)
    for cell in notebook.cells:
        for output in cell.get("outputs", ()):
            output.get("data", {}).pop(WIDGET, None)
    return notebook


if __name__ == "__main__":
    for path in [Path(p) for p in sys.argv[1:]] or sorted(NOTEBOOKS.glob("*.ipynb")):
        nbformat.write(executed(path), path)
        print(f"saved {path.name}")
