import csv
import hashlib
import json
from dataclasses import replace

import pytest

from kit import plan_pack
from kit.__main__ import main
from kit.checks import check
from kit.design_file import example_text, fingerprint, parse
from kit.errors import OutputError
from kit.plan_pack import write_pack
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
    "sag.svg",
    "set-ups.csv",
    "sheets-1.svg",
    "sheets-2.svg",
    "sheets-3.svg",
    "sheets-4.svg",
    "sheets.json",
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


def test_units_are_those_asked_for(tmp_path, example, monkeypatch):
    monkeypatch.setattr("kit.solid.write_step", lambda casework, path: path.write_text(""))
    monkeypatch.setattr("kit.solid.write_glb", lambda casework, path: path.write_text(""))
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

    monkeypatch.setattr(plan_pack, "_manifest", full)
    with pytest.raises(OutputError, match="No space left"):
        write_pack(example, "changed", pack)
    assert {p.name: p.read_bytes() for p in pack.iterdir()} == before
    assert [p.name for p in pack.parent.iterdir()] == ["console"]


def test_a_run_that_is_stopped_leaves_the_earlier_pack(pack, example, monkeypatch):
    before = {p.name: p.read_bytes() for p in pack.iterdir()}

    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(plan_pack, "_manifest", stopped)
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
