"""What stands round a device: boards, the travel of the doors, pins, neighbours."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import inf

from kit.casework import Casework, once
from kit.components.contents import Placed
from kit.components.made import Bay
from kit.components.shelf import Held, Shelf
from kit.components.stored import Stored
from kit.geometry import SAME_MM, Box

#: How far a shelf pin stands out of its upright, mm. From memory.
LEDGE = 8.0
#: What the travel of the doors is called.
DOORS = "the sliding doors"


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Something in the way: what it is called, and the box that it fills, mm."""

    name: str
    box: Box


@once
def obstacles(casework: Casework) -> tuple[Obstacle, ...]:
    """The wood of every board but the doors, the travel of each door, and the shelf pins.

    Holes, slots and chamfers count as wood, grooves do not.
    """
    return (*_wood(casework), *_travel(casework), *_pins(casework))


@once
def boards_only(casework: Casework) -> tuple[Obstacle, ...]:
    """The wood of every board but the doors and the back panels: what stays when they go."""
    return tuple(o for o in _wood(casework) if o.name not in casework.makers.panels)


def neighbours(casework: Casework, one: Placed | Stored) -> tuple[Obstacle, ...]:
    """Bodies of the other devices, and the other rows of media."""
    gear = [Obstacle(p.item.name, p.body) for p in casework.gear if p is not one]
    media = [Obstacle(row_name(m), m.box) for m in casework.media if m is not one]
    return (*gear, *media)


def row_name(stored: Stored) -> str:
    """A row of media as printed."""
    return f"{stored.kind.label} in {stored.bay.name} on {stored.content.on}"


def shared_mm3(box: Box | None, others: Iterable[Obstacle]) -> dict[str, float]:
    """Volume that a box takes from each of the others, by name, mm3; nothing of none."""
    shared: dict[str, float] = {}
    for other in others:
        common = box.common(other.box) if box is not None else None
        if common is not None:
            shared[other.name] = shared.get(other.name, 0.0) + common.volume_mm3
    return shared


def headroom(footprint: Box, others: Iterable[Obstacle]) -> tuple[float, str]:
    """Free height above the underside of a box, mm, and the name of what ends it.

    What hangs over its length and depth counts, not what stands beside it from below;
    infinite under nothing.
    """
    (x0, y0, floor), (x1, y1, _) = footprint.lo, footprint.hi
    column = Box((x0, y0, floor), (x1, y1, inf))
    over = [
        (o.box.lo[2] - floor, o.name)
        for o in others
        if o.box.lo[2] > floor + SAME_MM and column.common(o.box) is not None
    ]
    return min(over, default=(inf, ""))


def removable(casework: Casework, bay: Bay | None) -> bool:
    """Whether the back of a bay is open, or its panel can come off; so on the top of the case."""
    return bay is None or bay.open_back or bool(panel_of(casework, bay, removable=True))


def panel_of(casework: Casework, bay: Bay, *, removable: bool = False) -> str:
    """Name of the back panel that closes a bay, else empty; only one that comes off if so said."""
    back = casework.design.back
    said = back.panels if back else ()
    for name, panel in zip(casework.makers.panels, said, strict=True):
        if bay.number in panel.bays and (panel.removable or not removable):
            return name
    return ""


def _wood(casework: Casework) -> Iterator[Obstacle]:
    for board in casework.boards:
        if board.name not in casework.door_names:
            yield from (Obstacle(board.name, box) for box in board.solid_boxes)


def _travel(casework: Casework) -> Iterator[Obstacle]:
    for door in casework.doors.doors if casework.doors else ():
        (_, y0, z0), (_, y1, z1) = door.board.box.lo, door.board.box.hi
        end = door.most + door.board.box.size[0]
        yield Obstacle(DOORS, Box((door.least, y0, z0), (end, y1, z1)))


def _pins(casework: Casework) -> Iterator[Obstacle]:
    for shelf, board in zip(casework.design.shelves, casework.shelf_boards, strict=True):
        if shelf.held is Held.PINS:
            yield from _ledges(casework, shelf, board.name)


def _ledges(casework: Casework, shelf: Shelf, name: str) -> Iterator[Obstacle]:
    box, clear = casework.by_name[name].box, casework.bays[shelf.bay - 1].clear
    half, top = shelf.holes.diameter / 2, box.lo[2]
    for y in (box.lo[1] + shelf.holes.set_back, box.hi[1] - shelf.holes.set_back):
        for x0, x1 in (
            (clear.lo[0], clear.lo[0] + LEDGE),
            (clear.hi[0] - LEDGE, clear.hi[0]),
        ):
            ledge = Box((x0, y - half, top - 2 * half), (x1, y + half, top))
            yield Obstacle(f"a pin of {name}", ledge)
