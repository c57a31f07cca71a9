"""Cables: what is connected with what. Where they run is found out, not designed."""

from collections.abc import Iterable
from dataclasses import replace

from pydantic import ConfigDict, Field

from kit.cabling import Connector, Service, cable
from kit.components.spec import Name, Spec
from kit.units.fields import NonNegativeLength, PositiveLength

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

    @property
    def plugs(self) -> tuple[Connector, Connector]:
        """The plugs at its two ends, on a cable as thick as it was measured."""
        start, end = cable(self.kind).plugs
        if self.diameter is None:
            return (start, end)
        return (
            replace(start, cable_od_mm=self.diameter),
            replace(end, cable_od_mm=self.diameter),
        )


def plugs_behind(runs: Iterable[CableRun], name: str, *, sockets: bool) -> tuple[Connector, ...]:
    """The plugs that the cables of a design put into the rear of a device.

    What takes mains out of the `sockets` of a power strip stands on its face, and does not count.
    """
    found = []
    for run in runs:
        start, end = run.plugs
        if run.start == name:
            found.append(start)
        if run.end == name and not (sockets and cable(run.kind).service is Service.MAINS):
            found.append(end)
    return tuple(found)
