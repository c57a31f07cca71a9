"""The fan: it draws air out of a bay through its back, or blows it in."""

from enum import Enum
from typing import Annotated, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from kit.components.spec import BayNumber, Name, Spec

#: One cubic foot a minute, in m³/h.
M3_H_PER_CFM = 1.6990108

type Flow = Annotated[float, Field(gt=0, le=2000, allow_inf_nan=False)]


class FanPlace(Enum):
    """Where a fan sits in its bay."""

    HIGH = "high"
    LOW = "low"


class Moves(Enum):
    """Which way a fan moves the air of its bay."""

    OUT = "out"
    IN = "in"


class Fan(Spec):
    """One fan at the back of a bay. Its hole is bored as a [[hole]] in the panel."""

    name: Name
    """Its name as printed."""
    bay: BayNumber
    """Number of the bay, from 1 at the left."""
    at: FanPlace = FanPlace.HIGH
    """high or low in the bay."""
    moves: Moves = Moves.OUT
    """out (it draws air out of the bay) or in."""
    free_flow_m3_h: Flow | None = None
    """Flow against no pressure, m³/h, as its data sheet says."""
    free_flow_cfm: Flow | None = None
    """The same in cubic feet a minute; give one of the two."""
    max_pressure_pa: float = Field(gt=0, le=2000, allow_inf_nan=False)
    """Pressure at which it moves no air any more, Pa (1 mm of water is 9.8 Pa)."""

    @model_validator(mode="after")
    def _one_flow(self) -> Self:
        if (self.free_flow_m3_h is None) == (self.free_flow_cfm is None):
            raise PydanticCustomError(
                "fan_flow", "write one of free_flow_m3_h and free_flow_cfm", {}
            )
        return self

    @property
    def m3_h(self) -> float:
        """Flow against no pressure, m³/h."""
        if self.free_flow_m3_h is not None:
            return self.free_flow_m3_h
        assert self.free_flow_cfm is not None
        return self.free_flow_cfm * M3_H_PER_CFM
