"""Judges many random designs, odd ones among them: each gives findings or one clear sentence.

    python tests/random_designs.py 10000                 read, build and check each
    python tests/random_designs.py 200 --to solids       and make every board solid
    python tests/random_designs.py 50 --to lists         and everything that the shop reads
    options: --seed 7   --seconds 60 (the most for one)   --keep FOLDER (what went wrong)

Half of the designs are those of `strategies`, which a maker could build; the others have one to
six odd things done to them. Each is judged in a child process that is killed when it takes too
long or too much memory, so that neither a hang nor a crash of a compiled library stops the run.
"""

import argparse
import copy
import multiprocessing
import resource
import signal
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from random import Random
from typing import Any

import tomlkit
from breaking import random_designs

from kit.casework import build
from kit.checks import check
from kit.design_file import parse
from kit.errors import KitError

type Plain = dict[str, Any]

#: The most memory that one judge may take, bytes.
MEMORY = 6_000_000_000
#: Longest sentence of an error that is still clear, characters; a list of boards may be long.
SENTENCE = 700

LENGTHS = (
    "0 mm",
    "1 mm",
    "0.001 mm",
    "1/64 in",
    "3/4 in",
    "19 mm",
    "250 mm",
    "3 m",
    "100 m",
    "-5 mm",
    "99999.999 mm",
    "0.00000000001 mm",
    "1e3 mm",
    "101 m",
    "12 ft",
    "5' 3-1/2\"",
)
WORDS = (
    "",
    " ",
    "=1+1",
    "../../x",
    "a/b",
    "<b>&amp;\"'",
    "é ü 漢字 🪑",
    "x" * 80,
    "x" * 400,
    "#strong",
    "\\input{x}",
    "nan",
    "top",
    "bottom",
    "shelf-1",
    "screen",
    "outlet",
    "\u202egnp",
    "a\nb",
    "a\x00b",
    "]]>",
    "%s {0} ${x}",
    "walnut-ply-3/4",
    "birch-ply-4",
)
NUMBERS = (0, 1, 2, 3, -1, 7, 999, 10**30, 0.5, -0.0, 1e-300, 1e300, float("nan"), float("inf"))


def odd(base: Plain, other: Plain, chance: Random) -> Plain:
    """A design with some odd things done to it; `other` lends it tables and rows."""
    plain = copy.deepcopy(base)
    for _ in range(chance.randint(1, 6)):
        chance.choice((_leaf, _leaf, _leaf, _gone, _again, _lent, _doubled, _wild))(
            plain, other, chance
        )
    return plain


def _places(value: Any) -> Iterator[tuple[Any, Any]]:
    """Every (container, key) below a value."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value)
    for key, inner in list(pairs):
        yield value, key
        if isinstance(inner, dict | list):
            yield from _places(inner)


def _place(plain: Plain, chance: Random) -> tuple[Any, Any]:
    return chance.choice(list(_places(plain)))


def _leaf(plain: Plain, other: Plain, chance: Random) -> None:
    """Another value of the kind that was there."""
    leaves = [(c, k) for c, k in _places(plain) if not isinstance(c[k], dict | list)]
    holder, key = chance.choice(leaves)
    value = holder[key]
    if isinstance(value, bool):
        holder[key] = not value
    elif isinstance(value, int | float):
        holder[key] = chance.choice(NUMBERS)
    elif value[:1].isdigit():
        holder[key] = chance.choice((*LENGTHS, f"{chance.uniform(0, 2000):.2f} mm"))
    else:
        holder[key] = chance.choice(WORDS)


def _wild(plain: Plain, other: Plain, chance: Random) -> None:
    """A value of any kind, anywhere."""
    holder, key = _place(plain, chance)
    holder[key] = chance.choice((*LENGTHS, *WORDS, *NUMBERS, [], {}, [[]], True, {"a": {"b": []}}))


def _gone(plain: Plain, other: Plain, chance: Random) -> None:
    holder, key = _place(plain, chance)
    del holder[key]


def _again(plain: Plain, other: Plain, chance: Random) -> None:
    """Rows of a list once more, as they are."""
    lists = [c[k] for c, k in _places(plain) if isinstance(c[k], list) and c[k]]
    if lists:
        rows = chance.choice(lists)
        rows.extend(copy.deepcopy(rows[: chance.randint(1, 3)]))


def _doubled(plain: Plain, other: Plain, chance: Random) -> None:
    """One row many times."""
    lists = [c[k] for c, k in _places(plain) if isinstance(c[k], list) and c[k]]
    if lists:
        rows = chance.choice(lists)
        row = chance.choice(rows)
        rows.extend(copy.deepcopy(row) for _ in range(chance.choice((10, 30, 120))))


def _lent(plain: Plain, other: Plain, chance: Random) -> None:
    """A table of another design in the place of its own."""
    key = chance.choice(list(other))
    plain[key] = copy.deepcopy(other[key])


def texts(count: int, seed: int) -> Iterator[str]:
    """That many design files, the same every time."""
    chance = Random(seed)
    lot, drawn = list(random_designs(seed)), 1
    for number in range(count):
        if number and number % (2 * len(lot)) == 0:
            lot, drawn = list(random_designs(seed + drawn)), drawn + 1
        base = lot[number // 2 % len(lot)]
        plain = base if number % 2 == 0 else odd(base, chance.choice(lot), chance)
        yield _text(plain)


def _text(plain: Plain) -> str:
    while True:
        try:
            return tomlkit.dumps(plain)
        except Exception:  # a list of numbers and tables, say: what TOML cannot hold is not tried
            plain = {k: v for k, v in plain.items() if _can_be_written(k, v)}


def _can_be_written(key: str, value: Any) -> bool:
    try:
        tomlkit.dumps({key: value})
    except Exception:
        return False
    return True


# --- judging --------------------------------------------------------------------------


@dataclass(frozen=True)
class Told:
    """What became of one design: `outcome` is a word, `more` what there is to say."""

    outcome: str
    more: str = ""

    @property
    def wrong(self) -> bool:
        return self.outcome not in ("findings", "refused")


def judge(text: str, to: str = "check") -> Told:
    """Read, build, check, and what else is asked for."""
    try:
        casework = build(parse(text))
        findings = list(check(casework))
        for finding in findings:
            assert finding.why.strip(), finding
        STEPS[to](casework)
        return Told("findings", str(len(findings)))
    except KitError as error:
        return Told(*_clear(str(error)))
    except BaseException:
        return Told("traceback", traceback.format_exc())


def _clear(message: str) -> tuple[str, str]:
    lines = message.split("\n")
    if not message.strip() or len(lines) > 6:
        return "unclear", message
    if any(len(line) > SENTENCE for line in lines) or "Traceback" in message:
        return "unclear", message
    if any(ord(c) < 32 or ord(c) == 127 for line in lines for c in line):
        return "unclear", repr(message)
    return "refused", message


def _solids(casework: Any) -> None:
    from kit.solid import solid

    for board in casework.boards:
        assert solid(board).Volume() > 0


def _lists(casework: Any) -> None:
    from kit.draw.dxf import dxf_files
    from kit.draw.pictorial import pictorial_svg
    from kit.making import as_built, buy_list, cut_list, set_ups, steps
    from kit.making.labels import labels
    from kit.making.sheets import sheet_plan

    units = casework.design.shop.units
    plan = sheet_plan(casework)
    cut_list.to_csv(cut_list.cut_list(casework, plan.sheet_names), units)
    as_built.to_csv(casework, units)
    set_ups.to_csv(set_ups.set_up_sheet(casework), units)
    buy_list.to_csv(buy_list.buy_list(casework, sheets=plan.bought), units)
    steps.to_text(steps.steps(casework, units), casework.design.name)
    labels(casework, plan, units)
    pictorial_svg(casework)
    list(dxf_files(casework))


STEPS: dict[str, Callable[[Any], None]] = {
    "check": lambda casework: None,
    "solids": _solids,
    "lists": _lists,
}


def judge_all(
    designs: list[str], *, to: str = "check", workers: int = 2, seconds: int = 60
) -> Iterator[tuple[int, Told]]:
    """Judge each in a child process: (number, what became of it), as they are done."""
    context = multiprocessing.get_context("spawn")
    waiting = list(range(len(designs)))[::-1]
    running: dict[int, tuple[Any, Connection, list[int]]] = {}
    while waiting or running:
        while waiting and len(running) < workers:
            lot = [waiting.pop() for _ in range(min(100, len(waiting)))]
            ours, theirs = context.Pipe()
            rows = [designs[number] for number in lot]
            child = context.Process(target=_child, args=(theirs, rows, to, seconds), daemon=True)
            child.start()
            theirs.close()
            running[child.pid] = (child, ours, lot)
        ready = multiprocessing.connection.wait([ours for _, ours, _ in running.values()])
        for pid, (child, ours, lot) in list(running.items()):
            if ours not in ready:
                continue
            try:
                told = ours.recv()
            except EOFError:  # it is done, or it died of the design that it had
                child.join()
                if lot:
                    yield lot.pop(0), _died(child.exitcode, seconds)
                waiting.extend(reversed(lot))
                del running[pid]
            else:
                yield lot.pop(0), told


def _child(ours: Connection, designs: list[str], to: str, seconds: int) -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    judge("", "check")  # imports are no time of the first design
    for text in designs:
        signal.alarm(seconds)  # its default ends the process, whatever library it hangs in
        told = judge(text, to)
        signal.alarm(0)
        ours.send(told)
    ours.close()


def _died(code: int | None, seconds: int) -> Told:
    if code == -signal.SIGALRM:
        return Told("hang", f"more than {seconds} s")
    return Told("crash", f"the process ended with {code}")


def main() -> int:
    """Judge, and print a line of counts; what is wrong is told, and kept where asked for."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("count", type=int)
    options.add_argument("--to", choices=list(STEPS), default="check")
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--seconds", type=int, default=60)
    options.add_argument("--workers", type=int, default=2)
    options.add_argument("--keep", type=Path)
    asked = options.parse_args()
    begin = time.monotonic()
    designs = list(texts(asked.count, asked.seed))
    counts: Counter[str] = Counter()
    told_of: Counter[str] = Counter()
    for number, told in judge_all(
        designs, to=asked.to, workers=asked.workers, seconds=asked.seconds
    ):
        counts[told.outcome] += 1
        if told.wrong:
            last = told.more.strip().splitlines()[-1][:200]
            told_of[f"{told.outcome}: {last}"] += 1
            if asked.keep:
                asked.keep.mkdir(parents=True, exist_ok=True)
                (asked.keep / f"{number}.toml").write_text(designs[number])
                (asked.keep / f"{number}.txt").write_text(f"{told.outcome}\n{told.more}\n")
        if sum(counts.values()) % 500 == 0:
            print(f"{sum(counts.values())} of {asked.count}: {dict(counts)}", flush=True)
    for words, times in told_of.most_common():
        print(f"{times:6} x {words}")
    took = time.monotonic() - begin
    print(
        f"{asked.count} random designs to {asked.to}, seed {asked.seed}: "
        + ", ".join(f"{count} {outcome}" for outcome, count in sorted(counts.items()))
        + f"; {took:.0f} s"
    )
    return int(any(Told(outcome).wrong for outcome in counts))


if __name__ == "__main__":
    sys.exit(main())
