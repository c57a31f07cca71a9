"""Openings elsewhere: open backs, holes and notches, gaps at shelves, the wall, fans, joints."""

from collections.abc import Iterator, Mapping

from kit.board import Board
from kit.checks.airflow.air import DISCHARGE, DISCHARGE_TWO_WAY, density_kg_m3
from kit.checks.airflow.network import (
    ROOM,
    Mouth,
    Opening,
    OpeningKind,
    ZoneKind,
    fan_opening,
)
from kit.checks.airflow.site import Site, Span, common, shelf_levels, under
from kit.components.fan import Mounted, Moves
from kit.components.made import Bay
from kit.geometry import Box
from kit.joinery import Hole, HoleRow, Notch, Purpose, SlotField

#: What the cables take of a hole that is meant for them, where nobody has counted them.
#: Common practice, no source: fill a hole to 40 % at most.
CABLES_FILL = 0.4
#: The open joints of a zone, low and high: no case is tight. An estimate, mm².
JOINTS_MM2 = 10.0

KINDS = {
    Purpose.CABLE: OpeningKind.CABLE_HOLE,
    Purpose.VENT: OpeningKind.VENT,
    Purpose.PULL: OpeningKind.PULL,
}


def standing_openings(here: Site, fill: Mapping[str, float]) -> Iterator[Opening]:
    """Every opening that stays as it is wherever the doors stand.

    `fill` is the share of the cable holes of a board that cables take, by the board's name;
    CABLES_FILL where it is not given.
    """
    for bay in here.casework.bays:
        if bay.open_back:
            yield from _open_back(here, bay)
    # what is cut through an added board is left open by it, and joins nothing of its own
    apart = {hung.door.board.name for hung in here.doors} | set(here.casework.added)
    for board in here.casework.boards:
        if board.name not in apart:
            yield from _cuts(here, board, fill.get(board.name, CABLES_FILL))
    yield from _to_the_wall(here)
    for fan in here.casework.fans:
        if fan.body is not None:
            yield _fan(here, fan, fan.body)
    yield from _joints(here)


def shelf_gaps(here: Site) -> Iterator[Opening]:
    """The gaps round the shelves: in front they reach to the doors."""
    for bay in here.casework.bays:
        yield from _past_shelves(here, bay)


def _open_back(here: Site, bay: Bay) -> Iterator[Opening]:
    behind = here.number(ZoneKind.BEHIND)
    assert behind is not None
    for number, zone in here.of_bay(bay.number):
        (x, _, _), (w, _, h) = zone.box.centre, zone.box.size
        yield Opening(
            kind=OpeningKind.OPEN_BACK,
            a=number,
            b=behind,
            area_m2=w * h / 1e6,
            low_m=zone.box.lo[2] / 1000,
            high_m=zone.box.hi[2] / 1000,
            width_m=min(w, h) / 1000,
            depth_m=0.0,
            discharge=DISCHARGE_TWO_WAY,
            x_mm=x,
            y_mm=here.depth,
            mouths=(_mouth(1, zone.box, {1: (bay.clear.hi[1], here.depth)}),),
        )


def _past_shelves(here: Site, bay: Bay) -> Iterator[Opening]:
    """Behind, in front of and beside the shelves of a bay, from each zone to the one above."""
    zones = list(here.of_bay(bay.number))
    clear = bay.clear
    span = (clear.lo[0], clear.hi[0])
    faces = [h.far for h in here.doors if common(span, h.span)]
    front = max(faces) if faces else clear.lo[1]
    for level in shelf_levels(here.casework, bay):
        boxes = [part.box for b in level for part in here.casework.with_strips(b.name)]
        lo = [min(box.lo[i] for box in boxes) for i in range(3)]
        hi = [max(box.hi[i] for box in boxes) for i in range(3)]
        low = min(b.box.lo[2] for b in level)
        below = [n for n, zone in zones if zone.box.hi[2] <= low + 1e-6]
        above = [n for n, zone in zones if zone.box.lo[2] >= hi[2] - 1e-6]
        if not below or not above:
            continue
        wide, deep, thick = clear.size[0], hi[1] - lo[1], hi[2] - low
        sides = max(0.0, wide - (min(hi[0], span[1]) - max(lo[0], span[0])))
        shelf = Box((lo[0], lo[1], low), (hi[0], hi[1], hi[2]))
        left, right = (span[0], max(lo[0], span[0])), (min(hi[0], span[1]), span[1])
        for gap, long, y, parts in (
            (clear.hi[1] - hi[1], wide, clear.hi[1], ({0: span, 1: (hi[1], clear.hi[1])},)),
            (lo[1] - front, wide, lo[1], ({0: span, 1: (front, lo[1])},)),
            (sides / 2, 2 * deep, clear.centre[1], ({0: left}, {0: right})),
        ):
            if gap > 0.2:
                yield Opening(
                    kind=OpeningKind.SHELF_GAP,
                    a=below[-1],
                    b=above[0],
                    area_m2=gap * long / 1e6,
                    low_m=(low + hi[2]) / 2000,
                    high_m=(low + hi[2]) / 2000,
                    width_m=gap / 1000,
                    depth_m=thick / 1000,
                    x_mm=clear.centre[0],
                    y_mm=y,
                    board=level[0].name,
                    mouths=(_mouth(2, shelf, *parts),),
                )


def _cuts(here: Site, board: Board, filled: float) -> Iterator[Opening]:
    """Through holes, slots and notches of a board, between what lies on its two sides."""
    for feature, cuts in board.cuts_in_room:
        if isinstance(feature, (Hole, HoleRow)):
            if feature.purpose not in KINDS or feature.depth is not None:
                continue
            kind = KINDS[feature.purpose]
            free = 1.0 - filled if feature.purpose is Purpose.CABLE else 1.0
        elif isinstance(feature, Notch):
            kind, free = OpeningKind.NOTCH, 1.0
        elif isinstance(feature, SlotField):
            kind, free = OpeningKind.VENT, 1.0
        else:
            continue
        for cutter, box in cuts:
            sides = _sides(here, board, box)
            if sides is None or free <= 0.0:
                continue
            through = board.place.out.axis
            faces = [box.size[i] for i in range(3) if i != through]
            level = through == 2
            area = free * cutter.volume_mm3 / max(box.size[through], 1e-9)
            yield Opening(
                kind=kind,
                a=sides[0],
                b=sides[1],
                area_m2=area / 1e6,
                low_m=(box.centre if level else box.lo)[2] / 1000,
                high_m=(box.centre if level else box.hi)[2] / 1000,
                width_m=max(min(faces) * free, 1.0) / 1000,
                depth_m=board.thickness / 1000,
                discharge=DISCHARGE,
                x_mm=box.centre[0],
                y_mm=box.centre[1],
                board=board.name,
                mouths=(Mouth(through, (box,)),),
            )


def _sides(here: Site, board: Board, box: Box) -> tuple[int, int] | None:
    """The zones that a cut joins; None where wood or the floor shuts it."""
    x, _, z = box.centre
    frame, plinth = here.casework.frame, here.number(ZoneKind.UNDER)
    axis = board.place.out.axis
    one: int | None
    two: int | None
    if board.box.hi[2] <= 1e-6 and board.name != frame.bottom.name:
        one, two = plinth, ROOM
    elif axis == 0:
        one, two = here.at(board.box.lo[0] - 2.0, z), here.at(board.box.hi[0] + 2.0, z)
        one = ROOM if board.name == frame.left.name else one
        two = ROOM if board.name == frame.right.name else two
    elif axis == 1:
        one, two = here.at(x, z), here.number(ZoneKind.BEHIND)
    else:
        one = under(here) if board.name == frame.bottom.name else here.at(x, board.box.lo[2] - 2.0)
        two = ROOM if board.name == frame.top.name else here.at(x, board.box.hi[2] + 2.0)
    return None if one is None or two is None or one == two else (one, two)


def _to_the_wall(here: Site) -> Iterator[Opening]:
    """Between the case and the wall: along the top and along both sides."""
    behind = here.number(ZoneKind.BEHIND)
    assert behind is not None
    box = here.zones[behind].box
    wide, gap, high = box.size
    if gap < 0.2:
        return
    low_m, high_m = box.lo[2] / 1000, box.hi[2] / 1000
    middle, y = box.centre[0], box.centre[1]
    ways: tuple[tuple[float, Span, float, int, float], ...] = (
        (wide, (high_m, high_m), middle, 2, box.hi[2]),
        (high, (low_m, high_m), box.lo[0], 0, box.lo[0]),
        (high, (low_m, high_m), box.hi[0], 0, box.hi[0]),
    )
    for long, span, x, axis, edge in ways:
        yield Opening(
            kind=OpeningKind.BEHIND,
            a=behind,
            b=ROOM,
            area_m2=gap * long / 1e6,
            low_m=span[0],
            high_m=span[1],
            width_m=gap / 1000,
            depth_m=0.0,
            x_mm=x,
            y_mm=y,
            mouths=(_mouth(axis, box, {axis: (edge, edge)}),),
        )


def _fan(here: Site, fan: Mounted, body: Box) -> Opening:
    x, _, z = body.centre
    number, behind = here.at(x, z), here.number(ZoneKind.BEHIND)
    if number is None:  # behind the edge of a shelf: the air of the level that is nearest
        zones = list(here.of_bay(fan.spec.bay))
        number = min(zones, key=lambda zone: abs(zone[1].box.centre[2] - z))[0]
    assert behind is not None
    a, b = (number, behind) if fan.spec.moves is Moves.OUT else (behind, number)
    return fan_opening(
        a,
        b,
        free_m3_h=fan.spec.m3_h,
        max_pa=fan.spec.max_pressure_pa,
        z_m=z / 1000,
        density_kg_m3=density_kg_m3(here.casework.design.room.air_c),
        x_mm=x,
        y_mm=here.depth,
        board=fan.spec.name,
        mouths=(_mouth(1, body, {1: (body.lo[1], here.depth)}),),
    )


def _mouth(axis: int, box: Box, *parts: Mapping[int, Span]) -> Mouth:
    """A mouth of boxes that differ from one in their spans on some axes."""
    boxes = []
    for part in parts:
        lo, hi = list(box.lo), list(box.hi)
        for i, (low, high) in part.items():
            lo[i], hi[i] = low, high
        boxes.append(Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])))
    return Mouth(axis, tuple(boxes))


def _joints(here: Site) -> Iterator[Opening]:
    for number, zone in enumerate(here.zones):
        for z in (zone.box.lo[2], zone.box.hi[2]):
            yield Opening(
                kind=OpeningKind.LEAK,
                a=number,
                b=ROOM,
                area_m2=JOINTS_MM2 / 1e6,
                low_m=z / 1000,
                high_m=z / 1000,
                width_m=1e-3,
                depth_m=0.018,
                x_mm=zone.box.centre[0],
            )
