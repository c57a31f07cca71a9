"""The room round the case, and the shop that builds it."""

from typing import Any

from kit import edits
from kit.cutters import saws
from kit.design_file import rewrite
from kit.hardware import finishes
from kit.notebook.design_desk.bench import Bench, Work
from kit.notebook.design_desk.fields import (
    ChoiceField,
    LengthField,
    ListField,
    NumberField,
    Source,
    SwitchField,
    at,
)
from kit.notebook.design_desk.groups.tables import SHEETS
from kit.notebook.design_desk.parts import (
    Action,
    Choosing,
    Group,
    Picked,
    by,
    choice,
    part,
    some,
)
from kit.room import Stand
from kit.units import System


def room(bench: Bench) -> Group:
    """Wall, seats, screen, outlets."""
    outlet = Picked(
        "Outlet",
        lambda work: [f"outlet {n}" for n in range(1, len(work.design.room.outlets) + 1)],
        "no outlet yet",
    )
    return Group(
        "Room",
        [
            LengthField(bench, at("room.wall_gap"), "Gap to the wall", slide=(0, 200)),
            SwitchField(bench, at("room.free_standing"), "Stands free, no wall behind"),
            LengthField(bench, at("room.baseboard_height"), "Baseboard, high"),
            LengthField(bench, at("room.baseboard_depth"), "Baseboard, thick"),
            NumberField(bench, at("room.air_c"), "Warm day, °C"),
            LengthField(bench, at("room.seats.distance"), "Seats, away"),
            LengthField(bench, at("room.seats.width"), "Seats, wide"),
            LengthField(bench, at("room.seats.eye_height"), "Eyes above floor"),
            Action(
                bench,
                "Add seats",
                "Where remote controls are held, and eyes are",
                lambda: lambda text: rewrite(text, {"room.seats.distance": "2.5 m"}),
                when=lambda work: work.design.room.seats is None,
            ),
            *part(bench, edits.Part.SCREEN),
            LengthField(bench, at("screen.diagonal"), "Screen, diagonal"),
            ChoiceField.of(bench, at("screen.stand"), "Screen stands on", Stand),
            LengthField(bench, at("screen.bottom"), "Top to picture"),
            NumberField(bench, at("screen.mass_kg"), "Screen, kg"),
            LengthField(bench, at("screen.feet"), "Foot to foot"),
            outlet.holding(
                LengthField(bench, outlet.at("room.outlets.{}.across"), "From left of case"),
                LengthField(bench, outlet.at("room.outlets.{}.up"), "From the floor"),
                NumberField(bench, outlet.at("room.outlets.{}.sockets"), "Sockets"),
                Action(
                    bench,
                    "Take this outlet away",
                    "There is none there then",
                    lambda: by(edits.remove_row, edits.Row.OUTLET, outlet.number),
                    when=some(lambda design: design.room.outlets),
                ),
            ),
            Action(
                bench,
                "Add an outlet",
                "Mains sockets in the wall behind",
                lambda: edits.add_outlet,
            ),
        ],
    )


def shop(bench: Bench) -> Group:
    """Units, measured thickness, saw, finish, sheets on hand."""
    units = Source(at("shop.units").read, lambda value: by(edits.set_units, System(value)))
    stock = Picked(
        "Stock in use", lambda work: [s.label for s in work.casework.stocks], "none in use"
    )

    def readings() -> str | None:
        used = bench.work.casework.stocks
        return f"measured.thickness.{used[stock.number - 1].key}" if stock.number else None

    def read(work: Work) -> tuple[Any, str]:
        used = work.casework.stocks
        here = work.design.measured.thickness.get(used[(stock.number or 1) - 1].key)
        return here, "Caliper readings at ends and edges, with commas between them."

    sheet = Picked(
        "Sheets",
        lambda work: [_sheet_name(sheet) for sheet in work.design.sheets],
        "as many as needed, of usual size",
    )
    new = choice("Sheet goods", SHEETS)
    return Group(
        "Sheets and shop",
        [
            ChoiceField(bench, units, "Print in", [("inches", "in"), ("millimetres", "mm")]),
            stock.holding(ListField(bench, Source(read, at(readings).write), "Caliper readings")),
            ChoiceField(
                bench, at("shop.saw"), "Saw", [(saw.label, key) for key, saw in saws().items()]
            ),
            LengthField(bench, at("shop.edge_trim"), "Edge trim"),
            ChoiceField(
                bench,
                at("shop.finish"),
                "Finish",
                [(f.label, key) for key, f in finishes().items()],
            ),
            sheet.holding(
                LengthField(bench, sheet.at("sheet.{}.length"), "Length, by grain"),
                LengthField(bench, sheet.at("sheet.{}.width"), "Width"),
                NumberField(bench, sheet.at("sheet.{}.count"), "How many"),
                SwitchField(bench, sheet.at("sheet.{}.offcut"), "Left over: used first"),
                Action(
                    bench,
                    "Take this line away",
                    "These sheets are not on hand then",
                    lambda: by(edits.remove_row, edits.Row.SHEET, sheet.number),
                    when=some(lambda design: design.sheets),
                ),
            ),
            Choosing(
                bench,
                "Add sheets on hand",
                "A sheet of usual size; write in what yours measures",
                lambda: by(edits.add_sheet, new.value),
                new,
            ),
        ],
    )


def _sheet_name(sheet: Any) -> str:
    return sheet.name or f"{sheet.count or 'any number'} of {sheet.stock}"
