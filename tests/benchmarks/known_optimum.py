"""Layout jobs with a known optimum, made by cutting sheets up at random, and how we do on them.

A job of k sheets is cut by random edge-to-edge cuts (kerf 3.2 mm, no side under 80 mm) into 8 to
60 boards; then one to three boards of each sheet give up a strip, so that a fixed share of each
sheet is offcut. The boards fill more than k - 1 sheets, so k is the optimum. Boards are
shuffled; in a third of the jobs all are grain-locked, in a third half of them, in a third none.

    python tests/benchmarks/known_optimum.py final 0.05 200     shares of 200 jobs, 5 % offcut
    python tests/benchmarks/known_optimum.py rectpack 0.05 50   side by side with rectpack
    python tests/benchmarks/known_optimum.py design-live 0.05 200   as boards of a maker's own

The last goes in by the product's own door: a design whose maker added the boards, and which has
no row of sheets (`design-final` as the plan pack looks). `table 200` prints live and final, each
of them both ways, for 5 and 10 % offcut; final takes hours.
"""

from __future__ import annotations

import random
import sys
import time
from dataclasses import dataclass, replace

from kit.board import Board
from kit.casework import Casework, build
from kit.components.made import Made
from kit.design_file import parse
from kit.geometry import Box, Heading, Place
from kit.making.nesting.guillotine import final_layout, live_layout
from kit.making.nesting.layout import Piece, Sheet
from kit.making.sheets import Effort, sheet_plan
from kit.materials import SheetSize

KERF_MM = 3.2
LEAST_SIDE_MM = 80.0
SHEET_SIZES_MM = ((2440.0, 1220.0), (1525.0, 1525.0), (3050.0, 1525.0))


@dataclass(frozen=True)
class KnownJob:
    pieces: tuple[Piece, ...]
    sheet: Sheet
    optimum: int


def known_job(seed: int, offcut_share: float, boards: int | None = None) -> KnownJob:
    rng = random.Random(f"{seed}-{offcut_share}")
    count = boards or rng.randint(8, 60)
    sheets = max(1, round(count / rng.uniform(7, 14)))
    length, width = rng.choice(SHEET_SIZES_MM)
    sizes: list[tuple[float, float]] = []
    for index in range(sheets):
        share = count // sheets + (index < count % sheets)
        sizes += _cut_up(rng, length, width, share, offcut_share)
    rng.shuffle(sizes)
    locked = rng.choice((0.0, 0.5, 1.0))
    pieces = tuple(
        Piece(f"board-{i}", board_length, board_width, rng.random() < locked)
        for i, (board_length, board_width) in enumerate(sizes)
    )
    return KnownJob(pieces, Sheet("sheet", length, width), sheets)


def _cut_up(
    rng: random.Random, length: float, width: float, count: int, offcut_share: float
) -> list[tuple[float, float]]:
    parts = [(length, width)]
    while len(parts) < count:
        open_parts = [p for p in parts if max(p) >= 2 * LEAST_SIDE_MM + KERF_MM]
        part = rng.choices(open_parts, [a * b for a, b in open_parts])[0]
        crosscut = rng.random() < part[0] / sum(part)
        if part[0 if crosscut else 1] < 2 * LEAST_SIDE_MM + KERF_MM:
            crosscut = not crosscut
        side = part[0 if crosscut else 1]
        first = round(rng.uniform(LEAST_SIDE_MM, side - KERF_MM - LEAST_SIDE_MM), 1)
        second = round(side - KERF_MM - first, 2)
        parts.remove(part)
        if crosscut:
            parts += [(first, part[1]), (second, part[1])]
        else:
            parts += [(part[0], first), (part[0], second)]
    strips = rng.choice((1, 1, 2, 3))
    for _ in range(strips):
        waste = offcut_share * length * width / strips
        roomy = [p for p in parts if p[0] * p[1] > 1.3 * waste] or [max(parts)]
        part = rng.choice(roomy)
        parts.remove(part)
        if rng.random() < part[0] / sum(part):
            parts.append((_less(part[0], waste / part[1]), part[1]))
        else:
            parts.append((part[0], _less(part[1], waste / part[0])))
    return parts


def _less(side: float, strip: float) -> float:
    rest = side - strip - KERF_MM
    return round(rest if rest > 20 else max(20.0, side - strip), 2)


#: A box whose maker adds boards of another stock; the panel saw takes the kerf of the jobs.
BOX = """
name = "A box, and boards of the maker's own"
[shop]
units = "mm"
saw = "panel-saw"
edge_trim = "0 mm"
[case]
width = "600 mm"
height = "400 mm"
depth = "300 mm"
stock = "birch-ply-18"
"""
OWN_STOCK = "a maker's own"


def as_design(job: KnownJob) -> Casework:
    """The job as boards that a maker adds to a box, in a stock sold in sheets of its size."""
    box = build(parse(BOX))
    assert box.design.shop.sheet_saw.kerf_mm == KERF_MM
    size = SheetSize(
        key="own",
        label="own",
        width_mm=job.sheet.width_mm,
        length_mm=job.sheet.length_mm,
        minus_mm=0.0,
        plus_mm=0.0,
        source=box.stocks[0].sheet_sizes[0].source,
    )
    stock = replace(box.stocks[0], key=OWN_STOCK, label=OWN_STOCK, sheet_sizes=(size,))
    place = Place.of(
        Box((0.0, 0.0, 500.0), (1.0, 1.0, 501.0)), Heading.RIGHT, Heading.BACK, Heading.UP
    )
    boards = tuple(
        Board(
            name=piece.name,
            stock=stock,
            length=piece.length_mm,
            width=piece.width_mm,
            place=place,
            turnable=not piece.grain_locked,
        )
        for piece in job.pieces
    )
    return box.having(Made(boards))


def design_sheets(job: KnownJob, effort: Effort) -> int:
    """Sheets of the job as the product lays it out."""
    plan = sheet_plan(as_design(job), effort)
    (one,) = (one for one in plan.sheets if one.stock.key == OWN_STOCK)
    assert {part.piece for part in one.parts} == set(job.pieces)
    return one.layout.full_sheets


def rectpack_sheets(job: KnownJob) -> int:
    """Fewest sheets of all guillotine algorithms of rectpack, kerf added to boards and sheet.

    Boards turn only when none is grain-locked: rectpack can lock all or none.
    """
    import rectpack

    algorithms = [
        getattr(rectpack, name) for name in dir(rectpack) if name.startswith("Guillotine")
    ]
    turn = not any(piece.grain_locked for piece in job.pieces)
    scale, best = 100, len(job.pieces)
    for algorithm in algorithms:
        for sort in (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE):
            packer = rectpack.newPacker(
                mode=rectpack.PackingMode.Offline,
                bin_algo=rectpack.PackingBin.Global,
                pack_algo=algorithm,
                sort_algo=sort,
                rotation=turn,
            )
            for piece in job.pieces:
                packer.add_rect(
                    round((piece.length_mm + KERF_MM) * scale),
                    round((piece.width_mm + KERF_MM) * scale),
                )
            packer.add_bin(
                round((job.sheet.length_mm + KERF_MM) * scale),
                round((job.sheet.width_mm + KERF_MM) * scale),
                count=best,
            )
            packer.pack()
            if sum(len(bin_) for bin_ in packer) == len(job.pieces):
                best = min(best, len(packer))
    return best


def main(kind: str, offcut_share: float, count: int, first: int = 0) -> None:
    over, seconds, ours, theirs, least = [], [], 0, 0, 0
    for seed in range(first, first + count):
        job = known_job(seed, offcut_share)
        start = time.perf_counter()
        if kind.startswith("design-"):
            sheets = design_sheets(job, Effort(kind.removeprefix("design-")))
        else:
            solve = final_layout if kind == "final" else live_layout
            sheets = solve(job.pieces, [job.sheet], KERF_MM).full_sheets
        seconds.append(time.perf_counter() - start)
        over.append(sheets - job.optimum)
        ours, least = ours + sheets, least + job.optimum
        if kind == "rectpack":
            theirs += rectpack_sheets(job)
    seconds.sort()
    print(
        f"{kind}, {offcut_share:.0%} offcut, {count} jobs: optimal {over.count(0) / count:.1%}, "
        f"worst {max(over)} over; sheets {ours} (optimum {least}"
        + (f", rectpack {theirs}" if theirs else "")
        + f"); s: median {seconds[count // 2]:.3f}, worst {seconds[-1]:.2f}"
    )


def table(count: int) -> None:
    for kind in ("live", "design-live", "final", "design-final"):
        for offcut_share in (0.05, 0.10):
            main(kind, offcut_share, count)


if __name__ == "__main__":
    if sys.argv[1] == "table":
        table(int(sys.argv[2]))
    else:
        main(sys.argv[1], float(sys.argv[2]), int(sys.argv[3]), *map(int, sys.argv[4:5]))
