"""Does the case lean when it is pushed from the side? The frame with its backs as shear panels.

A back that is glued in or screwed round holds the shape of the bays that it closes; a panel that
is meant to come off is left out, since it carries nothing while it is off. Sway is that of the
top against the bottom under 50 N, with the typical stiffness of the joints.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from kit.board import Board
from kit.casework import Casework
from kit.checks.loads import GRAVITY
from kit.checks.strength.carcase import SCREW_SLIP
from kit.checks.strength.frame import CaseFrame, case_frame
from kit.checks.strength.joints import is_glued
from kit.checks.strength.layup import board_modulus, shear_modulus
from kit.checks.strength.section import Part, glued
from kit.checks.strength.solver import Bent, Member, Push, solve
from kit.components.made import Fastening, Means
from kit.finding import Finding, Fix, Sense, judge

#: The push at the top, N, and the share of the height that the case may lean. From memory.
PUSH_N, LEAN = 50.0, 300.0
#: Bending stiffness of a brace that is hinged at both ends, N mm²: of no effect on the sway, and
#: of the size of the others, so that the sums keep their digits.
HINGED = 1e9
#: A foot that does not turn, N mm/rad, and in how many rounds the moment that it takes is found.
CLAMPED, FOOT_ROUNDS = 1e9, 6
#: Heights of rail that are tried where a back comes off, mm, and its thickness; two screws or
#: dowels at each end, a fifth of the height from its edges, each giving so much, N/mm.
RAILS, RAIL_THICK, RAIL_SLIP = (60.0, 80.0, 100.0, 125.0, 150.0), 18.0, 1000.0


@dataclass(frozen=True, slots=True)
class Racking:
    """Sway of the top against the bottom under `PUSH_N`, mm, by what closes the back.

    `fixed_mm` with the panels that stay, and `worst_mm` the same with the least stiffness of the
    joints; `all_mm` with the removable ones screwed on as well; `open_mm` with none. `rail_mm` is
    the least height of a rail under the top, behind, that keeps the limit without the removable
    panels, and `rail_sway_mm` the sway with it; None where no rail of the list does.
    """

    fixed_mm: float
    worst_mm: float
    all_mm: float
    open_mm: float
    allowed_mm: float
    rail_mm: float | None
    rail_sway_mm: float | None


def panel_n_per_mm(
    width_mm: float,
    height_mm: float,
    thickness_mm: float,
    g_mpa: float,
    *,
    pitch_mm: float | None = None,
    slip_n_mm: float = SCREW_SLIP,
) -> float:
    """Horizontal stiffness of a panel that closes a bay, N per mm of sway.

    1/k = h / (G t w) + 2 s (1 + h / w) / (w K): shear of the panel, and the slip of screws `s`
    apart round its edge, each K N/mm; without `pitch_mm` it is glued and does not slip.
    Range: panels that do not buckle. Derived from even shear flow; `computed`.
    """
    give = height_mm / (g_mpa * thickness_mm * width_mm)
    if pitch_mm is not None:
        give += 2 * pitch_mm * (1 + height_mm / width_mm) / (width_mm * slip_n_mm)
    return 1 / give


def sway_mm(
    casework: Casework,
    panels: Sequence[Board] = (),
    *,
    rail_height_mm: float = 0.0,
    frame: CaseFrame | None = None,
) -> float:
    """Sway of the top under `PUSH_N` with these back panels, or a rail under the top, mm."""
    base = frame or case_frame(casework, joint_share=1.0)
    members = list(base.members)
    if rail_height_mm:
        members = _with_rail(base, members, rail_height_mm)
    members += [diagonal for panel in panels for diagonal in _braces(casework, base, panel)]
    top, bottom = base.run("top"), base.run("bottom")
    push = Push(top.nodes[0], x=PUSH_N)
    bent = _flat_on_the_floor(casework, base, members, push)
    moved = bent.moved
    if not np.abs(moved).max() < np.ptp(np.asarray(base.nodes), axis=0).max():
        raise np.linalg.LinAlgError("The frame moves without bending.")
    return float(abs(moved[top.nodes[0], 0] - moved[bottom.nodes[0], 0]))


def _flat_on_the_floor(
    casework: Casework, frame: CaseFrame, members: Sequence[Member], push: Push
) -> Bent:
    """The frame under a push, its feet flat on the floor as far as its own weight keeps them so.

    A foot that would take more than it can is given so little stiffness that it takes just that.
    """
    feet = frame.feet
    if not feet:
        return solve(frame.nodes, members, frame.supports, (push,))
    weight = sum(b.mass_kg for b in casework.boards) * GRAVITY / len(feet)
    most = [weight * run.board.thickness / 2 for run in feet]
    turns = [CLAMPED] * len(feet)
    for _ in range(FOOT_ROUNDS):
        supports = [replace(s, turn=k) for s, k in zip(frame.supports, turns, strict=True)]
        bent = solve(frame.nodes, members, supports, (push,))
        turned = [abs(float(bent.turns[run.members[0], 0])) for run in feet]
        turns = [
            min(CLAMPED, moment / angle) if angle * k > moment else k
            for k, moment, angle in zip(turns, most, turned, strict=True)
        ]
    return bent


def racking(casework: Casework) -> Racking:
    """How the case sways with its back as built, with all panels, with none, and with a rail."""
    frame = case_frame(casework, joint_share=1.0)
    weakest = case_frame(casework, joint_share=0.0)
    panels = casework.panels
    off = removable(casework)
    fixed = [p for p in panels if p.name not in off]
    height = (
        frame.nodes[frame.run("top").nodes[0]][1] - frame.nodes[frame.run("bottom").nodes[0]][1]
    )
    allowed = height / LEAN
    swayed = sway_mm(casework, fixed, frame=frame)
    rail = rail_sway = None
    for tried in RAILS:
        with_it = sway_mm(casework, fixed, rail_height_mm=tried, frame=frame)
        if with_it <= allowed:
            rail, rail_sway = tried, with_it
            break
    return Racking(
        fixed_mm=swayed,
        worst_mm=sway_mm(casework, fixed, frame=weakest),
        all_mm=sway_mm(casework, panels, frame=frame),
        open_mm=sway_mm(casework, frame=frame),
        allowed_mm=allowed,
        rail_mm=rail,
        rail_sway_mm=rail_sway,
    )


def removable(casework: Casework) -> dict[str, int]:
    """Names of the back panels that come off, with their number in the design file."""
    back = casework.design.back
    said = zip(casework.panels, back.panels, strict=True) if back else ()
    return {
        board.name: number for number, (board, panel) in enumerate(said, start=1) if panel.removable
    }


def check_racking(casework: Casework) -> Iterator[Finding]:
    """One finding: the sway of the case as it stands when what comes off is off."""
    say = casework.say
    try:
        found = racking(casework)
    except np.linalg.LinAlgError:
        yield judge(
            "racking",
            "case",
            None,
            None,
            sense=Sense.AT_MOST,
            unit="mm",
            why=f"Pushed by {PUSH_N:.0f} N at the top, the case gives way like a hinge before "
            "anything bends, as its boards are joined and held up; give it a back that stays on.",
            source="computed",
        )
        return
    off = removable(casework)
    lean = found.fixed_mm > found.allowed_mm
    words = f"Pushed by {PUSH_N:.0f} N at the top, the case sways {say(found.fixed_mm)}"
    if off:
        words += (
            f" with {' and '.join(off)} off and {say(found.all_mm)} with all panels screwed on; a "
            "panel that comes off is not counted on"
        )
    else:
        words += f"; without any back it would be {say(found.open_mm)}"
    words += f". With its joints at their least stiffness it is {say(found.worst_mm)}."
    if lean and found.rail_mm:
        words += (
            f" A rail {say(found.rail_mm)} high under the top, behind, glued to the top and to "
            f"both sides, brings it to {say(found.rail_sway_mm or 0.0)}."
        )
    elif lean:
        words += f" No rail up to {say(max(RAILS))} brings it back; close a bay for good."
    elif off:
        words += " It needs no rail in their place."
    yield judge(
        "racking",
        "case",
        found.fixed_mm,
        found.allowed_mm,
        sense=Sense.AT_MOST,
        unit="mm",
        watch=max(0.2 * found.allowed_mm, found.worst_mm - found.fixed_mm),
        why=words,
        assumes=f"typical stiffness of the joints, from memory, and their least as the worst; "
        f"1/{LEAN:.0f} of the height allowed",
        source="memory",
        fix=_close_one(casework, off, found.allowed_mm) if lean else None,
        boards=("top", casework.frame.left.name, casework.frame.right.name, *off),
    )


def _close_one(casework: Casework, off: dict[str, int], allowed: float) -> Fix | None:
    """A removable panel that cures it by staying on for good, tried."""
    panels = casework.panels
    for name, number in off.items():
        stays = [p for p in panels if p.name not in off or p.name == name]
        if sway_mm(casework, stays) <= allowed:
            return Fix(f"back.panels.{number}.removable", "false")
    return None


def _braces(casework: Casework, frame: CaseFrame, panel: Board) -> Iterator[Member]:
    """A diagonal as stiff as the panel, across each stretch of uprights that it closes."""
    marks = [x for x in frame.marks if panel.box.lo[0] - 25 < x < panel.box.hi[0] + 25]
    if len(marks) < 2:
        return
    x0, x1 = marks[0], marks[-1]
    low, high = _node(frame, "bottom", x0), _node(frame, "top", x1)
    width, height = x1 - x0, frame.nodes[high][1] - frame.nodes[low][1]
    k = panel_n_per_mm(
        width,
        height,
        panel.thickness,
        shear_modulus(panel.stock.key),
        pitch_mm=None if _glued(casework, panel) else _pitch(casework, panel),
    )
    long = (width**2 + height**2) ** 0.5
    ea = k * long * (long / width) ** 2
    yield Member(low, high, ea_n=ea, ei_nmm2=HINGED, spring_a=0.0, spring_b=0.0)


def _glued(casework: Casework, panel: Board) -> bool:
    """Whether a panel is glued in all round; one that screws alone hold slips."""
    return is_glued(tuple(f for f in casework.fastenings if f.board == panel.name))


def _pitch(casework: Casework, panel: Board) -> float:
    """Distance between the screws round a panel, mm."""
    held: list[Fastening] = [
        f for f in casework.fastenings if f.board == panel.name and f.means is Means.BACK_SCREWS
    ]
    count = sum(f.count for f in held)
    round_it = 2 * (panel.box.size[0] + panel.box.size[2])
    return round_it / max(count, 1)


def _node(frame: CaseFrame, name: str, x: float) -> int:
    run = frame.run(name)
    nearest = min(range(len(run.stations)), key=lambda i: abs(run.stations[i] - x))
    return run.nodes[nearest]


def _with_rail(frame: CaseFrame, members: list[Member], height_mm: float) -> list[Member]:
    """The top with a rail under it, from side to side and screwed to the top: one glued section.

    Its ends turn with the sides as far as their two fastenings let them.
    """
    made = list(members)
    run = frame.run("top")
    board = run.board
    e = board_modulus(board, 0)
    width, t = board.box.size[1], board.thickness
    both = glued(
        [
            Part(width, 0.0, t, e.typical_mpa),
            Part(RAIL_THICK, -height_mm, 0.0, e.typical_mpa),
        ]
    )
    ends = 2 * RAIL_SLIP * (0.3 * height_mm) ** 2
    for index in run.members:
        m = made[index]
        made[index] = replace(m, ei_nmm2=both.ei_nmm2)
    first, last = run.members[0], run.members[-1]
    made[first] = replace(made[first], spring_a=made[first].spring_a + ends)
    made[last] = replace(made[last], spring_b=made[last].spring_b + ends)
    return made
