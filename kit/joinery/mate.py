"""Housings come from their mates: place two boards into each other and cut what they share."""

from kit.board import Board, Surface
from kit.errors import BuildError
from kit.geometry import SAME_MM, Box
from kit.joinery.dado import Dado
from kit.joinery.fit import Fit
from kit.joinery.groove import Groove
from kit.joinery.rabbet import EdgeRabbet, EndRabbet

type Housing = Dado | Groove | EdgeRabbet | EndRabbet


def house(
    into: Board,
    mate: Board,
    fit: Fit = Fit.GLUED,
    *,
    slack: float = 0.0,
    run_out: tuple[float, float] = (0.0, 0.0),
) -> Housing:
    """The channel in a face of `into` that houses `mate` where the two are placed.

    It is a dado or end rabbet where the mate crosses the grain, a groove or edge rabbet where
    it runs with it; a rabbet where it reaches an edge or end. As wide as the greatest measured
    thickness of the mate plus the fit; deeper and, where it stops, longer by `slack` mm than
    the mate reaches. Where its start or stop lies within `run_out` (start, stop) mm of the
    edge, it runs out over that edge: for where the edge is hidden, or cut away by another joint.

    Raises BuildError where the two do not enter each other through a face.
    """
    body = into.place.box_to_board(mate.box)
    thin = min(range(3), key=lambda i: abs(body.size[i] - mate.thickness))
    lo, hi = list(body.lo), list(body.hi)
    for i in range(3):
        if i != thin:
            lo[i] -= slack
            hi[i] += slack
    common = into.blank.common(Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])))
    if common is None or thin == 2:
        raise BuildError(
            f"{mate.name} does not enter a face of {into.name}; move one of them into the other."
        )
    run = 1 - thin
    span, reach = (into.length, into.width)[thin], (into.length, into.width)[run]
    width = mate.layers * mate.stock.thickness_max_mm + fit.gap
    middle = (body.lo[thin] + body.hi[thin]) / 2
    at_end, at_start = body.hi[thin] >= span - SAME_MM, body.lo[thin] <= SAME_MM
    offset = span - width if at_end else 0.0 if at_start else middle - width / 2
    kind: type[Dado] | type[Groove] | type[EdgeRabbet] | type[EndRabbet]
    if at_end or at_start:
        kind = EndRabbet if run == 1 else EdgeRabbet
    else:
        kind = Dado if run == 1 else Groove
    return kind(
        surface=Surface.FACE_B if common.lo[2] <= SAME_MM else Surface.FACE_A,
        offset=offset,
        width=width,
        depth=common.size[2],
        start=0.0 if common.lo[run] <= run_out[0] + SAME_MM else common.lo[run],
        stop=reach if common.hi[run] >= reach - run_out[1] - SAME_MM else common.hi[run],
        mate=mate.name,
        fit=fit,
    )
