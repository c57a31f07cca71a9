"""How each board's length and width are printed: the inch edition and the metric one.

The inch edition prints boards to 1/32 in, the metric edition to whole or half millimetres, each
rounded from the true size by itself: neither is the other converted. A size is rounded to the
nearest tick, as long as that breaks no fit; where it would, the size goes down a tick, or up,
and where that breaks something too, to the next finer tick (1/64 in, 0.1 mm).

What a size may gain or lose comes from the boards as they stand (`rooms`), whatever they are
called: it may gain half of the free way to the next wood at its two ends, the other half being
its neighbour's, and lose half of what it reaches into its housing. Between two neighbours it
leaves a tick of that way, since what sets their distance may be printed a tick down itself.
Sliding doors keep the clearance they are lifted in by and the reach they are held by.

Further than that, sizes are judged one by one. What adds up along a row of boards is taken up
where the design says 'cut to fit': there the printed size is only what to expect.

Equal sizes print alike, so that one setting of the fence serves all boards of a size; so the
printed size follows from the true one, and every list that asks for it says the same.
Common practice, no source, is the ticks and the share that stays in a housing.
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import hypot

from kit.board import Board, Size
from kit.casework import Casework, once
from kit.edition.room import Room, Side, rooms
from kit.geometry import SAME_MM
from kit.units import Rounding, Step, System, length, residue, slight, text

__all__ = [
    "BoardEdition",
    "Edition",
    "Face",
    "Printed",
    "Refusal",
    "Room",
    "Side",
    "edition",
    "editions",
    "rooms",
]

#: Sizes closer than this print alike, mm: far below what one sets at a saw.
ALIKE = 0.01
#: The ticks that are tried, and which way at each.
_TRIES = tuple((step, way) for step in (Step.BOARD, Step.FINE) for way in Rounding)


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """A size that is not printed to the nearest tick, since the board would not fit then.

    `over` is what the printed size still lacks, where no tick holds it, mm; else nought.
    """

    board: str
    side: Side
    nearest: str
    printed: str
    over: float
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """One size as printed: what the board truly measures, what the text stands for (mm)."""

    true: float
    mm: float
    text: str

    @property
    def residue(self) -> float:
        """Printed minus true, mm."""
        return self.mm - self.true


@dataclass(frozen=True, slots=True)
class Face:
    """Width and length as printed."""

    width: Printed
    length: Printed

    @property
    def text(self) -> str:
        """`21 in x 77 9/16 in`."""
        return f"{self.width.text} x {self.length.text}"


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardEdition:
    """How the sizes of one board are printed: finished, cut, and rough out of the sheet.

    `fit` is the rule by which it is cut to fit, its allowance rounded so that it fits; empty
    for a board that is cut to the list.
    """

    name: str
    finished: Face
    cut: Face
    rough: Face
    fit: str


@dataclass(frozen=True, slots=True)
class _Wanted:
    """One side of one board that the edition has to print, and what it may gain and lose."""

    board: str
    side: Side
    true: float
    room: Room

    @property
    def low(self) -> float:
        return self.true - self.room.loss

    @property
    def high(self) -> float:
        return self.true + self.room.gain


@dataclass(frozen=True, kw_only=True)
class Edition:
    """The printed sizes of a design in one display system; made by `edition`."""

    system: System
    boards: Mapping[str, BoardEdition]
    refusals: tuple[Refusal, ...]
    _true: tuple[float, ...]
    _printed: tuple[Printed, ...]

    def printed(self, mm: float, rounding: Rounding = Rounding.NEAREST) -> Printed:
        """Any length that may be a board's size: as that board's, else to the tick of boards."""
        known = _nearest(self._true, mm)
        if known is not None:
            one = self._printed[known]
            return Printed(true=mm, mm=one.mm, text=one.text)
        return _at(mm, self.system, Step.BOARD, rounding)

    def text(self, mm: float) -> str:
        """`printed` as text."""
        return self.printed(mm).text

    def piece(self, mm: float) -> str:
        """A side of a piece to saw: the board's own where it is final, else not under `mm`."""
        return self.printed(mm, Rounding.UP).text

    def size(self, size: Size) -> str:
        """Width x length as printed."""
        return f"{self.text(size.width)} x {self.text(size.length)}"

    def diagonal(self, size: Size) -> str:
        """The diagonal of a board that is cut as printed."""
        across = hypot(self.printed(size.width).mm, self.printed(size.length).mm)
        return text(across, self.system, step=Step.BOARD)

    @cached_property
    def residues(self) -> Mapping[tuple[str, Side], float]:
        """Printed minus true of the cut size of every board, mm."""
        return {
            (name, side): one.residue
            for name, board in self.boards.items()
            for side, one in ((Side.LENGTH, board.cut.length), (Side.WIDTH, board.cut.width))
        }


def editions(casework: Casework, system: System) -> Mapping[str, BoardEdition]:
    """How every board is printed in one display system, by name in build order."""
    return edition(casework, system).boards


@once
def edition(casework: Casework, system: System) -> Edition:
    """The printed size of every board of a design, and where the nearest tick was refused."""
    room_of = rooms(casework)
    wanted = [w for board in casework.boards for w in _wanted(casework, board, room_of)]
    wanted.sort(key=lambda w: w.true)
    true: list[float] = []
    printed: list[Printed] = []
    refusals: dict[tuple[str, Side, str], Refusal] = {}
    for alike in _groups(wanted):
        first = alike[0].true
        chosen = _choose(first, alike, system)
        nearest = _at(first, system, Step.BOARD, Rounding.NEAREST)
        for one in alike:
            true.append(one.true)
            printed.append(Printed(true=one.true, mm=chosen.mm, text=chosen.text))
            if chosen.text != nearest.text:
                why = _why(alike, one, nearest, chosen, system)
                refusals[one.board, one.side, chosen.text] = Refusal(
                    board=one.board,
                    side=one.side,
                    nearest=nearest.text,
                    printed=chosen.text,
                    over=max(0.0, one.low - chosen.mm, chosen.mm - one.high),
                    why=why,
                )
    order = {name: number for number, name in enumerate(casework.by_name)}
    bare = Edition(
        system=system, boards={}, refusals=(), _true=tuple(true), _printed=tuple(printed)
    )
    return Edition(
        system=system,
        boards={board.name: _board(casework, board, bare, room_of) for board in casework.boards},
        refusals=tuple(sorted(refusals.values(), key=lambda r: (order[r.board], r.side.value))),
        _true=bare._true,
        _printed=bare._printed,
    )


def _board(
    casework: Casework,
    board: Board,
    printed: Edition,
    room_of: Mapping[tuple[str, Side], Room],
) -> BoardEdition:
    def face(size: Size) -> Face:
        size = casework.as_measured(board, size)
        return Face(printed.printed(size.width), printed.printed(size.length))

    return BoardEdition(
        name=board.name,
        finished=face(board.finished),
        cut=face(board.cut),
        rough=face(board.rough),
        fit=_fit(board, printed.system, room_of),
    )


def _fit(board: Board, system: System, room_of: Mapping[tuple[str, Side], Room]) -> str:
    """The rule of a board that is cut to fit; its allowance may gain and lose what the side may."""
    if board.fit is None:
        return ""
    room = room_of[board.name, Side[board.fit.side.upper()]]
    for step in (Step.JOINT, Step.FINE):
        for way in Rounding:
            more = residue(board.fit.plus, system, step=step, rounding=way)
            if -room.loss - SAME_MM <= more <= room.gain + SAME_MM:
                return board.fit.formula(system, step=step, rounding=way)
    return board.fit.formula(system, step=Step.FINE, rounding=Rounding.DOWN)


def _wanted(
    casework: Casework, board: Board, room_of: Mapping[tuple[str, Side], Room]
) -> list[_Wanted]:
    """The sizes of a board; the rough ones may be anything that leaves enough to cut."""
    finished, cut, rough = (
        casework.as_measured(board, size) for size in (board.finished, board.cut, board.rough)
    )
    found = []
    for side in Side:
        room = room_of[board.name, side]
        sizes = dict.fromkeys((side.of(finished), side.of(cut)))
        found += [_Wanted(board.name, side, true, room) for true in sizes]
        over = side.of(rough) - side.of(cut)
        if over > ALIKE:
            keep = Room(loss=max(0.0, over - 1.0), hold="its allowance")
            found.append(_Wanted(board.name, side, side.of(rough), keep))
    return found


def _groups(wanted: Sequence[_Wanted]) -> list[list[_Wanted]]:
    """Sizes in order, those together that print alike."""
    groups: list[list[_Wanted]] = []
    for one in wanted:
        if groups and one.true - groups[-1][-1].true <= ALIKE:
            groups[-1].append(one)
        else:
            groups.append([one])
    return groups


def _choose(first: float, alike: Sequence[_Wanted], system: System) -> Printed:
    """The first of the tries that fits all boards of a size; else the finest that is not long."""
    low, high = max(w.low for w in alike), min(w.high for w in alike)
    for step, way in _TRIES:
        one = _at(first, system, step, way)
        if low - SAME_MM <= one.mm <= high + SAME_MM:
            return one
    return _at(first, system, Step.FINE, Rounding.DOWN)


def _why(
    alike: Sequence[_Wanted], one: _Wanted, nearest: Printed, chosen: Printed, system: System
) -> str:
    """Why a size is not printed to the nearest tick."""
    word = "longer" if nearest.mm > one.true else "shorter"
    for other in (one, *alike):
        room = other.room
        if nearest.mm > other.high + SAME_MM:
            reason = f"{slight(room.gain, system)} to spare at {room.stop}"
        elif nearest.mm < other.low - SAME_MM:
            reason = f"{slight(room.loss, system)} to lose in {room.hold}"
        else:
            continue
        who = "it" if other is one or other.board == one.board else other.board
        size = "" if who == "it" else ", of the same size,"
        off = abs(nearest.mm - one.true)
        held = one.low - SAME_MM <= chosen.mm <= one.high + SAME_MM
        tight = "" if held else "; no finer tick holds it: cut it to fit"
        return (
            f"the nearest tick is {slight(off, system)} {word}, and {who}{size} has {reason}{tight}"
        )
    return "the nearest tick does not fit all boards of this size"


def _at(mm: float, system: System, step: Step, rounding: Rounding) -> Printed:
    words = text(mm, system, step=step, rounding=rounding)
    return Printed(true=mm, mm=length(words), text=words)


def _nearest(sizes: Sequence[float], mm: float) -> int | None:
    """The index of the size nearest to `mm`, of those that print alike; None where none does."""
    at = bisect_left(sizes, mm)
    near = [i for i in (at - 1, at) if 0 <= i < len(sizes) and abs(sizes[i] - mm) <= ALIKE]
    return min(near, key=lambda i: abs(sizes[i] - mm), default=None)
