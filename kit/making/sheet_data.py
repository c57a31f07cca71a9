"""A sheet plan as plain data: `sheets.json`, everything in mm, and the cuts as rows."""

import json
from collections.abc import Iterator, Sequence

from kit.casework import Casework
from kit.cutters import SawKind
from kit.edition import Edition, edition
from kit.making.cut_order import SawCut, Stage, cut_order, diagonal
from kit.making.nesting.layout import CutAxis, Offcut, Rect, SheetLayout
from kit.making.sheets import Finish, Part, SheetPlan, StockPlan
from kit.making.table_text import csv_text
from kit.units import MM_PER_INCH, System, decimal

#: Solid wood shorter than this is not ripped at a table saw, mm (12 in). Common practice, no
#: source.
SHORT = 12 * MM_PER_INCH


def sheets_json(casework: Casework, plan: SheetPlan) -> str:
    """The plan as JSON: placements, numbered cuts, offcuts, kerf and trims, all in mm."""
    content = {
        "unit": "mm",
        "origin": "lower left corner of the untrimmed sheet; x along the face grain",
        "stocks": [_stock(casework, one) for one in plan.stocks],
    }
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"


def cuts_of(plan: StockPlan, sheet: SheetLayout) -> tuple[SawCut, ...]:
    """The saw cuts of one sheet; boards that get their size later need no exact cut."""
    later = {part.name for part in plan.parts if part.finish is not Finish.GUIDE}
    return cut_order(sheet, plan.layout.kerf_mm, rough=later)


def sheet_name(casework: Casework, plan: StockPlan, sheet: SheetLayout, total: str = "") -> str:
    """What a sheet is called: its number, `total` behind that, and its name if it is on hand."""
    word = "sheet" if plan.stock.sheet_sizes else "length"
    named = {s.name for s in casework.design.sheets if s.stock == plan.stock.key and s.name}
    name = sheet.sheet.name if sheet.sheet.name in named else ""
    if sheet.sheet.is_offcut:
        name = f"offcut on hand: {name}" if name else "offcut on hand"
    return f"{word} {sheet.number}{total}" + (f" ({name})" if name else "")


def offcut_name(plan: StockPlan, offcut: Offcut) -> str:
    """The name to write on an offcut: no two in a pack are alike."""
    return f"{plan.stock.key} {offcut.name}"


def printed_cuts(casework: Casework, plan: SheetPlan, system: System) -> list[dict[str, str]]:
    """Every saw cut in the order of the work, as printed in one display system."""
    marks, printed = casework.marks, edition(casework, system)
    lines = []
    for one in plan.stocks:
        part_of = {part.name: part for part in one.parts}
        for sheet in one.layout.sheets:
            for cut in cuts_of(one, sheet):
                parts = [part_of[name] for name in cut.frees]
                lines.append(
                    {
                        "stock": one.stock.label,
                        "cut from": sheet_name(casework, one, sheet),
                        "cut": str(cut.number),
                        "what for": cut.stage.value,
                        "way": cut.axis.value,
                        "set guide to": printed.piece(cut.keep),
                        "from": cut.edge,
                        "piece (W x L)": f"{printed.text(cut.piece.width_mm)} x "
                        f"{printed.text(cut.piece.length_mm)}",
                        "frees": ", ".join(f"{marks[p.board.name]} {p.name}" for p in parts),
                        "then": "; ".join(_then(casework, one, cut, parts, printed)),
                    }
                )
    return lines


def cuts_csv(casework: Casework, plan: SheetPlan, system: System) -> str:
    """The printed cuts as CSV text."""
    return csv_text(printed_cuts(casework, plan, system))


def _then(
    casework: Casework, plan: StockPlan, cut: SawCut, parts: Sequence[Part], printed: Edition
) -> Iterator[str]:
    """What is to be minded at a cut, and what becomes of the boards that come free."""
    if cut.stage is Stage.TRUE:
        kerf = decimal(plan.layout.kerf_mm, printed.system)
        yield f"set again from its own edge; too small already if the kerf is over {kerf}"
    saw = casework.design.shop.table_saw
    if saw is not None and casework.design.shop.sheet_saw.kind is SawKind.TABLE:
        if cut.axis is CutAxis.RIP and cut.keep > saw.rip:
            yield "too wide for the fence: use a guide"
        if cut.axis is CutAxis.CROSSCUT and cut.piece.length_mm > saw.crosscut:
            yield "too long to crosscut at the table saw: use a guide"
    if cut.axis is CutAxis.RIP and cut.piece.length_mm < SHORT and not plan.stock.sheet_sizes:
        yield "too short to rip safely: rip the strip before it is cut to length"
    for finish in dict.fromkeys(part.finish for part in parts):
        alike = [part.board for part in parts if part.finish is finish]
        sizes = (casework.as_measured(board, board.cut) for board in alike if diagonal(board))
        checks = (f"both diagonals {printed.diagonal(size)}" for size in sizes)
        words = finish.value
        if not plan.stock.sheet_sizes:
            words = words.replace("off the sheet", "off the length")
        yield ", ".join([words, *dict.fromkeys(checks)])


def _stock(casework: Casework, plan: StockPlan) -> dict[str, object]:
    cost = plan.grain_cost
    return {
        "stock": plan.stock.key,
        "label": plan.stock.label,
        "kerf": plan.layout.kerf_mm,
        "full_sheets": plan.layout.full_sheets,
        "least_sheets": plan.layout.least_sheets,
        "sheets_for_the_grain": None if cost is None else cost.extra_sheets,
        "hangs_on": list(plan.hangs_on),
        "sheets": [_sheet(casework, plan, sheet) for sheet in plan.layout.sheets],
    }


def _sheet(casework: Casework, plan: StockPlan, sheet: SheetLayout) -> dict[str, object]:
    trims = sheet.sheet.trims
    parts = {part.name: part for part in plan.parts}
    return {
        "number": sheet.number,
        "name": sheet.sheet.name,
        "length": sheet.sheet.length_mm,
        "width": sheet.sheet.width_mm,
        "trims": {
            "left": trims.left_mm,
            "right": trims.right_mm,
            "lower": trims.bottom_mm,
            "upper": trims.top_mm,
        },
        "yield": round(sheet.yield_share, 4),
        "boards": [
            {
                "mark": casework.marks[parts[p.piece.name].board.name],
                "board": parts[p.piece.name].board.name,
                "piece": p.piece.name,
                **_rect(p.rect),
                "turned": p.turned,
                "finish": parts[p.piece.name].finish.value,
            }
            for p in sheet.placements
        ],
        "cuts": [_cut(cut) for cut in cuts_of(plan, sheet)],
        "offcuts": [{"name": offcut_name(plan, o), **_rect(o.rect)} for o in sheet.offcuts],
    }


def _cut(cut: SawCut) -> dict[str, object]:
    return {
        "number": cut.number,
        "stage": cut.stage.value,
        "way": cut.axis.value,
        "at": round(cut.at, 3),
        "keep": round(cut.keep, 3),
        "from": cut.edge,
        "frees": list(cut.frees),
        "piece": _rect(cut.piece),
    }


def _rect(rect: Rect) -> dict[str, float]:
    return {
        "x": round(rect.x_mm, 3),
        "y": round(rect.y_mm, 3),
        "length": round(rect.length_mm, 3),
        "width": round(rect.width_mm, 3),
    }
