"""The case as a plane frame seen from the front, read off its boards: how it sways.

Top, bottom, sides, dividers and shelves are members on the middles of their thickness, as
stiff as what their cuts leave (each stretch by its own section); joints are springs by kind.
What of the base reaches the floor holds the bottom; rails that hang between legs help it to
bend. The sag is no matter of this frame: it follows the depth too, and is in `carcase`.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

from kit.board import Board
from kit.casework import Casework
from kit.checks.strength.joints import joints_of
from kit.checks.strength.layup import board_modulus
from kit.checks.strength.section import Part, Section, glued
from kit.checks.strength.solver import Member, Support

#: Greatest distance of two nodes over a base that holds the bottom up all along, mm.
FLOOR_PITCH = 200.0
#: Bending and axial stiffness of what joins a shelf to the middle of its upright; stiff enough.
STIFF = 1e10
#: Two stations nearer than this are one, mm.
SAME = 2.0
#: Stiff enough for a stretch that has lost its wood to a joint, mm of thickness at the least.
LEAST_SECTION = 1.0


@dataclass(frozen=True, slots=True)
class Run:
    """One board in the frame: its node at each station and the members between them."""

    board: Board
    stations: tuple[float, ...]
    nodes: tuple[int, ...]
    members: tuple[int, ...]


@dataclass(frozen=True)
class CaseFrame:
    """The frame of a case. `marks` are the stations of the uprights, mm in X.

    `feet` are the runs of the sides where the case stands on their ends.
    """

    nodes: tuple[tuple[float, float], ...]
    members: tuple[Member, ...]
    supports: tuple[Support, ...]
    runs: tuple[Run, ...]
    marks: tuple[float, ...]
    feet: tuple[Run, ...]

    def run(self, name: str) -> Run:
        """The board of this name in the frame; KeyError where it is not in it."""
        for run in self.runs:
            if run.board.name == name:
                return run
        raise KeyError(name)


class _Builder:
    """Gathers nodes and members while a frame is read; thrown away when it is done."""

    def __init__(self, casework: Casework, stiffness: float):
        self.casework, self.stiffness = casework, stiffness
        self.nodes: list[tuple[float, float]] = []
        self.in_cell: dict[tuple[int, int], list[int]] = defaultdict(list)
        self.members: list[Member] = []
        self.runs: list[Run] = []
        self.joints = {frozenset(p): k for p, (k, _) in joints_of(casework).items()}

    def node(self, x: float, z: float) -> int:
        """The node at a place; a node that stands nearer than `SAME` already serves for it."""
        i, k = int(x // SAME), int(z // SAME)
        cells = product((i - 1, i, i + 1), (k - 1, k, k + 1))
        near = [number for cell in cells for number in self.in_cell.get(cell, ())]
        for number in sorted(near):
            u, w = self.nodes[number]
            if abs(u - x) < SAME and abs(w - z) < SAME:
                return number
        self.nodes.append((x, z))
        self.in_cell[i, k].append(len(self.nodes) - 1)
        return len(self.nodes) - 1

    def spring(self, board: Board, host: Board) -> float:
        """N mm/rad between two boards, over the depth that they share."""
        joint = self.joints.get(frozenset((board.name, host.name)))
        if joint is None:
            return 0.0
        low, high = joint.turn_min_nm_per_rad_m, joint.turn_nm_per_rad_m
        turn = low + (high - low) * self.stiffness
        shared = min(board.box.hi[1], host.box.hi[1]) - max(board.box.lo[1], host.box.lo[1])
        return turn * max(shared, 0.0)


def case_frame(casework: Casework, *, joint_share: float = 0.0) -> CaseFrame:
    """The frame of a case.

    `joint_share` goes from the least stiffness of the joints (0) to the typical one (1).
    """
    make = _Builder(casework, joint_share)
    by_name = casework.by_name
    uprights = [by_name[bay.left.name] for bay in casework.bays]
    uprights.append(by_name[casework.bays[-1].right.name])
    marks = [board.box.centre[0] for board in uprights]
    top, bottom = by_name["top"], by_name["bottom"]
    shelves = casework.shelf_boards
    floor = standing(casework)
    spans = [(top, 0, len(marks) - 1), (bottom, 0, len(marks) - 1)]
    spans += [(shelf, *_between(shelf, marks)) for shelf in shelves]
    meets: dict[int, list[tuple[float, Board]]] = {i: [] for i in range(len(uprights))}
    for board, first, last in spans:
        ends = {first, last} if board in shelves else set(range(len(uprights)))
        for i in ends:
            meets[i].append((board.box.centre[2], board))
        _level(make, board, uprights, marks, (first, last), floor)
    for i, upright in enumerate(uprights):
        _upright(make, upright, marks[i], meets[i], (top, bottom))
    feet = () if floor else tuple(r for r in make.runs if _is_side(casework, r.board))
    return CaseFrame(
        tuple(make.nodes),
        tuple(make.members),
        _supports(make, bottom, floor, feet),
        tuple(make.runs),
        tuple(marks),
        feet,
    )


def standing(casework: Casework) -> tuple[tuple[float, float], ...]:
    """Spans in X where the bottom is held up from the floor, from left to right, mm.

    Empty where the case stands on the ends of its sides.
    """
    ground = casework.box.lo[2]
    bottom = casework.frame.bottom.box
    if bottom.lo[2] > SAME:
        return ()
    if ground > -SAME:
        return ((0.0, casework.design.case.width),)
    spans = sorted(
        (b.box.lo[0], b.box.hi[0])
        for b in casework.boards
        if b.box.lo[2] < ground + SAME and b.box.hi[2] > -SAME
    )
    merged: list[tuple[float, float]] = []
    for lo, hi in spans:
        if merged and lo <= merged[-1][1] + SAME:
            merged[-1] = (merged[-1][0], max(hi, merged[-1][1]))
        else:
            merged.append((lo, hi))
    return tuple(merged)


def section_at(boards: Iterable[Board], axis: int, station: float) -> Section | None:
    """The glued section of boards that run along room axis `axis` at a station, or None.

    Heights are in Z for level boards (axis 0), in X for upright ones (axis 2).
    """
    square = 2 if axis == 0 else 0
    parts = []
    for board in boards:
        e = board_modulus(board, axis)
        for box in board.solid_boxes:
            if box.lo[axis] <= station < box.hi[axis]:
                lo, hi = box.lo[square], box.hi[square]
                parts.append(Part(box.size[1], lo, hi, e.typical_mpa, e.axial_mpa))
    return glued(parts) if parts else None


def _is_side(casework: Casework, board: Board) -> bool:
    return board.name in (casework.frame.left.name, casework.frame.right.name)


def _between(shelf: Board, marks: Sequence[float]) -> tuple[int, int]:
    """Numbers of the uprights at the ends of a shelf."""
    middle = shelf.box.centre[0]
    last = next(i for i, x in enumerate(marks) if x > middle)
    return last - 1, last


def _level(
    make: _Builder,
    board: Board,
    uprights: Sequence[Board],
    marks: Sequence[float],
    ends: tuple[int, int],
    floor: Sequence[tuple[float, float]],
) -> None:
    """Add a level board: its nodes at uprights and floor, and its members."""
    first, last = ends
    x0, x1 = marks[first], marks[last]
    wanted = list(marks[first : last + 1])
    if last - first == 1 and board in make.casework.shelf_boards:
        # it spans from face to face of its uprights, or from end to end on its pins
        x0 = max(uprights[first].box.hi[0], board.box.lo[0])
        x1 = min(uprights[last].box.lo[0], board.box.hi[0])
        wanted = [x0, x1]
    extra = _floor_stations(floor) if board.name == make.casework.frame.bottom.name else []
    for x in sorted(extra):
        if x0 + SAME < x < x1 - SAME and all(abs(x - w) > SAME for w in wanted):
            wanted.append(x)
    wanted.sort()
    z = board.box.centre[2]
    nodes = [make.node(x, z) for x in wanted]
    rails = _hanging(make.casework) if board.name == "bottom" else []
    numbers = []
    for i, (a, b) in enumerate(pairwise(wanted)):
        middle = (a + b) / 2
        ei, ea = _stiffness(make.casework.with_strips(board.name), 0, middle)
        ei += sum(
            _stiffness([r], 0, middle)[0] for r in rails if r.box.lo[0] < middle < r.box.hi[0]
        )
        start = make.spring(board, uprights[first]) if i == 0 else float("inf")
        end = make.spring(board, uprights[last]) if i == len(wanted) - 2 else float("inf")
        numbers.append(len(make.members))
        make.members.append(Member(nodes[i], nodes[i + 1], ei, ea, start, end))
    make.runs.append(Run(board, tuple(wanted), tuple(nodes), tuple(numbers)))
    for mark, node in ((marks[first], nodes[0]), (marks[last], nodes[-1])):
        if abs(make.nodes[node][0] - mark) > SAME:
            a, b = sorted((make.node(mark, z), node), key=lambda n: make.nodes[n][0])
            make.members.append(Member(a, b, STIFF, STIFF))


def _floor_stations(floor: Sequence[tuple[float, float]]) -> list[float]:
    found = []
    for lo, hi in floor:
        if hi - lo < 60.0:
            found.append((lo + hi) / 2)
            continue
        gaps = max(1, round((hi - lo) / FLOOR_PITCH))
        found += [lo + (hi - lo) * i / gaps for i in range(gaps + 1)]
    return found


def _hanging(casework: Casework) -> list[Board]:
    """Rails of the base that run along the bottom and do not reach the floor."""
    ground = casework.box.lo[2]
    return [
        b
        for b in casework.boards
        if b.box.hi[2] < SAME and b.box.lo[2] > ground + SAME and b.place.along.axis == 0
    ]


def _stiffness(boards: Sequence[Board], axis: int, station: float) -> tuple[float, float]:
    box = boards[0].box  # a stretch may end in the middle of an upright, past the board's end
    station = min(max(station, box.lo[axis] + SAME), box.hi[axis] - SAME)
    section = section_at(boards, axis, station)
    if section is not None:
        return section.ei_nmm2, section.ea_n
    board = boards[0]
    e = board_modulus(board, axis).typical_mpa
    depth = board.box.size[1]
    return e * depth * LEAST_SECTION**3 / 12, e * depth * LEAST_SECTION


def _upright(
    make: _Builder,
    board: Board,
    x: float,
    meets: Sequence[tuple[float, Board]],
    lids: tuple[Board, Board],
) -> None:
    """Add a side or divider: through past the shelves, sprung to top and bottom if between."""
    side = _is_side(make.casework, board)
    levels = sorted(z for z, _ in meets)
    top, bottom = lids
    if side and board.box.lo[2] < bottom.box.lo[2] - SAME:
        levels.insert(0, board.box.lo[2])  # it stands on its own end
    nodes = list(dict.fromkeys(make.node(x, z) for z in levels))
    levels = [make.nodes[node][1] for node in nodes]
    numbers = []
    for i, (a, b) in enumerate(pairwise(levels)):
        ei, ea = _stiffness([board], 2, (a + b) / 2)
        start = make.spring(board, bottom) if i == 0 and not side else float("inf")
        end = make.spring(board, top) if i == len(levels) - 2 and not side else float("inf")
        numbers.append(len(make.members))
        make.members.append(Member(nodes[i], nodes[i + 1], ei, ea, start, end))
    make.runs.append(Run(board, tuple(levels), tuple(nodes), tuple(numbers)))


def _supports(
    make: _Builder,
    bottom: Board,
    floor: Sequence[tuple[float, float]],
    feet: Sequence[Run],
) -> tuple[Support, ...]:
    inf = float("inf")
    if not floor:
        return tuple(Support(run.nodes[0], x=inf, z=inf) for run in feet)
    run = next(r for r in make.runs if r.board is bottom)
    held = [
        node
        for x, node in zip(run.stations, run.nodes, strict=True)
        if any(lo - SAME <= x <= hi + SAME for lo, hi in floor)
    ]
    return tuple(Support(node, x=inf, z=inf) for node in held)
