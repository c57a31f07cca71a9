"""The chapters of the book that are lists for the shop: rows of `kit.making` as tables."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from kit.board import Grain
from kit.casework import Casework
from kit.making import as_built, buy_list, cable_schedule, cut_list, set_ups, sheet_data
from kit.making.labels import labels
from kit.making.sheets import SheetPlan
from kit.plan_pack.book import (
    Align,
    Block,
    Chapter,
    Column,
    DocumentType,
    Picture,
    Prose,
    Table,
)
from kit.units import System, decimal

_SIZES = {
    f"{which} {side}": Column(side, align=Align.RIGHT, group=group, strong=which == "cut")
    for which, group in (("finished", "Finished"), ("cut", "Cut"), ("rough", "Rough"))
    for side in ("T", "W", "L")
}
CUT_LIST = {
    "mark": Column("Mark", strong=True),
    "name": Column("Name", strong=True),
    "pieces": Column("Pcs", align=Align.CENTER),
    **_SIZES,
    "grain": Column("Grain"),
    "edging": Column("Edging", 1),
    "cut to fit": Column("Cut to fit", 2),
    "sheet": Column("Sheet"),
}
AS_BUILT = {
    "mark": Column("Mark", strong=True),
    "name": Column("Name", 1, strong=True),
    "planned": Column("Planned W x L", 1),
    "measured": Column("Measured W x L", 1),
    "what to do": Column("What to do", 2),
}
CUTS = {
    "cut": Column("Cut", strong=True, align=Align.CENTER),
    "what for": Column("What for", 1),
    "way": Column("Way", 0.7),
    "set guide to": Column("Set guide to", 0.8, Align.RIGHT, strong=True),
    "from": Column("From", 0.8),
    "piece (W x L)": Column("Piece, W x L", 1.4),
    "frees": Column("Frees", 1.6, strong=True),
    "then": Column("Then", 3),
}
SET_UPS = {
    "no": Column("No", strong=True, align=Align.CENTER),
    "operation": Column("Operation", 1),
    "cutter": Column("Cutter", 1.8),
    "width": Column("Width", align=Align.RIGHT, strong=True),
    "depth": Column("Depth", align=Align.RIGHT, strong=True),
    "fence": Column("Fence", align=Align.RIGHT, strong=True),
    "repeat": Column("Repeat", 1),
    "cuts": Column("Boards, and what lies against the fence", 4),
    "test cut": Column("Test cut", 2),
    "notes": Column("Notes", 2),
}
BUY_LIST = {
    "item": Column("Item", 2, strong=True),
    "need": Column("Need", 1),
    "buy": Column("Buy", 1, strong=True),
    "allowance": Column("Allowance", 1.2),
    "for": Column("For", 2),
    "hole": Column("Hole, cutter", 1.4),
    "note": Column("Note", 1.6),
    "price each": Column("Price each", align=Align.RIGHT),
    "price": Column("Price", align=Align.RIGHT),
}
CABLES = {
    "no": Column("No", strong=True, align=Align.CENTER),
    "from": Column("From", 1, strong=True),
    "to": Column("To", 1, strong=True),
    "cable": Column("Cable", 1.1),
    "carries": Column("Carries", 0.8),
    "diameter": Column("Diameter", 0.8, Align.RIGHT),
    "route": Column("Route", 3.4),
    "holes": Column("Holes", 1.1),
    "way": Column("Way", 0.8, Align.RIGHT),
    "pull out": Column("Pull out", 0.7, Align.RIGHT),
    "length needed": Column("Needed", 0.8, Align.RIGHT),
    "length to buy": Column("Buy", 0.8, Align.RIGHT, strong=True),
}
HOLES = {
    "board": Column("Board", 1, strong=True),
    "hole": Column("Hole", align=Align.RIGHT, strong=True),
    "cutter": Column("Cutter", 1),
    "liner": Column("Liner", 1),
    "for cables": Column("For cables", 1),
    "joins": Column("Joins", 1.6),
    "design file": Column("Design file", 1),
    "write": Column("Write", 2.4),
}


def cut_lists(casework: Casework, plan: SheetPlan, system: System) -> Chapter:
    """The cut list by material and thickness, and what measuring changed."""
    rows = cut_list.cut_list(casework, plan.sheet_names)
    rows = tuple(sorted(rows, key=lambda row: (row.material, row.finished.thickness)))
    blocks: list[Block] = [
        Prose(
            "",
            (
                "Sizes are thickness x width x length, the length along the grain. Finished: as it "
                "stands. Cut: less its edging. Rough: what to take out of the sheet. What is cut "
                "to fit is cut after the case has been measured, and its sizes are only what to "
                "expect.",
            ),
        )
    ]
    for (material, thickness, measured), group in groupby(
        rows, key=lambda row: (row.material, decimal(row.finished.thickness, system), row.measured)
    ):
        told = "measured" if measured else "thickness not measured"
        printed = [
            row
            | {"grain": f"↔ {row['grain']}" if row["grain"] == Grain.LOCKED.value else row["grain"]}
            for row in cut_list.printed(tuple(group), system)
        ]
        blocks.append(Table.of(f"{material}, {thickness} ({told})", CUT_LIST, printed))
    if changed := as_built.printed(casework, system):
        blocks.append(Table.of("As built: what measuring changed", AS_BUILT, changed))
    return Chapter("Cut list", DocumentType.LIST, tuple(blocks))


def sheet_layouts(
    casework: Casework, plan: SheetPlan, pictures: Mapping[str, str], system: System
) -> Chapter:
    """Each sheet drawn, with its cuts in the order of the work."""
    cuts = sheet_data.printed_cuts(casework, plan, system)
    drawn: list[Block] = []
    ordered: list[Block] = []
    sheets = ((one, sheet) for one in plan.stocks for sheet in one.layout.sheets)
    for number, (one, sheet) in enumerate(sheets, start=1):
        name = sheet_data.sheet_name(casework, one, sheet)
        title = f"{one.stock.label}, {name}"
        drawn.append(Picture(pictures[f"sheets-{number}.svg"], title))
        its = [r for r in cuts if (r["stock"], r["cut from"]) == (one.stock.label, name)]
        ordered += _table(f"Cut order: {title}", CUTS, its)
    return Chapter("Sheet layouts and cut order", DocumentType.DIAGRAM, (*drawn, *ordered))


def settings(casework: Casework, system: System) -> Chapter:
    """The set-up sheet."""
    rows = set_ups.printed(set_ups.set_up_sheet(casework), system)
    return Chapter("Set-ups", DocumentType.LIST, _table("", SET_UPS, rows))


def shopping(casework: Casework, plan: SheetPlan, system: System) -> Chapter:
    """The buy list, kind by kind."""
    bought = buy_list.buy_list(casework, sheets=plan.bought, hangs_on=plan.hangs_on)
    rows = buy_list.printed(bought, system)
    columns = dict(BUY_LIST)
    if not any(row["price"] for row in rows):
        del columns["price each"], columns["price"]
    blocks: list[Block] = [Prose("", ("This is not the cut list: it says what to bring home.",))]
    for kind, group in groupby(rows, key=lambda row: row["kind"]):
        if kind == "total":
            (row,) = group
            note = row["note"]
            lines = (f"{row['price']} {row['item']}.", f"{note[:1].upper()}{note[1:]}.")
            blocks.append(Prose("Total", lines[: 1 + bool(note)]))
        else:
            blocks.append(Table.of(kind[:1].upper() + kind[1:], columns, tuple(group)))
    return Chapter("Buy list", DocumentType.LIST, tuple(blocks))


def cables(casework: Casework, system: System) -> Iterator[Block]:
    """The cable schedule, and the holes to add."""
    if not casework.design.cables:
        return
    schedule = cable_schedule.cable_schedule(casework)
    yield from _table("Cable schedule", CABLES, cable_schedule.printed(schedule, system))
    yield from _table("Holes to add", HOLES, cable_schedule.printed_holes(schedule, system))


def label_list(casework: Casework, plan: SheetPlan, system: System) -> Chapter:
    """What the labels say; `labels.pdf` is the one to print."""
    rows = labels(casework, plan, system)
    table = Table(
        title="",
        columns=(
            Column("Mark", strong=True),
            Column("Name", 1, strong=True),
            Column("Cut size, T x W x L", 1.3),
            Column("Sheet"),
            Column("Where its corners are", 1.5),
            Column("What it joins", 3.2),
        ),
        rows=tuple(
            (row.mark, row.name, row.size, row.sheet, row.datum, "; ".join(row.joins))
            for row in rows
        ),
    )
    note = (
        "Print labels.pdf of this pack on sheets of labels, ten to a sheet, at 100 %. Stick each "
        "on face A, the show face, near end 1, as the board comes off the saw. The size is that of "
        "the cut list; a board that comes off the sheet larger says so in the line below."
    )
    return Chapter("Labels", DocumentType.LIST, (Prose("", (note,)), table))


def _table(
    title: str, columns: Mapping[str, Column], rows: Sequence[Mapping[str, str]]
) -> tuple[Table, ...]:
    return (Table.of(title, columns, rows),) if rows else ()
