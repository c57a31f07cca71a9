"""The pages of the plans: sizes of paper, true lengths, and where plates and pictures go."""

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.draw.drafting import Scale
from kit.paper import Paper
from kit.plan_pack.book import (
    Book,
    Chapter,
    Column,
    DocumentType,
    Draft,
    Picture,
    Plate,
    Prose,
    Table,
    TitleBlock,
)
from kit.plan_pack.compile import book_pdf
from kit.plan_pack.layout import CAPTION, Drawn, drawing_area, page_area, runs, svg_size
from kit.plan_pack.scale import bar
from kit.units import System
from pdf_reading import POINTS_PER_MM, boxes, drawing, read

#: mm, longer side first. Source: ISO 216 (A4, A3), ANSI Y14.1 (A 8.5 x 11 in, B 11 x 17 in);
#: from memory, universal.
PAPERS = {
    Paper.A4: (297.0, 210.0),
    Paper.A3: (420.0, 297.0),
    Paper.LETTER: (11 * 25.4, 8.5 * 25.4),
    Paper.TABLOID: (17 * 25.4, 11 * 25.4),
}

TENTH = Scale(10, "1:10")

UNCHECKED = Draft(("not passed through the release gate",))


@pytest.fixture(scope="module")
def book():
    """A book with a page of a drawing, and one of a picture."""
    block = TitleBlock(
        title="Film room console",
        owner="Town library",
        creator="Library workshop",
        approved_by="Head of the film room",
        number="FR-CON-01",
        date="2026-03-14",
        revision="B",
        units="in",
        design="0123456789ab",
    )
    drawn = (
        Plate(drawing(150, 40), 150, 40, "Front", TENTH),
        Picture(drawing(100, 50), "Air"),
    )
    return Book(
        title_block=block,
        standing=UNCHECKED,
        paper=Paper.LETTER,
        chapters=(Chapter("Views", DocumentType.ARRANGEMENT, drawn),),
    )


@pytest.mark.parametrize("paper", Paper)
def test_pages_have_the_size_of_their_paper(paper, book):
    for page in read(book_pdf(replace(book, paper=paper))).pages:
        size = [float(side) / POINTS_PER_MM for side in page.mediabox[2:]]
        assert size == pytest.approx(PAPERS[paper], abs=0.5 / POINTS_PER_MM)
        assert [float(side) for side in page.mediabox[:2]] == [0, 0]


def plates_of(book, *plates, units="in"):
    chapter = Chapter("Views", DocumentType.ARRANGEMENT, plates)
    block = replace(book.title_block, units=units)
    return read(book_pdf(replace(book, chapters=(chapter,), title_block=block))).pages


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize(("units", "side"), [("in", 25.4), ("mm", 25.0)])
def test_the_check_square_is_as_large_as_it_says(book, paper, units, side):
    (page,) = plates_of(
        replace(book, paper=paper),
        Plate(drawing(150, 40), 150, 40, "Front", TENTH),
        units=units,
    )
    words = " ".join(page.extract_text().split())
    assert f"this square is {'1 in' if units == 'in' else '25 mm'} each way" in words
    squares = [b for b in boxes(page) if b[2:] == pytest.approx((side, side), abs=0.01)]
    assert len(squares) == 1
    assert squares[0][1] < 10 + 28  # in the strip


@pytest.mark.parametrize(
    ("scale", "units", "says", "shows_mm", "share"),
    [
        ("1:10", "in", "12 in", 304.8, 1 / 10),
        ("1:5", "mm", "100 mm", 100.0, 1 / 5),
        ("1:1", "mm", "30 mm", 30.0, 1),
        ("1 1/2 in = 1 ft", "in", "6 in", 152.4, 1 / 8),
        ("1:20", "mm", "500 mm", 500.0, 1 / 20),
    ],
)
def test_the_scale_bar_is_as_long_as_it_says(book, scale, units, says, shows_mm, share):
    plate = Plate(drawing(150, 40), 150, 40, "Front", Scale(1 / share, scale))
    (page,) = plates_of(book, plate, units=units)
    text = page.extract_text()
    assert f"scale {scale}" in text
    assert f"\n0 {says}\n" in text
    bars = [b for b in boxes(page) if b[2:] == pytest.approx((shows_mm * share, 1.4), abs=0.01)]
    assert len(bars) == 1
    halves = [
        b for b in boxes(page) if b[2:] == pytest.approx((shows_mm * share / 2, 1.4), abs=0.01)
    ]
    assert len(halves) == 1


def test_a_plate_is_printed_at_its_very_size_and_its_words_stay_words(book):
    (page,) = plates_of(
        book,
        Plate(drawing(170.5, 60), 170.5, 60, "Front", TENTH),
        Plate(drawing(60, 33.25), 60, 33.25, "Head of the track", Scale(2, "1:2")),
    )
    sizes = [b[2:] for b in boxes(page)]
    assert any(size == pytest.approx((150.5, 10), abs=0.01) for size in sizes)
    assert any(size == pytest.approx((40, 10), abs=0.01) for size in sizes)
    text = page.extract_text()
    assert text.count("12 3/4 written") == 2
    assert "Scale\nas noted" in text
    assert "Third angle" in text
    assert "Head of the track" in text


def test_pages_without_a_drawing_have_neither_square_nor_symbol(book):
    (page,) = plates_of(book, Picture(drawing(100, 50), "Air"))
    text = page.extract_text()
    assert "not to scale" in text
    assert "this square" not in text
    assert "Third angle" not in text


def test_a_plate_that_fits_no_page_is_refused(book):
    width, height = drawing_area(book.paper)
    whole = Plate(drawing(width, height), width, height, "Whole", Scale(1, "1:1"))
    assert len(plates_of(book, whole)) == 1
    with pytest.raises(ValueError, match="a page of letter holds"):
        plates_of(book, replace(whole, width_mm=width + 0.1))


def test_a_plate_of_another_shape_than_its_drawing_is_refused(book):
    with pytest.raises(ValueError, match="give both one shape"):
        plates_of(book, Plate(drawing(150, 40), 150, 45, "Front", TENTH))


@given(share=st.floats(0.02, 1.0), units=st.sampled_from(System))
def test_a_bar_has_its_room_beside_the_square(share, units):
    one = bar(Scale(1 / share, "so small"), units)
    assert 0 < one.paper_mm <= 36.0
    assert one.paper_mm >= 36.0 / 2.6  # none much too short


sizes = st.tuples(
    st.floats(5, 263),
    st.floats(5, 150),
    st.sampled_from([*(Scale(n, f"1:{n}") for n in (1, 2, 5, 10)), None]),
)


@given(st.lists(sizes, max_size=30), st.sampled_from(Paper))
def test_plates_stay_on_the_page_in_order_and_apart(given_sizes, paper):
    width, height = page_area(paper)
    most = drawing_area(paper)
    plates = tuple(
        Plate("", min(w, most[0]), min(h, most[1]), f"plate {i}", scale)
        for i, (w, h, scale) in enumerate(given_sizes)
    )
    pages = list(runs(Chapter("Views", DocumentType.PART, plates), paper))
    assert tuple(p.block for page in pages for p in page.placed) == plates
    for page in pages:
        assert isinstance(page, Drawn)
        assert len(page.scales) <= 3
        taken = [
            (min(p.x, p.caption_x), p.y, max(p.width, p.caption_width), p.height + CAPTION)
            for p in page.placed
        ]
        for p in page.placed:
            assert (p.width, p.height) == (p.block.width_mm, p.block.height_mm)
        for i, (x, y, w, h) in enumerate(taken):
            assert x >= -1e-6
            assert y >= -1e-6
            assert x + w <= width + 1e-6
            assert y + h <= height + 1e-6
            for u, v, s, t in taken[:i]:
                assert (
                    x + w <= u + 1e-6 or u + s <= x + 1e-6 or y + h <= v + 1e-6 or v + t <= y + 1e-6
                )


@given(
    st.lists(st.tuples(st.floats(200, 1200), st.floats(100, 1500)), min_size=1, max_size=8),
    st.sampled_from(Paper),
)
def test_pictures_keep_their_shape_and_share_a_page_only_where_they_stay_legible(shapes, paper):
    width, height = page_area(paper)
    pictures = tuple(
        Picture(f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w} {h}"/>', f"picture {i}")
        for i, (w, h) in enumerate(shapes)
    )
    pages = list(runs(Chapter("Air", DocumentType.DIAGRAM, pictures), paper))
    assert tuple(p.block for page in pages for p in page.placed) == pictures
    for page in pages:
        for p in page.placed:
            w, h = svg_size(p.block.svg)
            assert p.width / p.height == pytest.approx(w / h)
            assert len(page.placed) == 1 or p.width / w >= 0.2 - 1e-9
            assert p.x >= -1e-6
            assert p.x + p.width <= width + 1e-6
            assert p.y + p.height + CAPTION <= height + 1e-6
        for one, other in pairwise(page.placed):
            assert (
                one.x + one.width <= other.x + 1e-6
                or one.y + one.height + CAPTION <= other.y + 1e-6
            )


def test_a_table_gives_its_head_again_on_every_page(book):
    table = Table(
        title="Rows",
        columns=(Column("Number", strong=True), Column("Of the row", 1)),
        rows=tuple((str(n), "row") for n in range(200)),
    )
    pages = [p.extract_text() for p in plates_of(book, Prose("", ("Before.",)), table)]
    assert len(pages) > 3
    assert all("Number Of the row" in page for page in pages)
    numbers = [int(n) for page in pages for n in re.findall(r"^(\d+) row$", page, re.MULTILINE)]
    assert numbers == list(range(200))


def test_a_row_of_the_wrong_length_is_refused():
    with pytest.raises(ValueError, match="not as long"):
        Table(title="Rows", columns=(Column("One"),), rows=(("1", "2"),))
