"""The assembly: every board a named, coloured solid in its place."""

import re
import unicodedata
from collections.abc import Iterator
from typing import NamedTuple

import cadquery as cq

from kit.board import Board
from kit.casework import Casework
from kit.geometry import SAME_MM, Vec
from kit.solid.body import location, solid
from kit.solid.device import device

#: Colour of devices and media: sRGB shares and opacity.
DEVICE = (0.35, 0.4, 0.45, 0.4)


def tint(board: Board) -> Vec:
    """The colour of a board in a picture: sRGB shares from 0 to 1.

    That of its stock; a lying board a little lighter, one that faces the front a little
    darker, and the base darker again, so that neighbours can be told apart, in grey too.
    """
    shade = (1.0, 0.88, 1.12)[board.place.out.axis] * (0.8 if board.box.lo[2] < -SAME_MM else 1.0)
    code = board.stock.colour.lstrip("#")
    red, green, blue = (min(1.0, shade * int(code[i : i + 2], 16) / 255) for i in (0, 2, 4))
    return (red, green, blue)


class Part(NamedTuple):
    """One thing of the assembly: `place` puts its shape in the room, None where it is there."""

    name: str
    shape: cq.Shape
    place: cq.Location | None
    colour: cq.Color


def parts(casework: Casework, *, gear: bool = False) -> Iterator[Part]:
    """Every board under its own name; boards that are alike share one shape.

    `gear` adds the devices and rows of media, translucent, named `gear-1-receiver`.

    Raises SolidError as `solid` does.
    """
    for board in casework.boards:
        yield Part(board.name, solid(board), location(board), cq.Color(*tint(board)))
    for number, thing in enumerate(casework.gear if gear else (), start=1):
        name = f"gear-{number}-{_slug(thing.item.name)}"
        yield Part(name, device(thing), None, cq.Color(*DEVICE))
    for number, row in enumerate(casework.media if gear else (), start=1):
        box = cq.Solid.makeBox(*row.box.size, pnt=cq.Vector(*row.box.lo))
        yield Part(f"media-{number}-{row.kind.key}", box, None, cq.Color(*DEVICE))


def root(casework: Casework) -> str:
    """The name of the whole, from that of the design; no board's own."""
    name = _slug(casework.design.name)
    return f"{name}-assembly" if name in casework.by_name else name


def assembly(casework: Casework, *, gear: bool = False) -> cq.Assembly:
    """One child for each of `parts` under its name, coloured, in place; the root named `root`.

    Raises SolidError as `solid` does.
    """
    tree = cq.Assembly(name=root(casework))
    for name, shape, place, colour in parts(casework, gear=gear):
        # a copy each: boards that share a solid would share the name of the first in STEP
        own = shape if place is None else shape.copy()
        tree.add(own, name=name, loc=place, color=colour)
    return tree


def _slug(name: str) -> str:
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-") or "casework"
