"""Do screws and bolts stay inside the wood, and do they hold enough of it?

Each fastener is a straight line through the boards: it bears on its seat, passes what it
holds, and ends in the host. Wood is what `Board.rest` leaves (grooves, dados and rabbets are
air; a dado that another board fills is not). Doors, boards on pins and screwed backs cover no
tip, since they come off. The tip is reckoned for the thinnest sheet, the grip for the thickest.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kit.board import Board
from kit.casework import Casework, once
from kit.components.back import screw_stations
from kit.components.made import LEAST_GRIP, OVER_TIP, Fastening, Means
from kit.finding import Finding, Sense, judge
from kit.geometry import SAME_MM, Box, Drill, Place, Vec
from kit.hardware import piece
from kit.joinery import HoleRow, PocketHoles, Purpose

type Corners = tuple[NDArray[np.float64], NDArray[np.float64]]
"""Boxes as arrays: their low and their high corners, (n, 3) each, mm."""

#: A wood screw bites at least six diameters of the wood behind (NDS, from memory); a bolt at
#: least one diameter of its insert (common practice, no source).
GRIP = {
    Means.SCREWS: 6.0,
    Means.POCKET_SCREWS: LEAST_GRIP,
    Means.BACK_SCREWS: LEAST_GRIP,
    Means.BOLTS: 1.0,
}
#: More wood than this over a tip is no number to read, mm.
AMPLE = 25.4
#: A gap no wider than this on the way is a joint between two boards, not the open air, mm.
GAP = 1.5


@dataclass(frozen=True, slots=True)
class Driven:
    """One fastener in its place, all in mm.

    It bears at `seat` (room coordinates) and runs `length` along the unit vector `heading`;
    `left` is what stays over its tip, square to the surface it would come out of; `grip` is
    its length in the wood that it holds to.
    """

    seat: Vec
    heading: Vec
    length: float
    left: float
    grip: float

    @property
    def tip(self) -> Vec:
        """Where it ends, in the room."""
        return _along(self.seat, self.heading, self.length)


def check_fasteners(casework: Casework) -> Iterator[Finding]:
    """Tip and grip of every fastening by screws or bolts, each judged by its worst piece."""
    say = casework.say
    for fastening in casework.fastenings:
        if fastening.means not in GRIP or fastening.item is None or fastening.diameter is None:
            continue
        if ", " in fastening.to:  # of an added board, which `_not_told` names
            continue
        pieces = driven(casework, fastening)
        label = piece(fastening.item).label
        names = (fastening.board, fastening.to)
        subject = f"{fastening.board} to {fastening.to}"
        bolted = fastening.means is Means.BOLTS
        stocks = [casework.by_name[name].stock for name in names]
        assumes = (
            ""
            if all(stock.measured for stock in stocks)
            else "the typical thickness of a sheet that was not measured"
        )
        placed = len(pieces) == fastening.count
        left = min((one.left for one in pieces), default=None) if placed else None
        held = min((one.grip for one in pieces), default=None) if placed else None
        if left is None or held is None:
            told = (
                f"Of {fastening.count} pieces only {len(pieces)} run into {fastening.to}; move "
                f"{fastening.board} to where it meets that board, or look where they end."
            )
            tip_told = grip_told = told
        elif bolted:
            tip_told = f"The hole of the insert goes {say(left)} deeper than the {label}."
            grip_told = f"The {label} turns {say(held)} into its insert."
        else:
            over = f"{say(left)} of wood stays over the tip of the {label}."
            if left > AMPLE:
                over = f"The tip of the {label} ends deep inside {fastening.to}."
            tip_told = (
                over
                if left > 0
                else f"The tip of the {label} comes out by {say(-left)}; take a shorter one, "
                "thicker stock, or another way to hold it."
            )
            grip_told = (
                f"The {label} bites {say(held)} of the wood behind; take a longer one, or another "
                "way to hold it, where that is not enough."
            )
        yield judge(
            "tips stay inside",
            subject,
            left,
            0.0 if bolted else OVER_TIP,
            sense=Sense.AT_LEAST,
            unit="mm",
            why=tip_told,
            assumes=assumes,
            source="common-practice",
            boards=names,
        )
        yield judge(
            "fasteners grip",
            subject,
            held,
            GRIP[fastening.means] * fastening.diameter,
            sense=Sense.AT_LEAST,
            unit="mm",
            why=grip_told,
            assumes=assumes,
            source="memory" if fastening.means is Means.SCREWS else "common-practice",
            boards=names,
        )
    yield from _not_told(casework)


def _not_told(casework: Casework) -> Iterator[Finding]:
    """The boards that were added with screws or bolts of which it is not said what they are."""
    for name in casework.added:
        vague = [
            f
            for f in casework.fastenings
            if name in (f.board, *f.to.split(", "))
            and f.means in GRIP
            and (f.item is None or f.diameter is None or ", " in f.to)
        ]
        if vague:
            means = ", ".join(dict.fromkeys(f.means.value for f in vague))
            yield judge(
                "fasteners grip",
                name,
                None,
                None,
                sense=Sense.AT_LEAST,
                unit="mm",
                why=f"Where the {means} of {name} end and what they bite is not known: give the "
                "piece (item), its length and diameter, and a fastening for each board it goes "
                "into.",
                source="computed",
                boards=(name,),
            )


def driven(casework: Casework, fastening: Fastening) -> tuple[Driven, ...]:
    """Every screw or bolt of a fastening in its place; none where `GRIP` lacks its means."""
    board, host = casework.by_name[fastening.board], casework.by_name[fastening.to]
    length = fastening.length or 0.0
    if fastening.means is Means.POCKET_SCREWS:
        lines = [
            _line(board, drill)
            for feature, drills in board.cuts
            if isinstance(feature, PocketHoles)
            for drill in drills
            if isinstance(drill, Drill)
            and drill.through  # the pilot, which starts at the shoulder that the head bears on
        ]
        passed = None
    elif fastening.means in (Means.SCREWS, Means.BOLTS):
        purpose = Purpose.SCREW if fastening.means is Means.SCREWS else Purpose.BOLT
        #: The clearance holes are in either of the two; the fastener ends in the other.
        rows = [(b, line) for b in (board, host) for line in _cleared(b, purpose)]
        passed = next((b for b, line in rows if _enters(line, _other(b, board, host))), None)
        lines = [line for b, line in rows if b is passed]
        host = _other(passed or host, board, host)
    elif fastening.means is Means.BACK_SCREWS:
        passed, lines = board, list(_through_panel(board, host))
    else:
        return ()
    return tuple(
        _drive(line, length, passed, host, _wood(casework), fastening.means)
        for line in lines
        if _enters(line, host)
    )


@dataclass(frozen=True, slots=True)
class _Line:
    """Seat and heading of a fastener in the room, and mm from the seat to its host."""

    seat: Vec
    heading: Vec
    through: float


def _drive(
    line: _Line,
    length: float,
    passed: Board | None,
    host: Board,
    wood: Corners,
    means: Means,
) -> Driven:
    thinner, thicker = _spread(passed) if passed else (0.0, 0.0)
    axis = max(range(3), key=lambda i: abs(line.heading[i]))
    if means is Means.BOLTS:
        bore = next(
            f.depth
            for f in host.features
            if isinstance(f, HoleRow) and f.purpose is Purpose.BOLT and f.depth is not None
        )
        end, host_thinner = line.through + bore, 0.0
    else:
        end = _wood_ends(line, wood)
        host_thinner = _spread(host)[0] if axis == host.place.out.axis else 0.0
    return Driven(
        seat=line.seat,
        heading=line.heading,
        length=length,
        left=(end - length) * abs(line.heading[axis]) - thinner - host_thinner,
        grip=min(end, length) - line.through - thicker,
    )


def _wood_ends(line: _Line, wood: Corners) -> float:
    """mm from the seat to the first air beyond the surface of the host."""
    end = line.through
    for enter, leave in sorted(_passes(line, wood)):
        if enter <= end + GAP and leave > end:
            end = leave
    return end


def _passes(line: _Line, wood: Corners) -> Iterator[tuple[float, float]]:
    """Where the line enters and leaves each box that it meets, mm from the seat."""
    (seat, heading), (lo, hi) = np.array((line.seat, line.heading)), wood
    level = np.abs(heading) < 1e-9
    there = (lo - SAME_MM <= seat) & (seat <= hi + SAME_MM)
    met = there[:, level].all(axis=1)
    seat, heading = seat[~level], heading[~level]
    low, high = lo[met][:, ~level], hi[met][:, ~level]
    ends = np.sort(((low - seat) / heading, (high - seat) / heading), axis=0)
    enter, leave = ends[0].max(axis=1).tolist(), ends[1].min(axis=1).tolist()
    return ((a, b) for a, b in zip(enter, leave, strict=True) if a < b)


@once
def _wood(casework: Casework) -> Corners:
    """What `_lasting` boards leave of the wood as boxes, mm in the room."""
    boxes = [box for board in _lasting(casework) for box in board.solid_boxes]
    return np.array([box.lo for box in boxes]), np.array([box.hi for box in boxes])


def _lasting(casework: Casework) -> Iterator[Board]:
    """The boards that stay where they are once the piece is made."""
    loose = {door.board.name for door in casework.doors.doors} if casework.doors else set()
    loose |= {
        fastening.board
        for fastening in casework.fastenings
        if fastening.means in (Means.SHELF_PINS, Means.BACK_SCREWS)
    }
    return (board for board in casework.boards if board.name not in loose)


def _cleared(board: Board, purpose: Purpose) -> Iterator[_Line]:
    """Lines along the clearance holes of a board."""
    for feature, drills in board.cuts:
        if isinstance(feature, HoleRow) and feature.purpose is purpose and feature.depth is None:
            for drill in drills:
                assert isinstance(drill, Drill)
                yield _line(board, drill)


def _through_panel(panel: Board, host: Board) -> Iterator[_Line]:
    """Lines from the rear of a panel, midway across the wood that it lies on."""
    on, level = (0, 2) if host.name in ("top", "bottom") else (2, 0)
    middle = (
        max(panel.box.lo[level], host.box.lo[level]) + min(panel.box.hi[level], host.box.hi[level])
    ) / 2
    for station in screw_stations(panel, host.name):
        seat = [0.0, panel.box.hi[1], 0.0]
        seat[on], seat[level] = panel.box.lo[on] + station, middle
        yield _Line((seat[0], seat[1], seat[2]), (0.0, -1.0, 0.0), panel.thickness)


def _line(board: Board, drill: Drill) -> _Line:
    return _Line(board.place.to_room(drill.entry), _turned(board.place, drill.heading), drill.depth)


def _enters(line: _Line, host: Board) -> bool:
    """Whether it goes on into the host: a joint's gap past its surface it is inside."""
    point = _along(line.seat, line.heading, line.through + GAP)
    return host.box.contains(Box(point, point))


def _other(one: Board, board: Board, host: Board) -> Board:
    return host if one is board else board


def _spread(board: Board) -> tuple[float, float]:
    """How much thinner and thicker than reckoned a board may be, mm."""
    stock = board.stock
    return (
        board.layers * (stock.thickness_mm - stock.thickness_min_mm),
        board.layers * (stock.thickness_max_mm - stock.thickness_mm),
    )


def _along(point: Vec, heading: Vec, mm: float) -> Vec:
    x, y, z = (p + mm * h for p, h in zip(point, heading, strict=True))
    return (x, y, z)


def _turned(place: Place, heading: Vec) -> Vec:
    """A direction of the board in the room."""
    ends = place.to_room(heading), place.to_room((0.0, 0.0, 0.0))
    x, y, z = (a - b for a, b in zip(*ends, strict=True))
    return (x, y, z)
