"""A small plane frame by direct stiffness: members that bend and stretch, springs at their ends.

Axes x to the right, z up; N, mm, radians; a turn is positive from x towards z. Bernoulli
members, small deflections, linear. A joint is a rotational spring between a member's end and
its node: infinite is rigid, nought is a hinge. Source: textbook; checked in the tests against
an independent finite-element library and closed forms.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from math import inf, isinf

import numpy as np
from numpy.typing import NDArray

#: Larger sets of equations are solved in halves. From 100 on the dense solver shares out to
#: threads, and stalls for a third of a second where the processor has other work.
DENSE = 90
#: Larger ones still are solved as sparse ones; scipy alone takes longer to load than a check.
HALVED = 2 * DENSE

type Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Member:
    """A straight member from node `a` to node `b`, with the springs at its ends (N mm/rad).

    `spread_n_mm` is a load downwards, N per mm of its length; on level members only.
    """

    a: int
    b: int
    ei_nmm2: float
    ea_n: float
    spring_a: float = inf
    spring_b: float = inf
    spread_n_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Support:
    """What holds a node: stiffness in x, z (N/mm) and rotation (N mm/rad); infinite is fixed."""

    node: int
    x: float = 0.0
    z: float = inf
    turn: float = 0.0


@dataclass(frozen=True, slots=True)
class Push:
    """A force on a node, N: `x` to the right, `z` up."""

    node: int
    x: float = 0.0
    z: float = 0.0


@dataclass(frozen=True, slots=True)
class Bent:
    """The solved frame: displacement (x, z) of every node, mm, and each member's end turns."""

    nodes: Floats
    moved: Floats
    turns: Floats

    def along(self, frame_members: Sequence[Member], index: int, shares: Floats) -> Floats:
        """Displacement square to a member at `shares` (0 to 1) of its length, mm.

        Positive to the left of the way from a to b: up, for a level member from left to right.
        """
        (line,) = self.lines(frame_members, [index], shares)
        return np.asarray(line)

    def lines(
        self, frame_members: Sequence[Member], indices: Sequence[int], shares: Floats
    ) -> Floats:
        """`along` of several members, one a row."""
        members = [frame_members[index] for index in indices]
        a, b = [m.a for m in members], [m.b for m in members]
        run = self.nodes[b] - self.nodes[a]
        length = np.hypot(run[:, 0], run[:, 1])
        square = np.stack([-run[:, 1] / length, run[:, 0] / length], axis=1)
        w_a, w_b = (self.moved[a] * square).sum(axis=1), (self.moved[b] * square).sum(axis=1)
        t = self.turns[list(indices)] * length[:, None]
        x = shares
        bent = (
            np.outer(w_a, 1 - 3 * x**2 + 2 * x**3)
            + np.outer(t[:, 0], x - 2 * x**2 + x**3)
            + np.outer(w_b, 3 * x**2 - 2 * x**3)
            + np.outer(t[:, 1], x**3 - x**2)
        )
        own = [
            m.spread_n_mm * long**4 / (24 * m.ei_nmm2)
            for m, long in zip(members, length.tolist(), strict=True)
        ]
        return np.asarray(bent - np.outer(own, (x * (1 - x)) ** 2), dtype=np.float64)


def solve(
    nodes: Sequence[tuple[float, float]],
    members: Sequence[Member],
    supports: Sequence[Support],
    pushes: Sequence[Push] = (),
) -> Bent:
    """Displacements of a plane frame; nodes are (x, z) in mm.

    Raises numpy.linalg.LinAlgError where the frame can move without bending.
    """
    return stiff(nodes, members, supports).under(members, pushes)


@dataclass(frozen=True, slots=True)
class Stiff:
    """The stiffness of a frame, to be loaded as often as one likes; made by `stiff`.

    `dofs` are the places of each member (n, 6) and `keep` those that can move.
    """

    nodes: Floats
    dofs: NDArray[np.intp]
    keep: NDArray[np.bool_]
    solved: Callable[[Floats], Floats]

    def under(self, members: Sequence[Member], pushes: Sequence[Push]) -> Bent:
        """The same members, which may carry other loads, under forces on the nodes."""
        force = np.zeros(len(self.keep))
        for push in pushes:
            force[3 * push.node] += push.x
            force[3 * push.node + 1] += push.z
        loaded = [number for number, member in enumerate(members) if member.spread_n_mm]
        if loaded:
            bearing = [members[number] for number in loaded]
            spread = np.array([m.spread_n_mm for m in bearing])
            ends = self.nodes[[m.b for m in bearing], 0], self.nodes[[m.a for m in bearing], 0]
            length = ends[0] - ends[1]
            half, moment = spread * length / 2, spread * length**2 / 12
            none = np.zeros_like(half)
            shares = np.stack([none, -half, -moment, none, -half, moment], axis=1)
            np.add.at(force, self.dofs[loaded], shares)
        moved = np.zeros(len(self.keep))
        moved[self.keep] = self.solved(force[self.keep])
        plane = moved[: 3 * len(self.nodes)].reshape(-1, 3)
        return Bent(self.nodes, plane[:, :2].copy(), moved[self.dofs[:, [2, 5]]])


def stiff(
    nodes: Sequence[tuple[float, float]], members: Sequence[Member], supports: Sequence[Support]
) -> Stiff:
    """The stiffness of a plane frame; nodes are (x, z) in mm.

    Raises numpy.linalg.LinAlgError where the frame can move without bending, here or when it is
    loaded.
    """
    at = np.asarray(nodes, dtype=np.float64)
    size = 3 * len(at)
    ends = np.empty((len(members), 2), dtype=np.intp)
    springs: list[tuple[int, int, float]] = []
    for number, member in enumerate(members):
        for end, (node, spring) in enumerate(
            ((member.a, member.spring_a), (member.b, member.spring_b))
        ):
            ends[number, end] = 3 * node + 2
            if not isinf(spring):
                ends[number, end] = size
                springs.append((size, 3 * node + 2, spring))
                size += 1
    a = np.array([m.a for m in members], dtype=np.intp)
    b = np.array([m.b for m in members], dtype=np.intp)
    dofs = np.stack([3 * a, 3 * a + 1, ends[:, 0], 3 * b, 3 * b + 1, ends[:, 1]], axis=1)
    local, turn = _stiffness(at, members, a, b)
    whole = np.swapaxes(turn, 1, 2) @ local @ turn
    rows = [np.broadcast_to(dofs[:, :, None], whole.shape).ravel()]
    columns = [np.broadcast_to(dofs[:, None, :], whole.shape).ravel()]
    values = [whole.ravel()]
    for one, other, spring in springs:
        rows.append(np.array([one, other, one, other]))
        columns.append(np.array([one, other, other, one]))
        values.append(np.array([spring, spring, -spring, -spring]))
    keep = np.ones(size, dtype=bool)
    for support in supports:
        for offset, spring in enumerate((support.x, support.z, support.turn)):
            place = 3 * support.node + offset
            if isinf(spring):
                keep[place] = False
            else:
                rows.append(np.array([place]))
                columns.append(np.array([place]))
                values.append(np.array([spring]))
    row, column, value = np.concatenate(rows), np.concatenate(columns), np.concatenate(values)
    own = row == column
    # where every member is hinged nothing turns the node
    keep &= np.bincount(row[own], value[own], minlength=size) > 0
    place_of, inside = np.cumsum(keep) - 1, keep[row] & keep[column]
    places = (place_of[row[inside]], place_of[column[inside]])
    left = int(keep.sum())
    return Stiff(at, dofs, keep, _solver(value[inside], places, left))


def _solver(
    values: Floats, places: tuple[NDArray[np.intp], NDArray[np.intp]], size: int
) -> Callable[[Floats], Floats]:
    """Solves the equations of a stiffness matrix, told by the values that add up to it."""
    if size > HALVED:
        return _sparse(values, places, size)
    matrix = np.zeros((size, size))
    np.add.at(matrix, places, values)
    return partial(np.linalg.solve, matrix) if size <= DENSE else _in_halves(matrix)


def _in_halves(matrix: Floats) -> Callable[[Floats], Floats]:
    """Solves by its first half, then by what that leaves of the second (a Schur complement).

    It is sound without an exchange of rows, as a stiffness matrix is symmetric and positive.
    """
    half = len(matrix) // 2
    first, across = matrix[:half, :half], matrix[:half, half:]
    carried = np.linalg.solve(first, across)
    second = matrix[half:, half:] - across.T @ carried

    def solved(force: Floats) -> Floats:
        one = np.linalg.solve(first, force[:half])
        two = np.linalg.solve(second, force[half:] - across.T @ one)
        return np.concatenate([one - carried @ two, two])

    return solved


def _sparse(
    values: Floats, places: tuple[NDArray[np.intp], NDArray[np.intp]], size: int
) -> Callable[[Floats], Floats]:
    from scipy.sparse import coo_matrix
    from scipy.sparse.linalg import splu

    try:
        factors = splu(coo_matrix((values, places), shape=(size, size)).tocsc())
    except RuntimeError as error:  # what it says of a singular matrix
        raise np.linalg.LinAlgError("Singular matrix") from error
    return lambda force: np.asarray(factors.solve(force), dtype=np.float64)


def _stiffness(
    at: Floats, members: Sequence[Member], a: NDArray[np.intp], b: NDArray[np.intp]
) -> tuple[Floats, Floats]:
    """Local stiffness and turning matrices of all members, each (n, 6, 6)."""
    run = at[b] - at[a]
    length = np.hypot(run[:, 0], run[:, 1])
    c, s = run[:, 0] / length, run[:, 1] / length
    ei = np.array([m.ei_nmm2 for m in members])
    ea = np.array([m.ea_n for m in members]) / length
    k = np.zeros((len(members), 6, 6))
    k[:, 0, 0] = k[:, 3, 3] = ea
    k[:, 0, 3] = k[:, 3, 0] = -ea
    shear, half, full = 12 * ei / length**3, 6 * ei / length**2, 4 * ei / length
    k[:, 1, 1] = k[:, 4, 4] = shear
    k[:, 1, 4] = k[:, 4, 1] = -shear
    for i, j in ((1, 2), (2, 1), (1, 5), (5, 1)):
        k[:, i, j] = half
    for i, j in ((2, 4), (4, 2), (4, 5), (5, 4)):
        k[:, i, j] = -half
    k[:, 2, 2] = k[:, 5, 5] = full
    k[:, 2, 5] = k[:, 5, 2] = full / 2
    turn = np.zeros((len(members), 6, 6))
    for o in (0, 3):
        turn[:, o, o] = turn[:, o + 1, o + 1] = c
        turn[:, o, o + 1] = s
        turn[:, o + 1, o] = -s
        turn[:, o + 2, o + 2] = 1.0
    return k, turn
