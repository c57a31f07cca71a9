"""From a built design and its findings to the book of plans."""

from collections.abc import Iterator, Mapping
from datetime import date

from kit.casework import Casework
from kit.checks import CAUTION, cable_fill
from kit.checks.airflow import NoAnswerError
from kit.design_file import fingerprint
from kit.draw.depth_stack import depth_stack_pages
from kit.finding import Report
from kit.making import commissioning, steps
from kit.making.sheets import SheetPlan
from kit.making.steps.step import BLADES, DUST, FUMES, LIFT, MAINS, RAGS, TIP
from kit.paper import Paper
from kit.plan_pack import lists
from kit.plan_pack.book import (
    Block,
    Book,
    Cautions,
    Chapter,
    DocumentType,
    Picture,
    Prose,
    Standing,
    Steps,
    TitleBlock,
)
from kit.plan_pack.cover import cover
from kit.plan_pack.drawings import Drawings
from kit.plan_pack.report import check_report
from kit.units import System

#: How much of the hash is printed: two designs of one shop do not share it.
HASH = 12
#: What stands in a field that the design file leaves out.
NOT_GIVEN = "not given"


def make_book(
    casework: Casework,
    report: Report,
    plan: SheetPlan,
    pictures: Mapping[str, str],
    drawn: Drawings,
    *,
    standing: Standing,
    paper: Paper,
    units: System,
) -> Book:
    """The book of a design. `pictures` are the SVG files of its pack by name."""
    order = steps.steps(casework, units)
    chapters = (
        cover(casework, report, plan, pictures, standing),
        _room_sheet(pictures),
        *(Chapter(title, kind, blocks) for title, kind, blocks in drawn.chapters),
        _vents_and_cables(casework, pictures, units),
        _strength(pictures),
        lists.cut_lists(casework, plan, units),
        lists.sheet_layouts(casework, plan, pictures, units),
        lists.settings(casework, units),
        lists.shopping(casework, plan, units),
        Chapter(
            "Order of work",
            DocumentType.INSTRUCTION,
            (Prose("", (steps.LEGEND,)), Steps(order)),
        ),
        lists.label_list(casework, plan, units),
        Chapter("Full-size templates", DocumentType.TEMPLATE, drawn.templates),
        check_report(casework, report),
        Chapter("Cautions", DocumentType.INSTRUCTION, (_cautions(),)),
    )
    return Book(
        title_block=title_block(casework, units),
        standing=standing,
        paper=paper,
        chapters=tuple(chapter for chapter in chapters if chapter.blocks),
    )


def title_block(casework: Casework, units: System) -> TitleBlock:
    """What the design file says of its plans; never the clock, so that pages stay the same."""
    design = casework.design
    issue, revisions = design.pack, design.revisions
    return TitleBlock(
        title=design.name,
        owner=issue.owner or NOT_GIVEN,
        creator=issue.creator or NOT_GIVEN,
        approved_by=issue.approved_by or "not approved",
        number=issue.number or NOT_GIVEN,
        date=_day(issue.date),
        revision=revisions[-1].mark if revisions else "none",
        units=units.value,
        design=fingerprint(design)[:HASH],
    )


def _day(day: date | None) -> str:
    return "not issued" if day is None else day.isoformat()


def _room_sheet(pictures: Mapping[str, str]) -> Chapter:
    captions = {
        "sight-plan.svg": "What the seats see, from above",
        "sight-side.svg": "What the seats see, from the side",
    }
    return Chapter("Room", DocumentType.ARRANGEMENT, _there(pictures, captions))


def _vents_and_cables(casework: Casework, pictures: Mapping[str, str], units: System) -> Chapter:
    before: tuple[Block, ...] = ()
    if casework.gear:
        before = tuple(
            Picture(page, "What stands behind what, from the front to the wall")
            for page in depth_stack_pages(casework, units=units)
        )
    air = {
        "air.svg": "Air and heat in use",
        "vents.svg": "Warmth against the area of the vents",
        "evening.svg": "A long film",
        "cables.svg": "The ways of the cables, seen from behind",
    }
    blocks = (
        *before,
        *_there(pictures, air),
        *lists.cables(casework, units),
        *_commissioning(casework),
    )
    return Chapter("Vents and cables", DocumentType.DIAGRAM, blocks)


def _commissioning(casework: Casework) -> Iterator[Prose]:
    if not casework.inside:
        return
    try:
        readings = commissioning.commissioning(casework, cable_fill(casework))
    except NoAnswerError:
        return  # the findings say why
    room_c = casework.design.room.air_c
    lines = [
        f"{number}. {reading.device}: {reading.sentence(room_c)}"
        for number, reading in enumerate(readings, start=1)
    ]
    yield Prose("Check of the air after moving in", (*lines, *commissioning.CAUTIONS))


def _strength(pictures: Mapping[str, str]) -> Chapter:
    captions = {
        "sag.svg": "Sag after years, exaggerated",
        "tipping.svg": "The tip line, from the side",
    }
    return Chapter("Sag and tipping", DocumentType.DIAGRAM, _there(pictures, captions))


def _there(pictures: Mapping[str, str], captions: Mapping[str, str]) -> tuple[Picture, ...]:
    return tuple(
        Picture(pictures[name], caption) for name, caption in captions.items() if name in pictures
    )


def _cautions() -> Cautions:
    return Cautions(
        (
            ("Tipping", f"{TIP} Heavy things low; the screen as far back as its feet go."),
            ("Heat", " ".join(commissioning.CAUTIONS)),
            ("Mains", f"{MAINS} Codes of your place go first."),
            ("Blades", BLADES),
            ("Dust", DUST),
            ("Fumes and rags", f"{FUMES} {RAGS}"),
            ("Lifting", LIFT),
            ("All of it", CAUTION),
        )
    )
