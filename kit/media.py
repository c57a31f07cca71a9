"""What a case keeps besides devices: records, discs, books, with the load they bring.

Sizes mm, loads kg per metre of shelf. None means unknown.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from kit.sources import SourceKeys
from kit.tables import Positive, data_file, look_up, read_table


@dataclass(frozen=True, slots=True, kw_only=True)
class MediaKind:
    """A kind of things that stand in a row on a shelf.

    `clear_height_mm` is the height that a hand needs to draw one out.
    """

    key: str
    label: str
    depth_mm: Positive
    height_mm: Positive
    clear_height_mm: Positive
    load_kg_m: Positive
    load_min_kg_m: Positive
    load_max_kg_m: Positive
    source: SourceKeys


@cache
def media_kinds() -> Mapping[str, MediaKind]:
    """Return every kind by key."""
    return read_table(MediaKind, data_file("media.csv"))


def media_kind(key: str) -> MediaKind:
    """Return one kind. Raises `TableError` with the nearest keys if unknown."""
    return look_up(media_kinds(), key, "kind of contents")
