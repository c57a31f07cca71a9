"""The command line: `kit new`, `check`, `fix`, `plan`, `open`, `changes`, `search`, `what-if`,
`schema`; `kit/commands/` does them.

Exit code 0: nothing fails. 1: a finding fails; for `kit fix`, even after the changes that were
found. 2: the input could not be read, or nothing can be built from it. `kit open` ends with the
code of the program that it starts. Errors are a sentence or two on stderr.
"""

import io
import os
import signal
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from types import FrameType

from kit.commands import CANCELLED, OK, UNREADABLE, run
from kit.commands.parser import read
from kit.errors import KitError
from kit.plain_text import plain_streams


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a letter that it cannot write is told by number
            stream.reconfigure(errors="backslashreplace")
    with plain_streams():
        return _run(arguments)


def _run(arguments: Sequence[str] | None) -> int:
    options = read(arguments)
    if options is None:
        return OK
    with _interrupts() as interrupts:
        try:
            code = run(options)
            sys.stdout.flush()
            return code
        except (KeyboardInterrupt, Exception) as error:
            # Compiled libraries turn an interrupt that reaches them into errors of their own.
            if interrupts or isinstance(error, KeyboardInterrupt):
                print("kit: stopped; nothing was changed.", file=sys.stderr)
                return CANCELLED
            if isinstance(error, KitError):
                print(f"kit: {error}", file=sys.stderr)
                return UNREADABLE
            if not isinstance(error, OSError):
                raise
            # what is still to be printed has no place to go
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            if isinstance(error, BrokenPipeError):  # the reader has seen enough
                return OK
            what, why = error.filename or "What is said", error.strerror or error
            print(f"kit: {what} cannot be read or written: {why}.", file=sys.stderr)
            return UNREADABLE


@contextmanager
def _interrupts() -> Iterator[list[int]]:
    """The interrupts (Ctrl-C) that come in meanwhile; each still raises KeyboardInterrupt."""
    seen: list[int] = []

    def note(number: int, frame: FrameType | None) -> None:
        seen.append(number)
        signal.default_int_handler(number, frame)

    if threading.current_thread() is not threading.main_thread():
        yield seen  # only the main thread may change how signals are handled
        return
    before = signal.signal(signal.SIGINT, note)
    try:
        yield seen
    finally:
        signal.signal(signal.SIGINT, before)


if __name__ == "__main__":
    sys.exit(main())
