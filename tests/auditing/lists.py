"""Cut list, set-ups and labels, held against the solids and against each other."""

import re
from collections import Counter
from collections.abc import Iterator
from functools import partial

from auditing.reading import LENGTH, Rows, mm, near, rows_of, table, tick
from auditing.wood import Hole, Point, Wood
from auditing.writing import Pack
from pdf_reading import squeezed, texts

#: What is left on a board that is cut to fit later (1/4 in), mm.
ON_TOP = 6.35
SIDES = ("T", "W", "L")


def cut_rows(pack: Pack) -> dict[str, dict[str, str]]:
    """The rows of the cut list by the name of the board."""
    return {row["name"]: row for row in rows_of(pack.read("cut-list.csv"))}


def cut_list(pack: Pack) -> Iterator[str]:
    """One row a board; finished as the solid is, cut less the edging, rough with what is over."""
    rows = rows_of(pack.read("cut-list.csv"))
    for name, times in Counter(row["name"] for row in rows).items():
        if times > 1:
            yield f"cut list: {name} is there {times} times"
    if {row["name"] for row in rows} != set(pack.wood):
        yield f"cut list: its boards are not those of the STEP file: {sorted(pack.wood)}"
    if len({row["mark"] for row in rows}) != len(rows):
        yield "cut list: two boards have one mark"
    for row in rows:
        if row["name"] in pack.wood:
            for problem in _row(pack, row):
                yield f"cut list: {row['mark']} {row['name']} {problem}"


def _row(pack: Pack, row: dict[str, str]) -> Iterator[str]:
    length, width, thickness = pack.wood[row["name"]].size
    board = pack.casework.by_name[row["name"]]
    sheets, woods = table("sheet_goods"), table("lumber")
    if board.stock.key not in {**sheets, **woods}:
        yield f"is of {board.stock.key}, which no table knows"
    for side, truth in zip(SIDES, (thickness, width, length), strict=True):
        if not near(row[f"finished {side}"], truth, "joint" if side == "T" else "board"):
            yield f"says finished {side} {row[f'finished {side}']}; its solid has {truth:.2f} mm"
    # edging: a strip a side that is named, taken off what it lies on
    strip = float(table("edgings")[board.edging.key]["thickness_mm"]) if board.edging else 0.0
    on_edges, on_ends = row["edging"].count("edge "), row["edging"].count("end ")
    if on_edges + on_ends != len(row["edging"].split(", ")) * bool(row["edging"]):
        yield f"says edging {row['edging']}"
    cut = {"T": thickness, "W": width - strip * on_edges, "L": length - strip * on_ends}
    fit = row["cut to fit"].split(" = ")[0]
    over = {"T": 0.0, "W": 0.0, "L": 0.0}
    if int(row["pieces"]) > 1:
        over = {"T": cut["T"] / int(row["pieces"]) - cut["T"], "W": board.trim, "L": board.trim}
    if fit:
        over[{"width": "W", "length": "L"}[fit]] += ON_TOP
    for side in SIDES:
        use = "joint" if side == "T" else "board"
        if not near(row[f"cut {side}"], cut[side], use):
            yield f"says cut {side} {row[f'cut {side}']}; less edging it is {cut[side]:.2f} mm"
        rough = cut[side] + over[side]
        if not near(row[f"rough {side}"], rough, use):
            yield f"says rough {side} {row[f'rough {side}']}; it should be {rough:.2f} mm"
        if mm(row[f"cut {side}"]) > mm(row[f"finished {side}"]) + 1e-6:
            yield f"is cut larger ({side}) than it is finished"
        if side != "T" and mm(row[f"rough {side}"]) < mm(row[f"cut {side}"]) - 1e-6:
            yield f"is rougher ({side}) than it is cut: smaller"


# --- set-ups ------------------------------------------------------------------------------

_CUT = re.compile(
    r"(?P<mark>[A-Z]+) (?P<board>[a-z][a-z0-9-]*): (?P<surface>(?:face|edge|end) \w), "
    r"(?:face|edge|end) \w to the fence(?P<rest>[^;]*)"
)


def set_ups(pack: Pack) -> Iterator[str]:
    """Every board that it names exists, and its holes are as many and as wide as the solid's."""
    marks = {row["name"]: row["mark"] for row in cut_rows(pack).values()}
    said: Counter[tuple[str, str, str]] = Counter()
    kinds: dict[str, set[str]] = {name: set() for name in pack.wood}
    for row in rows_of(pack.read("set-ups.csv")):
        cuts = list(_CUT.finditer(row["cuts"]))
        if not row["cutter"] or len(cuts) != len(row["cuts"].split("; ")):
            yield f"set-ups: {row['no']} cannot be read: {row['cutter']}: {row['cuts']}"
        times = int(row["repeat"].split(" times")[0]) if row["repeat"] else 1
        for cut in cuts:
            if marks.get(cut["board"]) != cut["mark"]:
                yield f"set-ups: {row['no']} names {cut['mark']} {cut['board']}: no such board"
                continue
            kinds[cut["board"]].add(row["operation"].split(" (")[0])
            if row["operation"] == "bore":
                places = len(re.findall(LENGTH, cut["rest"]))
                said[cut["board"], row["width"], row["depth"]] += places * times
            depth_most = pack.wood[cut["board"]].size
            if mm(row["depth"]) > max(depth_most) + tick(pack.system.value, "joint"):
                yield f"set-ups: {row['no']} is deeper than {cut['board']}"
    yield from compare_holes("set-ups", pack, said)
    for name, wood in pack.wood.items():
        if wood.half_rounds and "rout slots" not in kinds[name]:
            yield f"set-ups: the slots of {name} are in no set-up"
        if wood.slants and "chamfer" not in kinds[name]:
            yield f"set-ups: the chamfers of {name} are in no set-up"
        if any(hole.axis is None for hole in wood.holes) and "pocket holes" not in kinds[name]:
            yield f"set-ups: the pocket holes of {name} are in no set-up"
        if wood.floors and not kinds[name] & {"groove", "dado", "rabbet", "bore"}:
            yield f"set-ups: the channels of {name} are in no set-up"


def compare_holes(where: str, pack: Pack, said: Counter[tuple[str, str, str]]) -> Iterator[str]:
    """Round holes by (board, diameter, depth or `through`) against those of the solids."""
    for name, wood in pack.wood.items():
        left = [hole for hole in wood.holes if hole.axis is not None]
        for (board, width, depth), count in said.items():
            if board != name:
                continue
            there = [
                hole
                for hole in left
                if near(width, hole.diameter, "joint") and _deep(depth, hole, wood)
            ]
            # two rows may be as good as alike: each takes those that are its own
            there.sort(key=partial(_off, width, depth, size=wood.size))
            if len(there) < count:
                yield (
                    f"{where}: {name} has {count} holes {width} wide, {depth} deep, and its "
                    f"solid {len(there)}"
                )
            for hole in there[:count]:
                left.remove(hole)
        if left:
            wide = ", ".join(f"{hole.diameter:.2f} x {hole.hi - hole.lo:.2f} mm" for hole in left)
            yield f"{where}: {name} has holes in its solid that are not there: {wide}"


def _off(width: str, depth: str, hole: Hole, size: Point) -> float:
    """How far what is said of a hole is from what the solid has, mm."""
    deep = 0.0
    if depth != "through":
        deep = min(abs(mm(depth) - true) for true in hole.depths(size))
    return abs(mm(width) - hole.diameter) + deep


def units(pack: Pack) -> Iterator[str]:
    """Every length of a list is in the one system of the pack."""
    measures = {
        "cut-list.csv": [
            f"{state} {side}" for state in ("finished", "cut", "rough") for side in SIDES
        ]
        + ["cut to fit"],
        "set-ups.csv": ["width", "depth", "fence", "repeat", "cuts"],
        "cut-order.csv": ["set guide to", "piece (W x L)", "then"],
        "buy-list.csv": ["need"],
    }
    for name, columns in measures.items():
        for row in rows_of(pack.read(name)) if (pack.folder / name).exists() else ():
            for column in columns:
                for words in re.findall(LENGTH, row[column]):
                    if not words.endswith(f" {pack.system.value}"):
                        yield f"units: {name} says {column} {words}"


def _deep(depth: str, hole: Hole, wood: Wood) -> bool:
    if depth == "through":
        return hole.through
    return any(near(depth, true, "joint") for true in hole.depths(wood.size))


# --- labels -------------------------------------------------------------------------------


def labels(pack: Pack) -> Iterator[str]:
    """One label a board on the printed sheets, with its mark and the cut size of the cut list."""
    printed = " ".join(texts((pack.folder / "labels.pdf").read_bytes()))
    # one space, whatever the printer made of the gaps
    line = " ".join(printed.split())
    found = re.findall(
        rf"\b([A-Z]+) ([a-z][a-z0-9-]*) (?:LEFT |RIGHT )?({LENGTH}) x ({LENGTH}) x ({LENGTH})", line
    )
    rows: Rows = list(cut_rows(pack).values())
    times = Counter((mark, name) for mark, name, *_ in found)
    wanted = Counter((row["mark"], row["name"]) for row in rows)
    if times != wanted:
        odd = {*(times - wanted), *(wanted - times)}
        yield f"labels: not one a board: {sorted(' '.join(pair) for pair in odd)}"
    for _, name, *sizes in found:
        for row in rows:
            cut = [row[f"cut {side}"] for side in SIDES]
            if row["name"] == name and sizes != cut:
                yield f"labels: {name} says {' x '.join(sizes)}, the cut list {' x '.join(cut)}"
    for row in rows:
        if row["cut to fit"] and squeezed(row["cut to fit"]) not in squeezed(printed):
            yield f"labels: the rule of {row['name']} is not there"
