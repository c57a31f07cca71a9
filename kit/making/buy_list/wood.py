"""Rows of the buy list for what boards are made of: sheets, lumber and rods, edging."""

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from kit.casework import Casework
from kit.components.made import Means
from kit.hardware import edgings
from kit.making.buy_list.row import BuyKind, BuyRow, Measure, Money, in_short, price_of
from kit.materials import lumber, wood
from kit.units import MM_PER_INCH

#: Each strip of edging is cut longer by an inch an end and trimmed; and a share is spare.
#: Common practice, no source.
STRIP_OVER, EDGING_SPARE = 2 * MM_PER_INCH, 0.05


def _sheet_price(casework: Casework, key: str) -> Money | None:
    """The price of the sheets of this stock that can be bought, where they have but one."""
    bought = {
        sheet.price
        for sheet in casework.design.sheets
        if sheet.stock == key and sheet.count is None and not sheet.offcut
    }
    (price,) = bought if len(bought) == 1 else (None,)
    if price is None:
        return None
    return Money(Decimal(str(price)), casework.design.prices.currency)


def sheet_rows(
    casework: Casework, laid_out: Mapping[str, int], hangs_on: Mapping[str, Sequence[str]]
) -> Iterator[BuyRow]:
    """Sheets as laid out; by area where no layout names the stock."""
    area: dict[str, float] = defaultdict(float)
    names: dict[str, list[str]] = defaultdict(list)
    known = {}
    for board in casework.boards:
        if board.stock.sheet_sizes:
            area[board.stock.key] += board.layers * board.rough.width * board.rough.length
            names[board.stock.key].append(board.name)
            known[board.stock.key] = board.stock
    for key, stock in known.items():
        largest = max(stock.sheet_sizes, key=lambda size: size.width_mm * size.length_mm)
        share = area[key] / (largest.width_mm * largest.length_mm)
        count = laid_out.get(key)
        measure = () if stock.measured else ("measure each sheet before anything is cut from it",)
        yield BuyRow(
            kind=BuyKind.SHEET,
            key=key,
            label=stock.label,
            need=share if count is None else float(count),
            measure=Measure.SHEETS,
            buy=math.ceil(share) if count is None else count,
            sold_as="sheet" if count is not None else f"sheet {largest.label}",
            pack=1.0,
            allowance="saw cuts, trims and grain not reckoned" if count is None else "as laid out",
            purpose=in_short(names[key]),
            at_least=count is None,
            note="; ".join((*measure, *hangs_on.get(key, ()))),
            price=price_of(casework, key) or _sheet_price(casework, key),
        )


def lumber_rows(casework: Casework, laid_out: Mapping[str, int]) -> Iterator[BuyRow]:
    """Solid wood by the stock length: boards, lippings, legs, and rods for cross pins."""
    need: dict[str, float] = defaultdict(float)
    area: dict[str, float] = defaultdict(float)
    names: dict[str, list[str]] = defaultdict(list)
    for board in casework.boards:
        if not board.stock.sheet_sizes:
            key, rough = board.stock.key, board.rough
            need[key] += board.layers * rough.length
            area[key] += board.layers * rough.length * rough.width
            names[key].append(board.name)
    for fastening in casework.fastenings:
        if fastening.means is Means.CROSS_PINS and fastening.item is not None:
            rod, length = lumber(fastening.item), fastening.count * (fastening.length or 0.0)
            need[rod.key] += length
            area[rod.key] += length * rod.width_max_mm
            names[rod.key].append(f"{fastening.board} to {fastening.to}")
    for key, length in need.items():
        row = lumber(key)
        count = laid_out.get(key)
        least = math.ceil(area[key] / (row.length_max_mm * row.width_max_mm))
        yield BuyRow(
            kind=BuyKind.LUMBER,
            key=key,
            label=f"{row.nominal} {wood(row.wood).name} {row.form.value}",
            need=length,
            measure=Measure.LENGTH,
            buy=least if count is None else count,
            sold_as="length",
            pack=row.length_max_mm,
            allowance="ends and saw cuts not reckoned" if count is None else "as laid out",
            purpose=in_short(names[key]),
            at_least=count is None,
            price=price_of(casework, key),
        )


def edging_rows(casework: Casework) -> Iterator[BuyRow]:
    """Edging by the roll."""
    need: dict[str, float] = defaultdict(float)
    strips: dict[str, int] = defaultdict(int)
    names: dict[str, list[str]] = defaultdict(list)
    narrow: dict[str, list[str]] = defaultdict(list)
    for board in casework.boards:
        if board.edging is None or not board.edged:
            continue
        key = board.edging.key
        names[key].append(board.name)
        if board.thickness > board.edging.width_mm:
            narrow[key].append(board.name)
        for surface in board.edged:
            need[key] += board.length if surface.axis == 1 else board.width
            strips[key] += 1
    for key, length in need.items():
        row = edgings()[key]
        with_waste = (length + strips[key] * STRIP_OVER) * (1 + EDGING_SPARE)
        yield BuyRow(
            kind=BuyKind.EDGING,
            key=key,
            label=row.label,
            need=length,
            measure=Measure.LENGTH,
            buy=math.ceil(with_waste / row.roll_mm - 1e-9),
            sold_as="roll",
            pack=row.roll_mm,
            allowance=f"an inch at each end of {strips[key]} strips, and {EDGING_SPARE:.0%}",
            purpose=in_short(names[key]),
            note=f"too narrow for {in_short(narrow[key])}: take a wider one" if narrow[key] else "",
            price=price_of(casework, key),
        )
