"""The plan pack: everything a maker takes to the shop, in one folder.

It is written to a fresh folder beside the wanted one and swapped in when complete, so that a
run that fails or is killed leaves an earlier pack whole.
"""

import hashlib
import json
import os
import platform
import shutil
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

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
from kit.errors import OutputError
from kit.finding import Finding, Report
from kit.making import as_built, buy_list, set_ups, steps
from kit.making.cut_list import cut_list, to_csv
from kit.units import System

#: Told before each step: a few words on what is being made.
type Progress = Callable[[str], None]

MANIFEST = "manifest.json"


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack that has been written."""

    folder: Path
    files: tuple[str, ...]
    report: Report


def write_pack(
    casework: Casework,
    design_text: str,
    folder: str | Path,
    *,
    progress: Progress = lambda step: None,
) -> Pack:
    """Write the whole pack of a design into `folder`, replacing an earlier pack there.

    `design_text` is the design file as used. Raises OutputError where the folder holds something
    else than a pack, or cannot be written.
    """
    folder = Path(folder)
    _refuse_other_files(folder)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        aside = Path(tempfile.mkdtemp(dir=folder.parent, prefix=f".{folder.name}."))
    except OSError as error:
        raise OutputError(f"{folder} cannot be written: {error.strerror or error}.") from None
    try:
        report = _fill(aside, casework, design_text, casework.design.shop.units, progress)
        files = tuple(sorted(p.relative_to(aside).as_posix() for p in _files(aside)))
        os.chmod(aside, 0o755)
        _swap(aside, folder)
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        raise OutputError(f"{folder} cannot be written: {error.strerror or error}.") from None
    finally:
        shutil.rmtree(aside, ignore_errors=True)
    return Pack(folder, files, report)


def findings_json(report: Report) -> str:
    """The findings as JSON, worst first."""
    return (
        json.dumps([_plain(f) for f in report.worst_first()], indent=1, ensure_ascii=False) + "\n"
    )


def _fill(
    folder: Path, casework: Casework, design_text: str, units: System, progress: Progress
) -> Report:
    def put(name: str, content: str | bytes) -> None:
        data = content.encode("utf-8") if isinstance(content, str) else content
        (folder / name).write_bytes(data)

    put("design.toml", design_text)
    progress("checks")
    report = check(casework)
    put("findings.json", findings_json(report))
    _shop_pages(casework, units, put, progress)
    progress("fit, cables, air and strength")
    _room_pages(casework, units, put)
    progress("solids")
    from kit import solid  # the kernel takes seconds to load, and no check needs it
    from kit.draw.pictorial import pictorial_svg

    solid.write_step(casework, folder / "model.step")
    solid.write_glb(casework, folder / "model.glb")
    progress("picture")
    put("console.svg", pictorial_svg(casework))
    progress("manifest")
    put(MANIFEST, _manifest(folder, casework))
    return report


def _shop_pages(
    casework: Casework,
    units: System,
    put: Callable[[str, str | bytes], None],
    progress: Progress,
) -> None:
    """What is taken to the saw: sheets, cuts, settings, steps, buy list, labels."""
    from kit.draw.labels import LabelPaper, labels_pdf, labels_svg  # the solvers and typst are
    from kit.draw.sheets import sheet_svg  # heavy, and no check needs them
    from kit.making import sheet_data
    from kit.making.labels import labels
    from kit.making.sheets import Effort, sheet_plan

    name = casework.design.name
    plan = sheet_plan(casework, Effort.FINAL, progress=lambda stock: progress(f"sheets: {stock}"))
    put("sheets.json", sheet_data.sheets_json(casework, plan))
    put("cut-order.csv", sheet_data.cuts_csv(casework, plan, units))
    drawn = [(one, sheet) for one in plan.stocks for sheet in one.layout.sheets]
    for number, (one, sheet) in enumerate(drawn, start=1):
        put(f"sheets-{number}.svg", sheet_svg(casework, one, sheet, units=units))
    progress("lists and labels")
    put("cut-list.csv", to_csv(cut_list(casework, plan.sheet_names), units))
    if changed := as_built.to_csv(casework, units):
        put("as-built.csv", changed)
    put("set-ups.csv", set_ups.to_csv(set_ups.set_up_sheet(casework), units))
    rows = buy_list.buy_list(casework, sheets=plan.bought)
    put("buy-list.csv", buy_list.to_csv(rows, units))
    put("steps.txt", steps.to_text(steps.steps(casework, units), name))
    paper = LabelPaper.LETTER if units is System.INCH else LabelPaper.A4
    stickers = labels(casework, plan, units)
    put("labels.pdf", labels_pdf(stickers, name, paper))
    for number, page in enumerate(labels_svg(stickers, name, paper), start=1):
        put(f"labels-{number}.svg", page)


def _room_pages(casework: Casework, units: System, put: Callable[[str, str | bytes], None]) -> None:
    """What tells how it will do in the room: depths, cables, air and heat, sag and tipping."""
    from kit.draw import airflow, heat_plots, strength  # matplotlib is heavy, and no check needs it
    from kit.draw.cables import cables_svg
    from kit.draw.depth_stack import depth_stack_svg
    from kit.making import cable_schedule, commissioning

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


def _manifest(folder: Path, casework: Casework) -> str:
    packages = ("casework-kit", "cadquery", "cadquery-ocp")
    content = {
        "design": casework.design.name,
        "design_sha256": fingerprint(casework.design),
        "versions": {"python": platform.python_version(), **{p: version(p) for p in packages}},
        "sha256": {
            path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
            for path in sorted(_files(folder))
        },
    }
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"


def _files(folder: Path) -> Iterator[Path]:
    return (path for path in folder.rglob("*") if path.is_file())


def _plain(finding: Finding) -> dict[str, object]:
    return {
        "check": finding.check,
        "subject": finding.subject,
        "status": finding.status.value,
        "measured": finding.measured,
        "required": finding.required,
        "sense": finding.sense.value,
        "unit": finding.unit,
        "why": finding.why,
        "assumes": finding.assumes,
        "source": finding.source,
        "fix": None
        if finding.fix is None
        else {"parameter": finding.fix.parameter, "value": finding.fix.value},
        "boards": list(finding.boards),
    }


def _refuse_other_files(folder: Path) -> None:
    """Replace only what this program wrote."""
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise OutputError(f"{folder} is not a folder; choose another place for the pack.")
    try:
        foreign = folder.is_dir() and any(folder.iterdir()) and not (folder / MANIFEST).is_file()
    except OSError as error:
        raise OutputError(f"{folder} cannot be read: {error.strerror or error}.") from None
    if foreign:
        raise OutputError(
            f"{folder} holds other files than a plan pack; choose an empty or a new folder."
        )


def _swap(fresh: Path, folder: Path) -> None:
    """Put `fresh` in the place of `folder`; put the old one back should that fail."""
    if not folder.exists():
        os.rename(fresh, folder)
        return
    old = Path(tempfile.mkdtemp(dir=folder.parent, prefix=f".{folder.name}.old."))
    os.rename(folder, old / "pack")
    try:
        os.rename(fresh, folder)
    except OSError:
        os.rename(old / "pack", folder)
        raise
    finally:
        shutil.rmtree(old, ignore_errors=True)
