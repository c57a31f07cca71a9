"""`kit search`: the best designs of many."""

import argparse
import sys
from contextlib import nullcontext
from pathlib import Path
from shlex import quote

from kit import search
from kit.checks import check
from kit.commands import CANCELLED, FAILS, OK
from kit.commands.telling import load
from kit.draw.trade_offs import trade_offs_svg
from kit.making.table_text import csv_text


def run(options: argparse.Namespace) -> int:
    """Search, print the best, and write them and a table of all into a folder."""
    casework, design_text = load(options.file)
    system = casework.design.shop.units
    wanted = search.Request(
        free=tuple(search.Free.read(words, system) for words in options.free),
        goals=tuple(search.Goal.read(words) for words in options.goal),
        limits=tuple(search.Limit.read(words) for words in options.limit),
        seed=options.seed,
        most=search.USUAL_MOST if options.most is None else options.most,
        depth=search.Depth.ALL if options.all else search.Depth.FRONT,
    )
    workers = search.processors() if options.workers is None else options.workers
    folder, begins = Path(options.out), Path(options.file)
    answers = folder / search.ANSWERS
    search.refuse_what_is_in_the_way(folder, begins)
    for words in search.past_cure(check(casework), wanted):
        print(f"kit: {words}", file=sys.stderr)
    print(f"kit: a grid of {wanted.size} candidates ...", file=sys.stderr)

    def progress(now: search.Progress) -> None:
        if now.done % 20 == 0 or now.done in (1, now.of):
            print(f"kit: {now} ...", file=sys.stderr)

    try:
        with search.on_cluster(options.cluster) if options.cluster else nullcontext():
            found = search.search(
                design_text,
                wanted,
                workers=None if options.cluster else workers,
                answers=answers,
                progress=progress,
            )
    except KeyboardInterrupt:
        if not answers.exists():
            raise
        words = f"kit: stopped; {answers} keeps what was judged, and the same command goes on."
        print(words, file=sys.stderr)
        return CANCELLED
    names = {row.number: search.design_name(row.number, len(found.front)) for row in found.front}
    rows = zip(found.rows, found.table(found.rows), strict=True)
    table = [{"file": names.get(row.number, ""), **cells} for row, cells in rows]
    files = {names[row.number]: found.design_text(row) for row in found.front}
    files |= {search.TABLE: csv_text(table), search.PICTURE: trade_offs_svg(found)}
    search.write_found(folder, begins, files)
    print(search.to_text(table[: len(names)]) or f"{found.in_the_way}\n", end="")
    print(found.tally)
    if not names and check(casework).failed:
        print(f"The design that it begins with fails as it is: kit fix {quote(options.file)}")
    print(f"Wrote {', '.join(files)} to {folder}")
    if besides := search.not_of_this_search(folder, files):
        print(f"There besides, not of this search: {', '.join(besides)}")
    return OK if names else FAILS
