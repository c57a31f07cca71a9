"""Areas of glue joints and of what is finished, from the boards in their places; mm2."""

import math
from collections.abc import Iterator

from kit.board import Board
from kit.casework import Casework
from kit.components.back import Method
from kit.components.made import Fastening, Means
from kit.geometry import SAME_MM
from kit.joinery import Dado, Groove, Trench


def glue_mm2(casework: Casework) -> float:
    """Area of all glue joints: housings, laminations, lippings, glued backs, dowels and pins."""
    laminated = sum(
        (board.layers - 1) * board.rough.width * board.rough.length for board in casework.boards
    )
    return laminated + sum(joint_mm2(casework, fastening) for fastening in casework.fastenings)


def joint_mm2(casework: Casework, fastening: Fastening) -> float:
    """Glue area of one fastening; nought where it takes no glue."""
    if fastening.means in (Means.DOWELS, Means.CROSS_PINS):
        return fastening.count * math.pi * (fastening.diameter or 0.0) * (fastening.length or 0.0)
    if not takes_glue(casework, fastening):
        return 0.0
    board, to = casework.by_name[fastening.board], casework.by_name[fastening.to]
    return contact_mm2(board, to)


def takes_glue(casework: Casework, fastening: Fastening) -> bool:
    """Whether glue goes on it: glue joints, dowels, rods, and screwed backs that stay on."""
    if fastening.means is Means.BACK_SCREWS:
        back = casework.design.back
        assert back is not None
        number = int(fastening.board.removeprefix("back-"))
        return back.method is not Method.LET_IN and not back.panels[number - 1].removable
    return fastening.means in (Means.GLUE, Means.DOWELS, Means.CROSS_PINS)


def contact_mm2(one: Board, other: Board) -> float:
    """Area over which two boards meet: floor and walls of a housing, or the faces that touch.

    A dado or groove has two walls, a rabbet one. Gaps of a fit count as contact.
    """
    shared = one.box.common(other.box)
    if shared is None:
        return _touching_mm2(one, other)
    host, mate, trench = max(_housings(one, other), key=lambda found: found[3])[:3]
    into, thin = host.place.out.axis, mate.place.out.axis
    run = next(axis for axis in range(3) if axis not in (into, thin))
    walls = 2 if isinstance(trench, Dado | Groove) else 1
    size = shared.size
    return size[run] * (size[thin] + walls * size[into])


def finish_mm2(casework: Casework) -> float:
    """Both faces and all edges of every board as finished; joints are not taken off."""
    return sum(
        2
        * (
            board.length * board.width
            + board.length * board.thickness
            + board.width * board.thickness
        )
        for board in casework.boards
    )


def _housings(one: Board, other: Board) -> Iterator[tuple[Board, Board, Trench, float]]:
    """(host, mate, channel, mm3 of the mate in it) for each channel that the other lies in."""
    for host, mate in ((one, other), (other, one)):
        for feature in host.features:
            if isinstance(feature, Trench) and mate.place.out.axis != host.place.out.axis:
                (cut,) = feature.cutters(host)
                shared = host.place.box_to_room(cut).common(mate.box)
                if shared is not None:
                    yield host, mate, feature, shared.volume_mm3


def _touching_mm2(one: Board, other: Board) -> float:
    """Area of the faces of two boxes that lie on each other."""
    lo = [max(a, b) for a, b in zip(one.box.lo, other.box.lo, strict=True)]
    hi = [min(a, b) for a, b in zip(one.box.hi, other.box.hi, strict=True)]
    size = sorted(max(h - low, 0.0) for low, h in zip(lo, hi, strict=True))
    return size[1] * size[2] if size[0] <= SAME_MM else 0.0
