"""Does any board stand in another? Counted with boxes; the solids must agree in the tests."""

from collections.abc import Iterator
from itertools import combinations

from kit.board import Board
from kit.casework import Casework
from kit.finding import Finding, Sense, judge

#: Common volume that is rounding, mm3.
TOLERANCE = 1.0


def common_mm3(one: Board, other: Board) -> float:
    """Volume in mm3 that two boards share; holes, slots and chamfers count as wood."""
    if one.box.common(other.box) is None:
        return 0.0
    return sum(
        shared.volume_mm3
        for a in one.solid_boxes
        for b in other.solid_boxes
        if (shared := a.common(b)) is not None
    )


def check_clashes(casework: Casework) -> Iterator[Finding]:
    """One finding for each pair that clashes; one for all where none does."""
    clashes = [
        (one, other, volume)
        for one, other in combinations(casework.boards, 2)
        if (volume := common_mm3(one, other)) > TOLERANCE
    ]
    for one, other, volume in clashes:
        yield judge(
            "boards apart",
            f"{one.name} and {other.name}",
            volume,
            TOLERANCE,
            sense=Sense.AT_MOST,
            unit="mm3",
            why=f"{one.name} and {other.name} want the same {volume / 1000:.1f} cm3; "
            "move one of them or make it smaller.",
            source="common-practice",
            boards=(one.name, other.name),
        )
    if not clashes:
        yield judge(
            "boards apart",
            "all boards",
            0.0,
            TOLERANCE,
            sense=Sense.AT_MOST,
            unit="mm3",
            why=f"No two of the {len(casework.boards)} boards stand in each other.",
            source="common-practice",
        )
