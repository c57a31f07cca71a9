"""Tipping of a rigid body on a level floor: closed forms. Lengths mm, angles in degrees.

The tip line is the edge of the base that it turns over; `arm_mm` is how far the centre of mass
lies behind it, `height_mm` how high above the floor. Source: statics of a rigid body.
"""

from math import atan2, degrees

from kit.checks.loads import GRAVITY


def tip_angle_deg(arm_mm: float, height_mm: float) -> float:
    """Slope at which it tips, atan(arm / height); below nought it tips on the level.

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


def anchor_force_n(
    pull_n: float, pull_height_mm: float, mass_kg: float, arm_mm: float, anchor_height_mm: float
) -> float:
    """What an anchor at a height must hold against a pull at another, N; nought if it stands.

    (P h - m g arm) / h_anchor: moments about the tip line, the anchor level.
    """
    over = pull_n * pull_height_mm - mass_kg * GRAVITY * arm_mm
    return max(0.0, over / anchor_height_mm)
