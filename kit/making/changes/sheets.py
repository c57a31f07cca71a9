"""Which sheets are laid out otherwise, and which labels are void."""

from collections.abc import Iterator
from dataclasses import replace

from kit.casework import Casework
from kit.making.changes.report import Kind, LabelChange, SheetChange
from kit.making.labels import Label, labels
from kit.making.nesting.layout import SheetLayout
from kit.making.sheet_data import sheet_name
from kit.making.sheets import SheetPlan
from kit.units import System

#: Two places on a sheet closer than this are one, mm.
SAME_PLACE = 0.05

type Planned = tuple[Casework, SheetPlan]


def sheet_changes(old: Planned, new: Planned) -> Iterator[SheetChange]:
    """The sheets on which a piece lies elsewhere, came or went."""
    before, after = _layouts(*old), _layouts(*new)
    for name in dict.fromkeys((*before, *after)):
        was, now = before.get(name, {}), after.get(name, {})
        moved = tuple(p for p in dict.fromkeys((*was, *now)) if was.get(p) != now.get(p))
        if moved:
            kind = Kind.ADDED if not was else Kind.REMOVED if not now else Kind.CHANGED
            yield SheetChange(name, kind, moved)


def _layouts(casework: Casework, plan: SheetPlan) -> dict[str, dict[str, tuple[object, ...]]]:
    """By the name of each sheet, where each of its pieces lies."""
    return {
        f"{one.stock.label}, {sheet_name(casework, one, sheet)}": _places(sheet)
        for one in plan.stocks
        for sheet in one.layout.sheets
    }


def _places(sheet: SheetLayout) -> dict[str, tuple[object, ...]]:
    def near(mm: float) -> int:
        return round(mm / SAME_PLACE)

    found: dict[str, tuple[object, ...]] = {}
    for one in sheet.placements:
        rect = one.rect
        sides = (rect.x_mm, rect.y_mm, rect.length_mm, rect.width_mm)
        found[one.piece.name] = (*map(near, sides), one.turned)
    return found


def label_changes(old: Planned, new: Planned, system: System) -> Iterator[LabelChange]:
    """The labels that say something else now, or whose board is gone."""
    after = {label.name: label for label in labels(*new, system)}
    for was in labels(*old, system):
        now = after.get(was.name)
        if now is None:
            yield LabelChange(was.name, was.mark, Kind.REMOVED, ())
        elif replace(was, design="") != replace(now, design=""):
            yield LabelChange(was.name, was.mark, Kind.CHANGED, tuple(_other_lines(was, now)))


def _other_lines(was: Label, now: Label) -> Iterator[str]:
    for line in Label.__slots__:
        if line != "design" and getattr(was, line) != getattr(now, line):
            yield line
