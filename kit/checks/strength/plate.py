"""The deflection of one thin orthotropic plate: cubic pieces along it, polynomials across it.

    w(s, t) = Σ H(s) P(t)      H cubic Hermite between stations, P Legendre up to `DEGREE`

and its strain energy, of which the stiffness is the second derivative:

    U = ½ ∫ (Ds w_ss² + 2 D1 w_ss w_tt + Dt w_tt² + 4 Dst w_st²) dA

    Ds = Es h³ / 12(1 - νs νt),  Dt = Et h³ / 12(1 - νs νt),  D1 = νs Dt,  Dst = G h³ / 12

w in mm, D in N mm (per mm of width), s and t in mm. Shear through the thickness, which in
plywood is rolling shear, is let in along s as in Timoshenko's beam: a piece, l long, is softer by

    Φ = 12 Ds / (5/6 Gr h l²)

and w_s at a station is the turn of the section there. Range: thickness under a tenth of the span,
small deflections, elastic. Source: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells,
ch. 11 (orthotropic plates); Przemieniecki, Theory of Matrix Structural Analysis (Φ); the mixed
trial functions are those of the finite strip method, with the parts changed about.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

#: Highest power of the deflection across a board.
DEGREE = 4
#: Polynomials across, and unknowns of one piece of a plate.
ACROSS = DEGREE + 1
PIECE = 4 * ACROSS

type Floats = NDArray[np.float64]
type Numbers = NDArray[np.intp]

#: The Legendre polynomials in powers of t, their first and their second derivative, one a row.
_POWERS = np.zeros((3, ACROSS, ACROSS))
for _k in range(ACROSS):
    _c = np.polynomial.legendre.leg2poly([0.0] * _k + [1.0])
    _POWERS[0, _k, : len(_c)] = _c
    for _d in (1, 2):
        _c = np.polynomial.polynomial.polyder(_c)
        _POWERS[_d, _k, : len(_c)] = _c
_POWERS.setflags(write=False)
_UP = np.arange(ACROSS)


@dataclass(frozen=True, slots=True)
class Rigidity:
    """What a plate opposes to bending at points `t` across it: D in N mm, `weight` in mm.

    `weight` is the width that each point stands for; an integral across is the sum over points.
    `slip_mm2` is 12 Ds / (5/6 Gr h), nought where nothing slides through the thickness.
    """

    t: Floats
    weight: Floats
    along: Floats
    across: Floats
    both: Floats
    twist: Floats
    slip_mm2: float = 0.0


@dataclass(frozen=True, slots=True)
class Rows:
    """Linear forms of the unknowns, one a row: `places` (n, m) of them and `shares` (n, m)."""

    places: Numbers
    shares: Floats

    def plus(self, other: "Rows", sign: float = 1.0) -> "Rows":
        """This form and `sign` times another, row by row."""
        return Rows(
            np.concatenate([self.places, other.places], axis=1),
            np.concatenate([self.shares, sign * other.shares], axis=1),
        )

    def times(self, factor: Floats | float) -> "Rows":
        """Each row times a factor of its own, or all times one."""
        return Rows(self.places, self.shares * np.reshape(factor, (-1, 1)))


@dataclass(frozen=True, slots=True)
class Plate:
    """A plate between its `stations` along and from `low` to `high` across, mm.

    `first` is the place of its first unknown in a structure.
    """

    stations: Floats
    low: float
    high: float
    first: int = 0

    @property
    def size(self) -> int:
        """How many unknowns it has."""
        return 2 * ACROSS * len(self.stations)

    def rows(self, s: Floats, t: Floats, ds: int = 0, dt: int = 0) -> Rows:
        """The deflection at points, or its derivative of order `ds` along and `dt` across.

        Past its ends the last piece goes on.
        """
        piece = np.clip(np.searchsorted(self.stations, s, side="right") - 1, 0, self.pieces - 1)
        start = self.stations[piece]
        along = hermite(s - start, self.stations[piece + 1] - start, ds)
        half = (self.high - self.low) / 2
        across = legendre((t - self.low) / half - 1.0, dt) / half**dt
        shares = along[:, :, None] * across[:, None, :]
        places = self.first + 2 * ACROSS * piece[:, None] + np.arange(PIECE)
        return Rows(places, shares.reshape(len(s), PIECE))

    @property
    def pieces(self) -> int:
        """How many pieces there are between stations."""
        return len(self.stations) - 1

    def stiffness(self, sections: Sequence[Rigidity]) -> tuple[Numbers, Floats]:
        """Places (n, m) and stiffness (n, m, m) of all pieces, each with its own section."""
        length = np.diff(self.stations)
        phi = np.array([section.slip_mm2 for section in sections]) / length**2
        energy = _along(length, phi)
        half = (self.high - self.low) / 2
        known: dict[int, Floats] = {}
        for section in sections:
            if id(section) in known:
                continue
            x = (section.t - self.low) / half - 1.0
            p0, p1, p2 = (legendre(x, d) / half**d for d in range(3))
            w = section.weight
            known[id(section)] = np.stack(
                [
                    (p0.T * (w * section.along)) @ p0,
                    (p1.T * (w * 4 * section.twist)) @ p1,
                    (p2.T * (w * section.across)) @ p2,
                    (p0.T * (w * section.both)) @ p2,
                ]
            )
        across = np.stack([known[id(section)] for section in sections])
        whole = np.einsum("eqij,eqkl->eikjl", energy, across[:, :3])
        mixed = np.einsum("eij,ekl->eikjl", _curved_by_level(length), across[:, 3])
        whole = whole + mixed + mixed.transpose(0, 3, 4, 1, 2)
        places = self.first + 2 * ACROSS * np.arange(self.pieces)[:, None] + np.arange(PIECE)
        return places, whole.reshape(self.pieces, PIECE, PIECE)


def legendre(x: Floats, order: int = 0) -> Floats:
    """Legendre polynomials 0 to `DEGREE` at `x` in -1 to 1, or their derivative; (n, k)."""
    return np.asarray(x[:, None] ** _UP @ _POWERS[order].T)


#: Cubics by value and slope at both ends in powers of x / length, and their derivatives.
_CUBICS = np.array([[1, 0, -3, 2], [0, 1, -2, 1], [0, 0, 3, -2], [0, 0, -1, 1]], dtype=np.float64)
_HERMITE = [
    np.asarray(np.polynomial.polynomial.polyder(_CUBICS.T, m), np.float64) for m in (0, 1, 2)
]


def hermite(x: Floats, length: Floats, order: int = 0) -> Floats:
    """Cubics by value and slope at both ends of a piece, at `x` mm along it; (n, 4)."""
    table = _HERMITE[order]
    found = np.asarray((x / length)[:, None] ** np.arange(len(table)) @ table)
    found[:, 1::2] *= length[:, None]
    if order:
        found /= length[:, None] ** order
    return found


def gauss(count: int, low: float, high: float) -> tuple[Floats, Floats]:
    """Points and weights of Gauss between two ends, mm; exact to the power 2 `count` - 1."""
    x, w = _GAUSS[count]
    half = (high - low) / 2
    return low + half * (x + 1.0), half * w


_GAUSS = {n: np.polynomial.legendre.leggauss(n) for n in range(1, 8)}


def _along(length: Floats, phi: Floats) -> Floats:
    """∫H″H″, ∫H′H′ and ∫HH of pieces so long; (n, 3, 4, 4), which go with D along, twist, across.

    `phi` softens the first of them.
    """
    one, x = np.ones_like(length), length

    def table(rows: Sequence[Sequence[Floats]], factor: Floats) -> Floats:
        grid = np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)
        return np.asarray(grid * factor[:, None, None])

    a, b, c, d = 12 * one, 6 * x, (4 + phi) * x**2, (2 - phi) * x**2
    curved = table(
        [[a, b, -a, b], [b, c, -b, d], [-a, -b, a, -b], [b, d, -b, c]],
        1 / ((1 + phi) * length**3),
    )
    a, b, c = 36 * one, 3 * x, 4 * x**2
    sloped = table(
        [[a, b, -a, b], [b, c, -b, -c / 4], [-a, -b, a, -b], [b, -c / 4, -b, c]], 1 / (30 * length)
    )
    a, b, c, d, e, f = 156 * one, 22 * x, 54 * one, 13 * x, 4 * x**2, 3 * x**2
    level = table([[a, b, c, -d], [b, e, d, -f], [c, d, a, -b], [-d, -f, -b, e]], length / 420)
    return np.stack([curved, sloped, level], axis=1)


def _curved_by_level(length: Floats) -> Floats:
    """∫H″H of pieces so long, by parts from ∫H′H′; (n, 4, 4)."""
    found = -_along(length, 0.0 * length)[:, 1]
    found[:, 3, 2] += 1.0
    found[:, 1, 0] -= 1.0
    return np.asarray(found)
