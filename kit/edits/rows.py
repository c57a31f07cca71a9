"""Rows that nothing else names: fans, media, sheets, outlets, added holes and notches."""

from enum import Enum

from kit.components.spaces import BOTTOM
from kit.edits.draft import Draft
from kit.materials import material
from kit.media import media_kind
from kit.toml_text import Value
from kit.units import System

#: A quiet fan 120 mm wide, to start from: flow against no pressure, and pressure at no flow.
#: From memory; its data sheet says what it moves.
FAN_M3_H, FAN_PA = 75, 15


class Row(Enum):
    """A list of the design file whose rows nothing else names, by its path there."""

    FAN = "fan"
    CONTENT = "content"
    SHEET = "sheet"
    HOLE = "hole"
    NOTCH = "notch"
    OUTLET = "room.outlets"


def add_fan(text: str, bay: int) -> str:
    """The design with a quiet fan 120 mm wide high in a bay. Raises KitError for no such bay."""
    draft = Draft.of(text)
    draft.bay(bay)
    names = {fan.name for fan in draft.design.fans}
    count = len(names) + 1
    name = next(n for n in ("fan", *(f"fan {i}" for i in range(2, count + 2))) if n not in names)
    row: dict[str, Value] = {
        "name": name,
        "bay": bay,
        "free_flow_m3_h": FAN_M3_H,
        "max_pressure_pa": FAN_PA,
    }
    return draft.with_changes({f"fan.{len(draft.design.fans) + 1}": row})


def add_content(text: str, kind: str, bay: int, on: str = BOTTOM) -> str:
    """The design with a row of media as wide as its place: the floor of a bay, or a shelf in it.

    `kind` is a key of the kinds of media. Raises KitError for what is not there.
    """
    draft = Draft.of(text)
    draft.bay(bay)
    media_kind(kind)
    row: dict[str, Value] = {"kind": kind, "bay": bay}
    if on != BOTTOM:
        row["on"] = on
    return draft.with_changes({f"content.{len(draft.design.contents) + 1}": row})


def add_sheet(text: str, stock: str) -> str:
    """The design with one sheet of a stock on hand, of usual size.

    Raises KitError for a stock that is not in the tables.
    """
    draft = Draft.of(text)
    material(stock)
    return draft.with_changes(
        {f"sheet.{len(draft.design.sheets) + 1}": {"stock": stock, "count": 1}}
    )


def add_outlet(text: str) -> str:
    """The design with one outlet more in the wall, behind the middle of the case."""
    draft = Draft.of(text)
    row = {
        "across": draft.written(draft.design.case.width / 2),
        "up": draft.usual("12 in", "300 mm"),
    }
    return draft.with_changes({f"room.outlets.{len(draft.design.room.outlets) + 1}": row})


def remove_row(text: str, row: Row, number: int) -> str:
    """The design without one row of a list, counted from 1 as in the file.

    Raises KitError where there is none of that number, or the rest cannot be built.
    """
    draft = Draft.of(text)
    design = draft.design
    rows = {
        Row.FAN: design.fans,
        Row.CONTENT: design.contents,
        Row.SHEET: design.sheets,
        Row.HOLE: design.holes,
        Row.NOTCH: design.notches,
        Row.OUTLET: design.room.outlets,
    }[row]
    draft.count(row.name.lower(), number, len(rows))
    return draft.with_changes({f"{row.value}.{number}": None})


def set_units(text: str, system: System) -> str:
    """The design printed in inches or in millimetres; its lengths stay as they are written."""
    return Draft.of(text).with_changes({"shop.units": system.value})
