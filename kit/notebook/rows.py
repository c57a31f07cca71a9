"""The lists for the shop as tables: the rows that `kit.making` prints, and nothing else."""

import re
from collections.abc import Mapping, Sequence
from html import escape

from kit.casework import Casework
from kit.making import as_built, buy_list, cable_schedule, set_ups
from kit.making.sheet_data import printed_cuts
from kit.making.sheets import SheetPlan
from kit.notebook.shown import Shown
from kit.notebook.tables import NBSP, html_table

#: A cell of no more letters than this is not broken.
WHOLE = 13
#: Blanks within a length, as in `2 3/4 in` or `18 mm`.
WITHIN = re.compile(r"(?<=\d) (?=\d+/\d)|(?<=\d) (?=(?:in|mm|m)\b)")
#: How the width of a column grows with its longest cell, up to so many letters: a long column
#: wraps, and a short one keeps its words whole.
GROWS, LONGEST = 0.6, 200


def row_table(
    name: str, rows: Sequence[Mapping[str, str]], *, without: Sequence[str] = ()
) -> Shown:
    """Printed rows as a table; `name` says what they are.

    Columns `without` are left out, and so is a column without a word.
    """
    heads = [
        head
        for head in (rows[0] if rows else ())
        if head not in without and any(row[head] for row in rows)
    ]
    if not heads:
        return Shown(f"<p>No rows: {escape(name)}.</p>", f"No rows: {name}.")
    cells = [[escape(_unbroken(row[head])) for head in heads] for row in rows]
    wide = {head: max(len(head), *(len(row[head]) for row in rows)) for head in heads}
    parts = {head: min(length, LONGEST) ** GROWS for head, length in wide.items()}
    shares = {head: 100 * part / sum(parts.values()) for head, part in parts.items()}
    return Shown(
        html_table(name.replace(" ", "-"), heads, cells, shares),
        "\n".join("  ".join(row[head] for head in heads if row[head]) for row in rows),
    )


def cable_table(casework: Casework) -> Shown:
    """The cable schedule: the way of each cable, the length it needs, the length to buy."""
    schedule = cable_schedule.cable_schedule(casework)
    rows = cable_schedule.printed(schedule, casework.design.shop.units)
    return row_table("cables", rows, without=("carries", "holes", "way", "diameter"))


def hole_table(casework: Casework) -> Shown:
    """The holes to add so that every cable has a way, with the line for the design file."""
    schedule = cable_schedule.cable_schedule(casework)
    units = casework.design.shop.units
    return row_table("holes to add", cable_schedule.printed_holes(schedule, units))


def cut_order_table(casework: Casework, plan: SheetPlan) -> Shown:
    """Every saw cut in the order of the work, sheet after sheet."""
    return row_table("cut order", printed_cuts(casework, plan, casework.design.shop.units))


def set_up_table(casework: Casework, board: str | None = None) -> Shown:
    """Every machine setting in the order of the work, or those that cut one `board`."""
    settings = set_ups.set_up_sheet(casework)
    if board is not None:
        settings = tuple(one for one in settings if board in one.boards)
    return row_table("set-ups", set_ups.printed(settings, casework.design.shop.units))


def buy_table(casework: Casework, plan: SheetPlan) -> Shown:
    """What to bring home before the first cut."""
    units = casework.design.shop.units
    bought = buy_list.buy_list(casework, sheets=plan.bought, hangs_on=plan.hangs_on)
    rows = buy_list.printed(bought, units)
    return row_table("buy list", rows, without=("key",))


def as_built_table(casework: Casework) -> Shown:
    """What the measured sheets and openings change, and what to do with each board."""
    return row_table("as built", as_built.printed(casework, casework.design.shop.units))


def _unbroken(words: str) -> str:
    """A short cell is kept in one line; a long one may wrap, but for its lengths."""
    return words.replace(" ", NBSP) if len(words) <= WHOLE else WITHIN.sub(NBSP, words)
