"""Masses: the volume of each solid by the density of its wood, wherever a mass is told."""

import json
import re
from collections.abc import Iterator, Mapping

from auditing.reading import table
from auditing.writing import Pack
from kit.checks.stability.handling import ONE_PERSON, units
from kit.checks.stability.mass import boards_masses

#: How far a mass may be off: holes that run through walls of channels are counted whole.
SHARE, GRAMS = 0.002, 0.002


def masses(pack: Pack) -> Iterator[str]:
    """Board by board, the whole, the units that are lifted, the cover and the steps."""
    kg = {
        name: wood.volume * 1e-9 * density(pack.casework.by_name[name].stock.key)
        for name, wood in pack.planned.items()
    }
    told = {board.name: board.mass_kg for board in pack.casework.boards}
    listed = dict(zip(told, (mass.kg for mass in boards_masses(pack.casework)), strict=True))
    for name, mass in kg.items():
        for where, other in (("", told[name]), (" as it tips", listed[name])):
            if not _alike(mass, other):
                yield f"mass: {name}{where} is {other:.3f} kg, and its solid {mass:.3f} kg"
    whole = sum(kg.values())
    if not _alike(whole, pack.casework.mass_kg):
        yield f"mass: the boards are {whole:.2f} kg, and {pack.casework.mass_kg:.2f} kg is told"
    apart = units(pack.casework)
    names = [name for unit in apart for name in unit.boards]
    if sorted(names) != sorted(kg):
        yield "mass: the units that are lifted are not all boards, each once"
    for unit in apart:
        if not _alike(unit.kg, sum(kg[name] for name in unit.boards)):
            yield f"mass: {unit.name} is lifted as {unit.kg:.2f} kg"
    lifted = [f for f in pack.report.findings if f.check == "can be lifted"]
    for finding in lifted:
        sum_of = sum(kg[name] for name in finding.boards)
        if finding.measured is None or not _alike(sum_of, finding.measured):
            yield f"mass: {finding.subject} is {finding.measured} kg to lift, not {sum_of:.2f} kg"
        parts = finding.why.partition("The piece comes apart into: ")[2]
        largest = [float(kg) for kg in re.findall(r"([\d.]+) kg, through", parts)]
        if any(abs(a - b.kg) > 0.06 for a, b in zip(largest, apart, strict=False)):
            yield f"mass: it says that it comes apart into {parts}"
    if len(lifted) != 1:
        yield f"mass: {len(lifted)} findings tell whether it can be lifted"
    yield from _carried(" ".join(pack.read("steps.txt").split()), kg)
    if pack.laid_out:
        facts = dict(json.loads(pack.read("cover.json")))
        words = facts["Mass"].split(" kg")[0]
        if abs(float(words) - whole) > 0.51:
            yield f"mass: {words} kg is printed, and the solids are {whole:.2f} kg"


def _carried(steps: str, kg: Mapping[str, float]) -> Iterator[str]:
    """What the steps have carried in: all boards but those that they leave out by name."""
    carried = re.search(r"Carry it in(?: without (.+?))?, and stand it out from the wall", steps)
    if carried is None:
        yield "mass: no step carries it in"
        return
    out = [named.split(" ")[1] for named in (carried[1] or "").split(", ") if named]
    weight = sum(mass for name, mass in kg.items() if name not in out)
    told = re.search(r"What is carried weighs (\d+) kg", steps)
    if told is None and weight > ONE_PERSON + 0.05:
        yield f"mass: what is carried weighs {weight:.2f} kg, and no step says so"
    elif told is not None and abs(float(told[1]) - weight) > 0.51:
        yield f"mass: {told[1]} kg is carried in, and the solids are {weight:.2f} kg"


def density(key: str) -> float:
    """kg/m3 of a sheet, or of the wood that a stock is sawn from."""
    if key in table("sheet_goods"):
        return float(table("sheet_goods")[key]["density_kg_m3"])
    return float(table("woods")[table("lumber")[key]["wood"]]["density_kg_m3"])


def _alike(a: float, b: float) -> bool:
    return abs(a - b) <= max(GRAMS, SHARE * a)
