"""Fields of a pydantic model that hold a length."""

import math
from collections.abc import Callable
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainSerializer, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError

from kit.errors import UnitError
from kit.units.reading import EXAMPLES, length, length_error
from kit.units.writing import exact


def _field(kind: str, rule: str = "", allowed: Callable[[float], bool] = math.isfinite) -> Any:
    """A float field in mm that is read by `length` and has to be `allowed`."""

    def read(value: object, info: ValidationInfo) -> float:
        what = info.field_name or "length"
        try:
            mm = length(value, what=what)
            if not allowed(mm):
                raise length_error(what, value, rule, [])
        except UnitError as error:
            # a plain ValueError would reach the maker as "Value error, ..."
            raise PydanticCustomError("length", "{message}", {"message": str(error)}) from None
        return mm

    schema = {
        "type": "string",
        "description": f"{kind} with its unit: in, ft, mm, cm, m, or the marks ' and \"",
        "examples": [*EXAMPLES, "23/32 in", "5' 3-1/2\"", "1.2 m"],
    }
    return BeforeValidator(read), PlainSerializer(exact, when_used="json"), WithJsonSchema(schema)


Length = Annotated[float, *_field("A length")]
"""A model field in float mm, read by `length`; JSON holds it as text that reads back."""

PositiveLength = Annotated[
    float, *_field("A length above zero", "has to be more than 0 mm", lambda mm: mm > 0)
]
"""`Length` above 0 mm."""

NonNegativeLength = Annotated[
    float, *_field("A length of zero or more", "cannot be less than 0 mm", lambda mm: mm >= 0)
]
"""`Length` of 0 mm or more."""
