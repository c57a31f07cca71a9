"""Finds a place for devices that are given none.

In the order of their heat and mass each device takes the surface that costs least: where it
fits with the air it asks for; what is hot high up or in a bay without doors, what is heavy
low, what wants a hand at it in a bay without doors. A weighing of common practice, no source:
the checks judge the outcome.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kit.errors import BuildError
from kit.gear import GearKind
from kit.geometry import Box

#: Cost of a place per unit of what is wrong with it: a mm of room missing outweighs the rest.
TOO_SMALL_MM, HOT_W, HEAVY_KG, OUT_OF_REACH = 1000.0, 1.0, 5.0, 60.0
#: Below this a device is neither hot nor heavy.
HOT, HEAVY = 10.0, 5.0


@dataclass(frozen=True, slots=True)
class Surface:
    """A board that things can stand on: its bay, its name, the clear room above it."""

    bay: int
    on: str
    space: Box
    open_front: bool


def arranged(
    kinds: Sequence[GearKind],
    homes: Sequence[tuple[int, str] | None],
    surfaces: Sequence[Surface],
    taken: Mapping[tuple[int, str], float],
) -> tuple[tuple[int, str], ...]:
    """(bay, surface) of each device; those that have a home keep it. Bay 0 is the top.

    `taken` is the width that other things take of a surface, mm.
    Deterministic. Raises BuildError where a device wants a place and there is no surface.
    """
    found = dict(enumerate(homes))
    used = dict(taken)
    for kind, home in zip(kinds, homes, strict=True):
        if home is not None:
            used[home] = used.get(home, 0.0) + _wide(kind)
    waiting = [number for number, home in enumerate(homes) if home is None]
    if waiting and not surfaces:
        raise BuildError("There is no bay to put the gear in; give the case one.")
    for number in sorted(waiting, key=lambda n: (-_weight(kinds[n]), n)):
        kind = kinds[number]
        best = min(
            surfaces,
            key=lambda place: _cost(kind, place, used.get((place.bay, place.on), 0.0), surfaces),
        )
        home = (best.bay, best.on)
        found[number] = home
        used[home] = used.get(home, 0.0) + _wide(kind)
    return tuple(home for home in (found[n] for n in range(len(kinds))) if home is not None)


def _weight(kind: GearKind) -> float:
    return (kind.typical_w or 0.0) + 10 * (kind.mass_kg or 0.0)


def _wide(kind: GearKind) -> float:
    """Width it takes with its free air at both sides, mm."""
    return kind.width_mm + 2 * (kind.clear_side_mm or 0.0)


def _cost(kind: GearKind, place: Surface, taken: float, surfaces: Sequence[Surface]) -> float:
    room = place.space.size
    high = kind.height_mm + max(kind.antenna_up_mm or 0.0, kind.clear_top_mm or 0.0)
    missing = max(0.0, taken + _wide(kind) - room[0]) + max(0.0, high - room[2])
    cost = TOO_SMALL_MM * missing
    levels = sorted({s.space.lo[2] for s in surfaces if s.bay == place.bay})
    height = levels.index(place.space.lo[2])
    if (kind.typical_w or 0.0) > HOT and not place.open_front:
        cost += HOT_W * (kind.typical_w or 0.0) * (len(levels) - height)
    if (kind.mass_kg or 0.0) > HEAVY:
        cost += HEAVY_KG * (kind.mass_kg or 0.0) * height
    if kind.reach and not place.open_front:
        cost += OUT_OF_REACH
    return cost + taken / 1000  # of equal places the emptier one
