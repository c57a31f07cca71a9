"""Where devices stand to each other: exhaust on an intake, hot below tender. No physics."""

from collections.abc import Collection, Iterator

from kit.components.contents import Placed
from kit.finding import Finding, Sense, judge
from kit.gear import Face
from kit.geometry import Box, Heading

#: An exhaust farther than this from an intake has mixed with the air of the bay, mm. An
#: estimate.
REACH = 300.0
#: Nearer than this no warm air gets past, mm (3 in). Common practice, no source.
TOO_NEAR = 76.2


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


#: The way that each face of a device looks.
LOOKS = {
    Face.FRONT: Heading.FRONT,
    Face.BACK: Heading.BACK,
    Face.LEFT: Heading.LEFT,
    Face.RIGHT: Heading.RIGHT,
    Face.TOP: Heading.UP,
    Face.BOTTOM: Heading.DOWN,
}


def check_recirculation(gear: Collection[Placed]) -> Iterator[Finding]:
    """A finding for each device that blows its warm air at the intake of another."""
    for hot in gear:
        for tender in gear:
            exhausts = [LOOKS[face] for face in hot.kind.exhaust]
            intakes = [LOOKS[face] for face in tender.kind.intake]
            if (
                hot is tender
                or hot.bay is not tender.bay
                or not blows_into(exhausts, hot.body, intakes, tender.body)
            ):
                continue
            gap = min(
                _gap(f, hot.body, tender.body)
                for f in exhausts
                if _looks_at(f, hot.body, tender.body)
            )
            yield judge(
                "exhaust at an intake",
                f"{hot.item.name} and {tender.item.name}",
                gap,
                TOO_NEAR,
                sense=Sense.AT_LEAST,
                unit="mm",
                watch=REACH,
                why=f"{hot.item.name} blows its warm air at the intake of {tender.item.name}, "
                "which draws it in again; turn one round, or set them apart.",
                source="common-practice",
            )


def _gap(face: Heading, body: Box, other: Box) -> float:
    i = face.axis
    return other.lo[i] - body.hi[i] if face.sign > 0 else body.lo[i] - other.hi[i]


def _looks_at(face: Heading, body: Box, other: Box) -> bool:
    i, gap = face.axis, _gap(face, body, other)
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
                hot.within.number == tender.within.number
                and hot.body.lo[2] < tender.body.lo[2] - 1.0
                and watts is not None
                and limit is not None
                and watts > (others or 0.0)
                and limit < (hot.kind.max_intake_c or limit + 1.0)
            ):
                yield hot, tender
