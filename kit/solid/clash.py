"""Which boards stand in each other, by the kernel."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from kit.board import Board
from kit.solid.body import placed

#: Common volume up to which two boards merely touch, mm3: a film of 0.001 mm on 10 cm2.
TOUCH_MM3 = 1.0


@dataclass(frozen=True, slots=True)
class Clash:
    """Two boards that take the same space, and how much of it, mm3."""

    a: str
    b: str
    volume_mm3: float


def interference(boards: Sequence[Board], *, tolerance_mm3: float = TOUCH_MM3) -> tuple[Clash, ...]:
    """Every two boards that share more than `tolerance_mm3` of space, by the kernel.

    Only pairs whose blanks overlap are asked for; a common face is no overlap.

    Raises SolidError as `solid` does.
    """
    clashes = []
    for a, b in combinations(boards, 2):
        if a.box.common(b.box):
            # copies: the kernel widens the tolerances of what it intersects, and boards that are
            # alike share one solid, whose tolerances stand in every STEP file from then on
            shared = placed(a).copy().intersect(placed(b).copy()).Volume()
            if shared > tolerance_mm3:
                clashes.append(Clash(a.name, b.name, shared))
    return tuple(clashes)
