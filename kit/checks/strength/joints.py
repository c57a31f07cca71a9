"""How a joint resists turning: rotational stiffness by kind, per metre of joint.

The values of `data/joint_stiffness.csv` are from memory, and tests of such joints scatter by
several times; so sag is judged with the least of them, racking with the typical one.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from kit.casework import Casework
from kit.components.made import Means
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


def kinds_of_joints(casework: Casework) -> Mapping[frozenset[str], JointStiffness]:
    """The joint between each pair of boards that are fastened to each other."""
    means: dict[frozenset[str], set[Means]] = {}
    for fastening in casework.fastenings:
        for host in fastening.to.split(", "):
            means.setdefault(frozenset((fastening.board, host)), set()).add(fastening.means)
    rabbet = casework.design.case.corner.value == "rabbet"
    return {pair: _kind(pair, held, rabbet) for pair, held in means.items()}


def _kind(pair: frozenset[str], held: set[Means], rabbet: bool) -> JointStiffness:
    corner = bool(pair & {"top", "bottom"}) and any(name.startswith("side-") for name in pair)
    if Means.SHELF_PINS in held:
        key = "lying"
    elif Means.DOWELS in held:
        key = "dowels"
    elif Means.CROSS_PINS in held:
        key = "pinned rabbet"
    elif Means.GLUE in held:
        key = "rabbet" if corner and rabbet else "dado"
    else:
        key = "screws"
    return look_up(joint_stiffnesses(), key, "kind of joint")
