"""Writes the files of a pack that the audit reads back, by the functions of `kit.plan_pack`.

What no audit reads (the book of plans, the pictures) is left out: it takes most of the time of
a pack. Part drawings and the cover stand in the book alone, and get files of their own here.
"""

import json
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from auditing.wood import Wood, from_step, wood
from kit.casework import Casework
from kit.checks import check
from kit.draw.as_measured import as_measured
from kit.draw.dxf import dxf_files
from kit.draw.labels import LabelPaper, labels_pdf
from kit.draw.parts import part_drawings
from kit.draw.sheets import sheet_svg
from kit.errors import BuildError
from kit.finding import Report
from kit.making import buy_list, set_ups, sheet_data, steps
from kit.making.cut_list import cut_list, to_csv
from kit.making.labels import labels
from kit.making.sheets import SheetPlan, sheet_plan
from kit.plan_pack.book import Cover, Released
from kit.plan_pack.cover import cover
from kit.release import Drawn, gate, part_stations
from kit.solid import placed, write_step
from kit.units import System

#: The room that a page has for the drawing of a part, mm.
PAGE = (255.0, 160.0)


@dataclass(frozen=True)
class Pack:
    """The files of a pack in `folder`, in one system, and what they are held against.

    `wood` are the solids by board name, read from STEP; a board that is cut to fit an opening
    which was measured stands in `planned` as the STEP file has it, and in `wood` as it is cut.
    `laid_out` is false where a board fits no sheet: there are no sheets, labels and cover then.
    `reasons` are those of the release gate.
    """

    folder: Path
    system: System
    casework: Casework
    planned: dict[str, Wood]
    wood: dict[str, Wood]
    report: Report
    laid_out: bool
    reasons: tuple[str, ...]

    def read(self, name: str) -> str:
        """The text of a file of the pack."""
        return (self.folder / name).read_text("utf-8")


def write_packs(casework: Casework, folder: Path) -> tuple[Pack, ...]:
    """Write the pack of a design in each system of units."""
    write_step(casework, folder / "model.step")
    planned = from_step(folder / "model.step", {b.name: b.place for b in casework.boards})
    shown = {b.name: as_measured(casework, b) for b in casework.boards}
    cut = {
        b.name: planned[b.name] if shown[b.name] is b else wood(placed(shown[b.name]), b.place)
        for b in casework.boards
    }
    try:
        plan = sheet_plan(casework)
    except BuildError:  # a board fits no sheet, and the kit says which in one sentence
        plan = None
    report = check(casework)
    dxf = {f"dxf/{name}": text for name, text in dxf_files(casework)}
    packs = []
    for system in System:
        place = folder / system.value
        reasons = _write(place, casework, system, plan, report, dxf)
        packs.append(Pack(place, system, casework, planned, cut, report, plan is not None, reasons))
    return tuple(packs)


def _write(
    folder: Path,
    casework: Casework,
    system: System,
    plan: SheetPlan | None,
    report: Report,
    dxf: dict[str, str],
) -> tuple[str, ...]:
    bought = plan.bought if plan else None
    names = plan.sheet_names if plan else None
    files = {
        "cut-list.csv": to_csv(cut_list(casework, names), system),
        "set-ups.csv": set_ups.to_csv(set_ups.set_up_sheet(casework), system),
        "buy-list.csv": buy_list.to_csv(buy_list.buy_list(casework, sheets=bought), system),
        "steps.txt": steps.to_text(steps.steps(casework, system), casework.design.name),
        **dxf,
    }
    drawings = part_drawings(casework, system, PAGE)
    for number, drawing in enumerate(drawings, start=1):
        about = {
            "boards": [board.name for board in drawing.boards],
            "ratio": drawing.scale.ratio,
            "figures": len(drawing.figures),
        }
        files[f"parts/{number}.json"] = json.dumps(about)
        for page, figure in enumerate(drawing.figures, start=1):
            files[f"parts/{number}-{page}.svg"] = figure.svg(drawing.title)
    reasons: tuple[str, ...] = ()
    if plan is not None:
        files["sheets.json"] = sheet_data.sheets_json(casework, plan)
        files["cut-order.csv"] = sheet_data.cuts_csv(casework, plan, system)
        sheets = [(one, sheet) for one in plan.stocks for sheet in one.layout.sheets]
        for number, (one, sheet) in enumerate(sheets, start=1):
            files[f"sheets-{number}.svg"] = sheet_svg(casework, one, sheet, units=system)
        stickers = labels(casework, plan, system)
        page = cover(casework, report, plan, {"console.svg": ""}, Released())
        (facts,) = (block.facts for block in page.blocks if isinstance(block, Cover))
        files["cover.json"] = json.dumps(facts, ensure_ascii=False)
        drawn = Drawn(
            marks={"parts": tuple(mark for drawing in drawings for mark in drawing.marks)},
            printed=part_stations("part drawings", drawings, system),
            labels=stickers,
        )
        reasons = gate(casework, Report(), files, drawn, system).reasons
    write = partial(_put, folder)
    for name, text in files.items():
        write(name, text.encode("utf-8"))
    if plan is not None:
        paper = LabelPaper.LETTER if system is System.INCH else LabelPaper.A4
        write("labels.pdf", labels_pdf(stickers, casework.design.name, paper))
    return reasons


def _put(folder: Path, name: str, content: bytes) -> None:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
