"""Committed notebooks: executed, readable without a kernel, and of no machine in particular."""

import re
from pathlib import Path

import nbformat
import pytest

NOTEBOOKS = sorted((Path(__file__).parent.parent / "notebooks").glob("*.ipynb"))
STATIC = {"text/plain", "text/html", "image/svg+xml", "image/png"}
LARGEST_BYTES = 500_000
#: How a path of somebody's machine begins.
MACHINE = re.compile(r"/(home|root|tmp|work|Users|private|var)/|[A-Z]:\\|file:")


@pytest.fixture(params=NOTEBOOKS, ids=lambda path: path.stem)
def path(request):
    return request.param


@pytest.fixture
def notebook(path):
    read = nbformat.read(path, as_version=4)
    nbformat.validate(read)
    return read


def outputs(notebook):
    return [o for c in notebook.cells if c.cell_type == "code" for o in c.outputs]


def test_there_are_notebooks():
    assert NOTEBOOKS


def test_outputs_are_static(notebook):
    assert "widgets" not in notebook.metadata
    for output in outputs(notebook):
        assert output.output_type in {"stream", "execute_result", "display_data"}
        assert output.get("name", "stdout") == "stdout"
        assert set(output.get("data", {})) <= STATIC
        assert "<script" not in str(output.get("data", {}).get("text/html", ""))


def test_it_was_run_from_top_to_bottom(notebook):
    counts = [c.execution_count for c in notebook.cells if c.cell_type == "code"]
    assert counts == list(range(1, len(counts) + 1))


def test_it_names_its_kernel(notebook):
    # without it JupyterLab stops at a dialog
    assert notebook.metadata.kernelspec.name == "python3"


def test_it_is_small_and_names_no_machine(path):
    text = path.read_text(encoding="utf-8")
    assert len(text.encode()) < LARGEST_BYTES
    text = re.sub(r"base64,[A-Za-z0-9+/=]+", "", text)
    assert not MACHINE.search(text)
    assert str(Path.home()) not in text or Path.home() == Path("/")


def test_it_asserts_and_has_outputs_that_are_compared(notebook):
    sources = [c.source for c in notebook.cells if c.cell_type == "code"]
    assert any(re.search(r"^\s*assert ", source, re.M) for source in sources)
    assert any("NBVAL_CHECK_OUTPUT" in source for source in sources)
