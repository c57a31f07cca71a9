import csv
import hashlib
import json
from dataclasses import replace

import pytest
from pypdf import PdfReader

from kit.__main__ import main
from kit.checks import check
from kit.design_file import example_text, fingerprint, parse
from kit.errors import OutputError
from kit.plan_pack import Released, files, write_pack
from kit.title_block import Paper
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
}


@pytest.fixture(scope="module")
def pack(tmp_path_factory):
    folder = tmp_path_factory.mktemp("packs") / "console"
    assert main(["plan", "--out", str(folder)]) == 0
    return folder


def test_the_pack_is_whole(pack, example):
    assert {p.name for p in pack.iterdir()} == FILES
    assert [p.name for p in pack.parent.iterdir()] == ["console"]
    assert (pack / "design.toml").read_text() == example_text()
    assert len(json.loads((pack / "findings.json").read_text())) == len(check(example))


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


def test_the_same_design_gives_the_same_files(pack, tmp_path, example):
    again = tmp_path / "again"
    write_pack(example, example_text(), again)
    for name in FILES:
        assert (again / name).read_bytes() == (pack / name).read_bytes(), name


@pytest.fixture
def no_solids(monkeypatch):
    """Packs without their solids, which take time."""
    monkeypatch.setattr("kit.solid.write_step", lambda casework, path: path.write_text(""))
    monkeypatch.setattr("kit.solid.write_glb", lambda casework, path: path.write_text(""))


@pytest.mark.parametrize(
    ("asked", "width_mm"),
    [((), 279.4), (("--units", "mm"), 297.0), (("--units", "mm", "--paper", "tabloid"), 431.8)],
)
def test_the_paper_goes_by_the_units_unless_one_is_asked_for(no_solids, tmp_path, asked, width_mm):
    assert main(["plan", "--out", str(tmp_path / "pack"), *asked]) == 0
    page = PdfReader(tmp_path / "pack" / "plan.pdf").pages[0]
    assert float(page.mediabox.width) * 25.4 / 72 == pytest.approx(width_mm, abs=0.1)
    assert "DRAFT: not passed through the release gate" in page.extract_text()


def test_the_design_may_name_the_paper_and_the_gate_may_release(no_solids, tmp_path, example):
    pack = example.design.pack.model_copy(update={"paper": Paper.A3})
    design = example.design.model_copy(update={"pack": pack})
    named = replace(example, design=design)
    write_pack(named, example_text(), tmp_path / "pack", standing=Released())
    page = PdfReader(tmp_path / "pack" / "plan.pdf").pages[0]
    assert float(page.mediabox.width) * 25.4 / 72 == pytest.approx(420.0, abs=0.1)
    assert "RELEASED" in page.extract_text()


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


def test_a_run_that_fails_leaves_the_earlier_pack(pack, example, monkeypatch):
    before = {p.name: p.read_bytes() for p in pack.iterdir()}

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files, "manifest", full)
    with pytest.raises(OutputError, match="No space left"):
        write_pack(example, "changed", pack)
    assert {p.name: p.read_bytes() for p in pack.iterdir()} == before
    assert [p.name for p in pack.parent.iterdir()] == ["console"]


def test_a_run_that_is_stopped_leaves_the_earlier_pack(pack, example, monkeypatch):
    before = {p.name: p.read_bytes() for p in pack.iterdir()}

    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(files, "manifest", stopped)
    with pytest.raises(KeyboardInterrupt):
        write_pack(example, "changed", pack)
    assert {p.name: p.read_bytes() for p in pack.iterdir()} == before


def test_a_folder_of_something_else_is_left_alone(tmp_path, example):
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "to-the-mayor.txt").write_text("Dear Mayor")
    with pytest.raises(OutputError, match="holds other files"):
        write_pack(example, example_text(), tmp_path / "letters")
    assert (tmp_path / "letters" / "to-the-mayor.txt").read_text() == "Dear Mayor"
    with pytest.raises(OutputError, match="not a folder"):
        write_pack(example, example_text(), tmp_path / "letters" / "to-the-mayor.txt")
