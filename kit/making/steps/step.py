"""One step of the work, and what every step has to say about safety."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from kit.board import Board
from kit.components.made import Fastening


class Phase(Enum):
    """What a step is, in the order in which work begins."""

    SHEETS = "sheets"
    ROUGH = "rough cuts"
    LAMINATE = "laminating"
    FINAL = "final cuts"
    EDGING = "edging"
    MACHINE = "machining"
    DRY_FIT = "dry fit"
    FIT = "cut to fit"
    LIPPING = "lipping"
    SAND = "sanding"
    FINISH = "finishing"
    ADDED = "boards of your own"
    GLUE_UP = "glue-up"
    BASE = "base"
    LEVEL = "levelling"
    FITTINGS = "fittings"
    BACKS = "backs"
    PLACE = "placing"
    ANCHOR = "anchor"
    SHELVES = "shelves"
    CABLES = "cables"
    DOORS = "doors"
    SCREEN = "screen"


#: In one of these every board gets its place in the piece.
INSTALLING = (
    Phase.LIPPING,
    Phase.ADDED,
    Phase.GLUE_UP,
    Phase.BASE,
    Phase.DOORS,
    Phase.BACKS,
    Phase.SHELVES,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step. `boards` are those it works on, `settings` the numbers of the set-up sheet,
    `items` the keys of the buy list that it uses up. A `gate` has to be passed before going on.
    """

    number: int
    phase: Phase
    title: str
    lines: tuple[str, ...]
    boards: tuple[str, ...] = ()
    settings: tuple[int, ...] = ()
    fastenings: tuple[Fastening, ...] = ()
    items: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    gate: bool = False


BLADES = (
    "Guards on, eyes and ears protected, hands clear of the blade; follow the manual of each "
    "machine."
)
DUST = "Wood dust harms the lungs: use extraction and a mask."
LIFT = "Lift in twos; clear the way first."
FUMES = "Air the room and keep flames away; follow the label."
RAGS = "Rags with oil can catch fire by themselves: dry them spread out in the open, or in water."
TIP = (
    "A console can tip under a pulled screen or a climbing child; the strap is no substitute for "
    "watching over children. Mind wires and pipes in the wall, and local codes."
)
WALL = "Mind wires and pipes in the wall before you drill, and follow local codes."
MAINS = "Leave mains wiring to licensed people."


def step(
    phase: Phase,
    title: str,
    lines: Iterable[str],
    *,
    boards: Iterable[Board] = (),
    settings: Iterable[int] = (),
    fastenings: Iterable[Fastening] = (),
    items: Iterable[str] = (),
    cautions: Iterable[str] = (),
    gate: bool = False,
) -> Step:
    """A step that has no number yet; each of its items once."""
    return Step(
        number=0,
        phase=phase,
        title=title,
        lines=tuple(lines),
        boards=tuple(board.name for board in boards),
        settings=tuple(settings),
        fastenings=tuple(fastenings),
        items=tuple(dict.fromkeys(items)),
        cautions=tuple(cautions),
        gate=gate,
    )
