"""What a setting is cut with in this shop, and the cut in scrap that proves it."""

from collections.abc import Sequence
from dataclasses import dataclass

from kit.board import Board, Feature, Operation, SetUp
from kit.casework import Casework
from kit.components.doors import is_track
from kit.cutters import SawKind, boring_cutter, rabbeting_bit, saw, straight_bit
from kit.errors import TableError
from kit.joinery import Trench
from kit.shop import Shop

#: A bit within this of a width cuts it in one pass, mm.
EXACT = 0.05
_TRENCHES = (Operation.DADO, Operation.GROOVE, Operation.RABBET)


@dataclass(frozen=True, slots=True)
class Tooling:
    """The cutter to take, what to mind with it, and what a test cut has to prove."""

    cutter: str
    notes: tuple[str, ...] = ()
    test: str = ""


def tooling(setting: SetUp, cuts: Sequence[tuple[Board, Feature]], casework: Casework) -> Tooling:
    """The tooling of a setting, with the machines that the shop has."""
    test = _test([feature for _, feature in cuts], casework)
    try:
        cutter, *notes = _cutter(setting, cuts, casework.design.shop)
    except TableError as error:
        return Tooling(setting.tool, (str(error),), test)
    return Tooling(cutter, tuple(notes), test)


def _cutter(setting: SetUp, cuts: Sequence[tuple[Board, Feature]], shop: Shop) -> tuple[str, ...]:
    """The cutter, and then each thing to mind with it."""
    if setting.operation is Operation.BORE:
        return (boring_cutter(setting.width, setting.depth).name,)
    if setting.operation is Operation.SLOT:
        bit = straight_bit(setting.width)
        exact = abs(bit.diameter_mm - setting.width) <= EXACT
        return (bit.name,) if exact else (bit.name, "narrower than the slot: two passes a slot")
    if setting.operation not in _TRENCHES:
        return (setting.tool,)
    router, *notes = _routed(setting)
    stack = saw("dado-set")
    fits = stack.kerf_mm <= setting.width <= stack.kerf_max_mm
    if fits and not setting.stations and _on_table_saw(setting, [b for b, _ in cuts], shop):
        if setting.operation is Operation.RABBET:
            notes.append("dado set: clamp a sacrificial board to the fence, and bury the set in it")
        return f"{stack.label}, or {router}", *notes
    return router, *notes


def _routed(setting: SetUp) -> tuple[str, ...]:
    """The router bit of a trench, and how it is guided."""
    width, depth = setting.width, setting.depth
    if setting.operation is Operation.RABBET:
        bit = rabbeting_bit(width, depth)
        if bit.diameter_mm > width + EXACT:
            return bit.name, "router: the bit overhangs the edge; the guide sets the width"
        if bit.diameter_mm < width - EXACT:
            return bit.name, "router: clear the edge first, then cut to the line"
        return (bit.name,)
    bit = straight_bit(width, depth)
    passes = -int(-(width - EXACT) // bit.diameter_mm)
    notes = []
    if passes == 2:
        notes.append("router: two passes, the second against the other wall")
    elif passes > 2:
        notes.append(f"router: {passes} passes, the last against the other wall")
    if setting.operation is Operation.DADO:
        notes.append(
            "router: clamp a straightedge back from the near line by half the router's base less "
            "half the bit"
        )
    return bit.name, *notes


def _on_table_saw(setting: SetUp, boards: Sequence[Board], shop: Shop) -> bool:
    """Whether the shop has a table saw that handles every board of a setting."""
    table = shop.table_saw
    if table is None:
        return shop.sheet_saw.kind is SawKind.TABLE
    if setting.against.axis == 0:  # an end against the fence: the board is crosscut
        return all(board.length <= table.crosscut for board in boards)
    return setting.fence <= table.rip


def _test(features: Sequence[Feature], casework: Casework) -> str:
    """What a test cut in scrap of the same sheet has to prove, with what is there by then."""
    if any(is_track(feature) for feature in features) and casework.doors:
        door = casework.doors.doors[0].board
        like = "taped and finished" if door.edging and door.edged else "finished"
        return (
            f"cut a test groove in scrap first: an offcut of the {door.stock.label}, {like} like "
            "a door, must slide in it by its own weight"
        )
    for feature in features:
        if not isinstance(feature, Trench):
            continue
        mate = casework.by_name.get(feature.mate)
        if mate is None:
            continue
        scrap = f"an offcut of the thickest {mate.stock.label}"
        if mate.layers > 1:
            scrap = f"{mate.layers} glued layers of {mate.stock.label}"
        proof = "lie flush" if feature.operation is Operation.RABBET else "slide in by hand"
        return f"cut scrap first: {scrap} must {proof}"
    return ""
