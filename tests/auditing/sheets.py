"""Sheets: every piece of the cut list lies on one, clear of all others, and the saw frees it.

The cuts are made again here, one after the other, on the rectangle of the sheet.
"""

import json
import math
import re
from collections import defaultdict
from collections.abc import Iterator
from typing import Any

from auditing.lists import cut_rows
from auditing.reading import near, svg_words, table
from auditing.writing import Pack
from kit.shop import Defect

type Rect = tuple[float, float, float, float]
type Data = dict[str, Any]

#: `sheets.json` is written to a thousandth of a mm, and its yields to a ten-thousandth.
DIGIT, SHARE = 0.0011, 0.00006


def sheets(pack: Pack) -> Iterator[str]:
    """Pieces, clearance, trims, yields, cuts and pictures."""
    plan: Data = json.loads(pack.read("sheets.json"))
    cut_list = cut_rows(pack)
    placed: dict[str, list[Data]] = defaultdict(list)
    picture = 0
    for stock in plan["stocks"]:
        for sheet in stock["sheets"]:
            picture += 1
            where = f"sheets: {stock['stock']} {sheet['number']}:"
            kerf = stock["kerf"]
            zones = [
                zone
                for row in pack.casework.design.sheets
                if row.stock == stock["stock"] and row.name and row.name == sheet["name"]
                for zone in row.defects
            ]
            spoilt = [_zone(zone) for zone in zones]
            for problem in (*_lies(sheet, kerf, spoilt), *_sawn(sheet, kerf)):
                yield f"{where} {problem}"
            shown = svg_words(pack.read(f"sheets-{picture}.svg"))
            for piece in sheet["boards"]:
                placed[piece["board"]].append({**piece, "of": stock})
                both = f"{piece['mark']}  {piece['piece']}"
                if both not in shown and piece["mark"] not in " ".join(shown).split():
                    yield f"{where} its picture shows no {both}"
    for name in placed.keys() - cut_list.keys():
        yield f"sheets: {name} is no board of the cut list"
    for name, row in cut_list.items():
        yield from (f"sheets: {name} {p}" for p in _pieces(pack, row, placed[name]))


def _pieces(pack: Pack, row: dict[str, str], pieces: list[Data]) -> Iterator[str]:
    """As many as the cut list says, as large as its rough size."""
    key = pack.casework.by_name[row["name"]].stock.key
    wood = table("lumber").get(key)
    solid = pack.wood[row["name"]]
    strips = 1
    if wood:  # solid wood wider than it is sold is glued of strips
        strips = max(1, len(pieces) // int(row["pieces"]))
        if strips > 1 and solid.size[1] < float(wood["width_max_mm"]) * (strips - 1) - 10:
            yield f"is glued of {strips} strips, and sold {wood['width_max_mm']} mm wide"
    if len(pieces) != int(row["pieces"]) * strips:
        yield f"lies there {len(pieces)} times; the cut list says {row['pieces']} pieces"
    # a little is left for the table saw, where that gives a board its size
    table_saw = pack.casework.design.shop.table_saw
    more = table_saw.allowance if table_saw else 0.0
    for piece in pieces:
        if piece["of"]["stock"] != key or not row["material"].startswith(piece["of"]["label"]):
            yield f"lies on {piece['of']['stock']}, and is of {row['material']}"
        if piece["mark"] != row["mark"]:
            yield f"is marked {piece['mark']}, and {row['mark']} in the cut list"
        if piece["turned"] and row["grain"] == "along the length":
            yield "is turned across the grain"
        long, wide = piece["length"], piece["width"]
        if piece["turned"]:
            long, wide = wide, long
        if "table saw" in piece["finish"]:
            long, wide = long - more, wide - more
        if not near(row["rough L"], long, "board"):
            yield f"is {long} mm long on its sheet, and rough L is {row['rough L']}"
        if strips == 1 and not near(row["rough W"], wide, "board"):
            yield f"is {wide} mm wide on its sheet, and rough W is {row['rough W']}"
    numbers = {str(n) for n in re.findall(r"\d+", row["sheet"])}
    lies_on = {
        str(sheet["number"])
        for piece in pieces
        for sheet in piece["of"]["sheets"]
        if any(other["piece"] == piece["piece"] for other in sheet["boards"])
    }
    if numbers != lies_on:
        yield f"is said to be on {row['sheet']}, and lies on {', '.join(sorted(lies_on))}"


def _rect(data: Data) -> Rect:
    x, y = data["x"], data["y"]
    return x, y, x + data["length"], y + data["width"]


def _zone(zone: Defect) -> Rect:
    return zone.along[0], zone.across[0], zone.along[1], zone.across[1]


def _lies(sheet: Data, kerf: float, spoilt: list[Rect]) -> Iterator[str]:
    """Inside the trims, a kerf from each other, off what is spoilt; the yield as the areas."""
    trims = sheet["trims"]
    usable = (
        trims["left"],
        trims["lower"],
        sheet["length"] - trims["right"],
        sheet["width"] - trims["upper"],
    )
    pieces = [(piece["piece"], _rect(piece)) for piece in sheet["boards"]]
    spare = [(offcut["name"], _rect(offcut)) for offcut in sheet["offcuts"]]
    for name, (x0, y0, x1, y1) in (*pieces, *spare):
        low = x0 < usable[0] - DIGIT or y0 < usable[1] - DIGIT
        if low or x1 > usable[2] + DIGIT or y1 > usable[3] + DIGIT:
            yield f"{name} reaches into the trimmed edge"
    for name, a in pieces:
        for b in spoilt:
            if max(a[0] - b[2], b[0] - a[2], a[1] - b[3], b[1] - a[3]) < -DIGIT:
                yield f"{name} lies on a spot that is spoilt"
    both = (*pieces, *spare)
    for number, (name, a) in enumerate(both):
        for other, b in both[number + 1 :]:
            gap = max(a[0] - b[2], b[0] - a[2], a[1] - b[3], b[1] - a[3])
            if gap < kerf - 2 * DIGIT:
                yield f"{name} and {other} are {gap:.2f} mm apart; the kerf is {kerf} mm"
    area = sum((r[2] - r[0]) * (r[3] - r[1]) for _, r in pieces)
    share = area / (sheet["length"] * sheet["width"])
    if abs(share - sheet["yield"]) > SHARE + 1e-5:
        yield f"says a yield of {sheet['yield']}, and its boards make {share:.4f}"
    if not 0 < share <= 1:
        yield f"its boards are {share:.2f} of its area"


def _sawn(sheet: Data, kerf: float) -> Iterator[str]:
    """Each cut parts one piece that is there; what it frees has the size that was laid out."""
    there: list[Rect] = [(0.0, 0.0, sheet["length"], sheet["width"])]
    wanted = {piece["piece"]: _rect(piece) for piece in sheet["boards"]}
    freed: list[str] = []
    for cut in sheet["cuts"]:
        whole = _rect(cut["piece"])
        hit = next((r for r in there if _same(r, whole)), None)
        if hit is None:
            yield f"cut {cut['number']} is made in a piece that is not there"
            return
        there.remove(hit)
        axis = {"crosscut": 0, "rip": 1}[cut["way"]]
        size = hit[axis + 2] - hit[axis]
        if not 0 < cut["keep"] < size + 4 * DIGIT:  # each cut before it was rounded too
            yield f"cut {cut['number']} keeps {cut['keep']} mm of {size:.2f} mm"
        from_low = cut["from"].split()[0] in ("left", "lower")
        near_edge = hit[axis] + cut["keep"] if from_low else hit[axis + 2] - cut["keep"]
        a, b = list(hit), list(hit)
        if from_low:
            a[axis + 2], b[axis] = near_edge, near_edge + kerf
        else:
            a[axis], b[axis + 2] = near_edge, near_edge - kerf
        if cut["stage"] == "square and trim":  # what is trimmed off is waste
            b[axis + 2] = b[axis]
        for x0, y0, x1, y1 in (a, b):
            if x1 - x0 > DIGIT and y1 - y0 > DIGIT:
                there.append((x0, y0, x1, y1))
        freed += cut["frees"]
    for name, rect in wanted.items():
        if freed.count(name) != 1 and len(sheet["boards"]) > 1:
            yield f"{name} is freed {freed.count(name)} times"
        if not any(_same(rect, r, 0.02) for r in there):
            yield f"when all cuts are made no piece has the size and place of {name}"


def _same(a: Rect, b: Rect, off: float = 3 * DIGIT) -> bool:
    return all(math.isclose(p, q, abs_tol=off) for p, q in zip(a, b, strict=True))
