"""Text that does nothing but be read: no controls, no escapes of a terminal, no turned lines."""

import sys
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from typing import IO, Any

#: Marks that override the direction of writing; letters of any script are welcome.
TURNING = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
#: Controls, and what ends a line.
UNPRINTED = ("Cc", "Cs", "Zl", "Zp")


def unprintable(text: str) -> str:
    """The first character that a line of plain text may not hold; empty where there is none."""
    if text.isascii() and text.isprintable():
        return ""
    return next((c for c in text if c in TURNING or unicodedata.category(c) in UNPRINTED), "")


def shown(text: str, *, most: int | None = None) -> str:
    r"""Text as it can be shown: what a terminal would obey is told by number, `\u001b`.

    Line breaks and tabs stay, and so do lone surrogates, which stand for bytes of a file name;
    the stream that is printed to tells those. JSON means the same afterwards. More than `most`
    characters are cut short.
    """
    if most is not None and len(text) > most:
        text = text[: most - 3] + "..."
    if not unprintable(text):
        return text
    return "".join(
        f"\\u{ord(c):04x}" if c not in "\n\t" and unprintable(c) and not _surrogate(c) else c
        for c in text
    )


@contextmanager
def plain_streams() -> Iterator[None]:
    """Whatever is printed meanwhile is shown plainly, wherever its text came from.

    After an error that nobody expected it stays so, as its traceback is still to be printed.
    """
    before = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = map(_PlainStream, before)
    try:
        yield
    finally:
        if not isinstance(sys.exception(), Exception):
            sys.stdout, sys.stderr = before


class _PlainStream:
    """A text stream that shows what is written to it; all else it leaves to the one below."""

    def __init__(self, below: IO[str]) -> None:
        self._below = below

    def write(self, text: str) -> int:
        self._below.write(shown(text))
        return len(text)

    def writelines(self, lines: Iterator[str]) -> None:
        for line in lines:
            self.write(line)

    def isatty(self) -> bool:
        return False  # or libraries would colour what they say

    def __getattr__(self, name: str) -> Any:
        return getattr(self._below, name)


def _surrogate(character: str) -> bool:
    return unicodedata.category(character) == "Cs"
