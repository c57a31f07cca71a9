"""Lifting and carrying: what each knock-down unit weighs and which opening it passes."""

from collections.abc import Iterator
from dataclasses import dataclass

from kit.board import Board
from kit.casework import Casework
from kit.components.made import Fastening, Means
from kit.finding import Finding, Sense, judge
from kit.geometry import bounds

#: What one person lifts, kg. Common practice (about 23 kg or 51 lb under good conditions), from
#: memory.
ONE_PERSON = 23.0
#: How many units are told one by one.
LISTED = 3
#: Room for hands round what is carried through, mm; from memory.
HANDS = 50.0


@dataclass(frozen=True, slots=True)
class Unit:
    """Boards that stay together when the piece is taken apart.

    `opening` are the two smaller sides of its box, mm: the least opening that it passes
    lengthwise, without room for hands.
    """

    name: str
    boards: tuple[str, ...]
    kg: float
    opening: tuple[float, float]

    @property
    def people(self) -> int:
        """How many are needed to lift it, at `ONE_PERSON` each."""
        return max(1, -int(-self.kg // ONE_PERSON))


def units(casework: Casework) -> tuple[Unit, ...]:
    """The knock-down units, heaviest first: what glue and screws for good hold together."""
    leader = {board.name: board.name for board in casework.boards}

    def find(name: str) -> str:
        while leader[name] != name:
            name = leader[name]
        return name

    for fastening in casework.fastenings:
        if _for_good(fastening, casework):
            for host in fastening.to.split(", "):
                leader[find(fastening.board)] = find(host)
    groups: dict[str, list[Board]] = {}
    for board in casework.boards:
        groups.setdefault(find(board.name), []).append(board)
    base = set(casework.makers.base)
    made = [_unit(boards, base) for boards in groups.values()]
    return tuple(sorted(made, key=lambda unit: -unit.kg))


def _for_good(fastening: Fastening, casework: Casework) -> bool:
    """Whether a fastening stays: all but pins, bolts, screwed-on backs and the base's hold."""
    if fastening.means in (Means.SHELF_PINS, Means.BOLTS, Means.INSERTS):
        return False
    if fastening.means is Means.BACK_SCREWS:
        return fastening.note != "removable"
    below = [
        casework.by_name[name].box.hi[2] <= 0.0
        for name in (fastening.board, fastening.to)
        if name in casework.by_name
    ]
    return len(set(below)) == 1


def _unit(boards: list[Board], base: set[str]) -> Unit:
    names = tuple(board.name for board in boards)
    if "top" in names:
        name = "case"
    elif base.issuperset(names):
        name = "base"
    else:
        name = names[0]
    sides = sorted(bounds([board.box for board in boards]).size)
    return Unit(name, names, sum(board.mass_kg for board in boards), (sides[0], sides[1]))


def check_handling(casework: Casework) -> Iterator[Finding]:
    """Mass of the heaviest unit, and the opening that the bulkiest passes."""
    say, limits = casework.say, casework.design.limits
    all_units = units(casework)
    listed = "; ".join(
        f"{u.name} {u.kg:.1f} kg, through {say(u.opening[0])} x {say(u.opening[1])}"
        for u in all_units[:LISTED]
    )
    rest = [u.kg for u in all_units[LISTED:]]
    if rest:
        listed += f"; {len(rest)} more of at most {max(rest):.1f} kg"
    heavy = all_units[0]
    people = (
        f"{heavy.people} people lift it, {heavy.kg / heavy.people:.0f} kg each and "
        f"{ONE_PERSON:.0f} kg at most"
        if heavy.people > 1
        else f"one person lifts it, {ONE_PERSON:.0f} kg at most"
    )
    yield judge(
        "can be lifted",
        heavy.name,
        heavy.kg,
        limits.people * ONE_PERSON,
        sense=Sense.AT_MOST,
        unit="kg",
        watch=max(0, limits.people - 2) * ONE_PERSON,
        why=f"{heavy.name} weighs {heavy.kg:.1f} kg without gear: {people}. Lift with the doors "
        f"out. The piece comes apart into: {listed}.",
        assumes="mass from the density of the tables; hardware and finish not counted",
        source="common-practice",
        boards=heavy.boards,
    )
    bulky = max(all_units, key=lambda unit: unit.opening[0])
    yield judge(
        "passes a door",
        bulky.name,
        bulky.opening[0] + HANDS,
        limits.doorway,
        sense=Sense.AT_MOST,
        unit="mm",
        watch=50.0,
        why=f"{bulky.name} passes an opening of {say(bulky.opening[0])} x {say(bulky.opening[1])} "
        f"lengthwise, and hands take {say(HANDS)} more. Measure the narrowest door and the turn of "
        "the stair before you glue up.",
        assumes=f"a door {say(limits.doorway)} clear (limits.doorway)",
        binding=limits.binding("doorway"),
        source="memory",
        boards=bulky.boards,
    )
