"""The bench: the design that is being worked on, with its way back and forth. No widgets here."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from kit import design_file, toml_text
from kit.casework import Casework, build
from kit.checks import check
from kit.design import Design
from kit.errors import KitError, OutputError
from kit.finding import Report
from kit.making.cut_list import CutRow, cut_list
from kit.saving import write

#: From the text of a design file to another text; raises KitError where there is none.
type Edit = Callable[[str], str]
#: What a field of a design file holds; None where it is left out.
type Value = toml_text.Value | None
#: How many steps back are kept.
STEPS = 200


@dataclass(frozen=True)
class Work:
    """A design file that has been read, built and judged."""

    text: str
    casework: Casework
    report: Report

    @classmethod
    def of(cls, text: str) -> "Work":
        """Read, build and check. Raises the KitError of what cannot be read or built."""
        casework = build(design_file.parse(text))
        return cls(text, casework, check(casework))

    @property
    def design(self) -> Design:
        """The design as read."""
        return self.casework.design

    @cached_property
    def rows(self) -> tuple[CutRow, ...]:
        """The cut list."""
        return cut_list(self.casework)


@dataclass
class _File:
    """Where a design is kept, and the text that is known to be there."""

    path: Path | None
    text: str = ""


class Bench:
    """One design in the making: every change is read, built and judged before it takes hold.

    A change that fails raises its KitError, and the design stays as it was. `follow` is called
    after each that does not.
    """

    def __init__(self, text: str, path: Path | None = None) -> None:
        self._work = Work.of(text)
        self._file = _File(path, text if path else "")
        # texts alone, each with its file: a piece is solved again sooner than it is kept
        self._past: list[tuple[str, _File]] = []
        self._future: list[tuple[str, _File]] = []
        self._held = False
        self._followers: list[Callable[[Work], None]] = []

    @property
    def work(self) -> Work:
        """The design as it stands."""
        return self._work

    @property
    def path(self) -> Path | None:
        """The file of the design as it stands; None where it has none yet."""
        return self._file.path

    @property
    def saved(self) -> bool:
        """Whether the file holds the design as it stands."""
        return self._work.text == self._file.text

    @property
    def can_undo(self) -> bool:
        """Whether there is a step to take back."""
        return bool(self._past)

    @property
    def can_redo(self) -> bool:
        """Whether there is a step that was taken back."""
        return bool(self._future)

    def follow(self, told: Callable[[Work], None]) -> None:
        """Call `told` with the design after each change."""
        self._followers.append(told)

    def change(self, edit: Edit, *, held: bool = False) -> None:
        """Take a step. Raises the KitError of an edit that makes no piece.

        While a control is `held` its changes are one step, until `let_go`.
        """
        text = edit(self._work.text)
        if text == self._work.text:
            return
        work = Work.of(text)
        if not (held and self._held):
            self._keep_step()
        self._held, self._future = held, []
        self._tell(work)

    def let_go(self) -> None:
        """What is changed from here on is a step of its own."""
        self._held = False

    def undo(self) -> None:
        """Take the last step back; nothing where there is none."""
        self._turn(self._past, self._future)

    def redo(self) -> None:
        """Take the step again that was last taken back; nothing where there is none."""
        self._turn(self._future, self._past)

    def load(self, path: Path) -> None:
        """Go on with the design of another file; a step that can be taken back. Raises KitError.

        Taken back, the design has its own file again.
        """
        text = design_file.read_text(path)
        work = Work.of(text)
        if (text, path) != (self._work.text, self.path):
            self._keep_step()
            self._future = []
        self._held, self._file = False, _File(path, text)
        self._tell(work)

    def save(self, path: Path | None = None, *, replace: bool = False) -> Path:
        """Write the design to its file, or to another.

        Raises OutputError, too, where that would lose what somebody else has written there, unless
        `replace` says that it may.
        """
        path = path or self.path
        if path is None:
            raise OutputError("This design has no file yet; give it a name.")
        known = self._file.text if path == self.path else None

        def objection(there: Path) -> str:
            if replace or design_file.read_text(there) == known:
                return ""
            return (
                f"{path} holds something else than was read from it here; save under another "
                "name, or save once more to replace it."
            )

        write(path, self._work.text, objection=objection)
        self._file.path, self._file.text = path, self._work.text
        self._tell(self._work)
        return path

    def _keep_step(self) -> None:
        self._past = [*self._past[-STEPS + 1 :], (self._work.text, self._file)]

    def _turn(self, source: list[tuple[str, _File]], target: list[tuple[str, _File]]) -> None:
        if not source:
            return
        text, file = source[-1]
        work = Work.of(text)
        source.pop()
        target.append((self._work.text, self._file))
        self._held, self._file = False, file
        self._tell(work)

    def _tell(self, work: Work) -> None:
        self._work = work
        for told in self._followers:
            told(work)


def refused(action: Callable[[], object]) -> str:
    """Do something, and say in a sentence why it was refused; nothing where it was not."""
    try:
        action()
    except KitError as error:
        return str(error)
    return ""
