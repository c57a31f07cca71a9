"""Boards that conduct: from each zone through the wood round it to whatever lies beyond."""

from collections.abc import Iterator

from kit.board import Board
from kit.checks.airflow.network import ROOM, Link, Zone, ZoneKind
from kit.checks.airflow.site import Site, Span, common, length, shelf_levels, under, union
from kit.checks.airflow.wood import WOOD_J_KG_K, Flow, board_conductivity_w_mk, u_value_w_m2k

#: Heat that the wall of the room takes from the air behind the case, W/m²K; an estimate for an
#: insulated wall.
WALL_W_M2K = 0.5


def door_links(here: Site) -> Iterator[Link]:
    """The doors in front of each zone; where two overlap, the wood of one. Slots count as wood."""
    for number, zone in enumerate(here.zones):
        if zone.bay:
            covered = length(union(here.covered((zone.box.lo[0], zone.box.hi[0]))))
            if covered > 0.0:
                door = here.doors[0].door.board
                yield _link(door, number, ROOM, covered * zone.box.size[2])


def standing_links(here: Site) -> Iterator[Link]:
    """Every part of a board but the doors, with air of two zones or of the room on its faces."""
    behind = here.number(ZoneKind.BEHIND)
    assert behind is not None
    casework = here.casework
    below = under(here)
    for bay in casework.bays:
        zones = list(here.of_bay(bay.number))
        for number, zone in zones:
            yield from _upright(here, number, zone)
            if not bay.open_back:
                panel = next(p for p in casework.panels if _closes(p.box.lo[0], p.box.hi[0], zone))
                yield _link(panel, number, behind, zone.box.size[0] * zone.box.size[2])
        area = bay.clear.size[0] * bay.clear.size[1]
        yield _link(casework.frame.top, zones[-1][0], ROOM, area, Flow.UP)
        if below is not None:
            yield _link(casework.frame.bottom, zones[0][0], below, area, Flow.DOWN)
        for level in shelf_levels(casework, bay):
            low, high = min(b.box.lo[2] for b in level), max(b.box.hi[2] for b in level)
            lower = [n for n, zone in zones if zone.box.hi[2] <= low + 1e-6]
            upper = [n for n, zone in zones if zone.box.lo[2] >= high - 1e-6]
            if lower and upper:
                shelf = level[0]
                area = shelf.box.size[0] * shelf.box.size[1]
                yield _link(shelf, lower[-1], upper[0], area)
    rear = here.zones[behind].box.size
    yield Link(a=behind, b=ROOM, ua_w_k=WALL_W_M2K * rear[0] * rear[2] / 1e6)
    if below is not None and below != ROOM:
        base = here.zones[below].box
        around = 2 * (base.size[0] + base.size[1]) * base.size[2]
        yield _link(casework.frame.bottom, below, ROOM, around)


def _upright(here: Site, number: int, zone: Zone) -> Iterator[Link]:
    """The board on the right of a zone, and the left side of the case."""
    casework = here.casework
    bay = casework.bays[zone.bay - 1]
    span, deep = _heights(zone), zone.box.size[1]
    if zone.bay == 1:
        yield _link(bay.left, number, ROOM, (span[1] - span[0]) * deep)
    if zone.bay == len(casework.bays):
        yield _link(bay.right, number, ROOM, (span[1] - span[0]) * deep)
        return
    for other, there in here.of_bay(zone.bay + 1):
        shared = common(span, _heights(there))
        if shared is not None:
            yield _link(bay.right, number, other, (shared[1] - shared[0]) * deep)


def _link(board: Board, a: int, b: int, area_mm2: float, flow: Flow = Flow.LEVEL) -> Link:
    stock, area_m2 = board.stock, area_mm2 / 1e6
    thickness_m = board.thickness / 1000
    u = u_value_w_m2k(thickness_m, board_conductivity_w_mk(stock.density_kg_m3), flow)
    return Link(
        a=a,
        b=b,
        ua_w_k=u * area_m2,
        capacity_j_k=stock.density_kg_m3 * thickness_m * area_m2 * WOOD_J_KG_K,
        board=board.name,
    )


def _closes(low: float, high: float, zone: Zone) -> bool:
    return low < zone.box.centre[0] < high


def _heights(zone: Zone) -> Span:
    return (zone.box.lo[2], zone.box.hi[2])
