"""What was searched for and found: the change that cures a finding, the best designs, variants."""

from collections.abc import Mapping, Sequence
from html import escape
from typing import TYPE_CHECKING

from kit.finding import Status
from kit.notebook.rows import row_table
from kit.notebook.shown import Shown
from kit.notebook.tables import NBSP

if TYPE_CHECKING:  # the solvers of the sheet layouts are heavy
    from kit.fixes import Proposal
    from kit.search import Result, Row, Variant

#: Columns of the tables of `kit.search`.
WHY, SHEETS = "why", "sheets"


def proposed(proposal: "Proposal") -> Shown:
    """What would make a finding right, and what else that does; or that nothing would, and why."""
    from kit.fixes import telling  # the solvers of the sheet layouts are heavy

    mark = "✗" if proposal.changes is None else "✓"
    sure = telling.sure_of(proposal)
    effects = "".join(f"<li>{escape(effect)}</li>" for effect in proposal.side_effects)
    parts = [
        f"<p><b>{mark} {escape(telling.head_of(proposal))}</b> {_words(proposal)}</p>",
        f"<p>It also does this:</p><ul>{effects}</ul>" if effects else "",
        f"<p><small>{escape(sure)}</small></p>" if sure else "",
    ]
    return Shown("".join(parts), f"{mark} {telling.to_text(proposal)}".rstrip("\n"))


def search_table(result: "Result", rows: "Sequence[Row] | None" = None) -> Shown:
    """The best of a search, one row a design that can be opened; or these `rows` of it."""
    if rows is None and not result.front:
        return Shown(f"<pre>{escape(result.in_the_way)}</pre>", result.in_the_way)
    if rows is None:
        return _table("designs found", result.table(), without=("verdict",))
    return _table("designs found", result.table(tuple(rows)))


def what_if_view(variants: "Sequence[Variant]") -> Shown:
    """Named variants of one design side by side."""
    from kit.search import what_if_table

    return _table("variants", what_if_table(variants))


def _table(name: str, rows: Sequence[Mapping[str, str]], without: Sequence[str] = ()) -> Shown:
    """Rows about designs as a table; below it what is the same in all, and why some are no use."""
    told = [_shorter(row) for row in rows]
    same = {
        head: words
        for head, words in list(told[0].items() if len(told) > 1 else ())[1:]
        if head not in (*without, WHY) and words and all(row[head] == words for row in told)
    }
    notes = [f"The same in all: {'; '.join(map(' '.join, same.items()))}."] if same else []
    reasons: dict[str, list[str]] = {}
    for row in told:
        reasons.setdefault(row[WHY], []).append(next(iter(row.values())))
    notes += [f"{', '.join(names)}: {why}" for why, names in reasons.items() if why]
    table = row_table(name, told, without=(*without, WHY, *same))
    below = "".join(f"<p>{escape(note)}</p>" for note in notes)
    return Shown(table.html + below, "\n".join([table.plain, *notes]))


def _shorter(row: Mapping[str, str]) -> dict[str, str]:
    """The row with its counts in one cell, and a count of sheets in one line with its stock."""
    statuses = {status.value: row[status.value] for status in Status}
    told = ", ".join(f"{n} {word}" for word, n in statuses.items() if n.isdigit() and int(n))
    cells: dict[str, str] = {}
    for head, words in row.items():
        if head == Status.FAIL.value:
            cells["verdicts"] = told or words
        elif head == SHEETS:
            cells[head] = ", ".join(one.replace(" ", NBSP) for one in words.split(", "))
        elif head not in statuses:
            cells[head] = words
    return cells


def _words(proposal: "Proposal") -> str:
    """The words as HTML, in the letters of a design file where they are a line of it."""
    from kit.fixes.telling import said_of

    said = said_of(proposal)
    line = proposal.changes and any(said.startswith(f"{path} =") for path in proposal.changes)
    return f"<code>{escape(said)}</code>" if line else escape(said)
