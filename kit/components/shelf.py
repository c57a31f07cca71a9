"""The shelf: one or more glued layers, held in dadoes or on pins, sized from its bay.

A fixed shelf enters its two uprights by a third of their thickness; an adjustable one is
shorter than the bay by a clearance at each end and lies on four pins. A lipping is a strip
of solid wood glued to the front, flush above; the sheet behind it is narrower by as much,
so that the shelf as a whole keeps its depth. Two 1/2 in layers make a 1 in shelf.
"""

import math
from collections.abc import Collection, Sequence
from enum import Enum

from pydantic import Field

from kit.board import Board, Feature, FitNote, Surface
from kit.components.made import Bay, Fastening, Frame, Made, Means, StockOf
from kit.components.spec import BayNumber, Spec
from kit.errors import BuildError
from kit.geometry import SAME_MM, Box, Heading, Place
from kit.hardware import shelf_pin_of
from kit.joinery import HoleRow, Purpose, house
from kit.units import in_both
from kit.units.fields import NonNegativeLength, PositiveLength

#: Wood left behind a pin hole, and half of that between two back to back, mm; from memory.
BEHIND, BETWEEN = 3.0, 1.0
#: Depths that the kit chooses are multiples of this, mm.
DEPTH_STEP = 0.5


class Held(Enum):
    """What carries a shelf."""

    FIXED = "fixed"
    PINS = "pins"


class PinHoles(Spec):
    """The holes for shelf pins: 5 mm at 32 mm, 37 mm from the front, unless said otherwise."""

    diameter: PositiveLength = 5.0
    """Diameter of the hole."""
    pitch: PositiveLength = 32.0
    """Distance between two holes."""
    depth: PositiveLength = 12.0
    """Depth of the hole; if left out, less in a thin upright or one with pins on both faces."""
    set_back: PositiveLength = 37.0
    """From the front and rear edge of the sheet (behind a lipping) to the middle of the row."""
    above: int = Field(default=2, ge=0, le=40)
    """Holes above the one in use."""
    below: int = Field(default=2, ge=0, le=40)
    """Holes below the one in use."""


class Lipping(Spec):
    """A strip of solid wood on the front of a shelf."""

    stock: str
    """Key of the wood."""
    thickness: PositiveLength = 19.0
    """Front to back."""
    height: PositiveLength
    """Top to bottom; flush with the top of the shelf."""


class Shelf(Spec):
    """One shelf."""

    bay: BayNumber
    """Number of the bay, from 1 at the left."""
    clear_below: PositiveLength
    """Clear height from the bottom of the case to the underside of the shelf."""
    held: Held = Held.FIXED
    """fixed (in dadoes) or pins (adjustable)."""
    stock: str | None = None
    """Key of the sheet goods; that of the case where left out."""
    layers: int = Field(default=1, ge=1, le=4)
    """Layers glued face to face."""
    side_clearance: NonNegativeLength = 1.0
    """Adjustable shelves: clearance at each end."""
    set_back: NonNegativeLength = 0.0
    """From the front limit of the bay to the front of the shelf."""
    rear_gap: NonNegativeLength = 0.0
    """Gap behind the shelf for cables and air."""
    lipping: Lipping | None = None
    """Solid strip on the front edge."""
    holes: PinHoles = PinHoles()
    """Holes for the pins of an adjustable shelf."""


def shelf_made(
    number: int,
    shelf: Shelf,
    bays: Sequence[Bay],
    *,
    frame: Frame,
    stock_of: StockOf,
    trim: float,
    beside: Collection[int] = (),
) -> Made:
    """The shelf and the housings or pin holes in its uprights.

    `beside` are the numbers of the bays that have shelves on pins.

    Raises BuildError for a bay that is not there or a shelf that does not fit it.
    """
    name = f"shelf-{number}"
    if shelf.bay > len(bays):
        raise BuildError(
            f"{name} is meant for bay {shelf.bay}, and the case has {len(bays)}; "
            "name one of those, counted from the left."
        )
    bay = bays[shelf.bay - 1]
    stock = stock_of(shelf.stock or frame.top.stock.key)
    thickness = shelf.layers * stock.thickness_mm
    under = bay.clear.lo[2] + shelf.clear_below
    if under + thickness >= bay.clear.hi[2]:
        raise BuildError(
            f"{name} needs {in_both(shelf.clear_below + thickness)} of height and bay {shelf.bay} "
            f"has {in_both(bay.clear.size[2])}; lower shelf.clear_below."
        )
    ends = (-shelf.side_clearance, -shelf.side_clearance)
    if shelf.held is Held.FIXED:
        ends = (bay.left.thickness / 3, bay.right.thickness / 3)
    lip = shelf.lipping.thickness if shelf.lipping else 0.0
    front = bay.clear.lo[1] + shelf.set_back
    #: An open bay reaches to the rear edge, but its dividers stop in front of the panels.
    rear = min(bay.clear.hi[1], bay.left.box.hi[1], bay.right.box.hi[1]) - shelf.rear_gap
    box = Box(
        (bay.clear.lo[0] - ends[0], front + lip, under),
        (bay.clear.hi[0] + ends[1], rear, under + thickness),
    )
    board = Board(
        name=name,
        stock=stock,
        layers=shelf.layers,
        trim=trim if shelf.layers > 1 else 0.0,
        length=box.size[0],
        width=box.size[1],
        place=Place.of(box, Heading.RIGHT, Heading.BACK, Heading.UP),
        edging=None if shelf.lipping else frame.top.edging,
        edged=() if shelf.lipping else frame.top.edged,
        fit=FitNote("length", f"clear width of bay {shelf.bay}", sum(ends), bay.opening),
    )
    parts = [Made((board,))]
    if shelf.lipping:
        parts.append(_lipping(shelf.lipping, board, bay, ends, front, stock_of))
    if shelf.held is Held.FIXED:
        parts.append(_housed(board, bay))
    else:
        parts.append(_pinned(shelf, board, bay, beside))
    return Made.of(parts)


def _lipping(
    lipping: Lipping,
    shelf: Board,
    bay: Bay,
    ends: tuple[float, float],
    front: float,
    stock_of: StockOf,
) -> Made:
    top = shelf.box.hi[2]
    box = Box(
        (bay.clear.lo[0] - min(ends[0], 0.0), front, top - lipping.height),
        (bay.clear.hi[0] + min(ends[1], 0.0), front + lipping.thickness, top),
    )
    if box.lo[2] < bay.clear.lo[2]:
        raise BuildError(
            f"The lipping of {shelf.name} is {in_both(lipping.height)} high and reaches below the "
            "bottom of its bay; make it lower."
        )
    strip = Board(
        name=f"{shelf.name}-lipping",
        stock=stock_of(lipping.stock, lipping.thickness),
        length=box.size[0],
        width=box.size[2],
        place=Place.of(box, Heading.RIGHT, Heading.UP, Heading.FRONT),
        fit=FitNote(
            "length", f"clear width of bay {bay.number}", 2 * min(ends[0], 0.0), bay.opening
        ),
    )
    glue = Fastening(board=strip.name, to=shelf.name, means=Means.GLUE)
    return Made((strip,), fastenings=(glue,))


def _housed(board: Board, bay: Bay) -> Made:
    hosts = (bay.left, bay.right)
    return Made(
        cuts=tuple((host.name, house(host, board)) for host in hosts),
        fastenings=tuple(
            Fastening(board=board.name, to=host.name, means=Means.GLUE) for host in hosts
        ),
    )


def _pinned(shelf: Shelf, board: Board, bay: Bay, beside: Collection[int]) -> Made:
    holes = shelf.holes
    #: A pin carries the shelf on its upper side, so the hole in use is half its width lower.
    in_use = board.box.lo[2] - holes.diameter / 2
    lowest = in_use - holes.below * holes.pitch
    cuts: list[tuple[str, Feature]] = []
    for host, next_bay in ((bay.left, bay.number - 1), (bay.right, bay.number + 1)):
        depth = _depth(holes, host, on_both=next_bay in beside)
        _refuse_off(host, board.name, holes, in_use)
        surface = Surface.FACE_A if host.place.out.sign * _side(host, bay) > 0 else Surface.FACE_B
        for y in (board.box.lo[1] + holes.set_back, board.box.hi[1] - holes.set_back):
            up, back, _ = host.place.to_board((host.box.centre[0], y, lowest))
            row = HoleRow(
                surface=surface,
                at=(up, back),
                pitch=holes.pitch,
                count=holes.above + holes.below + 1,
                along=0,
                diameter=holes.diameter,
                depth=depth,
                purpose=Purpose.SHELF_PIN,
            )
            cuts.append((host.name, row))
    pin = shelf_pin_of(holes.diameter)
    pins = Fastening(
        board=board.name,
        to=f"{bay.left.name}, {bay.right.name}",
        means=Means.SHELF_PINS,
        count=4,
        item=pin.key if pin else None,
        diameter=holes.diameter,
    )
    return Made(cuts=tuple(cuts), fastenings=(pins,))


def _depth(holes: PinHoles, host: Board, *, on_both: bool) -> float:
    """How deep the holes in an upright are: as said, else as deep as it can take them, mm."""
    if "depth" in holes.model_fields_set:
        return holes.depth
    most = host.thickness / 2 - BETWEEN if on_both else host.thickness - BEHIND
    return max(min(holes.depth, DEPTH_STEP * math.floor(most / DEPTH_STEP)), DEPTH_STEP)


def _refuse_off(host: Board, name: str, holes: PinHoles, in_use: float) -> None:
    """Refuse holes past an end of the upright, with how many there is room for."""
    ends = {
        "below": (holes.below, in_use - holes.diameter / 2 - host.box.lo[2], "raise"),
        "above": (holes.above, host.box.hi[2] - in_use - holes.diameter / 2, "lower"),
    }
    for end, (count, room, how) in ends.items():
        if count * holes.pitch > room + SAME_MM:
            most = math.floor((room + SAME_MM) / holes.pitch)
            fewer = f"let its holes.{end} be {most}, or " if most >= 0 else ""
            raise BuildError(
                f"{host.name} has no room for the {count} pin holes of {name} {end} the one in "
                f"use, {in_both(holes.pitch)} apart; {fewer}{how} {name} (clear_below)."
            )


def _side(host: Board, bay: Bay) -> int:
    """+1 where the bay lies to the right of its upright, else -1."""
    return 1 if host.name == bay.left.name else -1
