"""Along one knob: the least setting that cures the finding and harms nothing.

The first cure is bracketed with doubled steps and then halved down to; past it the settings are
looked through for one that harms nothing, and halved down to again. Where no cure is bracketed,
settings are sampled over the whole range, since a cure need not last to its end. `thorough` tries
every setting in turn instead: only that proves that there is none.
"""

import tomllib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import inf

from kit.errors import CancelledError, KitError
from kit.finding import Status
from kit.fixes.knob import Knob, Setting
from kit.fixes.trial import Baseline, Trial

#: How many settings are sampled over a range.
SAMPLES = 8


@dataclass(frozen=True)
class Tried:
    """One setting that was tried, and what came of it."""

    knob: Knob
    setting: Setting
    trial: Trial
    cures: bool
    harmless: bool

    @property
    def works(self) -> bool:
        """Whether it cures the finding and harms nothing."""
        return self.cures and self.harmless


class Search:
    """Tries settings on a baseline, each once."""

    def __init__(self, text: str, baseline: Baseline, cancelled: Callable[[], bool] | None) -> None:
        self.text = text
        self._plain = tomllib.loads(text)
        self.baseline = baseline
        self._cancelled = cancelled
        #: The one that cures with the least change, and the one that comes nearest to it.
        self.harmful: Tried | None = None
        self.nearest: Tried | None = None

    def least(self, knob: Knob, *, within: float, thorough: bool) -> Tried | None:
        """The first working setting no larger a change than `within`; None where none is found."""
        count = sum(setting.size <= within for setting in knob.settings)
        if thorough or not knob.ordered:
            return next((t for n in range(count) if (t := self._at(knob, n)) and t.works), None)
        return self._along(knob, count)

    def _along(self, knob: Knob, count: int) -> Tried | None:
        first = self._bracket(knob, -1, count, works=False)
        if first is None:
            samples = range(0, count, max(1, count // SAMPLES))
            first = next((n for n in samples if (t := self._at(knob, n)) and t.cures), None)
        if first is None:
            return None
        if (found := self._at(knob, first)) and found.works:
            return found
        later = self._bracket(knob, first, count, works=True)
        if later is None:
            samples = range(first, count, max(1, (count - first) // SAMPLES))
            later = next((n for n in samples if (t := self._at(knob, n)) and t.works), None)
        return None if later is None else self._at(knob, later)

    def _bracket(self, knob: Knob, low: int, count: int, *, works: bool) -> int | None:
        """Doubled steps from `low` to a setting that is good, then halved to the least such."""
        step, bad = 1, low
        while bad < count - 1:
            good = min(low + step, count - 1)
            if self._good(knob, good, works=works):
                while good - bad > 1:
                    middle = (good + bad) // 2
                    if self._good(knob, middle, works=works):
                        good = middle
                    else:
                        bad = middle
                return good
            bad, step = good, 2 * step
        return None

    def _good(self, knob: Knob, number: int, *, works: bool) -> bool:
        tried = self._at(knob, number)
        return tried is not None and (tried.works if works else tried.cures)

    def _at(self, knob: Knob, number: int) -> Tried | None:
        """One setting tried; None where the design with it cannot be built."""
        if self._cancelled is not None and self._cancelled():
            raise CancelledError("The search for a fix was stopped; nothing was changed.")
        setting = knob.settings[number]
        try:
            # most settings are one value, and the text is written for the one that is taken
            data = setting.data(self._plain)
            data = tomllib.loads(setting.edited(self.text)) if data is None else data
        except KitError:
            self.baseline.refused(setting.words)
            return None
        trial = self.baseline.trial(setting.words, data)
        if trial is None:
            return None
        cures = self.baseline.cures(trial)
        tried = Tried(knob, setting, trial, cures, cures and self.baseline.harmless(trial))
        self._remember(tried)
        return tried

    def _remember(self, tried: Tried) -> None:
        """Keep what is worth telling where nothing works."""
        if tried.cures and not tried.harmless:
            if self.harmful is None or tried.setting.size < self.harmful.setting.size:
                self.harmful = tried
        elif not tried.cures and (self.nearest is None or self._nearer(tried, self.nearest)):
            self.nearest = tried

    def _nearer(self, one: Tried, other: Tried) -> bool:
        """Unknown is nearer than failing, and there the smaller change; else the better margin."""
        ranks = []
        for tried in (one, other):
            target = self.baseline.target(tried.trial)
            failing = target is None or target.status is Status.FAIL
            margin = target.margin if target is not None else None
            ranks.append((not failing, (margin or -inf) if failing else -tried.setting.size))
        return ranks[0] > ranks[1]


def in_order(knobs: Iterable[Knob]) -> list[Knob]:
    """Each knob once, as a lever may stand in several lists; those of the finest step first."""
    found = {(knob.name, knob.settings[0].words): knob for knob in knobs if knob.settings}
    return sorted(found.values(), key=lambda knob: knob.settings[0].size)
