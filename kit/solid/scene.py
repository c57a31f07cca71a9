"""The scene: the assembly as triangles and edges, in the form the live 3D view takes."""

from functools import lru_cache
from typing import Any

import cadquery as cq
from ocp_tessellate import tessellator
from ocp_tessellate.convert import tessellate_group, to_ocpgroup
from ocp_tessellate.ocp_utils import bbox
from ocp_tessellate.utils import numpy_to_buffer_json

from kit.casework import Casework
from kit.solid.assembly import parts, root
from kit.solid.turn import KEPT

#: Least angle between the facets of what is round, rad: 16 to the circle. The view is sent anew
#: at each change of a design, and holes are most of it.
ROUND_RAD = 0.4
#: So much of the triangles of earlier scenes is kept.
KEPT_BYTES = 24e6


def scene(casework: Casework, *, gear: bool = False) -> dict[str, Any]:
    """Plain data for the 3D view, mm: `instances` (meshes, their numbers packed) and `shapes`.

    `shapes` holds `bb` and one entry in `parts` a board, under its own name and in its own
    colour, each with the number of its mesh and its place. `gear` adds the devices.

    Raises SolidError where a board cannot be built.
    """
    things = list(parts(casework, gear=gear))
    group, meshed = to_ocpgroup(
        # one level of names: a child assembly would show each board within itself
        *(
            thing.shape if thing.place is None else _own(thing.shape).moved(thing.place)
            for thing in things
        ),
        names=[thing.name for thing in things],
        colors=[thing.colour.toTuple() for thing in things],
    )
    group.name = root(casework)
    instances, shapes, _ = tessellate_group(group, meshed, {"angular_tolerance": ROUND_RAD})
    _forget_earlier()
    packed: dict[str, Any] = numpy_to_buffer_json({"instances": instances, "shapes": shapes})
    return packed


def _forget_earlier() -> None:
    """Of what the tessellator keeps for ever, leave what a large piece has."""
    while tessellator.cache.currsize > KEPT_BYTES:
        tessellator.cache.popitem()  # the longest unused
    # it goes by where shapes lie in memory, so it knows none again and only grows
    bbox.cache.clear()


@lru_cache(maxsize=KEPT)
def _own(shape: cq.Shape) -> cq.Shape:
    """A copy to fill with the triangles of the view: those of other pictures are finer."""
    return shape.copy()
