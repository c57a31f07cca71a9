"""What the kit tells a maker to write can be written: every path of a field in its strings."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from kit.design import Design
from kit.design_file import is_field

KIT = Path(__file__).parents[1] / "kit"
TABLES = sorted(field.alias or name for name, field in Design.model_fields.items())
#: `case.width`, `gear.{}.depth` or `gear.depth`: a table of the file, and what is under it.
PATH = re.compile(
    rf"(?<![\w./-])(?:{'|'.join(TABLES)})(?:\.(?:[a-z_]\w*|\d+|\{{\}}))+(?![\w/(]|\.\w)"
)
#: Keys of a table that the maker names himself, and names of files.
OTHERS = re.compile(r"\.(toml|csv|svg|json|pdf|txt)$")


def _strings(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Every string with its line; what an f-string fills in is `{}`."""
    inside = {id(v) for n in ast.walk(tree) if isinstance(n, ast.JoinedStr) for v in n.values}
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            parts = (v.value if isinstance(v, ast.Constant) else "{}" for v in node.values)
            yield node.lineno, "".join(str(part) for part in parts)
        elif isinstance(node, ast.Constant) and id(node) not in inside:
            yield node.lineno, re.sub(r"\{\w+\}", "{}", str(node.value))


def _written(path: str) -> bool:
    """Whether a design file has it: with 1 for a row, which words for people leave out.

    A last step that is filled in may be any field.
    """
    steps = re.sub(r"(\.\{\})+$", "", path).replace("{}", "1").split(".")
    places = [n for n in range(1, len(steps)) if not steps[n - 1].isdigit()]
    tried = [steps, *([*steps[:n], "1", *steps[n:]] for n in places)]
    return any(is_field(".".join(one)) for one in tried)


def test_every_path_that_is_told_is_a_field() -> None:
    told = [
        (f"{file.relative_to(KIT)}:{line}", path)
        for file in sorted(KIT.rglob("*.py"))
        for line, words in _strings(ast.parse(file.read_text(encoding="utf-8")))
        for path in PATH.findall(words)
        if not OTHERS.search(path)
    ]
    assert len({path for _, path in told}) > 100
    assert [one for one in told if not _written(one[1])] == []


def test_a_wrong_path_is_seen() -> None:
    assert not _written("room.screen_mass_kg")  # what the kit told once
    assert _written("screen.mass_kg")
    assert _written("gear.{}.depth")
    assert _written("gear.antenna_up")
    assert _written("back.panels.holes")
