"""STEP, GLB and DXF in other hands: what their own bytes and a second reader say of each board."""

import json
import os
import re
import struct
import subprocess
import sys
import tomllib
from pathlib import Path

import cadquery as cq
import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from kit import solid
from kit.casework import Casework, build
from kit.design_file import example_text, from_data
from kit.draw.pictorial import pictorial_svg
from kit.errors import OutputError


@pytest.fixture(scope="module")
def models(example: Casework, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("models")
    solid.write_step(example, folder / "model.step")
    solid.write_glb(example, folder / "model.glb")
    return folder


@pytest.fixture(scope="module")
def gltf(models: Path) -> dict:
    """The text inside the GLB: magic, version 2, length; then a JSON chunk and a binary one.

    Source: Khronos glTF 2.0, section 4.4 (from memory).
    """
    data = (models / "model.glb").read_bytes()
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    size, kind = struct.unpack_from("<I4s", data, 12)
    assert kind == b"JSON"
    return json.loads(data[20 : 20 + size])


def test_gmsh_reads_name_and_colour_of_every_board_from_step(
    example: Casework, models: Path
) -> None:
    gmsh = pytest.importorskip("gmsh")
    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.option.setNumber("Geometry.OCCImportLabels", 1)
        gmsh.model.occ.importShapes(str(models / "model.step"))
        gmsh.model.occ.synchronize()
        read = {
            gmsh.model.getEntityName(3, tag).rpartition("/")[2]: gmsh.model.getColor(3, tag)
            for _, tag in gmsh.model.getEntities(3)
        }
    finally:
        gmsh.finalize()
    assert list(read) == [board.name for board in example.boards]
    for board in example.boards:
        shown = [share * 255 for share in solid.tint(board)]  # sRGB, as a viewer shows it
        assert read[board.name][:3] == pytest.approx(shown, abs=0.51), board.name
        assert read[board.name][3] == 255


def test_a_board_has_the_colour_of_its_stock(example: Casework, models: Path) -> None:
    """A plain upright board: the very colour of the table of materials, as STEP writes it."""
    board = example.by_name["divider-1"]
    code = board.stock.colour.lstrip("#")
    wanted = [int(code[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    text = (models / "model.step").read_text(encoding="ascii")
    written = [
        [float(share) for share in rgb.split(",")]
        for rgb in re.findall(r"COLOUR_RGB\('',([^)]*)\)", text)
    ]
    assert any(colour == pytest.approx(wanted, abs=1e-6) for colour in written)


def test_glb_names_every_board_in_its_own_text(example: Casework, gltf: dict) -> None:
    (root,) = gltf["scenes"][gltf["scene"]]["nodes"]
    names = [gltf["nodes"][child]["name"] for child in gltf["nodes"][root]["children"]]
    assert names == [board.name for board in example.boards]
    assert gltf["nodes"][root]["name"] == "film-room-console"


def test_glb_colours_are_linear_and_opaque(example: Casework, gltf: dict) -> None:
    """Base colours of glTF are linear; IEC 61966-2-1 turns the sRGB of the table into them."""
    for node in gltf["nodes"]:
        if "mesh" not in node:
            continue
        (part,) = gltf["meshes"][node["mesh"]]["primitives"]
        *colour, opacity = gltf["materials"][part["material"]]["pbrMetallicRoughness"][
            "baseColorFactor"
        ]
        srgb = np.array(solid.tint(example.by_name[node["name"]]))
        linear = np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)
        assert colour == pytest.approx(linear, abs=1e-4), node["name"]
        assert not np.allclose(colour, srgb, atol=0.05)
        assert opacity == 1.0


def test_glb_places_every_board_in_metres_with_y_up(example: Casework, gltf: dict) -> None:
    """Each box as the file itself states it: limits of the vertices, turned and moved."""
    for node in gltf["nodes"]:
        if "mesh" not in node:
            continue
        (part,) = gltf["meshes"][node["mesh"]]["primitives"]
        limits = gltf["accessors"][part["attributes"]["POSITION"]]
        ends = np.array([limits["min"], limits["max"]])
        turned = Rotation.from_quat(node.get("rotation", [0, 0, 0, 1])).apply(ends)
        at = turned + node.get("translation", [0, 0, 0])
        x, y, z = np.sort(at, axis=0).T * 1000
        box = example.by_name[node["name"]].box
        told = [(x[0], -z[1], y[0]), (x[1], -z[0], y[1])]  # X right, Y up, Z to the front
        assert np.array(told) == pytest.approx(np.array([box.lo, box.hi]), abs=1e-3), node["name"]


def test_the_files_tell_nothing_of_where_and_when_they_were_written(models: Path) -> None:
    for file in models.iterdir():
        data = file.read_bytes()
        assert str(models).encode() not in data
        assert b".draft-" not in data
    head = (models / "model.step").read_text(encoding="ascii").partition("DATA;")[0]
    assert re.findall(r"\d{4}-\d\d-\d\dT[\d:]+", head) == ["2000-01-01T00:00:00"]


def test_what_was_asked_of_the_kernel_before_leaves_no_trace(
    example: Casework, models: Path, tmp_path: Path
) -> None:
    """Its booleans change what they are given; the solids of the boards are shared."""
    assert solid.interference(example.boards) == ()
    pictorial_svg(example)
    solid.write_step(example, tmp_path / "model.step")
    solid.write_glb(example, tmp_path / "model.glb")
    for name in ("model.step", "model.glb"):
        assert (tmp_path / name).read_bytes() == (models / name).read_bytes()


@pytest.mark.slow
def test_many_files_written_before_leave_no_trace(
    example: Casework, models: Path, tmp_path: Path
) -> None:
    """The writer numbers the parts of a whole process, and breaks lines by that number's width."""
    crowd = cq.Assembly()
    for number in range(1000):
        crowd.add(cq.Workplane().box(1, 1, 1), name=f"box-{number}")
    crowd.export(str(tmp_path / "crowd.step"))
    solid.write_step(example, tmp_path / "model.step")
    assert (tmp_path / "model.step").read_bytes() == (models / "model.step").read_bytes()


_WRITE = """
import sys, tomllib
from pathlib import Path
from kit import solid
from kit.casework import build
from kit.design_file import example_text, from_data
from kit.draw.dxf import dxf_files
folder = Path(sys.argv[1])
work = build(from_data(tomllib.loads(example_text())))
solid.write_step(work, folder / "model.step")
solid.write_glb(work, folder / "model.glb")
for name, text in dxf_files(work):
    (folder / name).write_text(text, encoding="utf-8")
"""


@pytest.mark.slow
def test_another_run_of_the_program_writes_the_same_bytes(models: Path, tmp_path: Path) -> None:
    """Addresses, order of hashing, time zone and date differ from run to run; the files do not."""
    runs = []
    for seed, zone in (("1", "UTC"), ("77", "Pacific/Kiritimati")):
        folder = tmp_path / seed
        folder.mkdir()
        settings = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone}
        subprocess.run([sys.executable, "-c", _WRITE, str(folder)], check=True, env=settings)
        runs.append({file.name: file.read_bytes() for file in folder.iterdir()})
    assert runs[0] == runs[1]
    assert len(runs[0]) > 10
    for name in ("model.step", "model.glb"):
        assert runs[0][name] == (models / name).read_bytes()


@pytest.mark.slow
@pytest.mark.parametrize(
    "name",
    ["'); ENDSEC; END-ISO-10303-21;", 'a"b\\X2\\0041\\X0\\', "é漢🪑\u200b", "x" * 80, "#1=$;''"],
)
def test_no_name_of_a_maker_breaks_a_model(name: str, tmp_path: Path) -> None:
    """Design and gear are named like that; the kernel reads STEP back, a reader of JSON the GLB."""
    data = tomllib.loads(example_text()) | {"name": name}
    data["gear"] = [row | {"name": f"{name[:70]} {n}"} for n, row in enumerate(data["gear"])]
    data.pop("cable")
    work = build(from_data(data))
    file = tmp_path / "'); ENDSEC;é.step"
    solid.write_step(work, file)
    assert list(solid.read_step(file)) == [board.name for board in work.boards]
    text = file.read_text(encoding="ascii")
    assert text.count("END-ISO-10303-21;") == 1
    assert text.count("ENDSEC;") == 2
    solid.write_glb(work, tmp_path / "a.glb")
    data = (tmp_path / "a.glb").read_bytes()
    nodes = json.loads(data[20 : 20 + struct.unpack_from("<I", data, 12)[0]])["nodes"]
    assert {board.name for board in work.boards} < {node["name"] for node in nodes}
    named = [part.name for part in solid.assembly(work, gear=True).children]
    assert all(re.fullmatch(r"[a-z0-9-]+", one) for one in named)
    assert len(set(named)) == len(named)


def test_a_model_replaces_no_other_kind_of_file(example: Casework, tmp_path: Path) -> None:
    mine, old = tmp_path / "mine.toml", tmp_path / "old.step"
    mine.write_text("mine")
    (tmp_path / "link.step").symlink_to("mine.toml")
    for write in (solid.write_step, solid.write_glb):
        for name in ("mine.toml", "link.step"):
            with pytest.raises(OutputError, match="another kind of file, and was left alone"):
                write(example, tmp_path / name)
    assert mine.read_text() == "mine"
    old.write_text("ISO-10303-21;\nof before")
    (tmp_path / "to-old.step").symlink_to("old.step")
    solid.write_step(example, tmp_path / "to-old.step")
    assert (tmp_path / "to-old.step").is_symlink()
    assert old.read_text().rstrip().endswith("END-ISO-10303-21;")
    assert sorted(p.name for p in tmp_path.iterdir()) == [
        "link.step",
        "mine.toml",
        "old.step",
        "to-old.step",
    ]
