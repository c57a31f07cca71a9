"""Full-size templates: true in size and hand, and not to be printed at another size unseen.

The hands are checked against the boards as they stand in the room, sizes against the numbers
of the features, and both are read back from the SVG as printed. Source of the legs of the
check rules: 1 in is 25.4 mm exactly (international inch, 1959; from memory).
"""

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise

import pytest
from books import UNCHECKED
from hypothesis import given
from hypothesis import strategies as st

from kit.board import Surface
from kit.casework import Casework
from kit.design import Design
from kit.draw.drafting import Frame, Line, Path
from kit.draw.templates import Template, templates
from kit.draw.templates.clip import clipped, inside
from kit.draw.templates.plate import MOST
from kit.draw.templates.region import REACH
from kit.draw.templates.sheet import OVERLAP, frame_of
from kit.draw.templates.words import PRINT
from kit.joinery import Hole, HoleRow, Notch, PocketHoles, Purpose, SlotField
from kit.paper import Paper
from kit.plan_pack.book import Book, Chapter, DocumentType
from kit.plan_pack.compile import book_pdf
from kit.plan_pack.drawings import drawings
from kit.plan_pack.layout import drawing_area
from kit.plan_pack.pages import title_block
from kit.units import System
from pdf_reading import POINTS_PER_MM, inked, read, squeezed, texts
from profiles import BOARDS, examples
from strategies import built

ROOM = {system: drawing_area(Paper.usual(system)) for system in System}


@pytest.fixture(scope="module", params=list(System), ids=lambda s: s.value)
def made(request, example: Casework) -> tuple[System, tuple[Template, ...]]:
    return request.param, templates(example, request.param, ROOM[request.param])


def with_board(casework: Casework, name: str, **changes) -> Casework:
    """The piece with one board changed, and no other board that would get a template."""
    boards = tuple(
        replace(b, **changes) if b.name == name else replace(b, features=())
        for b in casework.boards
    )
    return replace(casework, boards=boards)


def hole(along: float, across: float, diameter: float = 60.0) -> Hole:
    return Hole(surface=Surface.FACE_A, at=(along, across), diameter=diameter)


# --- read back from an SVG ----------------------------------------------------------------


def shapes(svg: str) -> list[list[tuple[float, float]]]:
    """The chains of points of all paths, mm from the upper left corner; arcs by their ends.

    Fails where the size in mm is not that of the view box: then nothing is true.
    """
    root = ET.fromstring(svg)
    _, _, *box = map(float, root.get("viewBox", "").split())
    assert [root.get("width"), root.get("height")] == [f"{size:.3f}mm" for size in box]
    found = []
    for path in root.iter("{http://www.w3.org/2000/svg}path"):
        for one in re.findall(r"M[^M]*", path.get("d", "")):
            chain = []
            for letter, numbers in re.findall(r"([MLA])([^MLAZ]*)", one):
                values = [float(x) for x in numbers.split()]
                chain.append((values[-2], values[-1]))
                assert letter != "A" or values[0] == values[1]
            found.append(chain + (chain[:1] if one.rstrip().endswith("Z") else []))
    return found


def circles(svg: str) -> list[tuple[float, float, float]]:
    """Centre and diameter of every circle, mm from the lower left corner."""
    height = float(ET.fromstring(svg).get("height", "").removesuffix("mm"))
    found = []
    for d in (p.get("d", "") for p in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}path")):
        for one in re.findall(r"M[^M]*", d):
            radii = {float(r) for r in re.findall(r"A([\d.]+)", one)}
            ends = [tuple(map(float, p)) for p in re.findall(r"([\d.]+) ([\d.]+)(?=[LAZ])", one)]
            if len(radii) != 1:
                continue
            xs, ys = [p[0] for p in ends], [p[1] for p in ends]
            wide, high, r = max(xs) - min(xs), max(ys) - min(ys), radii.pop()
            if abs(wide - 2 * r) < 0.01 and abs(high - 2 * r) < 0.01:
                x, y = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2
                found.append((x, height - y, wide))
    return found


def legs(chains) -> list[float]:
    """Lengths of both legs of each L: three points, one leg upright and one level."""
    found = []
    for chain in chains:
        if len(chain) != 3:
            continue
        (ax, ay), (bx, by), (cx, cy) = chain
        if abs(ax - bx) < 1e-3 and abs(by - cy) < 1e-3:
            assert abs(ay - by) == pytest.approx(abs(bx - cx), abs=0.01)
            found.append(abs(bx - cx))
    return sorted(found)


# --- size ---------------------------------------------------------------------------------


def test_holes_read_back_from_the_svg_lie_where_the_board_has_them(made) -> None:
    """The diameter of each, and its place from the two outer edges that meet in the corner."""
    _, found = made
    seen = 0
    for template in found:
        region, board = template.region, template.region.board
        for tile in template.tiles:
            svg = tile.figure.svg("it")
            frame = tile.figure.frame.grown(1.0)
            corner = tile.origin[0] - frame.x0, tile.origin[1] - frame.y0
            for feature in region.features:
                if not isinstance(feature, Hole):
                    continue
                from_end = (
                    feature.at[0]
                    if region.corner[0] is Surface.END_1
                    else (board.length - feature.at[0])
                )
                from_edge = (
                    feature.at[1]
                    if region.corner[1] is Surface.EDGE_1
                    else (board.width - feature.at[1])
                )
                level, upright = (
                    (from_end, from_edge)
                    if region.lengthwise is not template.sheet.turned
                    else (from_edge, from_end)
                )
                for x, y, diameter in circles(svg):
                    assert diameter == pytest.approx(feature.diameter, abs=0.01)
                    assert abs(x - corner[0]) == pytest.approx(level, abs=0.01)
                    assert y - corner[1] == pytest.approx(upright, abs=0.01)
                    seen += 1
    assert seen >= 3


@pytest.mark.slow
@examples(BOARDS, shrink=False)
@given(made=built(), system=st.sampled_from(System))
def test_any_design(made: tuple[Design, Casework], system: System) -> None:
    """Words are clear, pages fit, marks coincide, holes are true, hands are right."""
    for template in templates(made[1], system, ROOM[system]):
        assert list(template.figure.collisions()) == [], template.title
        for tile in template.tiles:
            assert list(tile.figure.collisions()) == [], (template.title, tile.name)
            assert tile.figure.frame.width + 2 <= ROOM[system][0] + 1e-6
            assert tile.figure.frame.height + 2 <= ROOM[system][1] + 1e-6
        assert_tiled(template, system)
        assert_holes(template)
        assert_hands(template, made[1])


def test_the_example(example: Casework, made) -> None:
    """The same of the example, whose boards have both hands."""
    system, found = made
    for template in found:
        assert_tiled(template, system)
        assert_holes(template)
        assert_hands(template, example)
    assert any(use.turned_over for template in found for use in template.uses)


def assert_holes(template: Template) -> None:
    """Every bore square to the face that a template is for is drawn, at its size and place."""
    region = template.region
    discs = [(i.centre, i.radius) for i in template.figure.items if hasattr(i, "centre")]
    for feature in region.features:
        if not isinstance(feature, Hole | HoleRow):
            continue
        for drill in feature.cutters(region.board):
            if not region.holds(drill):
                continue
            p = abs(drill.entry[0] - (region.board.length if region.corner[0].far else 0.0))
            q = abs(drill.entry[1] - (region.board.width if region.corner[1].far else 0.0))
            assert any(
                sorted((abs(x), abs(y))) == pytest.approx(sorted((p, q)), abs=0.01)
                and 2 * radius == pytest.approx(drill.diameter, abs=0.01)
                for (x, y), radius in discs
            )


def assert_hands(template: Template, casework: Casework) -> None:
    """Laid print up on the real board, the paper's axes run as the board's do in the room.

    Level times upright of the paper has to point at the eye: out of the wood, or into it where
    the paper is turned over.
    """
    first = template.uses[0]
    assert not first.turned_over
    for use in template.uses:
        board = casework.by_name[use.board]
        end, edge = use.corner

        def way(point, board=board):
            a, b = board.place.to_room((0.0, 0.0, 0.0)), board.place.to_room(point)
            return [y - x for x, y in zip(a, b, strict=True)]

        along = way((-1.0 if end.far else 1.0, 0.0, 0.0))
        across = way((0.0, -1.0 if edge.far else 1.0, 0.0))
        out = way((0.0, 0.0, 1.0 if use.surface.far else -1.0))
        level, upright = (along, across) if template.region.lengthwise else (across, along)
        normal = [
            level[(i + 1) % 3] * upright[(i + 2) % 3] - level[(i + 2) % 3] * upright[(i + 1) % 3]
            for i in range(3)
        ]
        towards = sum(a * b for a, b in zip(normal, out, strict=True))
        assert towards == pytest.approx(-1.0 if use.turned_over else 1.0), (template.title, use)


# --- tiles --------------------------------------------------------------------------------


def assert_tiled(template: Template, system: System) -> None:
    """Neighbours overlap as they should, and share their marks and all that is drawn there."""
    assert len(template.tiles) <= MOST
    by_name = {tile.name: tile for tile in template.tiles}
    windows = {w.name: w for w in template.sheet.windows}
    for name, window in windows.items():
        for other, beyond in windows.items():
            if (window.row, window.column + 1) == (beyond.row, beyond.column):
                assert window.frame.x1 - beyond.frame.x0 == pytest.approx(OVERLAP[system])
                assert sum(pair == (name, other) for *_, pair in template.sheet.joints) == 2
            if (window.row + 1, window.column) == (beyond.row, beyond.column):
                assert beyond.frame.y1 - window.frame.y0 == pytest.approx(OVERLAP[system])
                assert sum(pair == (name, other) for *_, pair in template.sheet.joints) == 2
    for letter, place, pair in template.sheet.joints:
        for name in pair:
            tile = by_name[name]
            on_page = tile.figure.moved(-tile.origin[0], -tile.origin[1])
            (word,) = [w for w in on_page.words if w.words == letter]
            assert math.dist(word.at, place) < 4.0
            crosses = [
                i.frame
                for i in on_page.items
                if isinstance(i, Path) and len(i.points) == 2 and i.line is Line.THIN
            ]
            centres = [((f.x0 + f.x1) / 2, (f.y0 + f.y1) / 2) for f in crosses]
            assert sum(math.dist(c, place) < 1e-6 for c in centres) >= 2
    whole = Frame.round(tile.window for tile in template.tiles)
    assert inside(frame_of(template.region, turned=template.sheet.turned), whole)


def test_a_large_hole_is_tiled_and_the_tiles_together_show_all_of_it(example) -> None:
    """Six pages at most; on each page the circle is cut, and the pieces make the whole of it."""
    big = with_board(example, "back-1", features=(hole(160.0, 160.0, 240.0),))
    (template,) = templates(big, System.METRIC, ROOM[System.METRIC])
    assert 2 < len(template.tiles) <= MOST
    assert_tiled(template, System.METRIC)
    angles = set()
    for tile in template.tiles:
        for item in tile.figure.moved(-tile.origin[0], -tile.origin[1]).items:
            if isinstance(item, Path) and item.line is Line.VISIBLE and len(item.points) > 9:
                for x, y in item.points:
                    assert math.dist((abs(x), y), (160.0, 160.0)) == pytest.approx(120.0, abs=0.01)
                    angles.add(round(math.degrees(math.atan2(y - 160, abs(x) - 160))) % 360)
    assert angles == set(range(360))


def test_what_is_too_large_or_too_far_from_a_corner_gets_none(example) -> None:
    huge = with_board(example, "top", features=(Notch(lo=(100.0, 0.0), hi=(980.0, 300.0)),))
    assert templates(huge, System.METRIC, ROOM[System.METRIC]) == ()
    top = example.by_name["top"]
    middle = hole(top.length / 2, top.width / 2)
    assert (
        templates(
            with_board(example, "top", features=(middle,)), System.METRIC, ROOM[System.METRIC]
        )
        == ()
    )
    assert top.width / 2 - 30 > REACH


@given(
    points=st.lists(
        st.tuples(*[st.integers(-50, 50).map(lambda n: n + 0.5)] * 2), min_size=2, max_size=6
    ),
    rect=st.tuples(*[st.integers(-30, 0)] * 2, *[st.integers(1, 30)] * 2),
)
def test_a_clipped_line_keeps_just_what_lies_inside(points, rect) -> None:
    """Its length agrees with that found by asking many points of the line."""
    frame = Frame(*rect)
    path = Path(tuple(points), Line.THIN)
    kept = [p for p in clipped([path], frame) if isinstance(p, Path)]
    assert all(inside(p.frame, frame.grown(1e-5)) for p in kept)
    length = sum(math.dist(a, b) for p in kept for a, b in p.segments())
    steps, expected = 400, 0.0
    for a, b in pairwise(points):
        hits = 0
        for i in range(steps):
            t = (i + 0.5) / steps
            x, y = a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])
            hits += frame.x0 <= x <= frame.x1 and frame.y0 <= y <= frame.y1
        expected += math.dist(a, b) * hits / steps
    assert length == pytest.approx(expected, abs=0.02 * len(points) * 10)


# --- the same once ------------------------------------------------------------------------


def test_what_is_the_same_is_given_once_with_all_its_places(example, made) -> None:
    _, found = made
    (doors,) = [t for t in found if "door-1" in t.boards]
    assert doors.boards == ("door-1", "door-2")
    corners = {(use.board, use.corner) for use in doors.uses}
    # at both edges of each door; their length is cut to fit, and end 2 is not where it will be
    assert len(corners) == 4
    assert {use.corner[0] for use in doors.uses} == {Surface.END_1}
    assert sum(use.turned_over for use in doors.uses) == 2
    words = squeezed(" ".join(w.words for w in doors.tiles[0].figure.words))
    assert "K,L:faceAatend1/edge1" in words
    assert "mirrorit" in words
    (dividers,) = [t for t in found if "divider-1" in t.boards]
    assert dividers.boards == ("divider-1", "divider-2")
    assert not any(use.turned_over for use in dividers.uses)
    # both ends of a cross rail, of both hands: pocket holes lie about its middle
    (rails,) = [t for t in found if "base-cross-1" in t.boards]
    assert {use.corner[0] for use in rails.uses} == {Surface.END_1, Surface.END_2}


def test_a_door_that_was_measured_has_templates_at_all_its_corners(example, rebuilt) -> None:
    """The field stays where it is from end 1, and end 2 has come nearer: another template."""
    door = example.by_name["door-1"]
    assert door.fit is not None
    opening = door.length - door.fit.plus - 1.5
    measured = rebuilt({f"measured.opening.{door.fit.opening}": f"{opening} mm"})
    found = [t for t in templates(measured, System.METRIC, ROOM[System.METRIC]) if "K" in t.marks]
    ends = {use.corner[0]: t for t in found for use in t.uses}
    assert set(ends) == {Surface.END_1, Surface.END_2}
    one, two = (ends[end].region for end in (Surface.END_1, Surface.END_2))
    assert one.size[0] - two.size[0] == pytest.approx(1.5)
    assert not any("Cut to fit" in w.words for t in found for w in t.tiles[0].figure.words)


def test_a_millimetre_makes_another_template(example) -> None:
    moved = tuple(
        replace(b, features=(hole(76.2, 76.2 + (b.name == "divider-2"), 60.0),))
        if b.name.startswith("divider")
        else replace(b, features=())
        for b in example.boards
    )
    assert len(templates(replace(example, boards=moved), System.METRIC, ROOM[System.METRIC])) == 2


# --- what deserves one --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("feature", "count"),
    [
        (hole(80.0, 90.0), 1),
        (Notch(lo=(0.0, 0.0), hi=(60.0, 40.0)), 1),
        (PocketHoles(surface=Surface.FACE_B, exit=Surface.END_1, stations=(40.0, 90.0)), 1),
        (PocketHoles(surface=Surface.FACE_B, exit=Surface.EDGE_2, stations=(40.0, 90.0)), 0),
        (
            HoleRow(
                surface=Surface.FACE_A, at=(9.0, 40.0), pitch=60.0, count=8, along=1,
                diameter=6.0, purpose=Purpose.CROSS_PIN,
            ),
            1,
        ),
        (
            HoleRow(
                surface=Surface.FACE_A, at=(60.0, 37.0), pitch=32.0, count=5, along=0,
                diameter=5.0, depth=8.0, purpose=Purpose.SHELF_PIN,
            ),
            0,
        ),
        (
            SlotField(
                at=(216.6, 70.0), slot_length=300.0, slot_width=12.0, pitch=30.0, count=13
            ),
            1,
        ),
    ],
    ids=["hole", "notch", "pockets in an end", "in an edge", "cross pins", "shelf pins", "slots"],
)  # fmt: skip
def test_the_feature_decides_not_the_name_of_the_board(example, feature, count) -> None:
    board = example.by_name["divider-1"]
    square = {"length": 433.2, "width": 500.0, "fit": None}
    made_of = with_board(example, board.name, features=(feature,), **square)
    found = templates(made_of, System.METRIC, ROOM[System.METRIC])
    assert len(found) == count, [t.title for t in found]


def test_a_board_that_is_small_as_a_whole_is_shown_whole(example) -> None:
    small = with_board(
        example,
        "divider-1",
        length=150.0,
        width=70.0,
        fit=None,
        features=(hole(100.0, 40.0, 20.0),),
    )
    (template,) = templates(small, System.METRIC, ROOM[System.METRIC])
    assert template.region.whole == (True, True)
    words = {w.words for w in template.tiles[0].figure.words}
    assert {"end 1", "end 2", "edge 1", "edge 2"} <= words
    outline = [i for i in template.figure.items if isinstance(i, Path) and i.line is Line.VISIBLE]
    frame = Frame.round(i.frame for i in outline)
    assert sorted((frame.width, frame.height)) == pytest.approx([70.0, 150.0])


# --- the check rules ----------------------------------------------------------------------


def test_every_page_has_check_rules_both_ways_in_both_systems(made) -> None:
    """On the page of a template: 100 mm and 4 in, or 50 mm and 2 in, each level and upright."""
    _, found = made
    for template in found:
        for tile in template.tiles:
            measured = legs(shapes(tile.figure.svg("it")))
            words = [w.words for w in tile.figure.words]
            if measured[-1] > 80:
                assert measured == pytest.approx([100.0, 4 * 25.4], abs=0.001)
                assert words.count("100 mm") == words.count("4 in") == 2
            else:
                assert measured == pytest.approx([50.0, 2 * 25.4], abs=0.001)
                assert words.count("50 mm") == words.count("2 in") == 2
            said = squeezed(" ".join(words))
            assert squeezed(PRINT) in said


def test_a_small_page_has_short_rules_and_a_tiny_one_no_template(example) -> None:
    only = with_board(example, "divider-1", features=(hole(40.0, 40.0, 20.0),))
    (template,) = templates(only, System.METRIC, (240.0, 95.0))
    assert legs(shapes(template.tiles[0].figure.svg("it"))) == pytest.approx([50.0, 50.8])
    assert templates(only, System.METRIC, (60.0, 40.0)) == ()


def test_in_the_pdf_the_rules_are_as_long_as_they_say_and_holes_as_wide(example) -> None:
    """Through the book: in the PDF's own units of 1/72 in."""
    plates = drawings(example, Paper.LETTER).templates
    book = Book(
        title_block=title_block(example, System.INCH),
        standing=UNCHECKED,
        paper=Paper.LETTER,
        chapters=(Chapter("Full-size templates", DocumentType.TEMPLATE, plates),),
    )
    pdf = book_pdf(book)
    pages = read(pdf).pages
    measured = []
    for page in pages:
        measured += legs(chains(page))
    assert len(measured) == 2 * len(plates)
    for found in sorted(measured):
        assert any(found == pytest.approx(leg, abs=0.02) for leg in (50.0, 50.8, 100.0, 101.6))
    assert float(pages[0].mediabox.width) / POINTS_PER_MM == pytest.approx(279.4, abs=0.01)
    said = squeezed("".join(texts(pdf)))
    assert said.count(squeezed(PRINT)) == len(plates)
    assert "scalefullsize" in said
    assert "Full-sizetemplate" in said


def chains(page):
    """The open lines of a page, in mm from its lower left corner."""
    points = []
    for operator, operands, at, _ in inked(page):
        if operator == b"m":
            if points:
                yield points
            points = [at(*operands)]
        elif operator == b"l":
            points.append(at(*operands))
        elif operator in (b"c", b"h", b"re"):
            points = []
        elif operator in (b"S", b"s", b"f", b"B", b"n"):
            if points:
                yield points
            points = []


# --- words --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "label",
    [
        '<script>alert(1)</script> & "ply"',
        '#eval("1") $x$ *bold* `raw` \\ @ref',
        "M" * 80,
        "\x07bell\x00 and ]]> CDATA",
    ],
)
def test_a_hostile_name_of_a_material_is_printed_as_text(example, label) -> None:
    board = example.by_name["divider-1"]
    only = with_board(example, board.name, stock=replace(board.stock, label=label))
    (template,) = templates(only, System.METRIC, ROOM[System.METRIC])
    for tile in template.tiles:
        assert list(tile.figure.collisions()) == []
        assert tile.figure.frame.width + 2 <= ROOM[System.METRIC][0]
        root = ET.fromstring(tile.figure.svg(template.title))
        tags = {node.tag.rpartition("}")[2] for node in root.iter()}
        assert tags <= {"svg", "title", "path", "text"}
        said = squeezed("".join(node.text or "" for node in root.iter()))
        assert squeezed("".join(c for c in label if c >= " ")) in said


def test_no_line_ends_within_a_length(example) -> None:
    """`1 9/16 in` read from the second line alone would be another length."""
    for across in range(40, 120, 3):
        only = with_board(example, "divider-1", features=(hole(140.0, across + 0.7, 20.0),))
        (template,) = templates(only, System.INCH, ROOM[System.INCH])
        for tile in template.tiles:
            said = [words.words for words in tile.figure.words]
            for one, other in pairwise(said):
                broken = re.search(r"\d$", one) and re.match(r"\d+/\d|in\b|mm\b|%", other)
                assert not broken, (one, other)
            assert not any("\ue000" in words for words in said)


def test_many_places_go_on_further_pages_and_none_is_lost(example) -> None:
    board = replace(example.by_name["divider-1"], features=(hole(76.0, 76.0),))
    many = tuple(replace(board, name=f"partition-of-the-library-{i}") for i in range(60))
    piece = replace(example, boards=many)
    found = templates(piece, System.METRIC, ROOM[System.METRIC])
    assert len(found) > 1
    assert [use.board for t in found for use in t.uses] == [b.name for b in many]
    for template in found:
        for tile in template.tiles:
            assert list(tile.figure.collisions()) == []
            assert tile.figure.frame.height + 2 <= ROOM[System.METRIC][1]
