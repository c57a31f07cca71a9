"""What the change report tells: a board, a sheet, a label, the whole."""

from dataclasses import dataclass
from enum import Enum

from kit.units import System


class Kind(Enum):
    """What became of a board, a sheet or a label."""

    ADDED = "added"
    REMOVED = "removed"
    CHANGED = "changed"
    SAME = "unchanged"


class Remedy(Enum):
    """What to do with a board."""

    NOTHING = "nothing to do"
    CUT = "cut it"
    ANEW = "cut it anew"
    TRIM = "trim it where it is cut already"
    JOINTS = "cut the new joints in it too"
    RENAME = "only its name changes"
    BY_RULE = "cut it to fit by the new rule"
    THICKNESS = "no cut of its own changes; its sheet measures so"
    DROP = "it is not needed any more"

    @property
    def voids(self) -> bool:
        """Whether a board that was cut before is of no use for this."""
        return self in (Remedy.ANEW, Remedy.DROP)


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that differs, as printed before and after; empty where it is not there."""

    what: str
    before: str
    after: str

    @property
    def words(self) -> str:
        """`length 21 7/8 in -> 22 3/8 in`, `new joint: ...`, `joint gone: ...`."""
        if not self.before:
            return f"new {self.what}: {self.after}"
        if not self.after:
            return f"{self.what} gone: {self.before}"
        return f"{self.what} {self.before} -> {self.after}"


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardChange:
    """One board: its name and letter (the new one, where it has one), and what differs."""

    name: str
    mark: str
    kind: Kind
    differences: tuple[Difference, ...]
    remedy: Remedy
    is_cut: bool

    @property
    def is_void(self) -> bool:
        """Whether it was cut already, and for nothing."""
        return self.is_cut and self.remedy.voids

    @property
    def words(self) -> str:
        """The line for the maker: `shelf-1 (E): length 21 7/8 in -> 22 3/8 in; cut it anew`."""
        told = ", ".join(d.words for d in self.differences) or self.kind.value
        cut = "; it was cut already and is void" if self.is_void else ""
        return f"{self.name} ({self.mark}): {told}; {self.remedy.value}{cut}"


@dataclass(frozen=True, slots=True)
class SheetChange:
    """A sheet that is not laid out as before, and the pieces that moved, came or went."""

    name: str
    kind: Kind
    pieces: tuple[str, ...]

    @property
    def words(self) -> str:
        """`3/4 in walnut plywood, sheet 2: changed (shelf-1, top)`."""
        return f"{self.name}: {self.kind.value} ({', '.join(self.pieces)})"


@dataclass(frozen=True, slots=True)
class LabelChange:
    """A label that is void, and which of its lines say something else."""

    name: str
    mark: str
    kind: Kind
    lines: tuple[str, ...]

    @property
    def words(self) -> str:
        """`E shelf-1 (size, sheet)`."""
        return f"{self.mark} {self.name} ({', '.join(self.lines) or self.kind.value})"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeReport:
    """All that changes from one design to the next; sheets and labels are None without plans."""

    system: System
    before: str
    after: str
    boards: tuple[BoardChange, ...]
    whole: tuple[Difference, ...]
    sheets: tuple[SheetChange, ...] | None
    labels: tuple[LabelChange, ...] | None

    @property
    def changed(self) -> tuple[BoardChange, ...]:
        """The boards that are not what they were."""
        return tuple(b for b in self.boards if b.kind is not Kind.SAME)

    @property
    def void(self) -> tuple[BoardChange, ...]:
        """The boards that were cut already, and for nothing."""
        return tuple(b for b in self.boards if b.is_void)

    @property
    def is_empty(self) -> bool:
        """Whether nothing changes."""
        return not (self.changed or self.whole or self.sheets or self.labels)
