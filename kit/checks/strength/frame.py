"""The case as a plane frame seen from the front, read off its boards.

Top, bottom, sides, dividers and shelves are members on the middles of their thickness, as
stiff as what their cuts leave (each stretch by its own section); joints are springs by kind.
What of the base reaches the floor holds the bottom up; rails that hang between legs help it to
bend. Back panels are left out of the sag.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise, product

import numpy as np

from kit.board import Board
from kit.casework import Casework
from kit.checks.loads import GRAVITY, Carried, LineLoad
from kit.checks.strength.joints import kinds_of_joints
from kit.checks.strength.layup import board_modulus
from kit.checks.strength.section import Part, Section, glued
from kit.checks.strength.solver import Bent, Floats, Member, Push, Stiff, Support, stiff

#: Greatest distance of two nodes over a base that holds the bottom up all along, mm.
FLOOR_PITCH = 200.0
#: Bending and axial stiffness of what joins a shelf to the middle of its upright; stiff enough.
STIFF = 1e10
#: Two stations nearer than this are one, mm.
SAME = 2.0
#: Places in which a stretch between two nodes is looked at, as shares of its length.
SHARES = np.linspace(0.0, 1.0, 9)
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
    """The frame of a case under its loads. `marks` are the stations of the uprights, mm in X.

    `known` is its stiffness, where that of another frame is its own.
    """

    nodes: tuple[tuple[float, float], ...]
    members: tuple[Member, ...]
    supports: tuple[Support, ...]
    pushes: tuple[Push, ...]
    runs: tuple[Run, ...]
    marks: tuple[float, ...]
    floor: tuple[tuple[float, float], ...]
    known: Stiff | None = None

    @cached_property
    def stiff(self) -> Stiff:
        """Its stiffness, which does not follow the loads."""
        return self.known or stiff(self.nodes, self.members, self.supports)

    @cached_property
    def bent(self) -> Bent:
        """The frame under its loads.

        Raises numpy.linalg.LinAlgError where it moves without bending: so, as far as the
        arithmetic tells, is a frame of which a node would move by more than the frame is long.
        """
        bent = self.stiff.under(self.members, self.pushes)
        if not np.abs(bent.moved).max() < np.ptp(bent.nodes, axis=0).max():
            raise np.linalg.LinAlgError("The frame moves without bending.")
        return bent

    def run(self, name: str) -> Run:
        """The board of this name in the frame; KeyError where it is not in it."""
        for run in self.runs:
            if run.board.name == name:
                return run
        raise KeyError(name)

    def crept(self, factors: Mapping[str, float]) -> "CaseFrame":
        """The same frame after years: what it names is softer, joints too, by that factor."""
        members = list(self.members)
        for run in self.runs:
            soft = factors.get(run.board.name, 1.0)
            for index in run.members:
                m = members[index]
                members[index] = replace(
                    m,
                    ei_nmm2=m.ei_nmm2 / soft,
                    ea_n=m.ea_n / soft,
                    spring_a=m.spring_a / soft,
                    spring_b=m.spring_b / soft,
                )
        return replace(self, members=tuple(members), known=None)

    def bearing(self, name: str, n_per_mm: float) -> "CaseFrame":
        """The same frame with more load spread along one board, N/mm."""
        members = list(self.members)
        for index in self.run(name).members:
            m = members[index]
            members[index] = replace(m, spread_n_mm=m.spread_n_mm + n_per_mm)
        return replace(self, members=tuple(members), known=self.stiff)

    def line(self, name: str) -> tuple[Floats, Floats]:
        """How a board lies under load: stations and displacement up, mm."""
        run = self.run(name)
        xs = [a + SHARES * (b - a) for a, b in pairwise(run.stations)]
        zs = self.bent.lines(self.members, run.members, SHARES)
        return np.concatenate(xs), zs.ravel()


class _Builder:
    """Gathers nodes and members while a frame is read; thrown away when it is done."""

    def __init__(self, casework: Casework, stiffness: float):
        self.casework, self.stiffness = casework, stiffness
        self.nodes: list[tuple[float, float]] = []
        self.in_cell: dict[tuple[int, int], list[int]] = defaultdict(list)
        self.members: list[Member] = []
        self.pushes: list[Push] = []
        self.runs: list[Run] = []
        self.joints = kinds_of_joints(casework)

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


def case_frame(
    casework: Casework,
    carried: Carried,
    *,
    joint_share: float = 0.0,
) -> CaseFrame:
    """The frame of a case under its own weight and what it carries.

    `joint_share` goes from the least stiffness of the joints (0) to the typical one (1).
    """
    make = _Builder(casework, joint_share)
    by_name = casework.by_name
    uprights = [by_name[bay.left.name] for bay in casework.bays]
    uprights.append(by_name[casework.bays[-1].right.name])
    marks = [board.box.centre[0] for board in uprights]
    top, bottom = by_name["top"], by_name["bottom"]
    shelves = [b for b in casework.boards if _is_shelf(b)]
    floor = standing(casework)
    spans = [(top, 0, len(marks) - 1), (bottom, 0, len(marks) - 1)]
    spans += [(shelf, *_between(shelf, marks)) for shelf in shelves]
    meets: dict[int, list[tuple[float, Board]]] = {i: [] for i in range(len(uprights))}
    for board, first, last in spans:
        ends = {first, last} if _is_shelf(board) else set(range(len(uprights)))
        for i in ends:
            meets[i].append((board.box.centre[2], board))
        _level(make, board, uprights, marks, (first, last), carried, floor)
    for i, upright in enumerate(uprights):
        _upright(make, upright, marks[i], meets[i], (top, bottom))
    supports = _supports(make, bottom, floor)
    return CaseFrame(
        tuple(make.nodes),
        tuple(make.members),
        supports,
        tuple(make.pushes),
        tuple(make.runs),
        tuple(marks),
        floor,
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


def _is_shelf(board: Board) -> bool:
    return board.name.startswith("shelf-") and not board.name.endswith("-lipping")


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
    carried: Carried,
    floor: Sequence[tuple[float, float]],
) -> None:
    """Add a level board: its nodes at uprights, loads and floor, its members and its loads."""
    first, last = ends
    x0, x1 = marks[first], marks[last]
    wanted = list(marks[first : last + 1])
    if last - first == 1 and _is_shelf(board):
        # it spans from face to face of its uprights, or from end to end on its pins
        x0 = max(uprights[first].box.hi[0], board.box.lo[0])
        x1 = min(uprights[last].box.lo[0], board.box.hi[0])
        wanted = [x0, x1]
    points = [p for p in carried.points if p.board == board.name]
    lines = [line for line in carried.lines if line.board == board.name]
    lines += _own_weight(make.casework, board, x0, x1)
    extra = [p.x_mm for p in points]
    extra += [x for line in lines for x in (line.x0_mm, line.x1_mm)]
    if board.name == "bottom":
        extra += _floor_stations(floor)
    for x in sorted(extra):
        if x0 + SAME < x < x1 - SAME and all(abs(x - w) > SAME for w in wanted):
            wanted.append(x)
    wanted.sort()
    z = board.box.centre[2]
    nodes = [make.node(x, z) for x in wanted]
    strips = [b for b in make.casework.boards if b.name == f"{board.name}-lipping"]
    rails = _hanging(make.casework) if board.name == "bottom" else []
    numbers = []
    for i, (a, b) in enumerate(pairwise(wanted)):
        middle = (a + b) / 2
        ei, ea = _stiffness([board, *strips], 0, middle)
        ei += sum(
            _stiffness([r], 0, middle)[0] for r in rails if r.box.lo[0] < middle < r.box.hi[0]
        )
        spread = sum(_n_per_mm(line) for line in lines if line.x0_mm <= middle < line.x1_mm)
        start = make.spring(board, uprights[first]) if i == 0 else float("inf")
        end = make.spring(board, uprights[last]) if i == len(wanted) - 2 else float("inf")
        numbers.append(len(make.members))
        make.members.append(Member(nodes[i], nodes[i + 1], ei, ea, start, end, spread))
    for point in points:
        nearest = min(range(len(wanted)), key=lambda i: abs(wanted[i] - point.x_mm))
        make.pushes.append(Push(nodes[nearest], z=-point.kg * GRAVITY))
    make.runs.append(Run(board, tuple(wanted), tuple(nodes), tuple(numbers)))
    for mark, node in ((marks[first], nodes[0]), (marks[last], nodes[-1])):
        if abs(make.nodes[node][0] - mark) > SAME:
            a, b = sorted((make.node(mark, z), node), key=lambda n: make.nodes[n][0])
            make.members.append(Member(a, b, STIFF, STIFF))


def _own_weight(casework: Casework, board: Board, x0: float, x1: float) -> list[LineLoad]:
    """Its own weight, that of its lipping, and on the bottom that of the back panels."""
    own = [b for b in casework.boards if b.name in (board.name, f"{board.name}-lipping")]
    found = [LineLoad(board.name, x0, x1, b.mass_kg, b.name) for b in own]
    if board.name == "bottom":
        found += [
            LineLoad("bottom", max(x0, b.box.lo[0]), min(x1, b.box.hi[0]), b.mass_kg, b.name)
            for b in casework.boards
            if b.name.startswith("back-")
        ]
    return found


def _n_per_mm(line: LineLoad) -> float:
    length = line.x1_mm - line.x0_mm
    return line.kg * GRAVITY / length if length > SAME else 0.0


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
    side = board.name.startswith("side-")
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
    make.pushes.append(Push(nodes[0], z=-board.mass_kg * GRAVITY))
    make.runs.append(Run(board, tuple(levels), tuple(nodes), tuple(numbers)))


def _supports(
    make: _Builder,
    bottom: Board,
    floor: Sequence[tuple[float, float]],
) -> tuple[Support, ...]:
    inf = float("inf")
    if not floor:
        sides = (run for run in make.runs if run.board.name.startswith("side-"))
        return tuple(Support(run.nodes[0], x=inf, z=inf) for run in sides)
    run = next(r for r in make.runs if r.board is bottom)
    held = [
        node
        for x, node in zip(run.stations, run.nodes, strict=True)
        if any(lo - SAME <= x <= hi + SAME for lo, hi in floor)
    ]
    return tuple(Support(node, x=inf, z=inf) for node in held)
