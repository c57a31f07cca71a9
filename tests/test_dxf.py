"""DXF of the boards: read back, rebuilt as solids from the file alone, swept by a cutter."""

import io
import re
from dataclasses import replace
from math import cos, hypot, pi, sin

import cadquery as cq
import ezdxf
import numpy as np
import pytest
from ezdxf import recover
from ezdxf.document import Drawing
from ezdxf.lldxf.validator import is_valid_layer_name
from hypothesis import given

from kit import solid
from kit.board import Board, Feature, Surface
from kit.casework import Casework
from kit.design import Design
from kit.draw.as_measured import as_measured
from kit.draw.dxf import board_dxf, dxf_files, shop_cutter_mm
from kit.draw.dxf.outline import inside_corners, outline
from kit.draw.dxf.relief import relief
from kit.draw.dxf.view import APART, cut_blank, views
from kit.errors import BuildError
from kit.geometry import Box, Heading, Place
from kit.hardware import edging
from kit.joinery import (
    Chamfer,
    Dado,
    EdgeRabbet,
    EndRabbet,
    Fit,
    Groove,
    Hole,
    HoleRow,
    Notch,
    PocketHoles,
    SlotField,
    house,
)
from kit.materials import stock
from profiles import SOLIDS, examples
from strategies import built

LENGTH, WIDTH, THICK = 600.0, 300.0, 18.0
STOCK = stock("birch-ply-18", [THICK])
RIGHT = Place((7.0, 11.0, 13.0), Heading.UP, Heading.BACK, Heading.LEFT)
LEFT = Place((7.0, 11.0, 13.0), Heading.UP, Heading.BACK, Heading.RIGHT)
A, B = Surface.FACE_A, Surface.FACE_B
CUTTER = 6.35
#: Surfaces nearer than this are one to the kernel, mm; two equal solids are no test for it else.
NEAR = 1e-3

#: One board with something of everything, in both faces, an edge and an end.
EVERYTHING: tuple[Feature, ...] = (
    EndRabbet(surface=B, offset=LENGTH - 18.2, width=18.2, depth=12, start=0, stop=WIDTH),
    EdgeRabbet(surface=B, offset=WIDTH - 5.0, width=5.0, depth=9, start=0, stop=LENGTH),
    Dado(surface=B, offset=200, width=18.4, depth=6, start=40, stop=WIDTH),
    Groove(surface=A, offset=30, width=14.0, depth=7, start=50, stop=500, fit=Fit.SLIDING),
    HoleRow(surface=B, at=(60, 37), pitch=32, count=4, along=0, diameter=5, depth=8),
    Hole(surface=A, at=(450, 220), diameter=60),
    Hole(surface=Surface.EDGE_1, at=(100, 9), diameter=8, depth=25),
    Hole(surface=Surface.END_1, at=(150, 9), diameter=8, depth=25),
    SlotField(at=(320, 100), slot_length=120, slot_width=12.7, pitch=30, count=4, along=0),
    Notch(lo=(0, 250), hi=(40, WIDTH)),
    Notch(lo=(120, 0), hi=(170, 20)),
    PocketHoles(surface=B, exit=Surface.END_1, stations=(80.0, 200.0)),
    Chamfer(surface=A, on=(Surface.EDGE_1,), size=1.5),
)


def a_board(*features: Feature, place: Place = RIGHT, edged: bool = False) -> Board:
    return Board(
        name="b",
        stock=STOCK,
        width=WIDTH,
        length=LENGTH,
        place=place,
        features=features,
        edging=edging("edge-band-2") if edged else None,
        edged=(Surface.EDGE_1, Surface.END_2) if edged else (),
    )


def read(text: str) -> Drawing:
    """A drawing, and the proof that another program finds nothing to mend in it."""
    drawing = ezdxf.read(io.StringIO(text))
    audit = drawing.audit()
    assert not audit.errors
    assert not audit.fixes
    return drawing


def drawn(board: Board, cutter_mm: float | None = None) -> Drawing:
    return read(board_dxf(board, title="Film room console", cutter_mm=cutter_mm))


def is_cut(layer: str) -> bool:
    return layer != "NOTES" and not layer.startswith("REFERENCE")


def words(drawing: Drawing) -> list[str]:
    return [text.plain_text() for text in drawing.modelspace().query("TEXT")]


def layers(drawing: Drawing) -> set[str]:
    return {entity.dxf.layer for entity in drawing.modelspace()}


# --- the file -------------------------------------------------------------------------------


def test_every_board_of_the_example_has_a_sound_file_in_mm(example: Casework) -> None:
    files = dict(dxf_files(example))
    assert list(files) == [f"{board.name}.dxf" for board in example.boards]
    for text in files.values():
        drawing = read(text)
        assert drawing.dxfversion >= "AC1024"  # R2010
        assert drawing.header["$INSUNITS"] == 4  # millimetres, DXF reference
        assert drawing.header["$MEASUREMENT"] == 1  # metric
        assert drawing.header["$EXTMIN"][0] <= 0 < drawing.header["$EXTMAX"][0]


@pytest.mark.parametrize("cutter_mm", [None, CUTTER])
@pytest.mark.parametrize("place", [RIGHT, LEFT], ids=["right-handed", "left-handed"])
def test_what_is_cut_is_closed_and_on_a_layer_that_says_how(
    place: Place, cutter_mm: float | None
) -> None:
    drawing = drawn(a_board(*EVERYTHING, place=place), cutter_mm)
    for entity in drawing.modelspace():
        layer = entity.dxf.layer
        assert is_valid_layer_name(layer)
        assert layer.isascii()
        if not is_cut(layer):
            continue
        assert entity.dxftype() in {"LWPOLYLINE", "CIRCLE", "LINE"}
        assert entity.dxftype() != "LINE" or layer.startswith("CHAMFER-")
        if entity.dxftype() == "LWPOLYLINE":
            assert entity.closed
            assert signed_area(entity) > 0
    cuts = {layer for layer in layers(drawing) if is_cut(layer)}
    assert {re.sub(r"-D?\d+\.\d\d", "", layer) for layer in cuts} - {
        "RELIEF-A", "RELIEF-B", "RELIEF-THROUGH"
    } == {
        "OUTLINE-THROUGH", "RABBET-B", "DADO-B", "GROOVE-A", "BORE-B", "BORE-THROUGH",
        "SLOT-THROUGH", "CHAMFER-A",
    }  # fmt: skip
    assert {"DADO-B-6.00", "BORE-B-8.00-D5.00", "SLOT-THROUGH-D12.70", "CHAMFER-A-1.50"} <= cuts


def test_holes_into_edges_and_pockets_are_for_reference_only() -> None:
    edge_only = a_board(EVERYTHING[6], EVERYTHING[7], EVERYTHING[11])
    drawing = drawn(edge_only, CUTTER)
    assert {layer for layer in layers(drawing) if is_cut(layer)} == {"OUTLINE-THROUGH"}
    assert {layer for layer in layers(drawing) if layer.startswith("REFERENCE-")} == {
        "REFERENCE-BORE-EDGE-1-D8.00",
        "REFERENCE-BORE-END-1-D8.00",
        "REFERENCE-POCKET-FACE-B-D9.50",
        "REFERENCE-POCKET-FACE-B-D4.00",
    }
    assert any("not cut on a flat bed" in line for line in words(drawing))


def test_the_reference_line_is_100_mm_long_and_off_the_board(example: Casework) -> None:
    for board in example.boards:
        space = drawn(board).modelspace()
        lengths = [
            (line.dxf.end - line.dxf.start).magnitude
            for line in space.query("LINE[layer=='REFERENCE']")
        ]
        assert max(lengths) == pytest.approx(100.0, abs=1e-9)
        outer = outline_of(space)
        right = max(x for x, *_ in outer.get_points())
        assert all(line.dxf.start.x > right for line in space.query("LINE[layer=='REFERENCE']"))


def test_the_same_board_gives_the_same_bytes(example: Casework) -> None:
    first, again = dict(dxf_files(example)), dict(dxf_files(example))
    assert first == again
    stamps = re.findall(r"\$(?:TDCREATE|TDUPDATE)\n\s*40\n(.*)\n", first["top.dxf"])
    assert len(set(stamps)) == 1
    assert float(stamps[0]) == pytest.approx(2451544.5, abs=1)  # 1 January 2000, Julian date
    assert not ezdxf.options.write_fixed_meta_data_for_testing  # left as it was


@pytest.mark.parametrize(
    "title",
    [
        "Console #1 $HOME ${x} {y}",
        "<b>&amp; \"quoted\" 'too'",
        "=1+1 of the film room",
        "ארון הסרטים ١٢٣ خزانة",
        "100%%c wide, %%%d %%u %%37 50% %",
        r"\P new \U+0041 \M+18140 \fArial; {\C1;red} \\",
        "caret ^J ^I ^ ^^ end^",
        "walnut ½ 木 Ø ° 🎞",
    ],
)
def test_names_read_back_as_they_were_written(example: Casework, title: str) -> None:
    board = example.by_name["top"]
    text = board_dxf(board, title=title, cutter_mm=None)
    other, _ = recover.read(io.BytesIO(text.encode()))  # the reader that decodes \\U+ and \\M+
    for drawing in (read(text), other):
        seen = [line.replace("\N{WORD JOINER}", "") for line in words(drawing)]
        assert f"{title} | top" in seen
        assert layers(drawing) == layers(drawn(board))


def test_line_breaks_and_control_characters_become_spaces(example: Casework) -> None:
    title = "one\n  0\nLINE\r\ntwo\x00\x1b\u2028three"
    drawing = read(board_dxf(example.by_name["top"], title=title, cutter_mm=None))
    assert "one   0 LINE  two   three | top" in words(drawing)
    assert len(drawing.modelspace().query("LINE")) == len(
        drawn(example.by_name["top"]).modelspace().query("LINE")
    )


def test_a_slatted_board_carries_a_caution(example: Casework) -> None:
    for name in ("door-1", "top"):
        said = any(
            "strips" in line and "CAUTION" in line for line in words(drawn_of(example, name))
        )
        assert said is (name == "door-1")


def test_a_board_is_drawn_at_its_cut_size(example: Casework) -> None:
    door = example.by_name["door-1"]
    assert door.cut != door.finished
    outer = outline_of(drawn(door).modelspace())
    assert extent(outer) == pytest.approx((door.cut.length, door.cut.width), abs=1e-9)
    assert any("edging" in line for line in words(drawn(door)))


def test_a_cutter_must_have_a_diameter(example: Casework) -> None:
    for wrong in (0.0, -6.35, float("nan"), float("inf")):
        with pytest.raises(BuildError, match="give the diameter"):
            board_dxf(example.by_name["top"], title="t", cutter_mm=wrong)


def drawn_of(casework: Casework, name: str) -> Drawing:
    return drawn(casework.by_name[name])


def outline_of(space):
    return max(space.query("LWPOLYLINE[layer=='OUTLINE-THROUGH']"), key=signed_area)


def extent(loop) -> tuple[float, float]:
    xs, ys = zip(*((x, y) for x, y, *_ in loop.get_points()), strict=True)
    return (max(xs) - min(xs), max(ys) - min(ys))


def signed_area(loop) -> float:
    """Area of a closed line of chords and arcs: chords by the shoelace, arcs by their segments."""
    points = loop.get_points("xyb")
    area = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1], strict=True):
        area += (x0 * y1 - x1 * y0) / 2
        if bulge:
            angle = 4 * np.arctan(bulge)
            radius = hypot(x1 - x0, y1 - y0) / 2 / sin(angle / 2)
            area += radius**2 / 2 * (angle - sin(angle))
    return area


# --- the board rebuilt from the file alone ---------------------------------------------------


def rebuilt_in_room(board: Board, drawing: Drawing) -> tuple[cq.Shape, float]:
    """The solid that the drawing tells, where its board stands, and what rounding may take, mm3.

    Seen square on a face, with its length to the right: up is then normal x right, whatever
    frame the board has. That is all that is used of the board besides its thickness.
    """
    space = drawing.modelspace()
    on_board = [re.fullmatch(rf"{board.name}, face ([AB]) up", line) for line in words(drawing)]
    faces = [match[1] for match in on_board if match]
    frames = [loop for loop in space.query("LWPOLYLINE") if loop.dxf.layer == "OUTLINE-THROUGH"]
    frames += [loop for loop in space.query("LWPOLYLINE") if loop.dxf.layer == "REFERENCE"]
    assert len(frames) == len(faces)
    lows = [min(y for _, y, *_ in frame.get_points()) for frame in frames]
    body: cq.Shape | None = None
    cutters, slack = [], 1.0
    for number, (face, low) in enumerate(zip(faces, lows, strict=True)):
        plane = bed(board, face)
        top = min((y for y in lows if y > low), default=float("inf")) - APART / 2
        for entity in [*space.query("LWPOLYLINE"), *space.query("CIRCLE")]:
            layer = entity.dxf.layer
            if not is_cut(layer) or layer.startswith("RELIEF") or not low - 1 < foot(entity) < top:
                continue
            if number == 0 and foot(entity) < low - 1:
                continue
            wire = wire_of(entity, low)
            depth = re.search(r"-[AB]-(\d+\.\d\d)", layer)
            deep = board.thickness if "THROUGH" in layer else float(depth[1])
            made = cq.Solid.extrudeLinear(wire, [], cq.Vector(0, 0, -deep)).moved(plane.location)
            if layer == "OUTLINE-THROUGH":
                body = made
            else:
                cutters.append(made)
                slack += 0.006 * made.Volume() / deep
    assert body is not None
    return (body.cut(*cutters) if cutters else body), slack


def bed(board: Board, face: str) -> cq.Plane:
    right, out = vector(board.place.along), vector(board.place.out)
    normal = out if face == "A" else -out
    up = normal.cross(right)
    box = board.place.box_to_room(cut_blank(board))
    corners = [
        cq.Vector(x, y, z)
        for x in (box.lo[0], box.hi[0])
        for y in (box.lo[1], box.hi[1])
        for z in (box.lo[2], box.hi[2])
    ]
    origin = min(corners, key=lambda c: (round(-c.dot(normal), 6), round(c.dot(right + up), 6)))
    return cq.Plane(origin=origin, xDir=right, normal=normal)


def vector(heading: Heading) -> cq.Vector:
    values = [0.0, 0.0, 0.0]
    values[heading.axis] = heading.sign
    return cq.Vector(*values)


def foot(entity) -> float:
    if entity.dxftype() == "CIRCLE":
        return entity.dxf.center.y
    return min(y for _, y, *_ in entity.get_points())


def wire_of(entity, low: float) -> cq.Wire:
    up = cq.Vector(0, 0, 1)
    if entity.dxftype() == "CIRCLE":
        centre = entity.dxf.center
        return cq.Wire.makeCircle(entity.dxf.radius, cq.Vector(centre.x, centre.y - low, 0), up)
    points = entity.get_points("xyb")
    edges = []
    for (x0, y0, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1], strict=True):
        a, b = cq.Vector(x0, y0 - low, 0), cq.Vector(x1, y1 - low, 0)
        if bulge:  # the arc swells to the right of its chord
            right = cq.Vector(b.y - a.y, a.x - b.x, 0)
            edges.append(cq.Edge.makeThreePointArc(a, (a + b) * 0.5 + right * (bulge / 2), b))
        else:
            edges.append(cq.Edge.makeLine(a, b))
    return cq.Wire.assembleEdges(edges)


def as_cut(board: Board) -> cq.Shape:
    """The kernel's solid of a board, without edging and what is no work of a flat bed."""
    flat = tuple(
        feature
        for feature in board.features
        if feature.surface.axis == 2 and not isinstance(feature, PocketHoles | Chamfer)
    )
    bare = solid.placed(replace(board, features=flat)).copy()  # booleans spoil what is shared
    box = board.place.box_to_room(cut_blank(board))
    x, y, z = box.size
    return bare.intersect(cq.Solid.makeBox(x, y, z, cq.Vector(*box.lo)))


def assert_same(board: Board) -> None:
    told, slack = rebuilt_in_room(board, drawn(board))
    real = as_cut(board)
    assert told.Volume() == pytest.approx(real.Volume(), abs=slack), board.name
    assert told.cut(real, tol=NEAR).Volume() <= slack, board.name
    assert real.cut(told, tol=NEAR).Volume() <= slack, board.name


@pytest.mark.slow
def test_every_board_of_the_example_is_what_its_file_tells(example: Casework) -> None:
    for board in example.boards:
        assert_same(board)


@pytest.mark.parametrize("edged", [False, True], ids=["bare", "edged"])
@pytest.mark.parametrize("place", [RIGHT, LEFT], ids=["right-handed", "left-handed"])
def test_a_board_with_cuts_in_both_faces_is_what_its_file_tells(place: Place, edged: bool) -> None:
    board = a_board(*EVERYTHING, place=place, edged=edged)
    drawing = drawn(board)
    assert [line for line in words(drawing) if line.endswith(" up")] == [
        "b, face A up",
        "b, face B up",
    ]
    assert_same(board)


@pytest.mark.parametrize("place", [RIGHT, LEFT], ids=["right-handed", "left-handed"])
def test_the_rebuilding_can_tell_a_board_from_its_mirror_image(place: Place) -> None:
    dado = Dado(surface=B, offset=200, width=18.4, depth=6, start=40, stop=WIDTH)
    board = a_board(dado, place=place)
    told, _ = rebuilt_in_room(board, drawn(board))
    other = solid.placed(a_board(replace(dado, start=0, stop=WIDTH - 40), place=place)).copy()
    assert told.Volume() == pytest.approx(other.Volume(), abs=1.0)
    assert told.cut(other).Volume() == pytest.approx(18.4 * 6 * 40, rel=0.01)


def test_pin_holes_of_the_right_side_lie_where_the_solid_has_them(example: Casework) -> None:
    for name in ("side-left", "side-right", "divider-2"):
        board = example.by_name[name]
        drawing = drawn(board)
        plane = bed(board, "B")
        told = [
            plane.toWorldCoords((c.dxf.center.x, c.dxf.center.y, 0)).toTuple()
            for c in drawing.modelspace().query("CIRCLE")
        ]
        axis = board.place.out.axis
        real = {
            tuple(round(v, 3) for i, v in enumerate(face.Center().toTuple()) if i != axis)
            for face in solid.placed(board).Faces()
            if face.geomType() == "CYLINDER"
        }
        assert {tuple(round(v, 3) for i, v in enumerate(t) if i != axis) for t in told} == real
        assert bool(real) is (name != "side-left")


@pytest.mark.slow
@examples(SOLIDS)
@given(built())
def test_boards_of_random_designs_are_what_their_files_tell(made: tuple[Design, Casework]) -> None:
    for board in made[1].boards:
        assert_same(board)
        read(board_dxf(board, title="random", cutter_mm=CUTTER))


# --- the outline ----------------------------------------------------------------------------


def test_the_outline_goes_round_every_notch() -> None:
    blank = Box((0, 0, 0), (100, 60, 18))
    notches = [
        Box((-1, 40, -1), (20, 61, 19)),  # a corner, and past it
        Box((40, 0, 0), (50, 10, 18)),  # an edge
        Box((50, 0, 0), (60, 20, 18)),  # and a deeper one right beside it
    ]
    (loop,) = outline(blank, notches)
    assert shoelace(loop) == pytest.approx(100 * 60 - 20 * 20 - 100 - 200)
    assert len(loop) == 12
    assert sorted(inside_corners(loop)) == [
        ((20, 40), (-1.0, 1.0)),
        ((40, 10), (1.0, -1.0)),
        ((50, 20), (1.0, -1.0)),
        ((60, 20), (-1.0, -1.0)),
    ]


def shoelace(loop: list[tuple[float, float]]) -> float:
    return (
        sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(loop, loop[1:] + loop[:1], strict=True)) / 2
    )


# --- room for the cutter --------------------------------------------------------------------


def cleared(points: np.ndarray, drawing: Drawing, layer: str, cutter_mm: float) -> np.ndarray:
    """Which points a disc of the cutter's diameter reaches while it stays within the shapes.

    Within a rectangle its centre can be anywhere in the rectangle that is smaller by half the
    cutter all round; a point is cleared that is no farther from that than half the cutter.
    """
    r = cutter_mm / 2
    done = np.zeros(len(points), dtype=bool)
    for loop in drawing.modelspace().query(f"LWPOLYLINE[layer=='{layer}']"):
        corners = np.array([(x, y) for x, y, *_ in loop.get_points()])
        lo, hi = corners.min(axis=0) + r, corners.max(axis=0) - r
        if (hi - lo >= -1e-9).all():
            away = points - np.clip(points, lo, np.maximum(lo, hi))
            done |= np.hypot(*away.T) <= r + 1e-9
    for ring in drawing.modelspace().query("CIRCLE"):
        if ring.dxf.layer.startswith("RELIEF") and ring.dxf.radius >= r - 1e-9:
            away = points - np.array(ring.dxf.center.vec2)
            done |= np.hypot(*away.T) <= ring.dxf.radius + 1e-9
    return done


def host_and_mate(readings: list[float], fit: Fit) -> tuple[Board, Board]:
    """A board and another that stands in a stopped dado of it, 6 mm deep and 40 mm from edge 1."""
    place = Place((0.0, 0.0, 0.0), Heading.RIGHT, Heading.BACK, Heading.UP)
    host = Board(name="host", stock=STOCK, width=WIDTH, length=LENGTH, place=place)
    sheet = stock("birch-ply-18", readings)
    stands = Place((200.0, 40.0, THICK - 6.0), Heading.UP, Heading.BACK, Heading.LEFT)
    mate = Board(name="mate", stock=sheet, width=200.0, length=300.0, place=stands)
    return host.having(house(host, mate, fit)), mate


@pytest.mark.parametrize("cutter_mm", [3.175, 6.35, 9.53, 12.7, 18.0])
@pytest.mark.parametrize("fit", [Fit.FLUSH, Fit.GLUED, Fit.EASY, Fit.SLIDING])
@pytest.mark.parametrize("readings", [[18.0], [17.6, 18.3]], ids=["even", "uneven"])
def test_the_square_corner_of_the_mate_lies_in_what_the_cutter_clears(
    readings: list[float], fit: Fit, cutter_mm: float
) -> None:
    host, _ = host_and_mate(readings, fit)
    (dado,) = host.features
    assert isinstance(dado, Dado)
    thickest = max(readings)
    drawing = drawn(host, cutter_mm)
    for push in (-fit.gap / 2, 0.0, fit.gap / 2):  # the mate against either wall, and between
        middle = dado.offset + dado.width / 2 + push
        xs = np.linspace(middle - thickest / 2, middle + thickest / 2, 121)
        ys = np.linspace(dado.start, dado.stop, 301)
        points = np.array([(x, y) for x in xs for y in ys])
        assert cleared(points, drawing, "DADO-A-6.00", cutter_mm).all()
    bare = drawing.modelspace().query("CIRCLE")
    assert len(bare) == 4
    for ring in list(bare):
        drawing.modelspace().delete_entity(ring)
    corner = np.array([(dado.offset, dado.start)])
    assert not cleared(corner, drawing, "DADO-A-6.00", cutter_mm).any()
    assert any("past the walls" in line for line in words(drawing))


def test_relief_grows_with_the_fit_and_follows_the_thickest_sheet() -> None:
    def reach(readings: list[float], fit: Fit) -> tuple[float, float]:
        """How far relief reaches past the corner of a centred mate, and the channel's width."""
        host, _ = host_and_mate(readings, fit)
        (dado,) = host.features
        assert isinstance(dado, Dado)
        mate = (dado.offset + dado.width / 2 - max(readings) / 2, dado.start)
        ring = min(
            drawn(host, CUTTER).modelspace().query("CIRCLE"),
            key=lambda c: hypot(c.dxf.center.x - mate[0], c.dxf.center.y - mate[1]),
        )
        away = hypot(ring.dxf.center.x - mate[0], ring.dxf.center.y - mate[1])
        return ring.dxf.radius - away, dado.width

    fits = [reach([18.0], fit)[0] for fit in (Fit.FLUSH, Fit.GLUED, Fit.EASY, Fit.SLIDING)]
    assert fits[0] == pytest.approx(0.0, abs=1e-9)
    assert fits == sorted(set(fits))
    even, uneven = reach([18.0], Fit.GLUED), reach([17.6, 18.3], Fit.GLUED)
    assert uneven[0] == pytest.approx(even[0], abs=1e-9)
    assert uneven[1] - even[1] == pytest.approx(0.3, abs=1e-9)


@pytest.mark.parametrize("cutter_mm", [3.175, 6.35, 12.7])
@pytest.mark.parametrize("place", [RIGHT, LEFT], ids=["right-handed", "left-handed"])
def test_a_square_post_goes_into_the_corners_of_a_notch(place: Place, cutter_mm: float) -> None:
    board = a_board(EVERYTHING[9], EVERYTHING[10], place=place)
    drawing = drawn(board, cutter_mm)
    (view,) = views(board, cutter_mm)
    rings = drawing.modelspace().query("CIRCLE[layer=='RELIEF-THROUGH']")
    assert len(rings) == 3
    for notch in board.features:
        assert isinstance(notch, Notch)
        points = np.array(
            [
                view.at(x, y)
                for x in np.linspace(notch.lo[0], notch.hi[0], 120)
                for y in np.linspace(notch.lo[1], notch.hi[1], 120)
            ]
        )
        low, high = points.min(axis=0), points.max(axis=0)
        size = extent(outline_of(drawing.modelspace()))
        reach = drawing.modelspace().add_lwpolyline(
            [
                (low[0] - 20 * (low[0] <= 0), low[1] - 20 * (low[1] <= 0)),
                (high[0] + 20 * (high[0] >= size[0]), high[1] + 20 * (high[1] >= size[1])),
            ],
            dxfattribs={"layer": "WASTE"},
        )
        assert cleared(points, drawing, "WASTE", cutter_mm).all()
        drawing.modelspace().delete_entity(reach)


def test_the_formula_of_the_relief() -> None:
    """A disc r from the corner on the diagonal passes through it: worked by hand for 12 mm."""
    ring = relief("X", (100.0, 50.0), (-1.0, 1.0), cutter_mm=12.0, gap_mm=0.4)
    assert ring.centre == pytest.approx((100 - 6 * cos(pi / 4), 50 + 6 * cos(pi / 4)))
    assert ring.radius == pytest.approx(6.4)


def test_channels_run_out_past_the_edge_by_half_the_cutter() -> None:
    board = a_board(*EVERYTHING[:3])
    space = drawn(board, CUTTER).modelspace()
    (rabbet,) = space.query("LWPOLYLINE[layer=='RABBET-B-12.00']")
    assert extent(rabbet) == pytest.approx((18.2 + CUTTER / 2, WIDTH + CUTTER))
    (narrow,) = space.query("LWPOLYLINE[layer=='RABBET-B-9.00']")
    assert extent(narrow) == pytest.approx((LENGTH + CUTTER, 5.0 + CUTTER / 2))
    (dado,) = space.query("LWPOLYLINE[layer=='DADO-B-6.00']")
    assert extent(dado) == pytest.approx((18.4, WIDTH - 40 + CUTTER / 2))
    (wide,) = drawn(board, 12.7).modelspace().query("LWPOLYLINE[layer=='RABBET-B-9.00']")
    assert extent(wide)[1] == pytest.approx(12.7)  # 5 mm and half the cutter would not hold it


def test_what_the_cutter_is_too_wide_for_is_said() -> None:
    board = a_board(
        Groove(surface=A, offset=50, width=6.0, depth=6, start=30, stop=500),
        Dado(surface=A, offset=300, width=18.2, depth=6, start=80, stop=WIDTH),
        SlotField(at=(450, 200), slot_length=80, slot_width=5, pitch=20, count=2),
        Notch(lo=(100, 0), hi=(104, 20)),
    )
    said = [line for line in words(drawn(board, CUTTER)) if "CANNOT BE CUT" in line]
    assert len(said) == 3
    for size in ("groove 6.00 mm", "slots 5.00 mm", "notch 4.00 mm"):
        assert any(size in line for line in said)
    assert not any("CANNOT" in line for line in words(drawn(board, 3.175)))
    assert len(drawn(board, CUTTER).modelspace().query("CIRCLE")) == 2  # the dado's only


def test_the_cutter_of_a_shop_with_a_cnc_router_is_used(rebuilt, example: Casework) -> None:
    assert shop_cutter_mm(example) is None
    shop = rebuilt({"shop.saw": "cnc-1/4"})
    assert shop_cutter_mm(shop) == pytest.approx(6.35)  # 1/4 in
    top = read(dict(dxf_files(shop))["top.dxf"])
    assert "RELIEF-B-6.09" in layers(top)
    assert any("6.35 mm" in line for line in words(top))


# --- edging and fitting ---------------------------------------------------------------------


def test_a_chamfer_on_an_edge_with_edging_waits_for_it() -> None:
    both = Chamfer(surface=A, on=(Surface.EDGE_1, Surface.EDGE_2), size=3.0)
    drawing = drawn(a_board(both, edged=True))
    (after,) = drawing.modelspace().query("LINE[layer=='REFERENCE-CHAMFER-AFTER-EDGING-3.00']")
    (line,) = drawing.modelspace().query("LINE[layer=='CHAMFER-A-3.00']")
    assert after.dxf.start.y == pytest.approx(3.0 - 2.0)  # 2 mm of it lie in the edging
    assert line.dxf.start.y == pytest.approx(WIDTH - 2.0 - 3.0)


@pytest.mark.parametrize("place", [RIGHT, LEFT], ids=["right-handed", "left-handed"])
def test_a_chamfer_is_drawn_where_it_ends_on_the_face(place: Place) -> None:
    board = a_board(Chamfer(surface=B, on=(Surface.EDGE_2, Surface.END_1), size=2.5), place=place)
    lines = drawn(board).modelspace().query("LINE[layer=='CHAMFER-B-2.50']")
    plane = bed(board, "B")
    told = [
        {
            tuple(
                round(v, 6) for v in board.place.to_board(plane.toWorldCoords(tuple(end)).toTuple())
            )
            for end in (line.dxf.start, line.dxf.end)
        }
        for line in lines
    ]
    assert told == [
        {(0.0, WIDTH - 2.5, 0.0), (LENGTH, WIDTH - 2.5, 0.0)},
        {(2.5, 0.0, 0.0), (2.5, WIDTH, 0.0)},
    ]


@pytest.mark.parametrize("place", [RIGHT, LEFT], ids=["right-handed", "left-handed"])
def test_relief_stands_in_the_corners_of_its_channel_in_either_face(place: Place) -> None:
    space = drawn(a_board(*EVERYTHING, place=place), CUTTER).modelspace()
    c = CUTTER / 2 * cos(pi / 4)
    for channel, relieved, count in (
        ("GROOVE-A-7.00", "RELIEF-A-7.00", 4),  # stopped at both ends
        ("DADO-B-6.00", "RELIEF-B-6.00", 2),  # stopped at one: the other runs out
    ):
        (loop,) = space.query(f"LWPOLYLINE[layer=='{channel}']")
        corners = [(x, y) for x, y, *_ in loop.get_points()]
        rings = space.query(f"CIRCLE[layer=='{relieved}']")
        assert len(rings) == count
        for ring in rings:
            x, y = ring.dxf.center.x, ring.dxf.center.y
            near = min(corners, key=lambda p: hypot(p[0] - x, p[1] - y))
            assert (abs(near[0] - x), abs(near[1] - y)) == pytest.approx((c, c))
            xs, ys = zip(*corners, strict=True)
            assert min(xs) < x < max(xs)
            assert min(ys) < y < max(ys)


def test_a_board_cut_to_fit_has_the_size_of_the_measured_opening(rebuilt, example) -> None:
    key = example.by_name["divider-1"].fit.opening
    measured = rebuilt({f"measured.opening.{key}": f"{example.openings[key] + 1.0} mm"})
    planned, changed = (
        outline_of(read(dict(dxf_files(work))["divider-1.dxf"]).modelspace())
        for work in (example, measured)
    )
    assert extent(changed)[0] - extent(planned)[0] == pytest.approx(1.0, abs=1e-6)
    assert extent(changed)[1] == pytest.approx(extent(planned)[1])
    fitted = words(read(dict(dxf_files(measured))["divider-1.dxf"]))
    assert not any("measure before cutting" in line for line in fitted)
    waiting = words(read(dict(dxf_files(example))["divider-1.dxf"]))
    assert any("measure before cutting" in line for line in waiting)


def test_what_reaches_the_far_end_follows_the_measured_size(example: Casework, rebuilt) -> None:
    key = example.by_name["divider-1"].fit.opening
    measured = rebuilt({f"measured.opening.{key}": f"{example.openings[key] + 1.0} mm"})
    far = (
        EndRabbet(surface=B, offset=LENGTH - 18.2, width=18.2, depth=9, start=0, stop=WIDTH),
        Groove(surface=A, offset=30, width=6.0, depth=6, start=50, stop=LENGTH),
        Notch(lo=(LENGTH - 40, 250), hi=(LENGTH, WIDTH)),
        Hole(surface=A, at=(450, 220), diameter=60),
    )
    board = replace(a_board(*far), fit=example.by_name["divider-1"].fit)
    rabbet, groove, notch, hole = as_measured(measured, board).features
    assert (rabbet.offset, rabbet.width) == pytest.approx((LENGTH + 1 - 18.2, 18.2))
    assert (groove.start, groove.stop) == pytest.approx((50, LENGTH + 1))
    assert (*notch.lo, *notch.hi) == pytest.approx((LENGTH - 40, 250, LENGTH + 1, WIDTH))
    assert hole == far[3]
    assert as_measured(example, board) is board
