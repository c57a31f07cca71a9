"""Rows of the buy list for cables: by kind and by the length in which it is sold."""

from collections import defaultdict
from collections.abc import Iterator

from kit.casework import Casework
from kit.making.buy_list.row import BuyKind, BuyRow, Measure, in_short, price_of
from kit.making.cable_schedule import bought
from kit.routes import Route, routes


def cable_key(route: Route) -> str:
    """The key of the row that a cable is bought on: its kind, and the length where one is sold."""
    if route.buy_m is None:
        return route.kind.key
    return f"{route.kind.key}-{bought(route).replace(' ', '')}"


def cable_rows(casework: Casework) -> Iterator[BuyRow]:
    """One row a kind and length; its key names both: `hdmi-2m`."""
    wanted: dict[str, list[Route]] = defaultdict(list)
    for route in routes(casework):
        wanted[cable_key(route)].append(route)
    for key, laid in sorted(wanted.items()):
        sold, length = laid[0].buy_m is not None, bought(laid[0])
        yield BuyRow(
            kind=BuyKind.CABLE,
            key=key,
            label=f"{laid[0].kind.label}, {length}" if sold else laid[0].kind.label,
            need=float(len(laid)),
            measure=Measure.PIECES,
            buy=len(laid),
            sold_as="piece",
            pack=1.0,
            allowance="rounded up to a length that is sold",
            purpose=in_short(f"{r.run.start} to {r.run.end}" for r in laid),
            note="" if sold else f"length {length}: see the cable schedule",
            price=price_of(casework, key),
        )
