"""Sheet goods and solid wood, and the `Stock` that the boards of a design are made of.

A sheet has a nominal name and a measured thickness. `stock()` joins the two: without
caliper readings it takes the typical thickness of the trade and says so by
`measured = False`. All lengths mm; moduli MPa (= N/mm²) in bending of the whole
thickness; L and 'along' follow the face grain.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import cache
from math import isfinite
from statistics import fmean
from typing import Annotated

from pydantic import AfterValidator

from kit.errors import BuildError, TableError
from kit.sources import SourceKeys
from kit.tables import (
    Colour,
    NotNegative,
    Positive,
    Words,
    data_file,
    look_up,
    read_table,
)
from kit.units import MM_PER_INCH


class Family(Enum):
    """What a sheet is made of."""

    HARDWOOD_PLYWOOD = "hardwood plywood"
    BIRCH_PLYWOOD = "birch plywood"
    SOFTWOOD_PLYWOOD = "softwood plywood"
    MDF = "MDF"
    PARTICLEBOARD = "particleboard"
    HARDBOARD = "hardboard"


class Form(Enum):
    """The shape in which solid wood is bought or prepared."""

    LIPPING = "lipping"
    BOARD = "board"
    ROD = "rod"


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSize:
    """A sheet as sold: width across and length along the face grain.

    `minus_mm` and `plus_mm` are the greatest deviations of either size.
    """

    key: str
    label: str
    width_mm: Positive
    length_mm: Positive
    minus_mm: NotNegative
    plus_mm: NotNegative
    source: SourceKeys


def _known_sizes(keys: tuple[str, ...]) -> tuple[str, ...]:
    for key in keys:
        if key not in sheet_sizes():
            raise ValueError(f"there is no sheet size {key!r} in sheet_sizes.csv")
    return keys


def _known_wood(key: str) -> str:
    if key not in woods():
        raise ValueError(f"there is no wood {key!r} in woods.csv")
    return key


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetGood:
    """One kind of sheet in one nominal thickness.

    `nominal_mm` is what the name says, `thickness_mm` what such a sheet typically
    measures, `thickness_min_mm` to `thickness_max_mm` what its standard allows.
    `sizes` are keys of sheet sizes. Moduli are short-term means; `g_rolling_mpa` is
    the shear modulus through the thickness.
    """

    key: str
    family: Family
    name: str
    nominal: str
    nominal_mm: Positive
    thickness_mm: Positive
    thickness_min_mm: Positive
    thickness_max_mm: Positive
    plies: int | None = None
    sizes: Annotated[Words, AfterValidator(_known_sizes)]
    density_kg_m3: Positive
    e_along_mpa: Positive
    e_along_min_mpa: Positive | None = None
    e_along_max_mpa: Positive | None = None
    e_across_mpa: Positive
    g_rolling_mpa: Positive | None = None
    grained: bool
    colour: Colour
    thickness_source: SourceKeys
    density_source: SourceKeys
    stiffness_source: SourceKeys


@dataclass(frozen=True, slots=True, kw_only=True)
class Wood:
    """A species of solid wood at 12 % moisture: means for clear, straight grain."""

    key: str
    name: str
    density_kg_m3: Positive
    e_along_mpa: Positive
    e_across_mpa: Positive
    colour: Colour
    density_source: SourceKeys
    stiffness_source: SourceKeys


@dataclass(frozen=True, slots=True, kw_only=True)
class Lumber:
    """Solid wood in one form and size.

    `thickness_mm` is the usual dressed thickness (of a rod its diameter);
    `thickness_min_mm` to `thickness_max_mm` is what a planer can make of it.
    """

    key: str
    wood: Annotated[str, AfterValidator(_known_wood)]
    form: Form
    nominal: str
    thickness_mm: Positive
    thickness_min_mm: Positive
    thickness_max_mm: Positive
    width_max_mm: Positive
    length_max_mm: Positive
    source: SourceKeys


@dataclass(frozen=True, slots=True)
class Stock:
    """The material of a board as the design uses it.

    `thickness_mm` is the mean, `thickness_min_mm` and `thickness_max_mm` the least and
    greatest of the caliper readings; without readings all three are the typical
    thickness and `measured` is False. Solid wood has no `sheet_sizes`.
    """

    key: str
    label: str
    thickness_mm: float
    thickness_min_mm: float
    thickness_max_mm: float
    measured: bool
    density_kg_m3: float
    e_along_mpa: float
    e_across_mpa: float
    grained: bool
    colour: str
    sheet_sizes: tuple[SheetSize, ...]


@cache
def sheet_sizes() -> Mapping[str, SheetSize]:
    """Return every sheet size by key."""
    return read_table(SheetSize, data_file("sheet_sizes.csv"))


def sheet_size(key: str) -> SheetSize:
    """Return one sheet size. Raises `TableError` with the nearest keys if unknown."""
    return look_up(sheet_sizes(), key, "sheet size")


@cache
def sheet_goods() -> Mapping[str, SheetGood]:
    """Return every sheet good by key."""
    return read_table(SheetGood, data_file("sheet_goods.csv"))


def sheet_good(key: str) -> SheetGood:
    """Return one sheet good. Raises `TableError` with the nearest keys if unknown."""
    return look_up(sheet_goods(), key, "sheet good")


@cache
def woods() -> Mapping[str, Wood]:
    """Return every species of wood by key."""
    return read_table(Wood, data_file("woods.csv"))


def wood(key: str) -> Wood:
    """Return one species. Raises `TableError` with the nearest keys if unknown."""
    return look_up(woods(), key, "wood")


@cache
def lumbers() -> Mapping[str, Lumber]:
    """Return every piece of solid wood stock by key."""
    return read_table(Lumber, data_file("lumber.csv"))


def lumber(key: str) -> Lumber:
    """Return one solid wood stock. Raises `TableError` with the nearest keys if unknown."""
    return look_up(lumbers(), key, "lumber")


def rod_of(diameter_mm: float) -> Lumber | None:
    """Return the rod of this diameter (within 0.1 mm), or None where the tables have none."""
    rods = (row for row in lumbers().values() if row.form is Form.ROD)
    return next((row for row in rods if abs(row.thickness_mm - diameter_mm) <= 0.1), None)


def material(key: str) -> SheetGood | Lumber:
    """Return the sheet good or lumber of this key, with its sources and family.

    Raises `TableError` with the nearest keys of both tables if unknown.
    """
    both: dict[str, SheetGood | Lumber] = {**sheet_goods(), **lumbers()}
    return look_up(both, key, "material")


def stock(key: str, readings_mm: Sequence[float] = ()) -> Stock:
    """Return the stock of a sheet good or lumber, as measured by caliper if readings are given.

    Take several readings, at both ends and both edges of every sheet to be mixed, in mm.
    Raises `TableError` if the key is unknown, or if a reading cannot belong to this
    material: for a sheet, outside its standard's range by more than 1.5 mm (or a tenth
    of the nominal, if less); for lumber, outside what dressing can give.
    """
    row = material(key)
    if isinstance(row, SheetGood):
        slack_mm = min(1.5, 0.1 * row.nominal_mm)
        made_of: SheetGood | Wood = row
        grained, sizes = row.grained, tuple(sheet_size(size) for size in row.sizes)
        label = f"{row.nominal} {row.name}"
    else:
        slack_mm = 0.0
        made_of = wood(row.wood)
        grained, sizes = True, ()
        label = f"{row.nominal} {made_of.name} {row.form.value}"
    low_mm, high_mm = row.thickness_min_mm - slack_mm, row.thickness_max_mm + slack_mm
    for reading_mm in readings_mm:
        if not isfinite(reading_mm) or not low_mm <= reading_mm <= high_mm:
            hint = (
                f'if it is in inches, write "{reading_mm:g} in"'
                if low_mm <= reading_mm * MM_PER_INCH <= high_mm
                else "measure again, or choose the material that this sheet is"
            )
            raise TableError(
                f"{key}: the thickness reading {reading_mm:g} mm cannot be {label}, "
                f"which lies between {low_mm:.1f} and {high_mm:.1f} mm; {hint}."
            )
    readings = [float(reading_mm) for reading_mm in readings_mm] or [row.thickness_mm]
    return Stock(
        key=key,
        label=label,
        # rounding can leave the mean of equal readings a hair outside them
        thickness_mm=min(max(fmean(readings), min(readings)), max(readings)),
        thickness_min_mm=min(readings),
        thickness_max_mm=max(readings),
        measured=len(readings_mm) > 0,
        density_kg_m3=made_of.density_kg_m3,
        e_along_mpa=made_of.e_along_mpa,
        e_across_mpa=made_of.e_across_mpa,
        grained=grained,
        colour=made_of.colour,
        sheet_sizes=sizes,
    )


def sheet_mass_kg(stock: Stock, size: SheetSize) -> float:
    """Return the mass of one whole sheet in kg, for lifting and transport."""
    return stock.density_kg_m3 * stock.thickness_mm * size.width_mm * size.length_mm / 1e9


def cross_ply_modulus(
    plies: int, ply_mm: float, face_mm: float, e_ply_mpa: float = 17500.0
) -> tuple[float, float]:
    """Return the bending moduli (along, across) the face grain of crossed plies, in MPa.

    E = e_ply · I(plies in that direction) / I(all plies), about the middle plane; a ply
    is taken to have no stiffness across its own grain, so along + across = e_ply.
    The plies alternate, faces along; the `plies - 2` inner ones are `ply_mm` thick and
    the two sanded faces `face_mm`. Valid for an odd number of plies, three or more.
    Source: exact layer theory; with 17500 MPa, 1.4 and 1.1 mm it gives the means of the
    Handbook of Finnish Plywood to 1 MPa. Raises `BuildError` outside that range.

    >>> along, across = cross_ply_modulus(13, 1.4, 1.1)
    >>> round(along), round(across)
    (10048, 7452)
    """
    if plies < 3 or plies % 2 == 0 or not min(ply_mm, face_mm, e_ply_mpa) > 0:
        raise BuildError(
            f"cross_ply_modulus: {plies} plies of {ply_mm:g} mm with faces of {face_mm:g} mm and "
            f"{e_ply_mpa:g} MPa make no balanced panel; give an odd number of plies from 3 up, "
            "and sizes above zero."
        )
    thicknesses_mm = [face_mm, *[ply_mm] * (plies - 2), face_mm]
    bottom_mm = -sum(thicknesses_mm) / 2
    inertia = [0.0, 0.0]  # per mm of width: plies along, plies across
    for number, thickness_mm in enumerate(thicknesses_mm):
        top_mm = bottom_mm + thickness_mm
        inertia[number % 2] += (top_mm**3 - bottom_mm**3) / 3
        bottom_mm = top_mm
    along = e_ply_mpa * inertia[0] / sum(inertia)
    return along, e_ply_mpa - along
