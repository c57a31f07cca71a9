"""A device as the maker describes it: what is left out is typical of its kind."""

from dataclasses import replace
from enum import Enum
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from kit.components.spec import BayNumber, Name, Spec
from kit.gear import Face, GearKind, gear_kind, rack_height_mm
from kit.units.fields import NonNegativeLength, PositiveLength

#: Added to each size that comes from a retailer: such figures are off by up to 1 in.
#: Source: builders-accounts.
RETAILER_MARGIN = 25.4

type Watts = Annotated[float, Field(ge=0, le=5000, allow_inf_nan=False)]


class SizesFrom(Enum):
    """Where the sizes of a device come from."""

    MEASURED = "measured"
    MANUAL = "manual"
    RETAILER = "retailer"


def _named(plug: Any) -> Any:
    """A plug may be given by its kind alone."""
    return {"kind": plug} if isinstance(plug, str) else plug


class PlugAt(Spec):
    """A plug at the rear of a device."""

    kind: str
    """Key of the connector."""
    across: NonNegativeLength | None = None
    """From the left of the body, as seen from the front, to the middle of the plug."""
    up: NonNegativeLength | None = None
    """From the underside, feet included, to the middle of the plug."""


class Eye(Spec):
    """The window of an infrared receiver in the front of a device."""

    across: NonNegativeLength
    """From the left of the body to the middle of the window."""
    up: NonNegativeLength
    """From the underside, feet included, to the middle of the window."""


class GearItem(Spec):
    """One device. What is left out is that of its kind, and only typical."""

    name: Name
    """Its name as printed."""
    kind: str
    """Key of the kind of gear."""
    bay: BayNumber | None = None
    """Number of the bay it stands in; where left out, the kit finds a place."""
    on: str | None = None
    """Board it stands on: bottom, a shelf by its name, or top (on the case)."""
    across: NonNegativeLength | None = None
    """From the left of that space to the body."""
    set_back: NonNegativeLength | None = None
    """From the front of that space to the foremost point of the device."""
    rack_units: int | None = Field(default=None, ge=1, le=60)
    """Height in rack units of 1.75 in."""
    width: PositiveLength | None = None
    """Width of the body."""
    height: PositiveLength | None = None
    """Height, feet included."""
    depth: PositiveLength | None = None
    """Depth of the body, without knobs and plugs."""
    sizes: SizesFrom | None = None
    """measured, manual or retailer: where these sizes come from."""
    feet: NonNegativeLength | None = None
    """Height of its feet."""
    knobs: NonNegativeLength | None = None
    """How far knobs stand out in front."""
    antenna_up: NonNegativeLength | None = None
    """How far aerials rise above it in use."""
    antennas_folded: bool = False
    """Whether they stay folded."""
    mass_kg: float | None = Field(default=None, gt=0, le=500, allow_inf_nan=False)
    """Mass, kg."""
    standby_w: Watts | None = None
    """Heat while switched off but plugged in, W."""
    idle_w: Watts | None = None
    """Heat while on and silent, W."""
    typical_w: Watts | None = None
    """Heat in use, W."""
    plate_w: Watts | None = None
    """What its rating plate says, W."""
    max_intake_c: float | None = Field(default=None, gt=0, le=100, allow_inf_nan=False)
    """Warmest air that it may draw in, °C."""
    clear_side: NonNegativeLength | None = None
    """Free space that its manual asks for at each side."""
    clear_top: NonNegativeLength | None = None
    """Free space that its manual asks for above."""
    clear_back: NonNegativeLength | None = None
    """Free space that its manual asks for behind."""
    intake: tuple[Face, ...] | None = Field(default=None, max_length=12)
    """Faces through which it draws air: front, back, left, right, top, bottom."""
    exhaust: tuple[Face, ...] | None = Field(default=None, max_length=12)
    """Faces through which it blows warm air out."""
    plugs: tuple[Annotated[PlugAt, BeforeValidator(_named)], ...] | None = Field(
        default=None, max_length=40
    )
    """Plugs at its rear: keys of connectors, or tables with their position."""
    eye: Eye | None = None
    """Where its infrared receiver is; the middle of the front where left out."""

    @property
    def as_kind(self) -> GearKind:
        """Its kind with what the maker says of it put in. Raises TableError for no such kind."""
        height = self.height
        if height is None and self.rack_units is not None:
            height = rack_height_mm(self.rack_units)
        said: dict[str, Any] = {
            "feet_mm": self.feet,
            "knob_mm": self.knobs,
            "antenna_up_mm": 0.0 if self.antennas_folded else self.antenna_up,
            "standby_w": self.standby_w,
            "idle_w": self.idle_w,
            "typical_w": self.typical_w,
            "plate_w": self.plate_w,
            "max_intake_c": self.max_intake_c,
            "clear_side_mm": self.clear_side,
            "clear_top_mm": self.clear_top,
            "clear_back_mm": self.clear_back,
            "intake": self.intake,
            "exhaust": self.exhaust,
            "plugs": self.plugs and tuple(plug.kind for plug in self.plugs),
        }
        for stem, value in (
            ("width{}_mm", self.width),
            ("height{}_mm", height),
            ("depth{}_mm", self.depth),
            ("mass{}_kg", self.mass_kg),
        ):
            said |= {stem.format(end): value for end in ("", "_min", "_max")}
        known = {name: value for name, value in said.items() if value is not None}
        return replace(gear_kind(self.kind), **known)
