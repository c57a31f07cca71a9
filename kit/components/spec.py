"""What every component's description has in common."""

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel, ConfigDict, model_validator
from pydantic_core import PydanticCustomError


class Spec(BaseModel):
    """A frozen description in a maker's terms; unknown keys are refused with the nearest name.

    Lengths are read by `kit.units` ("2 3/4 in", "18 mm") and held in mm.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", use_attribute_docstrings=True)

    @model_validator(mode="before")
    @classmethod
    def _known_keys(cls, data: Any) -> Any:
        if not isinstance(data, Mapping):
            return data
        names = [field.alias or name for name, field in cls.model_fields.items()]
        for key in data:
            if key in names or key in cls.model_fields:
                continue
            near = get_close_matches(str(key), names, n=1, cutoff=0.7)
            hint = f"did you mean {near[0]!r}?" if near else f"allowed are {', '.join(names)}."
            raise PydanticCustomError(
                "unknown_key",
                "{key} is not a key of the design file; {hint}",
                {"key": str(key), "hint": hint},
            )
        return data
