"""Mains: is every device fed, are there sockets for the plugs, does a strip carry the load, and
does the plug in the wall fit behind the case?
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from math import ceil, inf

from kit.cabling import Service, cables
from kit.casework import Casework
from kit.components.cables import OUTLET
from kit.components.contents import Placed
from kit.finding import Finding, Sense, judge
from kit.geometry import Box
from kit.room import Outlet
from kit.routes import Route, routes

#: Said with every judgement of a load.
CAUTION = (
    "No extension cord goes through a wall, under a rug, or into a space that warm air cannot "
    "leave; the electrical code of the place and the manual of each device rule, and a licensed "
    "electrician adds outlets."
)
#: How far the cover plate of an outlet stands out of the wall, mm (flat covers still stick out
#: 1/4 in). Source: builders-accounts.
PLATE = 6.0
#: Room that a hand wants round an outlet, mm (4 in). Common practice, no source.
HAND = 101.6


@dataclass(frozen=True)
class _Fed:
    """A mains lead: its route, the device that it feeds, and what feeds it (a name, or outlet)."""

    route: Route
    device: str
    source: str

    @property
    def plug_mm(self) -> float:
        """The larger width of its plug at the socket, mm: which way it lies is not known."""
        plug = self.route.run.plugs[1]
        return max(plug.plug_width_mm, plug.plug_height_mm)


def check_power(casework: Casework, laid: Sequence[Route] | None = None) -> Iterator[Finding]:
    """Every device that takes power, every strip, and every outlet in use.

    `laid` is what `routes` makes of the casework, where that is at hand.
    """
    gear = {placed.item.name: placed for placed in casework.gear}
    needing = [placed for placed in casework.gear if _wants(placed, Service.MAINS)]
    if not casework.design.cables:
        if needing:
            yield _no_cables(needing)
        return
    laid = routes(casework) if laid is None else laid
    leads = [_fed(route, gear) for route in laid if route.mains]
    for placed in casework.gear:
        yield from _connected(placed, leads, casework)
    for placed in casework.gear:
        if placed.kind.sockets is not None:
            yield from _strip(casework, placed, gear, leads)
    yield from _wall(casework, [lead for lead in leads if lead.source == OUTLET])


def _no_cables(needing: Sequence[Placed]) -> Finding:
    first = needing[0].item.name
    return judge(
        "devices have power",
        "cables",
        None,
        float(len(needing)),
        sense=Sense.AT_LEAST,
        unit="leads",
        why=f"The design lists no cables, and {len(needing)} of its devices take mains: write a "
        f'[[cable]] for each, such as from = "{first}", to = "outlet", kind = "mains-c13", and '
        "for each signal cable; the kit finds ways, lengths and holes.",
        source="design-file",
    )


def _fed(route: Route, gear: Mapping[str, Placed]) -> _Fed:
    """Which end feeds: the outlet, else the end that has sockets, else the end named last."""
    start, end = route.run.start, route.run.end

    def feeds(name: str) -> bool:
        return name == OUTLET or (name in gear and gear[name].kind.sockets is not None)

    return _Fed(route, end, start) if feeds(start) and not feeds(end) else _Fed(route, start, end)


@cache
def _plugs(service: Service) -> frozenset[str]:
    """Keys of the connectors that carry this service and no other."""
    mine = {p for kind in cables().values() if kind.service is service for p in _ends(kind.key)}
    others = {
        p for kind in cables().values() if kind.service is not service for p in _ends(kind.key)
    }
    return frozenset(mine - others)


def _ends(key: str) -> tuple[str, str]:
    kind = cables()[key]
    return (kind.plug_from, kind.plug_to)


def _wants(placed: Placed, service: Service) -> bool:
    return any(plug.key in _plugs(service) for _, plug in placed.plugs)


def _connected(placed: Placed, leads: Sequence[_Fed], casework: Casework) -> Iterator[Finding]:
    """A device that takes mains, or low voltage from an adaptor, and its lead."""
    name = placed.item.name
    mains = _wants(placed, Service.MAINS)
    if not mains and not _wants(placed, Service.LOW_VOLTAGE):
        return
    if mains:
        count = sum(lead.device == name for lead in leads)
        kind, what = "mains-c13", "mains lead"
    else:
        low = [run for run in casework.design.cables if name in (run.start, run.end)]
        count = sum(cables()[run.kind].service is Service.LOW_VOLTAGE for run in low)
        kind, what = "low-voltage", "lead to a power adaptor"
    yield judge(
        "device has power",
        name,
        float(count) if count else None,
        1.0,
        sense=Sense.AT_LEAST,
        unit="leads",
        why=f"The design has a {what} for {name}."
        if count
        else f"The design has no {what} for {name}; write a [[cable]] from {name} with a kind such "
        f'as "{kind}".',
        source="design-file",
    )


def _strip(
    casework: Casework, placed: Placed, gear: Mapping[str, Placed], leads: Sequence[_Fed]
) -> Iterator[Finding]:
    name, kind = placed.item.name, placed.kind
    assert kind.sockets is not None
    mine = [lead for lead in leads if lead.source == name]
    yield judge(
        "sockets for the plugs",
        name,
        float(kind.sockets),
        float(len(mine)),
        sense=Sense.AT_LEAST,
        unit="sockets",
        why=f"{name} has {kind.sockets} sockets, and {len(mine)} leads go to it"
        + ("." if kind.sockets >= len(mine) else "; take a longer strip."),
        source=kind.front_source[0] if kind.front_source else "memory",
    )
    pitch = kind.socket_pitch_mm
    taken = None if pitch is None else sum(ceil(lead.plug_mm / pitch - 1e-9) for lead in mine)
    wide = [lead.device for lead in mine if pitch and lead.plug_mm > pitch]
    yield judge(
        "plugs cover no other socket",
        name,
        float(kind.sockets),
        None if taken is None else float(taken),
        sense=Sense.AT_LEAST,
        unit="sockets",
        why=f"How far the sockets of {name} are apart is not known; measure it."
        if taken is None or pitch is None
        else f"The sockets of {name} are {casework.say(pitch)} apart, and its plugs take {taken} "
        f"of them"
        + (f"; wider than one: {', '.join(wide)}." if wide else ".")
        + (
            " Take a strip with more sockets, or with sockets wider apart." * (taken > kind.sockets)
        ),
        assumes="an adaptor that is itself the plug is wider: measure it",
        source=kind.front_source[0] if kind.front_source else "memory",
    )
    load, unread = _load(name, gear, leads, frozenset())
    yield judge(
        "strip carries the load",
        name,
        None if unread else load,
        kind.rating_w,
        sense=Sense.AT_MOST,
        unit="W",
        why=(
            f"What the rating plate of {' and '.join(unread)} says is not known (gear.plate_w). "
            if unread
            else f"The rating plates on {name} say {load:.0f} W together"
            + (
                f", and it carries {kind.rating_w:.0f} W. "
                if kind.rating_w is not None
                else ", and what it carries is not known: it is marked on it. "
            )
        )
        + CAUTION,
        assumes="nothing else is plugged in",
        source="design-file",
    )
    chained = [lead.source for lead in leads if lead.device == name and lead.source in gear]
    yield judge(
        "strip plugs into the wall",
        name,
        float(len(chained)),
        0.0,
        sense=Sense.AT_MOST,
        unit="strips",
        why=f"{name} is fed by {chained[0]}: a strip on a strip is forbidden by most manuals; "
        "plug it into the wall."
        if chained
        else f"No other strip feeds {name}.",
        source="common-practice",
    )


def _load(
    name: str, gear: Mapping[str, Placed], leads: Sequence[_Fed], seen: frozenset[str]
) -> tuple[float, tuple[str, ...]]:
    """What the plates of all that a strip feeds say, W, and the devices whose plate is not known.

    A strip on the strip counts with what it feeds.
    """
    total, unread = 0.0, []
    for lead in leads:
        if lead.source != name or lead.device in seen or lead.device not in gear:
            continue
        plate = gear[lead.device].kind.plate_w
        total += plate or 0.0
        if plate is None:
            unread.append(lead.device)
        more, odd = _load(lead.device, gear, leads, seen | {name, lead.device})
        total, unread = total + more, [*unread, *odd]
    return total, tuple(unread)


def _wall(casework: Casework, leads: Sequence[_Fed]) -> Iterator[Finding]:
    outlets = casework.design.room.outlets
    if not leads or not outlets:
        return
    sockets = sum(outlet.sockets for outlet in outlets)
    yield judge(
        "outlets for the plugs",
        "wall",
        float(sockets),
        float(len(leads)),
        sense=Sense.AT_LEAST,
        unit="sockets",
        why=f"{len(leads)} leads go to the wall, which has {sockets} sockets"
        + ("." if sockets >= len(leads) else "; feed some from a power strip."),
        source="design-file",
    )
    used: dict[str, list[_Fed]] = {}
    for lead in leads:
        if lead.route.path:
            used.setdefault(lead.route.path[-1].name, []).append(lead)
    for number, outlet in enumerate(outlets, start=1):
        if plugs := used.get(f"outlet {number}"):
            yield from _outlet(casework, f"outlet {number}", outlet, plugs)


def _outlet(
    casework: Casework, name: str, outlet: Outlet, leads: Sequence[_Fed]
) -> Iterator[Finding]:
    z = casework.floor + outlet.up
    lead = max(leads, key=lambda one: one.route.run.plugs[1].depth_mm or inf)
    yield from _depth(casework, name, outlet, z, lead)
    say, rear = casework.say, casework.frame.clear.hi[1]
    away = {
        board.name: _away(board.box, outlet.across, z)
        for board in casework.boards
        if board.box.hi[1] > rear - HAND
    }
    near = min(away, key=lambda board: away[board])
    yield judge(
        "outlet can be reached",
        name,
        away[near],
        0.0,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=HAND / 2,
        why=f"{name} is {say(away[near])} clear of {near}; a hand wants {say(HAND / 2)}."
        if away[near] > 0
        else f"{name} lies behind {near}: to pull its plugs, {_how(casework, near)}.",
        assumes="nothing that is kept in the case stands before it",
        source="common-practice",
        boards=(near,),
    )


def _depth(
    casework: Casework, name: str, outlet: Outlet, z: float, lead: _Fed
) -> Iterator[Finding]:
    """The plug with its bend against what stands before the outlet, and against the baseboard."""
    say, room = casework.say, casework.design.room
    plug, reach = lead.route.run.plugs[1], lead.plug_mm / 2
    before = {
        thing: box.hi[1] for thing, box in _things(casework) if _faces(box, outlet.across, z, reach)
    }
    if not before:
        return
    nearest = max(before, key=lambda thing: before[thing])
    on_baseboard = outlet.up < room.baseboard_height
    wall = casework.frame.clear.hi[1] + room.wall_gap
    free = wall - before[nearest] - (room.baseboard_depth if on_baseboard else 0.0)
    wanted = None if plug.depth_mm is None else plug.depth_mm + PLATE
    yield judge(
        "plug fits behind the case",
        name,
        free,
        wanted,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=6.0,
        why=f"From the {'baseboard' if on_baseboard else 'wall'} to {nearest} are {say(free)}; "
        f"{plug.label} with the bend of its lead "
        + (
            "takes a depth that is not known."
            if wanted is None
            else f"and the plate of the outlet take {say(wanted)}"
            + (
                "."
                if free >= wanted
                else "; take a flat plug, stand the case off, or notch what is before it."
            )
        ),
        assumes="the outlet is not let into the wall",
        source=plug.source[0],
        boards=(nearest,) if nearest in casework.by_name else (),
    )


def _how(casework: Casework, board: str) -> str:
    back = casework.design.back
    if board in casework.makers.panels and back is not None:
        panel = back.panels[casework.makers.panels.index(board)]
        return "take the panel off" if panel.removable else "move the console"
    return "move the console, or place it so that the outlet is behind an open bay"


def _things(casework: Casework) -> Iterator[tuple[str, Box]]:
    for board in casework.boards:
        yield board.name, board.box
    for placed in casework.gear:
        yield placed.item.name, placed.body


def _faces(box: Box, x: float, z: float, reach: float) -> bool:
    """Whether a box lies before a square of the wall."""
    return (
        box.lo[0] < x + reach
        and box.hi[0] > x - reach
        and box.lo[2] < z + reach
        and box.hi[2] > z - reach
    )


def _away(box: Box, x: float, z: float) -> float:
    """From a point of the wall to a box, both seen from behind, the larger way; 0 before it."""
    return max(0.0, box.lo[0] - x, x - box.hi[0], box.lo[2] - z, z - box.hi[2])
