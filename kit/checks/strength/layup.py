"""How stiff a board is along and across its length, from what it is made of.

Birch plywood follows the cross-ply rule (`kit.materials.cross_ply_modulus`); other materials
carry the means of the handbooks, with their least and greatest where the handbook gives a
range. Moduli in MPa.
"""

from dataclasses import dataclass
from functools import cache

from kit.board import Board
from kit.materials import Family, SheetGood, cross_ply_modulus, material, wood

#: Thickness of the inner plies and of the sanded faces of birch plywood, mm, and the modulus
#: of its plies along the grain, MPa. Handbook of Finnish Plywood, from memory.
BIRCH_PLY, BIRCH_FACE, BIRCH_E = 1.4, 1.1, 17500.0
#: Scatter that is taken where a source gives a mean alone: a coefficient of variation of 22 %
#: for the modulus of clear wood (Wood Handbook ch. 5, from memory), less for glued panels.
SCATTER = 0.15
#: Shear modulus in the plane of the sheet, MPa: plywood at the low end of 586 to 758 (public
#: materials database), fibre and particle board (from memory), solid wood E / 16 (Wood Handbook
#: ch. 9).
G_PLYWOOD, G_BOARD, G_SHARE = 586.0, 1000.0, 1 / 16
#: Shear modulus through the thickness of a sheet, MPa: the middle of 138 to 207 for the rolling
#: shear of plywood (public materials database); of other sheets from memory.
G_ROLLING = 172.0


@dataclass(frozen=True, slots=True)
class Modulus:
    """A modulus in bending with its range, and the one in tension, MPa."""

    low_mpa: float
    typical_mpa: float
    high_mpa: float
    axial_mpa: float


def birch_moduli(plies: int) -> tuple[float, float]:
    """Bending moduli (along, across) of birch plywood of so many plies, MPa.

    Cross-ply rule with plies of 1.4 mm, faces of 1.1 mm, 17500 MPa along and nothing across.
    Raises BuildError for an even number of plies or fewer than three.
    """
    return cross_ply_modulus(plies, BIRCH_PLY, BIRCH_FACE, BIRCH_E)


def birch_axial(plies: int) -> tuple[float, float]:
    """Moduli in tension (along, across) of birch plywood, MPa: the share of plies each way."""
    whole = (plies - 2) * BIRCH_PLY + 2 * BIRCH_FACE
    across = (plies // 2) * BIRCH_PLY / whole * BIRCH_E
    return BIRCH_E - across, across


@cache
def modulus(key: str, *, along: bool) -> Modulus:
    """The modulus of a material along its face grain, or across it.

    Raises TableError for a key that is not in the tables.
    """
    row = material(key)
    if not isinstance(row, SheetGood):
        species = wood(row.wood)
        e = species.e_along_mpa if along else species.e_across_mpa
        return Modulus((1 - SCATTER) * e, e, (1 + SCATTER) * e, e)
    if row.family is Family.BIRCH_PLYWOOD and row.plies:
        e = birch_moduli(row.plies)[0 if along else 1]
        axial = birch_axial(row.plies)[0 if along else 1]
        return Modulus((1 - SCATTER) * e, e, (1 + SCATTER) * e, axial)
    e = row.e_along_mpa if along else row.e_across_mpa
    share = e / row.e_along_mpa
    low = share * (row.e_along_min_mpa or (1 - SCATTER) * row.e_along_mpa)
    high = share * (row.e_along_max_mpa or (1 + SCATTER) * row.e_along_mpa)
    return Modulus(low, e, high, e)


def board_modulus(board: Board, axis: int) -> Modulus:
    """The modulus of one layer of a board bent along room axis `axis` (0 X, 1 Y, 2 Z).

    A board that may lie either way on its sheet counts with the weaker way.
    """
    along = board.place.along.axis == axis
    if not board.turnable:
        return modulus(board.stock.key, along=along)
    ways = (modulus(board.stock.key, along=True), modulus(board.stock.key, along=False))
    return min(ways, key=lambda m: m.typical_mpa)


@cache
def shear_modulus(key: str) -> float:
    """Shear modulus of a material in the plane of its face, MPa; at the low end of its range."""
    row = material(key)
    if not isinstance(row, SheetGood):
        return G_SHARE * wood(row.wood).e_along_mpa
    return G_PLYWOOD if "plywood" in row.family.value else G_BOARD


@cache
def rolling_modulus(key: str) -> float:
    """Shear modulus of a material through its thickness, MPa; rolling shear in plywood."""
    row = material(key)
    return G_ROLLING if isinstance(row, SheetGood) else G_SHARE * wood(row.wood).e_along_mpa
