"""Has every cable a way, do its plugs pass, are the holes too full, is it long enough?"""

from collections.abc import Iterator, Sequence
from math import pi

from kit.casework import Casework
from kit.components.cables import OUTLET
from kit.finding import Finding, Sense, judge
from kit.routes import (
    NewHole,
    Opening,
    OpeningKind,
    Route,
    Zones,
    hole_for,
    new_holes,
    passing_each,
    routes,
    zones_of,
)

#: Greatest share of a hole's area that one, two, three and more cables fill.
#: Source: nec-chapter-9, Table 1; written for conduit, which a cable hole is an inch of.
FILL = {1: 0.53, 2: 0.31}
FILL_MORE = 0.40
#: Three cables of one size jam side by side where the hole is so many times as wide as one of
#: them; from 2.8 to 3.2. Source: nec-chapter-9, the note to Table 1.
JAM, JAM_SPREAD = 3.0, 0.2
#: Wanted round a plug that is drawn through a hole, mm; below it is watched. Common practice,
#: no source.
PLUG_PLAY = 3.0


def greatest_fill(cables: int) -> float:
    """The share of a hole's area that so many cables may fill. Source: nec-chapter-9.

    >>> [greatest_fill(n) for n in (1, 2, 3)]
    [0.53, 0.31, 0.4]
    """
    return FILL.get(cables, FILL_MORE)


def check_cables(
    casework: Casework, zones: Zones | None = None, laid: Sequence[Route] | None = None
) -> Iterator[Finding]:
    """Each cable of the design, and each hole and notch that cables pass.

    `zones` and `laid` are what `Zones` and `routes` make of the casework, where that is at hand.
    """
    if not casework.design.cables:
        return
    zones = zones or zones_of(casework)
    laid = routes(casework) if laid is None else laid
    holes = new_holes(casework, laid, zones)
    for route in laid:
        yield _ends(casework, route)
        yield _way(casework, route, hole_for(route, holes))
        if route.way_mm is not None:
            yield _length(casework, route)
    passing = passing_each(laid)
    for opening in zones.openings:
        inside = passing.get(opening.name, ())
        if inside and opening.narrow:
            yield from check_opening(casework, opening, inside)
    yield from _apart(zones, laid)


def check_opening(
    casework: Casework, opening: Opening, inside: Sequence[Route]
) -> Iterator[Finding]:
    """What passes one hole or notch: plugs, fill, and three cables that may jam."""
    say = casework.say
    worst = min(inside, key=lambda route: opening.play(route.kind))
    play = opening.play(worst.kind)
    lined = f" inside its {opening.liner.label}" if opening.liner else ""
    sizes = " x ".join(dict.fromkeys(say(size) for size in opening.size))
    yield judge(
        "plugs pass the hole",
        opening.name,
        play,
        0.0,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=PLUG_PLAY,
        why=f"{opening.name} is {sizes} clear{lined}; of what passes it the plugs of "
        f"{worst.name} are largest, and "
        + (f"{say(play)} stay." if play >= 0 else f"want {say(-play)} more; make it wider."),
        assumes="a plug goes through straight on, before the next",
        source=worst.kind.source[0],
        boards=(opening.board,),
    )
    numbers = ", ".join(str(route.number) for route in inside)
    odd = [route.number for route in inside if route.od_mm is None]
    share = sum(pi * (r.od_mm or 0.0) ** 2 / 4 for r in inside) / opening.area_mm2
    count = len(inside)
    yield judge(
        "cables fill the hole",
        opening.name,
        None if odd else 100 * share,
        100 * greatest_fill(count),
        sense=Sense.AT_MOST,
        unit="%",
        why=f"{count} cables ({numbers}) lie in {opening.name}"
        + (
            f", and the thickness of cable {odd[0]} is not known: measure it (cable.diameter)."
            if odd
            else f" and fill {100 * share:.0f} % of it; {100 * greatest_fill(count):.0f} % is the "
            f"most for {'one' if count == 1 else 'two' if count == 2 else 'three and more'}."
        ),
        assumes="cables that are not in the design do not pass it",
        source="nec-chapter-9",
        boards=(opening.board,),
    )
    if count == 3 and opening.kind is OpeningKind.HOLE and not odd:
        ratio = opening.size[0] / (sum(r.od_mm or 0.0 for r in inside) / 3)
        yield judge(
            "three cables do not jam",
            opening.name,
            abs(ratio - JAM),
            0.0,
            sense=Sense.AT_LEAST,
            unit="diameters away from 3",
            watch=JAM_SPREAD + 2e-6,
            why=f"{opening.name} is {ratio:.1f} times as wide as the three cables in it are thick"
            + (
                "; from 2.8 to 3.2 they may wedge side by side as they are drawn through."
                if abs(ratio - JAM) <= JAM_SPREAD + 1e-6
                else "."
            ),
            source="nec-chapter-9",
            boards=(opening.board,),
        )


def _ends(casework: Casework, route: Route) -> Finding:
    """Mains ends at a socket, and nothing else does."""
    sockets = {p.item.name for p in casework.gear if p.kind.sockets is not None} | {OUTLET}
    ends = (route.run.start, route.run.end)
    if route.mains:
        good = any(end in sockets for end in ends)
        wrong = "carries mains, and neither end has sockets"
    else:
        good = OUTLET not in ends
        wrong = f"carries {route.kind.service.value}, and an outlet takes mains only"
    return judge(
        "cable suits its ends",
        route.name,
        float(good),
        1.0,
        sense=Sense.AT_LEAST,
        unit="ends",
        why=f"{route.name}, {route.kind.label}, "
        + ("joins what it is made for." if good else f"{wrong}; change its kind or its ends."),
        source="common-practice",
    )


def _way(casework: Casework, route: Route, hole: NewHole | None) -> Finding:
    why = f"{route.name}, {route.kind.label},"
    if route.missing:
        why += f" cannot be traced: it is not known {route.missing}."
    elif route.path and not route.tight:
        why += f" runs: {', '.join(route.legs)}."
    else:
        closed = (
            f"; its plugs do not pass {route.tight[0].name}"
            if route.tight
            else f"; {hole.board} closes {hole.rooms[0]}"
            if hole
            else ""
        )
        why += f" has no way{closed}. " + (
            advice(hole)
            if hole
            else "No place for a liner was found on the boards between its ends; move a device, "
            "or open a back."
        )
    return judge(
        "cable has a way",
        route.name,
        None if route.missing else float(bool(route.path) and not route.tight),
        1.0,
        sense=Sense.AT_LEAST,
        unit="ways",
        why=why,
        assumes="a plug without a position is in the middle of the rear; the sockets of the "
        "screen half way up it",
        source="common-practice",
        boards=(hole.board,) if hole else tuple(dict.fromkeys(o.board for o in route.tight)),
    )


def advice(hole: NewHole) -> str:
    """What to bore and what to write in the design file."""
    way = f"add to {hole.field}: {hole.line}"
    if hole.field == "[[hole]]":
        way = f"write [[hole]] with {hole.line}"
    return f"Bore {hole.board} with the {hole.cutter} for a {hole.bore.label}: {way}."


def _length(casework: Casework, route: Route) -> Finding:
    longest = route.kind.stock_m[-1]
    taken = longest if route.buy_m is None else route.buy_m
    need = route.needed_mm
    assert need is not None
    say = casework.say
    return judge(
        "cable is long enough",
        route.name,
        1000 * taken,
        need,
        sense=Sense.AT_LEAST,
        unit="mm",
        why=f"{route.name} needs {say(need)} along its way with a loop for service"
        + (f" and {say(route.run.pull_out)} to pull out" if route.run.pull_out else "")
        + (
            f"; buy {route.buy_m:g} m."
            if route.buy_m is not None
            else f"; the longest {route.kind.label} in the tables is {longest:g} m: move a device, "
            "or find a longer one that its standard allows."
        ),
        source=route.kind.source[0],
    )


def _apart(zones: Zones, laid: Sequence[Route]) -> Iterator[Finding]:
    """Mains and the others: in different holes, as far as there is a second one."""
    mains = [route for route in laid if route.mains and route.path]
    others = [route for route in laid if not route.mains and route.path]
    if not mains or not others:
        return
    shared = False
    passing = [passing_each(group) for group in (mains, others)]
    for opening in zones.openings:
        inside = [group.get(opening.name, ()) for group in passing]
        if opening.narrow and all(inside):
            shared = True
            numbers = [", ".join(str(r.number) for r in group) for group in inside]
            yield _judge_apart(
                opening.name,
                1.0,
                f"Mains (cable {numbers[0]}) and signal or low voltage ({numbers[1]}) share "
                f"{opening.name}; no second hole is near their way. Bore one, so that they lie "
                "apart.",
                (opening.board,) if opening.board else (),
            )
    if not shared:
        yield _judge_apart(
            "all cables",
            2.0,
            "Mains and the other cables pass no hole together; where they share a gap or an open "
            "back, keep them at opposite ends of it, and let them cross square.",
            (),
        )


def _judge_apart(subject: str, ways: float, why: str, boards: tuple[str, ...]) -> Finding:
    return judge(
        "mains apart from signal",
        subject,
        ways,
        1.0,
        sense=Sense.AT_LEAST,
        unit="ways",
        watch=1.0,
        why=why,
        source="common-practice",
        boards=boards,
    )
