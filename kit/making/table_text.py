"""Printed rows as CSV text that no spreadsheet takes for anything but text."""

import csv
import io
from collections.abc import Mapping, Sequence


def csv_text(lines: Sequence[Mapping[str, str]]) -> str:
    """Rows with one set of columns as CSV, the columns' names first; empty without rows."""
    if not lines:
        return ""
    out = io.StringIO()
    writer = csv.DictWriter(out, fieldnames=list(lines[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows({key: safe(cell) for key, cell in line.items()} for line in lines)
    return out.getvalue()


def safe(cell: str) -> str:
    """A cell that every spreadsheet takes for text: what would start a formula is quoted."""
    return "'" + cell if cell.startswith(("=", "+", "-", "@", "\t", "\r")) else cell
