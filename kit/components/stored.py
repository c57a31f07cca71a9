"""Rows of records, discs and books in their place."""

from collections.abc import Sequence
from dataclasses import dataclass

from kit.components.made import Bay
from kit.components.spaces import BOTTOM, Spaces
from kit.components.spec import BayNumber, Spec
from kit.geometry import Box
from kit.media import MediaKind, media_kind
from kit.units.fields import PositiveLength


class Content(Spec):
    """A row of records, discs or books."""

    kind: str
    """Key of the kind of contents."""
    bay: BayNumber
    """Number of the bay it stands in."""
    on: str = BOTTOM
    """Board it stands on: bottom, or a shelf by its name."""
    length: PositiveLength | None = None
    """Length of the row; the whole width where left out."""


@dataclass(frozen=True, slots=True)
class Stored:
    """A row of media in its place, against the rear of its space; `box` in mm."""

    content: Content
    kind: MediaKind
    box: Box
    space: Box
    bay: Bay

    @property
    def mass_kg(self) -> float:
        """Typical mass of the row."""
        return self.kind.load_kg_m * self.box.size[0] / 1000


def place_media(contents: Sequence[Content], spaces: Spaces) -> tuple[Stored, ...]:
    """Every row of media in its place, against the left and the rear of its space."""
    stored = []
    for content in contents:
        kind = media_kind(content.kind)
        space = spaces.find(f"A row of {kind.label}", content.bay, content.on)
        (x0, _, z0), (x1, y1, _) = space.lo, space.hi
        end = x1 if content.length is None else x0 + content.length
        box = Box((x0, y1 - kind.depth_mm, z0), (end, y1, z0 + kind.height_mm))
        stored.append(Stored(content, kind, box, space, spaces.bays[content.bay - 1]))
    return tuple(stored)
