"""The step that sets the devices in and lays the cables, once the console is anchored."""

from collections.abc import Iterator

from kit.making.buy_list.cables import cable_key
from kit.making.cable_schedule import bought
from kit.making.steps.step import MAINS, Phase, Step, step
from kit.making.steps.words import Words
from kit.routes import Route, routes

CORDS = "No extension cord goes through a wall, or into a space that warm air cannot leave."


def lay_cables(w: Words) -> Iterator[Step]:
    """Mains first, then the others, each with what it passes."""
    laid = routes(w.casework)
    if not laid:
        return
    in_turn = [route for mains in (True, False) for route in laid if route.mains is mains]
    yield step(
        Phase.CABLES,
        "Set the devices in and lay the cables",
        [
            "Connect each device as it goes in. Draw a cable through by its smaller plug first; "
            "leave the spare length as a loop behind its device.",
            *map(_line, in_turn),
            "Keep mains and the others apart, and let them cross square. Power comes last: plug "
            "in at the wall, or switch on what is plugged in there already.",
        ],
        items=[cable_key(route) for route in in_turn],
        cautions=[MAINS, CORDS],
    )


def _line(route: Route) -> str:
    through = [opening.name for opening in route.openings]
    return (
        f"{route.number}: {route.run.start} to {route.run.end}, {route.kind.label}, "
        f"{bought(route)}" + (f": by way of {', '.join(through)}." if through else ".")
    )
