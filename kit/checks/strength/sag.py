"""How far each board sags, now and after years, and what else it could carry.

A board is looked at over each stretch between two uprights and over its whole length: the eye
lays a straight line over either. The stretch that uses most of its limit speaks for the board.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

import numpy as np

from kit.casework import Casework
from kit.checks.loads import GRAVITY, Carried
from kit.checks.strength.creep import after_years
from kit.checks.strength.frame import CaseFrame, case_frame
from kit.checks.strength.solver import Floats

#: Gear that draws this much warms the board above it, W; by this much, K. From memory.
WARM_W, WARM_RISE = 30.0, 10.0


class Limit(Enum):
    """Sag that is allowed: (span / sag, its name as printed, key of its source)."""

    VISIBLE = (600.0, "L/600, what the eye notices (0.02 in per ft)", "memory")
    COMPOSITE_PANELS = (240.0, "L/240 of composite-panel makers", "panel-makers-sag")
    PLYWOOD = (192.0, "L/192 of plywood makers", "panel-makers-sag")
    WOODWORK = (144.0, "L/144 of the Architectural Woodwork Standards", "aws-2009")
    STEEL_SHELVING = (140.0, "L/140 of ANSI MH28.1", "mh28-1")

    @property
    def ratio(self) -> float:
        """Span over sag."""
        return self.value[0]

    @property
    def plain(self) -> str:
        """The name as printed."""
        return self.value[1]

    @property
    def source(self) -> str:
        """Key of its source."""
        return self.value[2]


@dataclass(frozen=True, slots=True)
class Sag:
    """The sag of one board over its worst stretch, mm; `used` is the share of `limit` taken up.

    `now_mm` and `later_mm` are over the stretch from `x0_mm` to `x1_mm`, `at_mm` the place of
    the greatest; `spare_kg` more, spread evenly over the board, would take up the whole limit.
    `warm_k` is how much warmer than the room it was taken to be.
    """

    board: str
    x0_mm: float
    x1_mm: float
    at_mm: float
    now_mm: float
    later_mm: float
    limit: Limit
    spare_kg: float
    warm_k: float

    @property
    def span_mm(self) -> float:
        """Length of the stretch, mm."""
        return self.x1_mm - self.x0_mm

    @property
    def allowed_mm(self) -> float:
        """Greatest sag that the limit allows over the stretch, mm."""
        return self.span_mm / self.limit.ratio

    @property
    def used(self) -> float:
        """Sag after years over what is allowed."""
        return self.later_mm / self.allowed_mm


@dataclass(frozen=True, slots=True)
class Sags:
    """The frame of a case now and after years, and the sag of its boards by name.

    There are no boards where the frame, as it is read, would give way without bending.
    """

    now: CaseFrame
    later: CaseFrame
    boards: Mapping[str, Sag]


def rises(casework: Casework) -> dict[str, float]:
    """How much warmer than the room a board is taken to be: right above gear that gives heat."""
    warm = {}
    for placed in casework.gear:
        if (placed.kind.typical_w or 0.0) < WARM_W:
            continue
        for board in casework.boards:
            box = board.box
            over = box.lo[0] < placed.body.hi[0] and box.hi[0] > placed.body.lo[0]
            if over and abs(box.lo[2] - placed.space.hi[2]) < 20.0 and board.place.out.axis == 2:
                warm[board.name] = WARM_RISE
    return warm


def sags(
    casework: Casework,
    carried: Carried,
    limit: Limit = Limit.VISIBLE,
    *,
    only: str | None = None,
) -> Sags:
    """The sag of top, bottom and shelves under their own weight and what they carry.

    Of one of these boards where `only` names it: the frame is the same, and soon read.
    """
    now = case_frame(casework, carried)
    warm = rises(casework)
    factors = {
        run.board.name: after_years(run.board.stock.key, warm.get(run.board.name, 0.0))
        for run in now.runs
    }
    later = now.crept(factors)
    level = [run.board.name for run in now.runs if run.board.place.out.axis == 2]
    if only is not None:
        level = [name for name in level if name == only]
    found = {}
    try:
        for name in level:
            more = later.bearing(name, 1.0)
            found[name] = _worst(name, now, later, more, limit, warm.get(name, 0.0))
    except np.linalg.LinAlgError:
        return Sags(now, later, {})
    return Sags(now, later, found)


def dip(xs: Floats, zs: Floats, x0: float, x1: float) -> tuple[float, float]:
    """Greatest depth below the straight line from `x0` to `x1`, and where it is, mm.

    `zs` are displacements up at stations `xs`, both mm, in ascending order of `xs`.
    """
    within = (xs >= x0 - 1e-6) & (xs <= x1 + 1e-6)
    x, z = xs[within], zs[within]
    chord = z[0] + (z[-1] - z[0]) * (x - x[0]) / (x[-1] - x[0])
    depth = chord - z
    deepest = int(depth.argmax())
    return float(depth[deepest]), float(x[deepest])


def _worst(
    name: str, now: CaseFrame, later: CaseFrame, more: CaseFrame, limit: Limit, warm: float
) -> Sag:
    run = now.run(name)
    x0, x1 = run.stations[0], run.stations[-1]
    ends = [x0, *(x for x in now.marks if x0 + 1 < x < x1 - 1), x1]
    stretches = list(pairwise(ends))
    if len(ends) > 2:
        stretches.append((ends[0], ends[-1]))
    first, last, loaded = now.line(name), later.line(name), more.line(name)
    worst = None
    spare = float("inf")
    for x0, x1 in stretches:
        deep, at = dip(*last, x0, x1)
        allowed = (x1 - x0) / limit.ratio
        extra = dip(*loaded, x0, x1)[0] - deep
        if extra > 1e-9:
            # the load that was tried is 1 N for every mm of the board
            length = run.stations[-1] - run.stations[0]
            spare = min(spare, (allowed - deep) / extra * length / GRAVITY)
        sag = Sag(name, x0, x1, at, dip(*first, x0, x1)[0], deep, limit, 0.0, warm)
        if worst is None or sag.used > worst.used:
            worst = sag
    assert worst is not None  # a case has two sides at least
    return Sag(
        name,
        worst.x0_mm,
        worst.x1_mm,
        worst.at_mm,
        worst.now_mm,
        worst.later_mm,
        limit,
        max(0.0, spare),
        warm,
    )
