"""The buy list holds what the steps use, and nothing that no step and no board uses."""

import json
import re
from collections import Counter
from collections.abc import Iterator

from auditing.lists import cut_rows
from auditing.reading import LENGTH, mm, rows_of, sentences, table
from auditing.writing import Pack
from kit.components.made import Means
from kit.joinery import Purpose

_USED = re.compile(r"- (?P<count>\d+) x (?P<label>.+?): (?P<where>.+?)\.$")
_GLUED = re.compile(r"glue (?:the layers|each lipping|strips)|\bglued too\b")
_ROD = re.compile(rf"(?P<nominal>.+) rod, (?P<long>{LENGTH}) long")
_LINERS = re.compile(r"- [A-Z]+ (?P<board>[a-z][a-z0-9-]*): (?P<rows>\d+ .+)$")


def buying(pack: Pack) -> Iterator[str]:
    """Sheets, edging, hardware, glue, finish and what is used up."""
    rows = rows_of(pack.read("buy-list.csv"))
    keys = Counter(row["key"] for row in rows if row["key"])
    for key, times in keys.items():
        if times > 1:
            yield f"buy list: {key} is there {times} times"
    bought = {row["key"]: row for row in rows if row["key"]}
    steps = list(sentences(pack.read("steps.txt")))
    used: set[str] = set()
    checks = (
        *_material(pack, bought, used),
        *_hardware(pack, bought, steps, used),
        *_edging(pack, bought, steps, used),
        *_liquids(bought, steps, used),
        *_cables(pack, bought, used),
        *_fans(pack, bought, steps, used),
    )
    yield from (f"buy list: {problem}" for problem in checks)
    for key in bought.keys() - used:
        yield f"buy list: {key} is bought, and nothing uses it"
    for key, row in bought.items():
        need, buy = _number(row["need"]), _number(row["buy"])
        if row["kind"] == "hardware" and buy < need:
            yield f"buy list: {key} says need {row['need']} and buy {row['buy']}"
        if buy < 1 and row["kind"] != "sheet":
            yield f"buy list: {key} says buy {row['buy']}"


def _fans(
    pack: Pack, bought: dict[str, dict[str, str]], steps: list[str], used: set[str]
) -> Iterator[str]:
    """One of everything for each fan opening of the boards, and four screws; all told in a step."""
    openings = sum(
        getattr(feature, "purpose", None) is Purpose.FAN
        for board in pack.casework.boards
        for feature in board.features
    )
    rows = {key: row for key, row in bought.items() if row["kind"] == "fan"}
    used |= rows.keys()
    if bool(openings) != bool(rows):
        yield f"{openings} fan openings are bored, and {len(rows)} rows of fans bought"
    screws = sum(_number(row["need"]) for key, row in rows.items() if key.startswith("screw-"))
    if screws != 4 * openings:
        yield f"{openings} fans want {4 * openings} screws, and {screws:g} are bought"
    for key, row in rows.items():
        if not any(row["item"] in line for line in steps):
            yield f"{key} is bought, and no step fits it"


def _number(words: str) -> float:
    return float(words.removeprefix("at least ").split()[0])


def _material(pack: Pack, bought: dict[str, dict[str, str]], used: set[str]) -> Iterator[str]:
    """Sheets as they are laid out; solid wood as long as it is needed."""
    used |= {board.stock.key for board in pack.casework.boards}
    for key in {board.stock.key for board in pack.casework.boards} - bought.keys():
        yield f"{key} is not bought"
    names = {board.stock.key: board.stock.label for board in pack.casework.boards}
    for key, label in names.items():
        told = {
            row["name"]
            for row in cut_rows(pack).values()
            if row["material"].removesuffix(" (thickness not measured)") == label
        }
        for name in {b.name for b in pack.casework.boards if b.stock.key == key} - told:
            yield f"{name} is of {label}, and of something else in the cut list"
    if not pack.laid_out:
        return
    laid: Counter[str] = Counter()
    for stock in json.loads(pack.read("sheets.json"))["stocks"]:
        names_of_offcuts = {row.name for row in pack.casework.design.sheets if row.offcut}
        for sheet in stock["sheets"]:
            laid[stock["stock"]] += sheet["name"] not in names_of_offcuts
    for key, count in laid.items():
        if key not in bought:  # said already
            continue
        count_bought = _number(bought[key]["buy"])
        exact = key in table("sheet_goods")  # wood is bought by the length, and a little more
        if count_bought != count if exact else count_bought < count:
            yield f"{key}: {bought[key]['buy']} are bought, and {count} laid out"
    for key in names.keys() - laid.keys():
        yield f"{key} is on no sheet"


def _hardware(
    pack: Pack, bought: dict[str, dict[str, str]], steps: list[str], used: set[str]
) -> Iterator[str]:
    """Each screw, dowel, pin and bolt of the steps, with holes for them in the solids."""
    by_label = {row["item"]: row for row in bought.values()}
    said: Counter[str] = Counter()
    rods: Counter[str] = Counter()
    for line in steps:
        found = _USED.match(line)
        if found:
            count = int(found["count"])
            each = [int(n) for n in re.findall(r" (\d+)(?=,|$)", found["where"])]
            if each and sum(each) != count:
                yield f"the steps say {count} x {found['label']}, in parts {sum(each)}"
            rod = _ROD.fullmatch(found["label"])
            if rod:
                key = _rod_key(rod["nominal"])
                rods[key] += count
                said[key] += 0
                if key in bought and mm(rod["long"]) * count > _length(bought[key]["buy"]) + 30:
                    yield f"{key} is bought {bought[key]['buy']}: {count} of {rod['long']} are used"
                used.add(key)
            else:
                said[found["label"]] += count
        strap = re.search(r"Fix (\d+) x (.+?)(?:: one end| between)", line)
        if strap:
            said[strap[2]] += int(strap[1])
    for label, count in said.items():
        if label in bought:  # a rod
            continue
        unknown = label.replace(" of ", ", not in the tables: ", 1)
        row = by_label.get(label) or by_label.get(unknown)
        if row is None:
            yield f"the steps use {count} x {label}, and none is bought"
            continue
        used.add(row["key"])
        if _number(row["need"]) != count:
            yield f"{row['key']}: need {row['need']}, and the steps use {count}"
    yield from _liners(pack, bought, steps, used)
    yield from _fastenings(pack, said, rods)


def _rod_key(nominal: str) -> str:
    rods = (key for key, row in table("lumber").items() if row["form"] == "rod")
    return next((key for key in rods if table("lumber")[key]["nominal"] == nominal), nominal)


def _liners(
    pack: Pack, bought: dict[str, dict[str, str]], steps: list[str], used: set[str]
) -> Iterator[str]:
    labels = {row["item"]: key for key, row in bought.items() if key in table("grommets")}
    pressed: Counter[str] = Counter()
    for line in steps:
        found = _LINERS.match(line)
        for label, key in labels.items():
            for count in re.findall(rf"(\d+) x {re.escape(label)}", found["rows"] if found else ""):
                pressed[key] += int(count)
                hole = float(table("grommets")[key]["hole_mm"])
                assert found
                wood = pack.wood[found["board"]]
                if sum(abs(h.diameter - hole) < 0.1 for h in wood.holes) < int(count):
                    yield f"{found['board']} takes {count} x {label}, and has no such hole"
    for key, count in pressed.items():
        used.add(key)
        if _number(bought[key]["need"]) != count:
            yield f"{key}: need {bought[key]['need']}, and the steps press in {count}"


def _fastenings(pack: Pack, said: Counter[str], rods: Counter[str]) -> Iterator[str]:
    """What holds the boards together is in the steps, all of it; dowels have two holes each."""
    there = Counter[bool]()
    for line in pack.casework.fastenings:
        if line.means is not Means.GLUE:
            there[line.means is Means.CROSS_PINS and line.item is not None] += line.count
    if there[True] != sum(rods.values()):
        yield f"{there[True]} cross pins hold the case, and the steps drive {sum(rods.values())}"
    screws = sum(count for label, count in said.items() if "anti-tip" not in label)
    if there[False] != screws:
        yield f"{there[False]} pieces hold the boards, and the steps use {screws}"
    for line in pack.casework.fastenings:
        if line.means is Means.DOWELS and line.diameter:
            ends = [
                hole
                for hole in pack.wood[line.board].holes
                if hole.axis == 0 and abs(hole.diameter - line.diameter) < 0.05
            ]
            if len(ends) < line.count:
                yield f"{line.board} takes {line.count} dowels, and its ends have {len(ends)} holes"


def _edging(
    pack: Pack, bought: dict[str, dict[str, str]], steps: list[str], used: set[str]
) -> Iterator[str]:
    """As long as all edges that the cut list names; put on once in the steps, the same sides."""
    labels = {row["item"]: key for key, row in bought.items() if key in table("edgings")}
    put_on: Counter[tuple[str, str]] = Counter()
    for line in steps:
        for label, key in labels.items():
            if line.startswith(f"- {label}: "):
                used.add(key)
                for name, sides in re.findall(r"[A-Z]+ ([a-z][a-z0-9-]*) \(([^)]*)\)", line):
                    put_on[name, sides] += 1
    wanted = Counter((name, row["edging"]) for name, row in cut_rows(pack).items() if row["edging"])
    if put_on != wanted:
        odd = {*(put_on - wanted), *(wanted - put_on)}
        yield f"edging goes on other sides in the steps than in the cut list: {sorted(odd)}"
    need: Counter[str] = Counter()
    for (name, sides), _ in wanted.items():
        edging = pack.casework.by_name[name].edging
        assert edging is not None
        length, width, _ = pack.planned[name].size  # bought before anything is measured
        for side in sides.split(", "):
            need[edging.key] += length if side.startswith("edge") else width  # type: ignore
    for key, length in need.items():
        if key not in bought:
            yield f"{key} is not bought"
        elif abs(mm(bought[key]["need"]) - length) > 1.6:
            yield f"{key}: need {bought[key]['need']}, and the edges are {length:.0f} mm"
        elif _length(bought[key]["buy"]) < length:
            yield f"{key}: buy {bought[key]['buy']}, and the edges are {length:.0f} mm"


def _length(words: str) -> float:
    """How long all is that is bought: `2 rolls of 25 ft`."""
    count, _, each = words.partition(" of ")
    found = re.search(LENGTH, each)
    return _number(count) * mm(found[0]) if found else _number(count)


def _liquids(bought: dict[str, dict[str, str]], steps: list[str], used: set[str]) -> Iterator[str]:
    """Glue, finish, paper, tape and wax: bought where the steps use them."""
    text = " ".join(steps).lower()
    words = {
        "masking-tape": "tape off",
        "paste-wax": "wax the tracks",
        "shims": "shim under it",
        "sandpaper-120": "120",
        "sandpaper-180": "180",
        "sandpaper-220": "220 grit",
    }
    for name in ("glues", "finishes"):
        for key, row in bought.items():
            if key in table(name):
                words[key] = row["item"].lower()
    for key, said in words.items():
        if said in text or (bought.get(key, {}).get("kind") == "glue" and _GLUED.search(text)):
            used.add(key)
            if key not in bought:
                yield f'the steps say "{said}", and {key} is not bought'
    if "wood glue" in text and not any(row["kind"] == "glue" for row in bought.values()):
        yield "the steps use glue, and none is bought"
    coats = set(re.findall(r"\d coats of (.+?)(?: on |, both faces)", text))
    finishes = {row["item"].lower() for row in bought.values() if row["kind"] == "finish"}
    if coats != finishes:
        yield f"the steps put on {sorted(coats)}, and {sorted(finishes)} is bought"


def _cables(pack: Pack, bought: dict[str, dict[str, str]], used: set[str]) -> Iterator[str]:
    kinds = Counter(cable.kind for cable in pack.casework.design.cables)
    for kind, count in kinds.items():
        rows = [
            key
            for key, row in bought.items()
            if row["kind"] == "cable"
            and (key == kind or re.fullmatch(rf"{re.escape(kind)}-[\d.]+m", key))
        ]
        used |= set(rows)
        total = sum(_number(bought[key]["buy"]) for key in rows)
        if total != count:
            yield f"{count} cables are {kind}, and {total:g} are bought"
