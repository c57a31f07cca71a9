"""Shelves added and taken away."""

from kit.components.shelf import Held, PinHoles, Shelf
from kit.edits.draft import Draft
from kit.edits.references import with_references
from kit.errors import BuildError
from kit.toml_text import Value

#: What a new shelf has in common with its nearest neighbour.
_LIKE = ("held", "stock", "layers", "side_clearance", "set_back", "rear_gap", "lipping")


def add_shelf(text: str, bay: int) -> str:
    """The design with one shelf more, in the middle of the largest free height of a bay.

    Free is what no shelf, device or row of media takes. The shelf is made and held like the
    nearest one, in the same bay if there is one; the first of all is fixed in dadoes. Raises
    KitError where there is no room for it.
    """
    draft = Draft.of(text)
    casework = draft.casework
    space = draft.bay(bay).clear
    shelves = draft.design.shelves
    taken = [
        (board.box.lo[2], board.box.hi[2])
        for row, shelf in enumerate(shelves, start=1)
        for board in casework.boards
        if shelf.bay == bay and board.name in (f"shelf-{row}", f"shelf-{row}-lipping")
    ]
    standing = [(item.bay, item.body) for item in casework.gear]
    standing += [(row.bay, row.box) for row in casework.media]
    taken += [(box.lo[2], box.hi[2]) for at, box in standing if at and at.number == bay]
    low, high = _largest_gap(space.lo[2], space.hi[2], taken)
    row: dict[str, Value] = {"bay": bay, "clear_below": ""}
    thickness = casework.frame.top.thickness
    like: Shelf | None = None
    if shelves:
        near = min(range(len(shelves)), key=lambda n: abs(shelves[n].bay - bay))
        like = shelves[near]
        said = draft.plain["shelf"][near]
        row |= {key: said[key] for key in _LIKE if key in said}
        thickness = casework.by_name[f"shelf-{near + 1}"].thickness
    if high - low <= thickness:
        raise BuildError(
            f"Bay {bay} has {casework.say(high - low)} of free height at most, and a shelf is "
            f"{casework.say(thickness)} thick; take something out of it first."
        )
    under = (low + high - thickness) / 2
    row["clear_below"] = draft.written(under - space.lo[2])
    if like is not None and like.held is Held.PINS:
        row["holes"] = {
            **{key: v for key, v in said.get("holes", {}).items() if key not in ("above", "below")},
            **_rows_within(like.holes, under - low, high - under),
        }
    return with_references(draft, {f"shelf.{len(shelves) + 1}": row})


def _rows_within(holes: PinHoles, below: float, above: float) -> dict[str, Value]:
    """How many pin holes there are over and under the one in use, where that is not as usual.

    They keep a whole hole's width from the ends of the free height, mm below and above.
    """
    in_use = holes.diameter / 2
    usual = PinHoles()
    found: dict[str, Value] = {}
    for key, count, room in (
        ("above", usual.above, above + in_use),
        ("below", usual.below, below - in_use),
    ):
        fits = min(count, max(0, int((room - 1.5 * holes.diameter) // holes.pitch)))
        if fits != count:
            found[key] = fits
    return found


def remove_shelf(text: str, number: int) -> str:
    """The design without a shelf; what stood on it stands on the floor of its bay.

    Shelves count from 1 in the order of the file. Raises KitError where that cannot be built.
    """
    draft = Draft.of(text)
    draft.count("shelf", number, len(draft.design.shelves))
    return with_references(draft, {f"shelf.{number}": None})


def _largest_gap(low: float, high: float, taken: list[tuple[float, float]]) -> tuple[float, float]:
    """The largest free span between two heights."""
    best, at = (low, low), low
    for bottom, top in [*sorted(taken), (high, high)]:
        if bottom - at > best[1] - best[0]:
            best = (at, bottom)
        at = max(at, top)
    return best
