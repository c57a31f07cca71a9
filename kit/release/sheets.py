"""The sheet plan and the buy list, read back and held against the solids and each other."""

import json
import math
import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from kit.board import Grain
from kit.errors import UnitError
from kit.hardware import edgings
from kit.joinery import Hole
from kit.making.buy_list.row import BuyKind, liner_for
from kit.making.buy_list.wood import EDGING_SPARE, STRIP_OVER
from kit.making.nesting.layout import CutAxis
from kit.making.sheets import Finish, finish_of
from kit.release.sizes import compare_diagonal
from kit.release.truth import DIGIT_MM, Truth
from kit.release.words import area_agrees
from kit.units import Rounding, Step

SHEETS, BUY, CUTS = "sheets.json", "buy-list.csv", "cut-order.csv"
#: `sheets.json` is written with a share to the fourth digit.
DIGIT_SHARE = 0.00005 + 1e-9

type Row = Mapping[str, str]
type Plan = Mapping[str, Any]

_COUNT = re.compile(r"(?:at least )?(?P<count>\d+) \S.*")
_DIAGONAL = re.compile(r"both diagonals (\d[\d/. ]*? (?:in|mm))")
_FINISHED = re.compile(r"on (?P<area>[\d.]+ m2): both faces")


def compare_sheets(truth: Truth, plan: Plan, cut_list: Sequence[Row]) -> Iterator[str]:
    """Why the sheet plan is not that of the solids: every piece, its size, and how many.

    With every piece at its size the area of every stock is right too; the share of each sheet
    that becomes boards is added up again.
    """
    placed: dict[str, list[tuple[str, Plan]]] = defaultdict(list)
    sheets_of: dict[str, set[int]] = defaultdict(set)
    labels = {stock.key: stock.label for stock in truth.casework.stocks}
    for stock in plan["stocks"]:
        if stock["label"] != labels.get(stock["stock"]):
            yield f"{SHEETS}: {stock['stock']} is called {stock['label']!r}"
        for sheet in stock["sheets"]:
            where = f"{SHEETS}: {stock['stock']}, sheet {sheet['number']}"
            area = sum(piece["length"] * piece["width"] for piece in sheet["boards"])
            share = area / (sheet["length"] * sheet["width"])
            if abs(share - sheet["yield"]) > DIGIT_SHARE + 1e-5:
                yield f"{where} says a yield of {sheet['yield']}, and its boards make {share:.4f}"
            for piece in sheet["boards"]:
                placed[piece["board"]].append((stock["stock"], piece))
                sheets_of[piece["board"]].add(sheet["number"])
        # an offcut on hand is a sheet that is not bought
        offcuts = sum(s.offcut for s in truth.casework.design.sheets if s.stock == stock["stock"])
        used = len(stock["sheets"])
        if stock["full_sheets"] > used or (not offcuts and stock["full_sheets"] != used):
            yield (
                f"{SHEETS}: {stock['stock']} says {stock['full_sheets']} full sheets, "
                f"and {used} are laid out"
            )
    for name in placed.keys() - truth.casework.by_name.keys():
        yield f"{SHEETS}: there is no board {name!r}"
    for board in truth.casework.boards:
        yield from _compare_pieces(truth, board.name, placed[board.name])
    for row in cut_list:
        numbers = ", ".join(map(str, sorted(sheets_of.get(row["name"], ()))))
        if row["sheet"].removeprefix("sheet ").removeprefix("length ") != numbers:
            yield (
                f"cut-list.csv: {row['mark']} {row['name']} is said to be cut from "
                f"{row['sheet'] or 'no sheet'}, and is laid out on sheet {numbers or 'none'}"
            )


def compare_buy_list(truth: Truth, rows: Sequence[Row], plan: Plan | None) -> Iterator[str]:
    """Why the buy list is not that of the solids: sheets, solid wood, edging, liners, areas."""
    laid: dict[str, int] = defaultdict(int)
    for stock in plan["stocks"] if plan else ():  # solid wood planed two ways is there twice
        laid[stock["stock"]] += stock["full_sheets"]
    by_key = {row["key"]: row for row in rows if row["key"]}
    for key in laid.keys() - by_key.keys():
        yield f"{BUY}: {key} is not in it"
    for key, count in laid.items():
        if key in by_key and _count(by_key[key]["buy"]) != count:
            yield f"{BUY}: {key} says buy {by_key[key]['buy']}, and {count} are laid out"
    for row in rows:
        if row["kind"] == BuyKind.SHEET.value and row["key"] in laid:
            if _count(row["need"]) != laid[row["key"]]:
                yield (
                    f"{BUY}: {row['key']} says need {row['need']}, "
                    f"and {laid[row['key']]} are laid out"
                )
        elif row["kind"] == BuyKind.FINISH.value:
            yield from _compare_finish(truth, row)
    yield from _compare_lengths(truth, by_key)
    yield from _compare_edging(truth, by_key)
    yield from _compare_liners(truth, by_key)


def compare_cuts(truth: Truth, rows: Sequence[Row], plan: Plan) -> Iterator[str]:
    """Why the saw cuts are not those of the sheet plan: as many, each at its measure."""
    cuts = [
        (stock["label"], cut)
        for stock in plan["stocks"]
        for sheet in stock["sheets"]
        for cut in sheet["cuts"]
    ]
    if len(rows) != len(cuts):
        yield f"{CUTS}: it has {len(rows)} cuts, and the sheet plan {len(cuts)}"
        return
    named = {f"{truth.casework.marks[name]} {name}" for name in truth.casework.by_name}
    turned = {
        piece["piece"]: piece["turned"]
        for stock in plan["stocks"]
        for sheet in stock["sheets"]
        for piece in sheet["boards"]
    }
    for number, (row, (label, cut)) in enumerate(zip(rows, cuts, strict=True), start=1):
        where = f"{CUTS}: cut {row['cut']} of {row['stock']}, {row['cut from']}"
        piece = f"{cut['piece']['width']:.1f} x {cut['piece']['length']:.1f} mm"
        try:
            width, length = row["piece (W x L)"].split(" x ")
            if row["cut"] != str(cut["number"]):
                yield f"{where}: row {number} should be cut {cut['number']}"
            if not truth.piece_agrees(row["set guide to"], cut["keep"], Rounding.UP):
                yield (
                    f"{where}: guide says {row['set guide to']}, and the plan has "
                    f"{truth.edition.piece(cut['keep'])} ({cut['keep']:.2f} mm)"
                )
            if not (
                truth.piece_agrees(width, cut["piece"]["width"], Rounding.NEAREST)
                and truth.piece_agrees(length, cut["piece"]["length"], Rounding.NEAREST)
            ):
                yield f"{where}: piece says {row['piece (W x L)']}, and the plan has {piece}"
            final = _final_side(truth, cut, turned)
            if final is not None and not truth.size_agrees(row["set guide to"], final):
                yield (
                    f"{where}: guide says {row['set guide to']}, and {cut['frees'][0]} comes free "
                    f"by it, at {truth.say_size(final)}"
                )
        except ValueError as error:  # a UnitError is one
            yield f"{where} cannot be read: {error}"
        if row["stock"] != label:
            yield f"{where}: the plan makes it in {label}"
        names = dict.fromkeys(re.sub(r" \(.*", "", name) for name in cut["frees"])
        for words in _DIAGONAL.findall(row["then"]):
            said = [list(compare_diagonal(truth, CUTS, name, words)) for name in names]
            if all(said):  # one of the boards that come free has this diagonal
                yield from said[0] if said else [f"{where}: it frees nothing to measure {words}"]
        freed = [words for words in row["frees"].split(", ") if words]
        if [words.split(" ", 1)[-1] for words in freed] != cut["frees"] or any(
            re.sub(r" \(\d+ of \d+\)", "", words) not in named for words in freed
        ):
            yield f"{where}: frees says {row['frees']}, and the plan {', '.join(cut['frees'])}"


def _final_side(truth: Truth, cut: Plan, turned: Mapping[str, bool]) -> float | None:
    """The side that a cut gives for good to the first board that it frees, mm; else None.

    The guide is set to that board; what comes free behind the kerf gets its size later.
    """
    board = truth.casework.by_name.get(cut["frees"][0]) if cut["frees"] else None
    if board is None or finish_of(board, truth.casework.design.shop) is not Finish.GUIDE:
        return None
    size = truth.rough(board)
    crosscut = cut["way"] == CutAxis.CROSSCUT.value
    return size.length if crosscut is not turned[board.name] else size.width


def _compare_pieces(truth: Truth, name: str, placed: Sequence[tuple[str, Plan]]) -> Iterator[str]:
    board, shop = truth.casework.by_name[name], truth.casework.design.shop
    named, rough = truth.named(board), truth.rough(board)
    # solid wood wider than it is sold is glued up from strips of equal width
    strips = 1 if board.stock.sheet_sizes else max(1, len(placed) // board.layers)
    if len(placed) != board.layers * strips:
        yield f"{SHEETS}: {named} lies there {len(placed)} times, and has {board.layers} layers"
    saw = shop.table_saw if finish_of(board, shop) is Finish.TABLE_SAW else None
    more = saw.allowance if saw else 0.0
    length, width = rough.length + more, rough.width / strips + more
    for stock, piece in placed:
        if stock != board.stock.key:
            yield f"{SHEETS}: {named} lies on {stock}, and is of {board.stock.key}"
        if piece["mark"] != truth.casework.marks[name]:
            yield f"{SHEETS}: {name} is marked {piece['mark']}, and is {named}"
        if piece["turned"] and board.grain is Grain.LOCKED:
            yield f"{SHEETS}: {named} is turned, and its grain is locked"
        sides = (piece["width"], piece["length"])
        across, along = sides[::-1] if piece["turned"] else sides
        if abs(across - width) > DIGIT_MM + 1e-4 or abs(along - length) > DIGIT_MM + 1e-4:
            yield (
                f"{SHEETS}: {piece['piece']} says {across} x {along} mm (W x L), "
                f"and the solid of {named} makes it {width:.3f} x {length:.3f} mm"
            )


def _compare_finish(truth: Truth, row: Row) -> Iterator[str]:
    sizes = [solid.size for solid in truth.solids.values()]
    mm2 = sum(2 * (x * y + y * z + z * x) for x, y, z in sizes)
    found = _FINISHED.search(row["for"])
    if found is None:
        yield f'{BUY}: the area in "{row["for"]}" cannot be read'
    elif not area_agrees(found["area"], mm2):
        yield f"{BUY}: {row['item']} says {found['area']}, and the boards have {mm2 / 1e6:.2f} m2"


def _compare_lengths(truth: Truth, by_key: Mapping[str, Row]) -> Iterator[str]:
    """Solid wood by the length."""
    need: dict[str, float] = defaultdict(float)
    for board in truth.casework.boards:
        if not board.stock.sheet_sizes:
            added = board.rough.length - board.finished.length
            need[board.stock.key] += board.layers * (truth.solid_size(board).length + added)
    yield from _compare_needs(truth, by_key, need)


def _compare_edging(truth: Truth, by_key: Mapping[str, Row]) -> Iterator[str]:
    need: dict[str, float] = defaultdict(float)
    strips: dict[str, int] = defaultdict(int)
    for board in truth.casework.boards:
        if board.edging is not None:
            size = truth.solid_size(board)
            for surface in board.edged:
                need[board.edging.key] += size.length if surface.axis == 1 else size.width
                strips[board.edging.key] += 1
    yield from _compare_needs(truth, by_key, need)
    for key, length in need.items():
        with_waste = (length + strips[key] * STRIP_OVER) * (1 + EDGING_SPARE)
        rolls = math.ceil(with_waste / edgings()[key].roll_mm - 1e-9)
        row = by_key.get(key)
        if row and _count(row["buy"]) != rolls:
            yield f"{BUY}: {row['item']} says buy {row['buy']}, and {rolls} are wanted"


def _compare_needs(
    truth: Truth, by_key: Mapping[str, Row], need: Mapping[str, float]
) -> Iterator[str]:
    for key, length in need.items():
        row = by_key.get(key)
        if row is None:
            yield f"{BUY}: {key} is not in it"
            continue
        try:
            if not truth.agrees(row["need"], length, Step.OVERALL):
                said = truth.say(length, Step.OVERALL)
                yield f"{BUY}: {row['item']} says need {row['need']}, and the boards take {said}"
        except UnitError as error:
            yield f"{BUY}: need of {row['item']} cannot be read: {error}"


def _compare_liners(truth: Truth, by_key: Mapping[str, Row]) -> Iterator[str]:
    """One liner a cable hole that the solids really have."""
    count: dict[str, int] = defaultdict(int)
    for board in truth.casework.boards:
        bores = [bore for bore in truth.solids[board.name].bores if bore.through]
        for feature in board.features:
            liner = liner_for(feature) if isinstance(feature, Hole) else None
            if liner is None:
                continue
            hit = next((b for b in bores if abs(b.diameter - liner.hole_mm) < 0.1), None)
            if hit is not None:
                bores.remove(hit)
                count[liner.key] += 1
    for key, wanted in count.items():
        row = by_key.get(key)
        if row is None or _count(row["need"]) != wanted:
            said = row["need"] if row else "nothing"
            yield f"{BUY}: {key} says need {said}, and the solids have {wanted} holes for it"


def _count(words: str) -> int | None:
    found = _COUNT.fullmatch(words)
    return int(found["count"]) if found else None


def read_plan(text: str) -> Plan:
    """The sheet plan. Raises ValueError where it is not one."""
    content = json.loads(text)
    if not isinstance(content, dict) or not isinstance(content.get("stocks"), list):
        raise ValueError("it holds no stocks")
    return content
