"""Printed rows as CSV text that no spreadsheet takes for anything but text."""

import csv
import io
import re
import unicodedata
from collections.abc import Mapping, Sequence

#: A number or a length with its sign: nothing in it can be called or referred to.
_SIGNED = re.compile(r"[+-][0-9]+(?:\.[0-9]+)?(?: [0-9]+/[0-9]+|/[0-9]+)?(?: (?:in|mm))?")
#: What begins a formula. Source: OWASP, 'CSV Injection'; wide forms too, and after blanks.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def csv_text(lines: Sequence[Mapping[str, str]]) -> str:
    """Rows with one set of columns as CSV, the columns' names first; empty without rows."""
    if not lines:
        return ""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerows(
        [safe(cell) for cell in row] for row in (lines[0], *(line.values() for line in lines))
    )
    return out.getvalue()


def safe(cell: str) -> str:
    """A cell that every spreadsheet takes for text: what would start a formula is quoted.

    A number or a length with a sign is none, and stays as it is: `-1/2 in`, `+0.5 mm`.
    """
    start = unicodedata.normalize("NFKC", cell.lstrip(" \u00a0"))
    return "'" + cell if start.startswith(_FORMULA) and not _SIGNED.fullmatch(cell) else cell
