import csv
import hashlib
import json
import threading
from concurrent.futures import ThreadPoolExecutor
from contextlib import nullcontext
from dataclasses import replace

import pytest
from pypdf import PdfReader

from kit.__main__ import main
from kit.design_file import example_text, fingerprint, parse
from kit.errors import CancelledError, OutputError
from kit.paper import Paper
from kit.plan_pack import Released, Step, files, write_pack
from kit.plan_pack.compile import book_pdf
from kit.plan_pack.drawings import Drawings
from kit.units import System

FILES = {
    "air.svg",
    "buy-list.csv",
    "cables.csv",
    "cables.svg",
    "commissioning.txt",
    "console.svg",
    "cut-list.csv",
    "cut-order.csv",
    "depths.svg",
    "design.toml",
    "evening.svg",
    "findings.json",
    "labels-1.svg",
    "labels-2.svg",
    "labels.pdf",
    "manifest.json",
    "model.glb",
    "model.step",
    "plan.pdf",
    "sag.svg",
    "set-ups.csv",
    "sheets-1.svg",
    "sheets-2.svg",
    "sheets-3.svg",
    "sheets-4.svg",
    "sheets.json",
    "sight-plan.svg",
    "sight-side.svg",
    "steps.txt",
    "tipping.svg",
    "vents.svg",
} | {
    f"dxf/{name}.dxf"
    for name in (
        *("top", "bottom", "side-left", "side-right", "divider-1", "divider-2", "shelf-1"),
        *("shelf-2", "back-1", "back-2", "door-1", "door-2", "base-front", "base-back"),
        *("base-end-left", "base-end-right", "base-cross-1", "base-cross-2"),
    )
}


@pytest.fixture(scope="module")
def pack(tmp_path_factory):
    folder = tmp_path_factory.mktemp("packs") / "console"
    assert main(["plan", "--out", str(folder)]) == 0
    return folder


def test_the_pack_is_whole(pack, example, example_report):
    written = {p.relative_to(pack).as_posix() for p in pack.rglob("*") if p.is_file()}
    assert written == FILES
    assert {f"dxf/{name}.dxf" for name in example.by_name} < FILES
    assert [p.name for p in pack.parent.iterdir()] == ["console"]
    assert (pack / "design.toml").read_text() == example_text()
    assert len(json.loads((pack / "findings.json").read_text())) == len(example_report)


def test_the_manifest_holds_true(pack):
    manifest = json.loads((pack / "manifest.json").read_text())
    assert manifest["design_sha256"] == fingerprint(parse(example_text()))
    assert set(manifest["sha256"]) == FILES - {"manifest.json"}
    for name, digest in manifest["sha256"].items():
        assert hashlib.sha256((pack / name).read_bytes()).hexdigest() == digest


def test_the_cut_list_has_every_board_once(pack, example):
    rows = list(csv.DictReader((pack / "cut-list.csv").open()))
    assert [row["name"] for row in rows] == [board.name for board in example.boards]
    assert all(row["finished L"].endswith(" in") for row in rows)


def test_the_example_is_released_and_every_page_says_so(pack):
    assert json.loads((pack / "manifest.json").read_text())["released"] is True
    for page in PdfReader(pack / "plan.pdf").pages:
        text = page.extract_text()
        assert "RELEASED" in text
        assert "DRAFT" not in text


@pytest.mark.slow
def test_a_thickness_that_nobody_measured_keeps_a_pack_a_draft(
    tmp_path, monkeypatch, rebuilt, capsys
):
    monkeypatch.setattr("kit.solid.write_step", lambda casework, path: path.write_text(""))
    work = rebuilt({"measured.thickness": {}})
    write_pack(work, "", tmp_path / "pack")
    manifest = json.loads((tmp_path / "pack" / "manifest.json").read_text())
    assert manifest["released"] is False
    assert manifest["draft_because"] == [
        f"the thickness of {key} is not measured"
        for key in ("walnut-ply-3/4", "walnut-ply-1/4", "walnut-ply-1/2")
    ]
    for page in PdfReader(tmp_path / "pack" / "plan.pdf").pages:
        assert "DRAFT: the thickness of walnut-ply-3/4" in " ".join(page.extract_text().split())


@pytest.fixture
def no_solids(monkeypatch):
    """Packs without their solids and drawings, which take time; the gate lets them through."""

    def empty(casework, paper, *, progress):
        for step in (Step.VIEWS, Step.PARTS, Step.APART, Step.TEMPLATES):
            progress(step)
        return Drawings((), (), {}, ())

    monkeypatch.setattr(files, "tried", lambda boards: nullcontext(lambda cancelled: None))
    monkeypatch.setattr("kit.plan_pack.drawings.drawings", empty)
    monkeypatch.setattr("kit.plan_pack.standing.standing", lambda *_: Released())
    monkeypatch.setattr("kit.draw.dxf.dxf_files", lambda casework: ())
    monkeypatch.setattr("kit.solid.write_step", lambda casework, path: path.write_text(""))
    monkeypatch.setattr("kit.solid.write_glb", lambda casework, path: path.write_text(""))


@pytest.mark.parametrize(
    ("asked", "width_mm"),
    [
        ((), 279.4),
        pytest.param(("--units", "mm"), 297.0, marks=pytest.mark.slow),
        (("--units", "mm", "--paper", "tabloid"), 431.8),
    ],
)
def test_the_paper_goes_by_the_units_unless_one_is_asked_for(no_solids, tmp_path, asked, width_mm):
    assert main(["plan", "--out", str(tmp_path / "pack"), *asked]) == 0
    page = PdfReader(tmp_path / "pack" / "plan.pdf").pages[0]
    assert float(page.mediabox.width) * 25.4 / 72 == pytest.approx(width_mm, abs=0.1)


def test_the_design_may_name_the_paper(no_solids, tmp_path, example):
    pack = example.design.pack.model_copy(update={"paper": Paper.A3})
    design = example.design.model_copy(update={"pack": pack})
    named = replace(example, design=design)
    written = write_pack(named, example_text(), tmp_path / "pack")
    page = PdfReader(tmp_path / "pack" / "plan.pdf").pages[0]
    assert float(page.mediabox.width) * 25.4 / 72 == pytest.approx(420.0, abs=0.1)
    assert book_pdf(written.book) == (tmp_path / "pack" / "plan.pdf").read_bytes()
    assert written.standing == written.book.standing == Released()


def test_units_are_those_asked_for(no_solids, tmp_path, example):
    design = example.design.model_copy(
        update={"shop": example.design.shop.model_copy(update={"units": System.METRIC})}
    )
    write_pack(replace(example, design=design), example_text(), tmp_path / "mm")
    rows = list(csv.DictReader((tmp_path / "mm" / "cut-list.csv").open()))
    assert rows[0]["finished W"] == "533.5 mm"  # 21 in, 533.4 mm
    assert " in" not in (tmp_path / "mm" / "cut-list.csv").read_text().split("\n", 1)[1].replace(
        " in walnut", ""
    )


@pytest.mark.slow
def test_a_run_that_fails_leaves_the_earlier_pack(pack, example, monkeypatch):
    before = {p: p.read_bytes() for p in pack.rglob("*") if p.is_file()}

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files, "manifest", full)
    with pytest.raises(OutputError, match="No space left"):
        write_pack(example, "changed", pack)
    assert {p: p.read_bytes() for p in pack.rglob("*") if p.is_file()} == before
    assert [p.name for p in pack.parent.iterdir()] == ["console"]


@pytest.mark.slow
def test_a_run_that_is_stopped_leaves_the_earlier_pack(pack, example, monkeypatch):
    before = {p: p.read_bytes() for p in pack.rglob("*") if p.is_file()}

    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(files, "manifest", stopped)
    with pytest.raises(KeyboardInterrupt):
        write_pack(example, "changed", pack)
    assert {p: p.read_bytes() for p in pack.rglob("*") if p.is_file()} == before


@pytest.mark.slow
def test_the_same_design_gives_the_same_files_in_a_thread_too_and_tells_its_steps(
    pack, tmp_path, example
):
    told = []
    with ThreadPoolExecutor(1) as thread:
        thread.submit(
            write_pack, example, example_text(), tmp_path / "pack", progress=told.append
        ).result()
    assert list(dict.fromkeys(now.step for now in told)) == list(Step)
    assert [now.done for now in told if now.step is not Step.SHEETS] == [0, *range(2, len(Step))]
    assert {now.of for now in told} == {len(Step)}
    assert [str(now) for now in told if now.step is Step.SHEETS] == [
        f"sheets: {stock.label}" for stock in example.stocks
    ]
    for name in FILES:
        assert (tmp_path / "pack" / name).read_bytes() == (pack / name).read_bytes(), name


@pytest.mark.parametrize("step", Step)
def test_a_run_that_is_cancelled_leaves_the_earlier_pack(no_solids, pack, example, step):
    before = {p: p.read_bytes() for p in pack.rglob("*") if p.is_file()}
    stop, told = threading.Event(), []

    def progress(now):
        told.append(now.step)
        if now.step is step:
            stop.set()

    with ThreadPoolExecutor(1) as thread:
        run = thread.submit(
            write_pack, example, "changed", pack, progress=progress, cancelled=stop.is_set
        )
        with pytest.raises(CancelledError, match="nothing was changed"):
            run.result()
    assert told[-1] is step
    assert {p: p.read_bytes() for p in pack.rglob("*") if p.is_file()} == before
    assert [p.name for p in pack.parent.iterdir()] == ["console"]


def test_a_run_cancelled_before_there_was_a_pack_leaves_nothing(no_solids, tmp_path, example):
    with pytest.raises(CancelledError):
        write_pack(example, example_text(), tmp_path / "pack", cancelled=lambda: True)
    assert list(tmp_path.iterdir()) == []


def test_a_layout_of_sheets_is_cancelled_while_it_is_looked_for(monkeypatch, tmp_path, example):
    """It may take ten seconds a stock; `test_layout` has that the search heeds its `cancelled`."""
    stop = threading.Event()

    def search(*_, cancelled, **__):
        stop.set()
        raise CancelledError("heeded") if cancelled() else AssertionError("not told")

    monkeypatch.setattr("kit.making.sheets.final_layout", search)
    with pytest.raises(CancelledError, match="heeded"):
        write_pack(example, example_text(), tmp_path / "pack", cancelled=stop.is_set)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_of_something_else_is_left_alone(tmp_path, example):
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "to-the-mayor.txt").write_text("Dear Mayor")
    with pytest.raises(OutputError, match="holds other files"):
        write_pack(example, example_text(), tmp_path / "letters")
    assert (tmp_path / "letters" / "to-the-mayor.txt").read_text() == "Dear Mayor"
    with pytest.raises(OutputError, match="not a folder"):
        write_pack(example, example_text(), tmp_path / "letters" / "to-the-mayor.txt")
