"""The solid of a device: a body on its feet, with knobs, plugs and aerials; mm in the room."""

from functools import lru_cache

import cadquery as cq

from kit.cabling import Connector, Section
from kit.components.contents import Placed
from kit.geometry import Box, Vec
from kit.solid.turn import snapped, vec

#: Shape of what the tables give only a reach of, mm: common looks, no source.
FOOT, KNOB, AERIAL = 12.0, 14.0, 5.0


def device(placed: Placed) -> cq.Compound:
    """Body, feet, knobs, plugs with their straight depth, and aerials in use, as one compound.

    A device that only moves keeps its compound, which a location puts in its place.
    """
    corner, kind = placed.body.lo, placed.kind
    plugs = tuple((plug, said.across, said.up) for said, plug in placed.plugs)
    size = vec(map(snapped, placed.body.size))
    made = _made(size, kind.feet_mm or 0.0, kind.knob_mm or 0.0, kind.antenna_up_mm or 0.0, plugs)
    return made.moved(cq.Location(cq.Vector(*corner)))


@lru_cache(maxsize=256)
def _made(
    size: Vec,
    feet: float,
    knob: float,
    up: float,
    plugs: tuple[tuple[Connector, float | None, float | None], ...],
) -> cq.Compound:
    """A device from its lower left front corner on."""
    x, y, z = size
    parts = [_box(Box((0.0, 0.0, feet), size))]
    in_x, in_y = min(30.0, x / 4), min(30.0, y / 4)
    if feet:
        parts += [
            _rod((u, v, 0.0), (0, 0, 1), FOOT, feet)
            for u in (in_x, x - in_x)
            for v in (in_y, y - in_y)
        ]
    middle = (feet + z) / 2
    if knob:
        round_ = min(KNOB, (z - feet) / 3)
        parts += [_rod((u, 0.0, middle), (0, -1, 0), round_, knob) for u in (in_x, x - in_x)]
    if up:
        parts += [_rod((u, y - AERIAL, z), (0, 0, 1), AERIAL, up) for u in (in_x, x - in_x)]
    step = x / (len(plugs) + 1)
    for number, (plug, across, height) in enumerate(plugs, start=1):
        at = (number * step if across is None else across, middle if height is None else height)
        parts.append(_plug(plug, at[0], y, at[1]))
    return cq.Compound.makeCompound(parts)


def _plug(plug: Connector, x: float, y: float, z: float) -> cq.Solid:
    if plug.section is Section.ROUND:
        return _rod((x, y, z), (0, 1, 0), plug.plug_width_mm / 2, plug.plug_length_mm)
    w, h = plug.plug_width_mm / 2, plug.plug_height_mm / 2
    return _box(Box((x - w, y, z - h), (x + w, y + plug.plug_length_mm, z + h)))


def _box(box: Box) -> cq.Solid:
    return cq.Solid.makeBox(*box.size, pnt=cq.Vector(*box.lo))


def _rod(
    foot: tuple[float, float, float], way: tuple[int, int, int], radius: float, length: float
) -> cq.Solid:
    return cq.Solid.makeCylinder(radius, length, cq.Vector(*foot), cq.Vector(*way))
