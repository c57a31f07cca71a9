"""A proposal in words: what would make it right, what else that does, and how sure it is."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.fixes import Proposal


def head_of(proposal: "Proposal") -> str:
    """What came of it, in a few words; `said_of` follows it."""
    if proposal.changes is not None:
        return "Two changes together make it right:" if proposal.two else "This makes it right:"
    if not proposal.tried:
        return "No value of this design makes it right."
    return (
        "No single change within reach makes it right." if proposal.proved else "Nothing was found."
    )


def said_of(proposal: "Proposal") -> str:
    """The change; or what comes nearest where there is none."""
    return proposal.nearest_miss if proposal.changes is None else proposal.words


def sure_of(proposal: "Proposal") -> str:
    """What was tried, and what that proves; empty where nothing can be tried."""
    if not proposal.tried:
        return ""
    tried = f"{proposal.tried} design{'s' * (proposal.tried > 1)} tried"
    every = "every" if proposal.proved else "not every"
    if proposal.changes is None:
        far = f" Turned as far as: {', '.join(proposal.reach)}." if proposal.reach else ""
        return f"{tried}, {every} single change within reach among them.{far}"
    if proposal.two:
        alone = f"no single change was found that does it ({every} one within reach was tried)"
        tried += f": {alone}, and two smaller ones may do it too"
    else:
        tried += f", {every} smaller change among them"
    return f"{tried}. All checks have run on this one, and nothing else fails by it."


def to_text(proposal: "Proposal") -> str:
    """The whole proposal as lines of plain text."""
    lines = [
        f"{head_of(proposal)} {said_of(proposal)}".rstrip(),
        *(f"- {effect}" for effect in proposal.side_effects),
        sure_of(proposal),
    ]
    return "".join(f"{line}\n" for line in lines if line)
