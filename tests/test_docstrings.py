"""The examples in docstrings give what they say."""

import doctest
from importlib import import_module
from pathlib import Path

import pytest

KIT = Path(__file__).parent.parent / "kit"
MODULES = [
    ".".join(path.relative_to(KIT.parent).with_suffix("").parts).removesuffix(".__init__")
    for path in sorted(KIT.rglob("*.py"))
    if "\n    >>> " in path.read_text(encoding="utf-8")
]


def test_there_are_examples():
    assert len(MODULES) >= 5


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_of(name):
    done = doctest.testmod(import_module(name), optionflags=doctest.NORMALIZE_WHITESPACE)
    assert done.attempted > 0
    assert done.failed == 0
