"""Changes that could cure a sag, each built and looked at again before it is offered."""

from collections.abc import Iterator, Mapping

from kit.casework import Casework, build
from kit.checks.loads import Loads
from kit.checks.strength.sag import Sag, sags
from kit.components.base import Beam, Legs
from kit.components.divider import Divider
from kit.components.shelf import Shelf
from kit.design import Design
from kit.errors import KitError
from kit.finding import Fix
from kit.materials import Lumber, material, sheet_goods
from kit.units import MM_PER_INCH, System, length, text

#: Heights of lipping and rail that are tried, mm more than now.
DEEPER = (10.0, 20.0, 30.0, 45.0, 60.0)
#: Places of the rails of a beam that are tried, mm in from the sides.
CLOSER = (300.0, 200.0, 150.0, 100.0, 50.0)
#: A board that a change leaves alone may come out so much worse, by the rounding of the solver.
SAME_USED = 1.0 + 1e-6
#: Least clear width of a bay that a new divider may make, mm; from memory.
LEAST_BAY = 200.0


class Tries:
    """How many boards may yet be built anew to try changes."""

    def __init__(self, boards: int) -> None:
        self.boards = boards

    def take(self, casework: Casework) -> bool:
        """Whether the piece may be built once more; if so, its boards are taken off."""
        self.boards -= len(casework.boards)
        return self.boards >= 0


def fix_for(
    casework: Casework, sag: Sag, before: Mapping[str, Sag], carried: Loads, tries: Tries
) -> Fix | None:
    """The first change with which the board keeps its limit, or None where none is found.

    The piece is built with it and solved anew; the other boards must not come out worse than
    they may, since a divider carries its load down to what is below; `before` is what they do now.
    """
    for fix, design in _changes(casework, sag):
        if not tries.take(casework):
            return None
        if _cures(design, sag, before, carried):
            return fix
    return None


def _cures(design: Design, sag: Sag, before: Mapping[str, Sag], carried: Loads) -> bool:
    try:
        changed = build(design)
    except KitError:
        return False
    found = sags(changed, carried(changed), sag.limit, brief=True).boards
    if sag.board not in found or found[sag.board].used > 1.0:
        return False
    return all(
        after.used <= SAME_USED * max(1.0, before[name].used if name in before else 1.0)
        for name, after in found.items()
    )


def _changes(casework: Casework, sag: Sag) -> Iterator[tuple[Fix, Design]]:
    design = casework.design
    for number, shelf in enumerate(casework.shelf_boards, start=1):
        if shelf.name == sag.board:
            yield from _shelf_changes(casework, number)
            return
    whole = sag.span_mm > max(bay.clear.size[0] for bay in casework.bays) * 1.5
    if not whole and sag.span_mm > 2 * LEAST_BAY:
        yield _divider(design, (sag.x0_mm + sag.x1_mm) / 2)
    if isinstance(design.base, Legs):
        for more in DEEPER:
            value = _said(design.base.rail_height + more, design.shop.units)
            base = design.base.model_copy(update={"rail_height": length(value)})
            yield Fix("base.rail_height", value), design.model_copy(update={"base": base})
    if isinstance(design.base, Beam):
        for rail_in in CLOSER:
            if rail_in < design.base.rail_in:
                value = _said(rail_in, design.shop.units)
                beam = design.base.model_copy(update={"rail_in": length(value)})
                yield Fix("base.rail_in", value), design.model_copy(update={"base": beam})
    for key in _thicker(design.case.stock):
        case = design.case.model_copy(update={"stock": key})
        yield Fix("case.stock", key), design.model_copy(update={"case": case})


def _divider(design: Design, at: float) -> tuple[Fix, Design]:
    """One more divider, like the others in joint."""
    value = _said(at, design.shop.units)
    like = design.dividers[0] if design.dividers else None
    made = (
        Divider.model_validate({"at": value})
        if like is None
        else like.model_copy(update={"at": length(value)})
    )
    fix = Fix(f"divider.{len(design.dividers) + 1}.at", value)
    return fix, design.model_copy(update={"dividers": (*design.dividers, made)})


def _shelf_changes(casework: Casework, number: int) -> Iterator[tuple[Fix, Design]]:
    design = casework.design
    shelf = design.shelves[number - 1]
    path = f"shelf.{number}"
    if shelf.lipping:
        for more in DEEPER:
            value = _said(shelf.lipping.height + more, design.shop.units)
            strip = shelf.lipping.model_copy(update={"height": length(value)})
            yield Fix(f"{path}.lipping.height", value), _with_shelf(design, number, lipping=strip)
    stock = shelf.stock or design.case.stock
    for key in _thicker(stock):
        yield Fix(f"{path}.stock", key), _with_shelf(design, number, stock=key)
    for layers in range(shelf.layers + 1, 5):
        yield Fix(f"{path}.layers", str(layers)), _with_shelf(design, number, layers=layers)


def _with_shelf(design: Design, number: int, **changes: object) -> Design:
    shelves: list[Shelf] = list(design.shelves)
    shelves[number - 1] = shelves[number - 1].model_copy(update=changes)
    return design.model_copy(update={"shelves": tuple(shelves)})


def _thicker(key: str) -> list[str]:
    """Sheets of the same name that are thicker, thinnest first."""
    row = material(key)
    if isinstance(row, Lumber):
        return []
    same = [r for r in sheet_goods().values() if r.name == row.name]
    thicker = [r for r in same if r.nominal_mm > row.nominal_mm]
    return [r.key for r in sorted(thicker, key=lambda r: r.nominal_mm)]


def _said(mm: float, system: System) -> str:
    """A length as it is written in a design file: whole quarter inches, or whole 5 mm."""
    if system is System.INCH:
        step = MM_PER_INCH / 4
        return text(round(mm / step) * step, system)
    return f"{round(mm / 5) * 5} mm"
