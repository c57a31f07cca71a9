"""Every published figure that the kit is held against, with the kit's beside it.

    uv run python tests/outside_figures.py

The figures are the data of the tests in `tests/outside/`; ours are computed as this runs.
Exits with 1 where one does not agree.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from html import escape
from importlib import import_module
from pathlib import Path

from kit.notebook.shown import Shown
from kit.notebook.tables import html_table
from kit.sources import Seen, Source
from published import Figure, Reproduced

OUTSIDE = Path(__file__).parent / "outside"
HEAD = ("what", "unit", "published", "ours", "difference", "within")
#: In a notebook the unit stands with the published figure: a narrow window holds no more.
NARROW = ("what", "published", "ours", "off", "within")
#: In the order of their weight.
HOW_SEEN = {
    Seen.TEXT: "text read",
    Seen.SECOND_HAND: "second hand",
    Seen.MEMORY: "from memory",
    Seen.OWN: "worked or computed apart from the kit",
}

type By[T] = Mapping[Source, Sequence[T]]


def published() -> dict[Source, list[Figure]]:
    """The figures of all files by source, what was read first; none of them computed yet."""
    if str(OUTSIDE) not in sys.path:
        sys.path.insert(0, str(OUTSIDE))
    found: dict[Source, list[Figure]] = {}
    for path in sorted(OUTSIDE.glob("test_*.py")):
        for source, figures in import_module(path.stem).PUBLISHED.items():
            found.setdefault(source, []).extend(figures)
    order = list(HOW_SEEN)
    return dict(sorted(found.items(), key=lambda item: order.index(item[0].seen)))


def reproduced() -> dict[Source, list[Reproduced]]:
    """The same with the kit's figures; takes some ten seconds."""
    return {
        source: [figure.reproduced() for figure in figures]
        for source, figures in published().items()
    }


def seen_so[T](found: By[T], seen: Seen) -> dict[Source, Sequence[T]]:
    """Those whose source was seen in this way."""
    return {source: rows for source, rows in found.items() if source.seen is seen}


def summary(found: By[object]) -> str:
    """How many figures of how many sources, by how they were seen, one a line."""
    lines = []
    for seen, words in HOW_SEEN.items():
        of = seen_so(found, seen)
        lines.append(f"{sum(map(len, of.values())):4} figures of {len(of):2} sources, {words}")
    return "\n".join([*lines, f"{sum(map(len, found.values())):4} in all"])


def as_text(found: By[Reproduced]) -> str:
    """One table a source, in columns."""
    blocks = []
    for source, rows in found.items():
        table = [HEAD, *(row.cells for row in rows)]
        wide = [max(map(len, column)) for column in zip(*table, strict=True)]
        lines = (
            "  ".join(
                cell.rjust(width) if i > 1 else cell.ljust(width)
                for i, (cell, width) in enumerate(zip(cells, wide, strict=True))
            )
            for cells in table
        )
        blocks.append("\n".join([source.citation, *(f"  {line}".rstrip() for line in lines)]))
    return "\n\n".join(blocks)


def shown(found: By[Reproduced]) -> Shown:
    """The same for a notebook."""

    def cells(row: Reproduced) -> list[str]:
        what, unit, theirs, *rest = row.cells
        told = theirs + unit if unit == "°" else f"{theirs} {unit}".rstrip()
        return [escape(cell) for cell in (what, told, *rest)]

    html = "".join(
        f"<h4>{escape(source.citation)}</h4>"
        + html_table("figures", NARROW, map(cells, rows), {"what": 50.0})
        for source, rows in found.items()
    )
    return Shown(html, f"{sum(map(len, found.values()))} figures of {len(found)} sources")


def disagreeing(found: By[Reproduced]) -> list[Reproduced]:
    """Those that do not lie within what is allowed."""
    return [row for rows in found.values() for row in rows if not row.agrees]


if __name__ == "__main__":
    done = reproduced()
    wrong = disagreeing(done)
    print(as_text(done), summary(done), sep="\n\n")
    print(*(f"OUTSIDE WHAT IS ALLOWED: {row}" for row in wrong), sep="\n")
    sys.exit(bool(wrong))
