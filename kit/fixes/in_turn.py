"""All failing findings of a design, mended one after the other."""

import tomllib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from kit.casework import build
from kit.checks import check
from kit.design_file import parse, rewrite, value_at
from kit.errors import KitError
from kit.finding import Finding, Report, Status
from kit.fixes import Proposal, propose, refuse_too_large
from kit.fixes.side_effects import changed_fields


def propose_in_turn(
    text: str,
    wanted: Callable[[Finding], bool] = lambda finding: True,
    *,
    thorough: bool = False,
    progress: Callable[[Finding], None] = lambda finding: None,
) -> Iterator[Proposal]:
    """A proposal for each failing finding that is `wanted`, in the order of the checks.

    A finding that follows from another comes after those that do not. Each is made for the design
    as the one before leaves it, `Proposal.text`: one change often cures several findings, which
    are then not asked for. `progress` is told each finding before its search begins. Raises what
    `propose` raises.
    """
    refuse_too_large(casework := build(parse(text)))
    report, asked = check(casework), set[tuple[str, str]]()
    while todo := [
        finding
        for finding in report.having(Status.FAIL)
        if wanted(finding) and (finding.check, finding.subject) not in asked
    ]:
        finding = next((one for one in todo if one.under is None), todo[0])
        asked.add((finding.check, finding.subject))
        progress(finding)
        proposal = propose(text, finding, thorough=thorough)
        text, report = proposal.text, proposal.report
        yield proposal


@dataclass(frozen=True, slots=True)
class Mended:
    """What is left when every finding has had its turn: the design, its report, and `words` for
    each change that a later one has made needless and that was taken back.
    """

    text: str
    report: Report
    taken_back: tuple[str, ...]


def without_needless(text: str, proposals: Sequence[Proposal]) -> Mended:
    """The design after proposals made in turn for `text`, without the changes that it can spare.

    The first is tried first: what cured one finding is often overtaken by the cure of the next.
    A change is taken back where nothing fails, or is unknown, that did not at the end, and where
    it is no more than values that no later one touched.
    """
    befores = [text, *(proposal.text for proposal in proposals)]
    now, report = befores[-1], proposals[-1].report if proposals else check(build(parse(text)))
    taken: list[str] = []
    for before, proposal in zip(befores, proposals, strict=False):
        new = proposal.changes or {}
        old = changed_fields(proposal.text, before)
        said = tomllib.loads(now)
        plain = all(
            isinstance(value, str | int | float) for value in (*old.values(), *new.values())
        )
        if not new or not plain or any(value_at(said, path) != new[path] for path in new):
            continue
        try:
            spared = rewrite(now, old)
            after = check(build(parse(spared)))
        except KitError:
            continue
        if _not_good(after) <= _not_good(report):
            now, report = spared, after
            taken.append(proposal.words)
    return Mended(now, report, tuple(taken))


def _not_good(report: Report) -> set[tuple[str, str, Status]]:
    return {
        (finding.check, finding.subject, status)
        for status in (Status.FAIL, Status.UNKNOWN)
        for finding in report.having(status)
    }
