"""What every component's description has in common."""

import ast
import inspect
import textwrap
from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache
from itertools import pairwise
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    model_validator,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError

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
        frozen=True,
        extra="forbid",
        str_max_length=300,
        defer_build=True,  # a design builds the whole of it as it is first read
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

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core_schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """The schema, with what each field is."""
        told = handler(core_schema)
        about = field_docs(cls)
        properties = handler.resolve_ref_schema(told)["properties"]
        for name, field in cls.model_fields.items():
            if name in about:
                properties[field.alias or name]["description"] = about[name]
        return told


@cache
def field_docs(spec: type[Spec]) -> Mapping[str, str]:
    """What each field of a description is, by the text under it in the source.

    Pydantic would read the source of every description as it is defined, and a check needs none.
    """
    found: dict[str, str] = {}
    for kind in reversed(spec.__mro__):
        if kind is Spec or not issubclass(kind, Spec):
            continue
        try:
            (body,) = ast.parse(textwrap.dedent(inspect.getsource(kind))).body
        except OSError:  # typed at a prompt: it has no source
            continue
        assert isinstance(body, ast.ClassDef)
        for field, text in pairwise(body.body):
            match field, text:
                case (
                    ast.AnnAssign(target=ast.Name(id=name)),
                    ast.Expr(value=ast.Constant(value=str(words))),
                ):
                    found[name] = inspect.cleandoc(words)
    return found
