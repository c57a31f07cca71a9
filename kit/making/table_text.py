"""Printed rows as CSV text that no spreadsheet takes for anything but text.

It is written with commas. Many spreadsheets part cells at semicolons or tabs instead, and then a
cell of theirs begins in the middle of one of ours, or with the first of a row and holds the rest.
"""

import csv
import io
import re
import unicodedata
from collections.abc import Mapping, Sequence

#: A number or a length with its sign: nothing in it can be called or referred to.
_SIGNED = re.compile(r"[+-][0-9]+(?:\.[0-9]+)?(?: [0-9]+/[0-9]+|/[0-9]+)?(?: (?:in|mm))?")
#: What begins a formula. Source: OWASP, 'CSV Injection'; wide forms too, and after blanks.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
#: Where some reader begins another cell or line.
_PARTS = re.compile("(?<=[;\t\n\v\f\r\x1c-\x1e\x85\u2028\u2029])")


def csv_text(lines: Sequence[Mapping[str, str]]) -> str:
    """Rows with one set of columns as CSV, the columns' names first; empty without rows."""
    if not lines:
        return ""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for first, *rest in (lines[0], *(line.values() for line in lines)):
        writer.writerow([safe(first, alone=not rest), *map(safe, rest)])
    return out.getvalue()


def safe(cell: str, *, alone: bool = True) -> str:
    """A cell that every spreadsheet takes for text: what would start a formula is quoted.

    A number or a length with a sign is none, and stays as it is: `-1/2 in`, `+0.5 mm`; unless it
    is not `alone`, but may be read as one cell with what follows.
    """
    if alone and _SIGNED.fullmatch(cell):
        return cell
    return "".join("'" + part if _starts(part) else part for part in _PARTS.split(cell))


def _starts(part: str) -> bool:
    """Whether a cell that begins like this is a formula; blanks and quotation marks go before."""
    return unicodedata.normalize("NFKC", part.lstrip(' \u00a0"')).startswith(_FORMULA)
