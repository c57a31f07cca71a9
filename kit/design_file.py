"""The design file: TOML in, `Design` out; comments survive a rewrite.

A design file is data only. Each thing wrong with it becomes one sentence that names the
field, shows the value and says what is allowed.
"""

import errno
import hashlib
import json
import os
import stat
from collections.abc import Mapping, Sequence
from enum import Enum
from functools import cache
from importlib.resources import files
from pathlib import Path
from reprlib import Repr
from typing import Any

from pydantic import ValidationError

from kit.components.spec import Spec
from kit.design import Design
from kit.errors import DesignFileError
from kit.saving import write as write
from kit.toml_text import Value, loaded, path_of

#: Largest design file that is read, bytes.
LARGEST = 2_000_000
#: How many mistakes are told at once.
TOLD = 5
#: So much is shown of a value that is wrong.
_SHOWN = Repr(maxstring=60, maxlist=3, maxtuple=3, maxdict=3, maxlevel=2, maxother=60)


def example_text() -> str:
    """The built-in example as a design file."""
    return files("kit").joinpath("data", "example.toml").read_text(encoding="utf-8")


#: Tables of the example that say what its maker measured, approved and accepted.
_ITS_MAKERS = ("measured.thickness", "pack", "revision", "accepted")


def starter_text() -> str:
    """A design file to start from: the example without what its maker measured, approved, issued
    and accepted, which stands in it as comments.
    """
    lines, out = [], False
    for line in example_text().splitlines():
        if line.startswith("["):
            out = line.split("#")[0].strip().strip("[]") in _ITS_MAKERS
        lines.append(f"# {line}" if out and line and not line.startswith("#") else line)
    return "\n".join(lines) + "\n"


def read(path: str | Path) -> Design:
    """Read a design file. Raises DesignFileError with one sentence for each mistake."""
    return parse(read_text(path), str(path))


def read_text(path: str | Path) -> str:
    """The text of a design file. Raises DesignFileError where there is none to read."""
    try:
        # without O_NONBLOCK a pipe that nobody writes to would hold up the opening of it
        with open(os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0)), "rb") as file:
            status = os.fstat(file.fileno())
            if stat.S_ISDIR(status.st_mode):
                raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
            if not stat.S_ISREG(status.st_mode):
                raise DesignFileError(
                    f"{path} is a pipe or a device; give a design file, as `kit new` writes one."
                )
            data = b"" if status.st_size > LARGEST else file.read(LARGEST + 1)
        size = max(status.st_size, len(data))
        if size > LARGEST:
            raise DesignFileError(
                f"{path} is {size / 1e6:.3g} MB large, and a design file may have "
                f"{LARGEST / 1e6:.0f} MB; is it the right file?"
            )
        text = data.decode("utf-8-sig")  # some editors begin a text with a mark
    except UnicodeDecodeError:
        raise DesignFileError(
            f"{path} is not text in UTF-8; give a design file, as `kit new` writes one."
        ) from None
    except DesignFileError:
        raise
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise DesignFileError(f"{path} cannot be read: {reason}.") from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def parse(text: str, where: str = "The design file") -> Design:
    """The design in a text. `where` names it in messages. Raises DesignFileError."""
    return from_data(loaded(text, where), where)


def from_data(data: Mapping[str, Any], where: str = "The design") -> Design:
    """The design in plain values, as a TOML file holds them. Raises DesignFileError.

    `where` stands before its sentences, unless it is empty.
    """
    try:
        design = Design.model_validate(data)
    except ValidationError as error:
        mistakes = [_sentence(dict(detail)) for detail in error.errors()]
        told = mistakes[:TOLD]
        if len(mistakes) > TOLD:
            told.append(f"and {len(mistakes) - TOLD} more")
        raise DesignFileError((f"{where}: " if where else "") + "\n".join(told)) from None
    for path in design.fixed.paths:
        if not is_field(path):
            raise DesignFileError(
                f"{f'{where}: ' if where else ''}[fixed] names {path!r}, which is no field of a "
                "design file; write a path such as case.height or shelf.2.stock."
            )
    return design


def rewrite(text: str, changes: Mapping[str, Value | None]) -> str:
    """The text with some values changed; comments, order and spacing stay.

    `changes` maps a field path to what to write there, or to None where it is to go:
    `doors.top_depth`, `shelf.2.bay` for the second shelf, `shelf.2` for all of it. A table that
    is missing is added, and so is the next of a list of tables. The result is read before it is
    returned, so a change that makes no design raises DesignFileError and loses nothing.
    """
    from kit.toml_text.editing import changed  # tomlkit is slow to load, and a check needs none

    rewritten = changed(text, changes)
    parse(rewritten, "")
    return rewritten


def schema() -> dict[str, Any]:
    """The JSON Schema of a design file, for editors that check TOML as it is typed."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **Design.model_json_schema(by_alias=True, mode="validation"),
        "title": "Design file of the casework kit",
    }


def value_at(said: Any, path: str) -> Any:
    """What a `Design`, or the plain values of one, says at a path of its file; None where nothing.

    Rows of a list count from 1, and a choice is given as the file writes it.
    """
    value: Any = said
    for step in path.split("."):
        if isinstance(value, Spec):
            value = getattr(value, _named(type(value)).get(step, ""), None)
        elif isinstance(value, Mapping):
            value = value.get(step)
        elif isinstance(value, list | tuple) and step.isdigit() and 0 < int(step) <= len(value):
            value = value[int(step) - 1]
        else:
            return None
    return value.value if isinstance(value, Enum) else value


@cache
def _named(spec: type[Spec]) -> Mapping[str, str]:
    """The fields of a table by the name that the file has for them."""
    return {field.alias or name: name for name, field in spec.model_fields.items()}


def is_field(path: str) -> bool:
    """Whether a design file can hold something at a path: `case.height`, `shelf.2.stock`."""
    return _holds(_whole_schema(), path.split("."))


@cache
def _whole_schema() -> dict[str, Any]:
    return schema()


def _holds(part: Mapping[str, Any], steps: Sequence[str]) -> bool:
    if "$ref" in part:
        return _holds(_whole_schema()["$defs"][part["$ref"].rpartition("/")[2]], steps)
    if not steps:
        return True
    first, rest = steps[0], steps[1:]
    choices = (*part.get("anyOf", ()), *part.get("oneOf", ()))
    if any(_holds(choice, steps) for choice in choices):
        return True
    if first in part.get("properties", {}):
        return _holds(part["properties"][first], rest)
    if first.isdigit() and "items" in part:
        return _holds(part["items"], rest)
    inside = part.get("additionalProperties")
    return isinstance(inside, Mapping) and _holds(inside, rest)


def fingerprint(design: Design) -> str:
    """A hash of what the design says, the same whatever its comments, order of keys and units.

    Nor does it follow the title block: who signed the plans, when, and on what paper changes no
    board, and a label that sticks on one stays true. The revision is printed beside the hash.
    """
    plain = design.model_dump(mode="json", by_alias=True)
    # two editions of one design are one design
    del plain["shop"]["units"], plain["pack"], plain["revision"]
    text = json.dumps(plain, sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def _sentence(detail: dict[str, Any]) -> str:
    """One pydantic error as a sentence."""
    path = field_path(detail["loc"])
    kind, message, value = detail["type"], str(detail["msg"]), detail["input"]
    if kind == "missing":
        return f"{path} is missing; write it."
    if kind == "unknown_key":
        return f"{path + '.' if path else ''}{message}"
    if kind.startswith("union_tag"):
        tag = value.get("kind") if isinstance(value, dict) else value
        return f"{path}.kind is {_shown(tag)}: allowed are 'plinth', 'beam', 'legs'."
    if kind == "length":
        return f"{path}: {message}"
    message = message[:1].lower() + message[1:]
    return f"{path} is {_shown(value)}: {message}."


def field_path(loc: Sequence[str | int]) -> str:
    """A pydantic location as a path in the file, counted from 1: `shelf.2.bay`."""
    kinds = {"plinth", "beam", "legs"}
    steps = [
        step + 1 if isinstance(step, int) else step
        for number, step in enumerate(loc)
        if not (number == 1 and loc[0] == "base" and step in kinds)
    ]
    return path_of(steps)


def _shown(value: object) -> str:
    try:
        text = _SHOWN.repr(value)
    except ValueError:  # an int with more digits than Python will print
        return "a huge number"
    return text if len(text) <= 60 else text[:57] + "..."
