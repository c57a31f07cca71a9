"""The plain values of a TOML text, and paths to them."""

import json
import re
import tomllib
from collections.abc import Mapping, Sequence
from typing import Any

from kit.errors import DesignFileError

type Value = str | int | float | bool | Sequence[Value] | Mapping[str, Value]
"""What a field can hold. A table given for a row or a table is written key by key; one inside
a list is written inline."""

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


def loaded(text: str, where: str = "The design file") -> dict[str, Any]:
    """The plain values of a TOML text. `where` names it in messages. Raises DesignFileError."""
    too_deep = f"{where} nests too deep; write plain tables."
    # the standard reader takes time and memory by the square of the length of a path
    if any(found["deep"] for found in _KEYS.finditer(text)):
        raise DesignFileError(too_deep)
    longest = max((len(found["word"] or "") for found in _WORDS.finditer(text)), default=0)
    if longest > LONGEST_WORD:
        raise DesignFileError(
            f"{where} has a number or a name of {longest} characters, and {LONGEST_WORD} is "
            "the most; is it the right file?"
        )
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise DesignFileError(too_deep) from None
    except ValueError as error:  # and what else the reader cannot make a number or a day of
        told = str(error) if len(str(error)) <= TOLD else str(error)[: TOLD - 3] + "..."
        raise DesignFileError(
            f"{where} is not TOML: {told}. Mend that line, or start from `kit new`."
        ) from None


def path_of(steps: Sequence[str | int]) -> str:
    """Steps as one path, `shelf.2.bay`; what no bare key can hold is quoted, and cut short."""

    def shown(step: str | int) -> str:
        name = str(step)[:SHOWN]
        return bare(name) if name.isprintable() else json.dumps(name)

    return ".".join(map(shown, steps))


def bare(name: str) -> str:
    """A key as TOML writes it: quoted where a bare key cannot hold it."""
    return name if _BARE.fullmatch(name) else json.dumps(name, ensure_ascii=False)
