"""The controls of the desk, grouped as a maker thinks: size, bays, doors, shelves and so on."""

from kit.notebook.design_desk.bench import Bench
from kit.notebook.design_desk.groups.around import room, shop
from kit.notebook.design_desk.groups.case import bays, shelves, size
from kit.notebook.design_desk.groups.fronts import back, base, doors
from kit.notebook.design_desk.groups.inside import cables, fans, gear
from kit.notebook.design_desk.parts import Group


def groups(bench: Bench) -> tuple[Group, ...]:
    """All groups of the desk, in the order in which a maker decides."""
    made = (size, bays, doors, shelves, back, base, gear, cables, fans, room, shop)
    return tuple(make(bench) for make in made)
