"""Parts that a design may have or not: doors, back, base and screen."""

from enum import Enum

from kit.components.cables import SCREEN
from kit.components.made import Bay
from kit.design import Design
from kit.edits.draft import Changes, Draft
from kit.edits.gear import without_cables
from kit.edits.references import with_references
from kit.errors import BuildError
from kit.materials import sheet_goods
from kit.toml_text import Value

#: Doors and back panels are cut from sheets about so thick, mm (common practice, no source).
DOOR_MM, PANEL_MM = 12.0, 6.0
#: How far the nearest sheet of the case's own kind may be from that; beyond it, another is taken.
OFF_MM = 3.5
#: Sheets for a case of a kind that comes in no thin sheets.
OTHER_DOOR, OTHER_PANEL = "birch-ply-12", "hardboard-1/4"
#: A bay narrower or lower than this gets no hole for cables in its panel, mm.
LEAST_FOR_HOLE = 150.0
#: Diagonals of usual screens, in; from memory.
SCREENS_IN = (32, 40, 43, 50, 55, 65, 75, 85)


class Part(Enum):
    """A part that may be absent, by its key in the design file."""

    DOORS = "doors"
    BACK = "back"
    BASE = "base"
    SCREEN = "screen"


def has_part(design: Design, part: Part) -> bool:
    """Whether a design has the part."""
    return getattr(design, part.value) is not None


def add_part(text: str, part: Part) -> str:
    """The design with a part that it lacks, in sizes to start from.

    Doors bypass each other and have holes to pull them by; the back has a panel a bay, one that
    comes off and has a hole for cables where devices stand; the base is a plinth; the screen is
    the largest usual one that is no wider than the case. Doors and back are of the plywood of
    the case where it comes in thin sheets. Raises KitError where the part is there already, or
    cannot be built.
    """
    draft = Draft.of(text)
    if has_part(draft.design, part):
        raise BuildError(
            f"The design has its {part.value} already; change what is there, or take it out first."
        )
    made = {
        Part.DOORS: _doors,
        Part.BACK: _back,
        Part.BASE: _base,
        Part.SCREEN: _screen,
    }[part](draft)
    return with_references(draft, {f"{part.value}{path}": row for path, row in made.items()})


def remove_part(text: str, part: Part) -> str:
    """The design without a part; cuts in its boards and cables to the screen go with it.

    Raises KitError where it is not there, or the rest cannot be built.
    """
    draft = Draft.of(text)
    if not has_part(draft.design, part):
        raise BuildError(f"The design has no {part.value} to take out; nothing was changed.")
    changes: Changes = {part.value: None}
    if part is Part.SCREEN:
        changes |= without_cables(draft, SCREEN)
    return with_references(draft, changes)


def close_bay(text: str, bay: int) -> str:
    """The design with a panel behind a bay that is open at the back, as `add_part` makes them.

    Raises KitError where there is no such bay, a panel closes it already, or it cannot be built.
    """
    draft = Draft.of(text)
    opened, back = draft.bay(bay), draft.design.back
    if not opened.open_back:
        raise BuildError(f"A panel of the back closes bay {bay} already; nothing was changed.")
    changes: Changes = {} if back else {"back": _back_table(draft)}
    number = len(back.panels) + 1 if back else 1
    return with_references(draft, changes | {f"back.panels.{number}": _panel(draft, opened)})


def _doors(draft: Draft) -> dict[str, Value]:
    # deep enough to hold the door, and half of the board left above it
    top_mm = max(7.5, 0.45 * draft.casework.frame.top.thickness)
    row: dict[str, Value] = {
        "stock": _sheet(draft, DOOR_MM, OTHER_DOOR),
        "layout": "bypass",
        "style": "pull-hole",
        "overlap": draft.usual("1 in", "25 mm"),
        "top_depth": draft.written(top_mm),
        "bottom_depth": draft.usual("1/8 in", "3 mm"),
    }
    if draft.design.case.edging:
        row["edging"] = draft.design.case.edging
    return {"": row}


def _back(draft: Draft) -> dict[str, Value]:
    bays = draft.casework.bays
    panels = {f".panels.{bay.number}": _panel(draft, bay) for bay in bays}
    return {"": _back_table(draft), **panels}


def _back_table(draft: Draft) -> dict[str, Value]:
    return {"stock": _sheet(draft, PANEL_MM, OTHER_PANEL), "method": "rabbeted"}


def _panel(draft: Draft, bay: Bay) -> dict[str, Value]:
    panel: dict[str, Value] = {"bays": [bay.number]}
    if any(placed.bay is bay for placed in draft.casework.gear):
        panel["removable"] = True
        wide, _, high = bay.clear.size
        if min(wide, high) > LEAST_FOR_HOLE:
            hole: dict[str, Value] = {"diameter": "60 mm", "across": draft.written(wide / 2)}
            panel["holes"] = [{**hole, "up": draft.usual("3 in", "75 mm")}]
    return panel


def _base(draft: Draft) -> dict[str, Value]:
    return {
        "": {
            "kind": "plinth",
            "height": draft.usual("4 in", "100 mm"),
            "toe": draft.usual("2 in", "50 mm"),
        }
    }


def _screen(draft: Draft) -> dict[str, Value]:
    widest = draft.design.case.width
    fitting = [size for size in SCREENS_IN if 25.4 * size * 16 / 337**0.5 <= widest]
    return {"": {"diagonal": f"{max(fitting, default=SCREENS_IN[0])} in"}}


def _sheet(draft: Draft, wanted_mm: float, other: str) -> str:
    """The sheet of the case's own kind that is nearest to a thickness, or another."""
    goods = sheet_goods()
    case = goods.get(draft.design.case.stock)
    alike = [row for row in goods.values() if case and row.name == case.name]
    best = min(alike, key=lambda row: abs(row.nominal_mm - wanted_mm), default=None)
    if best is None or abs(best.nominal_mm - wanted_mm) > OFF_MM:
        return other
    return best.key
