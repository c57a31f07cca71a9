"""How far each board sags, now and after years, and what else it could carry.

A board is looked at along its front, its middle and its rear. The eye lays a straight line over
each stretch between two uprights and over the whole length: what lies farthest off it, below or
above, is the sag. An end that stands out past the last thing that holds it droops below the level
of that place, or below the slope there where that is more; such an end may droop as much as a
span of twice its length may sag (common practice for cantilevers, from memory). The stretch that
uses most of its limit speaks for the board.

All of it with the typical stiffness of the joints; the worst is with the least.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from itertools import pairwise
from math import inf

import numpy as np

from kit.board import Board
from kit.casework import Casework
from kit.checks.airflow import board_rises
from kit.checks.loads import GRAVITY, Carried
from kit.checks.strength.carcase import Carcase, carcase
from kit.checks.strength.creep import after_years
from kit.checks.strength.plate import Floats
from kit.limits import SagLimit

#: An end that stands out less than this is not looked at, mm.
SHORT_END = 25.0
#: Places in which a piece of a board is looked at, as shares of its length.
SHARES = np.linspace(0.0, 1.0, 6)
#: Of more boards than these it is not asked what each could carry besides.
MANY = 40
#: Of more boards than these the sag is not worked out: time and memory grow faster than they do.
MOST_BOARDS = 80
#: What is said of a case that is a mechanism.
GIVES_WAY = (
    "As its boards are joined and held up, the case would give way like a hinge before anything "
    "bends, so that no sag can be calculated. Look at what carries it: a base, sides down to the "
    "floor, joints that do not turn."
)
#: A case that moves by more than this share of its length gives way without bending.
MOST_MOVED = 1.0


class Line(Enum):
    """Where along its depth a board is looked at."""

    FRONT = "at its front edge"
    MIDDLE = "in the middle of its depth"
    REAR = "at its rear edge"

    def y_mm(self, board: Board) -> float:
        """Its place in the room, mm."""
        lo, hi = board.box.lo[1], board.box.hi[1]
        return {Line.FRONT: lo, Line.MIDDLE: (lo + hi) / 2, Line.REAR: hi}[self]


@dataclass(frozen=True, slots=True)
class Sag:
    """The sag of one board over its worst stretch, mm; `used` is the share of `limit` taken up.

    `now_mm`, `later_mm` and `worst_mm`, after years with the joints at their least stiffness,
    are over the stretch from `x0_mm` to `x1_mm` on `line`, `at_mm` the place of the greatest.
    `free` says that the stretch is an end that nothing holds, `up` that the board bows upwards.
    `spare_kg` more, spread evenly over the board, would take up the whole limit. `warm_k` is how
    much warmer than the room it was taken to be. `most_mm` is allowed whatever the span.
    """

    board: str
    line: Line
    x0_mm: float
    x1_mm: float
    at_mm: float
    now_mm: float
    later_mm: float
    worst_mm: float
    limit: SagLimit
    spare_kg: float
    warm_k: float
    free: bool = False
    up: bool = False
    most_mm: float = inf

    @property
    def span_mm(self) -> float:
        """Length of the stretch, mm."""
        return self.x1_mm - self.x0_mm

    @property
    def allowed_mm(self) -> float:
        """Greatest sag that the limit allows over the stretch, mm."""
        return allowed_mm(self.span_mm, self.limit, self.most_mm, free=self.free)

    @property
    def used(self) -> float:
        """Sag after years over what is allowed."""
        return self.later_mm / self.allowed_mm


def allowed_mm(
    span_mm: float, limit: SagLimit, most_mm: float = inf, *, free: bool = False
) -> float:
    """Greatest sag that a limit allows over a stretch, or the droop of a free end, mm.

    Never more than `most_mm`.
    """
    return min((2.0 if free else 1.0) * span_mm / limit.ratio, most_mm)


@dataclass(frozen=True, slots=True)
class Sags:
    """The case as it was read, how it lies after years, and the sag of its boards by name.

    Where there are no boards, `unknown` says why in a sentence.
    """

    carcase: Carcase | None
    later: Floats
    boards: Mapping[str, Sag]
    unknown: str = ""

    def line(self, name: str, y_mm: float) -> tuple[Floats, Floats]:
        """How a level board lies after years on a line along it: stations and way up, mm."""
        assert self.carcase is not None
        panel = self.carcase.panel(name)
        assert panel.plate is not None
        xs = _stations(panel.plate.stations)
        rows = panel.plate.rows(xs, np.full(len(xs), y_mm))
        return xs, (self.later[rows.places] * rows.shares).sum(axis=1)


def rises(casework: Casework) -> Mapping[str, float]:
    """How much warmer than the room each board is, K: as the air of the same report has it."""
    return board_rises(casework)


def sags(
    casework: Casework,
    carried: Carried,
    limit: SagLimit = SagLimit.VISIBLE,
    *,
    brief: bool = False,
    screwed: bool = False,
) -> Sags:
    """The sag of level boards under their own weight and what they carry.

    `brief` leaves out what is not needed to compare two designs: `now_mm`, the worst and what
    the boards could carry besides. `screwed` counts on backs that screws alone hold.
    """
    if (count := len(casework.boards)) > MOST_BOARDS:
        return Sags(
            None,
            np.zeros(0),
            {},
            f"The sag of so many boards is not calculated: there are {count}, and {MOST_BOARDS} is "
            "the most. Divide the piece into two designs, or accept that its sag is not known.",
        )
    case = carcase(casework, carried, screwed=screwed)
    warm = rises(casework)
    by_name = casework.by_name
    most = casework.design.limits.sag_most or inf
    soft = {
        name: after_years(by_name[name].stock.key, warm.get(name, 0.0))
        for name in case.structure.panels
    }
    try:
        now, later, worst = _solved(case, soft, brief)
    except np.linalg.LinAlgError:
        return Sags(case, np.zeros(case.structure.size), {}, GIVES_WAY)
    found = {}
    for number, board in enumerate(case.level):
        more = later[:, 1 + number] if later.shape[1] > 1 else None
        found[board.name] = _worst(
            case, board, (now, later[:, 0], worst), more, limit, most, warm.get(board.name, 0.0)
        )
    return Sags(case, later[:, 0], found)


def _solved(case: Carcase, soft: Mapping[str, float], brief: bool) -> tuple[Floats, Floats, Floats]:
    """The case now and at its worst, and after years also with more on each board."""
    structure = case.structure
    if not case.level:
        empty = np.zeros((structure.size, 1))
        return empty[:, 0], empty, empty[:, 0]
    loads = case.load[:, None]
    if not brief and len(case.level) <= MANY:
        loads = np.concatenate([loads, case.spread], axis=1)
    softest, stiffest = max(soft.values()), min(soft.values())
    if softest == stiffest:  # all creep alike, and so does the whole
        first = structure.solved(loads)
        now, later = first[:, 0], softest * first
    else:
        later = structure.solved(loads, soft)
        now = later[:, 0] if brief else structure.solved(case.load, soft=None)
    worst = later[:, 0] if brief else structure.solved(case.load, soft, least=True)
    stations = np.concatenate([p.stations for p in structure.panels.values()])
    for panel in structure.panels.values():
        if panel.plate:
            values = later[panel.plate.first : panel.plate.first + panel.plate.size, 0]
            if not np.abs(values).max() < MOST_MOVED * np.ptp(stations):
                raise np.linalg.LinAlgError("The case moves without bending.")
    return now, later, worst


def dip(xs: Floats, zs: Floats, x0: float, x1: float) -> tuple[float, float]:
    """Greatest way off the straight line from `x0` to `x1`, and where it is, mm.

    `zs` are displacements up at stations `xs`, both mm, in ascending order of `xs`; positive is
    below the line.
    """
    within = (xs >= x0 - 1e-6) & (xs <= x1 + 1e-6)
    x, z = xs[within], zs[within]
    chord = z[0] + (z[-1] - z[0]) * (x - x[0]) / (x[-1] - x[0])
    depth = chord - z
    deepest = int(np.abs(depth).argmax())
    return float(depth[deepest]), float(x[deepest])


def droop(xs: Floats, zs: Floats, held: float, end: float) -> tuple[float, float]:
    """Greatest droop of a free end below the level and the slope at `held`, and where it is, mm."""
    sign = 1.0 if end > held else -1.0
    ahead = sign * (xs - held)
    within = (ahead >= -1e-6) & (ahead <= abs(end - held) + 1e-6)
    order = np.argsort(ahead[within])
    x, z = ahead[within][order], zs[within][order]
    slope = (z[1] - z[0]) / (x[1] - x[0])
    depth = np.maximum(z[0] - z, z[0] + slope * (x - x[0]) - z)
    deepest = int(depth.argmax())
    return float(depth[deepest]), float(held + sign * x[deepest])


def _stations(stations: Floats) -> Floats:
    xs = stations[:-1, None] + SHARES * np.diff(stations)[:, None]
    return np.unique(xs.ravel())


def stretches(case: Carcase, board: Board) -> Iterator[tuple[float, float, bool]]:
    """From, to and whether nothing holds the second end."""
    ends = case.ends[board.name]
    yield from ((a, b, False) for a, b in pairwise(ends))
    if len(ends) > 2:
        yield ends[0], ends[-1], False
    floor = case.floor.get(board.name, ())
    held = (floor[0][0], floor[-1][1]) if floor else (ends[0], ends[-1])
    for at, end in zip(held, (board.box.lo[0], board.box.hi[0]), strict=True):
        if abs(end - at) > SHORT_END:
            yield at, end, True


def _worst(
    case: Carcase,
    board: Board,
    lies: Sequence[Floats],
    more: Floats | None,
    limit: SagLimit,
    most: float,
    warm: float,
) -> Sag:
    panel = case.panel(board.name)
    assert panel.plate is not None
    looked = list(stretches(case, board))
    marks = [x for a, b, _ in looked for x in (a, b)]
    xs = np.unique(np.concatenate([_stations(panel.plate.stations), marks]))
    worst: Sag | None = None
    spare = float("inf")
    for line in Line:
        rows = panel.plate.rows(xs, np.full(len(xs), line.y_mm(board)))
        now, later, least = ((u[rows.places] * rows.shares).sum(axis=1) for u in lies)
        loaded = None if more is None else (more[rows.places] * rows.shares).sum(axis=1)
        for x0, x1, free in looked:
            off = droop if free else dip
            deep, at = off(xs, later, x0, x1)
            allowed = allowed_mm(abs(x1 - x0), limit, most, free=free)
            if loaded is not None:
                # the load that was tried is 1 N for every mm of the board
                extra = abs(off(xs, later + loaded, x0, x1)[0]) - abs(deep)
                if extra > 1e-9:
                    kg = (allowed - abs(deep)) / extra * board.box.size[0] / GRAVITY
                    spare = min(spare, kg)
            if worst is not None and abs(deep) / allowed <= worst.used:
                continue
            first, last = (abs(off(xs, z, x0, x1)[0]) for z in (now, least))
            ends = min(x0, x1), max(x0, x1)
            sag = (at, first, abs(deep), last)
            worst = Sag(board.name, line, *ends, *sag, limit, 0.0, warm, free, deep < 0, most)
    assert worst is not None  # a level board is held by an upright at least
    return replace(worst, spare_kg=max(0.0, spare))
