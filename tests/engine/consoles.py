"""A built case as bricks: its boards' boxes, the kit's moduli, and springs for its joints.

Told from `kit.checks.strength.carcase` in all but the numbers of wood and joints: solid bricks
in three dimensions with their true thickness, grooves and footprints, and joints over the whole
of the faces that touch. A housed board ends at the face of its host.
"""

from collections import defaultdict
from collections.abc import Iterator

import numpy as np

from engine.bricks import STIFF, Bricks, Wood, grid
from kit.board import Board
from kit.casework import Casework
from kit.checks.loads import GRAVITY, Carried
from kit.checks.strength.joints import is_glued, joints_of
from kit.checks.strength.layup import board_modulus, shear_modulus
from kit.components.made import Means
from kit.geometry import Box
from kit.joinery import HoleRow, Purpose

#: Rolling shear of plywood and its modulus through the thickness, MPa: public materials
#: databases give 138 to 207 and some 500; the kit's own model leaves both out.
ROLLING, THROUGH = 172.0, 500.0
#: Slip of a pocket screw and of a small screw through a back, N/mm; as the kit's.
POCKET_SLIP, SMALL_SLIP = 1000.0, 200.0
#: Planes nearer than this are one, mm, and size of a brick, mm.
SAME, SIZE = 2.5, 45.0


def wood(board: Board) -> Wood:
    """The moduli of a board in the room."""
    thin = board.place.out.axis
    e = [board_modulus(board, axis).typical_mpa for axis in range(3)]
    solid = "board" in board.stock.key
    e[thin] = e[thin] if solid else THROUGH
    shear = shear_modulus(board.stock.key)
    rolling = shear if solid else ROLLING
    g = {
        frozenset(pair): shear if thin not in pair else rolling for pair in ((0, 1), (1, 2), (2, 0))
    }
    return Wood(
        (e[0], e[1], e[2]),
        g[frozenset((0, 1))],
        g[frozenset((1, 2))],
        g[frozenset((2, 0))],
        board.stock.density_kg_m3,
    )


def pins_of(shelf: Board, host: Board) -> list[float]:
    """Where the pins of a shelf stand in an upright, mm in Y."""
    return sorted(
        {
            round(box.centre[1], 2)
            for feature, cuts in host.cuts_in_room
            if isinstance(feature, HoleRow) and feature.purpose is Purpose.SHELF_PIN
            for _, box in cuts
            if abs(box.hi[2] - shelf.box.lo[2]) < SAME
            and shelf.box.lo[1] < box.centre[1] < shelf.box.hi[1]
        }
    )


def bricks_of(casework: Casework, carried: Carried, *, least: bool, size: float = SIZE) -> Bricks:
    """The case with its joints at their typical stiffness, or their least."""
    pairs = joints_of(casework)
    used = {name for pair in pairs for name in pair}
    screwed = {
        mate
        for (mate, _), (_, held) in pairs.items()
        if any(f.means is Means.BACK_SCREWS for f in held) and not is_glued(held)
    }
    boards = {b.name: b for b in casework.boards if b.name in used and b.name not in screwed}
    owners = _cells(casework, boards, pairs, carried, size)
    made = Bricks(*owners, {name: wood(b) for name, b in boards.items()})
    for (first, second), (kind, held) in pairs.items():
        if first not in boards or second not in boards:
            continue
        mate, host = boards[first], boards[second]
        turn = kind.turn_min_nm_per_rad_m if least else kind.turn_nm_per_rad_m
        under = {Means.POCKET_SCREWS, Means.BOLTS, Means.INSERTS}
        if kind.key == "lying":
            _pins(made, mate, host)
        elif {f.means for f in held} & under:
            _screwed(made, mate, host, sum(f.count for f in held))
        elif mate.place.out.axis == 1 or _alone(mate, pairs):
            for corner in made.touching(first, second):
                for axis in range(3):
                    made.tie(first, second, corner, axis, STIFF)
        else:
            _joined(made, mate, host, turn)
    _stand(made, casework, boards)
    _load(made, casework, boards, carried, screwed)
    return made


def _alone(mate: Board, pairs) -> bool:
    """A strip that is glued to one board."""
    return sum(mate.name in pair for pair in pairs) == 1


def _cells(casework, boards, pairs, carried, size):
    needed = [set(), set(), set()]
    wanted = [[], [], []]
    for board in boards.values():
        for axis in range(3):
            needed[axis] |= {board.box.lo[axis], board.box.hi[axis]}
        thin = board.place.out.axis
        if board.thickness > 9.0:
            wanted[thin].append(board.box.centre[thin])
    for board in boards.values():
        for box in board.solid_boxes:
            for axis in range(3):
                wanted[axis] += [box.lo[axis], box.hi[axis]]
    for load in (*carried.lines, *carried.points):
        if load.depth_mm:
            wanted[1] += load.depth_mm
    for (first, second), (kind, _) in pairs.items():
        if kind.key == "lying":
            wanted[1] += pins_of(boards[first], boards[second])
    # tongues reach into their hosts: only the faces of what they enter are planes
    planes = grid(needed, wanted, size, SAME)
    hosts = defaultdict(set)
    for first, second in pairs:
        hosts[first].add(second)
    cells: dict[str, list[tuple[int, int, int]]] = {name: [] for name in boards}
    middles = [(p[1:] + p[:-1]) / 2 for p in planes]
    claimed: dict[tuple[int, int, int], str] = {}
    for name, board in boards.items():
        ranges = [
            np.nonzero((m > board.box.lo[a]) & (m < board.box.hi[a]))[0].tolist()
            for a, m in enumerate(middles)
        ]
        for i in ranges[0]:
            for j in ranges[1]:
                for k in ranges[2]:
                    held = claimed.get((i, j, k))
                    if held is None or name in hosts[held]:
                        claimed[i, j, k] = name
    solid = [box for b in boards.values() for box in b.solid_boxes]
    lo = np.array([b.lo for b in solid])
    hi = np.array([b.hi for b in solid])
    for (i, j, k), name in claimed.items():
        at = np.array([middles[0][i], middles[1][j], middles[2][k]])
        if ((lo <= at) & (at <= hi)).all(axis=1).any():
            cells[name].append((i, j, k))
    return planes, cells


def _joined(made: Bricks, mate: Board, host: Board, turn: float) -> None:
    """Held in its middle row, and turned against springs in its outer ones."""
    if _passes(mate, host) and not _passes(host, mate):
        mate, host = host, mate
    normal, across = host.place.out.axis, mate.place.out.axis
    along = 3 - normal - across
    middle = made.near(across, mate.box.centre[across])
    corners = made.touching(mate.name, host.name)
    # a lip of a rabbet touches on another face too: the joint turns on the one in its middle
    faces = {c[normal] for c in corners if c[across] == middle}
    corners = [c for c in corners if c[normal] in faces]
    off = {c[across]: made.planes[across][c[across]] - made.planes[across][middle] for c in corners}
    lever = sum(mm**2 for mm in off.values())
    length = made.tributary(corners, along)
    for corner in corners:
        if corner[across] == middle:
            for axis in range(3):
                made.tie(mate.name, host.name, corner, axis, STIFF)
        else:
            made.tie(mate.name, host.name, corner, normal, turn * length[corner[along]] / lever)


def _passes(one: Board, other: Board) -> bool:
    """Whether one board goes past the whole thickness of another, which so ends on it."""
    axis = other.place.out.axis
    return (
        one.box.lo[axis] < other.box.lo[axis] + SAME
        and one.box.hi[axis] > other.box.hi[axis] - SAME
    )


def _pins(made: Bricks, shelf: Board, host: Board) -> None:
    low = made.near(2, shelf.box.lo[2])
    corners = [c for c in made.touching(shelf.name, host.name) if c[2] == low]
    for y in pins_of(shelf, host):
        corner = min(corners, key=lambda c: abs(made.planes[1][c[1]] - y))
        made.tie(shelf.name, host.name, corner, 2, STIFF)
        for axis in (0, 1):
            made.tie(shelf.name, host.name, corner, axis, 1.0)


def _screwed(made: Bricks, mate: Board, host: Board, count: int) -> None:
    """A member of the base: pressed on the case, and screws slip in the plane of the joint."""
    corners = made.touching(mate.name, host.name)
    if not corners:
        return
    upright = host.place.out.axis == 2
    for corner in corners:
        for axis in range(3):
            stiff = STIFF if upright and axis == 2 else count * POCKET_SLIP / len(corners)
            made.tie(mate.name, host.name, corner, axis, stiff)


def _stand(made: Bricks, casework: Casework, boards) -> None:
    ground = min(b.box.lo[2] for b in boards.values())
    floor = made.near(2, ground)
    for name in boards:
        for corner in made.of[name]:
            if corner[2] == floor:
                node = made.numbers[name, *corner]
                made.fixed |= {(node, axis) for axis in (1, 2, 3)}
    joined = {frozenset(pair) for pair in joints_of(casework)}
    bottom = min((b for b in boards.values() if b.place.out.axis == 2), key=lambda b: b.box.lo[2])
    for name, board in boards.items():
        # a leg that nothing fastens to the bottom still carries it
        if (
            abs(board.box.hi[2] - bottom.box.lo[2]) < SAME
            and frozenset((name, bottom.name)) not in joined
        ):
            for corner in made.touching(name, bottom.name):
                made.tie(name, bottom.name, corner, 2, STIFF)


def _load(made: Bricks, casework: Casework, boards, carried: Carried, screwed) -> None:
    for line in carried.lines:
        box = boards[line.board].box
        y = line.depth_mm or (box.lo[1], box.hi[1])
        made.press(line.board, Box((line.x0_mm, y[0], 0), (line.x1_mm, y[1], 0)), line.kg * GRAVITY)
    for point in carried.points:
        box = boards[point.board].box
        y = point.depth_mm or (box.lo[1], box.hi[1])
        half = point.wide_mm / 2
        x = point.x_mm - half, point.x_mm + half
        made.press(point.board, Box((x[0], y[0], 0), (x[1], y[1], 0)), point.kg * GRAVITY)
    for name in screwed:
        board = casework.by_name[name]
        low = min((b for b in boards.values() if b.place.out.axis == 2), key=lambda b: b.box.lo[2])
        rear = low.box.hi[1]
        x = board.box.lo[0], board.box.hi[0]
        made.press(low.name, Box((x[0], rear - 20, 0), (x[1], rear, 0)), board.mass_kg * GRAVITY)


def lines_of(
    made: Bricks, board: Board, moved: np.ndarray
) -> Iterator[tuple[str, np.ndarray, np.ndarray]]:
    """Front, middle and rear line of a level board: stations and displacement up, mm."""
    k = made.near(2, board.box.centre[2])
    box = board.box
    for word, y in (("front", box.lo[1]), ("middle", box.centre[1]), ("rear", box.hi[1])):
        ys = {c[1] for c in made.of[board.name] if c[2] == k}
        j = min(ys, key=lambda j: abs(made.planes[1][j] - y))
        row = sorted(c for c in made.of[board.name] if c[1] == j and c[2] == k)
        nodes = [made.numbers[board.name, *c] for c in row]
        yield word, made.planes[0][[c[0] for c in row]], moved[nodes, 2]
