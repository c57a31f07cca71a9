"""What every component's description has in common."""

from pydantic import BaseModel, ConfigDict


class Spec(BaseModel):
    """A frozen description in a maker's terms; unknown keys are refused.

    Lengths are read by `kit.units` ("2 3/4 in", "18 mm") and held in mm.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", use_attribute_docstrings=True)
