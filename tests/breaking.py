"""Random designs that fail one check, for the tests of fixes and for the count of what is cured.

    failing("sag", seed=3)    yields (text of a design file, failing finding), each of another
                              random design of `strategies.designs`, broken towards that check
    KINDS                     the checks that such designs can be made to fail

Many checks fail in plain random designs already; the others have a function in `BREAKS` that
turns one number wrong, or puts something there that wants more than there is.
"""

import copy
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from random import Random
from typing import Any

import tomlkit

from kit.casework import build
from kit.checks import groups
from kit.design_file import example_text, parse
from kit.errors import KitError
from kit.finding import Finding, Status
from kit.units import length
from profiles import drawn
from strategies import designs

type Plain = dict[str, Any]
type Break = Callable[[Plain, Random], None]

#: How many random designs are drawn at once.
DRAWN = 120
#: How many broken designs are looked at in vain before a check is given up.
IN_VAIN = 240


@cache
def random_designs(number: int) -> tuple[Plain, ...]:
    """A lot of random designs, the same every time."""
    return tuple(drawn(designs(), DRAWN, number))


def failing(check: str, number: int = 0) -> Iterator[tuple[str, Finding]]:
    """Designs that fail a check, with its first failing finding; ends where none is found."""
    chance = Random(f"{check} {number}")
    vain = 0
    lots = 0
    while vain < IN_VAIN:
        lot = list(random_designs(number + lots % 2))
        lots += 1
        chance.shuffle(lot)
        for base in lot:
            plain = copy.deepcopy(base)
            try:
                _strict(plain)
                BREAKS.get(check, _as_it_is)(plain, chance)
                text = tomlkit.dumps(plain)
                found = _first(text, check)
            except (KitError, KeyError, IndexError, ValueError):
                found = None
            if found is None:
                vain += 1
                continue
            vain = 0
            yield text, found


@cache
def _places() -> dict[str, int]:
    """In which group of checks a check was seen; grows."""
    return {
        finding.check: place
        for place, ask in enumerate(groups(build(parse(example_text()))))
        for finding in ask()
    }


def _first(text: str, check: str) -> Finding | None:
    asks = groups(build(parse(text)))
    place = _places().get(check)
    for number, ask in enumerate(asks):
        if place not in (None, number):
            continue
        for finding in ask():
            _places().setdefault(finding.check, number)
            if finding.check == check and finding.status is Status.FAIL:
                return finding
    return None


# --- how designs are broken -----------------------------------------------------------


def _strict(plain: Plain) -> None:
    """A maker who holds the piece to every limit, and lets the room give way."""
    plain["fixed"] = {"free": ["room"]}
    plain["limits"] = {
        "picture_deg": 26.0,
        "look_up_deg": 15.0,
        "doorway": "710 mm",
        "levelling": "15 mm",
    }


def _past_fixed(plain: Plain, chance: Random) -> None:
    height = length(plain["case"]["height"])
    plain["fixed"]["at_most"] = {"case": {"height": _mm(chance, height - 20, height - 5)}}


def _as_it_is(plain: Plain, chance: Random) -> None:
    """Random designs fail many checks as they are."""


def _mm(chance: Random, least: float, most: float) -> str:
    return f"{chance.uniform(least, most):.1f} mm"


def _set(path: str, least: float, most: float) -> Break:
    """A length of a part that must be there."""

    def broken(plain: Plain, chance: Random) -> None:
        *parents, last = path.split(".")
        table = plain
        for key in parents:
            table = table[key]
        table[last] = _mm(chance, least, most)

    return broken


def _with_doors(plain: Plain, chance: Random) -> Plain:
    doors: Plain = plain["doors"]
    doors["style"] = "slatted"
    doors.setdefault("slats", {})
    return doors


def _slats(key: str, least: float, most: float) -> Break:
    def broken(plain: Plain, chance: Random) -> None:
        doors = _with_doors(plain, chance)
        doors["slats"][key] = _mm(chance, least, most)

    return broken


def _floppy(plain: Plain, chance: Random) -> None:
    doors = _with_doors(plain, chance)
    doors["slats"] = {"land": _mm(chance, 6, 9), "slot": "12.7 mm", "frame": "30 mm"}


def _seats(least: float, most: float) -> Break:
    def broken(plain: Plain, chance: Random) -> None:
        plain.setdefault("screen", {"diagonal": _mm(chance, 800, 1600)})
        plain["screen"]["bottom"] = _mm(chance, 60, 300)
        plain.setdefault("room", {})["seats"] = {"distance": _mm(chance, least, most)}

    return broken


def _on_the_top(plain: Plain, chance: Random) -> None:
    """A device on the top that is higher than the lower edge of the picture."""
    plain["screen"] = {"diagonal": _mm(chance, 800, 1400), "bottom": _mm(chance, 20, 90)}
    high = _mm(chance, 95, 160)
    plain["gear"] = [{"name": "box", "kind": "receiver", "on": "top", "height": high}]
    plain.pop("cable", None)


def _feet(plain: Plain, chance: Random) -> None:
    width = length(plain["case"]["width"])
    plain["screen"] = {
        "diagonal": f"{width:.0f} mm",
        "feet": f"{width * chance.uniform(0.95, 1.1):.0f} mm",
        "foot_width": "40 mm",
    }


def _deep_feet(plain: Plain, chance: Random) -> None:
    depth = length(plain["case"]["depth"])
    plain["screen"] = {
        "diagonal": "1000 mm",
        "foot_depth": f"{depth * chance.uniform(0.5, 1.1):.0f} mm",
        "set_back": f"{depth * chance.uniform(0.4, 0.6):.0f} mm",
    }


def _baseboard(plain: Plain, chance: Random) -> None:
    room = plain.setdefault("room", {})
    room |= {
        "wall_gap": _mm(chance, 0, 5),
        "baseboard_height": "90 mm",
        "baseboard_depth": _mm(chance, 12, 25),
    }


def _remote(plain: Plain, chance: Random) -> None:
    plain["doors"]["style"] = "plain"
    plain["room"] = {"seats": {"distance": _mm(chance, 2000, 3500)}}
    plain["gear"] = [{"name": "player", "kind": "disc-player", "bay": 1, "width": "90 mm"}]
    plain.pop("cable", None)


def _radio(plain: Plain, chance: Random) -> None:
    plain["room"] = {"seats": {"distance": _mm(chance, 2000, 3500)}}
    plain["gear"] = [
        {"name": "router", "kind": "router", "bay": 1, "width": "60 mm", "set_back": "260 mm"},
        {"name": "box", "kind": "power-brick", "bay": 1, "depth": "60 mm", "height": "200 mm",
         "width": "130 mm", "set_back": "60 mm", "across": "0 mm"},
    ]  # fmt: skip
    plain["gear"][0]["across"] = "20 mm"
    plain.pop("cable", None)


def _media(*kinds: str) -> Break:
    def broken(plain: Plain, chance: Random) -> None:
        bays = 1 + len(plain.get("divider", []))
        row: Plain = {"kind": chance.choice(kinds), "bay": chance.randint(1, bays)}
        if chance.random() < 0.5:
            row["length"] = _mm(chance, 100, 700)
        plain["content"] = [row]
        plain.pop("gear", None)
        plain.pop("cable", None)

    return broken


def _deep_media(plain: Plain, chance: Random) -> None:
    """Most cases are deep enough for any medium: this one need not be."""
    _media("records", "art-books")(plain, chance)
    plain["case"]["depth"] = _mm(chance, 220, 330)


def _thin_doors(plain: Plain, chance: Random) -> None:
    doors = plain["doors"]
    for key in ("height", "slats"):
        doors.pop(key, None)
    doors |= {"stock": "birch-ply-4", "style": "plain"}
    plain["case"]["height"] = _mm(chance, 650, 900)
    plain["measured"]["thickness"] = {}


def _thin_back(plain: Plain, chance: Random) -> None:
    """Another piece: one bay, of which the back is hardboard."""
    plain.clear()
    plain["name"] = "Console"
    plain["case"] = {
        "width": _mm(chance, 900, 1400),
        "height": _mm(chance, 700, 1000),
        "depth": "400 mm",
        "stock": "birch-ply-18",
    }
    plain["back"] = {"stock": "hardboard-1/8", "panels": [{"bays": [1]}]}
    plain["shop"] = {"units": "mm"}


def _mains(leads: int, *, watts: float = 20, to: str = "strip", outlet: int = 2) -> Break:
    """So many adaptors on a strip, which goes to the outlet."""

    def broken(plain: Plain, chance: Random) -> None:
        plain["gear"] = [{"name": "strip", "kind": "power-strip", "bay": 1}]
        plain["gear"] += [
            {"name": f"brick {n}", "kind": "power-brick", "plate_w": watts, "bay": 1}
            for n in range(leads)
        ]
        plain["cable"] = [{"from": "strip", "to": "outlet", "kind": "mains-strip"}]
        plain["cable"] += [
            {"from": f"brick {n}", "to": to, "kind": "mains-c7"} for n in range(leads)
        ]
        across = _mm(chance, 100, length(plain["case"]["width"]) - 100)
        plain["room"] = {
            "wall_gap": "80 mm",
            "outlets": [{"across": across, "up": "200 mm", "sockets": outlet}],
        }

    return broken


def _chained(plain: Plain, chance: Random) -> None:
    _mains(2)(plain, chance)
    plain["gear"].append({"name": "second strip", "kind": "power-strip", "bay": 1})
    plain["cable"].append({"from": "second strip", "to": "strip", "kind": "mains-strip"})


def _full_hole(plain: Plain, chance: Random) -> None:
    """A small hole that several cables pass."""
    panel = plain["back"]["panels"][0]
    bay = min(panel["bays"])
    panel["holes"] = [{"diameter": "35 mm", "across": "75 mm", "up": "60 mm"}]
    plain["gear"] = [{"name": "box", "kind": "streaming-box", "bay": bay, "width": "80 mm"}]
    plain["screen"] = {"diagonal": "1000 mm"}
    plain["cable"] = [
        {"from": "box", "to": "screen", "kind": "hdmi"} for _ in range(chance.randint(8, 10))
    ]


def _narrow(plain: Plain, chance: Random) -> None:
    """High, shallow, and with a heavy screen in front."""
    plain["case"]["height"] = _mm(chance, 750, 900)
    plain["case"]["depth"] = _mm(chance, 330, 360)
    plain["screen"] = {
        "diagonal": "1800 mm",
        "mass_kg": chance.randint(40, 80),
        "foot_depth": "60 mm",
        "bottom": "400 mm",
    }


def _low(plain: Plain, chance: Random) -> None:
    """A low case under a high, light screen."""
    for part in ("shelf", "gear", "cable", "back", "doors", "base", "hole", "notch", "fan"):
        plain.pop(part, None)
    plain["case"]["height"] = _mm(chance, 130, 180)
    plain["screen"] = {"diagonal": "2200 mm", "mass_kg": 5, "bottom": "100 mm"}


def _near_wall(plain: Plain, chance: Random) -> None:
    """The plugs of a strip and an adaptor with no room behind the case."""
    _mains(1, to="outlet")(plain, chance)
    plain["room"]["wall_gap"] = _mm(chance, 5, 25)


def _heavy(plain: Plain, chance: Random) -> None:
    plain["case"] |= {"stock": "mdf-3/4", "height": _mm(chance, 700, 900)}
    plain["case"] |= {"depth": _mm(chance, 600, 640)}


def _tall(plain: Plain, chance: Random) -> None:
    plain["case"]["height"] = f"{chance.uniform(3050.0, 3250.0):.0f} mm"


def _large(plain: Plain, chance: Random) -> None:
    plain["case"] |= {"height": _mm(chance, 720, 900), "depth": _mm(chance, 670, 760)}


def _apart(plain: Plain, chance: Random) -> None:
    """Two shelves in each other."""
    shelf = chance.choice(plain["shelf"])
    again = copy.deepcopy(shelf)
    again["clear_below"] = f"{length(shelf['clear_below']) + chance.uniform(4, 10):.1f} mm"
    plain["shelf"].append(again)


def _back_to_back(plain: Plain, chance: Random) -> None:
    """Fixed shelves at one height on both sides of a divider."""
    first = {"bay": 1, "clear_below": _mm(chance, 100, 140), "held": "fixed"}
    plain["shelf"] = [first, {**first, "bay": 2}]
    for row in plain["divider"]:
        row["stock"] = "birch-ply-15"
    plain.pop("gear", None)
    plain.pop("cable", None)
    plain.pop("hole", None)
    plain.pop("notch", None)


def _near_edge(plain: Plain, chance: Random) -> None:
    """A hole that nearly breaks out of the edge of a divider."""
    wide = chance.choice((35.0, 50.0, 60.0))
    across = f"{wide / 2 + chance.uniform(0.3, 1.8):.2f} mm"
    row = {"board": "divider-1", "along": _mm(chance, 90, 150), "across": across}
    plain["hole"] = [{**row, "diameter": f"{wide} mm"}]


def _pins(key: str, value: str) -> Break:
    def broken(plain: Plain, chance: Random) -> None:
        shelf = chance.choice([row for row in plain["shelf"] if row["held"] == "pins"])
        shelf["holes"][key] = value
        shelf["holes"] |= {"above": 1, "below": 1} if key == "pitch" else {}

    return broken


def _deep_pins(plain: Plain, chance: Random) -> None:
    """Pin holes whose point shows through."""
    shelf = chance.choice([row for row in plain["shelf"] if row["held"] == "pins"])
    work = build(parse(tomlkit.dumps(plain)))
    bay = work.bays[shelf["bay"] - 1]
    thick = min(bay.left.thickness, bay.right.thickness)
    shelf["holes"]["depth"] = f"{thick - chance.uniform(0.3, 1.4):.2f} mm"


def _chamfer(plain: Plain, chance: Random) -> None:
    plain["back"] |= {"method": "planted", "stock": "birch-ply-4"}
    plain["back"]["chamfer"] = _mm(chance, 2.3, 3.2)


def _short_base(plain: Plain, chance: Random) -> None:
    plain["base"] |= {"attach": "pocket-screws"}
    plain["base"]["height"] = _mm(chance, 45, 62)


def _deep_groove(plain: Plain, chance: Random) -> None:
    work = build(parse(tomlkit.dumps(plain)))
    plain["doors"]["top_depth"] = f"{work.frame.top.thickness * chance.uniform(0.7, 0.9):.1f} mm"


def _let_in_near_edge(plain: Plain, chance: Random) -> None:
    plain["back"]["method"] = "let-in"
    plain["back"]["inset"] = _mm(chance, 1, 5)
    for panel in plain["back"]["panels"]:
        panel.pop("removable", None)


def _deep_rabbet(plain: Plain, chance: Random) -> None:
    plain["case"]["corner"] = "rabbet"
    work = build(parse(tomlkit.dumps(plain)))
    depth = work.frame.top.thickness * chance.uniform(0.86, 0.97)
    plain["case"]["corner_depth"] = f"{depth:.1f} mm"


def _short_grain(plain: Plain, chance: Random) -> None:
    """Corner dadoes that leave little of the sides above or below them."""
    plain["case"].pop("corner_depth", None)
    inset = chance.choice(("inset_top", "inset_bottom"))
    plain["case"] |= {"corner": "dado", inset: _mm(chance, 2, 6)}


def _over_a_divider(plain: Plain, chance: Random) -> None:
    """A cable hole bored where a divider stands behind the panel."""
    divider = chance.choice(plain["divider"])
    bays = list(range(1, 2 + len(plain["divider"])))
    across = length(divider["at"]) + chance.uniform(-25, 25)
    hole = {"diameter": "60 mm", "across": f"{across:.0f} mm", "up": _mm(chance, 60, 90)}
    plain["back"]["panels"] = [{"bays": bays, "holes": [hole]}]


def _closed_fan(plain: Plain, chance: Random) -> None:
    """A strong fan in a closed bay."""
    bay = chance.randint(1, 1 + len(plain.get("divider", [])))
    plain["back"]["panels"] = [{"bays": [n]} for n in range(1, 2 + len(plain.get("divider", [])))]
    flow = chance.randint(60, 150)
    fan = {"name": "fan", "kind": "fan-80", "bay": bay, "max_pressure_pa": 8}
    plain["fan"] = [fan | {"free_flow_m3_h": flow}]


def _loose_fan(plain: Plain, chance: Random) -> None:
    """A fan in a bay without a back panel."""
    plain.pop("back", None)
    plain["fan"] = [{"name": "fan", "bay": 1, "free_flow_m3_h": 30, "max_pressure_pa": 15}]


def _pulled(plain: Plain, chance: Random) -> None:
    """A cable with more slack than any is long."""
    plain["gear"] = [{"name": "box", "kind": "streaming-box", "bay": 1, "width": "80 mm"}]
    plain["screen"] = {"diagonal": "1000 mm"}
    pull = _mm(chance, 1500, 2500)
    plain["cable"] = [{"from": "box", "to": "screen", "kind": "usb", "pull_out": pull}]
    plain.pop("back", None)


def _small_hole(plain: Plain, chance: Random) -> None:
    """A hole in the back that the plug of its only cable does not pass."""
    plain["gear"] = [{"name": "box", "kind": "streaming-box", "bay": 1, "width": "80 mm"}]
    plain["cable"] = [{"from": "box", "to": "outlet", "kind": chance.choice(("hdmi", "usb"))}]
    hole = {"diameter": _mm(chance, 10, 20), "across": "60 mm", "up": _mm(chance, 60, 90)}
    panels: list[Plain] = [{"bays": [n + 1]} for n in range(len(plain.get("divider", ())) + 1)]
    panels[0]["holes"] = [hole]
    plain["back"] = {"stock": "birch-ply-6.5", "method": "planted", "panels": panels}


def _before_the_wall(plain: Plain, chance: Random) -> None:
    plain["gear"] = [{"name": "box", "kind": "cable-box", "bay": 1, "width": "120 mm"}]
    plain.pop("cable", None)
    plain["back"]["panels"] = [{"bays": [n]} for n in range(1, 2 + len(plain.get("divider", [])))]
    plain["room"] = {
        "wall_gap": _mm(chance, 0, 10),
        "baseboard_height": "300 mm",
        "baseboard_depth": _mm(chance, 12, 25),
    }


def _weak_pins(plain: Plain, chance: Random) -> None:
    """A heavy row of records on thin, shallow pins."""
    number, shelf = chance.choice(
        [(n, row) for n, row in enumerate(plain["shelf"], 1) if row["held"] == "pins"]
    )
    shelf["holes"] |= {"diameter": "5 mm", "depth": "5 mm"}
    plain["content"] = [{"kind": "records", "bay": shelf["bay"], "on": f"shelf-{number}"}]
    plain.pop("gear", None)
    plain.pop("cable", None)


def _facing(plain: Plain, chance: Random) -> None:
    """A device that blows at the intake of its neighbour."""
    switch = {"kind": "network-switch", "bay": 1, "width": "60 mm"}
    plain["gear"] = [
        {"name": "switch", **switch, "across": "5 mm"},
        {"name": "second switch", **switch, "across": f"{65 + chance.uniform(5, 60):.0f} mm"},
    ]
    plain.pop("cable", None)


def _stacked(plain: Plain, chance: Random) -> None:
    """A hot device below a tender one."""
    shelf = next((n, row) for n, row in enumerate(plain["shelf"], 1))
    plain["gear"] = [
        {"name": "hot", "kind": "receiver", "bay": shelf[1]["bay"], "width": "120 mm",
         "height": "50 mm", "typical_w": chance.randint(60, 120)},
        {"name": "tender", "kind": "disc-player", "bay": shelf[1]["bay"], "width": "120 mm",
         "height": "40 mm", "on": f"shelf-{shelf[0]}"},
    ]  # fmt: skip
    plain.pop("cable", None)


def _low_doors(plain: Plain, chance: Random) -> None:
    plain["doors"].pop("height", None)
    plain["doors"]["lift_clearance"] = _mm(chance, 0, 0.4)


def _short_doors(plain: Plain, chance: Random) -> None:
    doors = plain["doors"]
    doors.pop("height", None)
    spare = length(doors["top_depth"]) - length(doors["bottom_depth"])
    doors["lift_clearance"] = f"{spare - chance.uniform(0.2, 1.8):.1f} mm"


def _printed(plain: Plain, chance: Random) -> None:
    plain["shop"]["units"] = "in"


BREAKS: Mapping[str, Break] = {
    "within what is fixed": _past_fixed,
    "doors lift in": _low_doors,
    "doors stay in": _short_doors,
    "doors run free": _set("doors.play", 0.1, 0.3),
    "doors pass each other": _set("doors.land", 1.0, 4.0),
    "doors close": _set("doors.overlap", 1.0, 5.0),
    "slatted door is stiff": _floppy,
    "plain door is stiff": _thin_doors,
    "back panel is stiff": _thin_back,
    "lands stand the router": _slats("land", 3.0, 6.0),
    "wood between slots": _slats("land", 2.0, 5.5),
    "frame round the slots": _slats("frame", 8.0, 18.0),
    "a cutter fits the slots": _slats("slot", 39.0, 44.0),
    "wide before the eyes": _seats(3500, 6000),
    "looking up": _seats(300, 700),
    "feet on the top": _feet,
    "clear of the picture": _on_the_top,
    "feet in depth": _deep_feet,
    "clears the baseboard": _baseboard,
    "remote control": _remote,
    "radio gets out": _radio,
    "media fits in height": _media("records", "art-books", "books"),
    "media fits in depth": _deep_media,
    "media fits in length": _media("discs", "singles", "video-discs"),
    "media in reach": _media("discs", "singles", "video-discs"),
    "sockets for the plugs": _mains(8),
    "plugs cover no other socket": _mains(7),
    "strip carries the load": _mains(4, watts=600),
    "strip plugs into the wall": _chained,
    "outlets for the plugs": _mains(3, to="outlet"),
    "cables fill the hole": _full_hole,
    "cable is long enough": _pulled,
    "plugs pass the hole": _small_hole,
    "fits before the wall": _before_the_wall,
    "stands on a slope": _narrow,
    "stands a push at the top": _narrow,
    "anchors hold": _low,
    "plug fits behind the case": _near_wall,
    "can be lifted": _heavy,
    "passes a door": _large,
    "feet can be levelled": _large,
    "front stays square": _tall,
    "boards apart": _apart,
    "wood between opposite cuts": _back_to_back,
    "wood beside a hole": _near_edge,
    "hole pitch": _pins("pitch", "7 mm"),
    "wood behind a hole": _deep_pins,
    "wood under the chamfer": _chamfer,
    "wood beside a pocket hole": _short_base,
    "wood under the groove": _deep_groove,
    "wood beside the groove": _let_in_near_edge,
    "wood under the rabbet": _deep_rabbet,
    "wood beside the dado": _short_grain,
    "cable hole opens into a bay": _over_a_divider,
    "fan has an intake": _closed_fan,
    "fan is held": _loose_fan,
    "shelf pins hold": _weak_pins,
    "exhaust at an intake": _facing,
    "hot gear below": _stacked,
    "sizes as printed": _printed,
}
"""How a design is broken towards a check; those that are not here fail as they are drawn."""
