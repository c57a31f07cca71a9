"""The cable schedule: each cable with its way, the length it needs and the length to buy.

Beside it the holes to add, so that every cable has a way.
"""

from dataclasses import dataclass

from kit.casework import Casework
from kit.making.table_text import csv_text
from kit.routes import NewHole, Route, new_holes, routes, zones_of
from kit.units import Step, System, decimal, text


@dataclass(frozen=True)
class CableSchedule:
    """All cables of a design, and the holes that some of them still want."""

    routes: tuple[Route, ...]
    holes: tuple[NewHole, ...]


def cable_schedule(casework: Casework) -> CableSchedule:
    """The schedule of a design; without rows where it has no cables."""
    laid = routes(casework)
    return CableSchedule(laid, new_holes(casework, laid, zones_of(casework)))


def printed(schedule: CableSchedule, system: System) -> list[dict[str, str]]:
    """The cables as they are printed, in one display system."""
    return [
        {
            "no": str(route.number),
            "from": route.run.start,
            "to": route.run.end,
            "cable": route.kind.label,
            "carries": route.kind.service.value,
            "route": way(route),
            "holes": "; ".join(o.name for o in route.openings if o.narrow),
            "way": _length(route.way_mm, system),
            "pull out": text(route.run.pull_out, system) if route.run.pull_out else "",
            "length needed": _length(route.needed_mm, system),
            "length to buy": bought(route),
            "diameter": "not known: measure it"
            if route.od_mm is None
            else decimal(route.od_mm, system),
        }
        for route in schedule.routes
    ]


def printed_holes(schedule: CableSchedule, system: System) -> list[dict[str, str]]:
    """The holes to add as they are printed."""
    return [
        {
            "board": hole.board,
            "cutter": hole.cutter,
            "hole": decimal(hole.bore.hole_mm, system),
            "liner": hole.bore.label,
            "for cables": ", ".join(str(number) for number in hole.cables),
            "joins": " and ".join(hole.rooms),
            "design file": hole.field,
            "write": hole.line,
        }
        for hole in schedule.holes
    ]


def to_csv(schedule: CableSchedule, system: System) -> str:
    """The printed cables as CSV text; empty without cables."""
    return csv_text(printed(schedule, system))


def holes_csv(schedule: CableSchedule, system: System) -> str:
    """The printed holes to add as CSV text; empty where none is wanted."""
    return csv_text(printed_holes(schedule, system))


def way(route: Route) -> str:
    """The way in words, or why there is none."""
    if route.missing:
        return f"not known {route.missing}"
    if not route.path:
        return "no way: see the holes to add"
    blocked = {opening.name for opening in route.tight}
    return ", then ".join(f"{leg} (too small)" if leg in blocked else leg for leg in route.legs)


def bought(route: Route) -> str:
    """The length to buy; cables are sold by the metre in either system."""
    if route.buy_m is not None:
        return f"{route.buy_m:g} m"
    return "not known" if route.way_mm is None else f"none: sold up to {route.kind.stock_m[-1]:g} m"


def _length(mm: float | None, system: System) -> str:
    return "not known" if mm is None else text(mm, system, step=Step.OVERALL)
