"""Sections of several parts that are glued to each other: the transformed section.

Plane sections stay plane, so a part of modulus E counts E times its area:

    z0 = Σ E A z / Σ E A        EI = Σ E (w h³ / 12 + A (z - z0)²)

Range: rigid glue lines, all parts bent by one curvature. Source: textbook beam theory.
"""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Part:
    """A rectangle of one modulus: `width_mm` wide, from `low_mm` to `high_mm` in height."""

    width_mm: float
    low_mm: float
    high_mm: float
    e_mpa: float
    e_axial_mpa: float | None = None
    """Modulus in tension, where the layup makes it differ from that in bending."""

    @property
    def ea_n(self) -> float:
        """Axial stiffness, N."""
        e = self.e_mpa if self.e_axial_mpa is None else self.e_axial_mpa
        return e * self.width_mm * (self.high_mm - self.low_mm)


@dataclass(frozen=True, slots=True)
class Section:
    """A glued section: bending stiffness N mm², axial stiffness N, height of the neutral axis."""

    ei_nmm2: float
    ea_n: float
    neutral_mm: float


def glued(parts: Sequence[Part]) -> Section:
    """The section of parts glued to each other. Raises ValueError where there is none."""
    ea = sum(part.ea_n for part in parts)
    if not ea > 0:
        raise ValueError("A section needs at least one part with a size and a modulus above zero.")
    neutral = sum(part.ea_n * (part.low_mm + part.high_mm) / 2 for part in parts) / ea
    ei = sum(
        part.e_mpa * part.width_mm * (part.high_mm - part.low_mm) ** 3 / 12
        + part.ea_n * ((part.low_mm + part.high_mm) / 2 - neutral) ** 2
        for part in parts
    )
    return Section(ei, ea, neutral)


def loose(parts: Sequence[Part]) -> float:
    """Bending stiffness of parts that lie on each other without glue, N mm²: the sum of each."""
    return sum(
        part.e_mpa * part.width_mm * (part.high_mm - part.low_mm) ** 3 / 12 for part in parts
    )
