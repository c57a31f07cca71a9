"""A sheet plan as plain data: `sheets.json`, everything in mm, and the cuts as rows."""

import json

from kit.casework import Casework
from kit.making.cut_order import SawCut, cut_order, diagonal
from kit.making.nesting.layout import Rect, SheetLayout
from kit.making.sheets import SheetPlan, StockPlan
from kit.making.table_text import csv_text
from kit.units import System, text


def sheets_json(casework: Casework, plan: SheetPlan) -> str:
    """The plan as JSON: placements, numbered cuts, offcuts, kerf and trims, all in mm."""
    content = {
        "unit": "mm",
        "origin": "lower left corner of the untrimmed sheet; x along the face grain",
        "stocks": [_stock(casework, one) for one in plan.stocks],
    }
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"


def printed_cuts(casework: Casework, plan: SheetPlan, system: System) -> list[dict[str, str]]:
    """Every saw cut in the order of the work, as printed in one display system."""
    marks = casework.marks
    lines = []
    for one in plan.stocks:
        part_of = {part.name: part for part in one.parts}
        for sheet in one.layout.sheets:
            for cut in cut_order(sheet, one.layout.kerf_mm):
                parts = [part_of[name] for name in cut.frees]
                lines.append(
                    {
                        "stock": one.stock.label,
                        "sheet": str(sheet.number),
                        "cut": str(cut.number),
                        "what for": cut.stage.value,
                        "way": cut.axis.value,
                        "set guide to": text(cut.keep, system),
                        "from": cut.edge,
                        "piece": f"{text(cut.piece.length_mm, system)} x "
                        f"{text(cut.piece.width_mm, system)}",
                        "frees": ", ".join(f"{marks[p.board.name]} {p.name}" for p in parts),
                        "then": "; ".join(
                            dict.fromkeys(
                                _then(p.board.name, casework, p.finish.value, system) for p in parts
                            )
                        ),
                    }
                )
    return lines


def cuts_csv(casework: Casework, plan: SheetPlan, system: System) -> str:
    """The printed cuts as CSV text."""
    return csv_text(printed_cuts(casework, plan, system))


def _then(name: str, casework: Casework, finish: str, system: System) -> str:
    across = diagonal(casework.by_name[name])
    check = f", both diagonals {text(across, system)}" if across else ""
    return finish + check


def _stock(casework: Casework, plan: StockPlan) -> dict[str, object]:
    cost = plan.grain_cost
    return {
        "stock": plan.stock.key,
        "label": plan.stock.label,
        "kerf": plan.layout.kerf_mm,
        "full_sheets": plan.layout.full_sheets,
        "least_sheets": plan.layout.least_sheets,
        "sheets_for_the_grain": None if cost is None else cost.extra_sheets,
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
        "cuts": [_cut(cut) for cut in cut_order(sheet, plan.layout.kerf_mm)],
        "offcuts": [{"name": o.name, **_rect(o.rect)} for o in sheet.offcuts],
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
