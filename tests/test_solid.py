"""Solids: as large as their closed forms, where they belong, whole in every file."""

import re
from dataclasses import replace
from itertools import pairwise
from math import cos, hypot, pi, radians, sin
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given

from kit import solid
from kit.board import Board, Feature, Surface
from kit.casework import Casework
from kit.design import Design
from kit.errors import OutputError, SolidError
from kit.geometry import Box, Drill, Heading, Place, Wedge, cutter_box
from kit.joinery import (
    Chamfer,
    Dado,
    EdgeRabbet,
    EndRabbet,
    Groove,
    Hole,
    HoleRow,
    Notch,
    PocketHoles,
    SlotField,
    cross_pins,
    house,
)
from kit.materials import stock
from profiles import BOARDS, examples
from strategies import built

#: Board of the single-feature tests, mm; no two sizes alike, so that no axis can be mixed up.
LENGTH, WIDTH, THICK = 600.0, 300.0, 18.0
STOCK = stock("birch-ply-18", [THICK])

#: A right-handed place and a left-handed one, neither along the axes of the room.
PLACES = {
    "right-handed": Place((7.0, 11.0, 13.0), Heading.UP, Heading.BACK, Heading.LEFT),
    "left-handed": Place((7.0, 11.0, 13.0), Heading.UP, Heading.BACK, Heading.RIGHT),
}


def a_board(*features: Feature, place: Place = PLACES["right-handed"], name: str = "b") -> Board:
    return Board(name=name, stock=STOCK, width=WIDTH, length=LENGTH, place=place, features=features)


# --- one feature at a time ------------------------------------------------------------------

A, B = Surface.FACE_A, Surface.FACE_B
E1, E2, N1, N2 = Surface.EDGE_1, Surface.EDGE_2, Surface.END_1, Surface.END_2
#: A pocket slants by 15 degrees and comes out at half the thickness: its axis, and the part of
#: it beyond the shoulder, the thickness or what keeps the shoulder whole in the wood.
SIN, COS = sin(radians(15)), cos(radians(15))
AXIS = THICK / 2 / SIN
WEB = min(THICK, (THICK / 2 - 4.75 * COS - 0.2) / SIN)

#: Feature and the wood it takes, mm3, written out here from the geometry of each cut.
FEATURES: dict[str, tuple[Feature, float]] = {
    "end rabbet": (
        EndRabbet(surface=B, offset=0, width=18.2, depth=12, start=0, stop=WIDTH),
        18.2 * 12 * WIDTH,
    ),
    "edge rabbet": (
        EdgeRabbet(surface=A, offset=WIDTH - 6.3, width=6.3, depth=9, start=0, stop=LENGTH),
        6.3 * 9 * LENGTH,
    ),
    "dado": (
        Dado(surface=B, offset=200, width=18.4, depth=6, start=0, stop=WIDTH),
        18.4 * 6 * WIDTH,
    ),
    "stopped dado": (
        Dado(surface=A, offset=200, width=18.4, depth=6, start=40, stop=WIDTH),
        18.4 * 6 * (WIDTH - 40),
    ),
    "stopped groove": (
        Groove(surface=B, offset=30, width=6.5, depth=7, start=50, stop=500),
        6.5 * 7 * 450,
    ),
    "hole": (Hole(surface=A, at=(150, 100), diameter=60), pi * 30**2 * THICK),
    "blind hole": (Hole(surface=B, at=(150, 100), diameter=35, depth=13), pi * 17.5**2 * 13),
    "hole in an edge": (Hole(surface=E2, at=(150, 9), diameter=8, depth=40), pi * 16 * 40),
    "hole through the width": (Hole(surface=E1, at=(150, 9), diameter=8), pi * 16 * WIDTH),
    "hole in an end": (Hole(surface=N1, at=(60, 9), diameter=8, depth=40), pi * 16 * 40),
    "hole row": (
        HoleRow(surface=A, at=(64, 37), pitch=32, count=9, along=0, diameter=5, depth=8),
        9 * pi * 2.5**2 * 8,
    ),
    "row of through holes": (
        HoleRow(surface=B, at=(64, 37), pitch=32, count=5, along=1, diameter=5),
        5 * pi * 2.5**2 * THICK,
    ),
    "slot field along": (
        SlotField(at=(300, 60), slot_length=480, slot_width=12.7, pitch=31.7, count=6, along=0),
        6 * ((480 - 12.7) * 12.7 + pi * 6.35**2) * THICK,
    ),
    "slot field across": (
        SlotField(at=(60, 150), slot_length=200, slot_width=12, pitch=30, count=16, along=1),
        16 * ((200 - 12) * 12 + pi * 36) * THICK,
    ),
    "round slots": (
        SlotField(at=(60, 150), slot_length=12, slot_width=12, pitch=30, count=3, along=1),
        3 * pi * 36 * THICK,
    ),
    "pocket holes in an end": (
        PocketHoles(surface=B, exit=N2, stations=(60, 240)),
        2 * pi * (4.75**2 * (AXIS - WEB) + 2**2 * WEB),
    ),
    "pocket holes in an edge": (
        PocketHoles(surface=A, exit=E1, stations=(60, 240, 500)),
        3 * pi * (4.75**2 * (AXIS - WEB) + 2**2 * WEB),
    ),
    "corner notch": (Notch(lo=(0, 0), hi=(20, 100)), 20 * 100 * THICK),
    "edge notch": (Notch(lo=(250, 210), hi=(330, WIDTH)), 80 * 90 * THICK),
    "chamfer on one edge": (Chamfer(surface=A, on=(E1,), size=3), 4.5 * LENGTH),
    "chamfer on two edges": (
        # where two meet at a corner both take the same pyramid: size cubed over three
        Chamfer(surface=B, on=(E2, N1), size=3),
        4.5 * (LENGTH + WIDTH) - 9,
    ),
    "chamfer all round": (
        Chamfer(surface=B, on=(E1, E2, N1, N2), size=3),
        2 * 4.5 * (LENGTH + WIDTH) - 4 * 9,
    ),
}  # fmt: skip


@pytest.mark.parametrize("place", PLACES.values(), ids=PLACES)
@pytest.mark.parametrize(("feature", "taken"), FEATURES.values(), ids=FEATURES)
def test_each_feature_alone_takes_its_closed_form(
    feature: Feature, taken: float, place: Place
) -> None:
    board = a_board(feature, place=place)
    made = solid.solid(board)
    wood = LENGTH * WIDTH * THICK - taken
    assert made.Volume() == pytest.approx(wood, rel=1e-6)
    assert board.volume_mm3 == pytest.approx(wood, rel=1e-9)
    # 1e-6 of a board is much of a small hole: the wood taken agrees too
    assert LENGTH * WIDTH * THICK - made.Volume() == pytest.approx(taken, rel=1e-6)


@pytest.mark.parametrize("place", PLACES.values(), ids=PLACES)
@pytest.mark.parametrize("feature", [f for f, _ in FEATURES.values()], ids=FEATURES)
def test_each_feature_is_cut_where_it_belongs(feature: Feature, place: Place) -> None:
    board = a_board(feature, place=place)
    made = solid.placed(board)
    assert_same_box(solid_box(made), board.box)
    for cutter in board.cutters:
        middle = cutter_box(cutter).centre
        if isinstance(cutter, Drill):
            middle = tuple((a + b) / 2 for a, b in zip(cutter.entry, cutter.end, strict=True))
        if isinstance(cutter, Wedge):
            legs = zip(cutter.corner, cutter.a, cutter.b, cutter.run, strict=True)
            middle = tuple(c + (a + b) / 3 + r / 2 for c, a, b, r in legs)
        assert not made.isInside(board.place.to_room(middle)), "wood where the cutter went"
        hull, (x, y, _) = cutter_box(cutter), middle
        if (hull.lo[2] < 1e-6) is not (hull.hi[2] > THICK - 1e-6):  # cut from one face only:
            z = 0.1 if hull.lo[2] > 1e-6 else THICK - 0.1  # there is wood at the other
            assert made.isInside(board.place.to_room((x, y, z)))


def test_a_left_handed_board_is_the_mirror_image_of_its_twin() -> None:
    features = (
        FEATURES["end rabbet"][0],
        FEATURES["hole row"][0],
        FEATURES["pocket holes in an end"][0],
        FEATURES["corner notch"][0],
    )
    left, right = (solid.placed(a_board(*features, place=p)) for p in PLACES.values())
    one, two = left.Center().toTuple(), right.Center().toTuple()
    assert one[1:] == pytest.approx(two[1:], abs=1e-7)
    assert one[0] - 7 == pytest.approx(7 - two[0], abs=1e-7)


def test_cross_pins_take_their_closed_form() -> None:
    side = replace(a_board(), name="side", place=PLACES["right-handed"])
    t = THICK
    box = Box((7 - t + 6, 11, 13), (400, 11 + WIDTH, 13 + t))  # its end 12 mm deep in the side
    lid = Board(
        name="lid", stock=STOCK, length=box.size[0], width=WIDTH,
        place=Place.of(box, Heading.RIGHT, Heading.BACK, Heading.DOWN),
    )  # fmt: skip
    in_side, in_end = cross_pins(side, lid, diameter=6, depth=32, stations=(50, 100, 3))
    rabbet = house(side, lid)
    pinned = side.having(rabbet, in_side)
    taken = rabbet.width * rabbet.depth * WIDTH + 3 * pi * 9 * (t - rabbet.depth)
    wood = LENGTH * WIDTH * t - taken
    assert solid.solid(pinned).Volume() == pytest.approx(wood, rel=1e-9)
    ended = lid.having(in_end)
    wood = box.volume_mm3 - 3 * pi * 9 * 32
    assert solid.solid(ended).Volume() == pytest.approx(wood, rel=1e-9)
    assert solid.interference([pinned, ended]) == ()


def test_cuts_that_overlap_count_once() -> None:
    cuts = ("end rabbet", "edge rabbet", "dado", "stopped groove", "corner notch")
    board = a_board(*(FEATURES[name][0] for name in cuts))
    assert solid.solid(board).Volume() == pytest.approx(board.volume_mm3, rel=1e-9)
    assert board.volume_mm3 > LENGTH * WIDTH * THICK - sum(FEATURES[name][1] for name in cuts)


def test_holes_that_run_into_each_other_or_a_dado_are_still_cut() -> None:
    two = a_board(
        Hole(surface=A, at=(150, 100), diameter=60), Hole(surface=A, at=(180, 100), diameter=60)
    )
    lens = 2 * 900 * np.arccos(30 / 60) - 15 * np.sqrt(4 * 900 - 900)  # textbook: two equal circles
    taken = (2 * pi * 900 - lens) * THICK
    assert LENGTH * WIDTH * THICK - solid.solid(two).Volume() == pytest.approx(taken, rel=1e-9)
    crossed = a_board(FEATURES["dado"][0], Hole(surface=A, at=(209.2, 100), diameter=10))
    taken = FEATURES["dado"][1] + pi * 25 * (THICK - 6)
    assert LENGTH * WIDTH * THICK - solid.solid(crossed).Volume() == pytest.approx(taken, rel=1e-9)


def test_twins_of_the_example_share_one_solid(example: Casework) -> None:
    board = example.by_name
    for one, two in (
        ("door-1", "door-2"),
        ("base-front", "base-back"),
        ("base-end-left", "base-end-right"),
        ("base-cross-1", "base-cross-2"),
    ):
        assert solid.solid(board[one]) is solid.solid(board[two])
    assert solid.solid(board["side-left"]) is not solid.solid(board["side-right"])


def test_a_board_and_its_mirror_image_differ_where_no_turn_makes_them_one() -> None:
    lopsided = (FEATURES["hole"][0], FEATURES["blind hole"][0], FEATURES["corner notch"][0])
    left, right = (a_board(*lopsided, place=place) for place in PLACES.values())
    assert solid.solid(left) is not solid.solid(right)
    even = (FEATURES["chamfer all round"][0],)
    left, right = (a_board(*even, place=place) for place in PLACES.values())
    assert solid.solid(left) is solid.solid(right)


def test_equal_boards_share_one_solid() -> None:
    one = a_board(FEATURES["hole row"][0], name="one")
    two = a_board(FEATURES["hole row"][0], name="two")
    moved = replace(two, place=Place((900, 0, 0), Heading.RIGHT, Heading.UP, Heading.FRONT))
    assert solid.solid(one) is solid.solid(moved)
    assert solid.solid(one) is not solid.solid(a_board(FEATURES["dado"][0]))


@pytest.mark.parametrize(
    ("notches", "words"),
    [
        ([((0, 0), (300, 150)), ((300, 0), (600, 150)), ((0, 150), (300, 300)),
          ((300, 150), (600, 300))], "no wood"),
        ([((300, 0), (320, 150)), ((300, 150), (320, 300))], "2 pieces"),
    ],
)  # fmt: skip
def test_a_board_that_cannot_be_made_is_named(
    notches: list[tuple[tuple[float, float], tuple[float, float]]], words: str
) -> None:
    board = a_board(*(Notch(lo=lo, hi=hi) for lo, hi in notches), name="shelf-7")
    with pytest.raises(SolidError, match=rf"^shelf-7 \(600.0 x 300.0 x 18.0 mm\).*{words}"):
        solid.solid(board)


def test_a_failure_of_the_kernel_names_the_board() -> None:
    board = a_board(name="divider-3")
    object.__setattr__(board, "cutters", (Drill((50.0, 50.0, 18.0), (0.0, 0.0, 0.0), 5.0, 5.0),))
    with pytest.raises(SolidError, match=r"^divider-3 "):
        solid.solid(board)


# --- the example, and what is read back ------------------------------------------------------


@pytest.fixture(scope="module")
def step(example: Casework, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("step") / "model.step"
    solid.write_step(example, path)
    return path


@pytest.fixture(scope="module")
def glb(example: Casework, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("glb") / "model.glb"
    solid.write_glb(example, path)
    return path


def test_step_holds_every_board_at_its_volume_and_place(example: Casework, step: Path) -> None:
    held = solid.read_step(step)
    assert list(held) == [board.name for board in example.boards]
    for board in example.boards:
        assert held[board.name].volume_mm3 == pytest.approx(board.volume_mm3, rel=1e-6)
        assert_same_box(held[board.name].box, board.box)
        assert held[board.name].volume_mm3 < board.blank.volume_mm3 or not board.features


def test_step_names_colours_and_unit_stand_in_its_text(example: Casework, step: Path) -> None:
    text = step.read_text(encoding="ascii")
    products = re.findall(r"PRODUCT\('([^']*)','([^']*)'", text)
    names = [board.name for board in example.boards]
    assert [first for first, _ in products] == ["film-room-console", *names]
    uses = re.findall(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\('(\d+)','([^']*)'", text)
    assert uses == [(str(n), name) for n, name in enumerate(names, start=1)]
    assert text.count("MANIFOLD_SOLID_BREP(") == len(names)
    units = set(re.findall(r"LENGTH_UNIT\(\) NAMED_UNIT\(\*\) SI_UNIT\(([^)]*)\)", text))
    assert units == {".MILLI.,.METRE."}
    # ISO 10303-46 colour_rgb as viewers take it: the sRGB shares themselves, 0x8a = 0.541
    shares = {
        tuple(round(float(v), 6) for v in rgb.split(","))
        for rgb in re.findall(r"COLOUR_RGB\('',([^)]*)\)", text)
    }
    assert shares == {tuple(round(v, 6) for v in solid.tint(b)) for b in example.boards}
    assert text.count("STYLED_ITEM(") == len(names)


def test_each_solid_in_the_step_text_has_the_colour_of_its_board(
    example: Casework, step: Path
) -> None:
    text = re.sub(r"\n\s+", "", step.read_text(encoding="ascii"))
    entity = dict(re.findall(r"#(\d+) = (.*?);\n", text))
    breps = [n for n, body in entity.items() if body.startswith("MANIFOLD_SOLID_BREP")]
    colours = {}
    for body in entity.values():
        if not body.startswith("STYLED_ITEM"):
            continue
        style, brep = re.findall(r"#(\d+)", body)
        while not entity[style].startswith("COLOUR_RGB"):
            (style,) = re.findall(r"#(\d+)", entity[style])
        colours[brep] = [float(v) for v in re.findall(r"\d\.\d+", entity[style])]
    for brep, board in zip(sorted(breps, key=int), example.boards, strict=True):
        assert colours[brep] == pytest.approx(solid.tint(board), abs=1e-6), board.name


def test_the_same_design_gives_the_same_bytes(
    example: Casework, step: Path, glb: Path, tmp_path: Path
) -> None:
    solid.write_step(example, tmp_path / "model.step")
    solid.write_glb(example, tmp_path / "model.glb")
    assert (tmp_path / "model.step").read_bytes() == step.read_bytes()
    assert (tmp_path / "model.glb").read_bytes() == glb.read_bytes()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["model.glb", "model.step"]


def test_gmsh_reads_the_same_solids(example: Casework, step: Path) -> None:
    gmsh = pytest.importorskip("gmsh")
    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.option.setString("Geometry.OCCTargetUnit", "MM")
        gmsh.model.occ.importShapes(str(step))
        gmsh.model.occ.synchronize()
        solids = gmsh.model.getEntities(3)
        assert len(solids) == len(example.boards)
        # exact geometry on both sides: only the reader's integration stands between them
        total = sum(gmsh.model.occ.getMass(3, tag) for _, tag in solids)
        assert total == pytest.approx(sum(b.volume_mm3 for b in example.boards), rel=1e-6)
        boxes = np.array([gmsh.model.occ.getBoundingBox(3, tag) for _, tag in solids])
    finally:
        gmsh.finalize()
    # its boxes are padded by the kernel's tolerance of 1e-7 mm on every side
    assert boxes[:, :3].min(axis=0) == pytest.approx(example.box.lo, abs=1e-6)
    assert boxes[:, 3:].max(axis=0) == pytest.approx(example.box.hi, abs=1e-6)


def test_trimesh_reads_the_same_boards_from_glb(example: Casework, glb: Path) -> None:
    trimesh = pytest.importorskip("trimesh")
    scene = trimesh.load_scene(glb)
    # glTF is in metres with Y up (glTF 2.0, section 3.4, from memory): x, z, -y of the room
    lo, hi = example.box.lo, example.box.hi
    bounds = np.array([(lo[0], lo[2], -hi[1]), (hi[0], hi[2], -lo[1])]) / 1000
    # single precision: 2 m / 2^24 is 1e-7 m
    assert scene.bounds == pytest.approx(bounds, abs=1e-6)
    meshes = {node: scene.geometry[scene.graph[node][1]] for node in scene.graph.nodes_geometry}
    by_name = {re.sub(r"_\d+$", "", name): mesh for name, mesh in meshes.items()}
    assert sorted(by_name) == sorted(b.name for b in example.boards)
    for board in example.boards:
        # chords of CHORD_RAD leave 1 - sin(a)/a of a round cut as wood; single precision
        # sizes at 1e-7 of 2 m spoil 1e-4 of a board 5 mm thick at most
        cut = board.blank.volume_mm3 - board.volume_mm3
        slack = (1 - np.sin(0.5) / 0.5) * cut + 1e-4 * board.volume_mm3
        assert by_name[board.name].volume * 1e9 == pytest.approx(board.volume_mm3, abs=slack)
        # glTF 2.0 section 3.9.2 (from memory): base colours are linear, not sRGB
        colour = by_name[board.name].visual.material.baseColorFactor
        srgb = np.array(solid.tint(board))
        linear = np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)
        assert np.array(colour[:3]) / 255 == pytest.approx(linear, abs=1 / 255)


def test_neighbours_can_be_told_apart_in_grey(example: Casework) -> None:
    grey = {b.name: sum(solid.tint(b)) / 3 for b in example.boards}
    for a, b in (("top", "side-left"), ("side-left", "door-1"), ("bottom", "base-front")):
        assert abs(grey[a] - grey[b]) > 0.03


def test_the_name_of_a_design_cannot_clash_with_a_board(example: Casework) -> None:
    called = replace(example, design=example.design.model_copy(update={"name": "Top"}))
    assert solid.assembly(called).name == "top-assembly"
    odd = replace(example, design=example.design.model_copy(update={"name": "Café / Nº 5"}))
    assert solid.assembly(odd).name == "cafe-no-5"


def test_gear_is_added_only_on_request(example: Casework) -> None:
    names = [child.name for child in solid.assembly(example, gear=True).children]
    assert names[-len(example.gear) :][0] == "gear-1-receiver"
    assert len(names) == len(example.boards) + len(example.gear)
    assert len(solid.assembly(example).children) == len(example.boards)


def test_files_that_cannot_be_written_or_read(example: Casework, tmp_path: Path) -> None:
    for write in (solid.write_step, solid.write_glb):
        with pytest.raises(OutputError, match="cannot be written"):
            write(example, tmp_path / "nowhere" / "model")
    (tmp_path / "not.step").write_text("wood")
    with pytest.raises(OutputError, match=r"not\.step cannot be read"):
        solid.read_step(tmp_path / "not.step")


def test_a_write_that_fails_leaves_the_earlier_file(example: Casework, tmp_path: Path) -> None:
    path = tmp_path / "model.step"
    path.write_text("earlier")
    broken = a_board(
        Notch(lo=(300, 0), hi=(320, 150)), Notch(lo=(300, 150), hi=(320, 300)), name="broken"
    )
    with pytest.raises(SolidError, match="broken"):
        solid.write_step(replace(example, boards=(broken,)), path)
    assert path.read_text() == "earlier"
    assert list(tmp_path.iterdir()) == [path]


# --- interference ----------------------------------------------------------------------------


def test_no_two_boards_of_the_example_share_wood(example: Casework) -> None:
    assert solid.interference(example.boards) == ()


def test_a_planted_overlap_is_found(example: Casework) -> None:
    shelf = example.by_name["shelf-1"]
    x, y, z = shelf.place.corner
    moved = replace(shelf, place=replace(shelf.place, corner=(x, y, z - 50)))
    boards = [moved if b is shelf else b for b in example.boards]
    found = solid.interference(boards)
    # below its dado the shelf stands in the solid wood of both its neighbours
    assert {(c.a, c.b) for c in found} == {("side-left", "shelf-1"), ("divider-1", "shelf-1")}
    for clash in found:
        entered = example.by_name[clash.a].box.common(moved.box)
        assert entered is not None
        assert clash.volume_mm3 == pytest.approx(entered.volume_mm3, rel=1e-6)


def test_touching_is_no_overlap() -> None:
    one = a_board(name="one")
    two = a_board(name="two", place=replace(one.place, corner=(7 + THICK, 11, 13)))
    assert solid.interference([one, two], tolerance_mm3=0.0) == ()
    deeper = replace(two, place=replace(two.place, corner=(7 + THICK - 0.01, 11, 13)))
    (clash,) = solid.interference([one, deeper])
    assert clash.volume_mm3 == pytest.approx(0.01 * LENGTH * WIDTH, rel=1e-4)


# --- triangles and lines ---------------------------------------------------------------------


def test_meshes_close_round_the_boards(example: Casework) -> None:
    for board, mesh in zip(example.boards, solid.meshes(example.boards), strict=True):
        corners = mesh.vertices[mesh.triangles]
        volume = np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6
        cut = board.blank.volume_mm3 - board.volume_mm3
        slack = (1 - np.sin(0.5) / 0.5) * cut + 1e-9 * board.volume_mm3
        assert volume == pytest.approx(board.volume_mm3, abs=slack), board.name
        assert mesh.vertices.min(axis=0) == pytest.approx(board.box.lo, abs=1e-6)
        assert mesh.vertices.max(axis=0) == pytest.approx(board.box.hi, abs=1e-6)
        # closed: every side of a triangle is run once each way
        _, merged = np.unique(mesh.vertices.round(5), axis=0, return_inverse=True)
        a, b, c = merged.reshape(-1)[mesh.triangles].T
        sides = [*zip(a, b, strict=True), *zip(b, c, strict=True), *zip(c, a, strict=True)]
        assert len(set(sides)) == len(sides)
        assert {(there, here) for here, there in sides} == set(sides)


def edges(lines: tuple[solid.Line, ...], *, visible: bool) -> float:
    """Total length of the sharp lines."""
    return sum(
        hypot(b[0] - a[0], b[1] - a[1])
        for line in lines
        if line.visible is visible and not line.smooth
        for a, b in pairwise(line.points)
    )


def test_a_plain_board_shows_nine_edges_and_hides_three() -> None:
    lines = solid.visible_lines([a_board()], (-1.0, -2.0, 1.5))
    right, up, towards = solid.picture_axes((-1.0, -2.0, 1.5))
    assert np.array([right, up, towards]) @ np.array([right, up, towards]).T == pytest.approx(
        np.eye(3)
    )
    # an edge along axis i appears with length size x sqrt(1 - towards[i]^2)
    seen = [s * np.sqrt(1 - t * t) for s, t in zip((THICK, WIDTH, LENGTH), towards, strict=True)]
    assert edges(lines, visible=True) == pytest.approx(3 * sum(seen), rel=1e-3)
    assert edges(lines, visible=False) == pytest.approx(sum(seen), rel=1e-3)


def test_a_board_behind_another_is_hidden() -> None:
    front = a_board(name="front", place=Place((0, 0, 0), Heading.RIGHT, Heading.UP, Heading.FRONT))
    behind = replace(front, name="behind", place=replace(front.place, corner=(0, 50, 0)))
    lines = solid.visible_lines([front, behind], (0.0, -1.0, 0.0))
    assert not [line for line in lines if line.board == "behind" and line.visible]
    assert edges(lines, visible=True) == pytest.approx(2 * (LENGTH + WIDTH), rel=1e-6)


def test_a_hole_shows_its_rim() -> None:
    place = Place((0, 0, 0), Heading.RIGHT, Heading.UP, Heading.FRONT)
    plain = solid.visible_lines([a_board(place=place)], (0.0, -1.0, 0.0))
    holed = solid.visible_lines(
        [a_board(Hole(surface=A, at=(150, 100), diameter=60), place=place)], (0.0, -1.0, 0.0)
    )
    rim = edges(holed, visible=True) - edges(plain, visible=True)
    # the rim is a polygon of chords: shorter than the circle by less than 1 - sin(x)/x
    assert pi * 60 * np.sin(0.25) / 0.25 <= rim <= pi * 60 + 1e-6


# --- random designs ---------------------------------------------------------------------------


@examples(BOARDS)
@given(built())
def test_random_designs_fit_together_and_keep_their_volumes(
    made: tuple[Design, Casework],
) -> None:
    _, work = made
    assert solid.interference(work.boards) == ()
    for board in work.boards:
        if not any(board.meetings()):  # `volume_mm3` says when it is exact
            assert solid.solid(board).Volume() == pytest.approx(board.volume_mm3, rel=1e-6)
        assert_same_box(solid_box(solid.placed(board)), board.box)


def solid_box(shape: solid.body.cq.Shape) -> Box:
    b = shape.copy().BoundingBox()  # a copy has no triangles, whose box would be a little larger
    return Box((b.xmin, b.ymin, b.zmin), (b.xmax, b.ymax, b.zmax))


def assert_same_box(one: Box, other: Box) -> None:
    assert one.lo == pytest.approx(other.lo, abs=1e-6)
    assert one.hi == pytest.approx(other.hi, abs=1e-6)
