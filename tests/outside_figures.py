"""Every published figure that the kit is held against, with the kit's beside it.

    uv run python tests/outside_figures.py

The figures are the data of the tests in `tests/outside/`; ours are computed as this runs.
Exits with 1 where one does not agree.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from importlib import import_module
from pathlib import Path

from kit.sources import Source
from published import Figure, Reproduced

OUTSIDE = Path(__file__).parent / "outside"
HEAD = ("what", "unit", "published", "ours", "difference", "within")


def published() -> dict[Source, list[Figure]]:
    """The figures of all files by source, none of them computed yet."""
    if str(OUTSIDE) not in sys.path:
        sys.path.insert(0, str(OUTSIDE))
    found: dict[Source, list[Figure]] = {}
    for path in sorted(OUTSIDE.glob("test_*.py")):
        for source, figures in import_module(path.stem).PUBLISHED.items():
            found.setdefault(source, []).extend(figures)
    return found


def reproduced() -> dict[Source, list[Reproduced]]:
    """The same with the kit's figures; takes some ten seconds."""
    return {
        source: [figure.reproduced() for figure in figures]
        for source, figures in published().items()
    }


def summary(figures: Mapping[Source, Sequence[object]]) -> str:
    """How many figures of how many sources, in words."""
    return f"{sum(map(len, figures.values()))} published figures of {len(figures)} sources"


def as_text(found: Mapping[Source, Sequence[Reproduced]]) -> str:
    """One table a source, in columns."""
    blocks = []
    for source, rows in found.items():
        cells = [HEAD, *(row.cells for row in rows)]
        wide = [max(len(row[i]) for row in cells) for i in range(len(HEAD))]
        lines = [
            "  ".join(c.ljust(w) if i < 2 else c.rjust(w) for i, (c, w) in enumerate(pairs))
            for pairs in (list(zip(row, wide, strict=True)) for row in cells)
        ]
        blocks.append("\n".join([source.citation, *(f"  {line}".rstrip() for line in lines)]))
    return "\n\n".join(blocks)


def disagreeing(found: Mapping[Source, Sequence[Reproduced]]) -> list[Reproduced]:
    """Those that do not lie within what is allowed."""
    return [row for rows in found.values() for row in rows if not row.agrees]


if __name__ == "__main__":
    done = reproduced()
    print(as_text(done))
    wrong = disagreeing(done)
    print(f"\n{summary(done)}, {len(wrong) or 'none'} outside what is allowed")
    sys.exit(bool(wrong))
