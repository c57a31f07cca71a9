"""What becomes of each board: which one it was, what differs in print, what to do with it."""

import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence

from kit.board import Board, Feature
from kit.casework import Casework
from kit.edition import BoardEdition, editions
from kit.joinery import Trench
from kit.making.changes.report import BoardChange, Difference, Kind, Remedy
from kit.units import System, decimal, length, text


def board_changes(old: Casework, new: Casework, system: System) -> Iterator[BoardChange]:
    """Every board in the build order of the new design, then those that are left out."""
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
