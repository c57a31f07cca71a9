"""The base under a case: plinth, centre beam or legs. It reaches from the floor to z = 0.

- plinth: a frame of front, back and two ends, set in from the case all round, with a cross
  member under every divider, so that the load of a divider reaches the floor;
- beam: a laminated beam along the middle, between two cross rails from front to back;
- legs: four legs, joined by rails under the case.

Members are butted and pocket-screwed, and the base is held to the bottom of the case by
pocket screws or by bolts in threaded inserts.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Literal

from pydantic import Field

from kit.board import Board, Surface
from kit.components.attach import Attach, above, attached, pocketed
from kit.components.made import (
    Frame,
    Made,
    StockOf,
)
from kit.components.spec import Spec
from kit.errors import BuildError
from kit.geometry import Box, Heading, Place
from kit.joinery import pocket_reach
from kit.materials import Stock
from kit.units import in_both
from kit.units.fields import NonNegativeLength, PositiveLength

#: From the ends of a rail without joints there to its first screw or bolt, mm.
RAIL_END = 40.0


class Plinth(Spec):
    """A frame set in from the case all round."""

    kind: Literal["plinth"] = "plinth"
    """This base is a plinth."""
    height: PositiveLength
    """From the floor to the case."""
    toe: NonNegativeLength = 50.0
    """How far its front stands back from the front of the case."""
    set_in: NonNegativeLength = 25.0
    """How far its ends stand in from the sides of the case."""
    rear: NonNegativeLength = 15.0
    """How far its back stands in from the rear of the case (a baseboard needs room)."""
    stock: str | None = None
    """Key of the sheet goods; that of the case where left out."""
    attach: Attach = Attach.POCKET
    """pocket-screws or bolts."""


class Beam(Spec):
    """A laminated centre beam between two cross rails."""

    kind: Literal["beam"] = "beam"
    """This base is a beam with two rails."""
    height: PositiveLength
    """From the floor to the case."""
    layers: int = Field(default=2, ge=2, le=4)
    """Layers of the beam and of the rails."""
    rail_in: PositiveLength = 150.0
    """From the sides of the case to the outside of the rails."""
    set_back: NonNegativeLength = 30.0
    """From the front and rear of the case to the ends of the rails."""
    stock: str | None = None
    """Key of the sheet goods; that of the case where left out."""
    attach: Attach = Attach.POCKET
    """pocket-screws or bolts."""


class Legs(Spec):
    """Four legs joined by rails."""

    kind: Literal["legs"] = "legs"
    """This base is a leg frame."""
    height: PositiveLength
    """From the floor to the case."""
    leg_stock: str
    """Key of the wood of the legs."""
    leg: PositiveLength = 44.0
    """Width and thickness of a leg."""
    rail_height: PositiveLength = 64.0
    """Height of the rails."""
    set_in: NonNegativeLength = 40.0
    """From the outside of the case to the legs, all round."""
    stock: str | None = None
    """Key of the sheet goods of the rails; that of the case where left out."""
    attach: Attach = Attach.POCKET
    """pocket-screws or bolts."""


type Base = Annotated[Plinth | Beam | Legs, Field(discriminator="kind")]


def base_made(
    base: Plinth | Beam | Legs,
    frame: Frame,
    dividers: Sequence[Board],
    *,
    stock_of: StockOf,
    trim: float,
) -> Made:
    """The boards of the base, joined to each other and to the bottom of the case.

    Raises BuildError where the case leaves no room for it, or stands on its own sides.
    """
    if frame.bottom.box.lo[2] > 0:
        raise BuildError(
            f"The bottom of the case lies {in_both(frame.bottom.box.lo[2])} above the ends of its "
            "sides, so the case stands on them; take the base out, or set case.inset_bottom to 0."
        )
    key = base.stock or frame.top.stock.key
    if isinstance(base, Plinth):
        return _plinth(base, frame, dividers, key, stock_of)
    if isinstance(base, Beam):
        return _beam(base, frame, dividers, key, stock_of, trim)
    return _legs(base, frame, dividers, key, stock_of)


def _plinth(
    base: Plinth, frame: Frame, dividers: Sequence[Board], key: str, stock_of: StockOf
) -> Made:
    stock = stock_of(key)
    t = stock.thickness_mm
    case = frame.right.box.hi
    x0, x1 = base.set_in, case[0] - base.set_in
    y0, y1 = base.toe, case[1] - base.rear
    low, z = -base.height, 0.0
    _need_room("base.set_in", x1 - x0, 6 * t)
    _need_room("base.toe and base.rear", y1 - y0, 6 * t)

    def rail(name: str, box: Box, along: Heading, out: Heading) -> Board:
        return _board(name, stock_of(key), box, along, Heading.UP, out)

    front = rail("base-front", Box((x0, y0, low), (x1, y0 + t, z)), Heading.RIGHT, Heading.FRONT)
    back = rail("base-back", Box((x0, y1 - t, low), (x1, y1, z)), Heading.RIGHT, Heading.BACK)
    inside = (y0 + t, y1 - t)
    ends = [
        rail(f"base-end-{side}", Box((x, inside[0], low), (x + t, inside[1], z)), Heading.BACK, out)
        for side, x, out in (("left", x0, Heading.LEFT), ("right", x1 - t, Heading.RIGHT))
    ]
    middles = [d.box.centre[0] for d in dividers if x0 + 2 * t < d.box.centre[0] < x1 - 2 * t]
    crosses = [
        replace(
            rail(
                f"base-cross-{number}",
                Box((x - t / 2, inside[0], low), (x + t / 2, inside[1], z)),
                Heading.BACK,
                Heading.LEFT,
            ),
            turnable=True,  # nobody sees it, and it is short and high for its load
        )
        for number, x in enumerate(middles, start=1)
    ]
    joints = [
        pocketed(cross, to, end)
        for cross in (*ends, *crosses)
        for to, end in ((front, Surface.END_1), (back, Surface.END_2))
    ]
    _pockets_fit("base.height", base.attach, front)
    beside = [(cross.box.lo[0], cross.box.hi[0]) for cross in crosses]
    taken = [*beside, *above(base.attach, dividers)]
    held = [attached(base.attach, member, frame, taken) for member in (front, back)]
    held += [attached(base.attach, member, frame) for member in ends]
    return Made.of([Made((front, back, *ends, *crosses)), *joints, *held])


def _beam(
    base: Beam,
    frame: Frame,
    dividers: Sequence[Board],
    key: str,
    stock_of: StockOf,
    trim: float,
) -> Made:
    stock = stock_of(key)
    t = base.layers * stock.thickness_mm
    width, depth, _ = frame.right.box.hi
    low = -base.height
    _need_room("base.rail_in", width - 2 * base.rail_in, 6 * t)
    _need_room("base.set_back", depth - 2 * base.set_back, 3 * t)

    def member(name: str, box: Box, along: Heading, out: Heading) -> Board:
        return _board(name, stock, box, along, Heading.UP, out, layers=base.layers, trim=trim)

    y = depth / 2
    beam = member(
        "base-beam",
        Box((base.rail_in + t, y - t / 2, low), (width - base.rail_in - t, y + t / 2, 0.0)),
        Heading.RIGHT,
        Heading.FRONT,
    )
    rails = [
        member(
            f"base-rail-{side}",
            Box((x, base.set_back, low), (x + t, depth - base.set_back, 0.0)),
            Heading.BACK,
            out,
        )
        for side, x, out in (
            ("left", base.rail_in, Heading.LEFT),
            ("right", width - base.rail_in - t, Heading.RIGHT),
        )
    ]
    joints = [
        pocketed(beam, rails[0], Surface.END_1),
        pocketed(beam, rails[1], Surface.END_2),
    ]
    _pockets_fit("base.height", base.attach, beam)
    held = [attached(base.attach, beam, frame, above(base.attach, dividers))]
    behind = [(beam.box.lo[1], beam.box.hi[1])]
    held += [attached(base.attach, rail, frame, behind, inset=RAIL_END) for rail in rails]
    return Made.of([Made((beam, *rails)), *joints, *held])


def _legs(base: Legs, frame: Frame, dividers: Sequence[Board], key: str, stock_of: StockOf) -> Made:
    rail_stock = stock_of(key)
    t, size = rail_stock.thickness_mm, base.leg
    width, depth, _ = frame.right.box.hi
    if base.rail_height >= base.height or t > size:
        raise BuildError(
            f"The rails of the legs are {in_both(base.rail_height)} high and {in_both(t)} thick, "
            f"the legs {in_both(base.height)} and {in_both(size)}; "
            "make the rails smaller than the legs."
        )
    _need_room("base.set_in", min(width, depth) - 2 * base.set_in, 3 * size)
    xs = {"left": base.set_in, "right": width - base.set_in - size}
    ys = {"front": base.set_in, "back": depth - base.set_in - size}
    leg_stock = stock_of(base.leg_stock, size)
    legs = {
        (row, side): _board(
            f"leg-{row}-{side}",
            leg_stock,
            Box((x, y, -base.height), (x + size, y + size, 0.0)),
            Heading.UP,
            Heading.RIGHT,
            Heading.FRONT,
        )
        for row, y in ys.items()
        for side, x in xs.items()
    }
    low, mid = -base.rail_height, (size - t) / 2
    rails = []
    for row, y in ys.items():
        out = Heading.FRONT if row == "front" else Heading.BACK
        box = Box((xs["left"] + size, y + mid, low), (xs["right"], y + mid + t, 0.0))
        rail = _board(f"base-{row}", rail_stock, box, Heading.RIGHT, Heading.UP, out)
        rails.append((rail, legs[row, "left"], legs[row, "right"]))
    for side, x in xs.items():
        out = Heading.LEFT if side == "left" else Heading.RIGHT
        box = Box((x + mid, ys["front"] + size, low), (x + mid + t, ys["back"], 0.0))
        rail = _board(f"base-end-{side}", rail_stock, box, Heading.BACK, Heading.UP, out)
        rails.append((rail, legs["front", side], legs["back", side]))
    joints = [
        pocketed(rail, leg, end)
        for rail, first, second in rails
        for leg, end in ((first, Surface.END_1), (second, Surface.END_2))
    ]
    _pockets_fit("base.rail_height", base.attach, rails[0][0])
    over = above(base.attach, dividers)
    held = [
        attached(base.attach, rail, frame, over if rail.place.along is Heading.RIGHT else ())
        for rail, _, _ in rails
    ]
    return Made.of([Made((*legs.values(), *(rail for rail, _, _ in rails))), *joints, *held])


def _board(
    name: str,
    stock: Stock,
    box: Box,
    along: Heading,
    across: Heading,
    out: Heading,
    *,
    layers: int = 1,
    trim: float = 0.0,
) -> Board:
    place = Place.of(box, along, across, out)
    length, width, _ = place.box_to_board(box).size
    return Board(
        name=name,
        stock=stock,
        layers=layers,
        trim=trim,
        length=length,
        width=width,
        place=place,
    )


def _need_room(field: str, room: float, least: float) -> None:
    if room < least:
        raise BuildError(
            f"{field}: {in_both(room)} are left for the base, and its boards need "
            f"{in_both(least)}; make it smaller, or the case larger."
        )


def _pockets_fit(field: str, attach: Attach, member: Board) -> None:
    """Refuse a board that is lower than the pockets are long that hold it to the case above."""
    least = pocket_reach(member)
    if attach is Attach.POCKET and member.width < least:
        raise BuildError(
            f"{field}: the pocket holes that hold the base to the case reach {in_both(least)} down "
            f"its boards, which are {in_both(member.width)} high; make them higher, or write "
            f'base.attach = "{Attach.BOLTS.value}".'
        )
