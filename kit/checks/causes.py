"""One cause, one finding: what follows from another finding stands under it.

A rule names a check that can be the cause, the checks that may follow from it, and what ties the
two findings together: the same thing, or the boards that they name. A finding of the checks in
`ALIKE` stands under the worst of its kind that names the same boards, or is about the same device:
one panel that stays shut keeps a hand from every plug behind it.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from kit.finding import Finding, Report, Status

type Tie = Callable[[Finding, Finding], bool]
"""Whether a finding (the second) can follow from another (the first)."""


def same_thing(cause: Finding, other: Finding) -> bool:
    """Both are about one thing, or a part of it."""
    return (cause.thing or cause.subject) == (other.thing or other.subject)


def same_thing_alone(cause: Finding, other: Finding) -> bool:
    """Both are about one thing, and the other names no board that would be its cause."""
    return not other.boards and same_thing(cause, other)


def among_its_boards(cause: Finding, other: Finding) -> bool:
    """All boards of the other are named by the cause."""
    return bool(other.boards) and set(other.boards) <= set(cause.boards)


def with_its_boards(cause: Finding, other: Finding) -> bool:
    """All boards of the cause are named by the other."""
    return bool(cause.boards) and set(cause.boards) <= set(other.boards)


@dataclass(frozen=True, slots=True)
class Rule:
    """From a failing `cause` the findings of the checks `follow` that are tied to it."""

    cause: str
    follow: frozenset[str]
    tie: Tie


def _rules(rows: Iterable[tuple[str, Tie, tuple[str, ...]]]) -> tuple[Rule, ...]:
    return tuple(Rule(cause, frozenset(follow), tie) for cause, tie, follow in rows)


_IN_ITS_PLACE = ("room for a hand", "stands clear", "goes in")
_TOO_LARGE = ("fits in width", "fits in height", "fits in depth")
_UNDER_THE_TOP = ("doors run under the sagged top", "doors lift out under the sagged top")

#: The first rule that holds is taken.
RULES = _rules(
    (
        ("fits in width", same_thing, ("free at the sides", *_IN_ITS_PLACE)),
        ("fits in height", same_thing, ("free above", *_IN_ITS_PLACE)),
        ("fits in depth", same_thing, ("free behind", "stands on its board", *_IN_ITS_PLACE)),
        *((cause, same_thing_alone, ("hand reaches the plug",)) for cause in _TOO_LARGE),
        ("media fits in height", same_thing, ("stands clear", "media in reach")),
        ("media fits in depth", same_thing, ("stands clear", "media in reach")),
        ("media fits in length", same_thing, ("stands clear", "media in reach")),
        ("doors lift in", same_thing, _UNDER_THE_TOP),
        ("doors lift in", among_its_boards, ("boards apart",)),
        ("sag", with_its_boards, _UNDER_THE_TOP),
        ("cables get out", among_its_boards, ("cable has a way",)),
        ("intake air", same_thing, ("intake air at plate load",)),
    )
)
#: Checks of which one cause makes many: by their boards, or by their thing where they name none.
ALIKE = ("hand reaches the plug",)
#: What stands under a cause; what is good, or accepted, has none.
_TOLD = (Status.FAIL, Status.UNKNOWN, Status.WATCH)


def in_order_of_cause(report: Report) -> Report:
    """The report with `Finding.under` set wherever a finding follows from one that fails."""
    return Report(tuple(_placed(report)))


def _placed(report: Report) -> Iterator[Finding]:
    failing = [f for f in report if f.status is Status.FAIL]
    causes = {rule.cause: [f for f in failing if f.check == rule.cause] for rule in RULES}
    leaders = _leaders(failing)
    for finding in report:
        cause = None
        if finding.status in _TOLD:
            cause = _cause(finding, causes)
        if cause is None and finding.status is Status.FAIL:
            cause = leaders.get(_group(finding))
        while cause is not None and (higher := _cause(cause, causes)) is not None:
            cause = higher  # what follows from a follower follows from its cause
        if cause is None or cause.key == finding.key:
            yield finding
        else:
            yield replace(finding, under=cause.key)


def _cause(finding: Finding, causes: dict[str, list[Finding]]) -> Finding | None:
    for rule in RULES:
        if finding.check in rule.follow:
            for cause in causes[rule.cause]:
                if rule.tie(cause, finding):
                    return cause
    return None


def _group(finding: Finding) -> tuple[str, ...]:
    """What findings of `ALIKE` have in common; empty for the others."""
    if finding.check not in ALIKE:
        return ()
    return (finding.check, *(finding.boards or (finding.thing or finding.subject,)))


def _leaders(failing: list[Finding]) -> dict[tuple[str, ...], Finding]:
    """The worst of each group of alike findings."""
    found: dict[tuple[str, ...], Finding] = {}
    for finding in failing:
        group = _group(finding)
        if not group:
            continue
        worst = found.get(group)
        if worst is None or (finding.margin or 0.0) < (worst.margin or 0.0):
            found[group] = finding
    return found
