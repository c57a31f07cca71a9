"""`kit what-if`: variants of a design held against each other."""

import argparse

from kit import search
from kit.commands import FAILS, OK
from kit.commands.telling import load
from kit.making.table_text import csv_text


def run(options: argparse.Namespace) -> int:
    """Print the design and its variants side by side."""
    _, design_text = load(options.file)
    rows = search.what_if(search.variants_of(design_text, options.set))
    table = search.what_if_table(rows)
    print(csv_text(table) if options.csv else search.to_text(table), end="")
    return FAILS if any(row.answer.refused or row.answer.fails for row in rows) else OK
