"""What the audit reads back: lengths, tables, drawings and sentences, from the files alone.

Nothing here asks the kit how a number was written: lengths are read by rules of their own.
"""

import csv
import io
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import cache
from pathlib import Path

DATA = Path(__file__).parents[2] / "kit" / "data"
#: A length as any file says it.
LENGTH = r"\d[\d/. ]*? (?:in|mm)"
#: What floats, and solids snapped to a millionth of a millimetre, may add up to, mm.
NOISE = 1e-4

type Rows = list[dict[str, str]]


def mm(words: str) -> float:
    """A printed length in mm: `20 31/32 in`, `0.719 in`, `17.7 mm`."""
    *numbers, unit = words.split()
    value = sum(Fraction(number) for number in numbers)
    return float(value * {"mm": Fraction(1), "in": Fraction(254, 10)}[unit])


def tick(unit: str, use: str) -> float:
    """The least step in which lengths are printed, mm: of a `board`, a `place` or a `joint`."""
    in_unit = {
        "in": {"board": 25.4 / 32, "place": 25.4 / 32, "joint": 25.4 / 1000},
        "mm": {"board": 0.5, "place": 0.1, "joint": 0.1},
    }
    return in_unit[unit][use]


def near(words: str, truth: float, use: str) -> bool:
    """Whether a printed length is the true one, mm, to a tick.

    The release gate asks for half a tick wherever that is right; here it is enough that no
    number is another one.
    """
    return abs(mm(words) - truth) <= tick(words.split()[-1], use) + NOISE


def rows_of(text: str) -> Rows:
    """The rows of a CSV file."""
    return list(csv.DictReader(io.StringIO(text)))


@cache
def table(name: str) -> Mapping[str, Mapping[str, str]]:
    """A table of the kit by key, read as CSV."""
    return {row["key"]: row for row in rows_of((DATA / f"{name}.csv").read_text("utf-8"))}


def svg_words(svg: str) -> list[str]:
    """The texts of a drawing in the order in which they stand in it."""
    return ["".join(e.itertext()) for e in ET.fromstring(svg).iter() if e.tag.endswith("}text")]


def svg_points(svg: str) -> list[tuple[float, float]]:
    """Every point of every straight line of a drawing, in mm on paper."""
    found = []
    for element in ET.fromstring(svg).iter():
        if element.tag.endswith("}path"):
            pairs = re.findall(r"[ML](-?[\d.]+)[ ,](-?[\d.]+)", element.get("d", ""))
            found += [(float(x), float(y)) for x, y in pairs]
    return found


def sentences(steps: str) -> Iterator[str]:
    """The lines of the steps, as they were before they were wrapped."""
    line = ""
    for raw in steps.splitlines():
        if raw.startswith("     ") and line:
            line += " " + raw.strip()
            continue
        if line:
            yield line
        line = raw.strip()
    if line:
        yield line
