"""What the maker wants of the piece: limits that he sets, values that are fixed, and findings that
he accepts as they are.
"""

from collections.abc import Mapping
from enum import Enum
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from kit.components.spec import Name, Spec, Words
from kit.units.fields import PositiveLength


class SagLimit(Enum):
    """Sag that is allowed, as a share of the span: the kinds that are published."""

    VISIBLE = "L/600"
    FLOORS = "L/360"
    COMPOSITE_PANELS = "L/240"
    PLYWOOD = "L/192"
    WOODWORK = "L/144"
    STEEL_SHELVING = "L/140"

    @property
    def ratio(self) -> float:
        """Span over sag."""
        return float(self.value.removeprefix("L/"))

    @property
    def plain(self) -> str:
        """The name as printed."""
        return f"{self.value}{_PUBLISHED[self][0]}"

    @property
    def source(self) -> str:
        """Key of its source."""
        return _PUBLISHED[self][1]


_PUBLISHED: Mapping[SagLimit, tuple[str, str]] = {
    SagLimit.VISIBLE: (", what the eye notices (0.02 in per ft)", "memory"),
    SagLimit.FLOORS: (" of floors under their live load in building codes", "memory"),
    SagLimit.COMPOSITE_PANELS: (" of composite-panel makers", "panel-makers-sag"),
    SagLimit.PLYWOOD: (" of plywood makers", "panel-makers-sag"),
    SagLimit.WOODWORK: (" of the Architectural Woodwork Standards", "aws-2009"),
    SagLimit.STEEL_SHELVING: (" of ANSI MH28.1", "mh28-1"),
}


class Limits(Spec):
    """What the checks hold the piece against, where that is for the maker to say.

    A limit that the file sets is binding. The kit's own, which stands where it is left out, is no
    more than watched where it is a matter of taste, or of a room that the kit does not know.
    """

    sag: SagLimit = SagLimit.VISIBLE
    """Most sag of a board after years, as a share of its span: L/600 (what the eye notices),
    L/360, L/240, L/192, L/144 or L/140."""
    sag_most: PositiveLength | None = None
    """Most sag of any board after years, whatever its span; none where left out."""
    picture_deg: float = Field(default=26.0, gt=0, le=120, allow_inf_nan=False)
    """Least width of the picture as seen from the seats, degrees (source: viewing-angles)."""
    look_up_deg: float = Field(default=15.0, ge=0, le=60, allow_inf_nan=False)
    """How far one looks up to the middle of the picture at most, degrees (viewing-angles)."""
    doorway: PositiveLength = 710.0
    """Clear width of the narrowest door on its way (from memory: a narrow room door)."""
    floor_fall_mm_per_m: float = Field(default=5.0, ge=0, le=50, allow_inf_nan=False)
    """How far the floor falls both ways, mm per m (common practice, no source)."""
    levelling: PositiveLength = 15.0
    """What levellers or shims make up for under a foot (from memory)."""
    people: int = Field(default=4, ge=1, le=20)
    """How many people lift and carry it at most."""

    def binding(self, *fields: str) -> bool:
        """Whether the file sets one of these limits."""
        return not self.model_fields_set.isdisjoint(fields)


type FieldPath = Annotated[str, Field(min_length=1, max_length=120)]
"""The path of a field in the design file, such as case.height or shelf.2.stock."""


def _by_path(said: Any) -> Any:
    """Tables in tables as one with paths: TOML reads `case.height = ...` as a table `case`."""
    if not isinstance(said, Mapping):
        return said
    flat: dict[str, Any] = {}
    for key, value in said.items():
        inner = _by_path(value)
        if isinstance(inner, Mapping):
            flat |= {f"{key}.{path}": one for path, one in inner.items()}
        else:
            flat[str(key)] = value
    return flat


type LengthsByPath = Annotated[dict[FieldPath, PositiveLength], BeforeValidator(_by_path)]
"""A length for each of some fields."""


class Fixed(Spec):
    """What a change that the kit proposes must leave alone, or keep within.

    All of `room` is fixed without a word: the piece gives way before the room does.
    """

    values: tuple[FieldPath, ...] = Field(default=(), max_length=100)
    """Fields, or whole tables, that stay as they are: ["case.width", "doors"]."""
    free: tuple[FieldPath, ...] = Field(default=(), max_length=100)
    """What of the room may give way all the same: ["room.wall_gap"]."""
    at_most: LengthsByPath = Field(default_factory=dict, max_length=100)
    """Lengths that may not be exceeded: { case.height = "7 1/4 in" }."""
    at_least: LengthsByPath = Field(default_factory=dict, max_length=100)
    """Lengths that may not be gone below: { case.width = "60 in" }."""

    @property
    def paths(self) -> tuple[str, ...]:
        """Every field that it names."""
        return (*self.values, *self.free, *self.at_most, *self.at_least)


class Acceptance(Spec):
    """A finding that the maker accepts as it is. One of safety cannot be accepted."""

    check: Name
    """Name of the check, as `kit check` prints it."""
    subject: Name
    """What the finding is about, as printed in brackets after it."""
    reason: Words
    """Why it is accepted, in a sentence; it is printed with the finding."""
