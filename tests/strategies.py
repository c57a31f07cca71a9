"""Random designs that a maker could build, for property tests.

    designs()   a design as the plain dict that a design file holds: lengths are TEXT with a
                unit, inches and millimetres mixed, keys are those of the TOML file
    built()     (Design, Casework) of such a design
    lengths()   one length as text, within limits
    assemble()  a plain dict -> (Design, Casework)

Legal by construction: every number is drawn within the limits that the numbers before it
leave, so nothing is thrown away. `kit.casework.build` accepts every design, and a maker
could make it: bays of 150 mm or more, shelves apart from each other, doors that lift in and
stay in, no round hole that runs into another cut of its board except where a component puts
it there. Judgements are another matter: a shelf may sag, gear may not fit, the wood left
beside a cut may be little. Later work that wants designs in a narrower range passes the
keyword arguments of `designs`, or uses `.filter` on what it reads from the `Casework`.

What is covered: every corner joint with and without cross pins, flush and standing sides;
nought to four dividers with each joint and from other stock; fixed, pinned, laminated and
lipped shelves, up to three in a bay; backs by every method, one panel a bay or across
several, open bays, cable holes; two and three bypass doors and doors at the ends, in every
style, with and without a height of their own; every base and way to hold it; caliper
readings with spread for any stock, or none; holes and notches added by name; gear and cables.
`test_properties.test_the_strategy_reaches_everything` holds that list true.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from kit.board import Board
from kit.cabling import cables
from kit.casework import Casework, build
from kit.components.made import Bay
from kit.design import Design
from kit.errors import BuildError
from kit.gear import gear_kinds
from kit.geometry import Box, cutter_box
from kit.joinery import pocket_reach
from kit.materials import Stock, material, stock
from kit.units import exact, length

type Plain = dict[str, Any]

CASE_STOCKS = (
    "walnut-ply-3/4", "maple-ply-3/4", "white-oak-ply-1", "birch-ply-18", "birch-ply-15",
    "baltic-birch-18", "softwood-ply-23/32", "mdf-3/4", "particleboard-3/4",
)  # fmt: skip
SHELF_STOCKS = (*CASE_STOCKS, "walnut-ply-1/2", "baltic-birch-12", "birch-ply-12")
DOOR_STOCKS = ("walnut-ply-1/2", "birch-ply-12", "birch-ply-6.5", "maple-ply-3/4", "hardboard-1/4")
PANEL_STOCKS = ("walnut-ply-1/4", "birch-ply-4", "birch-ply-6.5", "hardboard-1/8", "maple-ply-1/2")
STRIP_STOCKS = ("walnut-lipping-1/4", "white-oak-board-4/4")
LEG_STOCKS = ("walnut-board-8/4", "hard-maple-board-8/4")

#: Narrowest bay, and least clear height between two levels of shelves, mm.
BAY = 150.0
LEVEL = 60.0


# --- lengths --------------------------------------------------------------------------


def _inches(sixteenths: int) -> str:
    whole, part = divmod(Fraction(sixteenths, 16), 1)
    return " ".join(str(n) for n in (whole, part) if n) or "0"


def _hyphened(sixteenths: int) -> str:
    return _inches(sixteenths).replace(" ", "-") + '"'


def _feet(sixteenths: int) -> str:
    feet, rest = divmod(sixteenths, 12 * 16)
    return f"{feet}' {_hyphened(rest)}" if feet else _hyphened(rest)


_IN_INCHES: tuple[Callable[[int], str], ...] = (
    lambda n: f"{_inches(n)} in",
    _hyphened,
    _feet,
    lambda n: f"{n / 16} in",
)
_IN_METRIC: tuple[Callable[[int], str], ...] = (
    lambda n: f"{n / 10:g} mm",
    lambda n: f"{n / 10}mm",
    lambda n: f"{n / 100} cm",
)


@st.composite
def lengths(draw: st.DrawFn, least: float, most: float) -> str:
    """A length from `least` to `most` mm as a maker writes it: 16ths of an inch or half mm.

    Where the limits leave no such tick, the length is a tenth of a millimetre, and where not
    even that, the middle of the limits.
    """
    assert least <= most, f"no length from {least} to {most} mm"
    sixteenths = (math.ceil(least / 25.4 * 16), math.floor(most / 25.4 * 16))
    inch = draw(st.booleans()) and sixteenths[0] <= sixteenths[1]
    if inch:
        write: Callable[[int], str] = draw(st.sampled_from(_IN_INCHES))
        words = write(draw(st.integers(*sixteenths)))
        if least <= length(words) <= most:
            return words
    write = draw(st.sampled_from(_IN_METRIC))
    step = 5 if math.ceil(least * 2) <= math.floor(most * 2) else 1
    ticks = (math.ceil(least * 10 / step), math.floor(most * 10 / step))
    if ticks[0] > ticks[1]:
        return exact((least + most) / 2)
    return write(step * draw(st.integers(*ticks)))


# --- a design, part by part -----------------------------------------------------------


@dataclass
class _Making:
    """A design while it is drawn: what is written so far, and the sizes that follow from it."""

    draw: st.DrawFn
    plain: Plain = field(default_factory=lambda: {"measured": {"thickness": {}}})
    unmeasured: set[str] = field(default_factory=set)

    def length(self, least: float, most: float) -> str:
        return self.draw(lengths(least, most))

    def one(self, *options: Any) -> Any:
        return self.draw(st.sampled_from(options))

    def chance(self) -> bool:
        return self.draw(st.booleans())

    def maybe(self, into: Plain, key: str, least: float, most: float) -> None:
        """Write a length that may be left out."""
        if self.chance():
            into[key] = self.length(least, most)

    def stock(self, keys: Sequence[str]) -> str:
        """One of the sheets; caliper readings of it may be written as it is first used."""
        key = self.one(*keys)
        readings = self.plain["measured"]["thickness"]
        if key not in readings and key not in self.unmeasured:
            if self.chance():
                row = material(key)
                span = (row.thickness_min_mm, row.thickness_max_mm)
                count = self.draw(st.integers(1, 5))
                readings[key] = [self.length(*span) for _ in range(count)]
            else:
                self.unmeasured.add(key)
        return key

    def thick(self, key: str) -> Stock:
        """The stock of a sheet, as the kit will read it."""
        readings = self.plain["measured"]["thickness"].get(key, [])
        return stock(key, [length(r) for r in readings])


@st.composite
def designs(
    draw: st.DrawFn,
    *,
    dividers: tuple[int, int] = (0, 4),
    doors: bool | None = None,
    back: bool | None = None,
    base: bool | None = None,
    extras: bool = True,
) -> Plain:
    """A legal design as the plain dict of a design file.

    `dividers` are the least and greatest number of them; `doors`, `back` and `base` True or
    False demand or refuse that component; `extras` False leaves out holes and notches by name.
    """
    make = _Making(draw)
    plain = make.plain
    plain["name"] = draw(st.sampled_from(["Console", "Film room console", "Low shelf", "Ä 1/2"]))
    _case(make)
    bays = _dividers(make, dividers)
    if make.chance() if back is None else back:
        _back(make, bays)
    if make.chance() if doors is None else doors:
        _doors(make, len(bays))
    _shelves(make)
    standing = plain["case"]["corner"] == "dado" and plain["case"]["inset_bottom"] != "0 mm"
    if base is True and standing:
        plain["case"]["inset_bottom"] = "0 mm"
        standing = False
    if not standing and (make.chance() if base is None else base):
        _base(make)
    _gear(make)
    if make.chance():
        plain["room"] = {"wall_gap": make.length(0, 150)}
        plain["screen"] = {"diagonal": make.length(800, 2200)}
    if draw(st.integers(0, 3)) == 0:
        plain["fan"] = [_fan(make, len(bays)) for _ in range(make.draw(st.integers(1, 2)))]
    _cables(make)
    plain["shop"] = {"units": make.one("in", "mm"), "trim": make.length(5, 15)}
    if extras and make.chance():
        _extras(make)
    return plain


def _case(make: _Making) -> None:
    key = make.stock(CASE_STOCKS)
    t = make.thick(key).thickness_mm
    case: Plain = {
        "width": make.length(520, 2400),
        "height": make.length(300, 900),
        "depth": make.length(340, 640),
        "stock": key,
        "corner": make.one("rabbet", "dado", "butt"),
    }
    if case["corner"] != "butt":
        make.maybe(case, "corner_depth", t / 4, 0.7 * t)
    if case["corner"] == "dado":
        case["inset_top"] = make.one("0 mm", make.length(10, 40))
        case["inset_bottom"] = make.one("0 mm", make.length(12, 80))
    if case["corner"] == "rabbet" and make.chance():
        case["pins"] = {
            "diameter": make.length(4, 10),
            "depth": make.length(20, 40),
            "spacing": make.length(60, 200),
        }
    if make.chance():
        case["edging"] = make.one("veneer-tape-7/8", "edge-band-1")
    make.plain["case"] = case


def _dividers(make: _Making, count: tuple[int, int]) -> tuple[float, ...]:
    """Write the dividers, in any order; return the clear widths of the bays."""
    case = make.plain["case"]
    side = make.thick(case["stock"]).thickness_mm
    width = length(case["width"])
    fits = int((width - 2 * side - BAY) // (BAY + 30.0))
    wanted = make.draw(st.integers(min(count[0], fits), min(count[1], fits)))
    rows: list[Plain] = []
    left, clear = side, []
    for number in range(wanted):
        row: Plain = {"joint": make.one("dado", "dowels", "screws")}
        if make.chance():
            row["stock"] = make.stock(CASE_STOCKS)
        t = make.thick(row.get("stock", case["stock"])).thickness_mm
        most = width - side - (wanted - number) * BAY - (wanted - number - 1) * 26.0
        row["at"] = make.length(left + BAY + t / 2, most - t / 2)
        clear.append(length(row["at"]) - t / 2 - left)
        left = length(row["at"]) + t / 2
        rows.append(row)
    if rows:
        make.plain["divider"] = make.draw(st.permutations(rows))
    return (*clear, width - side - left)


def _back(make: _Making, bays: Sequence[float]) -> None:
    method = make.one("rabbeted", "let-in", "planted")
    back: Plain = {"stock": make.stock(PANEL_STOCKS), "method": method, "panels": []}
    t = make.thick(back["stock"]).thickness_mm
    make.maybe(back, "slack", 0, 1.5)
    if method == "let-in":
        make.maybe(back, "inset", 6, 40)
    if method == "planted":
        back["chamfer"] = make.length(0, min(4.0, 0.8 * t))
        make.maybe(back, "margin", 0, 8)
    number = 1
    while number <= len(bays):
        across = make.draw(st.integers(1, len(bays) - number + 1))
        if make.draw(st.integers(0, 3)):
            panel: Plain = {"bays": make.draw(st.permutations(range(number, number + across)))}
            if method != "let-in":
                panel["removable"] = make.chance()
            panel["holes"] = [
                # one below and one above the middle, so that they keep apart
                {
                    "diameter": make.length(20, 60),
                    "across": make.length(45, bays[number - 1] - 45),
                    "up": make.length(*span),
                }
                for span in make.one((), ((50.0, 60.0),), ((50.0, 60.0), (125.0, 140.0)))
            ]
            back["panels"].append(panel)
        number += across
    if back["panels"]:
        make.plain["back"] = back


def _doors(make: _Making, bays: int) -> None:
    case = make.plain["case"]
    t = make.thick(case["stock"]).thickness_mm
    doors: Plain = {
        "stock": make.stock(DOOR_STOCKS),
        "layout": make.one("bypass", "ends") if bays >= 3 else "bypass",
        "style": make.one("plain", "slatted", "pull-hole"),
        "bottom_depth": make.length(2, 3.5),
    }
    if doors["layout"] == "bypass":
        doors["count"] = make.one(2, 3)
    if doors["style"] == "slatted":
        doors["slats"] = {
            "slot": make.length(6, 20),
            "land": make.length(6, 30),
            "frame": make.length(19, 60),
        }
    if doors["style"] == "pull-hole":
        doors["pull"] = make.length(20, 40)
    bottom = length(doors["bottom_depth"])
    doors["top_depth"] = make.length(bottom + 3, 0.6 * t)
    spare = length(doors["top_depth"]) - bottom
    doors["lift_clearance"] = make.length(0.5, spare - 1.5)
    make.maybe(doors, "overlap", 3, 40)
    make.maybe(doors, "play", 0.8, 3)
    make.maybe(doors, "land", 6, 12)
    make.maybe(doors, "front_land", 6, 16)
    if make.chance():
        doors["edging"] = make.one("veneer-tape-7/8", "edge-band-1")
    make.plain["doors"] = doors
    if make.chance():
        room = _frame(make.plain).frame.clear.size[2]
        top = length(doors["top_depth"])
        doors["height"] = make.length(room + bottom + 1.2, room + top - 0.4)


def _shelves(make: _Making) -> None:
    """Write up to three shelves a bay, each in a band of height of its own."""
    solved = _frame(make.plain)
    rows: list[Plain] = []
    for bay in solved.bays:
        room = bay.clear.size[2]
        most = min(3, int(room // 130))
        count = make.draw(st.integers(0, most))
        for level in range(count):
            band = (level * room / count, (level + 1) * room / count)
            rows.append(_shelf(make, bay, band, thinnest=min(bay.left.thickness, 40.0)))
    if rows:
        make.plain["shelf"] = make.draw(st.permutations(rows))


def _shelf(make: _Making, bay: Bay, band: tuple[float, float], thinnest: float) -> Plain:
    """One shelf with all that belongs to it inside `band`, mm above the bottom of the bay."""
    case = make.plain["case"]
    row: Plain = {"bay": bay.number, "held": make.one("fixed", "pins")}
    if make.chance():
        row["stock"] = make.stock(SHELF_STOCKS)
    one = make.thick(row.get("stock", case["stock"])).thickness_max_mm
    row["layers"] = make.one(1, 2) if 2 * one < 40 else 1
    t = row["layers"] * one
    low, high = band[0] + LEVEL, band[1] - t - 10.0
    if make.chance():
        strip = make.stock(STRIP_STOCKS)
        wood = material(strip)
        row["lipping"] = {
            "stock": strip,
            "thickness": make.length(wood.thickness_min_mm, wood.thickness_max_mm),
            "height": make.length(10, LEVEL + t - 15.0),
        }
    row["clear_below"] = make.length(low, high)
    make.maybe(row, "set_back", 0, 30)
    make.maybe(row, "rear_gap", 0, 60)
    if row["held"] == "pins":
        make.maybe(row, "side_clearance", 0.5, 3)
        pitch = make.length(25, 40)
        under, step = length(row["clear_below"]), length(pitch)
        row["holes"] = {
            "diameter": make.length(5, 6.35),
            "pitch": pitch,
            "depth": make.length(5, thinnest / 2 - 1.6),
            "set_back": make.length(20, 37),
            # so that the row stays inside the band, and a hole's width from its ends
            "above": make.draw(st.integers(0, int((band[1] - 7.0 - under) // step))),
            "below": make.draw(st.integers(0, int((under - 14.0 - band[0]) // step))),
        }
    return row


def _base(make: _Making) -> None:
    case = make.plain["case"]
    kind = make.one("plinth", "beam", "legs")
    base: Plain = {"kind": kind, "attach": make.one("pocket-screws", "bolts")}
    if make.chance() or kind == "beam":
        base["stock"] = make.stock(SHELF_STOCKS)
    sheet = make.thick(base.get("stock", case["stock"]))
    t = sheet.thickness_mm
    if kind == "beam":
        # pocket screws are made for up to 40 mm
        fits = min(4, int(39.9 // t))
        if fits < 2:
            base["stock"] = "birch-ply-15"
            t, fits = make.thick("birch-ply-15").thickness_mm, 2
        base["layers"] = make.draw(st.integers(2, fits))
        t *= base["layers"]
    # one board as thick as the members, to ask how far a pocket reaches
    reach = pocket_reach(_bare_board(make.plain, t))
    least = reach + 6.0
    width, depth = length(case["width"]), length(case["depth"])
    # bolts go through the bottom, not through the sides
    side = make.thick(case["stock"]).thickness_mm
    least_in = side if base["attach"] == "bolts" else 0.0
    if kind == "plinth":
        base["height"] = make.length(least, 160)
        make.maybe(base, "toe", 0, 75)
        base["set_in"] = make.length(least_in, 60)
        make.maybe(base, "rear", 0, 30)
    elif kind == "beam":
        base["height"] = make.length(least, 160)
        base["rail_in"] = make.length(max(10.0, least_in), (width - 2 * t - 2 * reach - 60) / 2)
        base["set_back"] = make.length(0, (depth - 240) / 2)
    else:
        base["leg_stock"] = make.stock(LEG_STOCKS)
        base["leg"] = make.length(max(t, 25.0), 47)
        base["rail_height"] = make.length(least, 100)
        base["height"] = make.length(length(base["rail_height"]) + 10, 300)
        base["set_in"] = make.length(least_in, 50)
    make.plain["base"] = base
    try:
        assemble(make.plain)
    except BuildError as error:  # a short beam under dividers may have no place for a screw
        if "no free place" not in str(error):
            raise
        del make.plain["base"]


def _gear(make: _Making) -> None:
    rows = []
    shelves = make.plain.get("shelf", [])
    bays = 1 + len(make.plain.get("divider", []))
    for number in range(make.draw(st.integers(0, 3))):
        row: Plain = {"name": f"device {number + 1}", "kind": make.one(*sorted(gear_kinds()))}
        row["bay"] = make.draw(st.integers(1, bays))
        there = [f"shelf-{n}" for n, s in enumerate(shelves, start=1) if s["bay"] == row["bay"]]
        row["on"] = make.one("bottom", *there)
        if make.chance():
            row["width"], row["height"] = make.length(80, 480), make.length(30, 200)
        rows.append(row)
    if rows:
        make.plain["gear"] = rows


def _fan(make: _Making, bays: int) -> Plain:
    flow = make.one("free_flow_m3_h", "free_flow_cfm")
    return {
        "name": "fan",
        "bay": make.draw(st.integers(1, bays)),
        "at": make.one("high", "low"),
        "moves": make.one("out", "in"),
        flow: make.draw(st.floats(1.0, 200.0)),
        "max_pressure_pa": make.draw(st.floats(1.0, 100.0)),
    }


def _cables(make: _Making) -> None:
    """Up to five cables between devices, the screen and an outlet that may not be there."""
    plain = make.plain
    ends = [row["name"] for row in plain.get("gear", [])]
    if "screen" in plain:
        ends.append("screen")
        if make.chance():
            across = make.length(0, length(plain["case"]["width"]))
            plain["room"]["outlets"] = [{"across": across, "up": make.length(100, 900)}]
    rows = []
    for _ in range(make.draw(st.integers(0, 5)) if ends else 0):
        start = make.one(*ends)
        others = [end for end in (*ends, "outlet") if end != start]
        row: Plain = {"from": start, "to": make.one(*others), "kind": make.one(*sorted(cables()))}
        make.maybe(row, "diameter", 3, 12)
        make.maybe(row, "pull_out", 0, 500)
        rows.append(row)
    if rows:
        plain["cable"] = rows


def _extras(make: _Making) -> None:
    """Holes and notches where nothing else is cut, on any board but the narrow ones."""
    boards = {b.name: b for b in assemble(make.plain)[1].boards if min(b.width, b.length) > 90}
    taken: dict[str, list[Box]] = {
        name: [cutter_box(c) for c in board.cutters] for name, board in boards.items()
    }
    rows: dict[str, list[Plain]] = {"hole": [], "notch": []}
    for _ in range(make.draw(st.integers(1, 4))):
        name = make.one(*boards)
        board = boards[name]
        key, row, cut = make.one(_hole, _notch)(make, name, board)
        clear_of_it = Box(
            (cut.lo[0] - 3, cut.lo[1] - 3, cut.lo[2]), (cut.hi[0] + 3, cut.hi[1] + 3, cut.hi[2])
        )
        if not any(clear_of_it.common(box) for box in taken[name]):
            taken[name].append(cut)
            rows[key].append(row)
    make.plain.update({key: found for key, found in rows.items() if found})


def _hole(make: _Making, name: str, board: Board) -> tuple[str, Plain, Box]:
    row = {
        "board": name,
        "along": make.length(36, board.length - 36),
        "across": make.length(36, board.width - 36),
        "diameter": make.length(5, 60),
    }
    x, y, r = length(row["along"]), length(row["across"]), length(row["diameter"]) / 2
    return "hole", row, Box((x - r, y - r, 0.0), (x + r, y + r, board.thickness))


def _notch(make: _Making, name: str, board: Board) -> tuple[str, Plain, Box]:
    """A notch in edge 2, somewhere along it or at one of its corners."""
    x0, x1 = length(make.length(5, board.length / 2)), board.length
    begin = make.one("0 mm", exact(x0))
    x0 = length(begin)
    end = make.length(x0 + 5, min(x0 + 80.0, x1 - 5))
    y0 = make.length(board.width / 2, board.width - 5)
    row = {"board": name, "along": [begin, end], "across": [y0, exact(board.width)]}
    cut = Box((x0, length(y0), 0.0), (length(end), board.width, board.thickness))
    return "notch", row, cut


def _frame(plain: Mapping[str, Any]) -> Casework:
    return assemble(plain)[1]


def _bare_board(plain: Mapping[str, Any], thickness: float) -> Board:
    """The top of the case in another thickness: a board to ask."""
    top = _frame(plain).frame.top
    return replace(top, stock=replace(top.stock, thickness_mm=thickness))


# --- built ----------------------------------------------------------------------------


def assemble(plain: Mapping[str, Any]) -> tuple[Design, Casework]:
    """Validate a plain dict and build it."""
    design = Design.model_validate(plain)
    return design, build(design)


def built(**limits: Any) -> st.SearchStrategy[tuple[Design, Casework]]:
    """Designs with what is built from them; takes the keyword arguments of `designs`."""
    return designs(**limits).map(assemble)


def pairs_that_mate(work: Casework) -> Iterator[tuple[Board, Board]]:
    """Pairs (host, mate) where a square-cornered cut in the host names the mate."""
    for host in work.boards:
        for feature in host.features:
            mate = work.by_name.get(getattr(feature, "mate", ""))
            if mate is not None:
                yield host, mate
