"""Scales of drawings: ISO 5455 for metric packs, those of the shop for inch packs."""

from collections.abc import Callable
from dataclasses import dataclass

from kit.units import System


@dataclass(frozen=True, slots=True)
class Scale:
    """One to `ratio`, with the words that are printed."""

    ratio: float
    words: str

    def on_paper(self, mm: float) -> float:
        """A length of the piece as it is drawn, mm."""
        return mm / self.ratio


#: Source: ISO 5455 (reductions; from memory); shop scales: common practice, no source.
SCALES = {
    System.METRIC: tuple(Scale(r, f"1:{r}") for r in (1, 2, 5, 10, 20, 50, 100)),
    System.INCH: (
        Scale(1, "full size"),
        Scale(2, "half size (1:2)"),
        Scale(4, "3 in = 1 ft (1:4)"),
        Scale(8, "1 1/2 in = 1 ft (1:8)"),
        Scale(12, "1 in = 1 ft (1:12)"),
        Scale(16, "3/4 in = 1 ft (1:16)"),
        Scale(24, "1/2 in = 1 ft (1:24)"),
        Scale(32, "3/8 in = 1 ft (1:32)"),
        Scale(48, "1/4 in = 1 ft (1:48)"),
        Scale(96, "1/8 in = 1 ft (1:96)"),
    ),
}


def largest_scale(system: System, fits: Callable[[Scale], bool], *, most: float = 1.0) -> Scale:
    """The largest scale that `fits`, not over one to `most`; the smallest of all if none does."""
    scales = [scale for scale in SCALES[system] if scale.ratio >= most]
    return next((scale for scale in scales if fits(scale)), scales[-1])
