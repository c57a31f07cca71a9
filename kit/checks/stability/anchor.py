"""Where the piece is tied to the wall, with what, and whether that holds."""

from collections.abc import Iterator
from dataclasses import dataclass

from kit.casework import Casework
from kit.checks.loads import Carried
from kit.checks.stability.states import State, Way
from kit.checks.stability.tipping import restraint_force_n
from kit.checks.strength.pins import SAFETY, screw_withdrawal_n
from kit.finding import Finding, Sense, judge
from kit.geometry import Vec
from kit.hardware import Fitting, FittingKind, fittings

#: The pull that the anchors are to hold at the top, N: the greatest that IEC 62368-1 asks for.
PULL_N = 250.0
#: Specific gravity of the wood of a stud, and how deep the screw goes into it, mm. The lightest
#: framing woods; from memory.
STUD_GRAVITY, IN_STUD = 0.38, 38.0
#: How far an anchor stands in from the outside of the case, mm; from memory.
ANCHOR_IN = 100.0


@dataclass(frozen=True, slots=True)
class Anchor:
    """A wall anchor for the buy list: `count` of `item`, at `points` of the case (room, mm).

    Each must hold `force_n` and its screw holds `holds_n` in a stud.
    """

    item: str
    label: str
    count: int
    points: tuple[Vec, ...]
    board: str
    force_n: float
    holds_n: float


def wall_restraint() -> Fitting:
    """The wall restraint of the table."""
    return next(row for row in fittings().values() if row.kind is FittingKind.WALL_RESTRAINT)


def anchor(casework: Casework, carried: Carried, state: State) -> Anchor:
    """Two anchors on the rear of the top, sized for a pull at the top of a state."""
    part = wall_restraint()
    box = casework.by_name["top"].box
    z = box.centre[2] - state.base.lo[2]
    force = restraint_force_n(PULL_N, state.push, state.mass.kg, state.arm(Way.FORWARD), z) / 2
    x0, x1 = box.lo[0] + ANCHOR_IN, box.hi[0] - ANCHOR_IN
    return Anchor(
        item=part.key,
        label=part.label,
        count=2,
        points=((x0, box.hi[1], box.centre[2]), (x1, box.hi[1], box.centre[2])),
        board="top",
        force_n=force,
        holds_n=screw_withdrawal_n(STUD_GRAVITY, part.diameter_mm, IN_STUD) / SAFETY,
    )


def check_anchor(casework: Casework, carried: Carried, worst: State | None) -> Iterator[Finding]:
    """Whether the screw of the anchor holds what a pull at the top asks of it.

    `worst` is the state that a push tips most easily; None while the screen's mass is unknown.
    """
    made = anchor(casework, carried, worst) if worst else None
    part = wall_restraint()
    yield judge(
        "anchors hold",
        "top",
        made.holds_n if made else None,
        made.force_n if made else None,
        sense=Sense.AT_LEAST,
        unit="N",
        watch=0.25 * made.force_n if made else 0.0,
        why=f"Anchor the case by two of {part.label} at the rear of the top, "
        f"{casework.say(ANCHOR_IN)} from its ends or in line with the nearest stud, and the screen "
        "by its own strap; "
        + (
            f"under a pull of {casework.force(PULL_N)} at the top each must hold "
            f"{casework.force(made.force_n)}. "
            if made
            else "what they must hold waits for the mass of the screen. "
        )
        + "A fastener in plasterboard alone does not hold. Makers' instructions and local rules "
        "come first.",
        assumes="screws in studs, a third of their ultimate withdrawal; the strap itself as its "
        "maker rates it",
        source="wood-handbook-8",
        boards=("top",),
    )
