"""Make the pictures of the README from the example: the console, and a page of its plans.

uv run python tests/save_pictures.py
"""

from io import BytesIO
from pathlib import Path

from books import book_of
from pypdf import PdfReader

from kit.casework import Casework, build
from kit.design_file import example_text, parse
from kit.draw.pictorial import pictorial_svg
from kit.plan_pack.book import Released
from kit.plan_pack.compile import book_pdf, book_png

PICTURES = Path(__file__).parent.parent / "notebooks" / "pictures"
#: Dots an inch of the page, and the words by which it is found.
DPI, HEAD, SHOWN = 96.0, "Part drawing", "B bottom"


def console(casework: Casework) -> str:
    """The console as SVG."""
    return pictorial_svg(casework, size_px=720.0)


def page(casework: Casework) -> bytes:
    """The page of a part drawing as PNG."""
    book = book_of(casework, standing=Released())
    texts = [page.extract_text() for page in PdfReader(BytesIO(book_pdf(book))).pages]
    number = next(i for i, text in enumerate(texts) if HEAD in text and SHOWN in text)
    return book_png(book, DPI)[number]


if __name__ == "__main__":
    example = build(parse(example_text()))
    PICTURES.mkdir(exist_ok=True)
    (PICTURES / "console.svg").write_text(console(example), encoding="utf-8")
    (PICTURES / "page.png").write_bytes(page(example))
    for path in sorted(PICTURES.iterdir()):
        print(f"saved {path.name}, {path.stat().st_size // 1024} kB")
