"""The DXF of each board, read by ezdxf, held against its solid.

Its size, every hole with its place, and the wood that is left when the machine has cut all
that the file says: that is the volume of the solid.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from io import StringIO
from itertools import pairwise

import ezdxf
import numpy as np
from ezdxf.entities import DXFGraphic

from auditing.reading import table
from auditing.wood import Hole, Wood
from auditing.writing import Pack
from kit.board import Board

type Rect = tuple[float, float, float, float]

_LAYER = re.compile(r"(?P<what>RABBET|DADO|GROOVE|BORE)-(?P<face>A|B|THROUGH)(?:-(?P<rest>.*))?")
#: Places are drawn exactly; depths stand in names of layers, to the hundredth of a mm.
PLACE, DEPTH = 1e-3, 0.005 + 1e-6
#: A hole is sampled at so many places; how far that may be off, as a share.
RINGS, SPOKES, SAMPLED = 40, 72, 0.01


@dataclass
class _Cuts:
    """What a file says is cut, along the axes of the board as cut; mm from its corner."""

    size: tuple[float, float] = (0.0, 0.0)
    outline: list[tuple[float, float]] = field(default_factory=list)
    channels: list[tuple[str, float, Rect]] = field(default_factory=list)
    rings: list[tuple[str, float, float, float, float]] = field(default_factory=list)
    slots: list[tuple[float, Rect]] = field(default_factory=list)
    side: list[tuple[float, Rect]] = field(default_factory=list)
    pockets: int = 0
    chamfers: list[tuple[float, float]] = field(default_factory=list)


def dxf(pack: Pack) -> Iterator[str]:
    """Every board has a file, and it is the board's."""
    there = {path.stem for path in (pack.folder / "dxf").glob("*.dxf")}
    if there != set(pack.wood):
        yield f"DXF: there are files for {sorted(there)}, boards {sorted(pack.wood)}"
    for name in there & set(pack.wood):
        board, wood = pack.casework.by_name[name], pack.wood[name]
        drawing = _drawing(pack.read(f"dxf/{name}.dxf"))
        if drawing.units != ezdxf.units.MM:
            yield f"DXF: {name} is not in mm"
        for problem in _compare(board, wood, _read(drawing.modelspace(), board, wood)):
            yield f"DXF: {name} {problem}"


@lru_cache(maxsize=64)
def _drawing(text: str) -> "ezdxf.document.Drawing":
    """The same file is in the packs of both systems, and takes long to read."""
    return ezdxf.read(StringIO(text))


def _read(space: "ezdxf.layouts.Modelspace", board: Board, wood: Wood) -> _Cuts:
    cuts = _Cuts()
    below = 0.0
    for entity in space:
        if entity.dxf.layer == "OUTLINE-THROUGH":
            cuts.outline = [(x, y) for x, y, *_ in entity.get_points()]
        elif entity.dxf.layer == "REFERENCE" and entity.dxftype() == "LWPOLYLINE":
            below = min(y for _, y, *_ in entity.get_points())
    xs, ys = zip(*cuts.outline, strict=True)
    cuts.size = (max(xs) - min(xs), max(ys) - min(ys))
    # which face is up is written on the board; what is cut right through, in the upper view
    up = {
        found[1]: entity.dxf.insert.y
        for entity in space
        if entity.dxftype() == "TEXT"
        and (found := re.fullmatch(rf"{board.name}, face (A|B) up", entity.dxf.text))
    }
    first = max(up, key=lambda face: up[face])

    def own(face: str, rect: Rect) -> Rect:
        x0, y0, x1, y1 = rect
        if face != first:
            y0, y1 = y0 - below, y1 - below
        if board.place.mirrored is not (face == "B"):
            y0, y1 = cuts.size[1] - y1, cuts.size[1] - y0
        return x0, y0, x1, y1

    cuts.outline = [own(first, (x, y, x, y))[:2] for x, y in cuts.outline]
    for entity in space:
        layer, rect = entity.dxf.layer, _extent(entity)
        found = _LAYER.fullmatch(layer)
        if found and found["what"] == "BORE":
            *depth, wide = found["rest"].split("-D") if "-D" in found["rest"] else (found["rest"],)
            face = first if found["face"] == "THROUGH" else found["face"]
            deep = math.inf if found["face"] == "THROUGH" else float(depth[0])
            x0, y0, x1, y1 = own(face, rect)
            named = float(wide.removeprefix("D"))
            cuts.rings.append((face, deep, named, (x0 + x1) / 2, (y0 + y1) / 2))
            if abs(x1 - x0 - named) > 2 * DEPTH:
                cuts.rings[-1] = (face, deep, math.nan, 0.0, 0.0)
        elif found:
            cuts.channels.append((found["face"], float(found["rest"]), own(found["face"], rect)))
        elif layer.startswith("SLOT-THROUGH-D"):
            cuts.slots.append((float(layer.split("-D")[-1]), own(first, rect)))
        elif layer.startswith("REFERENCE-BORE-"):
            cuts.side.append((float(layer.split("-D")[-1]), own(first, rect)))
        elif layer.startswith("REFERENCE-POCKET"):
            cuts.pockets += 1
        elif "CHAMFER" in layer:
            run = math.dist(entity.dxf.start, entity.dxf.end)
            cuts.chamfers.append((float(layer.rsplit("-", 1)[-1]), run))
    return cuts


def _extent(entity: DXFGraphic) -> Rect:
    match entity.dxftype():
        case "LWPOLYLINE":
            points = [(x, y, bulge) for x, y, *_, bulge in entity.get_points()]
            xs, ys = [p[0] for p in points], [p[1] for p in points]
            low, high = (min(xs), min(ys)), (max(xs), max(ys))
            if any(p[2] for p in points):  # half circles at both ends
                across = 1 if points[0][1] == points[1][1] else 0
                r = (high[across] - low[across]) / 2
                grow = (r, 0.0) if across == 1 else (0.0, r)
                return low[0] - grow[0], low[1] - grow[1], high[0] + grow[0], high[1] + grow[1]
            return (*low, *high)
        case "CIRCLE":
            (x, y, _), r = entity.dxf.center, entity.dxf.radius
            return x - r, y - r, x + r, y + r
        case "LINE":
            (x0, y0, _), (x1, y1, _) = entity.dxf.start, entity.dxf.end
            return min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)
    return 0.0, 0.0, 0.0, 0.0


def _compare(board: Board, wood: Wood, cuts: _Cuts) -> Iterator[str]:
    strip = float(table("edgings")[board.edging.key]["thickness_mm"]) if board.edging else 0.0
    on = [surface.name for surface in board.edged]
    left, low = strip * ("END_1" in on), strip * ("EDGE_1" in on)
    cut = (
        wood.size[0] - left - strip * ("END_2" in on),
        wood.size[1] - low - strip * ("EDGE_2" in on),
    )
    for way, drawn, truth in zip(("long", "wide"), cuts.size, cut, strict=True):
        if abs(drawn - truth) > PLACE:
            yield f"is drawn {drawn:.3f} mm {way}, and is cut {truth:.3f} mm"
            return
    yield from _holes(wood, cuts, (left, low))
    slots = sum(math.isfinite(wide) for wide, _ in cuts.slots)
    if 2 * slots != wood.half_rounds:
        yield f"has {slots} slots drawn, and its solid {wood.half_rounds / 2:g}"
    if len(cuts.chamfers) != wood.slants:
        yield f"has {len(cuts.chamfers)} chamfers drawn, and its solid {wood.slants}"
    aslant = len({hole.at for hole in wood.holes if hole.axis is None})
    if bool(aslant) != bool(cuts.pockets):
        yield f"has {cuts.pockets} pocket holes drawn, and its solid {aslant}"
    floors = {(face, depth) for face, depth, _ in cuts.channels}
    floors |= {(face, deep) for face, deep, *_ in cuts.rings if math.isfinite(deep)}
    for face, depth, _ in wood.floors:
        if not any(face == f and abs(depth - d) <= DEPTH for f, d in floors):
            yield f"has nothing {depth:.2f} mm deep in face {face} drawn, and its solid has"
    yield from _volume(wood, cuts, strip * _round(board.edged, wood))


def _round(edged: object, wood: Wood) -> float:
    length, width, thickness = wood.size
    ends = {"END_1": width, "END_2": width, "EDGE_1": length, "EDGE_2": length}
    return thickness * sum(ends[surface.name] for surface in edged)  # type: ignore[attr-defined]


def _holes(wood: Wood, cuts: _Cuts, corner: tuple[float, float]) -> Iterator[str]:
    """Each circle is a hole of the solid: its place, width, depth and face; and none is left."""
    upright = [hole for hole in wood.holes if hole.axis == 2]
    for face, deep, wide, x, y in cuts.rings:
        hit = next((h for h in upright if _is(h, wood.size, face, deep, wide, x, y, corner)), None)
        if hit is None:
            yield f"has a hole {wide:.2f} mm wide at {x:.2f}, {y:.2f} that its solid has not"
        else:
            upright.remove(hit)
    if upright:
        yield f"lacks {len(upright)} holes of its solid, one {upright[0].diameter:.2f} mm wide"
    for axis in (0, 1):
        there = sorted(h.diameter for h in wood.holes if h.axis == axis)
        drawn = sorted(wide for wide, r in cuts.side if (r[2] - r[0] > wide + DEPTH) is (axis == 0))
        if len(there) + len(drawn) and sum(h.axis in (0, 1) for h in wood.holes) != len(cuts.side):
            yield f"has {len(drawn)} holes drawn along axis {axis}, and its solid {len(there)}"


def _is(
    hole: Hole,
    size: tuple[float, float, float],
    face: str,
    deep: float,
    wide: float,
    x: float,
    y: float,
    corner: tuple[float, float],
) -> bool:
    there = (hole.at[0] - corner[0], hole.at[1] - corner[1])
    if math.dist(there, (x, y)) > PLACE or abs(hole.diameter - wide) > DEPTH:
        return False
    if math.isinf(deep):
        return hole.through
    said = any(abs(depth - deep) <= DEPTH for depth in hole.depths(size))
    return said and (hole.open_hi if face == "A" else hole.open_lo)


def _volume(wood: Wood, cuts: _Cuts, edging: float) -> Iterator[str]:
    """The wood that is left where the machine has cut all that the file says."""
    if cuts.pockets:
        return
    rects = [rect for *_, rect in cuts.channels]
    if any(_meet(side, other) for _, side in cuts.side for other in rects):
        return  # where in the thickness such a hole lies the file does not say
    xs = _lines([x for x, _ in cuts.outline], [v for r in rects for v in (r[0], r[2])])
    ys = _lines([y for _, y in cuts.outline], [v for r in rects for v in (r[1], r[3])])
    area, removed, thick = 0.0, 0.0, wood.size[2]
    for x0, x1 in pairwise(xs):
        for y0, y1 in pairwise(ys):
            at = ((x0 + x1) / 2, (y0 + y1) / 2)
            if _within(at, cuts.outline):
                cell = (x1 - x0) * (y1 - y0)
                area += cell
                removed += cell * min(thick, sum(_depths(cuts, *at).values()))
    slack = 10.0 + edging / 2 + 1e-6 * wood.volume
    slack += DEPTH * sum((r[2] - r[0]) * (r[3] - r[1]) for r in rects)
    round_holes = 0.0
    done: list[tuple[str, float, float, float, float]] = []
    for ring in cuts.rings:
        mean = _sampled(cuts, ring, done, thick)
        disc = math.pi * ring[2] ** 2 / 4
        round_holes += mean * disc
        slack += SAMPLED * disc * thick
        done.append(ring)
    for wide, (x0, y0, x1, y1) in cuts.slots:
        run = max(x1 - x0, y1 - y0) - wide
        round_holes += thick * (run * wide + math.pi * wide**2 / 4)
        slack += thick * DEPTH * run * 2
    for wide, (x0, y0, x1, y1) in cuts.side:
        run = max(x1 - x0, y1 - y0) if abs(x1 - x0 - y1 + y0) > PLACE else wide
        round_holes += math.pi * wide**2 / 4 * run
        slack += SAMPLED * math.pi * wide**2 / 4 * run
    bevels = sum(size**2 / 2 * run for size, run in cuts.chamfers)
    slack += sum(size**2 * 250 for size, _ in cuts.chamfers)
    left = area * thick - removed - round_holes - bevels
    if not -slack <= left - wood.volume + edging / 2 <= slack:
        cm3 = (left / 1000, wood.volume / 1000)
        yield f"leaves {cm3[0]:.2f} cm3 of wood, and its solid has {cm3[1]:.2f} cm3"


def _meet(a: Rect, b: Rect) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _lines(*values: list[float]) -> list[float]:
    found: list[float] = []
    for value in sorted(v for run in values for v in run):
        if not found or value - found[-1] > 1e-6:
            found.append(value)
    return found


def _depths(cuts: _Cuts, x: float, y: float) -> dict[str, float]:
    deepest = {"A": 0.0, "B": 0.0}
    for face, depth, (x0, y0, x1, y1) in cuts.channels:
        if x0 < x < x1 and y0 < y < y1:
            deepest[face] = max(deepest[face], depth)
    return deepest


def _within(at: tuple[float, float], loop: list[tuple[float, float]]) -> bool:
    inside = False
    for (x0, y0), (x1, y1) in zip(loop, [*loop[1:], loop[0]], strict=True):
        if (y0 > at[1]) is not (y1 > at[1]) and at[0] < x0 + (at[1] - y0) / (y1 - y0) * (x1 - x0):
            inside = not inside
    return inside


def _sampled(
    cuts: _Cuts,
    ring: tuple[str, float, float, float, float],
    done: list[tuple[str, float, float, float, float]],
    thick: float,
) -> float:
    """The mean depth, mm, that a hole takes where channels and other holes left wood."""
    face, deep, wide, x, y = ring
    radii = wide / 2 * np.sqrt((np.arange(RINGS) + 0.5) / RINGS)
    turns = 2 * np.pi * (np.arange(SPOKES) + 0.5) / SPOKES
    px = x + np.outer(radii, np.cos(turns)).ravel()
    py = y + np.outer(radii, np.sin(turns)).ravel()
    deepest = {"A": np.zeros(px.size), "B": np.zeros(px.size)}
    for side, depth, (x0, y0, x1, y1) in cuts.channels:
        here = (x0 < px) & (px < x1) & (y0 < py) & (py < y1)
        deepest[side] = np.where(here, np.maximum(deepest[side], depth), deepest[side])
    for side, depth, other, ox, oy in done:
        here = np.hypot(px - ox, py - oy) < other / 2
        depth = min(depth, thick)
        deepest[side] = np.where(here, np.maximum(deepest[side], depth), deepest[side])
    before = np.minimum(thick, deepest["A"] + deepest["B"])
    deepest[face] = np.maximum(deepest[face], min(deep, thick))
    after = np.minimum(thick, deepest["A"] + deepest["B"])
    return float((after - before).mean())
