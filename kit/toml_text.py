"""A TOML text, changed field by field: whatever is not named keeps every byte.

The text is cut into blocks, one a table header, and only the block that holds a changed field
is read and written again. A comment that stands alone above a header belongs to that table
and goes with it; any other comment stays.
"""

import json
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, NoReturn

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Array

from kit.errors import DesignFileError

type Value = str | int | float | bool | Sequence[Value] | Mapping[str, Value]
"""What a field can hold. A table given for a row or a table is written key by key; one inside
a list is written inline."""
type Address = tuple[str | int, ...]
"""Steps from the root of the document; rows of a list are counted from nought here."""

_LINES = re.compile(r"[^\n]*\n|[^\n]+")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
#: A key, bare or quoted, or a dotted path of more of them than any field of a design has.
_KEY = r"""(?:[\w-]++|"(?:[^"\\\n]|\\.)*+"?|'[^'\n]*+'?)"""
_KEYS = re.compile(rf"(?P<deep>(?:{_KEY}[ \t]*+\.[ \t]*+){{32}})|{_KEY}")
#: What stands in a text: remarks, strings, and words, as numbers and bare keys are.
_WORDS = re.compile(
    r"""\#[^\n]*+
    | "{3}(?:[^"\\]|\\.|"{1,2}(?!"))*+
    | '{3}(?:[^']|'{1,2}(?!'))*+
    | "(?:[^"\\\n]|\\.)*+"? | '[^'\n]*+'?
    | (?P<word>[\w.+:-]++)""",
    re.VERBOSE | re.DOTALL,
)
#: No number and no bare key is longer, characters: the standard reader takes a hundred bytes of
#: memory for each digit.
LONGEST_WORD = 400
#: So much is told of what is wrong, and so much of one key, characters.
TOLD, SHOWN = 200, 60


@dataclass(frozen=True, slots=True)
class _Block:
    """One table of the text: remarks above it, header, keys, and what trails behind them."""

    address: Address
    lead: str
    header: str
    body: str
    tail: str

    @property
    def text(self) -> str:
        return self.lead + self.header + self.body + self.tail

    def under(self, address: Address) -> bool:
        return self.address[: len(address)] == address


def loaded(text: str, where: str = "The design file") -> dict[str, Any]:
    """The plain values of a TOML text. `where` names it in messages. Raises DesignFileError."""
    try:
        # the standard reader takes time and memory by the square of the length of a path
        if any(found["deep"] for found in _KEYS.finditer(text)):
            raise RecursionError
        longest = max((len(found["word"] or "") for found in _WORDS.finditer(text)), default=0)
        if longest > LONGEST_WORD:
            raise DesignFileError(
                f"{where} has a number or a name of {longest} characters, and {LONGEST_WORD} is "
                "the most; is it the right file?"
            )
        return tomllib.loads(text)
    except RecursionError:
        raise DesignFileError(f"{where} nests too deep; write plain tables.") from None
    except ValueError as error:  # and what else the reader cannot make a number or a day of
        told = str(error) if len(str(error)) <= TOLD else str(error)[: TOLD - 3] + "..."
        raise DesignFileError(
            f"{where} is not TOML: {told}. Mend that line, or start from `kit new`."
        ) from None


def path_of(steps: Sequence[str | int]) -> str:
    """Steps as one path, `shelf.2.bay`; what no bare key can hold is quoted, and cut short."""

    def shown(step: str | int) -> str:
        name = str(step)[:SHOWN]
        return _key(name) if name.isprintable() else json.dumps(name)

    return ".".join(map(shown, steps))


def changed(text: str, changes: Mapping[str, Value | None]) -> str:
    """The text with some fields changed or added or, where the value is None, taken out.

    Paths count rows from 1, as the text stands before: `case.width`, `shelf.2.bay`, `shelf.2`
    for a whole row, `back` for a table with all below it. A table that is missing on the way is
    added, and so is the next row of a list. Raises DesignFileError for a text that is not TOML
    and for a path that names no field.
    """
    blocks = _blocks(text)
    for path, value in changes.items():
        if value is not None:
            blocks = _written(blocks, path, value)
    # rows go from the last to the first, so that the numbers before them stay true
    gone = [path for path, value in changes.items() if value is None]
    for path in sorted(gone, key=lambda p: [s.zfill(9) for s in p.split(".")], reverse=True):
        blocks = _without(blocks, path)
    return "".join(block.text for block in blocks)


# --- reading --------------------------------------------------------------------------


def _blocks(text: str) -> list[_Block]:
    loaded(text)
    blocks: list[_Block] = []
    rows: dict[Address, int] = {}
    lead = ""
    for part in _parts(text):
        lines = _LINES.findall(part)
        header, lines = (lines[0], lines[1:]) if blocks else ("", lines)
        end = next((n for n in range(len(lines), 0, -1) if _says(lines[n - 1])), 0)
        tail = lines[end:]
        apart = next((n for n in range(len(tail), 0, -1) if not tail[n - 1].strip()), len(tail))
        blocks.append(
            _Block(
                address=_placed(header, rows) if header else (),
                lead=lead,
                header=header,
                body="".join(lines[:end]),
                tail="".join(tail[:apart]),
            )
        )
        lead = "".join(tail[apart:])
    return [*blocks[:-1], replace(blocks[-1], tail=blocks[-1].tail + lead)]


def _parts(text: str) -> Iterator[str]:
    """The text cut before each table header, and not before a bracket inside a value."""
    part = ""
    for line in _LINES.findall(text):
        if line.lstrip().startswith("[") and _whole(part):
            yield part
            part = ""
        part += line
    yield part


def _whole(part: str) -> bool:
    try:
        tomllib.loads(part)
    except tomllib.TOMLDecodeError:
        return False
    return True


def _says(line: str) -> bool:
    """Whether a line holds more than blanks and a remark."""
    return bool(line.strip()) and not line.lstrip().startswith("#")


def _placed(header: str, rows: dict[Address, int]) -> Address:
    """The address of a header; `rows` is the number of the latest row of each list so far."""
    names: list[str] = []
    value: Any = tomllib.loads(header)
    while isinstance(value, dict) and value:
        ((name, value),) = value.items()
        names.append(name)
    address: Address = ()
    for number, name in enumerate(names, start=1):
        address = (*address, name)
        if number == len(names) and isinstance(value, list):
            rows[address] = rows.get(address, -1) + 1
        if address in rows:
            address = (*address, rows[address])
    return address


# --- changing -------------------------------------------------------------------------


def _written(blocks: list[_Block], path: str, value: Value) -> list[_Block]:
    """The blocks with one field set; a block that is missing for it is added."""
    address = _address(path)
    at, rest = _holder(blocks, address)
    document = _parsed(_ended(blocks[at].body))
    inline = bool(rest) and isinstance(rest[0], str) and rest[0] in document
    if isinstance(value, Mapping) and not (inline and isinstance(rest[-1], int)):
        for key, inner in value.items():
            blocks = _written(blocks, f"{path}.{key}", inner)
        return blocks
    if len(rest) > 1 and not inline and isinstance(rest[0], str):
        blocks = _with_table(blocks, address[:-1], path)
        return _written(blocks, path, value)
    if any(block.under(address) for block in blocks[1:]):
        raise DesignFileError(
            f"{path} stands as tables in the design file; write them one by one ({path}.1 for the "
            "first row of a list), or take all of it out with None."
        )
    table: Any = document
    for step, following in pairwise(rest):
        if isinstance(step, str) and isinstance(table, Mapping) and step not in table:
            table[step] = [] if isinstance(following, int) else tomlkit.inline_table()  # type: ignore[index]
        if isinstance(step, int) and isinstance(table, Array) and step == len(table):
            table.append(tomlkit.inline_table())
        table = _inside(table, step, path)
    if rest and isinstance(table, Mapping) and isinstance(rest[-1], str):
        table[rest[-1]] = _item(value)  # type: ignore[index]
    elif rest and isinstance(table, Array) and rest[-1] == len(table):
        table.append(_item(value))
    else:
        _refuse(path)
    body = tomlkit.dumps(document)
    block = replace(blocks[at], header=_ended(blocks[at].header), body=body)
    return [*blocks[:at], block, *blocks[at + 1 :]]


def _without(blocks: list[_Block], path: str) -> list[_Block]:
    """The blocks without a field, a row or a table with all below it."""
    address = _address(path)
    whole = [n for n, block in enumerate(blocks) if n and block.under(address)]
    for number in reversed(whole):
        blocks = _dropped(blocks, number)
    if whole:
        return blocks
    at, rest = _holder(blocks, address)
    document = _parsed(blocks[at].body)
    table: Any = document
    for step in rest[:-1]:
        table = _inside(table, step, path)
    _inside(table, rest[-1], path)
    del table[rest[-1]]
    block = replace(blocks[at], body=tomlkit.dumps(document))
    return [*blocks[:at], block, *blocks[at + 1 :]]


def _dropped(blocks: list[_Block], at: int) -> list[_Block]:
    """The blocks without one; remarks that stand apart behind it stay."""
    before, gone, after = blocks[at - 1], blocks[at], blocks[at + 1 :]
    tail = before.tail
    if gone.tail.strip():
        tail = (tail or "\n") + gone.tail.lstrip("\r\n")
    elif not after:
        tail = tail.rstrip() + "\n" if tail.strip() else ""
    return [*blocks[: at - 1], replace(before, tail=tail), *after]


def _with_table(blocks: list[_Block], address: Address, path: str) -> list[_Block]:
    """The blocks with an empty one at this address, behind its like."""
    for number, step in enumerate(address):
        above = address[:number]
        there = {b.address[number] for b in blocks if b.under(above) and len(b.address) > number}
        if any(isinstance(other, int) is not isinstance(step, int) for other in there):
            _refuse(path)
        if isinstance(step, int) and step not in there:
            if step != len(there):
                _refuse(path)
            blocks = _inserted(blocks, address[: number + 1])
    if isinstance(address[-1], str):
        blocks = _inserted(blocks, address)
    return blocks


def _inserted(blocks: list[_Block], address: Address) -> list[_Block]:
    """The blocks with a new header behind the last that shares most of its address."""
    shared = next(
        address[:n] for n in range(len(address) - 1, -1, -1) if _any_under(blocks, address[:n])
    )
    at = max(n for n, block in enumerate(blocks) if block.under(shared))
    names = ".".join(_key(step) for step in address if isinstance(step, str))
    header = f"[[{names}]]\n" if isinstance(address[-1], int) else f"[{names}]\n"
    before, after = blocks[at], blocks[at + 1 :]
    lines = _LINES.findall(before.tail)
    if not after:
        kept = _ended(before.tail) + ("" if lines and not lines[-1].strip() else "\n")
        tail = ""
    else:
        blank = next((n for n, line in enumerate(lines) if not line.strip()), None)
        kept = before.tail if blank is None else "".join(lines[: blank + 1])
        tail = "" if blank is None else "".join(lines[blank:])
    if before.body:
        before = replace(before, body=_ended(before.body))
    block = _Block(address, "", header, "", tail)
    before = replace(before, header=_ended(before.header), tail=kept)
    return [*blocks[:at], before, block, *after]


def _any_under(blocks: list[_Block], address: Address) -> bool:
    return any(block.under(address) for block in blocks)


def _holder(blocks: list[_Block], address: Address) -> tuple[int, Address]:
    """The number of the block that holds a field, and the steps from there."""
    holding = [
        n for n, block in enumerate(blocks) if address[: len(block.address)] == block.address
    ]
    at = max(holding, key=lambda n: len(blocks[n].address))
    return at, address[len(blocks[at].address) :]


def _parsed(body: str) -> tomlkit.TOMLDocument:
    try:
        return tomlkit.parse(body)
    except TOMLKitError as error:  # stricter than the standard reader here and there
        raise DesignFileError(f"The design file cannot be changed: {error}.") from None


def _inside(table: Any, step: str | int, path: str) -> Any:
    if isinstance(table, Mapping) and isinstance(step, str) and step in table:
        return table[step]
    if isinstance(table, Array) and isinstance(step, int) and 0 <= step < len(table):
        return table[step]
    _refuse(path)


def _address(path: str) -> Address:
    return tuple(int(step) - 1 if step.isdecimal() else step for step in path.split("."))


def _item(value: Value) -> Any:
    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        for key, inner in value.items():
            table[key] = _item(inner)
        return table
    if isinstance(value, Sequence) and not isinstance(value, str):
        array = tomlkit.array()
        for inner in value:
            array.append(_item(inner))
        return array
    return value


def _key(name: str) -> str:
    return name if _BARE.fullmatch(name) else json.dumps(name, ensure_ascii=False)


def _ended(text: str) -> str:
    return text if not text or text.endswith("\n") else text + "\n"


def _refuse(path: str) -> NoReturn:
    raise DesignFileError(f"{path} names no field of this design; check the path.")
