"""The board above a hot device: how warm its underside gets."""

from kit.board import Board
from kit.checks.airflow.climates import Climate
from kit.checks.airflow.plume import plume_rise_k
from kit.checks.airflow.sizing import UNCERTAIN
from kit.checks.airflow.wood import Flow, board_conductivity_w_mk, face_c, u_value_w_m2k
from kit.components.contents import Placed
from kit.finding import Finding, Sense, judge

#: Wood that is warmer than this for years loses strength, °C. From memory.
WOOD_C = 65.0


def wood_above(placed: Placed, state: Climate) -> Finding:
    """Temperature of the underside of the board above a device."""
    board = _above(state, placed)
    zone = state.here.holding(placed)
    air_c = state.air_c[zone]
    watts = placed.kind.typical_w or 0.0
    w, d, _ = placed.body.size
    gap_m = max(placed.space.hi[2] - placed.body.hi[2], 0.0) / 1000
    plume_c = air_c + plume_rise_k(watts, (w * d) ** 0.5 / 1000, gap_m, air_c)
    beyond_c = state.room_c
    for link in state.network.links:
        if link.board == board.name and zone in (link.a, link.b):
            other = link.b if link.a == zone else link.a
            beyond_c = state.room_c if other < 0 else state.air_c[other]
    k = board_conductivity_w_mk(board.stock.density_kg_m3)
    u = u_value_w_m2k(board.thickness / 1000, k, Flow.UP)
    wood_c = face_c(plume_c, beyond_c, u, Flow.UP)
    return judge(
        "wood above a device",
        f"{board.name} above {placed.item.name}",
        wood_c,
        WOOD_C,
        sense=Sense.AT_MOST,
        unit="°C",
        watch=UNCERTAIN * (wood_c - state.room_c),
        why=f"The underside of {board.name} reaches about {wood_c:.0f} °C over "
        f"{placed.item.name} ({watts:g} W); wood that stays above {WOOD_C:g} °C loses strength.",
        assumes="a plume from the middle of the device; an upper estimate",
        source="memory",
        boards=(board.name,),
    )


def _above(state: Climate, placed: Placed) -> Board:
    """The board over a device: the lowest shelf that is higher, else the top."""
    casework = state.casework
    z = placed.space.hi[2]
    shelves = [
        board
        for board in casework.boards
        if board.name.startswith("shelf-")
        and not board.name.endswith("lipping")
        and abs(board.box.lo[2] - z) < 1.0
        and board.box.lo[0] < placed.body.centre[0] < board.box.hi[0]
    ]
    return shelves[0] if shelves else casework.by_name["top"]
