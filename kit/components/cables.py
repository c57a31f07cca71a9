"""Cables: what is connected with what. Where they run is found out, not designed."""

from pydantic import ConfigDict, Field

from kit.components.spec import Name, Spec
from kit.units import NonNegativeLength, PositiveLength

#: Ends of a cable that are no devices: the wall outlets, and the screen.
OUTLET = "outlet"
SCREEN = "screen"


class CableRun(Spec):
    """One cable from one thing to another."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    start: Name = Field(alias="from")
    """Name of a device, or screen."""
    end: Name = Field(alias="to")
    """Name of a device, or screen, or outlet."""
    kind: str
    """Key of the kind of cable."""
    diameter: PositiveLength | None = None
    """Outer diameter as measured; that of its kind where left out."""
    pull_out: NonNegativeLength | None = None
    """How far the device is to come out with this cable on it; not at all where left out."""
