"""Whether the sheets on hand hold every board: the finding that takes a layout to know."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from kit.casework import Casework
from kit.errors import BuildError
from kit.finding import Finding, Sense, judge
from kit.making.sheets import Effort, StockPlan, sheet_plan
from kit.making.thresholds import with_thresholds


def check_on_hand(casework: Casework) -> tuple[Finding, ...]:
    """For each stock whose sheets are counted in the design, whether they hold every board.

    None for what is not counted. The quick layout is asked first, and the final one before it is
    believed that they do not.
    """
    counts: dict[str, int] = {}
    used = {stock.key for stock in casework.stocks}
    for sheet in casework.design.sheets:
        if sheet.count is not None and sheet.stock in used:
            counts[sheet.stock] = counts.get(sheet.stock, 0) + sheet.count
    if not counts:
        return ()
    said = ""
    for effort in Effort:
        try:
            plan = sheet_plan(casework, effort)
        except BuildError as error:
            said = str(error)
        else:
            laid = (one for one in plan.sheets if one.stock.key in counts)
            return tuple(_held(one, counts[one.stock.key]) for one in laid)
    return tuple(_short(casework, counts, said))


def _held(one: StockPlan, count: int) -> Finding:
    laid = one.layout.sheets
    there = [sheet.sheet for sheet in laid if sheet.sheet.count is not None]
    bought = len(laid) - len(there)
    more = f", and {bought} to be bought" if bought else ""
    many = "sheet" if count == 1 else "sheets"
    share = 100 * one.layout.yield_share
    said = f"{len(there)} of {count} {many}{more}, {share:.0f} % used."
    return _judged(one, float(len(there)), count, said)


def _short(casework: Casework, counts: Mapping[str, int], said: str) -> Iterator[Finding]:
    """How many sheets it would take of each stock, if they could be bought."""
    sheets = tuple(
        sheet if sheet.offcut else sheet.model_copy(update={"count": None})
        for sheet in casework.design.sheets
    )
    design = casework.design.model_copy(update={"sheets": sheets})
    try:
        more = replace(casework, design=design)
        plan = with_thresholds(more, sheet_plan(more))
    except BuildError:  # a board fits no sheet, however many there are
        for stock in casework.stocks:
            if stock.key in counts:
                yield _finding(stock.label, None, counts[stock.key], said, ())
        return
    laid = [one for one in plan.sheets if one.stock.key in counts]
    needed = {one.stock.key: len(one.layout.sheets) for one in laid}
    lacking = {key for key in needed if needed[key] > counts[key]} or needed.keys()
    for one in laid:
        key = one.stock.key
        if key in lacking:
            # of several sizes the count may suffice, and the sizes do not
            short = float(max(needed[key], counts[key] + 1))
            ways = "".join(f" {way[0].upper()}{way[1:]}." for way in one.hangs_on)
            yield _judged(one, short, counts[key], said + ways)
        else:
            yield _judged(one, float(needed[key]), counts[key], "They hold every board.")


def _judged(one: StockPlan, needed: float, count: int, said: str) -> Finding:
    names = tuple(dict.fromkeys(part.board.name for part in one.parts))
    return _finding(one.stock.label, needed, count, said, names)


def _finding(
    label: str, needed: float | None, count: int, said: str, names: tuple[str, ...]
) -> Finding:
    return judge(
        "sheets on hand",
        label,
        needed,
        float(count),
        sense=Sense.AT_MOST,
        unit="sheets",
        why=said,
        source="design-file",
        boards=names,
    )
