"""The one shape of every judgement the kit makes.

A check measures something and holds it against something required; `judge` turns the
two numbers into a `Finding`, and it is the only place where a status is decided.
A number that is missing gives UNKNOWN, which is never shown as good.
"""

import json
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from enum import Enum


class Status(Enum):
    """How a finding stands. Ordered worst first by `severity`."""

    FAIL = "fail"
    UNKNOWN = "unknown"
    WATCH = "watch"
    OK = "ok"

    @property
    def severity(self) -> int:
        """0 for the worst (FAIL) up to 3 for OK."""
        return list(Status).index(self)


class Sense(Enum):
    """Which way the measured value has to lie from the required one."""

    AT_LEAST = "at least"
    AT_MOST = "at most"


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
    """One judgement. `measured` and `required` are in `unit`; None where not known."""

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
) -> Finding:
    """Judge `measured` against `required` (both in `unit`).

    FAIL on the wrong side; WATCH on the right side but less than `watch` away from it;
    UNKNOWN when either number is missing or not finite. A difference below 1e-6 `unit` is
    rounding, not a failure.
    """
    known = all(value is not None and math.isfinite(value) for value in (measured, required))
    if not known:
        status = Status.UNKNOWN
    else:
        assert measured is not None
        assert required is not None
        margin = measured - required if sense is Sense.AT_LEAST else required - measured
        if margin < -1e-6:
            status = Status.FAIL
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
        """The findings sorted by severity; equal ones keep their order."""
        return tuple(sorted(self.findings, key=lambda f: f.status.severity))

    @property
    def tally(self) -> str:
        """How many findings have which status, in words."""
        return ", ".join(f"{len(self.having(status))} {status.value}" for status in Status)

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
    }
