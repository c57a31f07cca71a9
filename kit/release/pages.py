"""What drawings say besides lists: marks, dimensions, bores, areas and counts."""

from collections import Counter
from collections.abc import Iterable, Iterator

from kit.board import Board, Surface
from kit.errors import UnitError
from kit.release.printed import (
    Drawn,
    Printed,
    PrintedArea,
    PrintedBore,
    PrintedCount,
    PrintedSize,
    PrintedStation,
)
from kit.release.sizes import compare_size
from kit.release.trenches import SAME, channels, ends
from kit.release.truth import Truth
from kit.release.words import area_agrees
from kit.solid import Bore, Measures
from kit.units import Step, length


def compare_marks(drawn: Drawn, listed: Iterable[str]) -> Iterator[str]:
    """Marks on drawings that are not in the cut list, and those that no drawing shows."""
    listed = dict.fromkeys(listed)
    shown = {mark for marks in drawn.marks.values() for mark in marks}
    for page, marks in drawn.marks.items():
        strange = [mark for mark in dict.fromkeys(marks) if mark not in listed]
        if strange:
            yield f"{page} shows {_marks(strange)}, not in the cut list"
    missing = [mark for mark in listed if mark not in shown]
    if missing:
        yield f"no drawing shows {_marks(missing)} of the cut list"


def compare_printed(truth: Truth, printed: Iterable[Printed]) -> Iterator[str]:
    """Why the numbers on pages are not those of the solids; nothing where they are."""
    bores: list[PrintedBore] = []
    for one in printed:
        if isinstance(one, PrintedCount):
            yield from _compare_count(truth, one)
        elif one.board not in truth.solids:
            yield f"{one.where}: there is no board {one.board!r}"
        elif isinstance(one, PrintedBore):
            bores.append(one)
        elif isinstance(one, PrintedSize):
            yield from compare_size(truth, one)
        else:
            try:
                yield from _compare_measure(truth, one)
            except UnitError as error:
                yield f"{one.where}: {one.board} cannot be read: {error}"
    yield from _compare_bores(truth, bores)


def stations(board: Board, solid: Measures, axis: int) -> tuple[float, ...]:
    """Every place along a board axis where a dimension may end: edges, walls, holes; mm.

    And where a channel ends in another one: no wall stands there any more.
    """
    places = set(solid.planes[axis])
    for bore in solid.bores:
        reach = 0.0 if bore.axis == axis else bore.diameter / 2
        for end in (bore.start[axis], bore.end[axis]):
            places |= {end - reach, end, end + reach}
    for opening in solid.openings if axis < 2 else ():
        lo, hi = opening.lo[axis], opening.hi[axis]
        places |= {lo, (lo + hi) / 2, hi}
    for surface in (Surface.FACE_A, Surface.FACE_B) if axis < 2 else ():
        for channel in channels(solid, surface, 1 - axis):
            places |= {end for side in ends(board, channel) for end in side}
    return tuple(sorted(places))


def _compare_measure(truth: Truth, one: PrintedStation | PrintedArea) -> Iterator[str]:
    solid, named = truth.solids[one.board], truth.named(truth.casework.by_name[one.board])
    if isinstance(one, PrintedArea):
        if not area_agrees(one.words, solid.open_mm2):
            yield (
                f"{one.where}: the open area of {named} says {one.words}, "
                f"and its solid has {solid.open_mm2 / 100:.1f} cm²"
            )
        return
    yield from _compare_station(truth, one)


def _compare_station(truth: Truth, one: PrintedStation) -> Iterator[str]:
    """The far end is a size of the board, printed as lists print it; all else is a place."""
    board = truth.casework.by_name[one.board]
    shown, solid = truth.drawn(board)
    places = stations(shown, solid, one.axis)
    fine = one.fine or one.axis == 2
    if fine:
        right = any(truth.fine(one.words, place) for place in places)
    else:
        end = solid.size[one.axis]
        inner = (place for place in places if abs(place - end) > SAME)
        right = truth.size_agrees(one.words, end) or any(truth.agrees(one.words, p) for p in inner)
    if not right:
        way = ("length", "width", "thickness")[one.axis]
        near = min(places, key=lambda place: abs(place - length(one.words)))
        if fine:
            said = truth.say(near, Step.CALIPER)
        else:
            said = truth.say(near) if abs(near - end) > SAME else truth.say_size(near)
        yield (
            f"{one.where}: {truth.named(board)} says {one.words} along its {way}, and its solid "
            f"has nothing there; the nearest is at {said}"
        )


def _compare_count(truth: Truth, one: PrintedCount) -> Iterator[str]:
    boards = truth.casework.boards
    count = sum(board.stock.key == one.stock for board in boards) if one.stock else len(boards)
    if count != one.number:
        what = f" of {one.stock}" if one.stock else ""
        yield f"{one.where}: it says {one.number} boards{what}, and there are {count}"


def _compare_bores(truth: Truth, bores: Iterable[PrintedBore]) -> Iterator[str]:
    said: Counter[tuple[str, str, str, str, Surface | None]] = Counter()
    for one in bores:
        said[one.where, one.board, one.diameter, one.depth, one.surface] += one.count
    for (where, name, diameter, depth, surface), count in said.items():
        named = truth.named(truth.casework.by_name[name])
        what = f"holes {diameter} wide, {f'{depth} deep' if depth else 'through'}"
        if surface:
            what += f", in {surface.plain}"
        try:
            there = sum(
                _is_bore(truth, bore, diameter, depth, surface) for bore in truth.solids[name].bores
            )
        except UnitError as error:
            yield f"{where}: {named} cannot be read: {error}"
            continue
        if there != count:
            yield f"{where}: {named} says {count} {what}, and its solid has {there}"


def _is_bore(truth: Truth, bore: Bore, diameter: str, depth: str, surface: Surface | None) -> bool:
    if not truth.fine(diameter, bore.diameter):
        return False
    if bool(depth) is bore.through:
        return False
    if depth and not truth.fine(depth, bore.length):
        return False
    if surface is None or bore.axis is None:
        return True
    inwards = (bore.end[surface.axis] < bore.start[surface.axis]) is surface.far
    return bore.axis == surface.axis and (bore.through or inwards)


def _marks(marks: list[str]) -> str:
    most = 12
    more = f" and {len(marks) - most} more" if len(marks) > most else ""
    return f"mark{'s' * (len(marks) > 1)} {', '.join(marks[:most])}{more}"
