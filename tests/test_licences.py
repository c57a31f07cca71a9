"""Licences of what the kit brings: all told, and none that nobody looked at."""

import re
import tomllib
from email.message import Message
from pathlib import Path

import pytest

from licences import INSIDE, LOOKED_AT, Licensed, licence, needed

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def packages() -> list[Licensed]:
    return needed()


def test_every_licence_is_told_and_looked_at(packages):
    strange = [package for package in packages if not package.known]
    assert strange == []
    assert len(packages) > 50


def test_what_was_looked_at_is_still_needed(packages):
    names = {package.name for package in packages}
    assert set(LOOKED_AT) == {package.name for package in packages if package.copyleft}
    assert set(INSIDE) <= names


def test_all_that_the_project_names_is_there(packages):
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    named = {re.split(r"[\[<>=~! ]", line)[0].lower() for line in project["dependencies"]}
    assert named <= {package.name for package in packages}


@pytest.mark.parametrize(
    ("told", "known"),
    [
        ("MIT", True),
        ("BSD-3-Clause AND 0BSD", True),
        ("", False),
        ("Proprietary", False),
        ("GPL-3.0-or-later", False),
        ("GNU Affero General Public License v3", False),
        ("MIT AND LGPL-2.1", False),
        ("MIT AND Proprietary", False),
        ("Apache-2.0 WITH LLVM-exception OR (BSD-2-Clause AND MIT)", True),
    ],
)
def test_a_surprise_is_found(told, known):
    assert Licensed("a-package", "1.0", told).known is known


@pytest.mark.parametrize(
    ("heads", "told"),
    [
        ([("License-Expression", "MIT"), ("License", "x")], "MIT"),
        (
            [
                ("Classifier", "License :: OSI Approved"),
                ("Classifier", "License :: OSI Approved :: ISC License (ISCL)"),
                ("License", "UNKNOWN"),
            ],
            "ISC License (ISCL)",
        ),
        ([("Classifier", "License :: OSI Approved"), ("License", "LGPLv3\nmore")], "LGPLv3"),
        ([("License", "UNKNOWN")], ""),
        ([], ""),
    ],
)
def test_where_a_licence_is_told(heads, told):
    class Stub:
        metadata = Message()

    for key, value in heads:
        Stub.metadata[key] = value
    assert licence(Stub()) == told


def test_the_page_for_developers_names_them():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for name in (*LOOKED_AT, *INSIDE):
        assert f"`{name}`" in text, name
