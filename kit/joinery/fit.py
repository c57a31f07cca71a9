"""Named fits: how much wider a housing is cut than the board that goes into it."""

from enum import Enum


class Fit(Enum):
    """Gap in mm added to the mate's greatest measured thickness.

    Source: common practice, no source; the groove for a sliding door is the 2 mm of the
    builders' recipe in the table of fits of `DEVELOPERS.md`.
    """

    FLUSH = 0.0
    GLUED = 0.15
    EASY = 0.4
    SLIDING = 2.0

    @property
    def gap(self) -> float:
        """The gap in mm."""
        return self.value

    @property
    def plain(self) -> str:
        """The name as printed."""
        return self.name.lower()
