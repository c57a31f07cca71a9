"""The design desk as a maker uses it, in JupyterLab: move a control, read the answer, save."""

import re

import nbformat
import pytest

import kit

pytest.importorskip("playwright")

TIMEOUT_S = 60
NOTEBOOK = "desk-under-test.ipynb"
KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}
#: A top too long for its thickness; the kit offers a divider.
WIDE = "96 in"
FIX = re.compile(r"^Apply: divider\.\d+\.at = ")


@pytest.fixture(scope="module")
def folder(lab_home):
    """The folder of the notebooks that JupyterLab serves, with one that shows the desk."""
    code = 'from kit.notebook import desk\nshown = desk("console.toml")\nshown'
    cell = nbformat.v4.new_code_cell(code)
    made = nbformat.v4.new_notebook(cells=[cell], metadata={"kernelspec": KERNEL})
    nbformat.write(made, lab_home / NOTEBOOK)
    return lab_home


@pytest.fixture
def desk(lab, page, folder):
    """The desk on a fresh copy of the example, shown and ready."""
    (folder / "console.toml").write_text(kit.example_text(), encoding="utf-8")
    page.errors = []
    page.on("pageerror", lambda error: page.errors.append(str(error)))
    page.set_default_timeout(TIMEOUT_S * 1000)
    page.goto(lab.replace("/lab?", f"/lab/tree/{NOTEBOOK}?reset&"))
    page.get_by_text(re.compile(r"^Python 3.*\| Idle$")).wait_for()
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
    page.locator(".kit-desk canvas").wait_for()
    return page
