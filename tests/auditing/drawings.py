"""The drawing of each part, read as SVG, held against its solid.

Its sizes, the outline at its scale, and every hole, channel, slot and chamfer: as many and as
wide and deep as the solid has, and no more.
"""

import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

from auditing.lists import compare_holes, cut_rows
from auditing.reading import LENGTH, near, svg_points, svg_words
from auditing.wood import Wood
from auditing.writing import Pack

_SIZE = re.compile(rf"({LENGTH}) x ({LENGTH}) x ({LENGTH}) \(T x W x L\)")
#: `2x: ` rows that are the same, `5x ` holes in a row.
_TIMES = r"(?:(?P<rows>\d+)x: )?(?:(?P<count>\d+)x )?"
_BORE = re.compile(rf"{_TIMES}⌀(?P<wide>{LENGTH}) (?:(?P<through>through)|(?P<deep>{LENGTH}) deep)")
_CHANNEL = re.compile(rf"(?:groove|dado|rabbet) (?P<wide>{LENGTH}) wide x (?P<deep>{LENGTH}) deep")
_SLOTS = re.compile(rf"{_TIMES}slot (?P<long>{LENGTH}) x (?P<wide>{LENGTH})")
#: Places on paper are written to a thousandth of a mm.
PAPER = 0.0015


def drawings(pack: Pack) -> Iterator[str]:
    """Every board stands on a drawing, and what stands on it is the board."""
    marks = {name: row["mark"] for name, row in cut_rows(pack).items()}
    seen: Counter[str] = Counter()
    for about in sorted((pack.folder / "parts").glob("*.json")):
        told = json.loads(about.read_text("utf-8"))
        pages = [
            about.with_name(f"{about.stem}-{page}.svg").read_text("utf-8")
            for page in range(1, told["figures"] + 1)
        ]
        words = [svg_words(page) for page in pages]
        text = " ".join(word for page in words for word in page)
        for name in told["boards"]:
            seen[name] += 1
            for problem in _compare(pack, name, text, pages, told["ratio"]):
                yield f"drawing: {name} {problem}"
            if not re.search(rf"\b{marks.get(name)}\b", text) or name not in text:
                yield f"drawing: {name} has a drawing that does not name it"
        yield from compare_holes("drawing", _only(pack, told["boards"]), _bores(text, told))
    for name in pack.wood:
        if seen[name] != 1:
            yield f"drawing: {name} stands on {seen[name]} drawings"


def _only(pack: Pack, boards: list[str]) -> Pack:
    return replace(pack, wood={name: pack.wood[name] for name in boards if name in pack.wood})


def _bores(text: str, told: dict[str, list[str]]) -> Counter[tuple[str, str, str]]:
    said: Counter[tuple[str, str, str]] = Counter()
    for found in _BORE.finditer(text):
        for name in told["boards"]:
            count = int(found["rows"] or 1) * int(found["count"] or 1)
            said[name, found["wide"], found["through"] or found["deep"]] += count
    return said


def _compare(pack: Pack, name: str, text: str, pages: list[str], ratio: float) -> Iterator[str]:
    wood = pack.wood[name]
    length, width, thickness = wood.size
    sizes = [found.groups() for page in pages for w in svg_words(page) if (found := _SIZE.match(w))]
    if not sizes:
        yield "has no size on its drawing"
    for size in sizes:
        for words, truth, use in zip(
            size, (thickness, width, length), ("joint", "board", "board"), strict=True
        ):
            if not near(words, truth, use):
                yield f"says {words}, and its solid has {truth:.2f} mm"
    points = [svg_points(page) for page in pages]
    for truth, axis in ((length, 0), (width, 1)):
        along = truth / ratio
        if not any(_apart(sorted({p[axis] for p in page}), along) for page in points):
            yield f"has no outline {along:.2f} mm on paper, which is {truth:.1f} mm 1:{ratio:g}"
    yield from _channels(wood, text)
    said = sum(int(s["rows"] or 1) * int(s["count"] or 1) for s in _SLOTS.finditer(text))
    if 2 * said != wood.half_rounds:
        yield f"says {said} slots, and its solid has {wood.half_rounds / 2:g}"
    if ("chamfer " in text) is not bool(wood.slants):
        yield f"has {wood.slants} chamfers in its solid, which its drawing does not tell"
    aslant = any(hole.axis is None for hole in wood.holes)
    if ("pocket hole to" in text) is not aslant:
        yield "has pocket holes on its drawing or in its solid, and not in both"


def _apart(places: list[float], distance: float) -> bool:
    """Whether two of the places are so far apart."""
    return any(abs(b - a - distance) <= 2 * PAPER for a in places for b in places)


def _channels(wood: Wood, text: str) -> Iterator[str]:
    """Each depth of a channel or blind hole is that of a floor in the solid, and the reverse."""
    said = {(found["wide"], found["deep"]) for found in _CHANNEL.finditer(text)}
    blind = {found["deep"] for found in _BORE.finditer(text) if found["deep"]}
    for wide, deep in said:
        if not any(
            near(deep, floor, "joint") and any(near(wide, side, "joint") for side in span)
            for _, floor, span in wood.floors
        ):
            yield f"says a channel {wide} wide and {deep} deep, and its solid has no such floor"
    for face, floor, _ in wood.floors:
        if not any(near(deep, floor, "joint") for deep in {deep for _, deep in said} | blind):
            yield f"has a floor {floor:.2f} mm deep in face {face} that no drawing tells"
