"""A floor that is out of level: what each foot must be lifted, and what happens if it is not.

A case on a floor that falls away under one front corner twists. With a stiff back and sides the
twist comes out at the open front as a lean

    lean = height of the case x fall of the corner / width of the case

because the side turns about its lower rear edge, takes the top round with it, and the back holds
the top behind. Derived here (`computed`); range: small falls, panels stiff in their own plane.
"""

from collections.abc import Iterator

from kit.casework import Casework
from kit.checks.stability.states import feet
from kit.finding import Finding, Sense, judge

#: How far a door may stand off its upright from top to bottom before it shows, mm; from memory.
TAPER = 3.0
#: What a case can be levelled to with a spirit level, mm per m; from memory.
LEVELLED_PER_M = 1.0


def lifts_mm(width_mm: float, depth_mm: float, fall_per_m: float) -> dict[str, float]:
    """How far each corner must come up on a floor that falls to the right and to the front, mm."""
    fall = fall_per_m / 1000
    return {
        "back left": 0.0,
        "back right": fall * width_mm,
        "front left": fall * depth_mm,
        "front right": fall * (width_mm + depth_mm),
    }


def front_lean_mm(height_mm: float, width_mm: float, corner_fall_mm: float) -> float:
    """Lean of an open front over the height of the case when one front corner is not held, mm."""
    return height_mm * corner_fall_mm / width_mm


def check_levelling(casework: Casework) -> Iterator[Finding]:
    """What the feet need on a floor that is out of level, and the doors without it."""
    say, limits = casework.say, casework.design.limits
    fall_per_m = limits.floor_fall_mm_per_m
    base = feet(casework)
    width, depth, _ = base.size
    lifts = lifts_mm(width, depth, fall_per_m)
    most = max(lifts.values())
    told = ", ".join(f"{corner} {say(mm)}" for corner, mm in lifts.items())
    yield judge(
        "feet can be levelled",
        "base",
        most,
        limits.levelling,
        sense=Sense.AT_MOST,
        unit="mm",
        watch=3.0,
        why=f"On a floor that falls {fall_per_m:g} mm per m to the right and to the front, lift "
        f"{told}, by levellers or shims, until a level lies true on the top both ways.",
        assumes=f"levellers or shims make up {say(limits.levelling)} (limits.levelling)",
        source="memory",
        binding=limits.binding("floor_fall_mm_per_m", "levelling"),
    )
    if casework.doors is None:
        return
    height = casework.design.case.height
    fall = fall_per_m / 1000 * width
    lean = front_lean_mm(height, width, fall)
    yield judge(
        "front stays square",
        "sliding doors",
        TAPER / height * 1000,
        LEVELLED_PER_M,
        sense=Sense.AT_LEAST,
        unit="mm/m",
        watch=max(0.0, fall_per_m - LEVELLED_PER_M),
        why=f"If one front corner is left {say(fall)} low, as on a floor that falls "
        f"{fall_per_m:g} mm per m, the front leans {say(lean)} over its height; past {say(TAPER)} "
        "the doors no longer close flush with their uprights. Level the case before the doors "
        "are cut to fit, and again in its place.",
        assumes="back and sides stiff in their own plane; a spirit level shows "
        f"{LEVELLED_PER_M:g} mm per m",
        source="computed",
        boards=tuple(d.board.name for d in casework.doors.doors),
    )
