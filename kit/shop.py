"""The shop: its saws, and the sheets that are on hand or can be bought."""

from typing import Annotated, Self

from pydantic import AfterValidator, Field, model_validator
from pydantic_core import PydanticCustomError

from kit.components.spec import Name, Spec
from kit.cutters import Saw, saws
from kit.hardware import finishes
from kit.units import System
from kit.units.fields import NonNegativeLength, PositiveLength


def _known_saw(key: str) -> str:
    if key not in saws():
        known = ", ".join(saws())
        raise PydanticCustomError(
            "unknown_saw", "no saw has this key; there are {known}", {"known": known}
        )
    return key


def _known_finish(key: str) -> str:
    if key not in finishes():
        known = ", ".join(finishes())
        raise PydanticCustomError(
            "unknown_finish", "no finish has this key; there are {known}", {"known": known}
        )
    return key


class TableSaw(Spec):
    """A table saw on which boards are cut to their final size after a rough cut."""

    crosscut: PositiveLength
    """Longest board that can be crosscut on it."""
    rip: PositiveLength
    """Widest rip: blade to fence."""
    allowance: NonNegativeLength = 6.35
    """How much larger each way a board is cut out of the sheet."""


class Shop(Spec):
    """How the shop works."""

    units: System = System.INCH
    """in or mm: the one system of everything that is printed."""
    trim: NonNegativeLength = 12.7
    """Added to length and width of each layer of a laminated board, and trimmed off after."""
    saw: Annotated[str, AfterValidator(_known_saw)] = "track-saw"
    """Key of the saw that breaks down the sheets."""
    table_saw: TableSaw | None = None
    """The table saw for final cuts; without one, every cut is final off the saw above."""
    edge_trim: NonNegativeLength | None = None
    """Cut off each edge of a sheet first; what is usual for the saw where left out."""
    finish: Annotated[str, AfterValidator(_known_finish)] = "varnish-oil"
    """Key of the finish."""

    @property
    def sheet_saw(self) -> Saw:
        """The saw that breaks down the sheets."""
        return saws()[self.saw]

    @property
    def sheet_trim(self) -> float:
        """What is cut off each edge of a sheet first, mm."""
        return self.sheet_saw.edge_trim_mm if self.edge_trim is None else self.edge_trim


class Defect(Spec):
    """A zone of a sheet that no board may touch: a damaged corner, a knot."""

    along: tuple[NonNegativeLength, NonNegativeLength]
    """From and to, along the face grain from the lower left corner."""
    across: tuple[NonNegativeLength, NonNegativeLength]
    """From and to, across the face grain."""

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        if self.along[0] >= self.along[1] or self.across[0] >= self.across[1]:
            raise PydanticCustomError(
                "defect", "a zone runs from the smaller to the larger measure on both sides"
            )
        return self


class SheetOnHand(Spec):
    """Sheets of one kind and size: on hand by number, or to be bought."""

    stock: str
    """Key of the sheet goods."""
    name: Name | None = None
    """Name, as for an offcut; else made from the size."""
    length: PositiveLength | None = None
    """Measured length, along the face grain; that of the usual sheet where left out."""
    width: PositiveLength | None = None
    """Measured width; that of the usual sheet where left out."""
    count: int | None = Field(default=None, ge=0, le=1000)
    """How many there are; left out, as many as needed can be bought."""
    price: float | None = Field(default=None, ge=0, le=1_000_000_000, allow_inf_nan=False)
    """Price of one."""
    offcut: bool = False
    """Left over from earlier work: used first, and costs nothing."""
    edge_trim: NonNegativeLength | None = None
    """Cut off each edge first; that of the shop where left out."""
    defects: tuple[Defect, ...] = Field(default=(), max_length=50)
    """Zones that no board may touch."""
