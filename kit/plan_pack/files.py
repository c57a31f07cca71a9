"""The files of a plan pack, put into one folder."""

import platform
import re
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING

from kit.casework import Casework
from kit.checks import cable_fill, check
from kit.checks.airflow import (
    Heat,
    NoAnswerError,
    climate,
    evening,
    least_tolerant,
    size_vents,
    unknown_heat,
)
from kit.design_file import fingerprint
from kit.errors import CancelledError
from kit.finding import Report, findings_json
from kit.making import as_built, buy_list, set_ups, steps
from kit.making.cut_list import cut_list, to_csv
from kit.own_files import digest, sealed, unsealed
from kit.paper import Paper
from kit.plan_pack.book import Book, Draft, Released, Standing
from kit.plan_pack.progress import Progress, Step
from kit.plan_pack.trial import tried
from kit.units import System

if TYPE_CHECKING:
    from kit.making.sheets import SheetPlan

MANIFEST = "manifest.json"
#: The key of its own hash in a manifest.
SEAL = "manifest_sha256"
#: The folder of the drawings for a router.
DRAWINGS = "dxf"
#: Every name that a file of a pack can have; no manifest makes another one a pack's.
NAMES = re.compile(
    r"(?:design\.toml|(?:findings|sheets|manifest)\.json|plan\.pdf|labels\.pdf"
    r"|model\.(?:step|glb)|(?:steps|commissioning)\.txt"
    r"|(?:cut-order|cut-list|as-built|set-ups|buy-list|cables|cable-holes)\.csv"
    r"|(?:console|depths|cables|air|vents|evening|sag|tipping|sight-(?:plan|side))\.svg"
    rf"|(?:sheets|labels)-[1-9][0-9]*\.svg|{DRAWINGS}/[a-z0-9-]+\.dxf)"
)


def fill(
    folder: Path,
    casework: Casework,
    design_text: str,
    *,
    progress: Callable[[Progress], None],
    cancelled: Callable[[], bool],
    paper: Paper,
) -> tuple[Report, Book]:
    """Write every file of the pack into an empty folder; `manifest.json` comes last."""
    units = casework.design.shop.units
    written: dict[str, str] = {}

    def put(name: str, content: str | bytes) -> None:
        assert NAMES.fullmatch(name), name
        if isinstance(content, str):
            written[name] = content
            content = content.encode("utf-8")
        file = folder / name
        file.parent.mkdir(exist_ok=True)
        file.write_bytes(content)

    def begin(step: Step, subject: str = "") -> None:
        progress(Progress(step, subject))
        if cancelled():
            raise CancelledError("The plan pack was stopped; nothing was changed.")

    put("design.toml", design_text)
    begin(Step.CHECKS)
    with tried(casework.boards) as solids_are_made:
        report = check(casework)
        put("findings.json", findings_json(report))
        plan = _shop_pages(casework, units, put, begin, cancelled)
        begin(Step.ROOM)
        _room_pages(casework, units, put)
        begin(Step.PICTURE)
        # the kernel takes seconds to load, and no check needs it; so it does for the trial beside
        from kit import solid
        from kit.draw.dxf import dxf_files
        from kit.draw.pictorial import pictorial_svg
        from kit.plan_pack.compile import book_pdf
        from kit.plan_pack.drawings import drawings
        from kit.plan_pack.pages import make_book
        from kit.plan_pack.standing import standing

        solids_are_made(cancelled)

    put("console.svg", pictorial_svg(casework))
    for name, text in dxf_files(casework):
        put(f"{DRAWINGS}/{name}", text)
    drawn = drawings(casework, paper, progress=begin)
    begin(Step.GATE)
    stands = standing(casework, report, plan, written, drawn)
    begin(Step.PLANS)
    book = make_book(
        casework, report, plan, written, drawn, standing=stands, paper=paper, units=units
    )
    with ThreadPoolExecutor(1) as beside:  # typst leaves the other processor to the kernel
        pdf = beside.submit(book_pdf, book)
        solid.write_step(casework, folder / "model.step")
        solid.write_glb(casework, folder / "model.glb")
        put("plan.pdf", pdf.result())
    begin(Step.MANIFEST)
    put(MANIFEST, manifest(folder, casework, stands))
    return report, book


def _shop_pages(
    casework: Casework,
    units: System,
    put: Callable[[str, str | bytes], None],
    begin: Callable[[Step, str], None],
    cancelled: Callable[[], bool],
) -> "SheetPlan":
    """What is taken to the saw: sheets, cuts, settings, steps, buy list, labels."""
    from kit.draw.labels import LabelPaper, labels_pdf, labels_svg  # the solvers and typst are
    from kit.draw.sheets import sheet_svg  # heavy, and no check needs them
    from kit.making import sheet_data
    from kit.making.labels import labels
    from kit.making.sheets import Effort, sheet_plan
    from kit.making.thresholds import with_thresholds

    name = casework.design.name
    plan = sheet_plan(
        casework,
        Effort.FINAL,
        progress=lambda stock: begin(Step.SHEETS, stock),
        cancelled=cancelled,
    )
    plan = with_thresholds(casework, plan, cancelled)
    put("sheets.json", sheet_data.sheets_json(casework, plan))
    put("cut-order.csv", sheet_data.cuts_csv(casework, plan, units))
    drawn = [(one, sheet) for one in plan.stocks for sheet in one.layout.sheets]
    for number, (one, sheet) in enumerate(drawn, start=1):
        put(f"sheets-{number}.svg", sheet_svg(casework, one, sheet, units=units))
    begin(Step.LISTS, "")
    put("cut-list.csv", to_csv(cut_list(casework, plan.sheet_names), units))
    if changed := as_built.to_csv(casework, units):
        put("as-built.csv", changed)
    put("set-ups.csv", set_ups.to_csv(set_ups.set_up_sheet(casework), units))
    rows = buy_list.buy_list(casework, sheets=plan.bought, hangs_on=plan.hangs_on)
    put("buy-list.csv", buy_list.to_csv(rows, units))
    put("steps.txt", steps.to_text(steps.steps(casework, units), name))
    paper = LabelPaper.LETTER if units is System.INCH else LabelPaper.A4
    stickers = labels(casework, plan, units)
    put("labels.pdf", labels_pdf(stickers, name, paper))
    for number, page in enumerate(labels_svg(stickers, name, paper), start=1):
        put(f"labels-{number}.svg", page)
    return plan


def _room_pages(casework: Casework, units: System, put: Callable[[str, str | bytes], None]) -> None:
    """What tells how it will do in the room: depths, cables, air and heat, sag and tipping."""
    from kit.draw import airflow, heat_plots, strength  # matplotlib is heavy, and no check needs it
    from kit.draw.cables import cables_svg
    from kit.draw.depth_stack import depth_stack_svg
    from kit.draw.sight import sight_plan_svg, sight_side_svg
    from kit.making import cable_schedule, commissioning

    if casework.design.room.seats is not None:
        put("sight-plan.svg", sight_plan_svg(casework))
        put("sight-side.svg", sight_side_svg(casework))
    if casework.gear:
        put("depths.svg", depth_stack_svg(casework, units=units))
    if casework.design.cables:
        schedule = cable_schedule.cable_schedule(casework)
        put("cables.csv", cable_schedule.to_csv(schedule, units))
        put("cables.svg", cables_svg(casework, units=units))
        if holes := cable_schedule.holes_csv(schedule, units):
            put("cable-holes.csv", holes)
    if casework.inside and not unknown_heat(casework, Heat.TYPICAL):
        try:
            fill = cable_fill(casework)
            state = climate(casework, Heat.TYPICAL, cable_fill=fill)
            put("air.svg", airflow.elevation(state))
            tender = least_tolerant(casework.inside, state)
            if tender is not None and tender.kind.max_intake_c is not None:
                size = size_vents(state, tender, tender.kind.max_intake_c)
                put("vents.svg", heat_plots.rise_plot(state, tender, size))
            put("evening.svg", heat_plots.evening_plot(evening(state, commissioning.FILM_H)))
            put("commissioning.txt", commissioning.to_text(casework, fill))
        except NoAnswerError:
            pass  # the findings say why
    put("sag.svg", strength.sag_svg(casework))
    put("tipping.svg", strength.tip_svg(casework))


def manifest(folder: Path, casework: Casework, stands: Standing) -> str:
    """Whether it is released, hashes of files and design, versions that made them; as JSON."""
    packages = ("casework-kit", "cadquery", "cadquery-ocp", "ezdxf", "typst")
    content = {
        "design": casework.design.name,
        "design_sha256": fingerprint(casework.design),
        "released": isinstance(stands, Released),
        "draft_because": list(stands.reasons) if isinstance(stands, Draft) else [],
        "versions": {"python": platform.python_version(), **{p: version(p) for p in packages}},
        "sha256": {
            path.relative_to(folder).as_posix(): digest(path) for path in sorted(files_in(folder))
        },
    }
    return sealed(content, SEAL)


def files_in(folder: Path) -> Iterator[Path]:
    """Every file below a folder."""
    return (path for path in folder.rglob("*") if path.is_file())


def listed(folder: Path) -> dict[str, str]:
    """The files that the manifest of a pack names, each with its hash; none where it is no pack.

    The manifest itself is among them, with no hash: it holds true, or names nothing.
    """
    said = unsealed(folder / MANIFEST, SEAL)
    hashes = said.get("sha256") if said else None
    if not isinstance(hashes, dict):
        return {}
    return {n: str(h) for n, h in hashes.items() if NAMES.fullmatch(n) and h} | {MANIFEST: ""}
