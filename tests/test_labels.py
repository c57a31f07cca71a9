"""Labels: what is printed, and that all of it is inside its label."""

import re
import shutil
import subprocess
from collections import Counter

import pytest
from hypothesis import given

from kit.board import Surface
from kit.draw.labels import LabelPaper, labels_pdf
from kit.making.labels import datum, labels
from kit.making.sheets import sheet_plan
from kit.units import System
from profiles import PICTURES, examples
from strategies import built

POINTS_PER_MM = 72 / 25.4


def test_the_datum_of_the_example_by_hand(example):
    # The front edge of a case board is edged, and edge 1; its mates are measured from the left.
    assert datum(example.by_name["top"]) == "edge 1: front, end 1: left, face A: top"
    assert datum(example.by_name["bottom"]) == "edge 1: front, end 1: left, face A: bottom"
    assert datum(example.by_name["side-left"]) == "edge 1: front, end 1: bottom, face A: left"
    assert datum(example.by_name["side-right"]) == "edge 1: front, end 1: bottom, face A: right"
    assert datum(example.by_name["door-1"]) == "edge 1: left, end 1: bottom, face A: front"


@examples(PICTURES)
@given(built())
def test_the_datum_is_where_the_surfaces_are_in_the_room(made):
    _, casework = made
    sides = {"left": (0, 0), "right": (0, 1), "front": (1, 0), "rear": (1, 1)}
    sides |= {"bottom": (2, 0), "top": (2, 1)}
    for board in casework.boards:
        told = dict(part.split(": ") for part in datum(board).split(", "))
        assert list(told) == ["edge 1", "end 1", "face A"]
        for surface in (Surface.EDGE_1, Surface.END_1, Surface.FACE_A):
            axis, high = sides[told[surface.plain]]
            u, v = board.span(surface)
            middle = board.place.to_room(board.point(surface, (u / 2, v / 2)))
            wall = (board.box.hi if high else board.box.lo)[axis]
            assert middle[axis] == pytest.approx(wall, abs=1e-6)


def words_of(pdf, folder):
    """Every word on every page as (page, left, top, right, bottom, text), points."""
    source = folder / "labels.pdf"
    source.write_bytes(pdf)
    html = subprocess.run(
        ["pdftotext", "-bbox", source, "-"], capture_output=True, text=True, check=True
    ).stdout
    found = []
    for page, part in enumerate(html.split("<page ")[1:]):
        for word in re.finditer(
            r'xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*?)</word>', part
        ):
            found.append((page, *map(float, word.groups()[:4]), word[5]))
    return found


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs poppler's pdftotext")
@pytest.mark.parametrize("paper", list(LabelPaper))
def test_all_that_is_printed_lies_inside_its_label(paper, rebuilt, tmp_path):
    # A long name, many joins in the bottom, and boards of several sheets.
    dividers = [{"at": f"{inches} in"} for inches in (13, 26, 39, 52, 65)]
    casework = rebuilt(
        {
            "name": "Film room console of the town library, north wall, second drawing with doors",
            "divider": dividers,
            "shelf": [],
            "doors": None,
            "back": None,
            "hole": [],
            "gear": [],
            "base.height": "4 in",
        }
    )
    rows = labels(casework, sheet_plan(casework), System.INCH)
    words = words_of(labels_pdf(rows, "labels", paper), tmp_path)
    sheet = paper.value
    seen = Counter()
    for page, left, top, right, bottom, word in words:
        column = (left / POINTS_PER_MM - sheet.left) // (sheet.label_width + sheet.gap)
        row = (top / POINTS_PER_MM - sheet.top) // sheet.label_height
        x = sheet.left + column * (sheet.label_width + sheet.gap)
        y = sheet.top + row * sheet.label_height
        assert x <= left / POINTS_PER_MM, word
        assert right / POINTS_PER_MM <= x + sheet.label_width, word
        assert bottom / POINTS_PER_MM <= y + sheet.label_height, word
        assert bottom - top > 4.0, f"{word} is too small to read"
        seen[page, row, column] += 1
    assert len(seen) == len(rows)
    printed = "".join(word for *_, word in words)
    bottom_label = next(row for row in rows if row.name == "bottom")
    assert sum(line.count(", ") for line in bottom_label.joins) >= 7
    for row in rows:
        for line in (*row.joins, row.datum, row.fit, row.size, row.design):
            assert "".join(line.split()) in printed, line
