"""What stands in and on the case: each device with its body, in its place.

Devices that share a surface stand side by side from left to right in the order of the
design file, with equal gaps, in the middle of the bay's depth or against its front.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from pydantic import Field

from kit.board import Board
from kit.components.made import Bay
from kit.components.spec import Name, Spec
from kit.errors import BuildError
from kit.gear import Connector, GearKind, connector, gear_kind
from kit.geometry import Box
from kit.units import NonNegativeLength, PositiveLength


class GearItem(Spec):
    """One device. Sizes that are left out are those of its kind, and only typical."""

    name: Name
    """Its name as printed."""
    kind: str
    """Key of the kind of gear."""
    bay: int = Field(ge=1)
    """Number of the bay it stands in."""
    on: str = "bottom"
    """Board it stands on: bottom, or a shelf by its name."""
    width: PositiveLength | None = None
    """Measured width of the body."""
    height: PositiveLength | None = None
    """Measured height, feet included."""
    depth: PositiveLength | None = None
    """Measured depth of the body, without knobs and plugs."""
    clear_side: NonNegativeLength | None = None
    """Free space that its manual asks for at each side."""
    clear_top: NonNegativeLength | None = None
    """Free space that its manual asks for above."""
    connector: str | None = None
    """Key of the rear connector that reaches furthest back."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A device in its place. `body` is its box without knobs and plugs, `space` the clear room
    between the boards around it; mm. `sharing` counts the devices in that space, itself
    included, and `row_width` is what their bodies take together.
    """

    item: GearItem
    kind: GearKind
    plug: Connector
    body: Box
    space: Box
    bay: Bay
    sharing: int
    row_width: float

    @property
    def clear_side(self) -> float | None:
        """Free space wanted at each side, mm."""
        return self.kind.clear_side_mm if self.item.clear_side is None else self.item.clear_side

    @property
    def clear_top(self) -> float | None:
        """Free space wanted above, mm."""
        return self.kind.clear_top_mm if self.item.clear_top is None else self.item.clear_top

    @property
    def measured(self) -> bool:
        """Whether all three sizes of the body were given by the maker."""
        return None not in (self.item.width, self.item.height, self.item.depth)


def place_gear(
    gear: Sequence[GearItem], bays: Sequence[Bay], shelves: Sequence[tuple[int, Board]]
) -> tuple[Placed, ...]:
    """Every device in its place, in the order of the design file.

    `shelves` are (bay number, board). Raises BuildError for a bay or shelf that is not there,
    and TableError for an unknown kind.
    """
    rows: dict[tuple[int, str], list[GearItem]] = {}
    for item in gear:
        if item.bay > len(bays):
            raise BuildError(
                f"{item.name} is meant for bay {item.bay}, and the case has {len(bays)}; "
                "name one of those, counted from the left."
            )
        rows.setdefault((item.bay, item.on), []).append(item)
    placed = {}
    for (number, on), items in rows.items():
        space = _space(items[0], bays[number - 1], on, shelves)
        for one in _side_by_side(items, space, bays[number - 1]):
            placed[id(one.item)] = one
    return tuple(placed[id(item)] for item in gear)


def _space(item: GearItem, bay: Bay, on: str, shelves: Sequence[tuple[int, Board]]) -> Box:
    boxes = {board.name: board.box for number, board in shelves if number == bay.number}
    if on != "bottom" and on not in boxes:
        there = ", ".join(["bottom", *boxes])
        raise BuildError(
            f"{item.name} is to stand on {on!r} in bay {bay.number}, where there is: {there}; "
            "name one of those."
        )
    floor = bay.clear.lo[2] if on == "bottom" else boxes[on].hi[2]
    above = [box.lo[2] for box in boxes.values() if box.lo[2] >= floor]
    (x0, y0, _), (x1, y1, z1) = bay.clear.lo, bay.clear.hi
    return Box((x0, y0, floor), (x1, y1, min([z1, *above])))


def _side_by_side(items: Sequence[GearItem], space: Box, bay: Bay) -> list[Placed]:
    kinds = [gear_kind(item.kind) for item in items]
    widths = [i.width or k.width_mm for i, k in zip(items, kinds, strict=True)]
    gap = (space.size[0] - sum(widths)) / (len(items) + 1)
    placed, x = [], space.lo[0] + gap
    for item, kind, width in zip(items, kinds, widths, strict=True):
        plug = connector(item.connector or kind.rear_connector)
        height, depth = item.height or kind.height_mm, item.depth or kind.depth_mm
        front = space.lo[1] + (kind.knob_mm or 0.0)
        spare = space.size[1] - (kind.knob_mm or 0.0) - depth - plug.depth_mm
        y = front + max(0.0, spare) / 2
        body = Box((x, y, space.lo[2]), (x + width, y + depth, space.lo[2] + height))
        placed.append(Placed(item, kind, plug, body, space, bay, len(items), sum(widths)))
        x += width + gap
    return placed
