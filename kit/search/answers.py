"""Answers kept in a file, so that a search that was killed goes on where it was.

One answer a line, in JSON, each line written as soon as its candidate is judged; a line that a
kill cut short is passed over, and so is one that no search of ours has written: the file may come
from a stranger. A key is made of all that an answer follows from: the design, what is changed in
it, the kit itself with its tables, and the libraries that reckon for it.
"""

import hashlib
import json
import os
import stat
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.metadata import version
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from types import TracebackType
from typing import IO, Any, Self

from pydantic import TypeAdapter, ValidationError

from kit.design import Design
from kit.design_file import fingerprint
from kit.errors import OutputError
from kit.plain_text import unprintable
from kit.search.answer import Answer
from kit.search.request import Written

_ANSWER: TypeAdapter[Answer] = TypeAdapter(Answer)
#: What an answer is judged by: code and tables.
_JUDGES = (".py", ".csv", ".toml")
#: Libraries that an answer follows from too.
_RECKONERS = ("numpy", "packingsolver", "pydantic", "scipy")
#: How each line of the file begins.
_BEGINS = b'{"key": "'
#: Largest file that is read, and longest line of it, bytes.
LARGEST, LONGEST = 200_000_000, 20_000
#: No number of an answer is larger (a cost in the smallest currency is the largest of them), no
#: length in mm, no text longer, no list.
_MOST, _MOST_MM, _LONGEST_TEXT, _LONGEST_LIST = 1e9, 1e5, 4000, 500


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
        self._file: IO[bytes] | None = None

    def __enter__(self) -> Self:
        """Read what is there. Raises OutputError where the file cannot be read or written."""
        if self._path is None:
            return self
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            self._file = _opened(self._path)
            line = b"\n"
            for number, line in enumerate(_lines(self._file)):
                if number == 0 and not _is_ours(line):
                    raise OutputError(
                        f"{self._path} holds something else than answers of a search; move it, "
                        "or choose another folder."
                    )
                self._take(line)
            if not line.endswith(b"\n"):
                self._file.write(b"\n")
        except OutputError:
            self.__exit__(None, None, None)
            raise
        except OSError as error:
            reason = error.strerror or error
            raise OutputError(
                f"{self._path} cannot be written: {reason}; choose another folder."
            ) from None
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._file is not None:
            self._file.close()

    def _take(self, line: bytes) -> None:
        try:
            row = json.loads(line)
            key, answer = row["key"], row["answer"]
            if isinstance(key, str) and len(key) == 64 and _sound(answer):
                self._known[key] = _ANSWER.validate_python(answer)
        except (ValueError, KeyError, TypeError, ValidationError, RecursionError):
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
            line = json.dumps(row, ensure_ascii=False) + "\n"
            self._file.write(line.encode("utf-8", errors="replace"))
            self._file.flush()  # what the system holds outlives this process
        except OSError as error:
            reason = error.strerror or error
            raise OutputError(f"{self._path} cannot be written: {reason}.") from None


def _opened(path: Path) -> IO[bytes]:
    """The file, to be read and added to; made where there is none. No link is followed."""
    if path.is_symlink():
        raise OutputError(f"{path} is a link; move it, or choose another folder.")
    flags = os.O_RDWR | os.O_CREAT | os.O_APPEND
    for name in ("O_NOFOLLOW", "O_NONBLOCK", "O_BINARY"):
        flags |= getattr(os, name, 0)
    file = os.fdopen(os.open(path, flags, 0o644), "r+b")
    status = os.fstat(file.fileno())
    if stat.S_ISREG(status.st_mode) and status.st_size <= LARGEST:
        return file
    file.close()
    raise OutputError(
        f"{path} is no file of answers, or is larger than {LARGEST / 1e6:.0f} MB; move it, or "
        "choose another folder."
    )


def _is_ours(line: bytes) -> bool:
    """Whether a line begins as an answer does; a kill may have cut it short anywhere."""
    said = line.rstrip(b"\n")[: len(_BEGINS)]
    return bool(said) and _BEGINS.startswith(said)


def _lines(file: IO[bytes]) -> Iterator[bytes]:
    """The lines of a file; of one that is too long to be an answer only where it begins."""
    while line := file.readline(LONGEST):
        rest = line
        while rest and not rest.endswith(b"\n"):
            rest = file.readline(LONGEST)
            line = line[: len(_BEGINS)] + rest[-1:]
        yield line


def _sound(value: Any, within: str = "") -> bool:
    """Whether plain values can be an answer: no negative or endless number, short plain texts."""
    match value:
        case bool() | None:
            return True
        case int() | float():
            return -1e-6 <= value <= (_MOST_MM if within.endswith("_mm") else _MOST)
        case str():
            return len(value) <= _LONGEST_TEXT and not unprintable(value)
        case list():
            return len(value) <= _LONGEST_LIST and all(_sound(one, within) for one in value)
        case dict():
            return all(_sound(one, key) for key, one in value.items())
    return False
