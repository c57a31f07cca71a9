"""The judges of `fuzz_readers`, for some seconds, on what hypothesis makes up."""

import tomllib
from typing import Any

import pytest
import readers
import tomlkit
from hypothesis import example, given
from hypothesis import strategies as st

from kit.design_file import example_text
from profiles import CONSOLE, examples

DIGITS = st.from_regex(r"[0-9]{0,5}[ .,/-]?[0-9]{0,4}(/[0-9]{0,3})?", fullmatch=True)
UNITS = st.sampled_from(("", "mm", "cm", "m", "in", '"', "'", "ft", "in.", "”", "′", "¾", "foot"))
LENGTHS = st.one_of(
    st.text(max_size=90),
    st.text("0123456789 -+./,_'\"mcinft½¼⅞−⁄″′", max_size=30),
    st.tuples(st.sampled_from(("", "-", "+", "−")), DIGITS, UNITS, DIGITS, UNITS).map("".join),
)


@examples(times=60)
@given(LENGTHS)
@example("1e-300")
@example("0" * 79 + "m")
@example("9" * 78 + "mm")
def test_any_words_are_one_length_or_none(words):
    readers.length_of(words)


@st.composite
def texts(draw: st.DrawFn) -> str:
    """A design file with lines left out, doubled, moved, and spoilt."""
    lines = draw(st.sampled_from(readers.every_seed())).splitlines(keepends=True)
    for _ in range(draw(st.integers(1, 5))):
        at = draw(st.integers(0, len(lines) - 1))
        match draw(st.integers(0, 4)):
            case 0:
                del lines[at : at + draw(st.integers(1, 4))]
            case 1:
                lines.insert(draw(st.integers(0, len(lines))), lines[at])
            case 2:
                lines[at] = draw(st.text(max_size=40)) + "\n"
            case 3:
                cut = draw(st.integers(0, len(lines[at])))
                middle = draw(st.text("[]{}='\"\\#.,\n 019-_xeb\x00\r", max_size=6))
                lines[at] = lines[at][:cut] + middle + lines[at][cut:]
            case 4:
                key, equals, _ = lines[at].partition("=")
                value = draw(st.one_of(VALUES, st.sampled_from(readers.SEEDS).map(repr)))
                lines[at] = f"{key}{equals}{value}\n" if equals else lines[at]
        lines = lines or ["\n"]
    return "".join(lines)


VALUES = st.sampled_from(
    (
        "1",
        "-1",
        "0",
        "1e400",
        "nan",
        "-inf",
        "0x" + "f" * 5000,
        "9" * 5000,
        "true",
        "[]",
        "{}",
        "[[], 1]",
        "{a.b = 1}",
        '""',
        '"\\u0000"',
        '"\\U0010FFFF"',
        "2026-03-14",
        "1979-05-27T07:32:00Z",
        "07:32:00",
        '"""\nx"""',
        "'''a'''",
        '"' + "x" * 5000 + '"',
        "[" + "1," * 5000 + "]",
        '"100 m"',
        '"0.0000000001 mm"',
        '"-5 in"',
        '"../../x"',
        '"=1+1"',
    )
)


@examples(times=12)
@given(texts())
def test_any_text_is_a_design_or_refused(text):
    readers.design(text)


@pytest.mark.slow
@examples(CONSOLE, times=2)
@given(texts())
def test_any_text_is_changed_as_asked_or_refused(text):
    readers.change(text)


def leaves(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Where the values of a design file are."""
    if isinstance(value, dict | list):
        pairs = value.items() if isinstance(value, dict) else enumerate(value)
        return [leaf for key, inner in pairs for leaf in leaves(inner, (*path, key))]
    return [path]


ODD = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**30), 10**30),
    st.floats(),
    st.text(max_size=12),
    st.lists(st.integers(), max_size=3),
    st.dictionaries(st.text(max_size=3), st.integers(), max_size=2),
    st.sampled_from(readers.SEEDS),
)


@examples(times=15)
@given(st.data())
def test_any_value_in_any_field_is_a_design_or_refused(data):
    from kit.casework import build
    from kit.design_file import from_data
    from kit.errors import KitError

    plain = tomllib.loads(example_text())
    for path in data.draw(st.lists(st.sampled_from(leaves(plain)), min_size=1, max_size=3)):
        holder: Any = plain
        for step in path[:-1]:
            holder = holder[step]
        holder[path[-1]] = data.draw(ODD)
    try:
        build(from_data(plain))
    except KitError as error:
        readers.clear(error)


def test_every_seed_is_a_design():
    for text in readers.every_seed():
        assert tomlkit.parse(text).unwrap() == tomllib.loads(text)
        readers.design(text)
