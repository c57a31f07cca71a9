"""Adds a board to random designs under one name after the other: no finding may change by it.

    python tests/wrong_names.py 2000             judge so many designs
    options: --seed 7

A board that `Casework.having` adds is what its maker made it for, which the kit does not know:
whatever it is called, it is judged by where it is and what holds it. Prints each finding that is
there under one name alone, and at the end how many designs had none.
"""

import argparse
import re
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from itertools import islice
from random import Random

from breaking import random_designs

from kit.board import Board
from kit.casework import Casework, build
from kit.checks import check
from kit.components.made import Fastening, Made, Means
from kit.design_file import from_data
from kit.errors import KitError
from kit.finding import Finding
from kit.geometry import Box, Heading, Place

#: What says nothing of a board, and what might be taken to say much.
PLAIN_NAME = "own-9"
WRONG_NAMES = (
    "back-9", "back-rail", "door-9", "door-stop", "shelf-9", "shelf-1-lipping", "shelf-2-lipping",
    "side-9", "divider-9", "base-9", "base-rail-9", "leg-9", "top-9", "bottom-9", "rail-9",
)  # fmt: skip

type Seen = tuple[object, ...]


def fin(work: Casework, chance: Random) -> Made:
    """An upright board on the bottom."""
    bay = chance.choice(work.bays)
    (x0, y0, z0), (x1, y1, z1) = bay.clear.lo, bay.clear.hi
    x = chance.uniform(x0, x1 - 12.0)
    box = Box(
        (x, y0 + 20.0, z0), (x + 12.0, y0 + chance.uniform(60.0, y1 - y0), chance.uniform(z0, z1))
    )
    return _made(work, box, (Heading.UP, Heading.BACK, Heading.LEFT), ["bottom"], chance)


def plank(work: Casework, chance: Random) -> Made:
    """A level board from upright to upright."""
    bay = chance.choice(work.bays)
    (x0, y0, z0), (x1, y1, z1) = bay.clear.lo, bay.clear.hi
    z = chance.uniform(z0 + 20.0, z1 - 30.0)
    box = Box((x0, y0, z), (x1, chance.uniform((y0 + y1) / 2, y1), z + 12.0))
    hosts = [bay.left.name, bay.right.name]
    return _made(work, box, (Heading.RIGHT, Heading.BACK, Heading.UP), hosts, chance)


def panel(work: Casework, chance: Random) -> Made:
    """A thin board over the rear of a bay."""
    bay = chance.choice(work.bays)
    (x0, _, z0), (x1, _, z1) = bay.clear.lo, bay.clear.hi
    rear = work.design.case.depth + chance.choice((0.0, -6.0, 10.0))
    box = Box((x0, rear, z0), (x1, rear + 6.0, z1 - chance.choice((0.0, 100.0))))
    hosts = ["top", "bottom", bay.left.name, bay.right.name]
    return _made(work, box, (Heading.RIGHT, Heading.UP, Heading.FRONT), hosts, chance)


def front(work: Casework, chance: Random) -> Made:
    """A board before a bay, or in the plane of the doors."""
    bay = chance.choice(work.bays)
    (x0, _, z0), (x1, _, z1) = bay.clear.lo, bay.clear.hi
    y = chance.choice((-12.0, 2.0, 12.0))
    box = Box((x0, y, z0), (x1, y + 12.0, z1))
    return _made(work, box, (Heading.UP, Heading.RIGHT, Heading.FRONT), ["bottom"], chance)


def strip(work: Casework, chance: Random) -> Made:
    """A strip under the top, at the front or behind."""
    (x0, _, _), (x1, _, z1) = work.frame.clear.lo, work.frame.clear.hi
    y = chance.choice((0.0, work.design.case.depth - 18.0))
    box = Box((x0, y, z1 - chance.uniform(20.0, 80.0)), (x1, y + 18.0, z1))
    return _made(work, box, (Heading.RIGHT, Heading.UP, Heading.FRONT), ["top"], chance)


def block(work: Casework, chance: Random) -> Made:
    """A board under the case, down to its floor or short of it."""
    low = work.box.lo[2]
    under = work.frame.bottom.box.lo[2]
    x = chance.uniform(50.0, work.design.case.width - 100.0)
    y = chance.uniform(0.0, work.design.case.depth - 60.0)
    z = chance.choice((min(low, under - 20.0), under - 30.0))
    box = Box((x, y, z), (x + 18.0, y + 60.0, under))
    return _made(work, box, (Heading.UP, Heading.BACK, Heading.LEFT), ["bottom"], chance)


SHAPES: tuple[Callable[[Casework, Random], Made], ...] = (fin, plank, panel, front, strip, block)


def _made(
    work: Casework,
    box: Box,
    ways: tuple[Heading, Heading, Heading],
    hosts: list[str],
    chance: Random,
) -> Made:
    place = Place.of(box, *ways)
    board = Board(
        name=PLAIN_NAME,
        stock=chance.choice(work.boards).stock,
        length=box.size[ways[0].axis],
        width=box.size[ways[1].axis],
        place=place,
    )
    means = chance.choice((None, Means.GLUE, Means.SCREWS, Means.BACK_SCREWS, Means.SHELF_PINS))
    if means is None:
        return Made((board,))
    return Made(
        (board,), (), (Fastening(board=PLAIN_NAME, to=", ".join(hosts), means=means, count=4),)
    )


def renamed(made: Made, name: str) -> Made:
    """The same board under another name."""
    return Made(
        tuple(replace(board, name=name) for board in made.boards),
        made.cuts,
        tuple(replace(fastening, board=name) for fastening in made.fastenings),
    )


def findings_with(work: Casework, made: Made, name: str) -> Counter[Seen] | str:
    """What all checks find with the board under this name, with its name as @; or the refusal."""
    try:
        report = check(work.having(renamed(made, name)))
    except KitError as error:
        return _without(str(error), name)
    return Counter(_seen(finding, name) for finding in report)


def _seen(finding: Finding, name: str) -> Seen:
    """A finding as what is compared: words in any order, as boards may be sorted by name."""
    return (
        finding.check,
        _without(finding.subject, name),
        finding.status.value,
        _rounded(finding.measured),
        _rounded(finding.required),
        tuple(sorted(_without(f"{finding.told} {finding.assumes} {finding.thing}", name).split())),
        tuple(sorted(_without(board, name) for board in finding.boards)),
        None if finding.fix is None else (finding.fix.parameter, finding.fix.value),
    )


def _without(text: str, name: str) -> str:
    return re.sub(rf"(?<![\w-]){re.escape(name)}(?![\w-])", "@", text)


def _rounded(value: float | None) -> float | None:
    return None if value is None else float(f"{value:.9g}")


def differences(work: Casework, made: Made, names: Iterable[str]) -> Iterator[tuple[str, str]]:
    """(name, what it changes) for each name under which the checks say something else."""
    plain = findings_with(work, made, PLAIN_NAME)
    for name in names:
        if name in work.by_name:
            continue
        wrong = findings_with(work, made, name)
        if wrong == plain:
            continue
        if isinstance(plain, str) or isinstance(wrong, str):
            yield name, f"{plain!r:.200} became {wrong!r:.200}"
            continue
        gone, come = plain - wrong, wrong - plain
        rows = [f"- {row[:5]}" for row in gone] + [f"+ {row[:5]}" for row in come]
        yield name, "; ".join(sorted(rows)[:6])


def cases(seed: int) -> Iterator[tuple[Casework, Made, Random]]:
    """Random designs, each with a board to add; without end."""
    chance = Random(seed)
    while True:
        for plain in random_designs(seed):
            try:
                work = build(from_data(plain))
            except KitError:
                continue
            yield work, chance.choice(SHAPES)(work, chance), chance
        seed += 1


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("count", type=int, help="how many designs are judged")
    parser.add_argument("--seed", type=int, default=7, help="which designs")
    said = parser.parse_args(arguments)
    changed = 0
    for number, (work, made, chance) in enumerate(islice(cases(said.seed), said.count), start=1):
        names = chance.sample(WRONG_NAMES, 3)
        found = list(differences(work, made, names))
        changed += bool(found)
        for name, what in found:
            box = made.boards[0].box
            print(f"design {number}: {name} at {box.lo} to {box.hi}: {what}", flush=True)
        if number % 50 == 0 or number == said.count:
            print(f"{number} designs, {changed} of them judged by a name", flush=True)
    return 1 if changed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
