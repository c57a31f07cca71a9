"""Along one knob: the least setting that cures the finding and harms nothing.

A cure is looked for by doubled steps, and where those find none by samples over the whole range,
since it need not last to its end; it is then halved down to. Past it a setting that harms nothing
is looked for in the same way. What works on the way is not lost. `thorough` tries every setting
in turn instead: only that proves that none within reach does.
"""

import tomllib
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import inf

from kit.errors import CancelledError, KitError
from kit.finding import Finding, Status
from kit.fixes.knob import Knob, Setting
from kit.fixes.trial import Baseline, Trial

#: How many settings are sampled over a range.
SAMPLES = 8


@dataclass(frozen=True)
class Tried:
    """One setting that was tried, and what came of it.

    `target` is the finding after it, None where it is gone; `harm` the first thing that fails by
    it and did not before, which is looked for only where it cures.
    """

    setting: Setting
    target: Finding | None
    cures: bool
    harm: Finding | None = None

    @property
    def works(self) -> bool:
        """Whether it cures the finding and harms nothing."""
        return self.cures and self.harm is None


class Search:
    """Tries settings on a baseline, each once.

    A changed design is dropped when it has been judged, since thousands would fill the memory;
    `trial` makes it again.
    """

    def __init__(self, text: str, baseline: Baseline, cancelled: Callable[[], bool] | None) -> None:
        self.text = text
        self._plain = tomllib.loads(text)
        self.baseline = baseline
        self._cancelled = cancelled
        self._judged: dict[str, Tried | None] = {}
        self._beside: list[Search] = []
        #: The one that cures with the least change, and the one that comes nearest to it.
        self.harmful: Tried | None = None
        self.nearest: Tried | None = None

    @property
    def tried(self) -> int:
        """How many different settings were looked at, those beside another among them."""
        return len(self._judged) + sum(beside.tried for beside in self._beside)

    def least(self, knob: Knob, *, within: float, thorough: bool = False) -> Tried | None:
        """The first working setting no larger a change than `within`; None where none is found."""
        settings = [setting for setting in knob.settings if setting.size <= within]
        if thorough or not knob.ordered:
            return next((t for s in settings if (t := self._at(s)) and t.works), None)
        worked: dict[int, Tried] = {}

        def cures(number: int) -> bool:
            tried = self._at(settings[number])
            if tried is not None and tried.works:
                worked[number] = tried
            return tried is not None and tried.cures

        def works(number: int) -> bool:
            return cures(number) and number in worked

        first = _first(-1, len(settings), cures)
        if first is not None and first not in worked:
            _first(first, len(settings), works)
        return worked[min(worked)] if worked else None

    def beside(self, setting: Setting) -> "Search | None":
        """A search for a change beside this one, judged on the same baseline.

        None where the design with this one cannot be built.
        """
        if self.trial(setting) is None:
            return None
        self._beside.append(Search(setting.edited(self.text), self.baseline, self._cancelled))
        return self._beside[-1]

    def judged(self, setting: Setting) -> Tried | None:
        """What came of a setting; None where it was not tried, or cannot be built."""
        return self._judged.get(setting.words)

    def harmless(self, setting: Setting) -> bool:
        """Whether a setting can be built and harms nothing, cure or no."""
        self._stop_if_cancelled()
        trial = self.trial(setting)
        return trial is not None and next(self.baseline.harm(trial), None) is None

    def trial(self, setting: Setting) -> Trial | None:
        """The design with a setting; None where it cannot be built."""
        try:
            # most settings are one value, and the text is written for the one that is taken
            data = setting.data(self._plain)
            return self.baseline.trial(
                tomllib.loads(setting.edited(self.text)) if data is None else data
            )
        except KitError:
            return None

    def _at(self, setting: Setting) -> Tried | None:
        """One setting tried; None where the design with it cannot be built."""
        self._stop_if_cancelled()
        if setting.words not in self._judged:
            self._judged[setting.words] = tried = self._judge(setting)
            if tried is not None:
                self._remember(tried)
        return self._judged[setting.words]

    def _stop_if_cancelled(self) -> None:
        if self._cancelled is not None and self._cancelled():
            raise CancelledError("The search for a fix was stopped; nothing was changed.")

    def _judge(self, setting: Setting) -> Tried | None:
        trial = self.trial(setting)
        if trial is None:
            return None
        target = self.baseline.target(trial)
        if not self.baseline.cures(trial):
            return Tried(setting, target, cures=False)
        return Tried(setting, target, cures=True, harm=next(self.baseline.harm(trial), None))

    def _remember(self, tried: Tried) -> None:
        """Keep what is worth telling where nothing works."""
        if tried.cures and not tried.works:
            if self.harmful is None or tried.setting.size < self.harmful.setting.size:
                self.harmful = tried
        elif not tried.cures and (self.nearest is None or _rank(tried) > _rank(self.nearest)):
            self.nearest = tried


def _rank(tried: Tried) -> tuple[bool, float]:
    """Unknown is nearer than failing, and there the smaller change; else the better margin."""
    target = tried.target
    failing = target is None or target.status is Status.FAIL
    margin = target.margin if target is not None else None
    return (not failing, (margin or -inf) if failing else -tried.setting.size)


def _first(low: int, count: int, good: Callable[[int], bool]) -> int | None:
    """The first good number past `low`, as far as steps, samples and halving find it."""
    for numbers in (_doubled(low, count), _samples(low, count)):
        bad = low
        for number in numbers:
            if good(number):
                return _halved(bad, number, good)
            bad = number
    return None


def _doubled(low: int, count: int) -> Iterator[int]:
    step, at = 1, low
    while at < count - 1:
        at = min(at + step, count - 1)
        yield at
        step *= 2


def _samples(low: int, count: int) -> Sequence[int]:
    return range(low + 1, count, max(1, (count - low - 1) // SAMPLES))


def _halved(bad: int, found: int, good: Callable[[int], bool]) -> int:
    while found - bad > 1:
        middle = (found + bad) // 2
        if good(middle):
            found = middle
        else:
            bad = middle
    return found


def in_order(knobs: Iterable[Knob]) -> list[Knob]:
    """Each knob once, as a lever may stand in several lists; those of the finest step first."""
    found = {(knob.name, knob.settings[0].words): knob for knob in knobs if knob.settings}
    return sorted(found.values(), key=lambda knob: knob.settings[0].size)
