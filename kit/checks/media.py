"""Do records, discs and books fit their place, and does a hand draw one out?"""

from collections.abc import Iterator

from kit.casework import Casework
from kit.checks.around import Obstacle, headroom, neighbours, obstacles, row_name, shared_mm3
from kit.checks.clash import TOLERANCE
from kit.components.stored import Stored
from kit.finding import Finding, Sense, judge
from kit.geometry import Box


def check_media(casework: Casework) -> Iterator[Finding]:
    """Height, depth and length of each row of media, and that nothing stands in it."""
    around = obstacles(casework) if casework.media else ()
    for stored in casework.media:
        yield from _sizes(casework, stored, around)
        yield _apart(casework, stored, around)


def _sizes(casework: Casework, stored: Stored, around: tuple[Obstacle, ...]) -> Iterator[Finding]:
    kind, space, say = stored.kind, stored.space, casework.say
    name = row_name(stored)
    #: A row is drawn out over the whole depth in front of it, under what hangs lowest there.
    (x0, _, z0), end = stored.box.lo, stored.box.hi
    path = Box((x0, space.lo[1], z0), end)
    free, over = headroom(path, around)
    height = min(free, space.size[2])
    held = " It goes in, but no hand draws one out." if height >= kind.height_mm else ""
    short = height < kind.clear_height_mm
    length = stored.box.size[0]
    rows = (
        (
            "media fits in height",
            height,
            kind.clear_height_mm,
            f"{name}: {say(kind.height_mm)} high and {say(kind.clear_height_mm)} with a hand to "
            f"draw one out; there are {say(height)} under {over}."
            + (f"{held} Raise the board above it." if short else ""),
        ),
        (
            "media fits in depth",
            space.size[1],
            kind.depth_mm,
            f"{name}: {say(kind.depth_mm)} deep; the bay gives {say(space.size[1])}."
            + (" Make the case deeper." if space.size[1] < kind.depth_mm else ""),
        ),
        (
            "media fits in length",
            space.size[0],
            length,
            f"{name}: the row is {say(length)} long; the bay gives {say(space.size[0])}."
            + (" Make the row shorter." if space.size[0] < length else ""),
        ),
    )
    for check, room, wanted, why in rows:
        yield judge(
            check,
            name,
            room,
            wanted,
            sense=Sense.AT_LEAST,
            unit="mm",
            why=why,
            assumes="typical sizes; measure the tallest of yours",
            source=kind.source[0],
        )


def _apart(casework: Casework, stored: Stored, around: tuple[Obstacle, ...]) -> Finding:
    others = (*around, *neighbours(casework, stored))
    hits = {k: v for k, v in shared_mm3(stored.box, others).items() if v > TOLERANCE}
    name = row_name(stored)
    return judge(
        "stands clear",
        name,
        sum(hits.values()),
        TOLERANCE,
        sense=Sense.AT_MOST,
        unit="mm3",
        why=f"Nothing stands in the {name}."
        if not hits
        else f"{' and '.join(hits)} stands in the {name}; give one of them another place.",
        assumes="typical sizes; measure the tallest of yours",
        source=stored.kind.source[0],
        boards=tuple(other for other in hits if other in casework.by_name),
    )
