"""Where the cables run: rooms and openings of a built design, and the shortest way of each cable.

Nothing here is designed; `routes` finds it out from the boards and from what is to be joined.
"""

from kit.routes.cable_route import Route, passing_each, routes
from kit.routes.fill import cable_fill, filled
from kit.routes.new_hole import NewHole, hole_for, new_holes
from kit.routes.zones import Opening, OpeningKind, Zones, cable_holes, zones_of

__all__ = [
    "NewHole",
    "Opening",
    "OpeningKind",
    "Route",
    "Zones",
    "cable_fill",
    "cable_holes",
    "filled",
    "hole_for",
    "new_holes",
    "passing_each",
    "routes",
    "zones_of",
]
