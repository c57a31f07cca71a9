"""Where a number comes from.

Every row of every data table, and every check, names its source by a key of
`data/sources.toml`. `memory`, `common-practice`, `computed` and `demo` are honest
keys: they say that nothing published was read.
"""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, Field

from kit.errors import TableError
from kit.tables import data_file, look_up, make_rows, split_words


class Kind(Enum):
    """What sort of source it is."""

    STANDARD = "standard"
    REGULATION = "regulation"
    HANDBOOK = "handbook"
    ARTICLE = "article"
    DATA_SHEET = "makers' data"
    ACCOUNT = "users' accounts"
    COMPUTED = "computed"
    COMMON_PRACTICE = "common practice"
    MEMORY = "memory"
    DEMO = "invented for the demo"


class Seen(Enum):
    """How the kit knows what the source says."""

    TEXT = "text read"
    SECOND_HAND = "second hand"
    MEMORY = "from memory"
    OWN = "our own"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One source; `edition`, `page` and `year` are empty where not known."""

    key: str
    title: str
    kind: Kind
    seen: Seen
    edition: str = ""
    page: str = ""
    year: int | None = None

    @property
    def citation(self) -> str:
        """The source in one line, ending with its kind and how it was seen."""
        year = "" if self.year is None else str(self.year)
        where = ", ".join(part for part in (self.title, self.edition, year, self.page) if part)
        if self.kind in (Kind.MEMORY, Kind.COMMON_PRACTICE):  # the title says it
            return where
        return f"{where} ({self.kind.value}; {self.seen.value})"


@cache
def all_sources() -> Mapping[str, Source]:
    """Return every source by key. Raises `TableError` if the file is malformed."""
    name = "sources.toml"
    try:
        entries = tomllib.loads(data_file(name).read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise TableError(f"{name} is not valid TOML: {error}. Correct that line.") from error
    return make_rows(Source, ({"key": key, **entry} for key, entry in entries.items()), name)


def source(key: str) -> Source:
    """Return one source. Raises `TableError` with the nearest keys if unknown."""
    return look_up(all_sources(), key, "source")


def citations(keys: Iterable[str]) -> str:
    """Return the citations of several sources, apart by semicolons, for a report."""
    return "; ".join(source(key).citation for key in keys)


def _known(keys: tuple[str, ...]) -> tuple[str, ...]:
    for key in keys:
        if key not in all_sources():
            # a ValueError here becomes the reader's error with file, row and column
            raise ValueError(f"there is no source {key!r} in sources.toml")
    return keys


type SourceKeys = Annotated[
    tuple[str, ...], Field(min_length=1), BeforeValidator(split_words), AfterValidator(_known)
]
"""One or more source keys in one cell, apart by spaces; each must exist."""
