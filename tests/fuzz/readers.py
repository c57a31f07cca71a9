"""What is asked of the readers whatever they are given: an answer, or one clear KitError."""

import math
import re
import tomllib

from kit.casework import build
from kit.design_file import example_text, parse, rewrite
from kit.errors import KitError
from kit.units import System, exact, length, text

#: Longest message that is still clear, characters.
LONGEST = 4000

SEEDS = (
    "18 mm",
    "2 3/4 in",
    '2-3/4"',
    "5' 3-1/2\"",
    "¾ in",
    "1.2 m",
    "1,5 m",
    "-0.5 in",
    ".5 cm",
    "1' 2-5/16\"",
    "78",
    "3/0 in",
    "1e5 mm",
    "٣ mm",
    "½¼ in",
    "−3 mm",
    "2 3⁄4″",
)

SMALL = (
    'name = "x"\n[case]\nwidth = "1 m"\nheight = "500 mm"\ndepth = "400 mm"\n'
    'stock = "birch-ply-18"\n',
    'name = "x"\ncase = { width = "1 m", height = "500 mm", depth = "400 mm", '
    'stock = "birch-ply-18", corner = "butt" }\nshelf = [{ bay = 1, clear_below = "9 in" }]\n',
    'name = "x"\ncase.width = "1 m"\ncase.height = "500 mm"\ncase.depth = "400 mm"\n'
    'case.stock = "birch-ply-18"\n[[divider]]\nat = "50 cm"\n[base]\nkind = "beam"\n'
    'height = "100 mm"\nstock = "birch-ply-18"\n',
)


def clear(error: KitError) -> None:
    """One sentence or a few, that a terminal can show."""
    message = str(error)
    assert message.strip()
    assert len(message) <= LONGEST, len(message)
    assert len(message.split("\n")) <= 6, message
    # what a terminal obeys; a letter that it has not got is a box there, and harms nobody
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]", message)


def length_of(words: str) -> float | None:
    """The length that the words say; it is finite, and is written and read back the same."""
    try:
        mm = length(words)
    except KitError as error:
        clear(error)
        return None
    assert math.isfinite(mm)
    assert abs(mm) <= 100_000
    assert length(exact(mm)) == mm or abs(mm) < 1e-30
    for system in System:
        assert abs(length(text(mm, system)) - mm) <= 0.7
    return mm


def design(words: str) -> None:
    """A design file: it is read and built, or refused."""
    try:
        build(parse(words))
    except KitError as error:
        clear(error)


#: Changes that are tried on any text: a field, a row, a table that goes.
CHANGES = (
    {"case.width": "900 mm"},
    {"name": 'a "b" \\ c'},
    {"shelf.1.bay": 1, "shelf.1.clear_below": "5 in"},
    {"shelf.1": None},
    {"back": None},
    {"doors.slats.slot": "1/2 in"},
    {"measured.thickness.walnut-ply-3/4": ["18 mm"]},
    {"case": None},
    {"divider": None, "base.height": "3 in"},
)


def change(words: str) -> None:
    """A change of a text: it says what was asked, or it is refused and nothing is lost."""
    for changes in CHANGES:
        try:
            after = rewrite(words, changes)
        except KitError as error:
            clear(error)
            continue
        said = tomllib.loads(after)
        for path, value in changes.items():
            if isinstance(value, str) and "." not in path:
                assert said[path] == value
        parse(after)


def every_seed() -> tuple[str, ...]:
    """Texts to begin from."""
    return (example_text(), *SMALL)
