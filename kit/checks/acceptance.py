"""Findings that the maker accepts as they are: `[[accepted]]` in the design file.

One of taste or function is accepted with its reason. One of safety stays what it is, and that is
told; so is an acceptance that no finding of the design answers to, or no longer.
"""

from collections.abc import Iterable, Iterator
from difflib import get_close_matches

from kit.casework import Casework
from kit.finding import Finding, Report, Sense, Status, judge
from kit.kinds import KINDS, Kind
from kit.limits import Acceptance


def with_acceptances(casework: Casework, findings: Iterable[Finding]) -> Iterator[Finding]:
    """The findings; those that are accepted, and are not good in themselves, as accepted."""
    reasons = {(row.check, row.subject): row.reason for row in casework.design.accepted}
    for finding in findings:
        reason = reasons.get(finding.key)
        if reason is None or finding.status is Status.OK or finding.kind is Kind.SAFETY:
            yield finding
        else:
            yield finding.accepted(reason)


def check_acceptances(casework: Casework, report: Report) -> Iterator[Finding]:
    """A finding for each acceptance that does nothing: of safety, or of what is not found."""
    for number, row in enumerate(casework.design.accepted, start=1):
        about = [f for f in report if f.key == (row.check, row.subject)]
        if any(f.status is Status.ACCEPTED for f in about):
            continue
        yield judge(
            "acceptance",
            f"accepted.{number}",
            0.0,
            1.0,
            sense=Sense.AT_LEAST,
            unit="findings",
            why=_why(row, about, report),
            source="design-file",
            binding=False,
        )


def _why(row: Acceptance, about: list[Finding], report: Report) -> str:
    said = f"'{row.check}' of {row.subject}"
    if about and about[0].kind is Kind.SAFETY:
        return (
            f"{said} concerns safety, which nobody accepts away: put it right, and take this out."
        )
    if about:
        return f"{said} holds by itself; take this acceptance out, so that it hides nothing later."
    near = get_close_matches(row.check, KINDS, n=1)
    if row.check not in KINDS:
        hint = f"did you mean {near[0]!r}?" if near else "`kit check --all` names them."
        return f"The kit has no check {row.check!r}; {hint}"
    subjects = {f.subject for f in report.about(row.check)}
    near = get_close_matches(row.subject, subjects, n=1)
    hint = f"did you mean {near[0]!r}?" if near else "take it out."
    return f"No finding of this design is {said}; {hint}"
