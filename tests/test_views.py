"""Views of the whole: true to the solids, and nothing touches."""

import xml.etree.ElementTree as ET
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.casework import Casework
from kit.design import Design
from kit.draw.drafting import SCALES
from kit.draw.moves import slid_open
from kit.draw.views import details, doors_open_svg, exploded, overall, sections
from kit.draw.views.scene import Look, Paper, cut
from kit.units import System
from profiles import examples
from strategies import assemble, built

type Rebuild = Callable[[dict[str, Any]], Casework]

ROOM = (255.0, 160.0)


@pytest.mark.slow
@examples(shrink=False)
@given(made=built(), system=st.sampled_from(System))
def test_words_touch_neither_words_nor_lines_and_keep_to_the_page(
    made: tuple[Design, Casework], system: System
) -> None:
    work = made[1]
    for drawing in (
        overall(work, system, ROOM),
        *sections(work, system, ROOM),
        *details(work, system, ROOM),
    ):
        touching = [(w.words, other) for w, other in drawing.figure.collisions()]
        assert touching == [], drawing.title
        assert drawing.figure.frame.width <= ROOM[0], drawing.title
        assert drawing.figure.frame.height <= ROOM[1], drawing.title


@pytest.mark.parametrize(
    ("look", "at"), [(Look.RIGHT, 300.0), (Look.TOP, 120.0), (Look.FRONT, 250.0)]
)
def test_cut_wood_has_the_area_that_the_kernel_cuts(
    example: Casework, look: Look, at: float
) -> None:
    """Each board's hatched area is that of its solid within a slice a hundredth of a mm thick."""
    import cadquery as cq

    from kit.solid import location, solid

    piece = cut(example.boards, look, at, Paper(SCALES[System.METRIC][0]))
    for board in example.boards:
        lo, hi = [-3000.0] * 3, [3000.0] * 3
        lo[look.axis], hi[look.axis] = at - 0.005, at + 0.005
        size = [b - a for a, b in zip(lo, hi, strict=True)]
        slice_ = cq.Solid.makeBox(*size, pnt=cq.Vector(*lo))
        # a copy: the kernel's booleans change what they are given, and the solids are shared
        body = solid(board).copy().moved(location(board))
        area = body.intersect(slice_).Volume() / 0.01
        hatched = sum(f.width * f.height for f in piece.cells.get(board.name, ()))
        assert hatched == pytest.approx(area, abs=0.5), board.name


def test_every_different_bay_has_a_section_and_like_ones_share_it(
    example: Casework, rebuilt: Rebuild
) -> None:
    titles = [d.title for d in sections(example, System.INCH, ROOM)]
    assert [t for t in titles if "bay" in t] == [
        f"Section through bay {n}, seen from the right" for n in (1, 2, 3)
    ]
    plain = rebuilt(dict.fromkeys(("gear", "cable", "fan", "shelf", "doors", "back", "hole"), None))
    titles = [d.title for d in sections(plain, System.INCH, ROOM)]
    assert sum("bay" in t for t in titles) == 1


@pytest.mark.parametrize("system", System)
def test_stations_keep_clear_of_the_floor_under_a_case_that_is_held_up(system: System) -> None:
    """Beams at the ends are not cut: the floor lies below all that the section shows."""
    lipped = {"lipping": {"stock": "white-oak-board-4/4", "height": "18 mm"}}
    _, work = assemble(
        {
            "name": "Low shelf",
            "case": {"stock": "baltic-birch-18", "width": "89 3/16 in", "height": "685 mm"}
            | {"depth": "15 3/16 in"},
            "divider": [{"at": "7 7/16 in"}],
            "doors": {"stock": "walnut-ply-1/2"},
            "shelf": [{"bay": 1, "clear_below": "165 mm"} | lipped],
            "base": {"kind": "beam", "height": "4 3/4 in"},
        }
    )
    for drawing in sections(work, system, ROOM):
        touching = [(w.words, other) for w, other in drawing.figure.collisions()]
        assert touching == [], drawing.title


def test_details_show_engagement_lift_and_measured_thickness(example: Casework) -> None:
    doors = example.doors
    assert doors is not None
    by_title = {d.title: d for d in details(example, System.METRIC, ROOM)}
    head = " ".join(w.words for w in by_title["Head of the doors"].figure.words)
    # hold-in and lift: h - H - db and H + dt - h, from the heights of the boards in place
    door = doors.doors[0].board.length
    clear = example.frame.clear.size[2]
    assert f"{door - clear - doors.spec.bottom_depth:.1f} mm of it stand" in head
    assert f"{clear + doors.spec.top_depth - door:.1f} mm are left" in head
    corner = [w.words for w in by_title["Corner of the case"].figure.words]
    # both boards as the caliper read them, 23/32 in, and the rabbet wide enough for the thickest
    assert corner.count("18.3") == 2
    assert "rabbet 18.4 mm wide x 12.7 mm deep, for top; measured." in " ".join(corner)


def test_every_board_bears_its_letter_in_the_exploded_picture(example: Casework) -> None:
    picture = exploded(example)
    root = ET.fromstring(picture.svg)
    letters = [t.text for t in root.iter("{http://www.w3.org/2000/svg}text")]
    assert sorted(letters) == sorted(example.marks.values())
    assert picture.unlettered == ()


def test_open_doors_leave_the_end_bays_free(example: Casework, rebuilt: Rebuild) -> None:
    doors = example.doors
    assert doors is not None
    moved = slid_open(example)
    for door in doors.doors:
        x0 = door.board.box.lo[0] + moved[door.board.name]
        assert door.least - 1e-6 <= x0 <= door.most + 1e-6
        for bay in (example.bays[0], example.bays[-1]):
            overlap = min(x0 + door.board.width, bay.clear.hi[0]) - max(x0, bay.clear.lo[0])
            assert overlap <= 1e-6
    assert doors_open_svg(rebuilt({"doors": None})) is None
