"""The groove: a channel with the grain, for a panel or as the track of a sliding door."""

from dataclasses import dataclass

from kit.board import Board, Operation
from kit.joinery.trench import Trench

#: Least wood beside a groove, mm: the land of the plain-groove recipe for sliding doors.
LEAST_LAND = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Groove(Trench):
    """A channel with the length, its near wall `offset` mm from edge 1.

    At least 6 mm of wood beside it and two fifths of the thickness under it: the recipe for
    sliding doors cuts 9 mm into an 18 mm top. Source: trade article on sliding doors in plain
    grooves (6 mm, 9 mm); common practice (the share).
    """

    run = 0
    operation = Operation.GROOVE
    least_left = 0.4

    def least_land(self, board: Board) -> float:
        """Least wood beside the groove, mm."""
        return LEAST_LAND
