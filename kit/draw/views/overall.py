"""Front, top and right side in one scale, in third-angle projection."""

from collections.abc import Iterable

from kit.casework import Casework
from kit.draw.drafting import (
    TITLE,
    Figure,
    Scale,
    Side,
    Station,
    Words,
    largest_scale,
    ordinates,
)
from kit.draw.drafting.figure import Item
from kit.draw.svg import Anchor
from kit.draw.views.drawing import Drawing
from kit.draw.views.scene import Look, Paper, seen
from kit.units import Step, System, text

#: Between the views, and from a view to its caption, mm on paper.
GAP, CAPTION = 16.0, 4.0


def overall(casework: Casework, system: System, room: tuple[float, float]) -> Drawing:
    """The three views at the largest scale that fits `room` (width, height in mm on paper).

    Stations are read from the left side, the floor and the front.
    """
    made: dict[Scale, Figure] = {}

    def fits(scale: Scale) -> bool:
        made[scale] = _views(casework, system, scale)
        frame = made[scale].frame
        return frame.width <= room[0] and frame.height <= room[1]

    scale = largest_scale(system, fits, most=2.0)
    return Drawing("Front, top and right side", scale, made[scale])


def _views(casework: Casework, system: System, scale: Scale) -> Figure:
    lo, hi = casework.box.lo, casework.box.hi
    width, depth, height = (scale.on_paper(b - a) for a, b in zip(lo, hi, strict=True))
    front = seen(casework, Look.FRONT, Paper(scale, (lo[0], lo[2])))
    top = seen(casework, Look.TOP, Paper(scale, (lo[0], lo[1])))
    side = seen(casework, Look.RIGHT, Paper(scale, (lo[1], lo[2])))
    beside = width + GAP
    items: list[Item] = [*front.items]
    items += top.moved(0.0, height + GAP).items
    items += side.moved(beside, 0.0).items
    captions = (("Front", 0.0, height), ("Top", 0.0, height + GAP + depth))
    for words, x, y in (*captions, ("Right side", beside, height)):
        items.append(Words((x, y + CAPTION), words, TITLE, Anchor.START))
    across = {lo[0], hi[0]} | {x for b in casework.bays for x in (b.clear.lo[0], b.clear.hi[0])}
    clear = casework.frame.clear
    levels = {lo[2], 0.0, clear.lo[2], clear.hi[2], hi[2]}
    levels |= {z for b in casework.frame.boards for z in (b.box.lo[2],) if b.box.lo[2] > 0}
    deep = {lo[1], 0.0, casework.frame.left.box.hi[1], hi[1]}
    below = stations(across, lo[0], scale, system)
    placed = ordinates(below, Side.BELOW, 0.0)
    past = -min(0.0, *(item.frame.x0 for item in placed))
    items += placed
    items += ordinates(stations(levels, lo[2], scale, system), Side.LEFT, 0.0, clear=past)
    items += (
        Figure(ordinates(stations(deep, lo[1], scale, system), Side.BELOW, 0.0))
        .moved(beside, 0.0)
        .items
    )
    return Figure(tuple(items))


def stations(wanted: Iterable[float], datum: float, scale: Scale, system: System) -> list[Station]:
    """Stations from a datum, those that print alike once."""
    by_words: dict[str, Station] = {}
    for mm in sorted(wanted):
        words = text(mm - datum, system, step=Step.JOINT, unit=False)
        by_words.setdefault(words, Station(scale.on_paper(mm - datum), words))
    return list(by_words.values())
