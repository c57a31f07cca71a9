"""Cuts that the maker adds to a board by name: a cable hole in a divider, a notch."""

from collections.abc import Mapping, Sequence

from kit.board import Board, Feature, Surface
from kit.components.made import Made
from kit.components.spec import Spec
from kit.errors import BuildError
from kit.joinery import Hole, Notch
from kit.units.fields import NonNegativeLength, PositiveLength


class ExtraHole(Spec):
    """A hole through the faces of one board."""

    board: str
    """Name of the board."""
    along: PositiveLength
    """From end 1 to the middle of the hole, along the length."""
    across: PositiveLength
    """From edge 1 to the middle of the hole, across the width."""
    diameter: PositiveLength
    """Diameter of the cutter."""


class ExtraNotch(Spec):
    """A rectangle out of an edge, end or corner of one board."""

    board: str
    """Name of the board."""
    along: tuple[NonNegativeLength, NonNegativeLength]
    """From and to, along the length from end 1."""
    across: tuple[NonNegativeLength, NonNegativeLength]
    """From and to, across the width from edge 1."""


def extra_made(
    holes: Sequence[ExtraHole], notches: Sequence[ExtraNotch], boards: Mapping[str, Board]
) -> Made:
    """The cuts, each for its board. Raises BuildError where no board has that name."""
    cuts: list[tuple[str, Feature]] = []
    for hole in holes:
        _known("hole", hole.board, boards)
        feature = Hole(surface=Surface.FACE_A, at=(hole.along, hole.across), diameter=hole.diameter)
        cuts.append((hole.board, feature))
    for notch in notches:
        _known("notch", notch.board, boards)
        corners = zip(notch.along, notch.across, strict=True)
        lo, hi = corners
        cuts.append((notch.board, Notch(lo=lo, hi=hi)))
    return Made(cuts=tuple(cuts))


def _known(what: str, name: str, boards: Mapping[str, Board]) -> None:
    if name not in boards:
        raise BuildError(
            f"A {what} is meant for the board {name!r}, which is not in the design; "
            f"its boards are {', '.join(boards)}."
        )
