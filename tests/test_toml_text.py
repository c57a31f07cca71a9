"""A TOML text changed field by field: what it then says, and that the rest keeps every byte."""

import copy
import tomllib
from typing import Any

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from kit.design_file import example_text
from kit.errors import DesignFileError
from kit.toml_text.editing import changed
from profiles import CHANGE, examples
from strategies import designs

few = examples(CHANGE, shrink=False)

TEXT = '''\
# a console
name = "a"   # its name

[case]
width = "1 m"     # overall
rows = [
    [1, 2],       # a bracket at the start of a line
    [3, 4],
]
note = """
[not.a.header]
# nor a remark
"""
# of the case, not of what follows

# of the first shelf
[[shelf]]         # one
bay = 1

[[hole]]
board = "x"

# of the second
[[shelf]]
bay = 2
[shelf.holes]
pitch = "32 mm"

# [prices] are to come

[back]
panels = [{ bays = [1] }, { bays = [2] }]
"quoted key" = 1
slack.left = "1 mm"'''


def without(text: str, lines: list[str]) -> list[str]:
    """The lines of a text that are not blank, without the last of each of these."""
    rest = [line for line in reversed(text.splitlines()) if line.strip()]
    for line in lines:
        rest.remove(line)
    return rest


def test_no_change_keeps_every_byte():
    assert changed(TEXT, {}) == TEXT
    assert changed(TEXT.replace("\n", "\r\n"), {}) == TEXT.replace("\n", "\r\n")


@pytest.mark.parametrize(
    ("changes", "gone", "new"),
    [
        ({"case.width": "2 m"}, ['width = "1 m"     # overall'], ['width = "2 m"     # overall']),
        ({"name": None}, ['name = "a"   # its name'], []),
        ({"case.note": None}, ['note = """', "[not.a.header]", "# nor a remark", '"""'], []),
        ({"case.depth": "3 m"}, [], ['depth = "3 m"']),
        ({"shelf.2.bay": 7}, ["bay = 2"], ["bay = 7"]),
        ({"shelf.2.holes.pitch": "1 in"}, ['pitch = "32 mm"'], ['pitch = "1 in"']),
        ({"shelf.1": None}, ["# of the first shelf", "[[shelf]]         # one", "bay = 1"], []),
        (
            {"shelf.2": None},
            ["# of the second", "[[shelf]]", "bay = 2", "[shelf.holes]", 'pitch = "32 mm"'],
            [],
        ),
        ({"shelf.2.holes": None}, ["[shelf.holes]", 'pitch = "32 mm"'], []),
        ({"shelf.3": {"bay": 3}}, [], ["[[shelf]]", "bay = 3"]),
        ({"shelf.1.lip.height": "1 in"}, [], ["[shelf.lip]", 'height = "1 in"']),
        ({"hole.2.board": "y"}, [], ["[[hole]]", 'board = "y"']),
        ({"fan.1": {"bay": 1}}, [], ["[[fan]]", "bay = 1"]),
        (
            {"back.panels.2.bays": [2, 3]},
            ["panels = [{ bays = [1] }, { bays = [2] }]"],
            ["panels = [{ bays = [1] }, { bays = [2, 3] }]"],
        ),
        ({"back.slack.left": "2 mm"}, ['slack.left = "1 mm"'], ['slack.left = "2 mm"']),
    ],
)  # fmt: skip
def test_only_what_is_named_changes(changes, gone, new):
    assert without(changed(TEXT, changes), new) == without(TEXT, gone)


def test_remarks_that_stand_apart_stay_when_a_table_goes():
    said = changed(TEXT, {"shelf.2": None, "back": None})
    assert "# [prices] are to come" in said
    assert "# of the second" not in said


def test_a_row_added_and_taken_out_again_leaves_the_very_text():
    for path, row in (("shelf", 3), ("hole", 2), ("fan", 1)):
        text = TEXT + "\n"
        more = changed(text, {f"{path}.{row}": {"bay": 9, "at": "1 in"}})
        assert more != text
        assert changed(more, {f"{path}.{row}": None}) == text


@pytest.mark.parametrize(
    "path",
    [
        "name.x", "case.width.x", "shelf.4.bay", "shelf.0.bay", "shelf.bay.x", "case.1.x",
        "shelf.1.bay.2", "back.panels.9.bays",
    ],
)  # fmt: skip
def test_a_path_that_names_no_field_is_refused(path):
    with pytest.raises(DesignFileError, match="names no field"):
        changed(TEXT, {path: 1})


@pytest.mark.parametrize("path", ["nothing", "shelf.4", "case.colour", "back.panels.3", "name.x"])
def test_what_is_not_there_cannot_be_taken_out(path):
    with pytest.raises(DesignFileError, match="names no field"):
        changed(TEXT, {path: None})


def test_text_that_is_not_toml_is_refused():
    with pytest.raises(DesignFileError, match="not TOML"):
        changed("[case", {})


def leaves(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The paths of everything in plain values: tables, rows and fields."""
    found = [path] if path else []
    if isinstance(value, dict | list):
        for step, inner in value.items() if isinstance(value, dict) else enumerate(value):
            found += leaves(inner, (*path, step))
    return found


@few
@given(designs(), st.data())
def test_taking_out_says_the_same_as_taking_out_of_the_values(plain, data):
    text = tomlkit.dumps(plain)
    said = tomllib.loads(text)
    usable = [p for p in leaves(said) if not any("." in s for s in p if isinstance(s, str))]
    # the same field is not taken out twice
    paths: list[tuple[Any, ...]] = []
    for path in data.draw(st.lists(st.sampled_from(usable), max_size=4, unique=True)):
        if not any(path[: len(p)] == p or p[: len(path)] == path for p in paths):
            paths.append(path)
    expected = copy.deepcopy(said)
    for path in sorted(paths, key=lambda p: [str(s).zfill(9) for s in p], reverse=True):
        table = expected
        for step in path[:-1]:
            table = table[step]
        del table[path[-1]]
    names = [".".join(str(s + 1) if isinstance(s, int) else s for s in p) for p in paths]
    found = tomllib.loads(changed(text, dict.fromkeys(names)))
    assert _without_empty(found) == _without_empty(expected)


@few
@given(designs(), st.data())
def test_writing_says_the_same_as_writing_into_the_values(plain, data):
    text = tomlkit.dumps(plain)
    said = tomllib.loads(text)
    usable = [
        p
        for p in leaves(said)
        if isinstance(p[-1], str) and not any("." in s for s in p if isinstance(s, str))
    ]
    path = data.draw(st.sampled_from(usable))
    expected = copy.deepcopy(said)
    table = expected
    for step in path[:-1]:
        table = table[step]
    name = ".".join(str(s + 1) if isinstance(s, int) else s for s in path)
    if isinstance(table[path[-1]], dict) or leaves(table[path[-1]]):
        table, name = expected, "new.rows.1.key"
        table["new"] = {"rows": [{"key": [1, {"a": "b"}]}]}
    else:
        table[path[-1]] = [1, {"a": "b"}]
    assert tomllib.loads(changed(text, {name: [1, {"a": "b"}]})) == expected


def _without_empty(value: Any) -> Any:
    """A list that has lost its last row may be gone or empty."""
    if isinstance(value, dict):
        plain = {key: _without_empty(inner) for key, inner in value.items()}
        return {key: inner for key, inner in plain.items() if inner not in ({}, [])}
    if isinstance(value, list):
        return [_without_empty(inner) for inner in value]
    return value


@pytest.mark.parametrize(
    ("path", "value"),
    [("divider", [{"at": "20 in"}]), ("gear", []), ("room.outlets", []), ("case", "wide")],
)
def test_a_value_over_tables_is_refused_in_a_sentence(path, value):
    with pytest.raises(DesignFileError, match=f"^{path} stands as tables in the design file;"):
        changed(example_text(), {path: value})
