"""Boards as flat panels joined along lines: what each can do, what holds it, and the solution.

A panel bends as a `Plate` and is a deep beam in its own plane, straight from station to station:

    u_s = U(s) - (t - t0) φ(s) - n w_s,   u_t = V(s) - n w_t,   u_n = w      (n off its middle)
    energy in its plane: ½ ∫ (E A U'² + E I φ'² + 5/6 G A (V' - φ)²) ds

Joints, supports and ribs are springs on linear forms of the unknowns, ½ k (row · q)², at points
of Gauss. Directions are those of the room; N, mm, radians. Small movements, linear, joints hold
both ways. Source: textbook (Ritz; Timoshenko's beam with one point for its shear); checked in
the tests against closed forms, and on whole consoles against three-dimensional finite elements
(`tests/engine_consoles.py`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise

import numpy as np

from kit.checks.strength.blocks import Blocks
from kit.checks.strength.plate import Floats, Numbers, Plate, Rigidity, Rows

#: Unknowns of a panel in its own plane at each station: U, V and φ.
IN_PLANE = 3
#: Share of a rectangle that takes shear.
SHEARED = 5 / 6


@dataclass(frozen=True, slots=True)
class Membrane:
    """A panel in its own plane: E A in N, E I in N mm² and G A in N of its section across."""

    ea_n: float
    ei_nmm2: float
    ga_n: float

    @classmethod
    def of(cls, e_mpa: float, g_mpa: float, wide: float, thick: float) -> "Membrane":
        """That of a board so wide and thick, mm."""
        area = wide * thick
        return cls(e_mpa * area, e_mpa * area * wide**2 / 12, SHEARED * g_mpa * area)


@dataclass(frozen=True, slots=True)
class Panel:
    """A board as a panel: its axes along, across and square to it, and its middle, mm.

    `plate` is None for a panel that only holds its shape, such as a thin back.
    """

    name: str
    axes: tuple[int, int, int]
    middle: tuple[float, float, float]
    stations: Floats
    first: int
    membrane: Membrane
    plate: Plate | None

    @property
    def size(self) -> int:
        """How many unknowns it has."""
        return self.in_plane + (self.plate.size if self.plate else 0)

    @property
    def in_plane(self) -> int:
        """How many of them move it in its plane; they come first."""
        return IN_PLANE * len(self.stations)

    @property
    def hand(self) -> float:
        """+1 where along x across points the way of the room's axis square to it, else -1."""
        return 1.0 if self.axes in ((0, 1, 2), (1, 2, 0), (2, 0, 1)) else -1.0

    def moved(self, points: Floats, axis: int) -> Rows:
        """Displacement of points (n, 3) of the room along one of its axes."""
        s, t, n = self.axes
        if axis == n:
            assert self.plate is not None
            return self.plate.rows(points[:, s], points[:, t]).times(self.hand)
        piece = np.searchsorted(self.stations, points[:, s], side="right") - 1
        piece = np.clip(piece, 0, len(self.stations) - 2)
        start, end = self.stations[piece], self.stations[piece + 1]
        share = np.clip((points[:, s] - start) / (end - start), 0.0, 1.0)
        near = np.stack([1.0 - share, share], axis=1)
        node = self.first + IN_PLANE * (piece[:, None] + np.array([0, 1]))
        if axis == t:
            rows = Rows(node + 1, near)
        else:
            lever = (points[:, t] - self.middle[t])[:, None]
            rows = Rows(
                np.concatenate([node, node + 2], axis=1),
                np.concatenate([near, -lever * near], axis=1),
            )
        off = self.hand * (points[:, n] - self.middle[n])
        if self.plate is None or not off.any():
            return rows
        slopes = self.plate.rows(points[:, s], points[:, t], int(axis == s), int(axis == t))
        return rows.plus(slopes.times(-off))

    def stretched(self) -> tuple[Numbers, Floats]:
        """Places (n, 6) and stiffness (n, 6, 6) of its pieces in its plane."""
        long = np.diff(self.stations)
        found = np.zeros((len(long), 6, 6))
        for of, stiff in ((0, self.membrane.ea_n), (2, self.membrane.ei_nmm2)):
            for i, j, sign in ((0, 0, 1), (3, 3, 1), (0, 3, -1), (3, 0, -1)):
                found[:, of + i, of + j] += sign * stiff / long
        slip = np.zeros((len(long), 6))  # V' - φ in the middle of a piece
        slip[:, 1], slip[:, 4], slip[:, 2], slip[:, 5] = -1 / long, 1 / long, -0.5, -0.5
        found += self.membrane.ga_n * long[:, None, None] * slip[:, :, None] * slip[:, None, :]
        return self.first + IN_PLANE * np.arange(len(long))[:, None] + np.arange(6), found

    def turned(self, points: Floats, axis: int) -> Rows:
        """Rotation of the plate at points about an axis of the room that lies in it."""
        assert self.plate is not None
        s, t, _ = self.axes
        along, across = (0, 1) if axis == s else (1, 0)
        sign = 1.0 if axis == s else -1.0
        return self.plate.rows(points[:, s], points[:, t], along, across).times(sign)


@dataclass(frozen=True, slots=True)
class Springs:
    """Springs on linear forms: the least and the typical stiffness of each.

    `owner` names the board whose creep they share.
    """

    rows: Rows
    least: Floats
    typical: Floats
    owner: str


@dataclass
class Structure:
    """Panels and springs while they are gathered, and what `solved` makes of them."""

    panels: dict[str, Panel] = field(default_factory=dict)
    sections: dict[str, Sequence[Rigidity]] = field(default_factory=dict)
    springs: list[Springs] = field(default_factory=list)
    size: int = 0

    def panel(
        self,
        name: str,
        axes: tuple[int, int, int],
        middle: tuple[float, float, float],
        stations: Floats,
        membrane: Membrane,
        edges: tuple[float, float] | None = None,
        sections: Sequence[Rigidity] = (),
    ) -> Panel:
        """Add a panel; between `edges` it bends, and has a section for each piece."""
        plate = None
        if edges:
            plate = Plate(stations, *edges, first=self.size + IN_PLANE * len(stations))
        made = Panel(name, axes, middle, stations, self.size, membrane, plate)
        self.panels[name] = made
        self.sections[name] = sections
        self.size += made.size
        return made

    def spring(self, rows: Rows, stiff: Floats, owner: str, *, least: Floats | None = None) -> None:
        """Add springs, one a row, of which `least` is the stiffness at the worst."""
        self.springs.append(Springs(rows, stiff if least is None else least, stiff, owner))

    def load(self, rows: Rows, forces: Floats) -> Floats:
        """The load of forces in the direction of the rows."""
        found = np.zeros(self.size)
        np.add.at(found, rows.places, rows.shares * forces[:, None])
        return found

    def solved(
        self, loads: Floats, soft: Mapping[str, float] | None = None, *, least: bool = False
    ) -> Floats:
        """The unknowns under loads (size, cases); what `soft` names is so many times softer.

        Raises numpy.linalg.LinAlgError where something can move without bending.
        """
        by = {name: 1.0 / (soft or {}).get(name, 1.0) for name in self.panels}
        parts = [
            part
            for p in self.panels.values()
            for part in ((p.first, p.in_plane), (p.first + p.in_plane, p.size - p.in_plane))
            if part[1]
        ]
        matrix = Blocks(parts)
        for owner, places, pieces in self._pieces:
            for at, piece in zip(places, pieces, strict=True):
                matrix.add(at, by[owner] * piece)
        for springs, groups in zip(self.springs, self._groups, strict=True):
            stiff = by[springs.owner] * (springs.least if least else springs.typical)
            for begin, end in groups:
                shares = springs.rows.shares[begin:end]
                own = (shares.T * stiff[begin:end]) @ shares
                matrix.add(springs.rows.places[begin], own)
        found = matrix.solve(loads)
        if not np.isfinite(found).all():
            raise np.linalg.LinAlgError("Singular matrix")
        return found

    @cached_property
    def _pieces(self) -> list[tuple[str, Numbers, Floats]]:
        """Whose, places and stiffness of the pieces of every panel."""
        found = []
        for name, panel in self.panels.items():
            found.append((name, *panel.stretched()))
            if panel.plate:
                found.append((name, *panel.plate.stiffness(self.sections[name])))
        return found

    @cached_property
    def _groups(self) -> list[list[tuple[int, int]]]:
        """From where to where the rows of each set of springs are on the same unknowns."""
        found = []
        for springs in self.springs:
            places = springs.rows.places
            new = np.nonzero((places[1:] != places[:-1]).any(axis=1))[0] + 1
            cuts = [0, *new.tolist(), len(places)]
            found.append(list(pairwise(cuts)))
        return found
