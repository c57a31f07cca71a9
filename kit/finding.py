"""The one shape of every judgement the kit makes.

A check measures something and holds it against something required; `judge` turns the
two numbers into a `Finding`, and it is the only place where a status is decided.
A number that is missing gives UNKNOWN, which is never shown as good.
"""

import json
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from enum import Enum

from kit.kinds import Kind, kind_of


class Status(Enum):
    """How a finding stands. Ordered worst first by `severity`.

    ACCEPTED is one that the maker accepts as it is, with a reason that he wrote down.
    """

    FAIL = "fail"
    UNKNOWN = "unknown"
    WATCH = "watch"
    ACCEPTED = "accepted"
    OK = "ok"

    @property
    def severity(self) -> int:
        """0 for the worst (FAIL) up to 4 for OK."""
        return list(Status).index(self)


class Sense(Enum):
    """Which way the measured value has to lie from the required one."""

    AT_LEAST = "at least"
    AT_MOST = "at most"


#: What a finding was that is accepted, as printed.
_THOUGH = {
    Status.FAIL: "it fails",
    Status.UNKNOWN: "it is not known",
    Status.WATCH: "little is left",
}


@dataclass(frozen=True, slots=True)
class Fix:
    """A change of one design parameter that was re-run and found to cure the finding.

    `parameter` is a path in the design file such as `doors.top_depth`; `value` is what to
    write there.
    """

    parameter: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One judgement. `measured` and `required` are in `unit`; None where not known.

    `thing` names the device or row that the subject is a part of, where it is one. `under` is the
    check and subject of the finding that this one follows from, and is cured with.
    An accepted one has the maker's `reason`, and the status that it `was`.
    """

    check: str
    subject: str
    status: Status
    measured: float | None
    required: float | None
    sense: Sense
    unit: str
    why: str
    assumes: str = ""
    source: str = "memory"
    fix: Fix | None = None
    boards: tuple[str, ...] = ()
    thing: str = ""
    under: tuple[str, str] | None = None
    reason: str = ""
    was: Status | None = None

    @property
    def key(self) -> tuple[str, str]:
        """What it is about, whatever its numbers: its check and its subject."""
        return (self.check, self.subject)

    @property
    def kind(self) -> Kind:
        """Whether it concerns safety, function or taste."""
        return kind_of(self.check)

    @property
    def told(self) -> str:
        """Why, with what it follows from, or the reason for which the maker accepts it."""
        if self.under is not None:
            check, subject = self.under
            return f"Follows from '{check}' of {subject}. {self.why}"
        if self.was is not None:
            return f"{self.why} Accepted, though {_THOUGH[self.was]}: {self.reason}"
        return self.why

    def accepted(self, reason: str) -> "Finding":
        """The finding as one that the maker accepts for a reason."""
        return replace(self, status=Status.ACCEPTED, was=self.status, reason=reason)

    @property
    def margin(self) -> float | None:
        """How far the measured value lies on the good side of the required one, in `unit`."""
        if self.measured is None or self.required is None:
            return None
        gap = self.measured - self.required
        return gap if self.sense is Sense.AT_LEAST else -gap


def judge(
    check: str,
    subject: str,
    measured: float | None,
    required: float | None,
    *,
    sense: Sense,
    unit: str,
    why: str,
    watch: float = 0.0,
    assumes: str = "",
    source: str = "memory",
    fix: Fix | None = None,
    boards: tuple[str, ...] = (),
    thing: str = "",
    binding: bool = True,
) -> Finding:
    """Judge `measured` against `required` (both in `unit`).

    FAIL on the wrong side, or WATCH where the limit is not `binding`: the kit's own idea of taste,
    or of a room that it does not know, until the maker sets it. WATCH on the right side but less
    than `watch` away from it; UNKNOWN when either number is missing or not finite. A difference
    below 1e-6 `unit` is rounding, not a failure.
    """
    known = all(value is not None and math.isfinite(value) for value in (measured, required))
    if not known:
        status = Status.UNKNOWN
    else:
        assert measured is not None
        assert required is not None
        margin = measured - required if sense is Sense.AT_LEAST else required - measured
        if margin < -1e-6:
            status = Status.FAIL if binding else Status.WATCH
        elif margin < watch - 1e-6:
            status = Status.WATCH
        else:
            status = Status.OK
    return Finding(
        check=check,
        subject=subject,
        status=status,
        measured=measured if known else None,
        required=required,
        sense=sense,
        unit=unit,
        why=why,
        assumes=assumes,
        source=source,
        fix=fix,
        boards=boards,
        thing=thing,
    )


@dataclass(frozen=True, slots=True)
class Report:
    """All findings of one design, in the order the checks ran."""

    findings: tuple[Finding, ...] = field(default=())

    @classmethod
    def of(cls, *groups: Iterable[Finding]) -> "Report":
        """Gather the findings of several checks."""
        return cls(tuple(finding for group in groups for finding in group))

    def __iter__(self) -> Iterator[Finding]:
        return iter(self.findings)

    def __len__(self) -> int:
        return len(self.findings)

    def having(self, status: Status) -> tuple[Finding, ...]:
        """The findings that have this status."""
        return tuple(f for f in self.findings if f.status is status)

    def about(self, *checks: str) -> "Report":
        """The findings of these checks only, by their names."""
        return Report(tuple(f for f in self.findings if f.check in checks))

    def worst_first(self) -> tuple[Finding, ...]:
        """The findings sorted by severity, what follows from another right after it; equal ones
        keep their order.
        """
        placed = {f.key: f for f in self.findings if f.under is None}
        below: dict[tuple[str, str], list[Finding]] = {}
        for f in self.findings:
            if f.under in placed:
                below.setdefault(f.under, []).append(f)
        first = [f for f in self.findings if f.under not in placed]
        ordered: list[Finding] = []
        for f in sorted(first, key=lambda f: f.status.severity):
            ordered += [f, *below.pop(f.key, ())]
        return tuple(ordered)

    def causes(self, status: Status) -> tuple[Finding, ...]:
        """The findings of this status that follow from no other."""
        return tuple(f for f in self.having(status) if f.under is None)

    @property
    def tally(self) -> str:
        """How many findings have which status, in words: what follows from another is told
        beside it. None accepted is not worth a word.
        """
        told = []
        for status in Status:
            causes = len(self.causes(status))
            more = len(self.having(status)) - causes
            if causes or more or status is not Status.ACCEPTED:
                follows = f" (and {more} that follow{'s' * (more == 1)})" if more else ""
                told.append(f"{causes} {status.value}{follows}")
        return ", ".join(told)

    @property
    def failed(self) -> bool:
        """Whether any finding fails."""
        return any(f.status is Status.FAIL for f in self.findings)


def findings_json(report: Report) -> str:
    """The findings as JSON, worst first."""
    return (
        json.dumps([_plain(f) for f in report.worst_first()], indent=1, ensure_ascii=False) + "\n"
    )


def _plain(finding: Finding) -> dict[str, object]:
    return {
        "check": finding.check,
        "subject": finding.subject,
        "kind": finding.kind.value,
        "status": finding.status.value,
        "measured": finding.measured,
        "required": finding.required,
        "sense": finding.sense.value,
        "unit": finding.unit,
        "why": finding.why,
        "assumes": finding.assumes,
        "source": finding.source,
        "fix": None
        if finding.fix is None
        else {"parameter": finding.fix.parameter, "value": finding.fix.value},
        "boards": list(finding.boards),
        "follows_from": None
        if finding.under is None
        else {"check": finding.under[0], "subject": finding.under[1]},
        "accepted": None
        if finding.was is None
        else {"reason": finding.reason, "though": finding.was.value},
    }
