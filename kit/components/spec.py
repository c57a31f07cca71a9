"""What every component's description has in common."""

import unicodedata
from collections.abc import Mapping
from difflib import get_close_matches
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError


def _plain_text(text: str) -> str:
    """Refuse what no page can print: blanks alone, control characters, turning marks."""
    if not text.strip():
        raise PydanticCustomError("plain_text", "it holds nothing to print; write a name")
    for character in text:
        if unicodedata.category(character) == "Cc" or character in TURNING:
            raise PydanticCustomError(
                "plain_text",
                "it holds the unprintable character {code}; take it out",
                {"code": f"U+{ord(character):04X}"},
            )
    return text


#: Marks that override the direction of writing; letters of any script are welcome.
TURNING = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"

#: A name as printed: plain text of one line.
Name = Annotated[str, Field(min_length=1, max_length=80), AfterValidator(_plain_text)]
#: A sentence or two as printed: plain text that may be wrapped.
Words = Annotated[str, Field(min_length=1, max_length=300), AfterValidator(_plain_text)]


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
