"""The groove: a channel with the grain, for a panel or as the track of a sliding door."""

from dataclasses import dataclass

from kit.board import Board, Operation
from kit.joinery.trench import Trench

#: Least wood beside a groove, mm: the land of the plain-groove recipe for sliding doors.
LEAST_LAND = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Groove(Trench):
    """A channel with the length, its near wall `offset` mm from edge 1.

    At least 6 mm of wood beside it and half the thickness under it.
    Source: builders' recipe for grooves of sliding doors (6 mm); common practice (half).
    """

    run = 0
    operation = Operation.GROOVE

    def least_land(self, board: Board) -> float:
        """Least wood beside the groove, mm."""
        return LEAST_LAND
