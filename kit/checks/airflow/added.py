"""Boards that the maker added, as walls: what they cover of an opening, and where they part air.

By their boxes alone: what such a board is for, the kit does not know.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from kit.board import Board
from kit.casework import Casework
from kit.checks.airflow.network import Mouth, Network, Opening, Zone
from kit.checks.airflow.site import LEAST_MM
from kit.geometry import Box, bounds

#: Boards that close more than this share of a section of a zone part its air in two. An estimate:
#: the way past them is then smaller than they are, and the air no longer mixes as one.
PARTS = 0.5
#: An opening with less than this share free is shut.
SHUT = 1e-6


def added_boards(casework: Casework) -> tuple[Board, ...]:
    """The boards that were added to the piece."""
    return tuple(casework.by_name[name] for name in casework.added)


def less_covered(openings: Iterable[Opening], boards: Sequence[Board]) -> Iterator[Opening]:
    """The openings with the area that boards leave free; all of it where there is no mouth."""
    for opening in openings:
        free = min((free_share(mouth, boards) for mouth in opening.mouths), default=1.0)
        yield replace(opening, area_m2=opening.area_m2 * free) if free < 1.0 else opening


def free_share(mouth: Mouth, boards: Iterable[Board]) -> float:
    """The share of a mouth that boards leave free, 0 to 1.

    A board covers what it lies before, but for the holes through it. One that stands off leaves
    the way round it: as wide as it stands off, along all edges of what it shades.
    """
    axis, whole = mouth.axis, bounds(mouth.boxes)
    field, rest = _flat(whole, axis), [_flat(box, axis) for box in mouth.boxes]
    area = sum(box.volume_mm3 for box in rest)
    lost = 0.0
    # what stands nearest covers first: to what is behind it less is left
    for off, board in sorted(((_off(whole, b.box, axis), b) for b in boards), key=lambda x: x[0]):
        shade = field.common(_flat(board.box, axis))
        if shade is None:
            continue
        shaded = [common for box in rest if (common := box.common(shade)) is not None]
        covered = sum(box.volume_mm3 for box in shaded) - _holes_mm2(board, axis, shaded)
        rest = [piece for box in rest for piece in box.less(shade)]
        edges = 2.0 * (sum(shade.size) - shade.size[axis])
        lost += max(0.0, covered - off * edges)
    free = 1.0 - lost / area if area > 0.0 else 1.0
    return free if free > SHUT else 0.0


def parted(zones: Sequence[Zone], boards: Sequence[Board]) -> Mapping[int, tuple[str, ...]]:
    """The zones whose air boards part in two, by number, each with the names of those boards."""
    found = {}
    for number, zone in enumerate(zones):
        inside = [(b.name, part) for b in boards if (part := b.box.common(zone.box)) is not None]
        names = next((n for _, part in inside for n in _parting(zone.box, part, inside)), None)
        if names:
            found[number] = names
    return found


def unknown_air(ways: Network, casework: Casework) -> Mapping[int, str]:
    """By number of the bay, why the air of it is not known, in a sentence: added boards part it, or
    part the air behind or under the case that it draws on.
    """
    told: dict[int, str] = {}
    boards = added_boards(casework)
    for number, names in parted(ways.zones, boards).items() if boards else ():
        zone = ways.zones[number]
        beside = {
            ways.zones[n].bay
            for way in ways.openings
            if number in (way.a, way.b)
            for n in (way.a, way.b)
            if n >= 0
        }
        for bay in {zone.bay} if zone.bay else beside - {0}:
            told.setdefault(
                bay,
                f"{' and '.join(names)} part{'s' * (len(names) == 1)} the air "
                f"{'of ' * bool(zone.bay)}{zone.name} in two, and how it passes from one part to "
                "the other is not known. Make it a shelf or a divider of the design file, leave "
                "more than half of the way free, or go by a thermometer.",
            )
    return told


def _parting(zone: Box, part: Box, inside: Sequence[tuple[str, Box]]) -> Iterator[tuple[str, ...]]:
    """The boards on a section through the middle of one of them that close most of it, with air
    before and behind them."""
    for axis in range(3):
        at = part.centre[axis]
        cut = [(name, box) for name, box in inside if box.lo[axis] < at < box.hi[axis]]
        whole = bounds([box for _, box in cut])
        if whole.lo[axis] - zone.lo[axis] < LEAST_MM or zone.hi[axis] - whole.hi[axis] < LEAST_MM:
            continue
        free = [_flat(zone, axis)]
        for _, box in cut:
            free = [piece for rest in free for piece in rest.less(_flat(box, axis))]
        section = _flat(zone, axis).volume_mm3
        if sum(box.volume_mm3 for box in free) < (1.0 - PARTS) * section:
            yield tuple(name for name, _ in cut)


def _holes_mm2(board: Board, axis: int, shaded: Sequence[Box]) -> float:
    """How much of flat boxes lies before cuts that go right through a board along an axis."""
    total = 0.0
    for _, cuts in board.cuts_in_room:
        for cutter, box in cuts:
            if box.size[axis] < board.box.size[axis] - LEAST_MM:
                continue
            hole = _flat(box, axis)
            before = sum(c.volume_mm3 for part in shaded if (c := part.common(hole)) is not None)
            total += before * cutter.volume_mm3 / box.volume_mm3
    return total


def _flat(box: Box, axis: int) -> Box:
    """A box as seen along an axis, 1 mm thick there: its volume is the area that it shows."""
    lo, hi = list(box.lo), list(box.hi)
    lo[axis], hi[axis] = 0.0, 1.0
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


def _off(one: Box, other: Box, axis: int) -> float:
    """How far two boxes stand apart along an axis, mm."""
    return max(0.0, one.lo[axis] - other.hi[axis], other.lo[axis] - one.hi[axis])
