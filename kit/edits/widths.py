"""How the width of the case is shared out among its bays."""

from collections.abc import Sequence
from itertools import accumulate

from kit.edits.draft import Changes, Draft, left_to_right
from kit.edits.references import with_references
from kit.errors import BuildError
from kit.units import length


def bay_width(text: str, bay: int, width_mm: float) -> str:
    """The design with this clear opening of a bay, mm; the others share the rest as before.

    The case keeps its width. Raises KitError where that leaves no room for them.
    """
    draft = Draft.of(text)
    draft.bay(bay)
    openings = _openings(draft)
    room = sum(openings)
    say = draft.casework.say
    if len(openings) == 1:
        raise BuildError(
            f"The case has one bay, {say(room)} wide; change case.width, or add a bay."
        )
    if not 0 < width_mm < room:
        raise BuildError(
            f"Bay {bay} cannot be {say(width_mm)} wide: the bays of this case have "
            f"{say(room)} together; choose less, or make the case wider."
        )
    share = (room - width_mm) / (room - openings[bay - 1])
    wanted = [width_mm if n == bay else o * share for n, o in enumerate(openings, start=1)]
    return with_references(draft, _shared_out(draft, wanted, exact=bay))


def even_bays(text: str) -> str:
    """The design with all clear openings equal. Raises KitError where that cannot be built."""
    draft = Draft.of(text)
    openings = _openings(draft)
    equal = [sum(openings) / len(openings)] * len(openings)
    return with_references(draft, _shared_out(draft, equal))


def move_divider(text: str, divider: int, at_mm: float) -> str:
    """The design with the middle of a divider here, mm from the outside of the left side.

    Dividers count from 1 at the left; the bays beside it change. Raises KitError for a place
    that is not between its neighbours.
    """
    draft = Draft.of(text)
    rows = left_to_right(draft.design)
    draft.count("divider", divider, len(rows))
    board = draft.casework.by_name[f"divider-{divider}"]
    left, right = draft.casework.bays[divider - 1 : divider + 1]
    half = board.thickness / 2
    words = draft.written(at_mm)
    least, most = left.clear.lo[0] + half, right.clear.hi[0] - half
    if not least < length(words) < most:
        say = draft.casework.say
        raise BuildError(
            f"divider-{divider} cannot stand at {say(at_mm)}: it has room from {say(least)} to "
            f"{say(most)} between {left.left.name} and {right.right.name}; move it between them."
        )
    row = rows[divider - 1]
    if draft.or_as_was(at_mm, draft.design.dividers[row].at) is None:
        return with_references(draft, {})
    return with_references(draft, {f"divider.{row + 1}.at": words})


def case_width_in_proportion(text: str, width_mm: float) -> str:
    """The design with this overall width of the case, mm; the bays keep their proportions.

    Raises KitError where the boards leave no room in it.
    """
    draft = Draft.of(text)
    openings = _openings(draft)
    words = draft.or_as_was(width_mm, draft.design.case.width)
    if words is None:
        return with_references(draft, {})
    room = sum(openings)
    new_room = room + length(words) - draft.design.case.width
    if new_room <= 0:
        say = draft.casework.say
        raise BuildError(
            f"A case {say(width_mm)} wide leaves no room between its uprights, which take "
            f"{say(draft.design.case.width - room)}; make it wider."
        )
    wanted = [opening * new_room / room for opening in openings]
    return with_references(draft, {"case.width": words} | _shared_out(draft, wanted))


def _openings(draft: Draft) -> list[float]:
    return [bay.clear.size[0] for bay in draft.casework.bays]


def _shared_out(draft: Draft, openings: Sequence[float], exact: int | None = None) -> Changes:
    """Where the dividers stand for these clear openings, each at a tick of the tape.

    The divider at the right of the bay `exact` is told from that at its left as written, so that
    the rounding of the two does not add up.
    """
    uprights = [bay.right.thickness for bay in draft.casework.bays[:-1]]
    first = draft.casework.frame.clear.lo[0]
    ends = list(accumulate(o + t for o, t in zip(openings[:-1], uprights, strict=True)))
    changes: Changes = {}
    stands = 0.0
    for number, (end, thick) in enumerate(zip(ends, uprights, strict=True), start=1):
        at = first + end - thick / 2
        if number == exact and number > 1:
            at = stands + (uprights[number - 2] + thick) / 2 + openings[number - 1]
        row = left_to_right(draft.design)[number - 1]
        was = draft.design.dividers[row].at
        words = draft.or_as_was(at, was)
        stands = was if words is None else length(words)
        if words is not None:
            changes[f"divider.{row + 1}.at"] = words
    return changes
