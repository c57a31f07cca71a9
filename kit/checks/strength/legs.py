"""Do the legs sway? A leg frame under the push that the case is judged by.

Each of n legs takes its share of the push at the floor and is held by the rails that end on it:

    d = (P / n) (L³ / 3 E I + L² / K + L² l / 6 E' I')

with L from the floor to the middle of the rails, I of the leg, l and I' of the rail, and K of the
joint of rail and leg, two fastenings a share of the rail's height from its edges:
K = 2 s (0.3 h)², s the slip of one. Range: legs upright and hinged on the floor, rails held by
the case. Source: textbook, a portal with sprung corners; slip from memory.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from kit.board import Board
from kit.casework import Casework
from kit.checks.strength.joints import joint_stiffnesses, joints_of
from kit.checks.strength.layup import board_modulus
from kit.checks.strength.racking import LEAN, PUSH_N, RAIL_SLIP
from kit.finding import Finding, Sense, judge

#: Distance of a board to the floor or to the case that is none, mm.
SAME = 1.0
#: Two fastenings so far from the middle of a rail, as a share of its height.
SPREAD = 0.3


@dataclass(frozen=True, slots=True)
class LegFrame:
    """The sway of a leg frame, typical and with the least stiffness of its joints, mm."""

    sway_mm: float
    worst_mm: float
    height_mm: float

    @property
    def allowed_mm(self) -> float:
        """The share of its height that it may sway."""
        return self.height_mm / LEAN


def portal_mm(
    push_n: float, length_mm: float, leg_nmm2: float, joint_nmm: float, rail_mm_per_nmm: float = 0.0
) -> float:
    """Sway of one leg under its share of a push, mm; the formula at the head of this file.

    `rail_mm_per_nmm` is l / 6 E' I', the turn of the rail's end under a moment, rad/(N mm).
    """
    turn = length_mm**2 * (1 / joint_nmm + rail_mm_per_nmm)
    return push_n * (length_mm**3 / (3 * leg_nmm2) + turn)


def leg_frame(casework: Casework, axis: int = 0) -> LegFrame | None:
    """The sway of the legs along axis 0 (X) or 1 (Y); None where no rails join legs that way.

    A leg is a board that stands on the floor along its grain and reaches the case, and to which
    a rail is fastened that does not reach the floor.
    """
    ground = casework.box.lo[2]
    by_name = casework.by_name
    legs: dict[str, tuple[Board, Board]] = {}
    for (mate, host), _ in joints_of(casework).items():
        rail, leg = by_name[mate], by_name[host]
        stands = leg.place.along.axis == 2 and leg.box.lo[2] < ground + SAME
        joins = rail.place.along.axis == axis and rail.box.lo[2] > ground + SAME
        if stands and joins and leg.box.hi[2] < SAME:
            legs[leg.name] = (leg, rail)
    if not legs:
        return None
    kind = joint_stiffnesses()["screws"]
    shares = (1.0, kind.turn_min_nm_per_rad_m / kind.turn_nm_per_rad_m)
    typical, least = (
        sum(_gives(leg, rail, axis, ground, share) for leg, rail in legs.values()) / len(legs) ** 2
        for share in shares
    )
    return LegFrame(typical, least, max(-leg.box.lo[2] for leg, _ in legs.values()))


def _gives(leg: Board, rail: Board, axis: int, ground: float, share: float) -> float:
    """Sway of a leg under the whole push, mm."""
    high = rail.box.size[2]
    wide, deep = leg.box.size[axis], leg.box.size[1 - axis]
    leg_nmm2 = board_modulus(leg, 2).typical_mpa * deep * wide**3 / 12
    rail_nmm2 = board_modulus(rail, axis).typical_mpa * rail.thickness * high**3 / 12
    joint = share * 2 * RAIL_SLIP * (SPREAD * high) ** 2
    length = rail.box.centre[2] - ground
    return portal_mm(PUSH_N, length, leg_nmm2, joint, rail.box.size[axis] / (6 * rail_nmm2))


def check_legs(casework: Casework) -> Iterator[Finding]:
    """One finding where the case stands on legs: the way in which they sway more."""
    found = [(way, leg_frame(casework, axis)) for axis, way in enumerate(("side", "front"))]
    frames = [(way, frame) for way, frame in found if frame is not None]
    if not frames:
        return
    way, frame = max(frames, key=lambda pair: pair[1].sway_mm)
    say = casework.say
    lean = frame.sway_mm > frame.allowed_mm
    yield judge(
        "racking",
        "legs",
        frame.sway_mm,
        frame.allowed_mm,
        sense=Sense.AT_MOST,
        unit="mm",
        watch=max(0.2 * frame.allowed_mm, frame.worst_mm - frame.sway_mm),
        why=f"Pushed by {PUSH_N:.0f} N from the {way}, the legs sway {say(frame.sway_mm)} over "
        f"their height of {say(frame.height_mm)}, and {say(frame.worst_mm)} with the joints of "
        "their rails at their least stiffness."
        + (" Higher rails, thicker or shorter legs sway less." if lean else ""),
        assumes=f"two screws a joint that give {RAIL_SLIP:.0f} N/mm each, from memory; legs free "
        f"to turn on the floor; 1/{LEAN:.0f} of their height allowed",
        source="memory",
    )
