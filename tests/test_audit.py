"""The whole chain of a pack agrees: cut list, solids, drawings, DXF, sheets, labels, buy list.

Random designs are written as packs, in inches and in millimetres, and read back by `auditing`:
`python tests/audit.py 200` does the same by hand, to as many as one has time for. The other
tests show that it sees what is wrong: each changes one thing in one written file.
"""

import json
import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from auditing import audited, disagreements
from auditing.designs import workshops
from auditing.writing import Pack, write_packs
from hypothesis import given

from kit.casework import Casework
from kit.units import System
from profiles import PACK, examples
from strategies import Plain, assemble

pytestmark = pytest.mark.slow


@examples(PACK, shrink=False)
@given(workshops())
def test_a_random_pack_agrees_with_itself(
    tmp_path_factory: pytest.TempPathFactory, plain: Plain
) -> None:
    folder = tmp_path_factory.mktemp("pack")
    assert disagreements(write_packs(assemble(plain)[1], folder)) == []
    shutil.rmtree(folder)


@pytest.fixture(scope="module")
def packs(tmp_path_factory: pytest.TempPathFactory, example: Casework) -> dict[System, Pack]:
    """The example as it is written in both systems."""
    written = write_packs(example, tmp_path_factory.mktemp("example"))
    return {pack.system: pack for pack in written}


def test_the_example_agrees_with_itself(packs: dict[System, Pack]) -> None:
    assert all(pack.laid_out for pack in packs.values())
    assert disagreements(packs.values()) == []


# --- the audit can fail -------------------------------------------------------------------


def swap(old: str, new: str) -> Callable[[str], str]:
    """Change the first place where a text stands."""

    def change(text: str) -> str:
        assert old in text, f"{old} is not there to be changed"
        return text.replace(old, new, 1)

    return change


def moved(text: str) -> str:
    """Two boards of the sheets nearer to each other than the kerf."""
    plan = json.loads(text)
    plan["stocks"][0]["sheets"][0]["boards"][1]["y"] -= 1.0
    return json.dumps(plan)


def without_a_hole(text: str) -> str:
    """The first circle of a DXF taken out."""
    left = re.sub(r"  0\r?\nCIRCLE\r?\n.*?(?=  0\r?\n[A-Z]+\r?\n)", "", text, count=1, flags=re.S)
    assert left != text
    return left


@pytest.mark.parametrize(
    ("name", "change", "said"),
    [
        ("cut-list.csv", swap("77 9/16 in", "77 1/2 in"), "A top says finished L 77 1/2 in"),
        ("cut-list.csv", swap("A,top,1,", "A,top,2,"), "top lies there 1 times; the cut list"),
        ("cut-list.csv", swap("edge 1,", ","), "edging goes on other sides in the steps"),
        ("cut-list.csv", swap("G,shelf-1", "G,shelf-9"), "its boards are not those of the STEP"),
        ("set-ups.csv", swap("D side-right: face B", "D side-left: face B"), "no such board"),
        ("set-ups.csv", swap("2.362 in", "2.262 in"), "holes 2.262 in wide"),
        ("dxf/divider-1.dxf", without_a_hole, "divider-1 lacks 1 holes of its solid"),
        ("dxf/divider-1.dxf", lambda t: t.replace("-D60.00", "-D61.00"), "a hole"),
        ("dxf/top.dxf", lambda t: re.sub(r"DADO-B-(\d)", r"DADO-B-1\1", t), "leaves"),
        ("parts/1-1.svg", swap("77 9/16 in", "77 7/16 in"), "top says 77 7/16 in"),
        ("sheets.json", moved, "the kerf is"),
        ("sheets.json", swap('"mark": "A"', '"mark": "C"'), "top is marked C"),
        ("buy-list.csv", swap("44 piece", "43 piece"), "need 43 pieces, and the steps use 44"),
        ("buy-list.csv", swap("oil-based clear varnish", "wax"), "the steps put on ['oil-based"),
        ("buy-list.csv", swap("pva", "pvb"), "pvb is bought, and nothing uses it"),
        ("buy-list.csv", swap("sheet,walnut-ply-1/4,", "sheet,birch-ply-4,"), "is not bought"),
        ("steps.txt", swap("36 x No. 6", "35 x No. 6"), "in parts 36"),
        ("steps.txt", swap("weighs 41 kg", "weighs 48 kg"), "48 kg is carried in"),
        ("cut-order.csv", swap(" in,lower edge", " mm,lower edge"), "units: cut-order.csv says"),
        ("cover.json", swap("46 kg", "44 kg"), "44 kg is printed, and the solids are"),
    ],
)
def test_one_thing_changed_in_one_file_is_named(
    packs: dict[System, Pack],
    tmp_path: Path,
    name: str,
    change: Callable[[str], str],
    said: str,
) -> None:
    pack = packs[System.INCH]
    folder = tmp_path / "pack"
    shutil.copytree(pack.folder, folder)
    (folder / name).write_text(change(pack.read(name)), "utf-8")
    problems = list(audited(replace(pack, folder=folder)))
    assert any(said in problem for problem in problems), problems


def test_other_labels_and_another_solid_are_named(
    packs: dict[System, Pack], tmp_path: Path
) -> None:
    pack = packs[System.METRIC]
    folder = tmp_path / "pack"
    shutil.copytree(pack.folder, folder)
    shutil.copy(packs[System.INCH].folder / "labels.pdf", folder)
    problems = list(audited(replace(pack, folder=folder)))
    assert any(problem.startswith("labels: top says 0.719 in x 20") for problem in problems)
    lighter = replace(pack.planned["top"], volume=pack.planned["top"].volume * 0.99)
    problems = list(audited(replace(pack, planned={**pack.planned, "top": lighter})))
    assert any(problem.startswith("mass: top is") for problem in problems), problems
    fewer = {name: wood for name, wood in pack.wood.items() if name != "shelf-1"}
    problems = list(audited(replace(pack, wood=fewer)))
    assert any("its boards are not those of the STEP file" in p for p in problems), problems
