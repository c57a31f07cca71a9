"""Answers kept in a file, so that a search that was killed goes on where it was.

One answer a line, in JSON, each line written as soon as its candidate is judged; a line that a
kill cut short is passed over. A key is made of all that an answer follows from: the design, what
is changed in it, the kit itself with its tables, and the libraries that reckon for it.
"""

import hashlib
import json
from collections.abc import Mapping
from functools import cache
from importlib.metadata import version
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from types import TracebackType
from typing import IO, Self

from pydantic import TypeAdapter, ValidationError

from kit.design import Design
from kit.design_file import fingerprint
from kit.errors import OutputError
from kit.search.answer import Answer
from kit.search.request import Written

_ANSWER: TypeAdapter[Answer] = TypeAdapter(Answer)
#: What an answer is judged by: code and tables.
_JUDGES = (".py", ".csv", ".toml")
#: Libraries that an answer follows from too.
_RECKONERS = ("numpy", "packingsolver", "pydantic", "scipy")


def design_key(design: Design) -> str:
    """What a design says, and what judges it, as a text to make keys of."""
    return " ".join((kit_key(), fingerprint(design), design.shop.units.value))


def answer_key(begins: str, changes: Mapping[str, Written]) -> str:
    """The key of the answer for a design, by its `design_key`, with some values changed."""
    said = [begins, dict(changes)]
    return hashlib.sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()


@cache
def kit_key() -> str:
    """A hash of what judges, here: another check, table or solver gives other answers."""
    hashed = hashlib.sha256()
    for name in _RECKONERS:
        hashed.update(f"{name} {version(name)}\n".encode())
    for name, content in sorted(_contents(files("kit"), "")):
        hashed.update(f"{name} {len(content)}\n".encode())
        hashed.update(content)
    return hashed.hexdigest()


def _contents(folder: Traversable, path: str) -> list[tuple[str, bytes]]:
    found = []
    for entry in folder.iterdir():
        name = f"{path}/{entry.name}"
        if entry.is_dir():
            found += _contents(entry, name)
        elif entry.name.endswith(_JUDGES):
            found.append((name, entry.read_bytes()))
    return found


class Answers:
    """The answers of a file, and what is added to them; without a file, those of this run."""

    def __init__(self, path: Path | None = None) -> None:
        self._path = path
        self._known: dict[str, Answer] = {}
        self._file: IO[str] | None = None

    def __enter__(self) -> Self:
        """Read what is there. Raises OutputError where the file cannot be read or written."""
        if self._path is None:
            return self
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            self._file = self._path.open("a+", encoding="utf-8", errors="replace", newline="\n")
            self._file.seek(0)
            whole = True
            for line in self._file:
                whole = line.endswith("\n")
                self._take(line)
            if not whole:
                self._file.write("\n")
        except OSError as error:
            reason = error.strerror or error
            raise OutputError(f"{self._path} cannot be written: {reason}.") from None
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._file is not None:
            self._file.close()

    def _take(self, line: str) -> None:
        try:
            row = json.loads(line)
            self._known[row["key"]] = _ANSWER.validate_python(row["answer"])
        except (ValueError, KeyError, TypeError, ValidationError):
            return  # cut short by a kill, or not ours

    def get(self, key: str) -> Answer | None:
        """The answer of a key; None where it was never given."""
        return self._known.get(key)

    def put(self, key: str, answer: Answer) -> None:
        """Keep an answer, on the disk too. Raises OutputError."""
        self._known[key] = answer
        if self._file is None:
            return
        row = {"key": key, "answer": _ANSWER.dump_python(answer, mode="json")}
        try:
            self._file.write(json.dumps(row, ensure_ascii=False) + "\n")
            self._file.flush()  # what the system holds outlives this process
        except OSError as error:
            reason = error.strerror or error
            raise OutputError(f"{self._path} cannot be written: {reason}.") from None
