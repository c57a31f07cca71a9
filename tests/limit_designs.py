"""Designs at the limits: as many of each thing as a design file may have, and of two at once.

A design is made of plain values. Each of `LIMITS` fills one field of it to its limit; what
cannot be filled without another (a cable without devices) brings that along. `NUMBERS` are texts
that never become a design.
"""

import json
from collections.abc import Callable, Mapping
from itertools import combinations
from random import Random
from typing import Any

type Plain = dict[str, Any]

BAYS, PITCH = 21, 1400
KINDS = ("receiver", "disc-player", "game-console", "network-switch", "power-strip", "ups")
LEADS = ("hdmi", "ethernet", "usb", "rca", "speaker", "optical")


def largest(dividers: int = BAYS - 1) -> Plain:
    """A case as wide and as high as anyone could want, with that many dividers in it."""
    return {
        "name": "x",
        "case": {
            "width": "30 m",
            "height": "3 m",
            "depth": "900 mm",
            "stock": "walnut-ply-3/4",
        },
        "divider": [{"at": f"{PITCH * (n + 1)} mm"} for n in range(dividers)],
    }


# --- what is filled -------------------------------------------------------------------


def shelves(plain: Plain, **said: str) -> None:
    """250 fixed shelves, twelve a bay, one over the other."""
    plain["shelf"] = [
        {"bay": n % BAYS + 1, "clear_below": f"{100 + 200 * (n // BAYS)} mm", **said}
        for n in range(250)
    ]


def pins(plain: Plain) -> None:
    """250 shelves on pins, each with rows of holes of its own."""
    shelves(plain, held="pins")


def back_holes(plain: Plain, a_panel: int = 25) -> None:
    """A panel a bay but one, and 500 holes in all."""
    plain["back"] = {
        "stock": "birch-ply-6.5",
        "panels": [
            {
                "bays": [bay],
                "holes": [
                    {
                        "diameter": "30 mm",
                        "across": f"{60 + 60 * (n % 20)} mm",
                        "up": f"{60 + 60 * (n // 20)} mm",
                    }
                    for n in range(a_panel)
                ],
            }
            for bay in range(1, BAYS)
        ],
    }


def back_of_holes(plain: Plain) -> None:
    """The same with 420 holes in each: more than a design may have."""
    back_holes(plain, 420)


def holes(plain: Plain) -> None:
    """500 holes in dividers."""
    plain["hole"] = [
        {
            "board": f"divider-{n % (BAYS - 1) + 1}",
            "along": f"{100 + 100 * (n // (BAYS - 1))} mm",
            "across": "200 mm",
            "diameter": "60 mm",
        }
        for n in range(500)
    ]


def notches(plain: Plain) -> None:
    """100 notches in dividers."""
    plain["notch"] = [
        {
            "board": f"divider-{n % (BAYS - 1) + 1}",
            "along": [f"{100 + 200 * (n // (BAYS - 1))} mm", f"{150 + 200 * (n // (BAYS - 1))} mm"],
            "across": ["0 mm", "50 mm"],
        }
        for n in range(100)
    ]


def gear(plain: Plain, count: int = 100, *, plugs: int = 0) -> None:
    """100 devices, five a bay, side by side."""
    plain["gear"] = [
        {
            "name": f"g{n}",
            "kind": KINDS[n % len(KINDS)],
            "bay": n % BAYS + 1,
            "width": "200 mm",
            "height": "60 mm",
            "depth": "200 mm",
            "across": f"{20 + 220 * (n // BAYS)} mm",
            **({"plugs": _plugs(plugs)} if plugs else {}),
        }
        for n in range(count)
    ]


def _plugs(count: int) -> list[Plain]:
    return [{"kind": "hdmi", "across": f"{n + 1} mm", "up": "20 mm"} for n in range(count)]


def found_places(plain: Plain) -> None:
    """100 devices for which the kit finds a place."""
    gear(plain)
    for item in plain["gear"]:
        del item["bay"], item["across"]


def cables(plain: Plain, count: int = 200) -> None:
    """200 cables from anywhere to anywhere, one in ten of them mains."""
    if "gear" not in plain:
        gear(plain)
    chance = Random(1)
    names = [item["name"] for item in plain["gear"]]
    plain["room"] = {"outlets": _outlets()} | plain.get("room", {})
    plain["cable"] = []
    for n in range(count):
        start, end = chance.sample(names, 2)
        kind = LEADS[n % len(LEADS)]
        if n % 10 == 9:
            end, kind = "outlet", "mains-c13"
        plain["cable"].append({"from": start, "to": end, "kind": kind})


def _outlets() -> list[Plain]:
    return [{"across": f"{1400 * n} mm", "up": "300 mm"} for n in range(20)]


def plugs(plain: Plain) -> None:
    """100 devices with 40 plugs each, and 200 cables."""
    gear(plain, plugs=40)
    cables(plain)


def contents(plain: Plain) -> None:
    """100 rows of records."""
    plain["content"] = [{"kind": "records", "bay": n % BAYS + 1} for n in range(100)]


def fans(plain: Plain) -> None:
    """20 fans."""
    plain["fan"] = [
        {"name": f"fan {n}", "bay": n + 1, "free_flow_m3_h": 60.0, "max_pressure_pa": 20.0}
        for n in range(20)
    ]


def thicknesses(plain: Plain) -> None:
    """100 readings of a sheet."""
    key = plain["case"]["stock"]
    plain["measured"] = {"thickness": {key: ["18.2 mm"] * 100}}


def sheets(plain: Plain) -> None:
    """200 lots of sheets on hand with 50 flaws each."""
    plain["sheet"] = [
        {
            "stock": "walnut-ply-3/4",
            "length": f"{2440 + n} mm",
            "width": "1220 mm",
            "count": 1000,
            "defects": [
                {"along": [f"{40 * k} mm", f"{40 * k + 5} mm"], "across": ["0 mm", "5 mm"]}
                for k in range(50)
            ],
        }
        for n in range(200)
    ]


def prices(plain: Plain) -> None:
    """2000 prices."""
    plain["prices"] = {"currency": "X", "each": {f"thing-{n}": 1 for n in range(2000)}}


def matched(plain: Plain) -> None:
    """Every divider matched with its neighbour."""
    plain["matched"] = [
        {"boards": [f"divider-{n}", f"divider-{n + 1}"]} for n in range(1, BAYS - 1, 2)
    ]


def revisions(plain: Plain) -> None:
    """100 revisions."""
    plain["revision"] = [
        {"mark": f"{n}", "date": "2026-01-01", "what": "x" * 300} for n in range(100)
    ]


def doors(plain: Plain) -> None:
    """Slatted doors as wide and high as the case, with slots as narrow as they may be."""
    plain["doors"] = {
        "stock": "walnut-ply-1/2",
        "count": 3,
        "style": "slatted",
        "slats": {"slot": "6 mm", "land": "6 mm", "frame": "50 mm"},
    }


def legs(plain: Plain) -> None:
    """Legs under every divider."""
    plain["base"] = {"kind": "legs", "height": "200 mm", "leg_stock": "hard-maple-board-8/4"}


def screens(plain: Plain) -> None:
    """A screen, the next screen, seats and outlets."""
    screen = {"diagonal": "100 in", "mass_kg": 60, "bottom": "100 mm"}
    plain["screen"] = dict(screen)
    plain["next_screen"] = dict(screen)
    plain["room"] = {
        "outlets": _outlets(),
        "seats": {"distance": "3 m", "width": "10 m"},
    } | plain.get("room", {})


#: What fills one field to its limit, by name.
LIMITS: Mapping[str, Callable[[Plain], None]] = {
    "dividers": lambda plain: None,
    "shelves": shelves,
    "pins": pins,
    "back_holes": back_holes,
    "holes": holes,
    "notches": notches,
    "gear": gear,
    "found_places": found_places,
    "cables": cables,
    "plugs": plugs,
    "contents": contents,
    "fans": fans,
    "thicknesses": thicknesses,
    "sheets": sheets,
    "prices": prices,
    "matched": matched,
    "revisions": revisions,
    "doors": doors,
    "legs": legs,
    "screens": screens,
}


def filled(*names: str) -> str:
    """A design file in which each of `names` is at its limit."""
    plain = largest()
    for name in names:
        LIMITS[name](plain)
    return toml(plain)


def singles() -> dict[str, str]:
    """A design file for each limit."""
    return {name: filled(name) for name in LIMITS}


def pairs() -> dict[str, str]:
    """A design file for each two limits."""
    return {f"{a} + {b}": filled(a, b) for a, b in combinations(LIMITS, 2)}


# --- what an attack sent --------------------------------------------------------------


def _of(*fill: Callable[[Plain], None]) -> str:
    plain = largest()
    for each in fill:
        each(plain)
    return toml(plain)


def _one_cable(plain: Plain) -> None:
    gear(plain, 2)
    plain["cable"] = [{"from": "g0", "to": "g1", "kind": "hdmi"}]


def _chain(plain: Plain) -> None:
    gear(plain, 20)
    plain["cable"] = [{"from": f"g{n}", "to": f"g{n + 1}", "kind": "hdmi"} for n in range(19)]


def _many_shelves(plain: Plain) -> None:
    """250 fixed shelves, two hundred millimetres apart."""
    shelves(plain)


def attacks() -> dict[str, str]:
    """Designs that once took minutes or gigabytes, by a name."""
    return {
        "back without a cable": _of(back_of_holes),
        "back and one cable": _of(back_of_holes, _one_cable),
        "everything": _of(back_of_holes, gear, cables, fans, holes),
        "as much as may be": _of(back_holes, gear, cables, fans, holes),
        "many holes": _of(gear, cables, holes),
        "holes and a chain": _of(holes, _chain),
        "many shelves": _of(_many_shelves),
        "shelves on pins": _of(pins),
    }


def numbers(size: int = 1_900_000) -> dict[str, str]:
    """Texts of `size` characters that are one number, one key, one comment, one path."""
    return {
        "whole number": f"name = {'9' * size}\n",
        "decimals": f"name = 0.{'1' * size}\n",
        "hex number": f"name = 0x{'f' * size}\n",
        "exponent": f"name = 1e{'9' * size}\n",
        "underscores": f"name = {'1_' * (size // 2)}1\n",
        "key": f"{'k' * size} = 1\n",
        "quoted key": f'"{"k" * size}" = 1\n',
        "string": f'name = "{"k" * size}"\n',
        "comment": f"# {'k' * size}\n",
        "comments": "#\n" * (size // 2),
        "dotted key": f"{'a.' * (size // 2)}a = 1\n",
        "dotted keys": "".join(f"a.b.c.d.k{n} = 1\n" for n in range(size // 18)),
        "keys": "".join(f"k{n} = 1\n" for n in range(size // 14)),
        "tables": "".join(f"[t{n}]\n" for n in range(size // 11)),
        "rows": "[[shelf]]\n" * (size // 10),
        "list of numbers": f"name = [{'1,' * (size // 2)}]\n",
        "brackets": f"name = {'[' * size}\n",
        "inline tables": f"name = {'{a=' * (size // 3)}\n",
        "dates": f"name = [{'1979-05-27,' * (size // 11)}]\n",
    }


# --- writing --------------------------------------------------------------------------


def toml(plain: Mapping[str, Any], path: str = "") -> str:
    """Plain values as TOML: tables and rows under headers, what is in lists inline."""
    lines, later = [], []
    for key, value in plain.items():
        at = f"{path}{key}"
        if isinstance(value, dict):
            later.append(f"[{at}]\n{toml(value, f'{at}.')}")
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            later += [f"[[{at}]]\n{toml(row, f'{at}.')}" for row in value]
        else:
            lines.append(f"{_bare(key)} = {_inline(value)}\n")
    return "".join([*lines, *later])


def _inline(value: Any) -> str:
    return json.dumps(value)


def _bare(key: str) -> str:
    return json.dumps(key)
