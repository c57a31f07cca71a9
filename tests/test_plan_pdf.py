"""The book of plans, read back from its PDF: what it says, and how long its lines are."""

import re
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache, partial
from io import BytesIO
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PageObject, PdfReader
from pypdf.generic import ContentStream

from kit.casework import build
from kit.checks import NOT_CHECKED, check
from kit.design_file import example_text, fingerprint, from_data, parse
from kit.draw.pictorial import pictorial_svg
from kit.draw.sheets import sheet_svg
from kit.errors import DesignFileError
from kit.finding import Report, Status, judge
from kit.finding import Sense as Way
from kit.making import buy_list, set_ups, steps
from kit.making.cut_list import cut_list, printed
from kit.making.sheets import Effort, sheet_plan
from kit.plan_pack import drawings
from kit.plan_pack.book import (
    UNCHECKED,
    Chapter,
    Column,
    DocumentType,
    Draft,
    Picture,
    Plate,
    Prose,
    Released,
    Table,
)
from kit.plan_pack.compile import book_pdf
from kit.plan_pack.layout import CAPTION, Drawn, drawing_area, page_area, runs, svg_size
from kit.plan_pack.pages import make_book, title_block
from kit.plan_pack.scale import bar, ratio
from kit.title_block import Paper
from kit.units import System

type Point = Callable[[float, float], tuple[float, float]]

POINTS_PER_MM = 72 / 25.4
#: mm, longer side first. Source: ISO 216 (A4, A3), ANSI Y14.1 (A 8.5 x 11 in, B 11 x 17 in);
#: from memory, universal.
PAPERS = {
    Paper.A4: (297.0, 210.0),
    Paper.A3: (420.0, 297.0),
    Paper.LETTER: (11 * 25.4, 8.5 * 25.4),
    Paper.TABLOID: (17 * 25.4, 11 * 25.4),
}


def in_units(casework, units):
    shop = casework.design.shop.model_copy(update={"units": units})
    return replace(casework, design=casework.design.model_copy(update={"shop": shop}))


def book_of(casework, *, report=None):
    units = casework.design.shop.units
    plan = sheet_plan(casework, Effort.LIVE)
    pictures = {"console.svg": pictorial_svg(casework)}
    drawn = ((one, sheet) for one in plan.stocks for sheet in one.layout.sheets)
    for number, (one, sheet) in enumerate(drawn, start=1):
        pictures[f"sheets-{number}.svg"] = sheet_svg(casework, one, sheet, units=units)
    report = check(casework) if report is None else report
    return make_book(
        casework, report, plan, pictures, standing=UNCHECKED, paper=Paper.LETTER, units=units
    )


def read(pdf):
    return PdfReader(BytesIO(pdf))


@cache
def texts(pdf):
    """The words of each page."""
    return [page.extract_text() for page in read(pdf).pages]


def squeezed(words):
    """Without blanks and breaks, which depend on where a line is broken."""
    return re.sub(r"[\s\u200b]+", "", words)


def all_of(pdf):
    return squeezed("".join(texts(pdf)))


@pytest.fixture(scope="module")
def book(example):
    return book_of(example)


@pytest.fixture(scope="module")
def short(book):
    """Its cover, a page of drawing and its cautions."""
    drawn = Chapter(
        "Views",
        DocumentType.ARRANGEMENT,
        (Plate(drawing(150, 40), 150, 40, "Front", "1:10"), Picture(drawing(100, 50), "Air")),
    )
    return replace(book, chapters=(book.chapters[0], drawn, book.chapters[-1]))


@pytest.fixture(scope="module")
def pdf(book):
    return book_pdf(book)


@pytest.fixture(scope="module")
def words(pdf):
    return all_of(pdf)


# --- it says what the lists say -----------------------------------------------------------


def test_every_row_of_the_cut_list_is_printed_whole(example, words):
    rows = cut_list(example, sheet_plan(example, Effort.LIVE).sheet_names)
    for row in printed(rows, System.INCH):
        sizes = [row[f"{w} {s}"] for w in ("finished", "cut", "rough") for s in "TWL"]
        arrow = "↔" if row["grain"] == "along the length" else ""
        line = [row["mark"], row["name"], row["pieces"], *sizes, arrow, row["grain"], row["edging"]]
        line += [row["cut to fit"], row["sheet"]]
        assert squeezed("".join(line)) in words, row["name"]
        assert row["material"].split(" (")[0].replace(" ", "") in words


def test_every_finding_is_printed_whole_and_none_is_added(example, words):
    report = check(example)
    told = Counter()
    for one in report:
        said = [one.status.value.upper(), one.check, one.subject]
        said += [example.value(one.measured, one.unit), one.sense.value]
        said += [example.value(one.required, one.unit), example.value(one.margin, one.unit)]
        told[squeezed("".join([*said, one.why]))] += 1
    for line, count in told.items():
        assert words.count(line) == count, line
    for status in Status:
        if count := len(report.having(status)):
            assert f"({count}){'Status'}" in words
    assert squeezed(report.tally) in words
    assert all(squeezed(one.assumes) in words for one in report)
    assert all(squeezed(what)[1:] in words for what in NOT_CHECKED)


def test_a_finding_that_fails_comes_first_and_says_what_is_missing(example):
    def finding(name, measured):
        return judge(name, "it", measured, 2.0, sense=Way.AT_LEAST, unit="kg", why=f"{name} why")

    report = Report((finding("holds", 3.0), finding("lacks", None), finding("falls", 1.0)))
    report_pages = book_of(example, report=report)
    found = all_of(book_pdf(report_pages))
    order = [
        found.index(squeezed(line))
        for line in (
            "FAIL falls it 1 kg at least 2 kg -1 kg falls why",
            "UNKNOWN lacks it not known at least 2 kg not known lacks why",
            "OK holds it 3 kg at least 2 kg 1 kg holds why",
        )
    ]
    assert order == sorted(order)
    assert squeezed("lacks: it not known lacks why") in found  # open items on the cover


def test_steps_settings_and_what_to_buy_are_printed(example, words):
    for step in steps.steps(example):
        assert squeezed(step.title) in words
        assert all(squeezed(line) in words for line in (*step.lines, *step.cautions))
    gates = sum(step.gate for step in steps.steps(example))
    assert words.count("GATE:donotgoonuntilthisisright") == gates > 0
    for row in set_ups.printed(set_ups.set_up_sheet(example), System.INCH):
        line = [row[key] for key in ("no", "operation", "cutter", "width", "depth", "fence")]
        assert squeezed("".join(line)) in words
    for row in buy_list.buy_list(example):
        assert squeezed(row.label) in words


def test_the_cover_tells_size_mass_and_what_to_measure(example, pdf):
    cover = squeezed("".join(texts(pdf)[:3]))
    for said in ("78 in x 22 in x 21 in", f"{example.mass_kg:.0f} kg without gear", "65 in"):
        assert squeezed(said) in cover
    for board in example.boards:
        if board.fit is not None:
            assert squeezed(f"{example.marks[board.name]} {board.name}") in cover
            assert squeezed(f"then cut: {board.fit.formula(System.INCH)}.") in cover
    for placed in example.gear:
        assert squeezed(f"{placed.item.name}{placed.kind.label}{placed.where}") in cover
    for revision in example.design.revisions:
        assert squeezed(f"{revision.mark}{revision.date}{revision.what}") in cover


# --- every page ---------------------------------------------------------------------------


@pytest.mark.parametrize("paper", Paper)
def test_pages_have_the_size_of_their_paper(paper, short):
    for page in read(book_pdf(replace(short, paper=paper))).pages:
        size = [float(side) / POINTS_PER_MM for side in page.mediabox[2:]]
        assert size == pytest.approx(PAPERS[paper], abs=0.5 / POINTS_PER_MM)
        assert [float(side) for side in page.mediabox[:2]] == [0, 0]


def test_every_page_has_its_number_the_hash_and_the_title_block(example, pdf):
    pages = texts(pdf)
    issue = example.design.pack
    for number, page in enumerate(pages, start=1):
        assert f"Sheet\n{number} of {len(pages)}\n" in page
        assert f"Design (hash)\n{fingerprint(example.design)[:12]}" in page
        for field in (issue.owner, issue.creator, issue.approved_by, issue.number):
            assert field in page
        assert f"Revision\n{example.design.revisions[-1].mark}\n" in page
        assert f"Date of issue\n{issue.date.isoformat()}" in page
        assert "Do not scale" in page
        assert "Units\nin\n" in page


@pytest.mark.parametrize("reasons", [("one",), ("one", "two"), ("one", "two", "three", "four")])
def test_a_draft_says_so_and_why_on_every_page(short, reasons):
    pages = texts(book_pdf(replace(short, standing=Draft(reasons))))
    assert all(f"DRAFT: {'; '.join(reasons[:2])}" in page for page in pages)
    assert all(("and 2 more: see sheet 1" in page) == (len(reasons) > 2) for page in pages)


def test_released_plans_say_so_on_every_page(short):
    pages = texts(book_pdf(replace(short, standing=Released())))
    assert all("RELEASED" in page and "DRAFT" not in page for page in pages)


def test_a_draft_without_a_reason_is_refused():
    with pytest.raises(ValueError, match="has a reason"):
        Draft(())


def test_what_the_design_leaves_out_is_said_never_guessed(rebuilt, short):
    block = title_block(rebuilt({"pack": None, "revision": None}), System.INCH)
    page = texts(book_pdf(replace(short, title_block=block)))[0]
    assert page.count("not given") == 3  # owner, creator, number
    assert "not approved" in page
    assert "not issued" in page
    assert "Revision\nnone" in page


def test_the_index_names_the_page_where_each_chapter_begins(pdf, book):
    reader = read(pdf)
    titles = [chapter.title for chapter in book.chapters]
    marks = [mark for mark in reader.outline if not isinstance(mark, list)]
    assert [mark.title for mark in marks] == titles
    starts = [reader.get_destination_page_number(mark) + 1 for mark in marks]
    index = squeezed(texts(pdf)[1])
    for at, chapter in enumerate(book.chapters):
        last = starts[at + 1] - 1 if at + 1 < len(starts) else len(reader.pages)
        span = f"{starts[at]}to{last}" if last > starts[at] else f"{starts[at]}"
        assert squeezed(f"{span}{chapter.title}{chapter.document_type.value}") in index
        assert f"Contents of this sheet\n{chapter.title}\n" in texts(pdf)[starts[at] - 1]


# --- the file -----------------------------------------------------------------------------


def test_the_file_has_a_title_a_language_and_tags(pdf, example):
    reader = read(pdf)
    assert reader.metadata.title == example.design.name
    assert reader.trailer["/Root"]["/Lang"] == "en"
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]


def test_every_font_is_in_the_file(pdf):
    reader = read(pdf)
    fonts = _fonts(reader)
    assert fonts
    for font in fonts:
        for inner in font.get("/DescendantFonts", [font]):
            descriptor = inner.get_object()["/FontDescriptor"]
            assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor), font["/BaseFont"]


def _fonts(reader):
    """Every font object of the file, used on a page or within a picture."""
    found = []
    for number in range(1, reader.trailer["/Size"]):
        thing = reader.get_object(number)
        if (
            isinstance(thing, dict)
            and thing.get("/Type") == "/Font"
            and (thing.get("/Subtype") not in ("/CIDFontType2", "/CIDFontType0"))
        ):
            found.append(thing)
    return found


def test_pictures_have_words_for_those_who_do_not_see_them(pdf, example):
    reader = read(pdf)
    alts = {
        str(thing["/Alt"])
        for number in range(1, reader.trailer["/Size"])
        if isinstance(thing := reader.get_object(number), dict) and "/Alt" in thing
    }
    assert f"{example.design.name}, not to scale" in alts
    assert any("walnut plywood, sheet 1" in alt for alt in alts)


def test_the_same_design_gives_the_same_file(book, pdf, example):
    again = book_pdf(book_of(example))
    assert texts(again) == texts(pdf)
    for one, other in zip(read(again).pages, read(pdf).pages, strict=True):
        assert one.get_contents().get_data() == other.get_contents().get_data()
    assert again == pdf


def test_the_hash_follows_the_piece_and_not_who_signs_for_it():
    design = parse(example_text())
    signed = parse(example_text().replace("Head of the film room", "Head of the library"))
    revised = parse(example_text().replace('mark = "B"', 'mark = "C"'))
    assert design != signed
    assert design != revised
    assert fingerprint(design) == fingerprint(signed) == fingerprint(revised)


# --- any text is only text ----------------------------------------------------------------

HOSTILE = (
    '#panic() [x] #image("/etc/passwd")',
    "$ x^2 $ and <b>bold</b> & </text>",
    "\"quoted\" 'twice' `code` \\ back \\n slash",
    "=SUM(A1) = heading",
    "*bold* _under_ @label ~ -- --- ...",
    "]) } ) ] // comment /* open",
    "A" * 80,
)
RIGHT_TO_LEFT = "ארון לחדר הקרנה"


@pytest.fixture(scope="module")
def hostile():
    """The example under the worst of names: (names of its devices, pages of its plans)."""
    data = tomllib.loads(example_text())
    data["name"] = RIGHT_TO_LEFT
    fields = ("owner", "creator", "approved_by", "number")
    data["pack"] = dict(zip(fields, HOSTILE, strict=False))
    data["revision"] = [{"mark": "$#*_<]}", "what": " ".join(HOSTILE)}]
    new = {item["name"]: name for item, name in zip(data["gear"], HOSTILE, strict=True)}
    for item in data["gear"]:
        item["name"] = new[item["name"]]
    for cable in data["cable"]:
        for end in ("from", "to"):
            cable[end] = new.get(cable[end], cable[end])
    return book_pdf(book_of(build(from_data(data))))


def test_names_are_printed_as_they_are_written(hostile):
    pages = texts(hostile)
    for name in HOSTILE[:4]:
        assert all(squeezed(name) in squeezed(page) for page in pages)
    assert all("$#*_<]}" in page for page in pages)
    whole = squeezed("".join(pages))
    for name in HOSTILE:
        assert f"fitsinwidth{squeezed(name)}" in whole
    assert squeezed(" ".join(HOSTILE)) in whole


def test_words_from_right_to_left_are_printed(hostile):
    assert read(hostile).metadata.title == RIGHT_TO_LEFT
    for page in texts(hostile):
        title = page.split("Title\n")[1].split("\n")[0]
        assert all(word in title for word in RIGHT_TO_LEFT.split())


@pytest.mark.parametrize("day", [20260314, "14.3.2026", 12.5, True, "2026-02-30"])
def test_a_day_is_a_day_of_the_calendar(day, example_data):
    example_data["pack"]["date"] = day
    with pytest.raises(DesignFileError, match="no day"):
        from_data(example_data)


def test_a_day_may_be_written_as_text(example_data):
    example_data["pack"]["date"] = "2026-03-14"
    assert from_data(example_data) == parse(example_text())


# --- lengths on paper ---------------------------------------------------------------------


def inked(page: PageObject) -> Iterator[tuple[bytes, list, Point, bool]]:
    """The operations of a page: (operator, operands, how to get mm from them, in the flow).

    What is not in the flow is the frame with its strip.
    """
    matrix, stack = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), []
    marked: list[bool] = []
    for operands, operator in ContentStream(page.get_contents(), page.pdf).operations:
        if operator == b"q":
            stack.append(matrix)
        elif operator == b"Q":
            matrix = stack.pop()
        elif operator == b"cm":
            matrix = product(tuple(map(float, operands)), matrix)
        elif operator in (b"BDC", b"BMC"):
            marked.append("/Background" in str(operands))
        elif operator == b"EMC":
            marked.pop()
        yield operator, operands, partial(mm, matrix), not any(marked)


def product(one, other):
    a, b, c, d, e, f = one
    p, q, r, s, t, u = other
    return (
        a * p + b * r,
        a * q + b * s,
        c * p + d * r,
        c * q + d * s,
        e * p + f * r + t,
        e * q + f * s + u,
    )


def mm(matrix, x, y):
    a, b, c, d, e, f = matrix
    x, y = float(x), float(y)
    return (a * x + c * y + e) / POINTS_PER_MM, (b * x + d * y + f) / POINTS_PER_MM


def shapes(page: PageObject) -> Iterator[list[tuple[float, float]]]:
    """The corners of every closed outline of a page, in mm from its lower left corner."""
    points: list[tuple[float, float]] = []
    for operator, operands, at, _ in inked(page):
        if operator == b"re":
            x, y, w, h = map(float, operands)
            yield [at(x, y), at(x + w, y), at(x + w, y + h), at(x, y + h)]
        elif operator == b"m":
            points = [at(*operands)]
        elif operator == b"l":
            points.append(at(*operands))
        elif operator == b"h":
            yield points


def boxes(page):
    """Left, lower, width and height of every upright rectangle of a page, mm."""
    for corners in shapes(page):
        xs, ys = [x for x, _ in corners], [y for _, y in corners]
        if len(corners) == 4:
            yield min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)


def drawing(width, height):
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}"><path d="M10 10 L{width - 10} 10 L{width - 10} 20 L10 20 '
        'Z" fill="none" stroke="black" stroke-width="0.35"/><text x="12" y="17" font-size="3.5" '
        'font-family="DejaVu Sans">12 3/4 written</text></svg>'
    )


def plates_of(book, *plates, units="in"):
    chapter = Chapter("Views", DocumentType.ARRANGEMENT, plates)
    block = replace(book.title_block, units=units)
    return read(book_pdf(replace(book, chapters=(chapter,), title_block=block))).pages


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize(("units", "side"), [("in", 25.4), ("mm", 25.0)])
def test_the_check_square_is_as_large_as_it_says(book, paper, units, side):
    (page,) = plates_of(
        replace(book, paper=paper), Plate(drawing(150, 40), 150, 40, "Front", "1:10"), units=units
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
    (page,) = plates_of(book, Plate(drawing(150, 40), 150, 40, "Front", scale), units=units)
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
        Plate(drawing(170.5, 60), 170.5, 60, "Front", "1:10"),
        Plate(drawing(60, 33.25), 60, 33.25, "Head of the track", "1:2"),
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
    whole = Plate(drawing(width, height), width, height, "Whole", "1:1")
    assert len(plates_of(book, whole)) == 1
    with pytest.raises(ValueError, match="a page of letter holds"):
        plates_of(book, replace(whole, width_mm=width + 0.1))


@pytest.mark.parametrize("scale", ["half size", "1:0", "0:5", "1 in : 1 ft", ""])
def test_a_scale_that_cannot_be_read_is_refused(scale):
    with pytest.raises(ValueError, match="scale"):
        ratio(scale)


@given(share=st.floats(0.02, 1.0), units=st.sampled_from(System))
def test_a_bar_has_its_room_beside_the_square(share, units):
    one = bar(f"1:{1 / share:.6f}", units)
    assert 0 < one.paper_mm <= 36.0
    assert one.paper_mm >= 36.0 / 2.6  # none much too short


sizes = st.tuples(
    st.floats(5, 263), st.floats(5, 150), st.sampled_from(["1:5", "1:2", "1:1", "1:10", None])
)


@settings(deadline=None)
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


def test_the_frame_leaves_20_mm_at_the_left_and_10_mm_elsewhere(pdf):
    """Source: ISO 5457, from memory."""
    for page in read(pdf).pages:
        width, height = (float(v) / POINTS_PER_MM for v in page.mediabox[2:])
        frame = max(boxes(page), key=lambda box: box[2] * box[3])
        assert frame == pytest.approx((20, 10, width - 30, height - 20), abs=0.01)


def test_no_word_of_a_page_leaves_the_frame_or_runs_into_the_strip(pdf, hostile):
    for page in [*read(pdf).pages, *read(hostile).pages]:
        width, height = (float(v) / POINTS_PER_MM for v in page.mediabox[2:])
        places = [
            at(operands[4], operands[5])
            for operator, operands, at, flows in inked(page)
            if operator == b"Tm" and flows
        ]
        assert places
        assert all(20 < x < width - 10 and 10 + 28 < y < height - 10 for x, y in places)


def test_a_plate_of_another_shape_than_its_drawing_is_refused(book):
    with pytest.raises(ValueError, match="give both one shape"):
        plates_of(book, Plate(drawing(150, 40), 150, 45, "Front", "1:10"))


def test_drawings_stand_between_the_room_and_the_lists(example, monkeypatch):
    places = ("views", "sections", "details", "exploded", "part_drawings", "templates")
    for number, place in enumerate(places):
        plate = Plate(drawing(150, 40), 150, 40, f"{place} of it", f"1:{number + 1}")
        monkeypatch.setattr(drawings, place, lambda casework, paper, plate=plate: (plate,))
    book = book_of(example)
    assert [chapter.title for chapter in book.chapters] == [
        "Cover",
        "Views",
        "Sections",
        "Details",
        "Exploded view",
        "Part drawings",
        "Vents and cables",
        "Cut list",
        "Sheet layouts and cut order",
        "Set-ups",
        "Buy list",
        "Order of work",
        "Labels",
        "Full-size templates",
        "Check report",
        "Cautions",
    ]
    pages = texts(book_pdf(book))
    for number, place in enumerate(places):
        (page,) = (page for page in pages if f"{place} of it" in page)
        assert f"Scale\n1:{number + 1}\n" in page


@settings(deadline=None)
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
