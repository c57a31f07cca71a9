"""Make the pictures of the README from the example: the console, and a page of its plans.

uv run python tests/save_pictures.py
"""

from pathlib import Path
from tempfile import TemporaryDirectory

from pypdf import PdfReader

from kit.casework import Casework, build
from kit.design_file import example_text, parse
from kit.draw.pictorial import pictorial_svg
from kit.paper import Paper
from kit.plan_pack.compile import book_png
from kit.plan_pack.files import fill

PICTURES = Path(__file__).parent.parent / "notebooks" / "pictures"
#: Dots an inch of the page, and the words by which it is found.
DPI, HEAD, SHOWN = 96.0, "Part drawing", "B bottom"


def console(casework: Casework) -> str:
    """The console as SVG."""
    return pictorial_svg(casework, size_px=720.0)


def page(casework: Casework, design_text: str) -> bytes:
    """The page of a part drawing as PNG, out of a whole pack."""
    with TemporaryDirectory() as folder:
        _, book = fill(
            Path(folder),
            casework,
            design_text,
            progress=lambda step: None,
            cancelled=lambda: False,
            paper=Paper.LETTER,
        )
        texts = [page.extract_text() for page in PdfReader(Path(folder) / "plan.pdf").pages]
    number = next(i for i, text in enumerate(texts) if HEAD in text and SHOWN in text)
    return book_png(book, DPI)[number]


if __name__ == "__main__":
    example = build(parse(example_text()))
    PICTURES.mkdir(exist_ok=True)
    (PICTURES / "console.svg").write_text(console(example), encoding="utf-8")
    (PICTURES / "page.png").write_bytes(page(example, example_text()))
    for path in sorted(PICTURES.iterdir()):
        print(f"saved {path.name}, {path.stat().st_size // 1024} kB")
