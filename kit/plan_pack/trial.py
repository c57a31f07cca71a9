"""The boards made solid in a process of their own first.

The solid kernel is compiled code: where it crashes it takes its whole process with it, and where it
hangs nothing can stop it from within. So it is tried in a child, while sheets are laid out; what
ends the child is told as an error of the board that it was at.
"""

import pickle
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from kit.board import Board
from kit.children import environment, python
from kit.errors import CancelledError, SolidError

#: The longest that the kernel may take for one board, s.
LONGEST_S = 120
#: The program of the child.
PROGRAM = "from kit.plan_pack.trial import make; make()"


@contextmanager
def tried(boards: Sequence[Board]) -> Iterator[Callable[[Callable[[], bool]], None]]:
    """Make these boards solid beside what is done meanwhile.

    What it gives waits until that is done, and asks its argument whether to stop. It raises
    SolidError, which names the board that the kernel crashed on or hung at, and CancelledError.
    What the kernel refuses without a crash is told where the solid is wanted, not here.
    """
    with tempfile.TemporaryFile() as told:
        pickle.dump(tuple(boards), told)
        told.seek(0)
        child = subprocess.Popen(
            python("-c", PROGRAM),
            stdin=told,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env=environment(),
        )

        def wait(cancelled: Callable[[], bool]) -> None:
            while True:
                try:
                    names, _ = child.communicate(timeout=0.05)
                    break
                except subprocess.TimeoutExpired:
                    if cancelled():
                        raise CancelledError(
                            "The plan pack was stopped; nothing was changed."
                        ) from None
            if child.returncode < 0:
                raise _ended(boards, names.decode().split(), -child.returncode)

        try:
            yield wait
        finally:
            child.kill()
            child.communicate()


def make() -> None:
    """Make the boards on stdin solid, and say the name of each before."""
    boards: tuple[Board, ...] = pickle.load(sys.stdin.buffer)  # written by `tried`
    from kit.solid import solid  # the kernel takes seconds to load

    for board in boards:
        print(board.name, flush=True)
        if hasattr(signal, "alarm"):
            signal.alarm(LONGEST_S)  # ends the process, whatever it hangs in
        try:
            solid(board)
        except SolidError:
            return


def _ended(boards: Sequence[Board], names: Sequence[str], number: int) -> SolidError:
    """What is told of a child that a signal ended."""
    board = next((board for board in boards if names and board.name == names[-1]), None)
    if board is None:
        return SolidError("The solid kernel crashed while it was loaded; install it anew.")
    hung = number == getattr(signal, "SIGALRM", None)
    why = f"the kernel took more than {LONGEST_S} s" if hung else "the kernel crashed"
    return SolidError(
        f"{board.name} ({board.length:.1f} x {board.width:.1f} x {board.thickness:.1f} mm) "
        f"cannot be made solid: {why}. Move or take out one of its cuts."
    )
