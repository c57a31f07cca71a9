"""How a member of the base is held: pocket screws at its ends, screws or bolts to the case."""

import math
from collections.abc import Sequence
from dataclasses import replace
from enum import Enum

from kit.board import Board, Feature, Surface
from kit.components.made import (
    LEAST_GRIP,
    OVER_TIP,
    Fastening,
    Frame,
    Made,
    Means,
    stations,
)
from kit.errors import BuildError, TableError
from kit.hardware import PocketScrew, bolt_for, fitting, pocket_screw_for, pocket_screws
from kit.joinery import HoleRow, PocketHoles, Purpose, pocket_reach
from kit.joinery.pocket_hole import ANGLE_DEG
from kit.units import in_both

#: The threaded insert in the base, for the bolts that come through the bottom of the case.
INSERT = fitting("insert-m6x12")

#: Between a screw or bolt and a board that stands beside it, for the drill, mm.
CLEAR = 15.0


class Attach(Enum):
    """How the base is held to the case."""

    POCKET = "pocket-screws"
    BOLTS = "bolts"


def pocketed(board: Board, to: Board, end: Surface) -> Made:
    """Pocket holes on the inner face of `board` that hold its `end` to `to`."""
    count = 2 if board.width >= 50.0 else 1
    at = tuple(board.width * (2 * i + 1) / (2 * count) for i in range(count))
    feature = PocketHoles(surface=Surface.FACE_B, exit=end, stations=at)
    return _pocket_made(board, to, feature)


def above(attach: Attach, dividers: Sequence[Board]) -> list[tuple[float, float]]:
    """Spans in X where a divider stands over the bottom: no bolt comes down through it."""
    if attach is Attach.POCKET:
        return []
    return [(divider.box.lo[0], divider.box.hi[0]) for divider in dividers]


def attached(
    attach: Attach,
    member: Board,
    frame: Frame,
    taken: Sequence[tuple[float, float]] = (),
    *,
    inset: float | None = None,
) -> Made:
    """The member held to the board of the case above it, every 200 mm or less.

    That is the bottom, or a side where the member stands wholly under it. `taken` are spans
    along the member, in the room, where another board stands against it or above it. The first
    and last station keep `inset` from its ends; that leaves room for pockets there, if not given.
    """
    inset = min(inset or pocket_reach(member) + 12.0, member.length / 2)
    start = member.place.corner[member.place.along.axis]
    at = stations(
        inset,
        member.length - inset,
        200.0,
        taken=[(a - start - CLEAR, b - start + CLEAR) for a, b in taken],
    )
    if not at:
        raise BuildError(
            f"{member.name} has no free place for the screws or bolts that hold it to the case; "
            "make it longer, or move what stands on it."
        )
    bottom = frame.bottom
    middle = member.box.centre[0]
    under = [s for s in (frame.left, frame.right) if s.box.lo[0] <= middle <= s.box.hi[0]]
    if attach is Attach.POCKET:
        feature = PocketHoles(surface=Surface.FACE_B, exit=Surface.EDGE_2, stations=at)
        return _pocket_made(member, under[0] if under else bottom, feature)
    if under:
        raise BuildError(
            f"{member.name} stands under {under[0].name}, where no bolt can come down from inside "
            "the case; set the base further in (base.set_in or base.rail_in)."
        )
    bolt = bolt_for(bottom.thickness, INSERT)
    cuts: list[tuple[str, Feature]] = []
    for station in at:
        insert = HoleRow(
            surface=Surface.EDGE_2,
            at=(station, member.thickness / 2),
            pitch=0.0,
            count=1,
            along=0,
            diameter=INSERT.hole_mm,
            depth=INSERT.hole_depth_mm,
            purpose=Purpose.BOLT,
        )
        room = member.place.to_room((station, member.width, member.thickness / 2))
        x, y, _ = bottom.place.to_board(room)
        through = replace(
            insert, surface=Surface.FACE_B, at=(x, y), diameter=bolt.hole_mm, depth=None
        )
        cuts += [(member.name, insert), (bottom.name, through)]
    return Made(
        cuts=tuple(cuts),
        fastenings=(
            Fastening(
                board=member.name,
                to=bottom.name,
                means=Means.BOLTS,
                count=len(at),
                item=bolt.key,
                length=bolt.length_mm,
                diameter=bolt.diameter_mm,
            ),
            Fastening(
                board=member.name,
                to=bottom.name,
                means=Means.INSERTS,
                count=len(at),
                item=INSERT.key,
                length=INSERT.length_mm,
                diameter=INSERT.diameter_mm,
            ),
        ),
    )


def _pocket_made(board: Board, to: Board, feature: PocketHoles) -> Made:
    screw = _pocket_screw(board, to, feature)
    return Made(
        cuts=((board.name, feature),),
        fastenings=(
            Fastening(
                board=board.name,
                to=to.name,
                means=Means.POCKET_SCREWS,
                count=len(feature.stations),
                item=screw.key,
                length=screw.length_mm,
                diameter=screw.diameter_mm,
            ),
        ),
    )


def _pocket_screw(board: Board, to: Board, feature: PocketHoles) -> PocketScrew:
    """The screw of the chart, or the longest shorter one whose tip stays inside `to`.

    The chart is for two boards of one thickness. Where even the shortest screw comes out, or
    a shorter one would hardly bite, it stays with the chart; the check of fasteners says so.
    """
    try:
        charted = pocket_screw_for(board.thickness)
    except TableError as error:
        raise BuildError(
            f"{board.name} is {in_both(board.thickness)} thick, and no pocket screw is made for "
            "that; use fewer layers or thinner sheets."
        ) from error
    room = to.layers * to.stock.thickness_min_mm - OVER_TIP
    slant = math.cos(math.radians(ANGLE_DEG))

    def past(screw: PocketScrew) -> float:
        return screw.length_mm - feature.web(board)

    inside = [
        screw
        for screw in pocket_screws().values()
        if screw.thread is charted.thread
        and screw.length_mm <= charted.length_mm
        and past(screw) * slant <= room
        and past(screw) >= LEAST_GRIP * screw.diameter_mm
    ]
    return max(inside, key=lambda screw: screw.length_mm, default=charted)
