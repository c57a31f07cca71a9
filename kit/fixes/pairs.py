"""Two changes together, for a finding that no single change cures without harm.

The first is one that brings the finding nearer, as far as it harms nothing; or one that cures
it and harms another finding, which the second then has to mend. On the design with the first a
second is searched for as one alone is, again with less and less of the first, and what is found is
spared as much of the first as it can be. All pairs are far too many to be tried: what is found
here is judged as any change is, and what is not found may exist.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import inf

from kit.edits.draft import Draft
from kit.finding import Finding
from kit.fixes.knob import Knob, Setting
from kit.fixes.search import Search

#: How many first changes are taken up: the least that cure it but for a harm, and those that bring
#: it nearest.
MOST_HARMFUL, MOST_NEARER = 4, 3
#: With how many amounts of the first change a second is searched for.
AMOUNTS = 4
#: After so many settings beside first changes no further second is looked for.
MOST_BESIDE = 300

type KnobsOn = Callable[[Draft, Finding], Sequence[Knob]]
"""What can be turned for a finding on a design."""


@dataclass(frozen=True, slots=True)
class _First:
    """A first change: how far its knob is turned, and the finding that a second has to mend."""

    knob: Knob
    number: int
    finding: Finding

    def numbers(self) -> list[int]:
        """All of it, and then less and less where it is a scale."""
        if not self.knob.ordered:
            return [self.number]
        return sorted({self.number * part // AMOUNTS for part in range(AMOUNTS + 1)}, reverse=True)


def pair(search: Search, finding: Finding, knobs: Sequence[Knob], on: KnobsOn) -> Setting | None:
    """A change of two parts that cures a finding and harms nothing, the least that is found.

    `knobs` are what `search` has tried alone, in vain.
    """
    firsts = [*_harmful(search, knobs), *_nearer(search, finding, knobs)]
    most = search.tried + MOST_BESIDE
    found = [pair for first in firsts for pair in _with(search, first, on, most)]
    if not found:
        return None
    first, number, second = min(found, key=lambda one: _both(*one).size)
    spared = [_both(first, less, second) for less in range(number + 1)]
    tried = search.least(Knob(first.knob.name, spared, first.knob.ordered), within=inf)
    return spared[-1] if tried is None else tried.setting


def _harmful(search: Search, knobs: Sequence[Knob]) -> list[_First]:
    """The least changes that cure it but for a harm: of a scale one, of other knobs each."""
    found: list[_First] = []
    for knob in knobs:
        judged = enumerate(map(search.judged, knob.settings))
        harms = ((n, t.harm) for n, t in judged if t is not None and t.cures and t.harm is not None)
        firsts = [_First(knob, number, harm) for number, harm in harms]
        found += firsts[:1] if knob.ordered else firsts
    found.sort(key=lambda first: first.knob.settings[first.number].size)
    return found[:MOST_HARMFUL]


def _nearer(search: Search, finding: Finding, knobs: Sequence[Knob]) -> list[_First]:
    """The changes that bring it nearest and harm nothing, the nearest first."""
    before = search.baseline.target_before
    found: list[tuple[float, _First]] = []
    for knob in knobs:
        targets = ((n, t.target) for n, t in enumerate(map(search.judged, knob.settings)) if t)
        margins = {n: target.margin for n, target in targets if target is not None}
        nearer = {n: m for n, m in margins.items() if m is not None and m > before + 1e-9}
        best = max(nearer, key=nearer.__getitem__, default=None)
        number = None if best is None else _furthest(search, knob, best)
        if best is not None and number is not None:
            # what is left of it brings the finding about as much nearer in proportion
            gain = (nearer[best] - before) * (number + 1) / (best + 1)
            found.append((gain, _First(knob, number, finding)))
    found.sort(key=lambda one: -one[0])
    return [first for _, first in found[:MOST_NEARER]]


def _furthest(search: Search, knob: Knob, best: int) -> int | None:
    """The number of the furthest setting up to the best that harms nothing; None where none is."""
    if search.harmless(knob.settings[best]):
        return best
    good, bad = -1, best if knob.ordered else 0
    while bad - good > 1:
        middle = (good + bad) // 2
        if search.harmless(knob.settings[middle]):
            good = middle
        else:
            bad = middle
    return good if good >= 0 else None


def _with(
    search: Search, first: _First, on: KnobsOn, most: int
) -> Iterator[tuple[_First, int, Setting]]:
    """The pairs that a first change is one of: it, its number on its knob, and the second.

    None once `most` settings were tried.
    """
    works: set[tuple[str, str]] | None = None
    for number in first.numbers():
        beside = search.beside(first.knob.settings[number])
        if beside is None:
            continue
        here = set[tuple[str, str]]()
        for knob in on(Draft.of(beside.text), first.finding):
            name = (knob.name, knob.settings[0].words)
            if search.tried >= most:
                return
            if knob.name == first.knob.name or (works is not None and name not in works):
                continue
            tried = beside.least(knob, within=inf)
            if tried is not None:
                here.add(name)
                yield first, number, tried.setting
        works = here
        if not works:
            return


def _both(first: _First, number: int, second: Setting) -> Setting:
    one = first.knob.settings[number]
    return Setting(
        f"{one.words} and {second.words}",
        one.size + second.size,
        lambda said: second.edited(one.edited(said)),
    )
