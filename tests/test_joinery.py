"""Every joinery feature: numbers, cutters, callout, set-ups, problems; and the boxes below."""

import math
from dataclasses import replace
from itertools import combinations, pairwise, permutations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.board import Board, Feature, Operation, Problem, SetUp, Surface
from kit.errors import BuildError
from kit.geometry import Box, Drill, Heading, Place, Slot, Vec, bounds, cutter_box, remainder
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
    Purpose,
    SlotField,
    Trench,
    cross_pins,
    house,
    pocket_reach,
)
from kit.joinery.pocket_hole import bore_diameter
from kit.materials import stock
from kit.units import System, in_both

IN = 25.4
LENGTH, WIDTH, THICK = 600.0, 300.0, 18.0
SIZE = (LENGTH, WIDTH, THICK)
FLAT = Place((0.0, 0.0, 0.0), Heading.RIGHT, Heading.BACK, Heading.UP)


def board(
    *features: Feature,
    name: str = "shelf-1",
    length: float = LENGTH,
    width: float = WIDTH,
    thickness: float = THICK,
    thickest: float | None = None,
    layers: int = 1,
    place: Place = FLAT,
) -> Board:
    sheet = replace(
        stock("birch-ply-18"),
        thickness_mm=thickness / layers,
        thickness_min_mm=thickness / layers,
        thickness_max_mm=thickest or thickness / layers,
    )
    return Board(
        name=name,
        stock=sheet,
        length=length,
        width=width,
        layers=layers,
        place=place,
        features=features,
    )


def problems(feature: Feature, on: Board | None = None) -> list[Problem]:
    return list(feature.problems(on or board(), in_both))


def approx_box(box: Box) -> Box:
    return Box(pytest.approx(box.lo), pytest.approx(box.hi))


def swept(set_up: SetUp, on: Board) -> Box:
    """The room that a machine setting clears on a face: fence, width, depth and stations only.

    Written from the definition of a set-up, without a look at the cutters.
    """
    size = (on.length, on.width, on.thickness)
    across = set_up.against.axis
    run = 1 - across
    lo, hi = [0.0, 0.0, 0.0], list(size)
    near = set_up.fence
    lo[across] = size[across] - near - set_up.width if set_up.against.far else near
    hi[across] = lo[across] + set_up.width
    if set_up.stations:
        lo[run], hi[run] = set_up.stations
    if set_up.surface.far:
        lo[2] = size[2] - set_up.depth
    else:
        hi[2] = set_up.depth
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


# --- rabbet, dado, groove -------------------------------------------------------------


def dado(**changes: object) -> Dado:
    numbers = {
        "surface": Surface.FACE_B, "offset": 200.0, "width": 18.4, "depth": 6.0,
        "start": 0.0, "stop": WIDTH, "mate": "divider-1",
    }  # fmt: skip
    return Dado(**{**numbers, **changes})  # type: ignore[arg-type]


def groove(**changes: object) -> Groove:
    numbers = {
        "surface": Surface.FACE_A, "offset": 20.0, "width": 8.0, "depth": 9.0,
        "start": 0.0, "stop": LENGTH,
    }  # fmt: skip
    return Groove(**{**numbers, **changes})  # type: ignore[arg-type]


def test_a_dado_crosses_the_length_and_a_groove_runs_with_it() -> None:
    (across,) = dado().cutters(board())
    assert across == Box((200.0, 0.0, 0.0), (218.4, 300.0, 6.0))
    (along,) = groove().cutters(board())
    assert along == Box((0.0, 20.0, 9.0), (600.0, 28.0, 18.0))


def test_rabbets_lie_at_the_end_and_along_the_edge() -> None:
    end = EndRabbet(
        surface=Surface.FACE_B, offset=582.0, width=18.0, depth=12.0, start=0.0, stop=300.0
    )
    assert end.cutters(board()) == (Box((582.0, 0.0, 0.0), (600.0, 300.0, 12.0)),)
    edge = EdgeRabbet(
        surface=Surface.FACE_B, offset=294.0, width=6.0, depth=9.0, start=0.0, stop=600.0
    )
    assert edge.cutters(board()) == (Box((0.0, 294.0, 0.0), (600.0, 300.0, 9.0)),)
    assert problems(end) == problems(edge) == []


def test_a_rabbet_names_every_panel_that_lies_in_it(example) -> None:
    """Two panels share the rabbet of the top; a side holds the one beside it."""
    said = {
        name: [
            f.callout(example.by_name[name], System.INCH)
            for f in example.by_name[name].features
            if isinstance(f, EdgeRabbet)
        ]
        for name in ("top", "side-left", "side-right")
    }
    assert said["top"][0].endswith(", for back-1 and back-2")
    assert said["side-left"][0].endswith(", for back-1")
    assert said["side-right"][0].endswith(", for back-2")


def test_the_volume_of_a_stopped_channel() -> None:
    stopped = dado(start=30.0, stop=250.0)
    made = board(stopped)
    assert made.volume_mm3 == pytest.approx(600 * 300 * 18 - 18.4 * 6 * 220)


@pytest.mark.parametrize(
    ("feature", "metric", "inch"),
    [
        (
            dado(),
            "dado 18.4 mm wide x 6 mm deep, for divider-1",
            "dado 0.724 in wide x 0.236 in deep, for divider-1",
        ),
        (
            dado(stop=250.0),
            "dado 18.4 mm wide x 6 mm deep, stopped, for divider-1",
            "dado 0.724 in wide x 0.236 in deep, stopped, for divider-1",
        ),
        (groove(), "groove 8 mm wide x 9 mm deep", "groove 0.315 in wide x 0.354 in deep"),
        (
            EndRabbet(surface=Surface.FACE_B, offset=0, width=18.3, depth=12.7, start=0, stop=300),
            "rabbet 18.3 mm wide x 12.7 mm deep",
            "rabbet 0.720 in wide x 0.500 in deep",
        ),
        (
            Hole(surface=Surface.FACE_A, at=(60, 60), diameter=60),
            "\N{DIAMETER SIGN}60 mm through, cable hole",
            "\N{DIAMETER SIGN}2.362 in through, cable hole",
        ),
        (
            HoleRow(
                surface=Surface.FACE_B, at=(64, 37), pitch=32, count=5, along=0, diameter=5, depth=8
            ),
            "5x \N{DIAMETER SIGN}5 mm 8 mm deep, shelf pins, 32 mm apart",
            "5x \N{DIAMETER SIGN}0.197 in 0.315 in deep, shelf pins, 1.260 in apart",
        ),
        (
            SlotField(at=(300, 60), slot_length=400, slot_width=12.7, pitch=31.75, count=6),
            "6x slot 400 mm x 12.7 mm, 31.8 mm apart",
            "6x slot 15.748 in x 0.500 in, 1.250 in apart",
        ),
        (
            PocketHoles(surface=Surface.FACE_B, exit=Surface.END_1, stations=(75, 225)),
            "2x pocket hole to end 1",
            "2x pocket hole to end 1",
        ),
        (Notch(lo=(0, 240), hi=(50, 300)), "notch 50 mm x 60 mm", "notch 1 31/32 in x 2 3/8 in"),
        (
            Chamfer(surface=Surface.FACE_A, on=(Surface.EDGE_1,), size=3),
            "chamfer 3 mm x 45\N{DEGREE SIGN}",
            "chamfer 0.118 in x 45\N{DEGREE SIGN}",
        ),
    ],
    ids=lambda value: type(value).__name__ if isinstance(value, Feature) else "",
)
def test_callouts_in_both_systems(feature: Feature, metric: str, inch: str) -> None:
    assert feature.callout(board(), System.METRIC) == metric
    assert feature.callout(board(), System.INCH) == inch


positions = st.floats(0.0, 1.0)


@st.composite
def trenches(draw: st.DrawFn) -> Trench:
    kind = draw(st.sampled_from([Dado, Groove, EndRabbet, EdgeRabbet]))
    span, reach = (LENGTH, WIDTH) if kind.run == 1 else (WIDTH, LENGTH)
    width = draw(st.floats(3.0, 40.0))
    at = draw(positions)
    if issubclass(kind, EndRabbet | EdgeRabbet):
        at = round(at)
    start, stop = draw(
        st.sampled_from([(0.0, reach), (0.0, reach / 3), (20.0, reach), (20.0, reach - 30)])
    )
    return kind(
        surface=draw(st.sampled_from([Surface.FACE_A, Surface.FACE_B])),
        offset=at * (span - width),
        width=width,
        depth=draw(st.floats(0.5, 17.0)),
        start=start,
        stop=stop,
    )


@given(trenches())
def test_the_set_up_of_a_channel_clears_what_its_cutter_takes(cut: Trench) -> None:
    made = board(cut)
    (cutter,) = cut.cutters(made)
    (set_up,) = cut.set_ups(made)
    assert (set_up.width, set_up.depth) == (cut.width, cut.depth)
    assert swept(set_up, made) == approx_box(cutter)
    assert set_up.surface is cut.surface
    assert made.blank.contains(cutter)


@given(trenches())
def test_a_channel_takes_width_times_depth_times_length(cut: Trench) -> None:
    made = board(cut)
    taken = cut.width * cut.depth * (cut.stop - cut.start)
    assert made.volume_mm3 == pytest.approx(LENGTH * WIDTH * THICK - taken)


def test_a_rabbet_is_set_up_from_its_own_end() -> None:
    near = EndRabbet(surface=Surface.FACE_B, offset=0, width=18, depth=12, start=0, stop=300)
    far = replace(near, offset=582.0)
    assert [r.set_ups(board())[0].against for r in (near, far)] == [Surface.END_1, Surface.END_2]
    assert [r.set_ups(board())[0].fence for r in (near, far)] == [0.0, 0.0]


@pytest.mark.parametrize("depth", [18.0, 20.0, 0.0, -1.0])
@pytest.mark.parametrize("cut", [dado(), groove()])
def test_a_channel_deeper_than_its_board_cannot_be_built(cut: Trench, depth: float) -> None:
    with pytest.raises(BuildError) as caught:
        board(replace(cut, depth=depth), name="side-left")
    words = str(caught.value)
    assert words.startswith("side-left: ")
    assert f"{in_both(depth)} deep" in words
    assert "18 mm (0.709 in) thick" in words
    assert "shallower" in words


@pytest.mark.parametrize(
    "changes",
    [
        {"offset": -0.1}, {"offset": 582.0}, {"start": -5.0}, {"stop": 301.0},
        {"start": 200.0, "stop": 200.0}, {"width": 0.0},
    ],
)  # fmt: skip
def test_a_channel_off_its_board_cannot_be_built(changes: dict[str, float]) -> None:
    with pytest.raises(BuildError, match=r"^shelf-1: the dado .* mm.*move it"):
        board(dado(**changes))


def test_a_rabbet_away_from_the_edge_cannot_be_built() -> None:
    stray = EndRabbet(surface=Surface.FACE_B, offset=5, width=18, depth=12, start=0, stop=300)
    with pytest.raises(BuildError, match="does not reach an edge"):
        board(stray)


def test_wood_under_a_channel() -> None:
    # half the thickness under dado and groove, a quarter under a rabbet: common practice
    assert problems(dado(depth=9.0)) == []
    (thin,) = problems(dado(depth=9.5))
    assert (thin.measured, thin.required, thin.impossible) == (8.5, 9.0, False)
    rabbet = EndRabbet(surface=Surface.FACE_B, offset=0, width=18, depth=13.5, start=0, stop=300)
    assert problems(rabbet) == []
    (weak,) = problems(replace(rabbet, depth=14.0))
    assert (weak.measured, weak.required) == (4.0, 4.5)


def test_a_deep_groove_leaves_less_than_two_fifths() -> None:
    # a builder's account: a 3/8 in groove leaves 11/32 in of a 23/32 in panel, which serves
    panel = board(thickness=23 / 32 * IN)
    assert problems(groove(depth=3 / 8 * IN), panel) == []
    (problem,) = problems(groove(depth=7 / 16 * IN), panel)
    assert problem.measured == pytest.approx(9 / 32 * IN)
    assert problem.required == pytest.approx(0.4 * 23 / 32 * IN)


@pytest.mark.parametrize("offset", [5.0, 600 - 18.4 - 5.0])
def test_a_dado_near_an_end_breaks_out(offset: float) -> None:
    (problem,) = problems(dado(offset=offset))
    assert problem.measured == pytest.approx(5.0)
    assert problem.required == pytest.approx(9.0)
    assert not problem.impossible
    assert "5 mm (0.197 in)" in problem.why


@pytest.mark.parametrize(("offset", "count"), [(6.0, 0), (5.9, 1), (286.0, 0), (286.1, 1)])
def test_a_groove_keeps_six_millimetres_beside_it(offset: float, count: int) -> None:
    assert len(problems(groove(offset=offset))) == count


# --- housings from mates --------------------------------------------------------------


def standing(x: float, down: float = 6.0, **changes: float) -> Board:
    """A divider that enters the flat board from above; its middle is at `x`."""
    t = changes.get("thickness", 17.6)
    width = changes.get("width", WIDTH)
    y = changes.get("y", 0.0)
    foot = THICK - down
    box = Box((x - t / 2, y, foot), (x + t / 2, y + width, foot + 400.0))
    return board(
        name="divider-1",
        length=400.0,
        width=width,
        thickness=t,
        thickest=changes.get("thickest"),
        place=Place.of(box, Heading.UP, Heading.BACK, Heading.LEFT),
    )


def test_a_housing_follows_the_thickest_spot_of_its_mate() -> None:
    cut = house(board(), standing(300.0, thickest=18.1))
    assert isinstance(cut, Dado)
    assert cut.surface is Surface.FACE_A
    assert cut.width == pytest.approx(18.1 + 0.15)
    assert cut.offset + cut.width / 2 == pytest.approx(300.0)
    assert (cut.depth, cut.start, cut.stop) == (pytest.approx(6.0), 0.0, WIDTH)
    assert cut.mate == "divider-1"


@pytest.mark.parametrize("fit", Fit)
def test_a_fit_is_the_gap_beside_the_mate(fit: Fit) -> None:
    cut = house(board(), standing(300.0, thickest=18.1), fit)
    assert cut.width - 18.1 == pytest.approx(fit.gap)


@pytest.mark.parametrize(("x", "offset"), [(8.8, 0.0), (LENGTH - 8.8, LENGTH - 18.1)])
def test_a_mate_at_the_end_gets_a_rabbet(x: float, offset: float) -> None:
    cut = house(board(), standing(x, thickest=18.1), Fit.FLUSH)
    assert isinstance(cut, EndRabbet)
    assert cut.offset == pytest.approx(offset)


def test_a_panel_along_the_grain_gets_a_groove_or_an_edge_rabbet() -> None:
    def panel(y: float) -> Board:
        box = Box((100.0, y, THICK - 6.0), (500.0, y + 6.0, 300.0))
        place = Place.of(box, Heading.UP, Heading.RIGHT, Heading.FRONT)
        return board(name="back-1", length=288.0, width=400.0, thickness=6.0, place=place)

    inside = house(board(), panel(200.0), Fit.EASY, slack=1.0)
    assert isinstance(inside, Groove)
    assert (inside.start, inside.stop) == (pytest.approx(99.0), pytest.approx(501.0))
    assert inside.depth == pytest.approx(7.0)
    at_edge = house(board(), panel(294.0), Fit.FLUSH, run_out=(math.inf, math.inf))
    assert isinstance(at_edge, EdgeRabbet)
    assert (at_edge.start, at_edge.stop) == (0.0, LENGTH)


def test_a_housing_runs_out_only_where_it_may() -> None:
    """Near the rear it runs out over the edge; as near the front it stops with its mate."""
    mate = standing(300.0, y=20.0, width=260.0)
    cut = house(board(), mate, run_out=(0.0, 20.0))
    assert (cut.start, cut.stop) == (20.0, WIDTH)
    both = house(board(), mate, run_out=(20.0, 20.0))
    assert (both.start, both.stop) == (0.0, WIDTH)
    neither = house(board(), mate)
    assert (neither.start, neither.stop) == (20.0, 280.0)


def test_a_housing_of_two_layers_takes_both_at_their_thickest() -> None:
    mate = replace(standing(300.0, thickest=9.1), layers=2)
    box = Box((300 - 17.6, 0, 12), (300 + 17.6, 300, 412))
    mate = replace(mate, place=Place.of(box, Heading.UP, Heading.BACK, Heading.LEFT))
    assert house(board(), mate).width == pytest.approx(2 * 9.1 + 0.15)


def test_boards_that_do_not_meet_have_no_housing() -> None:
    with pytest.raises(BuildError, match="divider-1 does not enter a face of shelf-1"):
        house(board(), standing(300.0, down=-5.0))


# --- holes ----------------------------------------------------------------------------


@pytest.mark.parametrize("surface", Surface)
def test_a_hole_starts_on_its_surface_and_goes_inwards(surface: Surface) -> None:
    at = tuple(s / 2 for i, s in enumerate(SIZE) if i != surface.axis)
    hole = Hole(surface=surface, at=(at[0], at[1]), diameter=6.0, depth=10.0)
    (drill,) = hole.cutters(board(hole))
    assert drill.entry[surface.axis] == (SIZE[surface.axis] if surface.far else 0.0)
    moved = drill.end[surface.axis] - drill.entry[surface.axis]
    assert moved == (-10.0 if surface.far else 10.0)
    assert board().blank.contains(drill.box)
    assert board(hole).volume_mm3 == pytest.approx(600 * 300 * 18 - math.pi * 9 * 10)


@pytest.mark.parametrize("surface", Surface)
def test_a_through_hole_comes_out_at_the_other_side(surface: Surface) -> None:
    at = tuple(s / 2 for i, s in enumerate(SIZE) if i != surface.axis)
    (drill,) = Hole(surface=surface, at=(at[0], at[1]), diameter=4.0).cutters(board())
    assert drill.through
    assert drill.end[surface.axis] == (0.0 if surface.far else SIZE[surface.axis])


def test_a_hole_through_a_dado_takes_only_the_wood_that_is_left() -> None:
    cut = dado(offset=200.0, width=60.0, depth=6.0)
    hole = Hole(surface=Surface.FACE_A, at=(230.0, 150.0), diameter=20.0)
    made = board(cut, hole)
    left = 600 * 300 * 18 - 60 * 6 * 300 - math.pi * 100 * 12
    assert made.volume_mm3 == pytest.approx(left)
    assert list(made.meetings()) == [(cut, hole)]
    apart = Hole(surface=Surface.FACE_A, at=(400.0, 150.0), diameter=20.0)
    assert list(board(cut, apart).meetings()) == []


rows = st.builds(
    HoleRow,
    surface=st.sampled_from([Surface.FACE_A, Surface.FACE_B]),
    at=st.tuples(st.floats(20, 150), st.floats(20, 90)),
    pitch=st.floats(10, 40),
    count=st.integers(1, 5),
    along=st.sampled_from([0, 1]),
    diameter=st.floats(3, 8),
    depth=st.one_of(st.none(), st.floats(1, 15)),
)


@given(rows)
def test_the_set_up_of_a_row_drills_where_its_cutters_are(row: HoleRow) -> None:
    made = board(row)
    (set_up,) = row.set_ups(made)
    drills = row.cutters(made)
    assert len(drills) == len(set_up.stations) == row.count
    assert set_up.against.axis == 1 - row.along
    for drill, station in zip(drills, set_up.stations, strict=True):
        assert drill.entry[row.along] == pytest.approx(station)
        assert drill.entry[1 - row.along] == pytest.approx(set_up.fence)
        assert (drill.diameter, drill.depth) == (set_up.width, set_up.depth)
    assert set_up.depth == (THICK if row.depth is None else row.depth)
    span = drills[-1].entry[row.along] - drills[0].entry[row.along]
    assert span == pytest.approx((row.count - 1) * row.pitch)


@pytest.mark.parametrize("surface", [Surface.END_1, Surface.END_2, Surface.EDGE_1, Surface.EDGE_2])
def test_a_bore_into_an_edge_is_set_from_a_face(surface: Surface) -> None:
    hole = Hole(surface=surface, at=(100.0, 7.0), diameter=8.0, depth=25.0)
    (set_up,) = hole.set_ups(board(hole))
    (drill,) = hole.cutters(board(hole))
    assert set_up.operation is Operation.BORE
    assert set_up.surface is surface
    assert set_up.against is Surface.FACE_B
    assert set_up.fence == drill.entry[2] == 7.0
    assert set_up.stations == (100.0,)


def test_holes_that_cannot_be_drilled() -> None:
    off = Hole(surface=Surface.FACE_A, at=(5.0, 100.0), diameter=12.0)
    with pytest.raises(
        BuildError, match=r"shelf-1: a hole 12 mm \(0\.472 in\) wide, .* move it inwards"
    ):
        board(off)
    for depth in (18.0, 25.0, 0.0):
        deep = Hole(surface=Surface.FACE_A, at=(100.0, 100.0), diameter=12.0, depth=depth)
        with pytest.raises(BuildError, match=r"18 mm \(0\.709 in\) thick; make it shallower"):
            board(deep)
    with pytest.raises(BuildError, match="has 0 holes; ask for one or more"):
        board(
            HoleRow(
                surface=Surface.FACE_A, at=(50, 50), pitch=32, count=0, along=0, diameter=5, depth=8
            )
        )
    with pytest.raises(BuildError, match="runs off face A"):
        board(HoleRow(surface=Surface.FACE_A, at=(50, 50), pitch=32, count=30, along=0, diameter=5))


def test_holes_that_should_not_be_drilled() -> None:
    near = Hole(surface=Surface.FACE_A, at=(7.0, 100.0), diameter=10.0)
    (edge,) = problems(near)
    assert (edge.measured, edge.required, edge.impossible) == (2.0, 3.0, False)
    (point,) = problems(Hole(surface=Surface.FACE_A, at=(90, 90), diameter=10, depth=17))
    assert (point.measured, point.required) == (1.0, 1.5)
    (crowd,) = problems(
        HoleRow(surface=Surface.FACE_A, at=(50, 50), pitch=7, count=3, along=0, diameter=5, depth=8)
    )
    assert (crowd.measured, crowd.required) == (7, 7.5)


def test_cross_pins_line_up_in_both_boards() -> None:
    """A rod goes through the tongue that a rabbet leaves, on into the middle of the end."""
    side = board(
        name="side-left",
        place=Place((THICK, 0, 0), Heading.UP, Heading.BACK, Heading.LEFT),
    )
    top_box = Box((6.0, 0.0, LENGTH - THICK), (500.0, WIDTH, LENGTH))
    top = board(
        name="top",
        length=494.0,
        place=Place.of(top_box, Heading.RIGHT, Heading.BACK, Heading.UP),
    )
    in_side, in_end = cross_pins(side, top, diameter=6.0, depth=30.0, stations=(40.0, 110.0, 3))
    assert in_side.purpose is Purpose.CROSS_PIN
    for into, out in zip(in_side.cutters(side), in_end.cutters(top), strict=True):
        assert side.place.to_room(into.end) == pytest.approx(top.place.to_room(out.entry))
        assert side.place.to_room(into.entry)[0] == pytest.approx(0.0)
        assert top.place.to_room(out.end)[0] == pytest.approx(36.0)
        assert top.place.to_room(out.entry)[2] == pytest.approx(LENGTH - THICK / 2)
    assert in_side.depth == pytest.approx(6.0)
    with pytest.raises(BuildError, match=r"does not end in side-left; no pin"):
        cross_pins(side, standing(300.0), diameter=6.0, depth=30.0, stations=(40.0, 110.0, 3))


# --- slots, pockets, notches ----------------------------------------------------------


def slots(**changes: object) -> SlotField:
    numbers = {
        "at": (300.0, 60.0), "slot_length": 400.0, "slot_width": 12.0, "pitch": 30.0, "count": 7,
    }  # fmt: skip
    return SlotField(**{**numbers, **changes})  # type: ignore[arg-type]


def stadium_mm2(length: float, width: float) -> float:
    """Area of a slot with round ends by adding up chords, mm2."""
    steps = 200_000
    r, total = width / 2, 0.0
    for i in range(steps):
        x = (i + 0.5) / steps * length
        end = min(x, length - x)
        total += width if end >= r else 2 * math.sqrt(r * r - (r - end) ** 2)
    return total * length / steps


def test_the_open_area_of_slots() -> None:
    field = slots(slot_length=100.0, count=3)
    assert field.open_mm2 == pytest.approx(3 * stadium_mm2(100.0, 12.0), rel=1e-6)
    assert board(field).volume_mm3 == pytest.approx(600 * 300 * 18 - field.open_mm2 * 18)
    assert field.land == 18.0


@pytest.mark.parametrize("along", [0, 1])
def test_slots_are_disjoint_and_their_set_up_makes_the_first(along: int) -> None:
    at = (300.0, 60.0) if along == 0 else (60.0, 150.0)
    field = slots(along=along, at=at, slot_length=200.0)
    made = board(field)
    cutters = field.cutters(made)
    assert all(isinstance(c, Slot) for c in cutters)
    boxes = [cutter_box(c) for c in cutters]
    for one, other in pairwise(boxes):
        assert one.common(other) is None
        gap = other.lo[1 - along] - one.hi[1 - along]
        assert gap == pytest.approx(field.land)
    (set_up,) = field.set_ups(made)
    assert swept(set_up, made) == approx_box(boxes[0])


def test_slot_problems() -> None:
    assert problems(slots()) == []
    (land,) = problems(slots(pitch=17.0))
    assert (land.measured, land.required) == (5.0, 6.0)
    (frame,) = problems(slots(at=(300.0, 20.0)))
    assert (frame.measured, frame.required) == (14.0, 19.0)
    for wrong in (
        {"count": 20}, {"pitch": 12.0}, {"slot_length": 10.0}, {"slot_length": 600.0}, {"count": 0},
    ):  # fmt: skip
        with pytest.raises(BuildError, match=r"shelf-1: \d+ slots of .* mm.*fewer or smaller"):
            board(slots(**wrong))


SLANT = math.radians(15.0)


@pytest.mark.parametrize("thickness", [11.5, 12.0, 15.0, 18.0, 19.05, 36.5])
@pytest.mark.parametrize("exit_at", [Surface.END_1, Surface.END_2, Surface.EDGE_1, Surface.EDGE_2])
@pytest.mark.parametrize("face", [Surface.FACE_A, Surface.FACE_B])
def test_pocket_holes_by_trigonometry(thickness: float, exit_at: Surface, face: Surface) -> None:
    pockets = PocketHoles(surface=face, exit=exit_at, stations=(80.0, 160.0))
    made = board(pockets, thickness=thickness)
    bore, pilot, *second = pockets.cutters(made)
    size = (made.length, made.width, made.thickness)
    along, depth_axis = exit_at.axis, 2
    # the screw comes out at mid thickness ...
    assert pilot.end[along] == pytest.approx(size[along] if exit_at.far else 0.0, abs=1e-9)
    assert pilot.end[depth_axis] == pytest.approx(thickness / 2)
    assert pilot.end[1 - along] == pytest.approx(80.0)
    # ... having started on the face, half a thickness higher, at 15 degrees
    run = abs(bore.entry[along] - pilot.end[along])
    assert bore.entry[depth_axis] == pytest.approx(thickness if face.far else 0.0, abs=1e-9)
    assert math.atan2(thickness / 2, run) == pytest.approx(SLANT)
    # bore and pilot share one axis, end to start
    assert bore.end == pytest.approx(pilot.entry)
    assert bore.heading == pilot.heading
    assert math.hypot(*bore.heading) == pytest.approx(1.0)
    assert bore.depth + pilot.depth == pytest.approx(thickness / 2 / math.sin(SLANT))
    # the shoulder for the screw's head is a whole circle inside the wood
    middle = abs(bore.end[depth_axis] - thickness / 2)
    assert middle + bore.diameter / 2 * math.cos(SLANT) < thickness / 2
    assert 0 < pilot.depth <= thickness + 1e-9
    # the mouth is an ellipse: its long radius is r / sin 15
    assert pocket_reach(made) == pytest.approx(run + bore_diameter(made) / 2 / math.sin(SLANT))
    assert [d.entry[1 - along] for d in second] == pytest.approx([160.0, 160.0])
    # two cylinders on one axis, each its circle times its length
    each = math.pi / 4 * (bore.diameter**2 * bore.depth + pilot.diameter**2 * pilot.depth)
    assert made.volume_mm3 == pytest.approx(made.blank.volume_mm3 - 2 * each)


def test_pocket_set_up_is_the_bore() -> None:
    pockets = PocketHoles(surface=Surface.FACE_B, exit=Surface.END_2, stations=(75.0, 225.0))
    made = board(pockets)
    (set_up,) = pockets.set_ups(made)
    bore = pockets.cutters(made)[0]
    assert (set_up.width, set_up.depth) == (bore.diameter, pytest.approx(bore.depth))
    assert (set_up.against, set_up.surface) == (Surface.END_2, Surface.FACE_B)
    assert set_up.stations == (75.0, 225.0)


def test_pocket_problems() -> None:
    pockets = PocketHoles(surface=Surface.FACE_B, exit=Surface.END_1, stations=(75.0,))
    assert problems(pockets) == []
    with pytest.raises(BuildError, match=r"shelf-1: .* 9 mm \(.*\) thick; use stock of 11 mm"):
        board(pockets, thickness=9.0)
    (near,) = problems(replace(pockets, stations=(10.0, 150.0)))
    assert (near.measured, near.required) == (pytest.approx(5.25), 6.0)
    for stations in ((4.0,), (150.0, 297.0)):
        with pytest.raises(BuildError, match="do not fit a board"):
            board(replace(pockets, stations=stations))
    with pytest.raises(BuildError, match="do not fit a board"):
        board(pockets, length=pocket_reach(board()) - 1.0)


@pytest.mark.parametrize(
    ("lo", "hi"),
    [
        ((0, 0), (50, 60)), ((550, 240), (600, 300)), ((100, 240), (150, 300)),
        ((0, 100), (50, 150)),
    ],
)  # fmt: skip
def test_a_notch_goes_right_through(lo: tuple[float, float], hi: tuple[float, float]) -> None:
    notch = Notch(lo=lo, hi=hi)
    made = board(notch)
    assert notch.cutters(made) == (Box((*lo, 0.0), (*hi, THICK)),)
    area = (hi[0] - lo[0]) * (hi[1] - lo[1])
    assert made.volume_mm3 == pytest.approx((600 * 300 - area) * 18)
    (set_up,) = notch.set_ups(made)
    assert (set_up.width, set_up.depth) == (hi[0] - lo[0], hi[1] - lo[1])
    assert (set_up.fence, set_up.against) == (lo[0], Surface.END_1)
    assert set_up.stations == (lo[1], hi[1])


@pytest.mark.parametrize(
    ("lo", "hi"),
    [
        ((100, 100), (150, 150)),  # enclosed
        ((0, 100), (600, 150)),  # cuts the board in two
        ((100, 0), (150, 300)),
        ((-10, 0), (50, 50)),
        ((590, 0), (610, 50)),
        ((50, 0), (50, 50)),
    ],
)
def test_notches_that_cannot_be(lo: tuple[float, float], hi: tuple[float, float]) -> None:
    with pytest.raises(BuildError, match=r"shelf-1: the notch, .* must lie on the board"):
        board(Notch(lo=lo, hi=hi))


# --- chamfers -------------------------------------------------------------------------

SIDES = (Surface.EDGE_1, Surface.EDGE_2, Surface.END_1, Surface.END_2)


@pytest.mark.parametrize("face", [Surface.FACE_A, Surface.FACE_B])
@pytest.mark.parametrize("on", [on for n in range(1, 5) for on in combinations(SIDES, n)])
def test_a_chamfered_board_is_a_slab_and_a_frustum(face: Surface, on: tuple[Surface, ...]) -> None:
    """Its volume by the prismoidal formula, h/6 (A1 + 4 Am + A2), which knows no overlaps."""
    size = 4.0
    ends = sum(s.axis == 0 for s in on)
    edges = len(on) - ends

    def section(depth: float) -> float:
        return (LENGTH - ends * (size - depth)) * (WIDTH - edges * (size - depth))

    frustum = size / 6 * (section(0.0) + 4 * section(size / 2) + section(size))
    slab = LENGTH * WIDTH * (THICK - size)
    chamfer = Chamfer(surface=face, on=on, size=size)
    assert board(chamfer).volume_mm3 == pytest.approx(slab + frustum, rel=1e-12)


def test_the_strips_of_a_chamfer_lie_on_its_arrises() -> None:
    chamfer = Chamfer(surface=Surface.FACE_B, on=(Surface.EDGE_2, Surface.END_1), size=3.0)
    made = board(chamfer)
    edge, end = (cutter_box(c) for c in chamfer.cutters(made))
    assert edge == Box((0.0, 297.0, 0.0), (600.0, 300.0, 3.0))
    assert end == Box((0.0, 0.0, 0.0), (3.0, 300.0, 3.0))
    set_ups = chamfer.set_ups(made)
    assert [set_up.against for set_up in set_ups] == [Surface.END_1, Surface.EDGE_2]
    for set_up in set_ups:
        assert (set_up.width, set_up.depth, set_up.fence) == (3.0, 3.0, 0.0)
        assert set_up.surface is Surface.FACE_B


@pytest.mark.parametrize(
    "wrong",
    [
        {"size": 18.0}, {"size": 0.0}, {"on": ()}, {"on": (Surface.EDGE_1, Surface.EDGE_1)},
        {"on": (Surface.FACE_B,)},
    ],
)  # fmt: skip
def test_chamfers_that_cannot_be(wrong: dict[str, object]) -> None:
    numbers = {"surface": Surface.FACE_A, "on": (Surface.EDGE_1,), "size": 3.0}
    with pytest.raises(BuildError, match=r"shelf-1: a chamfer of .* mm"):
        board(Chamfer(**{**numbers, **wrong}))  # type: ignore[arg-type]


# --- boxes and places -----------------------------------------------------------------

FRAMES = [
    (along, across, out)
    for along, across, out in permutations(Heading, 3)
    if len({along.axis, across.axis, out.axis}) == 3
]
points = st.tuples(*[st.floats(-3000, 3000)] * 3)


def test_there_are_48_ways_to_place_a_board() -> None:
    assert len(FRAMES) == 48


def _determinant(frame: tuple[Heading, Heading, Heading]) -> float:
    rows = [[0.0] * 3 for _ in frame]
    for row, heading in zip(rows, frame, strict=True):
        row[heading.axis] = heading.sign
    (a, b, c), (d, e, f), (g, h, i) = rows
    return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)


@pytest.mark.parametrize("frame", FRAMES, ids=lambda f: "-".join(h.name for h in f))
def test_mirrored_is_a_negative_determinant(frame: tuple[Heading, Heading, Heading]) -> None:
    assert Place((0, 0, 0), *frame).mirrored is (_determinant(frame) < 0)


@given(points, points, st.sampled_from(FRAMES))
def test_a_place_and_back(corner: Vec, point: Vec, frame: tuple[Heading, ...]) -> None:
    place = Place(corner, *frame)
    assert place.to_board(place.to_room(point)) == pytest.approx(point, abs=1e-9)
    assert place.to_room(place.to_board(point)) == pytest.approx(point, abs=1e-9)


@given(points, points, st.sampled_from(FRAMES))
def test_a_place_keeps_distances(one: Vec, other: Vec, frame: tuple[Heading, ...]) -> None:
    place = Place((10.0, -20.0, 30.0), *frame)
    assert math.dist(place.to_room(one), place.to_room(other)) == pytest.approx(
        math.dist(one, other)
    )


sizes = st.tuples(*[st.floats(1, 2000)] * 3)


@given(points, sizes, st.sampled_from(FRAMES))
def test_a_board_fills_the_box_it_is_placed_in(
    lo: Vec, size: Vec, frame: tuple[Heading, ...]
) -> None:
    box = Box(lo, (lo[0] + size[0], lo[1] + size[1], lo[2] + size[2]))
    place = Place.of(box, *frame)
    inside = place.box_to_board(box)
    assert inside.lo == pytest.approx((0, 0, 0), abs=1e-9)
    assert sorted(inside.size) == pytest.approx(sorted(box.size))
    back = place.box_to_room(inside)
    assert back.lo == pytest.approx(box.lo, abs=1e-9)
    assert back.hi == pytest.approx(box.hi, abs=1e-9)


cells = st.integers(0, 5)


@st.composite
def grid_boxes(draw: st.DrawFn) -> Box:
    """A box whose corners lie on a grid of 6 cells."""
    spans = [sorted(draw(st.lists(cells, min_size=2, max_size=2, unique=True))) for _ in range(3)]
    (x0, x1), (y0, y1), (z0, z1) = spans
    return Box((x0, y0, z0), (x1, y1, z1))


def _cells(box: Box) -> set[tuple[int, ...]]:
    return set(product(*(range(int(a), int(b)) for a, b in zip(box.lo, box.hi, strict=True))))


@given(grid_boxes(), st.lists(grid_boxes(), max_size=5))
def test_what_remains_counted_cell_by_cell(blank: Box, cutters: list[Box]) -> None:
    rest = remainder(blank, cutters)
    wanted = _cells(blank).difference(*(_cells(c) for c in cutters))
    found = [cell for box in rest for cell in _cells(box)]
    assert len(found) == len(set(found))  # disjoint
    assert set(found) == wanted


@given(grid_boxes(), grid_boxes())
def test_common_and_bounds_counted_cell_by_cell(one: Box, other: Box) -> None:
    both = _cells(one) & _cells(other)
    common = one.common(other)
    assert (_cells(common) if common else set()) == both
    assert one.contains(other) is (_cells(other) <= _cells(one))
    round_both = bounds([one, other])
    assert round_both.contains(one)
    assert round_both.contains(other)
    assert one.volume_mm3 == len(_cells(one))


def test_a_slanted_drill_is_boxed_by_its_discs() -> None:
    heading = (math.cos(SLANT), 0.0, -math.sin(SLANT))
    drill = Drill((0.0, 0.0, 0.0), heading, diameter=10.0, depth=40.0)
    assert drill.box.lo[0] == pytest.approx(-5 * math.sin(SLANT))
    assert drill.box.hi[0] == pytest.approx(40 * math.cos(SLANT) + 5 * math.sin(SLANT))
    assert drill.box.hi[2] == pytest.approx(5 * math.cos(SLANT))
    assert (drill.box.lo[1], drill.box.hi[1]) == (-5.0, 5.0)
