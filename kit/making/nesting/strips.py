"""Layouts in one dimension: lumber, lipping, edging and rod from stock lengths.

A length of stock is a sheet that is exactly one board wide, so the same search and the same
verifier serve; only crosscuts are left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kit.making.nesting.guillotine import final_layout, live_layout
from kit.making.nesting.layout import Layout, Piece, Sheet, Trims


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip, stick or rod to be cut to length, mm; `section` tells apart what cannot mix."""

    name: str
    length_mm: float
    section: str = ""


@dataclass(frozen=True, slots=True)
class StockLength:
    """A length of stock as bought or on hand, mm; `count` None: as many as wanted can be bought.

    `end_trim_mm` is cut off each end first, kerf included.
    """

    name: str
    length_mm: float
    count: int | None = None
    price: float | None = None
    currency: str = ""
    section: str = ""
    end_trim_mm: float = 0.0
    is_offcut: bool = False


_WIDTH_MM = 1.0


def strip_layout(
    strips: Sequence[Strip],
    stock: Sequence[StockLength],
    kerf_mm: float,
    useful_mm: float = 150.0,
    budget_s: float | None = None,
) -> dict[str, Layout]:
    """Return a verified layout for each section, X along the stock (Y says nothing).

    With a `budget_s` it looks harder, as `final_layout` does. Raises `BuildError` as
    `live_layout` does; a section for which there is no stock counts as no sheets.
    """
    layouts: dict[str, Layout] = {}
    for section in dict.fromkeys(strip.section for strip in strips):
        pieces = [
            Piece(strip.name, strip.length_mm, _WIDTH_MM, grain_locked=True)
            for strip in strips
            if strip.section == section
        ]
        sheets = [_sheet(length) for length in stock if length.section == section]
        if budget_s is None:
            layouts[section] = live_layout(pieces, sheets, kerf_mm, useful_mm)
        else:
            layouts[section] = final_layout(pieces, sheets, kerf_mm, useful_mm, budget_s)
    return layouts


def _sheet(length: StockLength) -> Sheet:
    return Sheet(
        length.name,
        length.length_mm,
        _WIDTH_MM,
        length.count,
        length.price,
        length.currency,
        Trims(left_mm=length.end_trim_mm, right_mm=length.end_trim_mm),
        is_offcut=length.is_offcut,
    )
