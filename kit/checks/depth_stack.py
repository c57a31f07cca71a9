"""From the doors to the wall: what a device and its cables take in depth, row by row.

    doors and their tracks | front clearance | knobs | body | plug | bend of that cable | free
    | back panel or open back | gap to the wall less the baseboard | plug in the wall

Rows stand in the order in which a tape laid from front to back meets them. In a bay with a back
panel the free row is negative where the bend wants more than there is; behind an open back the
bend may go on into the gap to the wall, and the gap is negative where even that is too little.
"""

from dataclasses import dataclass
from enum import Enum
from math import inf

from kit.cabling import Connector, connector
from kit.casework import Casework
from kit.checks.around import panel_of
from kit.components.cables import OUTLET
from kit.components.contents import Placed

#: A socket at the rear of a device stands at least so far within its outline, mm. Common
#: practice, no source.
RIM = 10.0
#: Two sockets of an outlet are so far above and below its middle, mm. From memory.
SOCKET = 19.0
#: What is taken to be in a wall outlet where no cable of the design says it.
WALL_PLUG = "mains-plug-straight"


class Layer(Enum):
    """What a row of the stack stands for."""

    DOORS = "doors and their tracks"
    FRONT = "free in front"
    KNOBS = "knobs"
    BODY = "body"
    PLUG = "plug"
    BEND = "bend of the cable"
    FREE = "free behind"
    BACK = "back panel"
    OPEN = "open back"
    GAP = "gap to the wall"
    BASEBOARD = "baseboard"
    WALL_PLUG = "plug in the wall"

    @property
    def wanted(self) -> bool:
        """Whether the device and its cable take this room."""
        return self in (Layer.KNOBS, Layer.BODY, Layer.PLUG, Layer.BEND)


@dataclass(frozen=True, slots=True)
class Row:
    """One row: what it is, a note in words, and its size in mm; None where not known."""

    layer: Layer
    size: float | None
    note: str = ""


@dataclass(frozen=True, slots=True)
class DepthStack:
    """The rows of one device from front to back, mm.

    `front` is where the room of the device begins and `limit` where it ends, from the front
    edge of the case; `ends_at` says what ends it. `behind` is what is free between the body and
    that, and `margin` is added to its depth for sizes that come from a retailer.
    """

    placed: Placed
    rows: tuple[Row, ...]
    front: float
    limit: float
    ends_at: str
    margin: float

    @property
    def room(self) -> float:
        """Depth that the device, its knobs and its plug may take."""
        return self.limit - self.front

    @property
    def wanted(self) -> float | None:
        """Depth that knobs, body, plug and bend take; None where one of them is not known."""
        sizes = [row.size for row in self.rows if row.layer.wanted]
        if any(row.layer is Layer.WALL_PLUG and row.size is None for row in self.rows):
            return None
        return None if None in sizes else sum(s for s in sizes if s is not None) + self.margin

    @property
    def behind(self) -> float:
        """Free between the body, where it stands, and what ends its room."""
        return self.limit - self.placed.body.hi[1] - self.margin

    def of(self, layer: Layer) -> float | None:
        """Size of a row; None where it is not there or not known."""
        return next((row.size for row in self.rows if row.layer is layer), None)


def depth_stacks(casework: Casework) -> tuple[DepthStack, ...]:
    """The stack of each device, in the order of the design file."""
    return tuple(depth_stack(casework, placed) for placed in casework.gear)


def depth_stack(casework: Casework, placed: Placed) -> DepthStack:
    """The stack of one device.

    In a bay with a back panel the panel ends its room, elsewhere the wall: the baseboard where
    the device stands low enough, and the plug in an outlet that is right behind its sockets.
    """
    front, body = placed.space.lo[1], placed.body
    knobs = placed.kind.knob_mm
    rows = []
    if placed.bay is not None and casework.doors is not None:
        rows.append(Row(Layer.DOORS, front))
    rows += [
        Row(Layer.FRONT, body.lo[1] - front - (knobs or 0.0)),
        Row(Layer.KNOBS, knobs),
        Row(Layer.BODY, body.size[1]),
        Row(Layer.PLUG, placed.plug.plug_length_mm, placed.plug.label),
        Row(Layer.BEND, placed.plug.bend_mm, placed.plug.label),
    ]
    reach = placed.plug.depth_mm
    end = None if reach is None else body.hi[1] + reach
    past, limit, ends_at = _behind(casework, placed, end)
    return DepthStack(
        placed=placed,
        rows=(*rows, *past),
        front=front,
        limit=limit,
        ends_at=ends_at,
        margin=placed.margin,
    )


def _behind(
    casework: Casework, placed: Placed, end: float | None
) -> tuple[tuple[Row, ...], float, str]:
    """The rows from `end`, the rear of the bend, to the wall; where the room ends, and at what."""
    room, bay, rear = casework.design.room, placed.bay, placed.space.hi[1]
    wall = casework.design.case.depth + room.wall_gap
    before = _on_the_wall(casework, placed)
    less = (before.size or 0.0) if before else 0.0
    last = (before,) if before else ()
    if bay is not None and not bay.open_back:
        name = panel_of(casework, bay)
        outside = casework.by_name[name].box.hi[1]
        free = Row(Layer.FREE, None if end is None else rear - end)
        panel = Row(Layer.BACK, outside - rear, name)
        return (free, panel, Row(Layer.GAP, wall - outside - less), *last), rear, name
    #: A bend may go on into the gap, and what stands out of the wall into the open back.
    limit = wall - less
    inside = min(rear, limit)
    free = Row(Layer.FREE, None if end is None else max(0.0, inside - end))
    gap = Row(Layer.GAP, limit - (inside if end is None else max(inside, end)))
    ends_at = f"the {before.layer.value}" if before else "the wall"
    return (free, Row(Layer.OPEN, 0.0), gap, *last), limit, ends_at


def _on_the_wall(casework: Casework, placed: Placed) -> Row | None:
    """What stands farthest out of the wall behind a device: a plug, or the baseboard."""
    room = casework.design.room
    taken: list[Row] = []
    low = placed.body.lo[2] - casework.box.lo[2]
    if room.baseboard_depth and low < room.baseboard_height:
        taken.append(Row(Layer.BASEBOARD, room.baseboard_depth))
    plug = _in_the_wall(casework, placed)
    if plug is not None:
        taken.append(Row(Layer.WALL_PLUG, plug.depth_mm, plug.label))
    return max(taken, key=lambda row: inf if row.size is None else row.size, default=None)


def _in_the_wall(casework: Casework, placed: Placed) -> Connector | None:
    """The deepest plug in an outlet behind the sockets of a device; None where none is."""
    plugs = [run.plugs[1] for run in casework.design.cables if run.end == OUTLET]
    plugs = plugs or [connector(WALL_PLUG)]
    deepest = max(plugs, key=lambda plug: plug.depth_mm or plug.plug_length_mm)
    half = max(deepest.plug_width_mm, deepest.plug_height_mm) / 2
    floor, spans = casework.box.lo[2], _socket_spans(placed)
    for outlet in casework.design.room.outlets:
        x, z = outlet.across, outlet.up + floor
        up = half + (SOCKET if outlet.sockets > 1 else 0.0)
        if any(x0 - half < x < x1 + half and z0 - up < z < z1 + up for x0, x1, z0, z1 in spans):
            return deepest
    return None


def _socket_spans(placed: Placed) -> list[tuple[float, float, float, float]]:
    """Where its plugs are, in X and Z: as the maker says, else all of its rear within the rim."""
    (x0, _, z0), (x1, _, z1) = placed.body.lo, placed.body.hi
    spans = []
    for said, plug in placed.plugs:
        half = (plug.plug_width_mm / 2, plug.plug_height_mm / 2)
        across = (x0 + RIM, x1 - RIM)
        up = (z0 + RIM, z1 - RIM)
        if said.across is not None:
            across = (x0 + said.across - half[0], x0 + said.across + half[0])
        if said.up is not None:
            up = (z0 + said.up - half[1], z0 + said.up + half[1])
        spans.append((*across, *up))
    return spans
