"""How warm the boards get: the underside of the one above a hot device, and each as a whole."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from kit.board import Board
from kit.casework import Casework, once
from kit.checks.airflow.climates import Climate, Heat
from kit.checks.airflow.plume import plume_rise_k
from kit.checks.airflow.sizing import UNCERTAIN
from kit.checks.airflow.solve import NoAnswerError
from kit.checks.airflow.states import as_reported
from kit.checks.airflow.told import in_words, told_c
from kit.checks.airflow.wood import Flow, board_conductivity_w_mk, face_c, u_value_w_m2k
from kit.components.contents import Placed
from kit.finding import Finding, Sense, judge

#: Wood that is warmer than this for years loses strength, °C. From memory.
WOOD_C = 65.0
#: So near to a device's space a board lies on it, mm.
NEAR_MM = 1.0


def wood_above(placed: Placed, at: Sequence[tuple[Climate, float]]) -> Finding:
    """Temperature of the underside of the board above a device.

    `at` are states with the heat that the device gives off in each, W. It is judged as the doors
    are shut; that it gets too warm with them elsewhere is worth a second look.
    """
    board = _above(placed, at[0][0])
    faces = [(told_c(_face_c(placed, board, state, watts)), state, watts) for state, watts in at]
    shut = [face for face in faces if not any(hung.shift for hung in face[1].here.doors)]
    wood_c, worst, _ = max(shut, key=lambda face: face[0])
    most_c = max(face[0] for face in faces)
    told = " and ".join(f"{in_words(c)} {s.heat.value} ({w:g} W)" for c, s, w in shut)
    slid_k = most_c - wood_c if most_c > WOOD_C else 0.0
    more = f" With a door slid before it, it would be {in_words(most_c)}." if slid_k else ""
    return judge(
        "wood above a device",
        f"{board.name} above {placed.item.name}",
        wood_c,
        WOOD_C,
        sense=Sense.AT_MOST,
        unit="°C",
        watch=max(UNCERTAIN * (wood_c - worst.room_c), slid_k),
        why=f"The underside of {board.name} over {placed.item.name} reaches {told}; wood that "
        f"stays above {WOOD_C:g} °C loses strength.{more}",
        assumes="a plume from the middle of the device; an upper estimate",
        source="memory",
        boards=(board.name,),
    )


def _face_c(placed: Placed, board: Board, state: Climate, watts: float) -> float:
    """Underside of a board over a device that gives off so much, °C."""
    zone = state.here.holding(placed)
    air_c = state.air_c[zone]
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
    return face_c(plume_c, beyond_c, u, Flow.UP)


def _above(placed: Placed, state: Climate) -> Board:
    """The board over a device: of the level ones on its space, the one over most of its body."""
    casework = state.casework
    (x0, y0, _), (x1, y1, _) = placed.body.lo, placed.body.hi

    def over_mm2(board: Board) -> float:
        lo, hi = board.box.lo, board.box.hi
        return max(0.0, min(hi[0], x1) - max(lo[0], x0)) * max(0.0, min(hi[1], y1) - max(lo[1], y0))

    level = [
        board
        for board in casework.boards
        if board.place.out.axis == 2 and abs(board.box.lo[2] - placed.space.hi[2]) < NEAR_MM
    ]
    return max(level, key=over_mm2, default=casework.frame.top)


@once
def board_rises(casework: Casework) -> Mapping[str, float]:
    """How much warmer than the room each board with warm air on a face is, K, by its name.

    The middle of its thickness, in use with the doors shut: half way between the air on its two
    faces, whose films are alike; of a board along several zones, where it is warmest. The plume
    over a device is left out: it touches one spot, and its estimate is an upper one. No board is
    told where the air has no answer.
    """
    try:
        state = as_reported(casework).at(Heat.TYPICAL)
    except NoAnswerError:
        return MappingProxyType({})
    rises = [*(c - state.room_c for c in state.air_c), 0.0]  # the room last
    warm: dict[str, float] = {}
    for link in state.network.links:
        if link.board:
            middle = (rises[link.a] + rises[link.b]) / 2
            warm[link.board] = max(warm.get(link.board, 0.0), middle)
    return MappingProxyType(warm)
