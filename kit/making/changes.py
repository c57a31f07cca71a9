"""The change report: what becomes of boards, sheets and labels from one design to the next.

Boards are compared as printed, so that what no list shows is no change. Where a board stands does
not matter; what is cut into it does. Each is held against the one of its name, unless that one
differs and another of its kind does not: a bay more gives boards other numbers. Two sheet plans
say besides which sheets are laid out otherwise, and which labels are void; the stamp of the
design on a label does not count, since it changes with every word of the design file.
"""

import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from kit.board import Board, Feature
from kit.casework import Casework
from kit.checks import check
from kit.edition import BoardEdition, editions
from kit.joinery import Trench
from kit.making.labels import Label, labels
from kit.making.nesting.layout import SheetLayout
from kit.making.sheet_data import sheet_name
from kit.making.sheets import SheetPlan
from kit.making.table_text import csv_text
from kit.units import Step, System, decimal, length, text

#: Two places on a sheet closer than this are one, mm.
SAME_PLACE = 0.05


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


def changes(
    old: Casework,
    new: Casework,
    *,
    system: System | None = None,
    plans: tuple[SheetPlan, SheetPlan] | None = None,
) -> ChangeReport:
    """What changes from `old` to `new`, as printed in `system` (else that of the new design).

    `plans` are the sheet plans of the two, in this order; without them sheets and labels are
    not compared. Boards come in the build order of the new design, those left out at the end.
    """
    units = system or new.design.shop.units
    return ChangeReport(
        system=units,
        before=old.design.name,
        after=new.design.name,
        boards=tuple(_boards(old, new, units)),
        whole=tuple(_whole(old, new, units)),
        sheets=tuple(_sheets((old, plans[0]), (new, plans[1]))) if plans else None,
        labels=tuple(_labels((old, plans[0]), (new, plans[1]), units)) if plans else None,
    )


def printed(report: ChangeReport) -> list[dict[str, str]]:
    """Every row of the report as text: the whole, all boards, sheets and void labels."""
    rows = [_row("whole", "", "", Kind.CHANGED, d) for d in report.whole]
    for b in report.boards:
        todo = b.remedy.value + (" (it was cut already and is void)" if b.is_void else "")
        told = b.differences or (Difference("", "", ""),)
        rows += [_row("board", b.mark, b.name, b.kind, d, todo) for d in told]
    for sheet in report.sheets or ():
        pieces = Difference("pieces", "", ", ".join(sheet.pieces))
        rows.append(_row("sheet", "", sheet.name, sheet.kind, pieces))
    for label in report.labels or ():
        lines = Difference(", ".join(label.lines), "", "")
        rows.append(_row("label", label.mark, label.name, label.kind, lines, "it is void"))
    return rows


def to_csv(report: ChangeReport) -> str:
    """The printed rows as CSV text."""
    return csv_text(printed(report))


def to_text(report: ChangeReport) -> str:
    """The report as lines to be read; one sentence where nothing changes."""
    names = report.before + ("" if report.before == report.after else f" -> {report.after}")
    if report.is_empty:
        return f"{names}: nothing changes.\n"
    blocks = [(f"{names}: what changes", [d.words for d in report.whole])]
    blocks.append(("Boards", [b.words for b in report.changed] or ["none"]))
    same = [f"{b.mark} {b.name}" for b in report.boards if b.kind is Kind.SAME]
    blocks.append(("Boards as before", [", ".join(same) or "none"]))
    if report.void:
        void = ", ".join(f"{b.mark} {b.name}" for b in report.void)
        blocks.append(("Cut already and void", [void]))
    if report.sheets is None or report.labels is None:
        blocks.append(("Sheets and labels", ["not compared"]))
    else:
        blocks.append(("Sheets affected", [s.words for s in report.sheets] or ["none"]))
        blocks.append(("Labels void", [la.words for la in report.labels] or ["none"]))
    return "\n".join("\n".join([head, *(f"  {line}" for line in ls)]) for head, ls in blocks) + "\n"


def _row(
    of: str, mark: str, name: str, kind: Kind, difference: Difference, todo: str = ""
) -> dict[str, str]:
    return {
        "of": of,
        "mark": mark,
        "name": name,
        "is": kind.value,
        "what": difference.what,
        "before": difference.before,
        "after": difference.after,
        "to do": todo,
    }


# --- boards ---------------------------------------------------------------------------


def _boards(old: Casework, new: Casework, system: System) -> Iterator[BoardChange]:
    before, after = editions(old, system), editions(new, system)
    was_cut, is_cut = set(old.design.measured.cut), set(new.design.measured.cut)

    def differences(was: Board, board: Board) -> tuple[Difference, ...]:
        return tuple(_differences((was, before[was.name]), (board, after[board.name]), system))

    partners = _partners(old, new, differences)
    for board in new.boards:
        name, was = board.name, partners.get(board.name)
        found: tuple[Difference, ...] = ()
        kind, remedy = Kind.ADDED, Remedy.CUT
        if was is not None:
            found = differences(was, board)
            remedy = _remedy((was, before[was.name]), (board, after[name]), found)
            if was.name != name:
                found, remedy = (Difference("name", was.name, name),), Remedy.RENAME
            kind = Kind.CHANGED if found else Kind.SAME
        yield BoardChange(
            name=name,
            mark=new.marks[name],
            kind=kind,
            differences=found,
            remedy=remedy,
            is_cut=was is not None and (was.name in was_cut or name in is_cut),
        )
    taken = {was.name for was in partners.values()}
    for board in old.boards:
        if board.name not in taken:
            yield BoardChange(
                name=board.name,
                mark=old.marks[board.name],
                kind=Kind.REMOVED,
                differences=(),
                remedy=Remedy.DROP,
                is_cut=board.name in was_cut,
            )


def _partners(
    old: Casework, new: Casework, differences: Callable[[Board, Board], tuple[Difference, ...]]
) -> dict[str, Board]:
    """By the name of each board, the one that it was: alike first, whatever its number."""
    found: dict[str, Board] = {}
    left = dict(old.by_name)

    def pair(board: Board, was: Board) -> None:
        found[board.name] = left.pop(was.name)

    for board in new.boards:
        was = left.get(board.name)
        if was is not None and not differences(was, board):
            pair(board, was)
    for board in new.boards:
        if board.name not in found:
            role = _role(board)
            alike = (w for w in left.values() if _role(w) == role and not differences(w, board))
            if (was := next(alike, None)) is not None:
                pair(board, was)
    for board in new.boards:
        if board.name not in found and board.name in left:
            pair(board, left[board.name])
    return found


def _role(board: Board) -> str:
    """Its name without numbers: what it is."""
    return re.sub(r"\d+", "", board.name)


type _Printed = tuple[Board, BoardEdition]


def _differences(old: _Printed, new: _Printed, system: System) -> Iterator[Difference]:
    told = [_facts(*one, system) for one in (old, new)]
    for what, before in told[0].items():
        after = told[1][what]
        if before != after:
            yield Difference(what, before, after)
    yield from _joints(old[0], new[0], system)


def _facts(board: Board, printed: BoardEdition, system: System) -> dict[str, str]:
    """What is printed of a board besides its joints."""
    strip = f"{board.edging.label} on " if board.edging and board.edged else ""
    return {
        "material": board.stock.label,
        "layers": str(board.layers),
        "thickness": decimal(board.thickness, system),
        "width": printed.cut.width.text,
        "length": printed.cut.length.text,
        "edging": strip + ", ".join(surface.plain for surface in board.edged) or "none",
        "grain": board.grain.value,
        "rule to fit": printed.fit or "none",
    }


def _joints(old: Board, new: Board, system: System) -> Iterator[Difference]:
    """Cuts of one kind for one mate are held against each other in order."""
    before, after = _by_kind(old, system), _by_kind(new, system)
    for key in dict.fromkeys((*before, *after)):
        was, now = before.get(key, []), after.get(key, [])
        count = Counter(now)
        gone = [words for words in was if not _took(count, words)]
        count = Counter(was)
        come = [words for words in now if not _took(count, words)]
        for number in range(max(len(gone), len(come))):
            yield Difference(
                "joint",
                gone[number] if number < len(gone) else "",
                come[number] if number < len(come) else "",
            )


def _took(count: Counter[str], words: str) -> bool:
    """Whether there was one more of these words; it is used up."""
    count[words] -= 1
    return count[words] >= 0


def _by_kind(board: Board, system: System) -> Mapping[tuple[object, ...], list[str]]:
    found: dict[tuple[object, ...], list[str]] = defaultdict(list)
    for feature in board.features:
        mate = getattr(feature, "mate", getattr(feature, "purpose", None))
        found[type(feature), mate, feature.surface].append(_words(board, feature, system))
    return found


def _words(board: Board, feature: Feature, system: System) -> str:
    """A cut as printed: its callout, its surface, and where the machine is set to."""
    places = []
    for setting in feature.set_ups(board):
        where = f"{text(setting.fence, system)} from {setting.against.plain}"
        if setting.stations and not isinstance(feature, Trench):
            where += f" at {', '.join(text(station, system) for station in setting.stations)}"
        places.append(where)
    told = [feature.callout(board, system), f"in {feature.surface.plain}", *dict.fromkeys(places)]
    return ", ".join(told)


def _remedy(old: _Printed, new: _Printed, found: Sequence[Difference]) -> Remedy:
    what = {d.what for d in found}
    if not found:
        return Remedy.NOTHING
    if what == {"thickness"}:
        return Remedy.THICKNESS
    if what == {"rule to fit"}:
        return Remedy.BY_RULE
    if what == {"joint"}:
        return Remedy.JOINTS if all(not d.before for d in found) else Remedy.ANEW
    sizes = [d for d in found if d.what in ("width", "length")]
    smaller = all(length(d.after) < length(d.before) for d in sizes)
    bare = not any(board.features or board.edged for board, _ in (old, new))
    if sizes and smaller and bare and what <= {"width", "length", "thickness", "rule to fit"}:
        return Remedy.TRIM
    return Remedy.ANEW


# --- the whole, sheets and labels -----------------------------------------------------


def _whole(old: Casework, new: Casework, system: System) -> Iterator[Difference]:
    """Overall sizes, mass and how many findings have which status, where they differ."""
    facts = []
    for casework in (old, new):
        sizes = zip(("width", "depth", "height"), casework.box.size, strict=True)
        told = {f"overall {axis}": text(mm, system, step=Step.OVERALL) for axis, mm in sizes}
        told["mass of the boards"] = f"{casework.mass_kg:.1f} kg"
        told["boards"] = str(len(casework.boards))
        told["findings"] = check(casework).tally
        facts.append(told)
    for what, before in facts[0].items():
        if before != facts[1][what]:
            yield Difference(what, before, facts[1][what])


type _Planned = tuple[Casework, SheetPlan]


def _sheets(old: _Planned, new: _Planned) -> Iterator[SheetChange]:
    before, after = _layouts(*old), _layouts(*new)
    for name in dict.fromkeys((*before, *after)):
        was, now = before.get(name, {}), after.get(name, {})
        moved = tuple(p for p in dict.fromkeys((*was, *now)) if was.get(p) != now.get(p))
        if moved:
            kind = Kind.ADDED if not was else Kind.REMOVED if not now else Kind.CHANGED
            yield SheetChange(name, kind, moved)


def _layouts(casework: Casework, plan: SheetPlan) -> dict[str, dict[str, tuple[object, ...]]]:
    """By the name of each sheet, where each of its pieces lies."""
    return {
        f"{one.stock.label}, {sheet_name(casework, one, sheet)}": _places(sheet)
        for one in plan.stocks
        for sheet in one.layout.sheets
    }


def _places(sheet: SheetLayout) -> dict[str, tuple[object, ...]]:
    def near(mm: float) -> int:
        return round(mm / SAME_PLACE)

    found: dict[str, tuple[object, ...]] = {}
    for one in sheet.placements:
        rect = one.rect
        sides = (rect.x_mm, rect.y_mm, rect.length_mm, rect.width_mm)
        found[one.piece.name] = (*map(near, sides), one.turned)
    return found


def _labels(old: _Planned, new: _Planned, system: System) -> Iterator[LabelChange]:
    """The labels that say something else now, or whose board is gone."""
    after = {label.name: label for label in labels(*new, system)}
    for was in labels(*old, system):
        now = after.get(was.name)
        if now is None:
            yield LabelChange(was.name, was.mark, Kind.REMOVED, ())
        elif replace(was, design="") != replace(now, design=""):
            yield LabelChange(was.name, was.mark, Kind.CHANGED, tuple(_other_lines(was, now)))


def _other_lines(was: Label, now: Label) -> Iterator[str]:
    for line in Label.__slots__:
        if line != "design" and getattr(was, line) != getattr(now, line):
            yield line
