"""What every component's description has in common."""

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from kit.plain_text import unprintable
from kit.toml_text import path_of


def _plain_text(text: str) -> str:
    """Refuse what no page can print: blanks alone, control characters, turning marks."""
    if not text.strip():
        raise PydanticCustomError("plain_text", "it holds nothing to print; write a name")
    if bad := unprintable(text) or next((c for c in text if c in NO_CHARACTERS), ""):
        raise PydanticCustomError(
            "plain_text",
            "it holds the unprintable character {code}; take it out",
            {"code": f"U+{ord(bad):04X}"},
        )
    return text


#: No XML may hold these, so no drawing.
NO_CHARACTERS = "\ufffe\uffff"

#: A name as printed: plain text of one line.
Name = Annotated[str, Field(min_length=1, max_length=80), AfterValidator(_plain_text)]
#: A few letters as printed, or none.
Letters = Annotated[str, Field(max_length=12), AfterValidator(lambda s: s and _plain_text(s))]
#: The number of a bay, from 1 at the left.
BayNumber = Annotated[int, Field(ge=1, le=99)]
#: A sentence or two as printed: plain text that may be wrapped.
Words = Annotated[str, Field(min_length=1, max_length=300), AfterValidator(_plain_text)]


class Spec(BaseModel):
    """A frozen description in a maker's terms; unknown keys are refused with the nearest name.

    Lengths are read by `kit.units` ("2 3/4 in", "18 mm") and held in mm.
    """

    model_config = ConfigDict(
        frozen=True, extra="forbid", use_attribute_docstrings=True, str_max_length=300
    )

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
                {"key": path_of([str(key)]), "hint": hint},
            )
        return data
