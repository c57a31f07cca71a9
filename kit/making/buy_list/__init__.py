"""The buy list: what to bring home before the first cut, as rows of data.

It is not the cut list: sheets, lumber, edging, hardware, glue, finish and consumables by the
unit they are sold in, rounded up, with the allowance that was made. Every row that a
fastening asks for carries the key of its piece, so that the steps can name it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from kit.casework import Casework
from kit.making.buy_list.cables import cable_rows
from kit.making.buy_list.fans import fan_rows
from kit.making.buy_list.pieces import consumable_rows, hardware_rows, liquid_rows
from kit.making.buy_list.row import Bore, BuyKind, BuyRow, Measure, Money
from kit.making.buy_list.wood import edging_rows, lumber_rows, sheet_rows
from kit.making.table_text import csv_text
from kit.units import MM_PER_INCH, Step, System, decimal, text

__all__ = [
    "Bore",
    "BuyKind",
    "BuyRow",
    "Measure",
    "Money",
    "Total",
    "buy_list",
    "printed",
    "to_csv",
    "total",
]


@dataclass(frozen=True, slots=True)
class Total:
    """The sum over the rows that have a price, and the labels of those that have none."""

    amount: Decimal
    currency: str
    without: tuple[str, ...]
    at_least: bool


def buy_list(
    casework: Casework,
    *,
    sheets: Mapping[str, int] | None = None,
    hangs_on: Mapping[str, Sequence[str]] | None = None,
) -> tuple[BuyRow, ...]:
    """What to buy for a design, kind by kind.

    `sheets` is the number of sheets (or of stock lengths of lumber) by stock key, from the sheet
    layout; a sheet stock that it does not name is bounded by area, which is marked 'at least'.
    `hangs_on` says by stock key what would take a sheet fewer.

    Raises TableError where the finish of the design is not in the tables.
    """
    return (
        *sheet_rows(casework, sheets or {}, hangs_on or {}),
        *lumber_rows(casework, sheets or {}),
        *edging_rows(casework),
        *hardware_rows(casework),
        *fan_rows(casework),
        *liquid_rows(casework),
        *consumable_rows(casework),
        *cable_rows(casework),
    )


def total(rows: Iterable[BuyRow]) -> Total | None:
    """The sum of all prices; None where no row has one."""
    rows = tuple(rows)
    priced = [row for row in rows if row.price is not None]
    if not priced:
        return None
    amount = sum((row.cost for row in priced if row.cost is not None), Decimal(0))
    assert priced[0].price is not None
    return Total(
        amount,
        priced[0].price.currency,
        tuple(row.label for row in rows if row.price is None),
        any(row.at_least for row in priced),
    )


def printed(rows: Sequence[BuyRow], system: System) -> list[dict[str, str]]:
    """The rows as they are printed, in one display system, with a line for the total."""
    lines = [
        {
            "kind": row.kind.value,
            "key": row.key,
            "item": row.named(system),
            "need": _amount(row, row.need, system),
            "buy": ("at least " if row.at_least else "") + _bought(row, system),
            "allowance": row.allowance,
            "for": row.purpose,
            "hole": "; ".join(_hole(bore, system) for bore in row.bores),
            "note": row.note,
            "price each": _money(row.price.amount, row.price.currency) if row.price else "",
            "price": ""
            if row.price is None or row.cost is None
            else _money(row.cost, row.price.currency),
        }
        for row in rows
    ]
    summed = total(rows)
    if summed is not None:
        unpriced = ", ".join(row.named(system) for row in rows if row.price is None)
        missing = f"no price for {unpriced}" if unpriced else ""
        lines.append(
            {
                **dict.fromkeys(lines[0], ""),
                "kind": "total",
                "item": "of what has a price" if missing else "of all rows",
                "note": missing,
                "price": ("at least " if summed.at_least else "")
                + _money(summed.amount, summed.currency),
            }
        )
    return lines


def to_csv(rows: Sequence[BuyRow], system: System) -> str:
    """The printed rows as CSV text; no cell of it is taken for a formula."""
    return csv_text(printed(rows, system))


def _bought(row: BuyRow, system: System) -> str:
    unit = row.sold_as if row.buy == 1 else _plural(row.sold_as)
    size = f" of {_pack(row.pack, system)}" if row.measure is Measure.LENGTH else ""
    return f"{row.buy} {unit}{size}"


def _pack(mm: float, system: System) -> str:
    """The length of what is sold, by name: whole inches, or the millimetres of the tables."""
    whole = round(mm / MM_PER_INCH) * MM_PER_INCH
    return text(whole if system is System.INCH else mm, system, step=Step.OVERALL)


def _plural(unit: str) -> str:
    word, *rest = unit.split(" ", 1)
    return " ".join([f"{word}s", *rest])


def _amount(row: BuyRow, value: float, system: System) -> str:
    if row.measure is Measure.LENGTH:
        return text(value, system, step=Step.OVERALL)
    if row.measure is Measure.LITRES:
        return f"{value:.2f} l"
    count = f"{value:.2f}".rstrip("0").rstrip(".")
    unit = "sheet" if row.measure is Measure.SHEETS else row.sold_as
    return f"{count} {unit if value == 1 else _plural(unit)}"


def _hole(bore: Bore, system: System) -> str:
    purpose = f"{bore.purpose} " if bore.purpose else ""
    return f"{purpose}{decimal(bore.diameter, system)}, {bore.cutter}"


def _money(amount: Decimal, currency: str) -> str:
    return f"{amount:.2f} {currency}".rstrip()
