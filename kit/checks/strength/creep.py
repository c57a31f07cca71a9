"""Creep: how much a loaded board goes on sagging over the years.

    sag after years = first sag x (1 + creep x warmth)

The creep of a family of materials is in `data/creep.csv`, with its sources. Range: indoors, dry,
loads that stay well below strength.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from kit.materials import SheetGood, material
from kit.sources import SourceKeys
from kit.tables import NotNegative, data_file, look_up, read_table

#: A rise of 28 K makes creep two to three times larger (Wood Handbook, Creep and Relaxation).
WARM_RISE_K, WARM_FACTOR = 28.0, 2.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Creep:
    """Added sag after years as a share of the first sag, for one family of materials."""

    key: str
    label: str
    creep_min_ratio: NotNegative
    creep_ratio: NotNegative
    creep_max_ratio: NotNegative
    source: SourceKeys


@cache
def creeps() -> Mapping[str, Creep]:
    """Return every row of creep by family."""
    return read_table(Creep, data_file("creep.csv"))


@cache
def creep_of(stock_key: str) -> Creep:
    """Return the creep of a sheet good or lumber. Raises `TableError` for an unknown key."""
    row = material(stock_key)
    family = row.family.value if isinstance(row, SheetGood) else "solid wood"
    return look_up(creeps(), family, "family of materials with a creep")


def warmth(rise_k: float) -> float:
    """How many times larger creep is on a board that stands `rise_k` warmer, from 0 to 56 K.

    Straight from 1 at no rise to 2.5 at 28 K; a board that is cooler counts as no warmer.
    Source: Wood Handbook, two to three times at +28 K; straight in between is taken here.
    """
    return 1.0 + (WARM_FACTOR - 1.0) * max(0.0, rise_k) / WARM_RISE_K


def after_years(stock_key: str, rise_k: float = 0.0) -> float:
    """Sag after years over first sag: 2.0 for plywood, 3.25 for MDF, more where it is warm."""
    return 1.0 + creep_of(stock_key).creep_ratio * warmth(rise_k)
