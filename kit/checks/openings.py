"""Do the holes in the back panels open into a bay, and do the cables of every bay get out?"""

from collections.abc import Iterator
from itertools import pairwise
from math import hypot

from kit.board import Board
from kit.casework import Casework
from kit.components.made import Bay
from kit.finding import Finding, Sense, judge
from kit.geometry import Box, Vec, cutter_box
from kit.hardware import grommets, liner_of
from kit.joinery import Hole, Notch
from kit.routes import cable_holes

#: A board whose rear edge is no farther than this from the face of a panel stands against
#: it, mm. Common practice, no source.
AGAINST = 3.0
#: Wanted between the rim of a cable hole and a board that stands against the panel: room for
#: the flange of a liner and a hole a little off its mark, mm. As above.
RIM = 5.0


def check_openings(casework: Casework) -> Iterator[Finding]:
    """Each cable hole in a back panel, and each closed bay with gear in it."""
    panels = casework.panels
    for panel in panels:
        yield from _holes(casework, panel)
    out = _with_a_way_out(casework)
    for bay in casework.bays:
        gear = [placed.item.name for placed in casework.gear if placed.bay is bay]
        if not gear or bay.open_back:
            continue
        ways = _ways(casework, bay) if bay.number in out else []
        closing = tuple(panel.name for panel in panels if _closes(panel, bay))
        yield judge(
            "cables get out",
            bay.name,
            len(ways),
            1,
            sense=Sense.AT_LEAST,
            unit="openings",
            why=f"{' and '.join(closing)} closes {bay.name} ({', '.join(gear)}), and "
            + (
                f"cables leave it through {' and '.join(dict.fromkeys(ways))}."
                if ways
                else "no cable hole or notch leads to the outside; bore one in the panel "
                "(back.panels.holes), or in a divider towards a bay that has one."
            ),
            assumes="nothing closes the holes; the plugs pass them",
            source="common-practice",
            boards=closing,
        )


def _holes(casework: Casework, panel: Board) -> Iterator[Finding]:
    face = panel.box.lo[1]
    against = [
        board
        for board in casework.boards
        if board.box.lo[1] < face - AGAINST <= board.box.hi[1] and board is not panel
    ]
    for number, hole in enumerate(cable_holes(panel), start=1):
        middle = panel.place.to_room(panel.point(hole.surface, hole.at))
        away = {board.name: _distance(middle, board.box) for board in against}
        nearest = min(away, key=lambda name: away[name])
        free = away[nearest] - hole.diameter / 2
        say = casework.say
        yield judge(
            "cable hole opens into a bay",
            f"{panel.name} hole {number}",
            free,
            0.0,
            sense=Sense.AT_LEAST,
            unit="mm",
            watch=RIM,
            why=f"The hole {say(hole.diameter)} wide "
            + (
                f"clears {nearest} by {say(free)}.{_liner(casework, hole)}"
                if free >= 0
                else f"opens {say(-free)} onto {nearest}, which stands against the panel; "
                "move the hole."
            ),
            source="common-practice",
            boards=(panel.name, nearest),
        )


def _liner(casework: Casework, hole: Hole) -> str:
    """That no liner is sold for a hole, and for what it is; empty where there is one."""
    if liner_of(hole.diameter) is not None:
        return ""
    lined = sorted(row.hole_mm for row in grommets().values() if row.flange_mm is not None)
    sold = " or ".join(casework.say(mm) for mm in lined)
    return f" No liner in the tables fits it, those are for holes of {sold}: ease its rim."


def _distance(point: Vec, box: Box) -> float:
    """From a point to a box, both seen from behind, mm; nought inside."""
    return hypot(*(max(box.lo[i] - point[i], 0.0, point[i] - box.hi[i]) for i in (0, 2)))


def _with_a_way_out(casework: Casework) -> set[int]:
    """Numbers of the bays from which a cable gets behind the case, through others if need be."""
    bays = casework.bays
    dividers = {bay.right.name for bay in bays[:-1]}
    ways = {bay.number: set(_ways(casework, bay)) for bay in bays}
    out = {bay.number for bay in bays if bay.open_back or ways[bay.number] - dividers}
    for order in (bays, bays[::-1]):  # from bay to bay: first rightwards, then back
        for here, there in pairwise(order):
            if here.number in out and ways[here.number] & ways[there.number] & dividers:
                out.add(there.number)
    return out


def _ways(casework: Casework, bay: Bay) -> list[str]:
    """The board of each cable hole and notch in what bounds a bay: one name an opening."""
    bounding = [casework.frame.top.name, casework.frame.bottom.name]
    bounding += [bay.left.name, bay.right.name]
    return [
        board.name
        for board in casework.boards
        if board.name in bounding or board in casework.panels
        for box in _openings(board)
        if box.common(bay.clear)
    ]


def _openings(board: Board) -> Iterator[Box]:
    """Boxes round the cable holes and notches, a little longer than the wood is thick."""
    through = board.place.out.axis
    cuts = [*cable_holes(board), *(f for f in board.features if isinstance(f, Notch))]
    for cut in cuts:
        for cutter in cut.cutters(board):
            box = board.place.box_to_room(cutter_box(cutter))
            lo, hi = list(box.lo), list(box.hi)
            lo[through] -= AGAINST
            hi[through] += AGAINST
            yield Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


def _closes(panel: Board, bay: Bay) -> bool:
    return panel.box.lo[0] < bay.clear.centre[0] < panel.box.hi[0]
