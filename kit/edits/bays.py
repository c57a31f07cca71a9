"""Bays added and taken away: a divider parts a bay in two, or two bays become one."""

from collections.abc import Callable, Iterator

from kit.components.made import Bay
from kit.edits.draft import Changes, Draft, left_to_right
from kit.edits.references import Identity, Moves, with_references
from kit.errors import BuildError
from kit.geometry import SAME_MM, bounds

#: Two shelves whose heights overlap or come nearer than this become one as their bays do, mm.
NEAR = 1.0


def add_bay(text: str, bay: int, at_mm: float | None = None) -> str:
    """The design with one more divider in a bay, in its middle, or here, mm from the left outside.

    What stands in the bay stays in its left part, and a back panel closes both. The divider is
    of the kind of its neighbour. Raises KitError where that cannot be built.
    """
    draft = Draft.of(text)
    parted = draft.bay(bay)
    left, right = parted.clear.lo[0], parted.clear.hi[0]
    at = parted.clear.centre[0] if at_mm is None else at_mm
    if not left < at < right:
        say = draft.casework.say
        raise BuildError(
            f"A divider at {say(at)} does not part bay {bay}, which is clear from {say(left)} to "
            f"{say(right)}; put it between them."
        )
    changes: Changes = {}
    row: dict[str, str] = {"at": draft.written(at)}
    beside = _beside(draft, bay)
    if beside is not None:
        like = draft.plain["divider"][beside]
        row |= {key: like[key] for key in ("joint", "stock") if key in like}
    changes[f"divider.{len(draft.design.dividers) + 1}"] = row

    def number(old: int) -> int:
        return old + 1 if old > bay else old

    changes |= _renumbered(draft, number)
    for place, panel in enumerate(_panels(draft), start=1):
        bays = {number(old) for old in panel} | ({bay + 1} if bay in panel else set())
        if bays != set(panel):
            changes[f"back.panels.{place}.bays"] = sorted(bays)
    return with_references(draft, changes, Moves(bays=_moved(draft, number)))


def remove_bay(text: str, bay: int) -> str:
    """The design without the divider at the right of a bay, or at the left of the last one.

    What stood in the two bays stands in the joined one, where it stood. Shelves span it, and two
    at one height become one; a back panel of either closes it. Holes in the divider go with it.
    Raises KitError where that cannot be built.
    """
    draft = Draft.of(text)
    draft.bay(bay)
    bays = draft.casework.bays
    if len(bays) == 1:
        raise BuildError(
            "The case has one bay and no divider to take out; add a bay, or change case.width."
        )
    left = bays[min(bay, len(bays) - 1) - 1]
    right = bays[left.number]

    def number(old: int) -> int:
        return old - 1 if old > left.number else old

    changes = _renumbered(draft, number)
    changes[f"divider.{left_to_right(draft.design)[left.number - 1] + 1}"] = None
    merged = dict(_shelves_that_meet(draft, left, right))
    changes |= {f"shelf.{row + 1}": None for (_, row) in merged if isinstance(row, int)}
    still: set[Identity] = {
        ("shelf", row)
        for row, shelf in enumerate(draft.design.shelves)
        if shelf.bay == right.number
    }
    changes |= _gear_shifted(draft, left, right)
    changes |= _contents_joined(draft, left, right, merged)
    panels, joined = _panels_joined(draft, left, right, number)
    changes |= panels
    merged |= joined
    still |= {
        ("back", row) for row, panel in enumerate(_panels(draft)) if min(panel) == right.number
    }
    return with_references(draft, changes, Moves(_moved(draft, number), merged, frozenset(still)))


def _beside(draft: Draft, bay: int) -> int | None:
    """The row of a divider at a bay, that on its right first."""
    rows = left_to_right(draft.design)
    if not rows:
        return None
    return rows[min(bay, len(rows)) - 1]


def _panels(draft: Draft) -> list[tuple[int, ...]]:
    back = draft.design.back
    return [panel.bays for panel in back.panels] if back else []


def _moved(draft: Draft, number: Callable[[int], int]) -> dict[int, int]:
    return {bay.number: number(bay.number) for bay in draft.casework.bays}


def _renumbered(draft: Draft, number: Callable[[int], int]) -> Changes:
    """The new number of the bay of every shelf, device, row of media and fan."""
    design = draft.design
    rows: dict[str, list[int | None]] = {
        "shelf": [shelf.bay for shelf in design.shelves],
        "gear": [item.bay for item in design.gear],
        "content": [content.bay for content in design.contents],
        "fan": [fan.bay for fan in design.fans],
    }
    return {
        f"{key}.{row}.bay": number(bay)
        for key, bays in rows.items()
        for row, bay in enumerate(bays, start=1)
        if bay is not None and number(bay) != bay
    }


def _shelves_that_meet(draft: Draft, left: Bay, right: Bay) -> Iterator[tuple[Identity, Identity]]:
    """Each shelf of the right bay that is at the height of one of the left bay, with that."""
    spans: dict[int, tuple[int, float, float]] = {}
    for row, shelf in enumerate(draft.design.shelves):
        names = (f"shelf-{row + 1}", f"shelf-{row + 1}-lipping")
        boxes = [b.box for b in draft.casework.boards if b.name in names]
        box = bounds(boxes)
        spans[row] = (shelf.bay, box.lo[2], box.hi[2])
    for row, (bay, low, high) in spans.items():
        if bay != right.number:
            continue
        for other, (beside, bottom, top) in spans.items():
            if beside == left.number and low < top + NEAR and bottom < high + NEAR:
                yield ("shelf", row), ("shelf", other)
                break


def _gear_shifted(draft: Draft, left: Bay, right: Bay) -> Changes:
    """Devices that say where they stand across the right bay, measured from the joined one."""
    shift = right.clear.lo[0] - left.clear.lo[0]
    return {
        f"gear.{row}.across": draft.written(placed.item.across + shift)
        for row, placed in enumerate(draft.casework.gear, start=1)
        if placed.bay is not None
        and placed.bay.number == right.number
        and placed.item.across is not None
        and not placed.arranged
    }


def _contents_joined(
    draft: Draft, left: Bay, right: Bay, merged: dict[Identity, Identity]
) -> Changes:
    """One row of media where two of one kind come to stand on one board."""
    changes: Changes = {}
    there: dict[tuple[str, Identity], int] = {}
    contents = draft.design.contents

    def surface(on: str) -> Identity:
        if not on.startswith("shelf-"):
            return ("board", on)
        shelf: Identity = ("shelf", int(on.removeprefix("shelf-")) - 1)
        return merged.get(shelf, shelf)

    for row, content in enumerate(contents):
        if content.bay == left.number:
            there.setdefault((content.kind, surface(content.on)), row)
    for row, content in enumerate(contents):
        first = there.get((content.kind, surface(content.on)))
        if content.bay != right.number or first is None:
            continue
        changes[f"content.{row + 1}"] = None
        one = contents[first].length
        if one is not None and content.length is not None:
            changes[f"content.{first + 1}.length"] = draft.written(one + content.length)
        elif one is not None:
            changes[f"content.{first + 1}.length"] = None
    return changes


def _panels_joined(
    draft: Draft, left: Bay, right: Bay, number: Callable[[int], int]
) -> tuple[Changes, dict[Identity, Identity]]:
    """The panels over the new bays; two that met on the divider become one."""
    changes: Changes = {}
    merged: dict[Identity, Identity] = {}
    panels = _panels(draft)
    at_left = next((row for row, bays in enumerate(panels) if left.number in bays), None)
    at_right = next((row for row, bays in enumerate(panels) if right.number in bays), None)
    over = [{number(bay) for bay in bays} for bays in panels]
    if at_right is not None and at_left != at_right:
        first = draft.casework.bays[min(panels[at_right]) - 1].clear.lo[0]
        to = at_right if at_left is None else at_left
        begins = left.number if at_left is None else min(panels[at_left])
        shift = first - draft.casework.bays[begins - 1].clear.lo[0]
        if to != at_right or abs(shift) > SAME_MM:
            changes |= _holes_shifted(draft, at_right, to, shift)
        if at_left is not None:
            over[at_left] |= over[at_right]
            merged["back", at_right] = ("back", at_left)
            changes[f"back.panels.{at_right + 1}"] = None
    for row, bays in enumerate(over):
        if bays != set(panels[row]) and ("back", row) not in merged:
            changes[f"back.panels.{row + 1}.bays"] = sorted(bays)
    return changes, merged


def _holes_shifted(draft: Draft, row: int, to: int, shift: float) -> Changes:
    """The cable holes of a panel, told from the first bay of the panel that takes its place."""
    changes: Changes = {}
    back = draft.design.back
    assert back is not None
    rows = draft.plain["back"]["panels"]
    taken = len(back.panels[to].holes) if to != row else 0
    for number, hole in enumerate(back.panels[row].holes):
        across = draft.written(hole.across + shift)
        path = f"back.panels.{to + 1}.holes.{taken + number + 1}"
        if to == row:
            changes[f"{path}.across"] = across
        else:
            changes[path] = {**rows[row]["holes"][number], "across": across}
    return changes
