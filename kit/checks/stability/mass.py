"""Centre of mass of the piece from its boards, with gear, content, doors and screen.

Boards count with their exact boxes and their mass by measured volume; gear with the middle of
its body. Room coordinates, mm.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from kit.board import Board
from kit.casework import Casework
from kit.checks.loads import Carried, feet_span
from kit.geometry import Vec
from kit.room import Screen


@dataclass(frozen=True, slots=True)
class Mass:
    """A mass in kg with its centre in the room, mm."""

    kg: float
    at: Vec


def together(masses: Iterable[Mass]) -> Mass:
    """All masses as one at their common centre. Raises ValueError where there is none."""
    masses = tuple(masses)
    kg = sum(m.kg for m in masses)
    if not kg > 0:
        raise ValueError("There is no mass to find the centre of.")
    x, y, z = (sum(m.kg * m.at[i] for m in masses) / kg for i in range(3))
    return Mass(kg, (x, y, z))


def board_mass(board: Board, shift_x: float = 0.0) -> Mass:
    """A board as built, moved `shift_x` mm to the right; holes and slots count as even."""
    boxes = board.solid_boxes
    volume = sum(box.volume_mm3 for box in boxes)
    x, y, z = (sum(box.volume_mm3 * box.centre[i] for box in boxes) / volume for i in range(3))
    return Mass(board.mass_kg, (x + shift_x, y, z))


def boards_masses(casework: Casework, doors_to: int = 0) -> Iterator[Mass]:
    """Every board; doors shut (0), or all slid to the left (-1) or right (1)."""
    shifts = {}
    for door in casework.doors.doors if casework.doors else ():
        to = {0: door.shut, -1: door.least, 1: door.most}[doors_to]
        shifts[door.board.name] = to - door.shut
    for board in casework.boards:
        yield board_mass(board, shifts.get(board.name, 0.0))


def content_masses(casework: Casework, carried: Carried) -> Iterator[Mass]:
    """Gear, and what else is spread on the boards but the screen and the doors."""
    names = {placed.item.name for placed in casework.gear} | casework.door_names
    for placed in casework.gear:
        if placed.kind.mass_kg is not None:
            yield Mass(placed.kind.mass_kg, placed.body.centre)
    for line in carried.lines:
        if line.what in names:
            continue
        box = casework.by_name[line.board].box
        # low things count by where they stand, a hand's height above it
        yield Mass(line.kg, ((line.x0_mm + line.x1_mm) / 2, box.centre[1], box.hi[2] + 100.0))


def screen_mass(casework: Casework, screen: Screen, *, forward: bool) -> Mass | None:
    """The screen at its middle, over the middle of its feet; None while its mass is not known.

    `forward` puts the feet flush with the front of the case, the worst that can be done.
    """
    if screen.mass_kg is None:
        return None
    front, rear = feet_span(casework, screen)
    y = (rear - front) / 2 if forward else (front + rear) / 2
    top = casework.frame.top.box.hi[2]
    return Mass(screen.mass_kg, (casework.design.case.width / 2, y, top + screen.middle))
