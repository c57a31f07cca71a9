"""Does a plain door or a thin back give way under a finger? A plate under a push.

A plain sliding door is held along its top and its bottom, and pushed in the middle of a free edge,
where a hand slides it; a back panel is held all round the widest bay that it closes, and pushed
in its middle. The edges may turn. Source: thin orthotropic plates (`plate`); checked in the
tests against Timoshenko's plates.
"""

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from kit.board import Board
from kit.casework import Casework
from kit.checks.strength.layup import board_modulus, rolling_modulus, shear_modulus
from kit.checks.strength.plate import Rigidity, gauss
from kit.checks.strength.slats import FLOPPY_MM, PUSH_N
from kit.checks.strength.structure import Membrane, Structure
from kit.components.doors import Style
from kit.finding import Finding, Sense, judge

#: How far a back panel may give way, mm, and from where it is worth a second look: nobody slides
#: it, but a plug pushes it, and it is to stay in its housing. From memory.
BACK_FLOPPY_MM, BACK_WATCH_MM = 10.0, 5.0
#: Pieces of the plate along it, and the edge that holds it, N/mm for each mm.
PIECES, EDGE = 6, 1e5


@lru_cache(maxsize=256)
def pressed_mm(
    long_mm: float,
    wide_mm: float,
    thick_mm: float,
    e_along_mpa: float,
    e_across_mpa: float,
    g_mpa: float,
    *,
    rolling_mpa: float,
    nu: float = 0.0,
    push_n: float = PUSH_N,
    all_round: bool = False,
) -> float:
    """Deflection of a plate under a push, mm: held at the ends of its length, or all round.

    The push is in the middle of a free edge, or of the plate where it is held all round. `nu` is
    Poisson's ratio, the same both ways.
    """
    made = Structure()
    y, weight = gauss(5, 0.0, wide_mm)
    inertia = np.full(5, thick_mm**3 / 12 / (1 - nu**2))
    section = Rigidity(
        y,
        weight,
        e_along_mpa * inertia,
        e_across_mpa * inertia,
        nu * e_across_mpa * inertia,
        np.full(5, g_mpa * thick_mm**3 / 12),
        1.2 * e_along_mpa * thick_mm**2 / rolling_mpa,
    )
    panel = made.panel(
        "pressed",
        (0, 1, 2),
        (long_mm / 2, wide_mm / 2, 0.0),
        np.linspace(0.0, long_mm, PIECES + 1),
        Membrane.of(e_along_mpa, g_mpa, wide_mm, thick_mm),
        (0.0, wide_mm),
        [section] * PIECES,
    )
    for end in (0.0, long_mm):
        points = np.stack([np.full(5, end), y, np.zeros(5)], axis=1)
        made.spring(panel.moved(points, 2), EDGE * weight, panel.name)
        for axis in (0, 1):
            made.spring(panel.moved(points, axis), EDGE * weight, panel.name)
    if all_round:
        x, along = gauss(7, 0.0, long_mm)
        for edge in (0.0, wide_mm):
            points = np.stack([x, np.full(7, edge), np.zeros(7)], axis=1)
            made.spring(panel.moved(points, 2), EDGE * along, panel.name)
    at = np.array([(long_mm / 2, wide_mm / 2 if all_round else wide_mm, 0.0)])
    rows = panel.moved(at, 2)
    found = made.solved(made.load(rows, np.array([push_n])))
    return float((found[rows.places] * rows.shares).sum())


def check_pressed(casework: Casework) -> Iterator[Finding]:
    """Each plain door, and each back panel."""
    hung = casework.doors
    if hung is not None and hung.spec.style is not Style.SLATTED:
        for door in hung.doors:
            board = casework.by_name[door.board.name]
            yield _door(casework, board, hung.opening.size[2])
    for board in casework.boards:
        if board.name in _closing(casework):
            yield _back(casework, board)


def _closing(casework: Casework) -> set[str]:
    """Boards that close bays behind: they stand square to the depth and hang on an upright."""
    sides = {b.name for b in casework.boards if b.place.out.axis == 0}
    return {
        f.board
        for f in casework.fastenings
        if casework.by_name[f.board].place.out.axis == 1
        and casework.by_name[f.board].box.lo[1] > casework.frame.clear.centre[1]
        and casework.by_name[f.board].box.size[2] > casework.frame.clear.size[2]
        and set(f.to.split(", ")) & sides
    }


def _plate(board: Board, high: float, wide: float, *, all_round: bool) -> float:
    return pressed_mm(
        round(high, 2),
        round(wide, 2),
        board.thickness,
        board_modulus(board, 2).typical_mpa,
        board_modulus(board, 0).typical_mpa,
        shear_modulus(board.stock.key),
        rolling_mpa=rolling_modulus(board.stock.key),
        all_round=all_round,
    )


def _door(casework: Casework, board: Board, high: float) -> Finding:
    say = casework.say
    gives = _plate(board, high, board.box.size[0], all_round=False)
    return judge(
        "plain door is stiff",
        board.name,
        gives,
        FLOPPY_MM,
        sense=Sense.AT_MOST,
        unit="mm",
        watch=0.5,
        why=f"Under a push of {PUSH_N:.0f} N in the middle of its edge the door, "
        f"{say(board.thickness)} thick, gives way {say(gives)}; "
        + (
            "that is floppy, and it can spring out of its grooves: take thicker stock."
            if gives > FLOPPY_MM
            else f"floppy is {say(FLOPPY_MM)}."
        ),
        assumes="held in its grooves, free to turn there; shear modulus at the low end",
        source="computed",
        boards=(board.name,),
    )


def _back(casework: Casework, board: Board) -> Finding:
    say = casework.say
    clear = [
        bay.clear
        for bay in casework.bays
        if bay.clear.lo[0] < board.box.hi[0] and bay.clear.hi[0] > board.box.lo[0]
    ]
    wide = max((box.size[0] for box in clear), default=board.box.size[0])
    gives = _plate(board, casework.frame.clear.size[2], wide, all_round=True)
    return judge(
        "back panel is stiff",
        board.name,
        gives,
        BACK_FLOPPY_MM,
        sense=Sense.AT_MOST,
        unit="mm",
        watch=BACK_FLOPPY_MM - BACK_WATCH_MM,
        why=f"Under a push of {PUSH_N:.0f} N in its middle the panel, {say(board.thickness)} "
        f"thick, gives way {say(gives)} between uprights {say(wide)} apart"
        + (
            ", and may spring out of its housing: take thicker stock, or fasten it to what "
            "stands before it."
            if gives > BACK_WATCH_MM
            else "."
        ),
        assumes="held all round, its edges free to turn",
        source="computed",
        boards=(board.name,),
    )
