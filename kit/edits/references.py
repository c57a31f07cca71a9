"""Names in a design file that follow the boards they name.

Boards are numbered: dividers and the crosses of a plinth from left to right, shelves and back
panels in the order of the file. An edit that adds or takes away one gives others new numbers;
holes, notches, gear and lists of boards keep naming the boards that they named.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field

from kit.casework import Casework, build
from kit.components.extra import ExtraHole, ExtraNotch
from kit.components.gear_item import GearItem
from kit.components.spaces import BOTTOM, TOP
from kit.components.stored import Content
from kit.design_file import from_data
from kit.edits.draft import Changes, Draft, left_to_right
from kit.geometry import SAME_MM
from kit.toml_text.editing import changed
from kit.units import exact

type Identity = tuple[str, int | str]
"""What a board is, whatever its number: its list and its row there (from nought), or its name."""

#: Tables that name boards or bays and make no boards themselves, besides `measured`.
_NAMING = ("hole", "notch", "gear", "content", "cable", "fan", "matched")
#: The list of the file in which a board of a kind has its row.
_LISTS = {
    "divider": "divider",
    "cross": "divider",
    "shelf": "shelf",
    "lipping": "shelf",
    "back": "back.panels",
}
_CROSS = "base-cross-"


@dataclass(frozen=True, slots=True)
class Moves:
    """What an edit does to what others name.

    `bays` are the new numbers of those that have another one; `merged` are rows that go into
    another row of their list; cuts in boards `still` keep their place in the room, where a board
    now begins farther left.
    """

    bays: Mapping[int, int] = field(default_factory=dict)
    merged: Mapping[Identity, Identity] = field(default_factory=dict)
    still: frozenset[Identity] = frozenset()


def with_references(draft: Draft, changes: Changes, moves: Moves | None = None) -> str:
    """The text with these changes and with all references after them, read and built.

    A cut in a board that is gone goes with it, and what stood on a shelf that is gone stands on
    the floor of its bay. What was measured of an opening that changes is dropped. Raises KitError
    where the result cannot be read or built.
    """
    moves = moves or Moves()
    trial = _without_names(draft, changes)
    names = _names(draft, trial, changes, moves)
    followed: Changes = dict(changes)
    followed |= _cuts(draft, trial, names, moves)
    followed |= _surfaces(draft, names)
    followed |= _lists(draft, names)
    followed |= _accepted(draft, names)
    followed |= _openings(draft, trial, moves)
    return draft.with_changes(followed)


def _without_names(draft: Draft, changes: Changes) -> Casework:
    """The boards after an edit, built without all that names them."""
    data = tomllib.loads(changed(draft.said, changes))
    measured = {key: v for key, v in data.get("measured", {}).items() if key == "thickness"}
    kept = {key: value for key, value in data.items() if key not in _NAMING}
    return build(from_data(kept | {"measured": measured}, ""))


def _identities(casework: Casework) -> dict[str, Identity]:
    """What each board is, by its name."""
    design = casework.design
    in_place = left_to_right(design)
    found: dict[str, Identity] = {name: ("board", name) for name in casework.by_name}
    for number, row in enumerate(in_place, start=1):
        found[f"divider-{number}"] = ("divider", row)
    for row in range(len(design.shelves)):
        found[f"shelf-{row + 1}"] = ("shelf", row)
        if f"shelf-{row + 1}-lipping" in casework.by_name:
            found[f"shelf-{row + 1}-lipping"] = ("lipping", row)
    for row in range(len(design.back.panels) if design.back else 0):
        found[f"back-{row + 1}"] = ("back", row)
    middles = {
        casework.by_name[f"divider-{number}"].box.centre[0]: row
        for number, row in enumerate(in_place, start=1)
    }
    for name, board in casework.by_name.items():
        if name.startswith(_CROSS):
            nearest = min(middles, key=lambda x: abs(x - board.box.centre[0]))
            found[name] = ("cross", middles[nearest])
    return found


def _names(draft: Draft, trial: Casework, changes: Changes, moves: Moves) -> dict[str, str | None]:
    """The new name of each board; None where it is gone."""
    gone: dict[str, set[int]] = {}
    for path, value in changes.items():
        parent, _, last = path.rpartition(".")
        if value is None and last.isdecimal():
            gone.setdefault(parent, set()).add(int(last) - 1)
    by_identity = {identity: name for name, identity in _identities(trial).items()}

    def after(identity: Identity) -> str | None:
        kind, row = identity
        if isinstance(row, int):
            _, row = moves.merged.get((_host(kind), row), (kind, row))
            taken = gone.get(_LISTS[kind], set())
            if row in taken:
                return None
            assert isinstance(row, int)
            row -= sum(other < row for other in taken)
        return by_identity.get((kind, row))

    return {name: after(identity) for name, identity in _identities(draft.casework).items()}


def _host(kind: str) -> str:
    return {"lipping": "shelf", "cross": "divider"}.get(kind, kind)


def _cuts(draft: Draft, trial: Casework, names: Mapping[str, str | None], moves: Moves) -> Changes:
    """Holes and notches: the board that they are in, and where in it."""
    changes: Changes = {}
    old = _identities(draft.casework)
    cuts: dict[str, ExtraHole | ExtraNotch] = {}
    cuts |= {f"hole.{number}": hole for number, hole in enumerate(draft.design.holes, start=1)}
    cuts |= {f"notch.{number}": notch for number, notch in enumerate(draft.design.notches, start=1)}
    for path, cut in cuts.items():
        name = names[cut.board]
        if name is None:
            changes[path] = None
            continue
        if name != cut.board:
            changes[f"{path}.board"] = name
        kind, row = old[cut.board]
        if (_host(kind), row) in moves.still:
            changes |= _held_still(draft, trial, path, cut, name)
    return changes


def _held_still(
    draft: Draft, trial: Casework, path: str, cut: ExtraHole | ExtraNotch, name: str
) -> Changes:
    """Where a cut is in its new board, so that it stays where it is in the room.

    A notch goes with the edge that it was cut from.
    """
    old, new = draft.casework.by_name[cut.board], trial.by_name[name]
    notch = isinstance(cut, ExtraNotch)
    alongs = cut.along if isinstance(cut, ExtraNotch) else (cut.along,)
    acrosses = cut.across if isinstance(cut, ExtraNotch) else (cut.across,)
    points = [
        new.place.to_board(old.place.to_room((along, across, 0.0)))
        for along, across in zip(alongs, acrosses, strict=True)
    ]
    xs, ys = [point[0] for point in points], [point[1] for point in points]
    # a notch out of the rear edge stays one, however deep the board is now
    at_rear = [notch and was >= old.width - SAME_MM for was in acrosses]
    ys = [new.width if rear else y for y, rear in zip(ys, at_rear, strict=True)]

    def on_edge(value: float, size: float) -> bool:
        return min(abs(value), abs(value - size)) <= SAME_MM

    sides = (("along", xs, alongs, new.length), ("across", ys, acrosses, new.width))
    if notch and not any(on_edge(value, size) for _, now, _, size in sides for value in now):
        return {path: None}
    changes: Changes = {}
    for key, now, was, size in sides:
        if any(abs(a - b) > SAME_MM for a, b in zip(now, was, strict=True)):
            # an edge is met exactly, or it is none
            words = [exact(v) if on_edge(v, size) else draft.written(v) for v in now]
            changes[f"{path}.{key}"] = words if notch else words[0]
    return changes


def _surfaces(draft: Draft, names: Mapping[str, str | None]) -> Changes:
    """What gear and contents stand on."""
    changes: Changes = {}
    standing: dict[str, GearItem | Content] = {}
    standing |= {f"gear.{number}": item for number, item in enumerate(draft.design.gear, start=1)}
    standing |= {f"content.{number}": c for number, c in enumerate(draft.design.contents, start=1)}
    for path, thing in standing.items():
        if thing.on in (None, BOTTOM, TOP):
            continue
        name = names[thing.on]
        if name is None:
            changes[f"{path}.on"] = None
            if thing.bay is None:
                shelf = int(thing.on.removeprefix("shelf-"))
                changes[f"{path}.bay"] = draft.design.shelves[shelf - 1].bay
        elif name != thing.on:
            changes[f"{path}.on"] = name
    return changes


def _lists(draft: Draft, names: Mapping[str, str | None]) -> Changes:
    """Lists of boards: those matched, and those that are cut."""
    changes: Changes = {}

    def follow(path: str, boards: tuple[str, ...], least: int, whole: str) -> None:
        left = list(dict.fromkeys(n for n in (names[board] for board in boards) if n is not None))
        if left == list(boards):
            return
        changes[path if len(left) >= least else whole] = left if len(left) >= least else None

    for number, matched in enumerate(draft.design.matched, start=1):
        follow(f"matched.{number}.boards", matched.boards, 2, f"matched.{number}")
    follow("measured.cut", draft.design.measured.cut, 1, "measured.cut")
    return changes


def _accepted(draft: Draft, names: Mapping[str, str | None]) -> Changes:
    """Acceptances of what is found of one board."""
    changes: Changes = {}
    for number, row in enumerate(draft.design.accepted, start=1):
        name = names.get(row.subject, row.subject)
        if name is None:
            changes[f"accepted.{number}"] = None
        elif name != row.subject:
            changes[f"accepted.{number}.subject"] = name
    return changes


def _openings(draft: Draft, trial: Casework, moves: Moves) -> Changes:
    """Measured openings under their new key; those that the edit changes are dropped."""
    said = draft.plain.get("measured", {}).get("opening", {})
    new_keys = {f"bay-{old}": f"bay-{new}" for old, new in moves.bays.items()}
    solved = draft.casework.openings
    kept = {}
    for key, words in said.items():
        new = new_keys.get(key, key)
        if new in trial.openings and abs(trial.openings[new] - solved[key]) <= SAME_MM:
            kept[new] = words
    changes: Changes = {
        f"measured.opening.{key}": words for key, words in kept.items() if said.get(key) != words
    }
    return changes | {f"measured.opening.{key}": None for key in said if key not in kept}
