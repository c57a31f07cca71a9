"""Tipping of a rigid body on a level floor: closed forms. Lengths mm, angles in degrees.

The tip line is the edge of the base that it turns over; `arm_mm` is how far the centre of mass
lies behind it, `height_mm` how high above the floor. Source: statics of a rigid body.
"""

from math import acos, atan2, degrees, hypot

from kit.checks.loads import GRAVITY


def tip_angle_deg(arm_mm: float, height_mm: float) -> float:
    """Slope at which it tips, atan(arm / height); below zero it tips on the level.

    >>> round(tip_angle_deg(180, 482.1), 1)
    20.5
    """
    return degrees(atan2(arm_mm, height_mm))


def tip_force_n(mass_kg: float, arm_mm: float, push_height_mm: float) -> float:
    """Level force at a height that begins to tip it, m g arm / height, N."""
    return mass_kg * GRAVITY * arm_mm / push_height_mm


def slides_first(friction: float, arm_mm: float, push_height_mm: float) -> bool:
    """Whether a push at this height slides it before it tips: friction < arm / height."""
    return friction < arm_mm / push_height_mm


def restraint_force_n(
    push_n: float, push_height_mm: float, mass_kg: float, arm_mm: float, held_height_mm: float
) -> float:
    """What an anchor, or a wall, at a height takes of a push at another, N; 0 if it stands.

    (P h - m g arm) / h_held: moments about the tip line, all forces level.
    """
    over = push_n * push_height_mm - mass_kg * GRAVITY * arm_mm
    return max(0.0, over / held_height_mm)


def touch_tilt_deg(reach_mm: float, height_mm: float, gap_mm: float) -> float | None:
    """Tilt at which a point of the piece touches a wall behind it, degrees; None if never.

    The point lies `reach_mm` behind the tip line and `height_mm` above the floor, the wall
    `gap_mm` behind the point. It swings on a circle of radius R about the tip line and touches
    where R cos(atan(height / reach) - tilt) = reach + gap.

    >>> touch_tilt_deg(0.0, 500.0, 250.0)
    30.0
    """
    wall = reach_mm + gap_mm
    radius = hypot(reach_mm, height_mm)
    if gap_mm <= 0.0:
        return 0.0
    if radius < wall:
        return None
    return round(degrees(atan2(height_mm, reach_mm) - acos(wall / radius)), 9)
