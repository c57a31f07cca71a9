"""Answers as cells of a table: every number a text with its unit, in the system of the design."""

from collections.abc import Mapping, Sequence
from unicodedata import east_asian_width

from kit.design import Design
from kit.finding import Status
from kit.search.answer import Answer, Stage
from kit.units import Step, System, decimal, text

#: Stands where a candidate was not judged so far.
NOT_JUDGED = "not judged"
#: Stands where a number that is asked for is missing.
NOT_KNOWN = "not known"


def cells(design: Design, answer: Answer) -> dict[str, str]:
    """What is known of a design, by column: size, mass, cost, sheets, waste, air, sag, verdicts."""
    system = design.shop.units
    failed = answer.stage is Stage.BUILT and bool(answer.refused)
    checked, laid = answer.stage >= Stage.CHECKED, answer.stage >= Stage.LAID_OUT
    laid = laid and not answer.refused
    currency = design.prices.currency
    return {
        "W x D x H": "" if failed else _size(answer, system),
        "mass": "" if failed else f"{answer.mass_kg:.1f} kg",
        "cost": _told(laid, _cost(answer, currency)),
        "sheets": _told(laid, ", ".join(f"{n} {key}" for key, n in answer.sheets) or "none"),
        "waste": _told(laid, _waste(answer)),
        "hottest": _told(
            checked, answer.hottest and f"{answer.hottest[0]} {answer.hottest[1]:.0f} °C"
        ),
        "worst sag": _told(checked, answer.sag and _sag(answer.sag, system)),
        **{status.value: _told(checked, _count(answer, status)) for status in Status},
        "why": answer.refused or ", ".join(answer.failing),
    }


def to_text(lines: Sequence[Mapping[str, str]]) -> str:
    """Rows with one set of columns as plain text, the columns aligned; empty without rows."""
    if not lines:
        return ""
    table = [list(lines[0]), *(list(line.values()) for line in lines)]
    widths = [max(map(_columns, column)) for column in zip(*table, strict=True)]
    return "".join(
        "  ".join(
            cell + " " * (w - _columns(cell)) for cell, w in zip(row, widths, strict=True)
        ).rstrip()
        + "\n"
        for row in table
    )


def _columns(cell: str) -> int:
    """How many columns of a terminal a text takes."""
    return sum(2 if east_asian_width(letter) in "WF" else 1 for letter in cell)


def _told(judged: bool, words: object) -> str:
    """A cell: its words, or why there are none."""
    if not judged:
        return NOT_JUDGED
    return str(words) if isinstance(words, str) else NOT_KNOWN


def _count(answer: Answer, status: Status) -> str | None:
    return str(answer.counts[status]) if answer.counts else None


def _cost(answer: Answer, currency: str) -> str | None:
    return None if answer.cost is None else f"{answer.cost:.2f} {currency}".rstrip()


def _waste(answer: Answer) -> str | None:
    return None if answer.waste_percent is None else f"{answer.waste_percent:.0f} %"


def _size(answer: Answer, system: System) -> str:
    return " x ".join(text(mm, system, step=Step.OVERALL) for mm in answer.size_mm)


def _sag(sag: tuple[str, float, float], system: System) -> str:
    board, mm, share = sag
    return f"{board} {decimal(mm, system)}, {100 * share:.0f} % of its limit"
