"""A published figure beside what the kit computes for it.

A file of `tests/outside/` gives its figures as data, `PUBLISHED`, by source. Its test holds each
of them (`@each`), and `outside_figures.py` lists those of all files: one fact in one place.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import pytest

from kit.sources import Kind, Seen, Source

#: A share of a value below which two floats are the same number, and what is told as exact.
SAME, ROUNDING = 1e-9, 1e-5


@dataclass(frozen=True, slots=True)
class Within:
    """How far ours may lie below and above theirs: in the unit of the figure, or as a share."""

    below: float
    above: float
    share: bool = False

    def __str__(self) -> str:
        if max(self.below, self.above) <= ROUNDING:
            return "exact"
        if self.share:
            return f"±{100 * self.above:.3g} %"
        if self.below == self.above:
            return f"±{self.above:.3g}"
        if self.below == float("inf"):
            return f"no more than {self.above:+.3g}" if self.above else "no more"
        if self.above == float("inf"):
            return "no less"
        low = f"{-self.below:+.3g}" if self.below else "0"
        return f"{low} to {self.above:+.3g}"


EXACT = Within(0.0, 0.0)


def by(most: float) -> Within:
    """Either way by at most this much, in the unit of the figure."""
    return Within(most, most)


def share(most: float) -> Within:
    """Either way by at most this share of what is published."""
    return Within(most, most, share=True)


NO_MORE, NO_LESS = Within(float("inf"), 0.0), Within(0.0, float("inf"))


@dataclass(frozen=True, slots=True)
class Figure:
    """One published figure: `theirs` a number or a range, `ours` computes the kit's."""

    what: str
    unit: str
    theirs: float | tuple[float, float]
    ours: Callable[[], float] = field(compare=False)
    within: Within = EXACT

    def __str__(self) -> str:
        return self.what

    def reproduced(self) -> Reproduced:
        """The figure with the kit's, computed now."""
        return Reproduced(self, float(self.ours()))


@dataclass(frozen=True, slots=True)
class Reproduced:
    """A figure and what the kit computed for it."""

    figure: Figure
    ours: float

    @property
    def off(self) -> float:
        """Ours less theirs; past the nearer end of a range, nought inside it."""
        theirs = self.figure.theirs
        low, high = theirs if isinstance(theirs, tuple) else (theirs, theirs)
        return self.ours - min(max(self.ours, low), high)

    @property
    def agrees(self) -> bool:
        """Whether ours lies as near to theirs as it should."""
        theirs, within = self.figure.theirs, self.figure.within
        size = max(map(abs, theirs if isinstance(theirs, tuple) else (theirs,)))
        unit = size if within.share else 1.0
        noise = SAME * size
        return -within.below * unit - noise <= self.off <= within.above * unit + noise

    @property
    def cells(self) -> tuple[str, ...]:
        """What, unit, published, ours, difference, allowed: as texts."""
        figure, theirs = self.figure, self.figure.theirs
        both = theirs if isinstance(theirs, tuple) else (theirs,)
        told = " to ".join(f"{value:.6g}" for value in both)
        off = 0.0 if abs(self.off) <= SAME * max(map(abs, both)) else self.off
        return (figure.what, figure.unit, told, f"{self.ours:.6g}", f"{off:+.2g}" if off else "0",
                str(figure.within))  # fmt: skip

    def __str__(self) -> str:
        what, unit, theirs, ours, off, within = self.cells
        return f"{what}: published {theirs} {unit}, ours {ours}, off by {off}, within {within}"


type Published = Mapping[Source, Sequence[Figure]]


def each(published: Published) -> pytest.MarkDecorator:
    """Gives a test each of the figures in turn, as `figure`, named by its source and words."""
    every = [(source, figure) for source, figures in published.items() for figure in figures]
    names = [f"{source.key}: {figure}" for source, figure in every]
    assert len(set(names)) == len(names), "two figures of one source say the same"
    return pytest.mark.parametrize("figure", [figure for _, figure in every], ids=names)


def held(figure: Figure) -> None:
    """Fail unless the kit reproduces the figure."""
    done = figure.reproduced()
    assert done.agrees, str(done)


def farthest(told: float, values: Sequence[float]) -> float:
    """That of several values of the kit which lies farthest from what is published."""
    return max(values, key=lambda value: abs(value - told))


def worked(told: Source) -> Source:
    """The rules of a source, with figures that are not printed in it: worked apart from the kit."""
    return replace(
        told,
        key=f"{told.key}-worked",
        title=f"Worked by hand after {told.title}",
        kind=Kind.COMPUTED,
        seen=Seen.OWN,
    )
