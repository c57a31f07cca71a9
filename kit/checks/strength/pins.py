"""Do shelf pins and screws hold: bearing of pins in the wood, bending of the pin, withdrawal.

Ultimate loads in N, sizes in mm; `SAFETY` is taken off where a load is judged.
"""

from collections.abc import Iterator
from math import sqrt

from kit.board import Board
from kit.casework import Casework
from kit.checks.loads import GRAVITY, Carried
from kit.components.made import Means
from kit.components.shelf import Held, Shelf
from kit.finding import Finding, Sense, judge
from kit.geometry import Box
from kit.joinery import HoleRow, Purpose

#: Ultimate over allowed load, for loads that stay on for years. From memory.
SAFETY = 3.0
#: Yield of the mild steel of a pin, MPa, from memory.
PIN_STEEL_MPA = 235.0
#: From the upright to the middle of where the shelf lies on its pin, mm, besides the clearance
#: at its end: half of a pin that stands out 8 mm. From memory.
PIN_ARM = 4.0
#: A pin hole is so near to the end of its shelf, mm.
END = 20.0
#: A pin out of four that stands on uneven holes carries this share. From memory.
WORST_SHARE = 0.5


def embedment_mpa(density_kg_m3: float, diameter_mm: float) -> float:
    """Bearing strength of plywood under a round pin, MPa: 0.11 rho d^-0.3.

    Source: Eurocode 5, nails in plywood without predrilling, from memory; 4 to 8 mm.
    """
    return float(0.11 * density_kg_m3 * diameter_mm**-0.3)


def pin_bearing_n(bearing_mpa: float, diameter_mm: float, depth_mm: float, arm_mm: float) -> float:
    """Ultimate load of a stiff pin that is loaded `arm_mm` outside its hole, N.

    f d (√((2 e + l)² + l²) - (2 e + l)): the wood yields upwards at the mouth and downwards at
    the bottom of the hole. Equilibrium of two rectangles of pressure, l = `depth_mm`.
    """
    lever = 2 * arm_mm + depth_mm
    return bearing_mpa * diameter_mm * (sqrt(lever**2 + depth_mm**2) - lever)


def pin_bending_n(diameter_mm: float, arm_mm: float, steel_mpa: float = PIN_STEEL_MPA) -> float:
    """Load that bends a pin for good at the mouth of its hole, N: plastic modulus d³ / 6."""
    return steel_mpa * diameter_mm**3 / 6 / arm_mm


def screw_withdrawal_n(specific_gravity: float, diameter_mm: float, thread_mm: float) -> float:
    """Ultimate withdrawal of a wood screw from side grain, N: 108.25 G² D L.

    G oven-dry, D the shank and L the threaded length in the wood, mm. In inches and pounds it
    is 15,700 G² D L. Source: Wood Handbook ch. 8, from memory. Plywood held through its face:
    the same with the G of the panel; end grain: about three quarters.
    """
    return 108.25 * specific_gravity**2 * diameter_mm * thread_mm


def check_pins(casework: Casework, carried: Carried) -> Iterator[Finding]:
    """The load on the worst pin of each adjustable shelf."""
    pinned = {f.board: f for f in casework.fastenings if f.means is Means.SHELF_PINS}
    for shelf, board in zip(casework.design.shelves, casework.shelf_boards, strict=True):
        if shelf.held is Held.PINS and board.name in pinned:
            hosts = [casework.by_name[name] for name in pinned[board.name].to.split(", ")]
            yield _pin(casework, board, shelf, hosts, carried)


def shelf_kg(casework: Casework, board: Board, carried: Carried) -> float:
    """Mass of a shelf with its lipping and all that is known to stand on it, kg."""
    own = sum(b.mass_kg for b in casework.with_strips(board.name))
    points = sum(load.kg for load in carried.points if load.board == board.name)
    return own + points + sum(line.kg for line in carried.lines if line.board == board.name)


def pin_allowed_n(shelf: Shelf, board: Board, hosts: list[Board]) -> float:
    """What one pin of a shelf may carry for years, N: the weaker of wood and pin, less safety."""
    diameter = shelf.holes.diameter
    arm = PIN_ARM + shelf.side_clearance
    softest = min(host.stock.density_kg_m3 for host in hosts)
    depth = hole_depth(board, hosts, shelf)
    wood = pin_bearing_n(embedment_mpa(softest, diameter), diameter, depth, arm)
    return min(wood, pin_bending_n(diameter, arm)) / SAFETY


def hole_depth(board: Board, hosts: list[Board], shelf: Shelf) -> float:
    """Depth of the shallowest holes that the pins of a shelf stand in, mm."""
    depths = [
        feature.depth
        for host in hosts
        for feature, cuts in host.cuts_in_room
        if isinstance(feature, HoleRow) and feature.purpose is Purpose.SHELF_PIN
        if any(_under(box, board) for _, box in cuts)
    ]
    return min((d for d in depths if d is not None), default=shelf.holes.depth)


def _under(hole: Box, board: Board) -> bool:
    """Whether a pin hole is right under a shelf, at one of its ends."""
    (x0, y0, _), (x1, y1, z1) = hole.lo, hole.hi
    beside = min(abs(x1 - board.box.lo[0]), abs(x0 - board.box.hi[0])) < END
    between = board.box.lo[1] < (y0 + y1) / 2 < board.box.hi[1]
    return beside and between and abs(z1 - board.box.lo[2]) < 1.0


def _pin(
    casework: Casework, board: Board, shelf: Shelf, hosts: list[Board], carried: Carried
) -> Finding:
    say = casework.say
    kg = shelf_kg(casework, board, carried)
    allowed = pin_allowed_n(shelf, board, hosts)
    deep = hole_depth(board, hosts, shelf)
    load = WORST_SHARE * kg * GRAVITY
    missing = carried.unknown_on(board.name)
    told = f", without {' and '.join(missing)}, whose mass is not known" if missing else ""
    return judge(
        "shelf pins hold",
        board.name,
        None if missing else load,
        allowed,
        sense=Sense.AT_MOST,
        unit="N",
        watch=0.2 * allowed,
        why=f"{board.name} and what stands on it weigh {kg:.1f} kg{told}. A pin "
        f"{say(shelf.holes.diameter)} thick and {say(deep)} deep may carry "
        f"{allowed / GRAVITY:.0f} kg, so the four of them {2 * allowed / GRAVITY:.0f} kg. "
        "Deeper holes or thicker pins carry more.",
        assumes="steel pins; one pin carries half the shelf where the holes are not level",
        source="ec5",
        boards=(board.name, *(host.name for host in hosts)),
    )
