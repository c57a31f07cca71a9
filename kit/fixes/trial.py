"""A design with a change, judged by the real checks: is the finding cured, is anything harmed?

The check of the finding is asked first, since most changes fail it; the others only after that,
and only until the first harm.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from kit.casework import Casework, build
from kit.checks import NOT_MEASURED, groups, report_of
from kit.design_file import from_data, parse
from kit.errors import BuildError
from kit.finding import Finding, Report, Status
from kit.fixes.kept import Kept

type Key = tuple[str, str]
"""Check and subject of a finding."""


@dataclass
class Trial:
    """A changed design, with what its checks have answered so far, by their place in `groups`."""

    casework: Casework
    answers: dict[int, tuple[Finding, ...]] = field(default_factory=dict)

    def ask(self, group: int) -> tuple[Finding, ...]:
        """The findings of one group of checks."""
        if group not in self.answers:
            self.answers[group] = tuple(groups(self.casework)[group]())
        return self.answers[group]


class Baseline:
    """The design as it stands, and the trials of changes to it.

    What is fixed stays as it is, and the room unless it gives way (`kept`). Raises BuildError where
    `finding` is none of its failing ones.
    """

    def __init__(
        self, text: str, finding: Finding, until: Status, *, room_gives_way: bool = False
    ) -> None:
        self.casework = build(parse(text))
        self.kept = Kept(self.casework.design, room_gives_way)
        answers = [tuple(ask()) for ask in groups(self.casework)]
        self.report = report_of(self.casework, answers)
        self.key = finding.key
        self.until = until
        holding = [
            place
            for place, found in enumerate(answers)
            if any(f.key == self.key and f.status is Status.FAIL for f in found)
        ]
        if not holding:
            raise BuildError(
                f"'{finding.check}' of {finding.subject} does not fail in this design; "
                "ask for a finding of its own report."
            )
        self._group = holding[0]
        self._others = [place for place in range(len(answers)) if place != self._group]
        self._like_it = sum(
            f.check == self.key[0] and f.status is not Status.OK for f in self.report
        )
        self._failing = _count(self.report, Status.FAIL)
        self._not_good = self._failing + _count(self.report, Status.UNKNOWN)
        self._there = {stock.label for stock in self.casework.stocks}
        self._there |= {placed.item.name for placed in self.casework.gear}

    @property
    def target_before(self) -> float:
        """By how much the finding fails as the design stands, in its unit: below nought."""
        margins = [f.margin for f in self.report if f.key == self.key and f.margin is not None]
        return min(margins, default=0.0)

    def trial(self, data: Mapping[str, Any]) -> Trial:
        """The trial of a changed design. Raises KitError where it cannot be built, or changes what
        is fixed.
        """
        design = from_data(data)
        if not self.kept.allows(design):
            raise BuildError("It changes what is fixed.")
        return Trial(build(design))

    def target(self, trial: Trial) -> Finding | None:
        """The finding after the change, the worst where there are several; None where none is."""
        found = [f for f in trial.ask(self._group) if f.key == self.key]
        return min(found, key=lambda f: (f.status.severity, f.margin or 0.0), default=None)

    def cures(self, trial: Trial) -> bool:
        """Whether the finding stands well enough, or is gone and does not fail by another name.

        A row of media, say, is named by its place.
        """
        found = self.target(trial)
        if found is not None:
            return found.status.severity >= self.until.severity
        fails = sum(
            f.check == self.key[0] and f.status is not Status.OK for f in trial.ask(self._group)
        )
        return fails < self._like_it

    def harm(self, trial: Trial) -> Iterator[Finding]:
        """What fails, or is unknown, and did not before; the cheap checks first.

        That a sheet or a device which the design did not have before is not measured yet is none.
        """
        failing, not_good = Counter(self._failing), Counter(self._not_good)
        for group in (self._group, *self._others):
            for finding in trial.ask(group):
                key = finding.key
                if finding.status is Status.FAIL:
                    failing[key] -= 1
                    not_good[key] -= 1
                    if failing[key] < 0 or not_good[key] < 0:
                        yield finding
                elif finding.status is Status.UNKNOWN and not self.is_new(finding):
                    not_good[key] -= 1
                    if not_good[key] < 0:
                        yield finding

    def report_of(self, trial: Trial) -> Report:
        """All findings of a trial, in the order of the report."""
        answers = (trial.ask(group) for group in range(len(self._others) + 1))
        return report_of(trial.casework, answers)

    def is_new(self, finding: Finding) -> bool:
        """Whether it says of something new that it is still to be measured."""
        return finding.check in NOT_MEASURED and finding.subject not in self._there


def _count(findings: Iterable[Finding], status: Status) -> Counter[Key]:
    return Counter(f.key for f in findings if f.status is status)
