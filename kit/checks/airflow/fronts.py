"""Openings at the front: open bays, slats and holes of doors, the gaps round doors."""

from collections.abc import Iterator
from itertools import pairwise, permutations
from math import pi

from kit.checks.airflow.air import DISCHARGE_TWO_WAY
from kit.checks.airflow.network import ROOM, Mouth, Opening, OpeningKind, Zone
from kit.checks.airflow.site import Hung, Site, Span, common, length, less, union
from kit.geometry import Box, Drill, Slot
from kit.joinery import Hole, HoleRow, SlotField

#: How far past a divider a door may end for its gap to lead into the room, mm; farther, it
#: leads into the next bay.
ENDS_SOON = 60.0
#: Narrower than this a gap is none, mm.
LEAST_GAP = 0.2


def front_openings(here: Site) -> Iterator[Opening]:
    """Every opening in the plane of the doors."""
    for bay in here.casework.bays:
        span = (bay.clear.lo[0], bay.clear.hi[0])
        yield from _open_front(here, bay.number, span, bay.clear.lo[1])
        yield from _over_the_doors(here, bay.number, span)
    for hung in here.doors:
        yield from _through(here, hung)
    yield from _between_doors(here)
    yield from _past_dividers(here)


def _open_front(here: Site, bay: int, span: Span, back: float) -> Iterator[Opening]:
    for low, high in less(span, here.covered(span)):
        if high - low < LEAST_GAP:
            continue
        for number, zone in here.of_bay(bay):
            yield _tall(
                OpeningKind.OPEN_FRONT,
                number,
                ROOM,
                width=high - low,
                span=_heights(zone),
                x=(low + high) / 2,
                discharge=DISCHARGE_TWO_WAY,
                mouths=(Mouth(1, (_box((low, high), (0.0, back), _heights(zone)),)),),
            )


def _through(here: Site, hung: Hung) -> Iterator[Opening]:
    """Slots and holes of one door; what lies before a divider or another door is shut."""
    board = hung.door.board
    field = _field_heights(hung)
    slots: dict[tuple[int, float], float] = {}
    boxes: dict[tuple[int, float], list[Box]] = {}
    for feature, cuts in board.cuts_in_room:
        if isinstance(feature, SlotField):
            for slot, box in cuts:
                assert isinstance(slot, Slot)
                for number, area, clear, width in _slot(here, hung, slot, box):
                    slots[number, width] = slots.get((number, width), 0.0) + area
                    boxes.setdefault((number, width), []).append(clear)
        elif isinstance(feature, (Hole, HoleRow)):
            for drill, box in cuts:
                assert isinstance(drill, Drill)
                if drill.through:
                    yield from _hole(here, hung, box, drill.diameter)
    for (number, width), area in slots.items():
        zone = here.zones[number]
        span = common(_heights(zone), (board.box.lo[2], board.box.hi[2]))
        span = common(span, field) if span and field else span
        if span is not None:
            xs = [clear.centre[0] for clear in boxes[number, width]]
            yield Opening(
                kind=OpeningKind.SLATS,
                a=number,
                b=ROOM,
                area_m2=area / 1e6,
                low_m=span[0] / 1000,
                high_m=span[1] / 1000,
                width_m=width / 1000,
                depth_m=board.thickness / 1000,
                x_mm=sum(xs) / len(xs),
                y_mm=hung.near,
                board=board.name,
                mouths=(Mouth(1, tuple(boxes[number, width])),),
            )


def _slot(here: Site, hung: Hung, slot: Slot, box: Box) -> Iterator[tuple[int, float, Box, float]]:
    """(zone, open area mm², its box, open width) of one slot of a door in each zone behind it.

    `box` is the one round the slot as the door stands when shut.
    """
    box = _shifted(box, hung.shift)
    across = (box.lo[0], box.hi[0])
    for low, high in less(across, here.covered(across, but=hung)):
        for number, zone in enumerate(here.zones):
            wide = common((low, high), (zone.box.lo[0], zone.box.hi[0])) if zone.bay else None
            tall = common((box.lo[2], box.hi[2]), _heights(zone)) if wide else None
            if wide and tall and wide[1] - wide[0] > LEAST_GAP:
                share = (wide[1] - wide[0]) / box.size[0] * (tall[1] - tall[0]) / box.size[2]
                width = min(wide[1] - wide[0], tall[1] - tall[0])
                clear = _box(wide, (hung.near, hung.far), tall)
                yield number, slot.area_mm2 * share, clear, round(width, 3)


def _field_heights(hung: Hung) -> Span | None:
    boxes = [
        box
        for feature, cuts in hung.door.board.cuts_in_room
        if isinstance(feature, SlotField)
        for _, box in cuts
    ]
    return (min(b.lo[2] for b in boxes), max(b.hi[2] for b in boxes)) if boxes else None


def _hole(here: Site, hung: Hung, box: Box, diameter: float) -> Iterator[Opening]:
    box = _shifted(box, hung.shift)
    x, _, z = box.centre
    number = here.at(x, z)
    if number is None or here.covered((x - 0.1, x + 0.1), but=hung):
        return
    yield Opening(
        kind=OpeningKind.PULL,
        a=number,
        b=ROOM,
        area_m2=pi / 4 * diameter**2 / 1e6,
        low_m=(z - diameter / 2) / 1000,
        high_m=(z + diameter / 2) / 1000,
        width_m=diameter / 1000,
        depth_m=hung.door.board.thickness / 1000,
        x_mm=x,
        y_mm=hung.near,
        board=hung.door.board.name,
        mouths=(Mouth(1, (box,)),),
    )


def _between_doors(here: Site) -> Iterator[Opening]:
    """The slit between two doors that overlap: in from the edge of the front one, past the edge
    of the rear one."""
    for front, rear in permutations(here.doors, 2):
        overlap = common(front.span, rear.span)
        gap = rear.near - front.far
        if gap < LEAST_GAP or overlap is None:
            continue
        outlets = [x for x in front.span if rear.span[0] < x < rear.span[1]]
        inlets = [x for x in rear.span if front.span[0] < x < front.span[1]]
        if not outlets:
            continue
        for x in inlets:
            bay = here.bay_at(x)
            for number, zone in here.of_bay(bay.number):
                ends = ((x, rear.far), (outlets[0], front.near))  # in behind, out in front
                yield _tall(
                    OpeningKind.DOOR_GAP,
                    number,
                    ROOM,
                    width=gap,
                    span=_heights(zone),
                    x=x,
                    depth=overlap[1] - overlap[0],
                    board=rear.door.board.name,
                    mouths=tuple(
                        Mouth(1, (_box((at - gap, at + gap), (y, y), _heights(zone)),))
                        for at, y in ends
                    ),
                )


def _over_the_doors(here: Site, bay: int, span: Span) -> Iterator[Opening]:
    """The play of the doors in the upper track."""
    shut = union(here.covered(span))
    covered = length(shut)
    doors = here.casework.doors
    if doors is None or covered < LEAST_GAP:
        return
    zones = list(here.of_bay(bay))
    high = zones[-1][1].box.hi[2]
    top = high / 1000
    gap = doors.spec.play / 2000
    deep = (min(hung.near for hung in here.doors), max(hung.far for hung in here.doors))
    heights = (high - 1000 * gap, high)
    yield Opening(
        kind=OpeningKind.DOOR_GAP,
        a=zones[-1][0],
        b=ROOM,
        area_m2=gap * covered / 1000,
        low_m=top,
        high_m=top,
        width_m=max(gap, LEAST_GAP / 1000),
        depth_m=2 * max(doors.engagement, 1.0) / 1000,
        x_mm=sum(span) / 2,
        mouths=(Mouth(1, tuple(_box(x, deep, heights) for x in shut)),),
    )


def _past_dividers(here: Site) -> Iterator[Opening]:
    """In front of a divider, behind the doors that stand before its two arrises.

    The way leads from bay to bay, or into the room where a door ends on the divider or soon
    after it.
    """
    for left, right in pairwise(here.casework.bays):
        box = left.right.box
        at_left = [h for h in here.doors if h.span[0] < box.lo[0] - 0.5 < h.span[1]]
        at_right = [h for h in here.doors if h.span[0] < box.hi[0] + 0.5 < h.span[1]]
        both = [*at_left, *at_right]
        gap = box.lo[1] - max((h.far for h in both), default=box.lo[1])
        if gap < LEAST_GAP:
            continue
        across = (box.lo[0], box.hi[0])
        out_left = not at_left or _ends(here, box.lo[0], at_left, -1)
        out_right = not at_right or _ends(here, box.hi[0], at_right, 1)
        for one, zone_left in here.of_bay(left.number):
            for two, zone_right in here.of_bay(right.number):
                span = common(_heights(zone_left), _heights(zone_right))
                a, b = (ROOM if out_left else one), (ROOM if out_right else two)
                if span is not None and a != b:
                    yield _tall(
                        OpeningKind.DIVIDER_GAP,
                        a,
                        b,
                        width=gap,
                        span=span,
                        x=box.centre[0],
                        depth=box.size[0],
                        board=left.right.name,
                        mouths=(Mouth(0, (_box(across, (box.lo[1] - gap, box.lo[1]), span),)),),
                    )


def _ends(here: Site, face: float, doors: list[Hung], way: int) -> bool:
    """Whether the doors end soon after the face of a divider, with none beyond."""
    end = max((hung.span[1 if way > 0 else 0] for hung in doors), key=lambda x: x * way)
    past = (end - face) * way
    beyond = (end + way * 1.0, end + way * 2.0)
    return past < ENDS_SOON and not here.covered((min(beyond), max(beyond)))


def _tall(
    kind: OpeningKind,
    a: int,
    b: int,
    *,
    width: float,
    span: Span,
    x: float,
    depth: float = 0.0,
    discharge: float = 0.61,
    board: str = "",
    mouths: tuple[Mouth, ...],
) -> Opening:
    """An upright slit or gap, mm."""
    return Opening(
        kind=kind,
        a=a,
        b=b,
        area_m2=width * (span[1] - span[0]) / 1e6,
        low_m=span[0] / 1000,
        high_m=span[1] / 1000,
        width_m=width / 1000,
        depth_m=depth / 1000,
        discharge=discharge,
        x_mm=x,
        board=board,
        mouths=mouths,
    )


def _box(x: Span, y: Span, z: Span) -> Box:
    """The box of these spans in the room."""
    return Box((x[0], y[0], z[0]), (x[1], y[1], z[1]))


def _heights(zone: Zone) -> Span:
    return (zone.box.lo[2], zone.box.hi[2])


def _shifted(box: Box, dx: float) -> Box:
    return Box((box.lo[0] + dx, *box.lo[1:]), (box.hi[0] + dx, *box.hi[1:]))
