"""From a design to its boards: the one place where components meet.

    Design -> build() -> Casework (boards with joinery, bays, doors, gear, fastenings)

Everything after this, every check, list, drawing and solid, reads the `Casework`.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cached_property, wraps
from string import ascii_uppercase
from typing import Any

from kit.board import Board, Feature, Size
from kit.cabling import cable
from kit.components.back import back_made, plane
from kit.components.base import base_made
from kit.components.cables import OUTLET, SCREEN
from kit.components.case import case_made, frame
from kit.components.contents import Placed, place_gear
from kit.components.divider import bays as find_bays
from kit.components.divider import divider_boards, dividers_made
from kit.components.doors import DoorSet, doors_made, hang, open_bays, zone
from kit.components.extra import extra_made
from kit.components.fan import Mounted, fans_made
from kit.components.made import (
    HEIGHT,
    MOST_BOARDS,
    MOST_HOLES,
    MOST_PLACED,
    Bay,
    Fastening,
    Frame,
    Made,
    bounded,
)
from kit.components.shelf import Held, shelf_made
from kit.components.spaces import Spaces
from kit.components.stored import Stored, place_media
from kit.design import Design
from kit.errors import BuildError
from kit.geometry import SAME_MM, Box, bounds
from kit.materials import Stock, material, stock
from kit.units import cubic, force, in_both, spoken


@dataclass(frozen=True, slots=True)
class Makers:
    """Names of the boards that components made, by what they are: never those that were added.

    `shelves` are in the order of the design file, each with the strips on its edges after it;
    `panels` those of the back in that order.
    """

    shelves: tuple[tuple[str, ...], ...]
    panels: tuple[str, ...]
    base: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Casework:
    """A design that has been built: its boards in build order, and all that was solved.

    `frame` and the uprights of `bays` are blanks before any cut; `boards` carry their cuts.
    """

    design: Design
    boards: tuple[Board, ...]
    frame: Frame
    bays: tuple[Bay, ...]
    doors: DoorSet | None
    gear: tuple[Placed, ...]
    media: tuple[Stored, ...]
    fans: tuple[Mounted, ...]
    fastenings: tuple[Fastening, ...]
    makers: Makers
    added: tuple[str, ...] = ()
    """Boards that `having` added, by name: what they are for, the kit does not know."""

    @cached_property
    def by_name(self) -> Mapping[str, Board]:
        """The boards by name."""
        return {board.name: board for board in self.boards}

    @cached_property
    def shelf_boards(self) -> tuple[Board, ...]:
        """The boards of the shelves in the order of the design file."""
        return tuple(self.by_name[names[0]] for names in self.makers.shelves)

    def with_strips(self, board: str) -> tuple[Board, ...]:
        """A board, and the strips on the edges of it where it is a shelf that has them."""
        names = next((names for names in self.makers.shelves if names[0] == board), (board,))
        return tuple(self.by_name[name] for name in names)

    @cached_property
    def panels(self) -> tuple[Board, ...]:
        """The panels of the back in the order of the design file."""
        return tuple(self.by_name[name] for name in self.makers.panels)

    @cached_property
    def door_names(self) -> frozenset[str]:
        """Names of the doors."""
        return frozenset(d.board.name for d in self.doors.doors) if self.doors else frozenset()

    @cached_property
    def inside(self) -> tuple[Placed, ...]:
        """The devices that stand in a bay, not on the top."""
        return tuple(placed for placed in self.gear if placed.bay is not None)

    @cached_property
    def marks(self) -> Mapping[str, str]:
        """The letter of each board by name: A, B, ... Z, AA, in build order."""
        return {board.name: _letters(number) for number, board in enumerate(self.boards)}

    @cached_property
    def openings(self) -> Mapping[str, float]:
        """The clear openings as solved, by their key in the design file, mm."""
        height = {HEIGHT: self.frame.clear.size[2]}
        return height | {bay.opening: bay.clear.size[0] for bay in self.bays}

    def as_measured(self, board: Board, size: Size) -> Size:
        """A size of a board (finished, cut or rough), from the opening that was measured; mm.

        Only a board that is cut to fit an opening follows it; others keep their size.
        """
        opening = self.design.measured.opening
        if board.fit is None or board.fit.opening not in opening:
            return size
        more = opening[board.fit.opening] - self.openings[board.fit.opening]
        if board.fit.side == "width":
            return replace(size, width=size.width + more)
        return replace(size, length=size.length + more)

    def having(self, *made: Made) -> "Casework":
        """The same piece with these components added: their boards, cuts and fastenings.

        For what the design file cannot say. Checks, lists, solids and drawings see the boards
        like any other; the design, its file and its hash do not know of them.

        Raises BuildError for a board whose name is taken, and for a cut or fastening of a board
        that is not there.
        """
        more = Made.of(made)
        names = [board.name for board in (*self.boards, *more.boards)]
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise BuildError(f"There are two boards named {twice!r}; give one another name.")
        _refuse("a cut", (name for name, _ in more.cuts), dict.fromkeys(names))
        held = (name for f in more.fastenings for name in (f.board, *f.to.split(", ")))
        _refuse("a fastening", held, dict.fromkeys(names))
        boards = _cut(replace(more, boards=(*self.boards, *more.boards)))
        return replace(
            self,
            boards=boards,
            fastenings=(*self.fastenings, *more.fastenings),
            added=(*self.added, *(board.name for board in more.boards)),
        )

    def say(self, mm: float) -> str:
        """A length as the maker reads it: the tape from 1 in up, decimals below."""
        return spoken(mm, self.design.shop.units)

    def force(self, newtons: float) -> str:
        """A force as the maker reads it: pounds-force in a shop of inches, else newtons."""
        return force(newtons, self.design.shop.units)

    def room(self, mm: float) -> str:
        """A length that is left over, or says how much lacks where it is below zero."""
        return self.say(mm) if mm >= -SAME_MM else f"{self.say(-mm)} too little"

    def value(self, number: float | None, unit: str) -> str:
        """A measured value as the maker reads it: lengths as `say`, others with their unit.

        Units are those of `Finding`: one of a counted thing is written in the singular, a share
        "of the rays" in per cent, mm3 in cubic inches or centimetres, and N in pounds-force in a
        shop of inches. A length below zero is told as too little by so much.
        """
        if number is None:
            return "not known"
        if unit == "mm":
            return self.room(number)
        if unit == "mm3":
            return cubic(number, self.design.shop.units)
        if unit == "N":
            return self.force(number)
        if unit.startswith("of "):
            return f"{number:.0%} {unit}"
        digits = f"{number:.4g}"
        return f"{digits} {_singular(unit) if digits == '1' else unit}"

    @property
    def floor(self) -> float:
        """Height of the floor in the room's coordinates, mm: right under it, unless it hangs."""
        return self.box.lo[2] - (self.design.room.hangs_at or 0.0)

    @cached_property
    def box(self) -> Box:
        """The smallest box round all boards, mm."""
        return bounds([board.box for board in self.boards])

    @cached_property
    def mass_kg(self) -> float:
        """Mass of all boards, kg."""
        return sum(board.mass_kg for board in self.boards)

    @cached_property
    def stocks(self) -> tuple[Stock, ...]:
        """The stocks in use, each once, in build order."""
        return tuple(dict.fromkeys(board.stock for board in self.boards))

    @cached_property
    def _answers(self) -> dict[Hashable, Any]:
        """What has been found out `once`."""
        return {}


def _singular(unit: str) -> str:
    """One of what is counted: "lead", "diameter away from 3"; other units as they are."""
    first, *rest = unit.split(" ")
    return " ".join([first.removesuffix("s"), *rest])


def once[*Args, Answer](
    ask: Callable[[Casework, *Args], Answer],
) -> Callable[[Casework, *Args], Answer]:
    """A question that is asked of a casework once: the answer stays with it and goes with it.

    For what many checks, lists and pictures want to know. They all get the same object, so it
    has to be as frozen as the casework; further arguments have to be hashable.
    """

    @wraps(ask)
    def answer(casework: Casework, *args: *Args) -> Answer:
        key, answers = (ask, args), casework._answers
        if key not in answers:
            answers[key] = ask(casework, *args)
        found: Answer = answers[key]
        return found

    return answer


def build(design: Design) -> Casework:
    """Solve the boards of a design.

    Raises BuildError where no piece can be built from the numbers, and TableError for a
    material, edging, fitting, kind of gear or kind of cable that is not in the tables.
    """
    panels = design.back.panels if design.back else ()
    placed = len(design.holes) + sum(len(panel.holes) for panel in panels)
    bounded(placed, MOST_PLACED, "holes that are placed one by one")
    readings = design.measured.thickness
    known: dict[tuple[str, float | None], Stock] = {}

    def stock_of(key: str, planed_to: float | None = None) -> Stock:
        if (key, planed_to) not in known:
            measured = readings.get(key, ()) if planed_to is None else (planed_to,)
            known[key, planed_to] = stock(key, measured)
        return known[key, planed_to]

    shell = frame(design.case, stock_of)
    front = zone(design.doors, stock_of)
    rear = plane(design.back, design.case.depth, stock_of)
    if rear - front < 50.0:
        raise BuildError(
            f"The case is {in_both(design.case.depth)} deep, and doors and back leave "
            f"{in_both(rear - front)} of it; make the case deeper."
        )
    uprights = divider_boards(design.dividers, shell, front=front, rear=rear, stock_of=stock_of)
    closed = design.back.closed() if design.back else frozenset[int]()
    bays = find_bays(shell, uprights, front=front, rear=rear, closed=closed)
    trim = design.shop.trim
    pinned = {shelf.bay for shelf in design.shelves if shelf.held is Held.PINS}
    shelves = [
        shelf_made(number, shelf, bays, frame=shell, stock_of=stock_of, trim=trim, beside=pinned)
        for number, shelf in enumerate(design.shelves, start=1)
    ]
    doors = hang(design.doors, shell, bays, stock_of) if design.doors else None
    parts = [
        case_made(design.case, shell, front, rear),
        dividers_made(design.dividers, uprights, shell),
        *shelves,
    ]
    back = back_made(design.back, shell, bays, stock_of) if design.back else Made()
    parts.append(back)
    if doors:
        parts.append(doors_made(doors, shell))
    base = Made()
    if design.base:
        base = base_made(design.base, shell, uprights, stock_of=stock_of, trim=trim)
    parts.append(base)
    made = Made.of(parts)
    extra = extra_made(design.holes, design.notches, {b.name: b for b in made.boards})
    standing = [(s.bay, m.boards[0]) for s, m in zip(design.shelves, shelves, strict=True)]
    spaces = Spaces(shell, bays, standing)
    media = place_media(design.contents, spaces)
    boards = _cut(Made.of([made, extra]))
    bored, fans = fans_made(
        design.fans, design.back, {b.name: b for b in boards}, spaces, design.shop.units
    )
    casework = Casework(
        design=design,
        boards=_cut(Made.of([made, extra, bored])) if bored.cuts else boards,
        frame=shell,
        bays=bays,
        doors=doors,
        gear=place_gear(design.gear, design.cables, spaces, open_bays(design.doors, bays), media),
        media=media,
        fans=fans,
        fastenings=made.fastenings,
        makers=Makers(
            shelves=tuple(_names(shelf) for shelf in shelves),
            panels=_names(back),
            base=_names(base),
        ),
    )
    _check_names(casework)
    return casework


def _names(made: Made) -> tuple[str, ...]:
    return tuple(board.name for board in made.boards)


def _check_names(casework: Casework) -> None:
    """Refuse what the design file says of boards, openings or materials that are not there."""
    design = casework.design
    named = {"measured.cut": design.measured.cut}
    named |= {f"matched.{i}.boards": m.boards for i, m in enumerate(design.matched, start=1)}
    for field, names in named.items():
        _refuse(field, names, casework.by_name)
    _refuse("measured.opening", design.measured.opening, casework.openings)
    devices = [placed.item.name for placed in casework.gear]
    for number, name in enumerate(devices, start=1):
        if name in (SCREEN, OUTLET) or name in devices[: number - 1]:
            taken = "means something else" if name in (SCREEN, OUTLET) else "is taken"
            raise BuildError(f"gear.{number}.name is {name!r}, which {taken}; choose another.")
    ends = devices + [SCREEN] * (design.screen is not None)
    for number, run in enumerate(design.cables, start=1):
        _refuse(f"cable.{number}.from", [run.start], dict.fromkeys(ends))
        _refuse(f"cable.{number}.to", [run.end], dict.fromkeys([*ends, OUTLET]))
        if run.start == run.end:
            raise BuildError(f"cable.{number} joins {run.start!r} with itself; name its other end.")
        cable(run.kind)
    for key in (*design.measured.thickness, *(sheet.stock for sheet in design.sheets)):
        material(key)  # a sheet that this design does not use may stand in the file


def _refuse(field: str, names: Iterable[str], there: Mapping[str, object]) -> None:
    for name in names:
        if name not in there:
            near = get_close_matches(name, there, n=1)
            hint = f"did you mean {near[0]!r}?" if near else f"there are {', '.join(there)}."
            hint = hint if there else "there is none of the kind."
            raise BuildError(f"{field} names {name!r}, which is not in the design; {hint}")


def _cut(made: Made) -> tuple[Board, ...]:
    """The boards with every feature that any component wants in them."""
    bounded(len(made.boards), MOST_BOARDS, "boards")
    cuts = [feature for board in made.boards for feature in board.features]
    cuts += (feature for _, feature in made.cuts)
    bounded(sum(feature.hole_count for feature in cuts), MOST_HOLES, "holes")
    wanted: dict[str, list[Feature]] = defaultdict(list)
    for name, feature in made.cuts:
        wanted[name].append(feature)
    return tuple(board.having(*wanted[board.name]) for board in made.boards)


def _letters(number: int) -> str:
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = ascii_uppercase[rest] + letters
    return letters
