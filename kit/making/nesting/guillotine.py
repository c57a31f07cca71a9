"""Sheet layouts: boards onto the fewest, cheapest sheets, all cuts edge to edge.

`live_layout` answers in a fraction of a second, `final_layout` looks harder within a budget.
What is better, in this order: a lower price of the sheets to be bought (their area, where a
price is not known), offcuts on hand before full sheets, the largest single offcut left.
Every layout has passed `kit.making.nesting.verify` before it is returned.
"""

from __future__ import annotations

import math
import time
from collections import Counter
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

from kit.errors import BuildError, CancelledError
from kit.making.nesting.effort import EffortFor, final_effort, live_effort
from kit.making.nesting.fewest import fewest
from kit.making.nesting.first_fit import first_fit
from kit.making.nesting.jobs import Job, Packing, Rung
from kit.making.nesting.layout import Layout, Piece, Sheet
from kit.making.nesting.leftover import tidied
from kit.making.nesting.matched import keeps_sets, matched_sets, pack_matched
from kit.making.nesting.packing import pack
from kit.making.nesting.packing_pool import PackingPool
from kit.making.nesting.search import Progress, Runner
from kit.making.nesting.sheet_jobs import least_cost, sheet_job, sheet_layouts
from kit.making.nesting.verify import layout_problems
from kit.units import MM_PER_INCH

USEFUL_MM = 150.0
"""An offcut is kept when both its sides are at least this long (common practice, no source)."""
WORKERS = 2
LIVE_LIMIT_S = 5.0
"""Only a guard: the live answer's work is bounded, and takes a fraction of this."""
PATIENT_LIMIT_S = 600.0
"""The same where nobody waits for one layout, and each has to be the same on a busy machine."""


@dataclass(frozen=True, slots=True)
class GrainCost:
    """Full sheets needed with the grain locks as they are, and with every board free to turn."""

    locked_sheets: int
    free_sheets: int

    def __str__(self) -> str:
        return f"+{self.extra_sheets} sheet" + ("" if self.extra_sheets == 1 else "s")

    @property
    def extra_sheets(self) -> int:
        """What the grain locks cost, in sheets."""
        return self.locked_sheets - self.free_sheets


def live_layout(
    pieces: Sequence[Piece],
    sheets: Sequence[Sheet],
    kerf_mm: float,
    useful_mm: float = USEFUL_MM,
    threads: int = WORKERS,
    limit_s: float = LIVE_LIMIT_S,
) -> Layout:
    """Return a good layout in a fraction of a second; the same input gives the same layout.

    `threads` share the work and change nothing in the answer. On a machine so busy that it takes
    longer than `limit_s`, the answer may be a worse one. Raises `BuildError` when a board fits no
    sheet, the sheets do not suffice, or names repeat.
    """
    stock = _stock(pieces, sheets, kerf_mm)
    with ThreadPoolExecutor(threads) as pool:
        deadline = time.monotonic() + limit_s

        def run(runs: Sequence[tuple[Job, Rung]]) -> list[Packing | None]:
            limit_s = max(0.01, deadline - time.monotonic())
            # The solver lets go of the interpreter while it works: threads share its load.
            return list(pool.map(lambda one: pack(one[0], one[1], limit_s), runs))

        packing = _solve(pieces, stock, kerf_mm, live_effort, run, deadline, useful_mm)
    return _layout(packing, pieces, stock, kerf_mm, useful_mm)


def least_sheets(pieces: Sequence[Piece], sheets: Sequence[Sheet], kerf_mm: float) -> int:
    """Return a number of full sheets that no layout can do without, in next to no time.

    By area, by boards so large that no two of them share a sheet, and by what can lie beside each
    other. Raises `BuildError` when a board fits no sheet, or there are fewer sheets than that.
    """
    stock = _stock(pieces, sheets, kerf_mm)
    if not pieces:
        return 0
    _, least = least_cost(sheet_job(pieces, stock, kerf_mm), stock)
    counts = [sheet.count for sheet in stock if not sheet.is_offcut]
    there = sum(count for count in counts if count is not None)
    if None not in counts and least > there:
        raise BuildError(
            f"The sheets on hand do not hold all boards: at least {least} are needed, and there "
            f"are {there}; add sheets, or one that can be bought."
        )
    return least


def final_layout(
    pieces: Sequence[Piece],
    sheets: Sequence[Sheet],
    kerf_mm: float,
    useful_mm: float = USEFUL_MM,
    budget_s: float = 10.0,
    progress: Callable[[Progress], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Layout:
    """Return the best layout found within the budget, never worse than the live one.

    The work is fixed by the boards, so the same input gives the same layout unless the budget
    cuts the work short. `cancelled` is asked many times a second; when it says yes, or on
    Ctrl-C, all work stops at once (`CancelledError`, `KeyboardInterrupt`).
    Raises `BuildError` as `live_layout` does.
    """
    deadline = time.monotonic() + 0.95 * budget_s  # the rest is for cut trees and the proof
    if cancelled is not None and cancelled():
        raise CancelledError("The sheet layout was stopped; nothing was changed.")
    live = live_layout(pieces, sheets, kerf_mm, useful_mm)
    if _is_unbeatable(live, sheets):
        return live
    stock = _stock(pieces, sheets, kerf_mm)
    with PackingPool(WORKERS, deadline, cancelled) as pool:
        packing = _solve(pieces, stock, kerf_mm, final_effort, pool, deadline, useful_mm, progress)
    final = _layout(packing, pieces, stock, kerf_mm, useful_mm)
    return replace(min((final, live), key=layout_rank), cut_short=pool.lost)


def layout_rank(layout: Layout) -> tuple[float, float, float, float]:
    """Return a sort key: the better layout has the smaller one."""
    full = [s.sheet for s in layout.sheets if not s.sheet.is_offcut]
    price = layout.total_price
    area = sum(sheet.length_mm * sheet.width_mm for sheet in full)
    return area if price is None else price, len(full), area, -layout.largest_offcut_mm2


def grain_cost(pieces: Sequence[Piece], sheets: Sequence[Sheet], kerf_mm: float) -> GrainCost:
    """Return what locking the grain costs in full sheets, by the live layout.

    Raises `BuildError` as `live_layout` does.
    """
    locked = live_layout(pieces, sheets, kerf_mm).full_sheets
    free_pieces = [replace(piece, grain_locked=False) for piece in pieces]
    free = live_layout(free_pieces, sheets, kerf_mm).full_sheets
    return GrainCost(locked, min(free, locked))  # a layout with locks is one without, too


def _is_unbeatable(layout: Layout, sheets: Sequence[Sheet]) -> bool:
    full = {sheet for sheet in sheets if not sheet.is_offcut}
    return layout.is_least and len(full) <= 1


def _solve(
    pieces: Sequence[Piece],
    stock: Sequence[Sheet],
    kerf_mm: float,
    effort_for: EffortFor,
    run: Runner,
    deadline: float,
    useful_mm: float,
    progress: Callable[[Progress], None] | None = None,
) -> Packing:
    if not pieces:
        return ()
    job = sheet_job(pieces, stock, kerf_mm)
    floor, _ = least_cost(job, stock)
    sets = matched_sets(pieces)
    half_way = (time.monotonic() + deadline) / 2 if sets else deadline
    best = fewest(job, floor, effort_for, run, half_way, progress)
    if sets and not (best and keeps_sets(best, pieces)):

        def solve_rest(rest: Job) -> Packing | None:
            return fewest(rest, 0.0, effort_for, run, deadline, progress)

        rungs = [rung for batch in effort_for(job).ladder for rung in batch]
        best = pack_matched(job, pieces, stock, kerf_mm, rungs, run, solve_rest)
    if best is None:
        raise _not_enough(pieces, stock, kerf_mm)
    if time.monotonic() > deadline:
        return best

    def largest_offcut(packing: Packing) -> float:
        laid = sheet_layouts(packing, pieces, stock, kerf_mm, useful_mm)
        areas = [o.rect.area_mm2 for s in laid or () for o in s.offcuts]
        return max(areas, default=0.0)

    return tidied(job, best, run, largest_offcut)


def _layout(
    packing: Packing,
    pieces: Sequence[Piece],
    stock: Sequence[Sheet],
    kerf_mm: float,
    useful_mm: float,
) -> Layout:
    """Return the verified layout of a packing, or of our own packing when it is refused."""
    job = sheet_job(pieces, stock, kerf_mm)
    least = least_cost(job, stock)[1] if pieces else 0
    for candidate in (packing, first_fit(job) or ()):
        sheets = sheet_layouts(candidate, pieces, stock, kerf_mm, useful_mm)
        if sheets is None:
            continue
        layout = Layout(sheets, kerf_mm, least)
        if not layout_problems(layout, pieces, stock, kerf_mm):
            return layout
    raise _not_enough(pieces, stock, kerf_mm)


def _stock(pieces: Sequence[Piece], sheets: Sequence[Sheet], kerf_mm: float) -> list[Sheet]:
    """Return the sheets there are, or raise for whatever makes every layout impossible."""
    if not (math.isfinite(kerf_mm) and kerf_mm >= 0):
        raise BuildError(f"Saw kerf is {kerf_mm} mm; give the width of the cut, 0 mm or more.")
    twice = [name for name, count in Counter(p.name for p in pieces).items() if count > 1]
    if twice:
        raise BuildError(f"Board '{twice[0]}' is listed more than once; give each its own name.")
    stock = [sheet for sheet in sheets if sheet.count != 0]
    if not stock:
        raise BuildError("No sheets to cut from: count is 0 for all; add a sheet to the shop.")
    for piece in pieces:
        if not any(piece.fits(sheet.usable) for sheet in stock):
            raise _too_large(piece, stock)
    return stock


def _too_large(piece: Piece, stock: Sequence[Sheet]) -> BuildError:
    largest = max(stock, key=lambda sheet: sheet.usable.area_mm2)
    usable = largest.usable
    turned = replace(piece, grain_locked=False)
    ways = ["use a larger sheet ([[sheet]] with its length and width)"]
    if piece.grain_locked and any(turned.fits(sheet.usable) for sheet in stock):
        ways.append("free its grain so that it can be turned")
    ways.append("make the piece smaller")
    return BuildError(
        f"Board '{piece.name}', {_size(piece.length_mm, piece.width_mm)}, fits no sheet: "
        f"the largest usable is {_size(usable.length_mm, usable.width_mm)} ('{largest.name}')"
        f"{', grain locked along its length' if piece.grain_locked else ''}; "
        f"{', or '.join(ways)}."
    )


def _not_enough(pieces: Sequence[Piece], stock: Sequence[Sheet], kerf_mm: float) -> BuildError:
    """Say which boards are left over, by laying out the rest on sheets that are not there."""
    more = [replace(sheet, name=f"{sheet.name} ", count=None) for sheet in stock]
    job = sheet_job(pieces, [*stock, *more], kerf_mm)
    dear = tuple(
        bin_ if i < len(stock) else replace(bin_, cost=1e6 * (1 + bin_.cost))
        for i, bin_ in enumerate(job.bins)
    )
    packing = first_fit(Job(dear, job.items)) or ()
    left = [pieces[s.item].name for kind, spots in packing if kind >= len(stock) for s in spots]
    names = ", ".join(f"'{name}'" for name in sorted(left)[:6]) + (" ..." if len(left) > 6 else "")
    count = len(left) or len(pieces)
    return BuildError(
        f"The sheets on hand do not hold all boards: {count} of {len(pieces)} left over"
        f"{': ' + names if left else ''}; add sheets, or one that can be bought."
    )


def _size(length_mm: float, width_mm: float) -> str:
    inches = " x ".join(f"{mm / MM_PER_INCH:.2f}" for mm in (length_mm, width_mm))
    return f"{length_mm:.1f} x {width_mm:.1f} mm ({inches} in)"
