"""Who made the plans, who answers for them, and on what paper they are: the title block."""

from datetime import date, datetime
from typing import Annotated, Any

from pydantic import BeforeValidator, Field
from pydantic_core import PydanticCustomError

from kit.components.spec import Name, Spec, Words
from kit.paper import Paper


def _day(value: Any) -> Any:
    """A TOML date, or one written as text; nothing that merely can be taken for a date."""
    if value is None or (isinstance(value, date) and not isinstance(value, datetime)):
        return value
    if isinstance(value, str):
        try:
            return date.fromisoformat(value)
        except ValueError:
            pass
    raise PydanticCustomError("day", "it is no day; write it as in 2026-03-14")


type Day = Annotated[date, BeforeValidator(_day)]
"""A day of the calendar."""

type Mark = Annotated[Name, Field(max_length=8)]
"""The mark of a revision: A, B, ... or 1, 2, ..."""


class Issue(Spec):
    """How the plans are issued. What is left out is printed as not given, never guessed."""

    owner: Name | None = None
    """Whose plans they are."""
    creator: Name | None = None
    """Who drew them up."""
    approved_by: Name | None = None
    """Who approved them."""
    number: Name | None = None
    """Identification number of the plans."""
    date: Day | None = None
    """Day of issue; plans without one are printed as not issued."""
    paper: Paper | None = None
    """a4, a3, letter or tabloid; by the units where left out."""


class Revision(Spec):
    """One row of the table of revisions."""

    mark: Mark
    """Its mark: A, B, ... or 1, 2, ..."""
    date: Day | None = None
    """Its day."""
    what: Words
    """What changed."""
