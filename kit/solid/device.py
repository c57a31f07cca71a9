"""The solid of a device: a body on its feet, with knobs, plugs and aerials; mm in the room."""

import cadquery as cq

from kit.cabling import Connector, Section
from kit.components.contents import Placed
from kit.geometry import Box

#: Shape of what the tables give only a reach of, mm: common looks, no source.
FOOT, KNOB, AERIAL = 12.0, 14.0, 5.0


def device(placed: Placed) -> cq.Compound:
    """Body, feet, knobs, plugs with their straight depth, and aerials in use, as one compound."""
    (x0, y0, z0), (x1, y1, z1) = placed.body.lo, placed.body.hi
    feet, knob = placed.kind.feet_mm or 0.0, placed.kind.knob_mm or 0.0
    parts = [_box(Box((x0, y0, z0 + feet), (x1, y1, z1)))]
    in_x, in_y = min(30.0, (x1 - x0) / 4), min(30.0, (y1 - y0) / 4)
    if feet:
        parts += [
            _rod((x, y, z0), (0, 0, 1), FOOT, feet)
            for x in (x0 + in_x, x1 - in_x)
            for y in (y0 + in_y, y1 - in_y)
        ]
    middle = (z0 + feet + z1) / 2
    if knob:
        round_ = min(KNOB, (z1 - z0 - feet) / 3)
        parts += [_rod((x, y0, middle), (0, -1, 0), round_, knob) for x in (x0 + in_x, x1 - in_x)]
    up = placed.kind.antenna_up_mm or 0.0
    if up:
        parts += [_rod((x, y1 - AERIAL, z1), (0, 0, 1), AERIAL, up) for x in (x0 + in_x, x1 - in_x)]
    step = (x1 - x0) / (len(placed.plugs) + 1)
    for number, (said, plug) in enumerate(placed.plugs, start=1):
        across = number * step if said.across is None else said.across
        height = middle if said.up is None else z0 + said.up
        parts.append(_plug(plug, x0 + across, y1, height))
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
