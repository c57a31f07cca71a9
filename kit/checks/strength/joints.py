"""How a joint resists turning: rotational stiffness by kind, per metre of joint.

The values of `data/joint_stiffness.csv` are from memory, and tests of such joints scatter by
several times; so sag is judged with the least of them, racking with the typical one.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from kit.casework import Casework, once
from kit.components.case import Corner
from kit.components.made import Fastening, Means
from kit.sources import SourceKeys
from kit.tables import NotNegative, data_file, look_up, read_table


@dataclass(frozen=True, slots=True, kw_only=True)
class JointStiffness:
    """Rotational stiffness of one kind of joint, N m per radian and metre of its length."""

    key: str
    label: str
    turn_min_nm_per_rad_m: NotNegative
    turn_nm_per_rad_m: NotNegative
    turn_max_nm_per_rad_m: NotNegative
    source: SourceKeys


@cache
def joint_stiffnesses() -> Mapping[str, JointStiffness]:
    """Return every kind of joint by key."""
    return read_table(JointStiffness, data_file("joint_stiffness.csv"))


type Held = tuple[Fastening, ...]
"""All that holds one board to another."""


@once
def joints_of(casework: Casework) -> Mapping[tuple[str, str], tuple[JointStiffness, Held]]:
    """The joint between each pair of boards (mate, host) that are fastened, and what holds it."""
    found: dict[tuple[str, str], list[Fastening]] = {}
    for fastening in casework.fastenings:
        for host in fastening.to.split(", "):
            pair = (fastening.board, host)
            turned = (host, fastening.board)
            found.setdefault(turned if turned in found else pair, []).append(fastening)
    rabbet = casework.design.case.corner is Corner.RABBET
    shell = casework.frame
    levels, sides = {shell.top.name, shell.bottom.name}, {shell.left.name, shell.right.name}

    def rabbeted(pair: tuple[str, str]) -> bool:
        return rabbet and not (levels.isdisjoint(pair) or sides.isdisjoint(pair))

    return {
        pair: (_kind({f.means for f in held}, rabbeted(pair)), tuple(held))
        for pair, held in found.items()
    }


def is_glued(held: Held) -> bool:
    """Whether glue holds a joint, alone or besides its screws."""
    return any(f.means is Means.GLUE or "glued" in f.note for f in held)


def _kind(held: set[Means], rabbeted: bool) -> JointStiffness:
    if Means.SHELF_PINS in held:
        key = "lying"
    elif Means.DOWELS in held:
        key = "dowels"
    elif Means.CROSS_PINS in held:
        key = "pinned rabbet"
    elif Means.GLUE in held:
        key = "rabbet" if rabbeted else "dado"
    else:
        key = "screws"
    return look_up(joint_stiffnesses(), key, "kind of joint")
