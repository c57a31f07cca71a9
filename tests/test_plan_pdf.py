"""The book of plans, read back from its PDF: what it says, and how long its lines are."""

import tomllib
from collections import Counter
from dataclasses import replace

import pytest
from books import book_of

from kit.casework import build
from kit.checks import NOT_CHECKED
from kit.design_file import example_text, fingerprint, from_data, parse
from kit.draw.drafting import Scale
from kit.errors import DesignFileError
from kit.finding import Report, Status, judge
from kit.finding import Sense as Way
from kit.making import buy_list, set_ups, steps
from kit.making.cut_list import cut_list, printed
from kit.making.sheets import Effort, sheet_plan
from kit.plan_pack.book import (
    Chapter,
    DocumentType,
    Draft,
    Picture,
    Plate,
    Released,
)
from kit.plan_pack.compile import book_pdf
from kit.plan_pack.pages import title_block
from kit.units import System
from pdf_reading import POINTS_PER_MM, all_of, boxes, drawing, inked, read, squeezed, texts

TENTH = Scale(10, "1:10")


@pytest.fixture(scope="module")
def book(example):
    return book_of(example)


@pytest.fixture(scope="module")
def short(book):
    """Its cover, a page of drawing and its cautions."""
    drawn = Chapter(
        "Views",
        DocumentType.ARRANGEMENT,
        (
            Plate(drawing(150, 40), 150, 40, "Front", TENTH),
            Picture(drawing(100, 50), "Air"),
        ),
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


def test_every_finding_is_printed_whole_and_none_is_added(example, example_report, words):
    report = example_report
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


@pytest.mark.slow
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
        template = "Full-size template" in page and "Contents of this sheet\nFull" in page
        assert ("Do not scale" in page) is not template
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


@pytest.mark.slow
def test_names_are_printed_as_they_are_written(hostile):
    pages = texts(hostile)
    for name in HOSTILE[:4]:
        assert all(squeezed(name) in squeezed(page) for page in pages)
    assert all("$#*_<]}" in page for page in pages)
    whole = squeezed("".join(pages))
    for name in HOSTILE:
        assert f"fitsinwidth{squeezed(name)}" in whole
    assert squeezed(" ".join(HOSTILE)) in whole


@pytest.mark.slow
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


# --- the pages ----------------------------------------------------------------------------


def test_the_frame_leaves_20_mm_at_the_left_and_10_mm_elsewhere(pdf):
    """Source: ISO 5457, from memory."""
    for page in read(pdf).pages:
        width, height = (float(v) / POINTS_PER_MM for v in page.mediabox[2:])
        frame = max(boxes(page), key=lambda box: box[2] * box[3])
        assert frame == pytest.approx((20, 10, width - 30, height - 20), abs=0.01)


@pytest.mark.slow
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


def test_drawings_stand_between_the_room_and_the_lists(book):
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
