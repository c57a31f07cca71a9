"""What was searched for and found: the change that cures a finding, the best designs, variants."""

from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING

from kit.notebook.rows import row_table
from kit.notebook.shown import Shown

if TYPE_CHECKING:  # the solvers of the sheet layouts are heavy
    from kit.fixes import Proposal
    from kit.search import Result, Row, Variant


def proposed(proposal: "Proposal") -> Shown:
    """What would make a finding right, and what else that does; or that nothing would, and why."""
    head, said = _found(proposal)
    sure = _sure(proposal)
    effects = "".join(f"<li>{escape(effect)}</li>" for effect in proposal.side_effects)
    parts = [
        f"<p><b>{escape(head)}</b> {_words(proposal, said)}</p>",
        f"<p>It also does this:</p><ul>{effects}</ul>" if effects else "",
        f"<p><small>{escape(sure)}</small></p>" if sure else "",
    ]
    lines = [f"{head} {said}", *(f"- {effect}" for effect in proposal.side_effects), sure]
    return Shown("".join(parts), "\n".join(line for line in lines if line))


def search_table(result: "Result", rows: "Sequence[Row] | None" = None) -> Shown:
    """The best of a search, one row a design that can be opened; or these `rows` of it."""
    if rows is None:
        return row_table("designs found", result.table(), without=("verdict",))
    return row_table("designs found", result.table(tuple(rows)))


def what_if_view(variants: "Sequence[Variant]") -> Shown:
    """Named variants of one design side by side."""
    from kit.search import what_if_table

    return row_table("variants", what_if_table(variants))


def _found(proposal: "Proposal") -> tuple[str, str]:
    """What came of it, as a head and what follows it."""
    if proposal.changes is not None:
        return "✓ This makes it right:", proposal.words
    if not proposal.tried:
        return "✗ No value of this design makes it right.", proposal.nearest_miss
    return (
        "✗ Nothing makes it right." if proposal.proved else "✗ Nothing was found.",
        proposal.nearest_miss,
    )


def _words(proposal: "Proposal", said: str) -> str:
    """The words as HTML, in the letters of a design file where they are a line of it."""
    line = proposal.changes and any(said.startswith(f"{path} =") for path in proposal.changes)
    return f"<code>{escape(said)}</code>" if line else escape(said)


def _sure(proposal: "Proposal") -> str:
    """What was tried, and what that proves."""
    if not proposal.tried:
        return ""
    tried = f"{proposal.tried} design{'s' * (proposal.tried > 1)} tried"
    if proposal.changes is None:
        every = "every setting" if proposal.proved else "not every setting"
        return f"{tried}: {every} of what could cure it."
    least = "every smaller change" if proposal.proved else "not every smaller change"
    return f"{tried}: {least}. All checks have run on this one, and nothing else fails by it."
