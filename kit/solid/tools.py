"""Cutters as solids. Where one comes out of the wood it goes on past it, as a real one does."""

import math
from dataclasses import replace

import cadquery as cq

from kit.geometry import SAME_MM, Box, Cutter, Drill, Slot, Vec, Wedge

#: How far a cutter reaches past the wood where it comes out of it, mm.
PAST = 1.0


def tool(cutter: Cutter, size: Vec) -> cq.Solid:
    """A cutter as a solid that reaches past the wood where it comes out of the blank."""
    match cutter:
        case Box(lo, hi):
            low = [a - PAST if a <= SAME_MM else a for a in lo]
            high = [b + PAST if b >= s - SAME_MM else b for b, s in zip(hi, size, strict=True)]
            x, y, z = (b - a for a, b in zip(low, high, strict=True))
            return cq.Solid.makeBox(x, y, z, cq.Vector(*low))
        case Drill():
            bit = driven(cutter, size)
            return cq.Solid.makeCylinder(
                bit.diameter / 2, bit.depth, cq.Vector(*bit.entry), cq.Vector(*bit.heading)
            )
        case Slot(lo=low_z, hi=high_z):
            bottom = low_z - PAST if low_z <= SAME_MM else low_z
            top = high_z + PAST if high_z >= size[2] - SAME_MM else high_z
            profile = _profile(cutter).moved(cq.Location(cq.Vector(0, 0, bottom)))
            return cq.Solid.extrudeLinear(profile, [], cq.Vector(0, 0, top - bottom))
        case Wedge():
            return _prism(cutter, size)


def driven(drill: Drill, size: Vec) -> Drill:
    """The way of the bit: from clear of the wood until it stops, or is clear of it again."""
    before = _clearance(drill.entry, drill.heading, drill.diameter / 2, size)
    after = _clearance(drill.end, drill.heading, drill.diameter / 2, size) if drill.through else 0.0
    x, y, z = (p - before * d for p, d in zip(drill.entry, drill.heading, strict=True))
    return replace(drill, entry=(x, y, z), depth=before + drill.depth + after)


def _profile(slot: Slot) -> cq.Wire:
    """The section of a slot, at z = 0."""
    (x, y), radius = slot.centre, slot.width / 2
    half = slot.length / 2 - radius

    def at(u: float, v: float) -> cq.Vector:
        return cq.Vector(x + u, y + v, 0) if slot.along == 0 else cq.Vector(x - v, y + u, 0)

    if half < SAME_MM:
        return cq.Wire.makeCircle(radius, cq.Vector(x, y, 0), cq.Vector(0, 0, 1))
    return cq.Wire.assembleEdges(
        [
            cq.Edge.makeLine(at(-half, -radius), at(half, -radius)),
            cq.Edge.makeThreePointArc(at(half, -radius), at(half + radius, 0), at(half, radius)),
            cq.Edge.makeLine(at(half, radius), at(-half, radius)),
            cq.Edge.makeThreePointArc(at(-half, radius), at(-half - radius, 0), at(-half, -radius)),
        ]
    )


def _prism(wedge: Wedge, size: Vec) -> cq.Solid:
    """A wedge whose slope goes on past both faces, and whose run goes on past the ends."""
    corner, a, b, run = (cq.Vector(*v) for v in (wedge.corner, wedge.a, wedge.b, wedge.run))
    foot = corner - a.normalized() * PAST - b.normalized() * PAST
    reach_a = a.normalized() * (a.Length + PAST + PAST * a.Length / b.Length)
    reach_b = b.normalized() * (b.Length + PAST + PAST * b.Length / a.Length)
    on = run.normalized()
    begin = _clearance(corner.toTuple(), on.toTuple(), 0.0, size)
    end = _clearance((corner + run).toTuple(), on.toTuple(), 0.0, size)
    foot -= on * begin
    triangle = cq.Wire.makePolygon([foot, foot + reach_a, foot + reach_b], close=True)
    return cq.Solid.extrudeLinear(triangle, [], on * (run.Length + begin + end))


def _clearance(point: Vec, heading: Vec, radius: float, size: Vec) -> float:
    """How far to go on along `heading` until a disc at `point` is clear of the wood there.

    Nought where the point lies on no surface of the blank that `heading` runs through.
    """
    slopes = [
        abs(d)
        for p, d, s in zip(point, heading, size, strict=True)
        if (abs(p) <= SAME_MM or abs(p - s) <= SAME_MM) and abs(d) > SAME_MM
    ]
    if not slopes:
        return 0.0
    steep = min(1.0, max(slopes))
    return PAST + radius * math.sqrt(1 - steep**2) / steep
