"""What sag is allowed, and what books weigh.

Panel makers' tables (text read): L/240 for composite panels, 3/16 in at 36 in for plywood; ANSI
MH28.1 (text read): L/140; the eye notices 0.02 in per ft (from memory). Books (text read): 20 lb
per ft of shelf typical, 25 lb per ft measured for a state's architects.
"""

from kit.limits import SagLimit
from kit.media import media_kind
from kit.sources import Kind, Seen, Source, source
from published import Figure, by, each, held

KG_M = 0.45359237 / 0.3048  # in a lb/ft
BOOKS = media_kind("books")

BOOK_LOADS = Source(
    key="book-loads",
    title="Loads of books: 20 lb/ft typical, 25 lb/ft measured for a state's architects",
    kind=Kind.ARTICLE,
    seen=Seen.TEXT,
)
PUBLISHED = {
    source("panel-makers-sag"): [
        Figure("span over sag, composite panels", "", 240, lambda: SagLimit.COMPOSITE_PANELS.ratio),
        Figure("span over sag, plywood", "", 36 / (3 / 16), lambda: SagLimit.PLYWOOD.ratio),
    ],
    source("mh28-1"): [
        Figure("span over sag, steel shelving", "", 140, lambda: SagLimit.STEEL_SHELVING.ratio)
    ],
    source("memory"): [
        Figure("span over sag that the eye notices", "", 12 / 0.02, lambda: SagLimit.VISIBLE.ratio)
    ],
    BOOK_LOADS: [
        Figure("books, typical", "kg/m", 20 * KG_M, lambda: BOOKS.load_kg_m, by(0.05)),
        Figure("books, most", "kg/m", 25 * KG_M, lambda: BOOKS.load_max_kg_m, by(0.05)),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)
