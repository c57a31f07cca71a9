"""Where devices stand to each other: exhaust on an intake, hot below tender. No physics."""

from collections.abc import Collection, Iterator

from kit.components.contents import Placed
from kit.geometry import Box, Heading

#: An exhaust farther than this from an intake has mixed with the air of the bay, mm. An
#: estimate.
REACH = 300.0


def blows_into(
    exhausts: Collection[Heading], body: Box, intakes: Collection[Heading], other: Box
) -> bool:
    """Whether a device blows its warm air at another's intake.

    `exhausts` and `intakes` are the faces, as the way that each looks out of its body; boxes
    in mm. It does where an exhaust looks at the other body within REACH, the faces overlap, and
    the other draws in on the face that looks back.
    """
    return any(
        _looks_at(face, body, other) and any(_opposite(face, intake) for intake in intakes)
        for face in exhausts
    )


def _looks_at(face: Heading, body: Box, other: Box) -> bool:
    i = face.axis
    gap = other.lo[i] - body.hi[i] if face.sign > 0 else body.lo[i] - other.hi[i]
    across = (
        min(body.hi[k], other.hi[k]) - max(body.lo[k], other.lo[k]) for k in range(3) if k != i
    )
    return -1.0 <= gap <= REACH and min(across) > 0.0


def _opposite(one: Heading, other: Heading) -> bool:
    return one.axis == other.axis and one.sign == -other.sign


def hot_below(gear: Collection[Placed]) -> Iterator[tuple[Placed, Placed]]:
    """Pairs (hot, tender) in one bay: the first gives off more heat, stands lower, and bears
    warmer air than the second."""
    for hot in gear:
        for tender in gear:
            watts, others = hot.kind.typical_w, tender.kind.typical_w
            limit = tender.kind.max_intake_c
            if (
                hot.bay.number == tender.bay.number
                and hot.body.lo[2] < tender.body.lo[2] - 1.0
                and watts is not None
                and limit is not None
                and watts > (others or 0.0)
                and limit < (hot.kind.max_intake_c or limit + 1.0)
            ):
                yield hot, tender
