"""Tips stay inside and fasteners grip: against hand arithmetic and rules of the trade."""

import math
from dataclasses import replace

import pytest
from hypothesis import given

from kit import hardware
from kit.board import Surface
from kit.checks.fasteners import GRIP, check_fasteners, driven
from kit.components.made import Means
from kit.finding import Status
from kit.joinery import Trench
from kit.materials import material
from profiles import BOARDS, examples
from strategies import built

IN = 25.4
few = examples(BOARDS)


def found(casework, check, subject):
    (finding,) = [f for f in check_fasteners(casework) if f.check == check and f.subject == subject]
    return finding


def fastening(casework, board, to, means=None):
    (one,) = [
        f
        for f in casework.fastenings
        if f.board == board and f.to == to and (means is None or f.means is means)
    ]
    return one


# --- the example, by hand ----------------------------------------------------------------


def test_a_pocket_screw_of_the_example_by_hand(example):
    # Readings 0.716 to 0.722 in, mean 0.71875 in. The axis lies at 15 degrees, and the full
    # circle of the 9.5 mm shoulder stays 0.2 mm inside the face: 16.77 mm before the exit. The
    # rest of a 1-1/4 in screw is in the rail.
    mean, thinnest = 0.71875 * IN, 0.716 * IN
    slant = math.radians(15)
    past = 31.75 - (mean / 2 - 4.75 * math.cos(slant) - 0.2) / math.sin(slant)
    into = past * math.cos(slant)
    assert into == pytest.approx(14.47, abs=0.01)
    tips = found(example, "tips stay inside", "base-end-left to base-front")
    grip = found(example, "fasteners grip", "base-end-left to base-front")
    assert tips.measured == pytest.approx(thinnest - into, abs=1e-6)
    assert grip.measured == pytest.approx(past, abs=1e-6)


def test_a_back_screw_of_the_example_by_hand(example):
    # 5/8 in through the thickest panel, 0.209 in
    grip = found(example, "fasteners grip", "back-1 to divider-1")
    assert grip.measured == pytest.approx(15.88 - 0.209 * IN, abs=1e-6)


def test_nothing_fails_in_the_example(example):
    findings = list(check_fasteners(example))
    assert len(findings) == 2 * sum(f.means in GRIP for f in example.fastenings)
    assert {f.status for f in findings} == {Status.OK}


# --- rules of the trade -------------------------------------------------------------------


def test_back_screws_are_about_three_times_the_panel(rebuilt):
    # An ordinary screw is about three times as long as the part on top, or has two thirds of
    # its length in the base (from memory).
    for key, readings in (("walnut-ply-1/4", None), ("birch-ply-6.5", None), ("birch-ply-9", None)):
        casework = rebuilt({"back.stock": key, "measured.thickness": readings or {}})
        panel = material(key).thickness_mm
        one = fastening(casework, "back-1", "divider-1")
        assert one.length == pytest.approx(3 * panel, abs=3.5)
        (first, *_) = driven(casework, one)
        assert first.grip / one.length == pytest.approx(2 / 3, abs=0.06)


def test_corner_screws_have_about_two_thirds_in_the_base(rebuilt):
    casework = rebuilt({"case.corner": "butt", "case.corner_depth": None})
    one = fastening(casework, "side-left", "top")
    pieces = driven(casework, one)
    assert len(pieces) == one.count
    for screw in pieces:
        assert screw.grip / one.length == pytest.approx(2 / 3, abs=0.04)
        # into the end of the top, along the piece, on the middle of its thickness
        assert [abs(h) for h in screw.heading] == pytest.approx([1, 0, 0])
        assert screw.seat[2] == pytest.approx(casework.by_name["top"].box.centre[2])
        assert screw.left > 1000


@pytest.mark.parametrize(
    ("stock", "length_in"), [("walnut-ply-3/4", 1.25), ("birch-ply-18", 1.25), ("mdf-3/4", 1.25)]
)
def test_the_pocket_screw_of_the_chart_stays_inside(rebuilt, stock, length_in):
    # Jig makers' charts (text read): 1-1/4 in screws join 3/4 in stock.
    casework = rebuilt({"base.stock": stock, "case.stock": stock, "measured.thickness": {}})
    one = fastening(casework, "base-end-left", "base-front")
    assert one.length == pytest.approx(length_in * IN)
    assert found(casework, "tips stay inside", "base-end-left to base-front").status is Status.OK


def test_a_thick_base_under_a_thin_bottom_takes_a_shorter_screw(rebuilt):
    # Two layers of 3/4 in: the chart says 2-1/2 in, which would come through a 3/4 in bottom.
    casework = rebuilt({"base": {"kind": "beam", "height": "5 in"}})
    beam = casework.by_name["base-beam"]
    assert hardware.pocket_screw_for(beam.thickness).length_mm == 63.5
    assert fastening(casework, "base-beam", "base-rail-left").length == 63.5
    assert fastening(casework, "base-beam", "bottom").length == 50.8
    assert found(casework, "tips stay inside", "base-beam to bottom").status is Status.OK


# --- what has to be noticed ----------------------------------------------------------------


def test_a_screw_under_a_door_track_comes_out(rebuilt):
    # toe 3/8 in: the screws of the front rail end under the front track, 3/8 in deep here
    deep = {"doors.bottom_depth": "3/8 in", "doors.top_depth": "1/2 in"}
    bad = rebuilt({"base.toe": "3/8 in", **deep})
    finding = found(bad, "tips stay inside", "base-front to bottom")
    assert finding.status is Status.FAIL
    without = found(rebuilt({"base.toe": "2 1/2 in"}), "tips stay inside", "base-front to bottom")
    assert without.status is Status.OK
    assert finding.measured < without.measured - 0.3 * IN


def test_a_screw_into_a_filled_dado_does_not_come_out(rebuilt):
    # a divider right over a screw of the centre beam: its tongue fills the dado
    bare = {"doors": None, "shelf": [], "back": None, "gear": [], "hole": []}
    plain = rebuilt(bare | {"base": {"kind": "beam", "height": "5 in"}})
    first = driven(plain, fastening(plain, "base-beam", "bottom"))[1]
    casework = rebuilt({"divider.1.at": f"{first.tip[0]} mm"})
    at = casework.by_name["divider-1"].box.centre[0]
    screws = driven(casework, fastening(casework, "base-beam", "bottom"))
    nearest = min(screws, key=lambda s: abs(s.tip[0] - at))
    assert abs(nearest.tip[0] - at) < casework.by_name["divider-1"].thickness / 2
    assert nearest.left > 100  # up through the divider


def test_a_screw_into_a_removable_panel_counts_as_out(rebuilt):
    # the rear rail flush with the rear: its screws end in the rabbet of the back panels
    casework = rebuilt({"base.rear": "0 in"})
    assert found(casework, "tips stay inside", "base-back to bottom").status is Status.FAIL
    panel = casework.by_name["back-1"].box
    screws = driven(casework, fastening(casework, "base-back", "bottom"))
    under_it = [s for s in screws if panel.lo[0] < s.tip[0] < panel.hi[0] - 20]
    assert under_it
    assert all(screw.left < 0 for screw in under_it)


def test_thin_readings_count(rebuilt):
    thick = rebuilt({"measured.thickness.walnut-ply-3/4": ["0.72 in", "0.72 in"]})
    thin = rebuilt({"measured.thickness.walnut-ply-3/4": ["0.70 in", "0.74 in"]})
    subject = "base-end-left to base-front"
    one, other = (found(c, "tips stay inside", subject).measured for c in (thick, thin))
    assert other == pytest.approx(one - 0.02 * IN, abs=1e-6)


def test_a_screw_that_misses_its_board_is_unknown(rebuilt):
    # the front rail of a wide plinth runs under both sides, and is screwed to the bottom only
    casework = rebuilt({"case.corner": "butt", "case.corner_depth": None, "base.set_in": "0 in"})
    line = fastening(casework, "base-end-left", "side-left")
    astray = replace(line, to="bottom")
    assert driven(casework, astray) == ()
    (tips, grip) = check_fasteners(replace(casework, fastenings=(astray,)))
    assert {tips.status, grip.status} == {Status.UNKNOWN}


def test_bolts_end_in_their_inserts(rebuilt):
    casework = rebuilt({"base.attach": "bolts"})
    one = fastening(casework, "base-front", "bottom", Means.BOLTS)
    insert = hardware.fitting("insert-m6x12")
    bottom = casework.by_name["bottom"].stock
    pieces = driven(casework, one)
    assert len(pieces) == one.count
    for bolt in pieces:
        assert bolt.left == pytest.approx(
            insert.hole_depth_mm + bottom.thickness_min_mm - one.length
        )
        assert bolt.grip == pytest.approx(one.length - bottom.thickness_max_mm)


@few
@given(built(extras=False))
def test_every_place_of_a_fastener_is_found(made):
    _, work = made
    for one in work.fastenings:
        if one.means not in GRIP:
            continue
        pieces = driven(work, one)
        misses = one.means is Means.POCKET_SCREWS and one.to == "bottom"
        assert len(pieces) == one.count or (misses and not pieces), one
        host = work.by_name[one.board], work.by_name[one.to]
        for piece in pieces:
            assert math.dist(piece.seat, piece.tip) == pytest.approx(one.length)
            assert piece.grip <= one.length
            assert any(
                all(
                    a - 1 <= p <= b + 1
                    for a, p, b in zip(h.box.lo, piece.seat, h.box.hi, strict=True)
                )
                for h in host
            )


@few
@given(built(extras=False))
def test_the_wood_over_a_tip_is_what_the_boards_leave(made):
    """Independent of the ray: the depth straight into a board without cuts on that side."""
    _, work = made
    for one in work.fastenings:
        if one.means is not Means.POCKET_SCREWS or not one.to.startswith(("base-", "leg-")):
            continue
        host = work.by_name[one.to]
        assert not any(isinstance(f, Trench) for f in host.features)
        for piece in driven(work, one):
            axis = max(range(3), key=lambda i: abs(piece.heading[i]))
            far = host.box.hi[axis] if piece.heading[axis] > 0 else host.box.lo[axis]
            left = abs(far - piece.tip[axis])
            inside = host.box.lo[axis] < piece.tip[axis] < host.box.hi[axis]
            thin = (host.stock.thickness_mm - host.stock.thickness_min_mm) * host.layers
            if axis != host.place.out.axis:
                thin = 0.0
            wanted = (left if inside else -left) - thin
            assert piece.left == pytest.approx(wanted, abs=1e-6)


def test_the_holes_that_guide_a_screw_are_the_ones_it_follows(rebuilt):
    casework = rebuilt({"divider.1.joint": "screws"})
    one = fastening(casework, "divider-1", "top")
    top = casework.by_name["top"]
    for screw in driven(casework, one):
        u, v, _ = top.place.to_board(screw.seat)
        assert any(
            math.dist((u, v), c) < 1e-6
            for f in top.features
            if getattr(f, "surface", None) is Surface.FACE_A
            for c in getattr(f, "centres", ())
        )


def test_a_tip_deep_in_its_board_is_not_measured_in_feet(example):
    """'18 5/8 in of wood over the tip' of a 5/8 in screw."""
    deep = [
        f for f in check_fasteners(example) if f.check == "tips stay inside" and f.measured > 26
    ]
    assert deep
    assert all("ends deep inside" in f.why and "stays over" not in f.why for f in deep)
