import json
import os
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.design import Design
from kit.design_file import (
    LARGEST,
    example_text,
    fingerprint,
    from_data,
    parse,
    read,
    rewrite,
    schema,
    write,
)
from kit.errors import DesignFileError, KitError, OutputError


def test_the_example_reads():
    design = parse(example_text())
    assert design.case.width == pytest.approx(78 * 25.4)
    assert len(design.dividers) == 2


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        (("case", "width"), "1,5 m", ["case.width", "'1,5 m'", "1.5 m"]),
        (("case", "width"), "78", ["case.width", "'78'", "78 mm", "78 in"]),
        (("case", "width"), 78, ["case.width", "78 mm", "78 in"]),
        (("case", "depth"), "-3 in", ["case.depth", "-3 in", "more than 0"]),
        (("case", "corner"), "mitre", ["case.corner", "'mitre'", "'rabbet'", "'dado'", "'butt'"]),
        (("case", "widht"), "78 in", ["case.widht", "did you mean 'width'"]),
        (("door",), {}, ["door", "did you mean 'doors'"]),
        (("doors", "count"), 4, ["doors.count", "4", "less than or equal to 3"]),
        (("base", "toe_kick"), "3 in", ["base.toe_kick", "allowed are"]),
        (("base", "kind"), "casters", ["base", "casters", "plinth"]),
        (("shelf", 1, "clear_below"), "8", ["shelf.2.clear_below", "8 mm", "8 in"]),
        (("shop", "units"), "cm", ["shop.units", "'cm'", "'in'"]),
    ],
)
def test_a_wrong_field_is_one_sentence(example_data, path, value, says):
    table = example_data
    for step in path[:-1]:
        table = table[step]
    table[path[-1]] = value
    with pytest.raises(DesignFileError) as caught:
        from_data(example_data)
    message = str(caught.value)
    assert "\n" not in message
    for part in says:
        assert part in message


def test_a_missing_field_is_named(example_data):
    del example_data["case"]["height"]
    with pytest.raises(DesignFileError, match=r"case\.height is missing"):
        from_data(example_data)


def test_many_mistakes_are_told_one_a_line(example_data):
    for name in ("width", "height", "depth"):
        example_data["case"][name] = "ten"
    with pytest.raises(DesignFileError) as caught:
        from_data(example_data)
    assert len(str(caught.value).splitlines()) == 3


@pytest.mark.parametrize("text", ["not toml", "a = ", "[case", "\x00", "= 3", "[" * 3000])
def test_text_that_is_not_toml_is_one_sentence(text):
    with pytest.raises(DesignFileError, match=r"not TOML|nests too deep") as caught:
        parse(text, "my.toml")
    assert "my.toml" in str(caught.value)


def test_files_that_cannot_be_read_say_why(tmp_path):
    with pytest.raises(DesignFileError, match="cannot be read"):
        read(tmp_path / "missing.toml")
    with pytest.raises(DesignFileError, match="cannot be read"):
        read(tmp_path)
    (tmp_path / "binary.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(DesignFileError, match="not text"):
        read(tmp_path / "binary.toml")
    with open(tmp_path / "large.toml", "wb") as file:
        file.truncate(LARGEST + 1)
    with pytest.raises(DesignFileError, match="may have 2 MB"):
        read(tmp_path / "large.toml")


@given(st.text(max_size=200))
def test_any_text_reads_or_is_refused_by_name(text):
    with pytest.raises(KitError):
        parse(text)


def test_a_rewrite_keeps_the_comments():
    text = rewrite(
        example_text(),
        {"doors.top_depth": "3/8 in", "shelf.2.clear_below": "7 in", "shop.trim": "1 in"},
    )
    design = parse(text)
    assert design.doors is not None
    assert design.doors.top_depth == pytest.approx(9.525)
    assert design.shelves[1].clear_below == pytest.approx(177.8)
    assert design.shop.trim == pytest.approx(25.4)
    before, after = example_text().splitlines(), text.splitlines()
    comments = [line.split("#", 1)[1] for line in before if "#" in line]
    kept = [line.split("#", 1)[1] for line in after if "#" in line]
    assert kept == comments
    assert sum(a not in before for a in after) == 3


@pytest.mark.parametrize(
    ("path", "value"),
    [("doors.top_depth", "deep"), ("shelf.9.bay", 1), ("name.x.y", "z"), ("doors.tracks", 2)],
)
def test_a_rewrite_that_makes_no_design_is_refused(path, value):
    with pytest.raises(DesignFileError):
        rewrite(example_text(), {path: value})


def test_the_name_itself_is_rewritten():
    assert parse(rewrite(example_text(), {"name": "Reading room"})).name == "Reading room"


def test_the_fingerprint_follows_what_the_design_says():
    design = parse(example_text())
    same = parse(example_text().replace("# overall", "# as wide as the wall allows"))
    inches = parse(example_text().replace('"78 in"', '"1981.2 mm"'))
    wider = parse(example_text().replace('"78 in"', '"79 in"'))
    assert fingerprint(design) == fingerprint(same) == fingerprint(inches)
    assert fingerprint(design) != fingerprint(wider)


def test_a_design_survives_its_own_dump():
    design = parse(example_text())
    again = Design.model_validate(design.model_dump(mode="json", by_alias=True))
    assert again == design


def test_the_schema_knows_every_key_of_the_example():
    whole = schema()
    json.dumps(whole)
    for key in tomllib.loads(example_text()):
        assert key in whole["properties"]
    case = whole["$defs"]["Case"]
    assert case["properties"]["width"]["type"] == "string"
    assert case["properties"]["width"]["description"]
    assert case["additionalProperties"] is False


def test_writing_swaps_in_whole_and_loses_nothing(tmp_path, monkeypatch):
    path = tmp_path / "a.toml"
    write(path, "one = 1\n")
    write(path, "two = 2\n")
    assert path.read_text() == "two = 2\n"

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match="No space left"):
        write(path, "three = 3\n")
    assert path.read_text() == "two = 2\n"
    assert [p.name for p in tmp_path.iterdir()] == ["a.toml"]
