"""Reads the data tables of the kit into frozen, typed rows.

A table is a CSV file whose header is exactly the field names of a frozen dataclass,
in order. Every row has a `key`; every number carries its unit in the column's name.
An empty cell means 'unknown' and takes the field's default; a field without a
default may not be empty. Where a table has the columns `x_min_u`, `x_u` and
`x_max_u`, the three must stand in that order of size.
"""

import csv
import re
from collections.abc import Iterable, Mapping
from dataclasses import fields
from difflib import get_close_matches
from importlib.resources import files
from importlib.resources.abc import Traversable
from itertools import pairwise
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Any, Protocol

from pydantic import BeforeValidator, Field, TypeAdapter, ValidationError

from kit.errors import TableError

type Positive = Annotated[float, Field(gt=0, allow_inf_nan=False)]
"""A number above zero."""

type NotNegative = Annotated[float, Field(ge=0, allow_inf_nan=False)]
"""A number of zero or more."""

type Colour = Annotated[str, Field(pattern=r"^#[0-9a-f]{6}$")]
"""A colour for drawings and models, `#rrggbb`; chosen by the kit, of no authority."""


def split_words(cell: object) -> object:
    """Split a cell of several words at its spaces; anything but text passes through."""
    return tuple(cell.split()) if isinstance(cell, str) else cell


type Words = Annotated[tuple[str, ...], BeforeValidator(split_words)]
"""One or more words in one cell, apart by spaces."""


class Row(Protocol):
    """What every row of a table has."""

    @property
    def key(self) -> str:
        """The name by which the row is asked for, unique in its table."""
        ...


def data_file(name: str) -> Traversable:
    """Return the data file of this name that comes with the kit."""
    return files("kit").joinpath("data", name)


def read_table[R: Row](row_type: type[R], file: Traversable | Path) -> Mapping[str, R]:
    """Read a CSV file into rows, keyed and in file order.

    Raises `TableError`, naming file, row and column, if the file cannot be read, its
    header is not the field names of `row_type`, a key appears twice, or a cell does
    not convert to the type of its field.
    """
    try:
        text = file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise TableError(
            f"{file.name} cannot be read: {error}. Save it as UTF-8 CSV in kit/data."
        ) from error
    lines = list(csv.reader(text.splitlines()))
    wanted = [field.name for field in fields(row_type)]  # type: ignore[arg-type]
    header = lines[0] if lines else []
    if header != wanted:
        odd = [name for name in header if name not in wanted]
        missing = [name for name in wanted if name not in header]
        raise TableError(
            f"{file.name}: the header does not match (missing: {', '.join(missing) or 'none'}; "
            f"unknown: {', '.join(odd) or 'none'}). Write the columns {','.join(wanted)}."
        )
    return make_rows(row_type, _records(header, lines[1:], file.name), file.name)


def make_rows[R: Row](
    row_type: type[R], records: Iterable[Mapping[str, Any]], where: str
) -> Mapping[str, R]:
    """Turn records (column -> cell) into rows by key; `where` names the file in errors.

    Raises `TableError` as `read_table` does.
    """
    adapter = TypeAdapter(row_type)
    rows: dict[str, R] = {}
    for record in records:
        known = {column: cell for column, cell in record.items() if cell != ""}
        key = known.get("key", "(no key)")
        try:
            row = adapter.validate_python(known)
        except ValidationError as error:
            first = error.errors(include_url=False)[0]
            column = str(first["loc"][0]) if first["loc"] else "key"
            cell = record.get(column, "")
            raise TableError(
                f"{where}, row {key}, column {column}: {first['msg']} "
                f"(the cell holds {cell!r}). Correct that cell."
            ) from error
        if key in rows:
            raise TableError(f"{where}, row {key}, column key: the key appears twice. Rename one.")
        _check_order(row, where)
        rows[key] = row
    return MappingProxyType(rows)


def look_up[R](table: Mapping[str, R], key: str, noun: str) -> R:
    """Return the row of this key; `noun` says what is looked for, such as 'sheet good'.

    Raises `TableError` with the nearest keys if there is none.
    """
    if key in table:
        return table[key]
    near = get_close_matches(key, table, n=3, cutoff=0.4) or list(table)[:8]
    raise TableError(
        f"There is no {noun} {key!r} in the tables. Use one that is, such as {', '.join(near)}."
    )


def _records(header: list[str], lines: list[list[str]], name: str) -> Iterable[dict[str, str]]:
    for number, line in enumerate(lines, start=2):
        if not line:
            continue
        if len(line) != len(header):
            raise TableError(
                f"{name}, row {line[0]} (line {number}): {len(line)} cells under "
                f"{len(header)} columns. Put a text that has a comma in double quotes."
            )
        yield {column: cell.strip() for column, cell in zip(header, line, strict=True)}


def _check_order(row: Row, where: str) -> None:
    for field in fields(row):  # type: ignore[arg-type]
        match = re.fullmatch(r"(.+)_min_(\w+)", field.name)
        if match is None:
            continue
        stem, unit = match.groups()
        names = (field.name, f"{stem}_{unit}", f"{stem}_max_{unit}")
        known = [(n, v) for n in names if (v := getattr(row, n, None)) is not None]
        for (small, less), (large, more) in pairwise(known):
            if less > more:
                raise TableError(
                    f"{where}, row {row.key}, column {small}: {less:g} is above {large} = "
                    f"{more:g}. Correct the row so that least, typical and greatest ascend."
                )
