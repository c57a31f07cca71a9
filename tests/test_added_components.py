"""A component of a maker's own, added to a piece that is built: every list and check sees it."""

from dataclasses import replace
from itertools import islice

import pytest
from wrong_names import WRONG_NAMES, cases, differences

from kit.board import Board, Surface
from kit.checks import check
from kit.components.made import Fastening, Made, Means
from kit.errors import BuildError
from kit.finding import Report, Status
from kit.geometry import Box, Heading, Place
from kit.joinery import Dado, Hole, house
from kit.making.as_built import printed
from kit.making.cut_list import cut_list
from kit.making.set_ups import set_up_sheet
from kit.making.sheets import sheet_plan
from kit.making.steps import Phase, steps
from kit.units import System


def fin(casework, *, name="fin-1", x=200.0, housed=True):
    """An upright board on the bottom of bay 1, as high as half of what is under its shelf."""
    bottom, shelf = casework.by_name["bottom"], casework.by_name["shelf-1"]
    floor, high = bottom.box.hi[2], (shelf.box.lo[2] - bottom.box.hi[2]) / 2
    stock = casework.by_name["door-1"].stock
    low = floor - bottom.thickness / 3 if housed else floor
    box = Box((x, 120.0, low), (x + stock.thickness_mm, 320.0, floor + high))
    board = Board(
        name=name,
        stock=stock,
        length=box.size[2],
        width=box.size[1],
        place=Place.of(box, Heading.UP, Heading.BACK, Heading.LEFT),
    )
    glue = Fastening(board=name, to="bottom", means=Means.GLUE)
    cuts = (("bottom", house(bottom, board)),) if housed else ()
    return Made((board,), cuts, (glue,) if housed else ())


def test_its_boards_and_cuts_are_in_the_piece(example):
    more = example.having(fin(example))
    assert [board.name for board in more.boards] == [*example.by_name, "fin-1"]
    assert more.marks["fin-1"] not in example.marks.values()
    (dado,) = set(more.by_name["bottom"].features) - set(example.by_name["bottom"].features)
    assert isinstance(dado, Dado)
    assert dado.depth == pytest.approx(example.by_name["bottom"].thickness / 3)
    # what is cut out of the bottom is what stands in it, and half of the fit at either side
    taken = example.by_name["bottom"].volume_mm3 - more.by_name["bottom"].volume_mm3
    assert taken == pytest.approx(dado.depth * 200.0 * dado.width)
    assert more.design == example.design
    assert more.fastenings[-1].board == "fin-1"


def test_every_list_sees_it(example):
    more = example.having(fin(example))
    assert "fin-1" in {row.name for row in cut_list(more)}
    assert "fin-1" in sheet_plan(more).sheet_names
    (dado,) = set(more.by_name["bottom"].features) - set(example.by_name["bottom"].features)
    (setting,) = (s for s in set_up_sheet(more) if dado in [cut.feature for cut in s.cuts])
    assert setting.width == pytest.approx(dado.width, abs=0.011)
    order = steps(more, System.INCH)
    told = [s.title for s in order if any("fin-1" in line for line in s.lines)]
    assert told == ["Check the sizes of the boards", "Decide when your own boards go in"]
    worked_on = [s.phase for s in order if "fin-1" in s.boards]
    assert worked_on == [Phase.ROUGH, Phase.FINAL, Phase.ADDED, Phase.FINISH]


def test_a_board_added_is_no_part_of_the_base(example, rebuilt):
    def base(casework):
        return [s.boards for s in steps(casework, System.INCH) if s.phase is Phase.BASE]

    assert base(example.having(fin(example))) == base(example) != []
    without = rebuilt({"base": None})
    order = steps(without.having(fin(without)), System.INCH)
    assert Phase.BASE not in {s.phase for s in order}
    assert "Machine the case" in {s.title for s in order}
    # it is said before the case is closed: what is housed at both ends goes in with the rest
    phases = [s.phase for s in order]
    assert phases.index(Phase.ADDED) < phases.index(Phase.GLUE_UP)
    assert Phase.ADDED not in {s.phase for s in steps(without, System.INCH)}


def test_checks_see_it(example):
    about = ("boards apart", "joinery", "stands clear")
    housed = check(example.having(fin(example, x=60.0))).about(*about)
    assert not housed.failed
    assert "bottom" in {f.subject for f in housed.about("joinery")}
    # moved into the left side of the case, it shares wood with it
    inside = check(example.having(fin(example, x=5.0, housed=False))).about(*about)
    assert {f.check for f in inside.having(Status.FAIL)} == {"boards apart"}
    # moved to where a device stands, it is in the way
    player = next(p for p in example.inside if p.item.name == "streaming box")
    amid = check(example.having(fin(example, x=player.body.centre[0]))).about(*about)
    assert {f.subject for f in amid.having(Status.FAIL)} == {"streaming box"}


def test_cuts_alone_may_be_added(example):
    hole = Hole(surface=Surface.FACE_A, at=(100.0, 100.0), diameter=10.0)
    more = example.having(Made(cuts=(("top", hole),)))
    assert hole in more.by_name["top"].features
    assert more.having() == more


def test_what_does_not_fit_together_is_refused(example):
    once = example.having(fin(example))
    with pytest.raises(BuildError, match="There are two boards named 'fin-1'"):
        once.having(fin(example, x=300.0))
    hole = Hole(surface=Surface.FACE_A, at=(100.0, 100.0), diameter=10.0)
    with pytest.raises(BuildError, match=r"a cut names 'botom'.* did you mean 'bottom'"):
        example.having(Made(cuts=(("botom", hole),)))
    loose = Fastening(board="fin-9", to="bottom", means=Means.GLUE)
    with pytest.raises(BuildError, match="a fastening names 'fin-9'"):
        example.having(Made(fastenings=(loose,)))


def test_it_has_no_plan_to_be_held_against(rebuilt):
    measured = rebuilt({"measured.opening": {"bay-1": "540 mm"}})
    rows = printed(measured.having(fin(measured)), System.INCH)
    assert rows
    assert "fin-1" not in {row["name"] for row in rows}


def test_findings_can_be_asked_for_by_check(example_report):
    report = example_report
    sag = report.about("sag", "racking")
    assert {f.check for f in sag} == {"sag", "racking"}
    assert list(sag) == [f for f in report if f.check in ("sag", "racking")]
    assert report.about() == Report()


def test_a_name_changes_no_finding():
    """Once a board gave 5, 2 or 0 fails as it was named 'extra', 'back-rail' or 'door-stop'.

    `python tests/wrong_names.py 2000` asks the same of so many designs.
    """
    for work, made, chance in islice(cases(3), 5):
        names = chance.sample(WRONG_NAMES, 2)
        assert list(differences(work, made, names)) == [], made.boards[0].box


def test_what_lies_where_the_doors_run_is_judged_whatever_it_is(example):
    (own,) = fin(example, x=60.0).boards
    away = example.having(fin(example, x=60.0))
    (finding,) = check(away).about("doors pass what is behind")
    assert finding.measured <= own.box.lo[1]
    tight = replace(own, place=replace(own.place, corner=(60.0, 8.0, own.place.corner[2])))
    (finding,) = check(example.having(Made((tight,)))).about("doors pass what is behind")
    assert (finding.subject, finding.status) == ("fin-1", Status.FAIL)
