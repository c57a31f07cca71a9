"""What tests read back from the pages of a PDF: words, and lines with their lengths in mm."""

import re
from collections.abc import Callable, Iterator
from functools import cache, partial
from io import BytesIO

from pypdf import PageObject, PdfReader
from pypdf.generic import ContentStream

type Point = Callable[[float, float], tuple[float, float]]


POINTS_PER_MM = 72 / 25.4


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
