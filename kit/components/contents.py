"""What stands in and on the case: each device with its body and zones.

Devices that share a surface stand side by side from left to right in the order of the
design file, with equal gaps, in the middle of the bay's depth or against its front, unless
the design says where. A device that is given no place gets one from `kit.components.arrange`.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf

from kit.cabling import Connector, connector
from kit.components.arrange import Surface, arranged
from kit.components.cables import CableRun, plugs_behind
from kit.components.gear_item import RETAILER_MARGIN, GearItem, PlugAt, SizesFrom
from kit.components.made import Bay
from kit.components.spaces import BOTTOM, TOP, Spaces
from kit.components.stored import Stored
from kit.errors import BuildError
from kit.gear import GearKind
from kit.geometry import Box


@dataclass(frozen=True)
class Placed:
    """A device in its place. `body` is its box without knobs and plugs, `space` the clear room
    between the boards around it; mm. `bay` is None on the top of the case.

    `kind` holds what the maker says of this very device. `free_left` and `free_right` reach to
    the next device or board; negative where two want one place. `sharing` counts the devices in
    that space, itself included, and `row_width` is what their bodies take together. `arranged`
    says that the kit chose the place. `cabled` are the plugs of the cables that the design lists.
    """

    item: GearItem
    kind: GearKind
    body: Box
    space: Box
    bay: Bay | None
    sharing: int
    row_width: float
    free_left: float
    free_right: float
    arranged: bool
    cabled: tuple[Connector, ...]

    @property
    def where(self) -> str:
        """Its place as printed: `bay 1 on shelf-1`; it says where the kit chose it."""
        place = "on the top" if self.bay is None else f"{self.bay.name} on {self.item.on}"
        return f"{place}, placed by the kit" if self.arranged else place

    @property
    def within(self) -> Bay:
        """Its bay; only of a device that is not on the top."""
        assert self.bay is not None, self.item.name
        return self.bay

    @cached_property
    def plugs(self) -> tuple[tuple[PlugAt, Connector], ...]:
        """The plugs at its rear, as said and as in the tables."""
        said = self.item.plugs or tuple(PlugAt(kind=key) for key in self.kind.plugs)
        return tuple((plug, connector(plug.kind)) for plug in said)

    @property
    def plug(self) -> Connector:
        """The plug that reaches furthest back; one of unknown depth comes before all others."""
        behind = _behind((plug for _, plug in self.plugs), self.cabled)
        return max(behind, key=lambda plug: inf if plug.depth_mm is None else plug.depth_mm)

    @property
    def margin(self) -> float:
        """Added to each of its sizes for where they come from, mm."""
        return RETAILER_MARGIN if self.item.sizes is SizesFrom.RETAILER else 0.0

    @property
    def measured(self) -> bool:
        """Whether all three sizes of the body were given by the maker, and not by a retailer."""
        given = None not in (self.item.width, self.kind.height_mm, self.item.depth)
        known_height = self.item.height is not None or self.item.rack_units is not None
        return given and known_height and self.item.sizes is not SizesFrom.RETAILER

    @property
    def knobs(self) -> Box | None:
        """The zone of the knobs in front of the body."""
        reach = self.kind.knob_mm
        if not reach:
            return None
        (x0, y0, z0), (x1, _, z1) = self.body.lo, self.body.hi
        return Box((x0, y0 - reach, z0), (x1, y0, z1))

    @property
    def antennas(self) -> Box | None:
        """The zone of the aerials in use, above the rear of the body."""
        reach = self.kind.antenna_up_mm
        if not reach:
            return None
        (x0, _, _), (x1, y1, z1) = self.body.lo, self.body.hi
        return Box((x0, y1 - min(30.0, self.body.size[1]), z1), (x1, y1, z1 + reach))

    @property
    def rear(self) -> Box | None:
        """The zone of plugs and bends behind the body; None where its depth is not known."""
        if self.plug.depth_mm is None:
            return None
        (x0, _, z0), (x1, y1, z1) = self.body.lo, self.body.hi
        return Box((x0, y1, z0), (x1, y1 + self.plug.depth_mm, z1))

    @property
    def eye(self) -> tuple[float, float, float] | None:
        """Middle of the infrared receiver in the front of the body; None where it has none."""
        if not self.kind.infrared:
            return None
        (x0, y0, z0), (x1, _, z1) = self.body.lo, self.body.hi
        if self.item.eye is None:
            return ((x0 + x1) / 2, y0, (z0 + z1) / 2)
        return (x0 + self.item.eye.across, y0, z0 + self.item.eye.up)


def _behind(said: Iterable[Connector], cabled: Sequence[Connector]) -> list[Connector]:
    """What stands out behind a device; a plug on a cable of the design is as that cable has it."""
    listed = {plug.key for plug in cabled}
    return [*(plug for plug in said if plug.key not in listed), *cabled]


def place_gear(
    gear: Sequence[GearItem],
    cables: Sequence[CableRun],
    spaces: Spaces,
    open_front: frozenset[int],
    media: Sequence[Stored] = (),
) -> tuple[Placed, ...]:
    """Every device in its place, in the order of the design file.

    `open_front` are the numbers of the bays that no door ever closes; where `media` stand, the kit
    puts no device. Raises BuildError for a bay
    or shelf that is not there, and TableError for an unknown kind.
    """
    kinds = [item.as_kind for item in gear]
    homes = [_home(item, spaces) for item in gear]
    surfaces = [
        Surface(bay.number, on, spaces.above(bay.number, on), bay.number in open_front)
        for bay in spaces.bays
        for on in spaces.names(bay.number)
    ]
    taken: dict[tuple[int, str], float] = {}
    for stored in media:
        place = (stored.content.bay, stored.content.on)
        taken[place] = taken.get(place, 0.0) + stored.box.size[0]
    known = [home and (home[0] or 0, home[1]) for home in homes]
    found = arranged(kinds, known, surfaces, taken)
    rows: dict[tuple[int, str], list[tuple[int, GearItem, GearKind]]] = {}
    for number, (item, kind, (bay, on)) in enumerate(zip(gear, kinds, found, strict=True)):
        told = item.model_copy(update={"bay": bay or None, "on": on})
        rows.setdefault((bay, on), []).append((number, told, kind))
    placed: dict[int, Placed] = {}
    for (number, on), row in rows.items():
        within = spaces.bays[number - 1] if number else None
        space = spaces.above(number, on) if number else spaces.top
        free = [homes[index] is None for index, _, _ in row]
        placed |= _side_by_side(row, cables, space, within, free)
    return tuple(placed[number] for number in range(len(gear)))


def _home(item: GearItem, spaces: Spaces) -> tuple[int | None, str] | None:
    """(bay, surface) as the design says, bay None for the top; None where it leaves that open."""
    if item.on == TOP:
        if item.bay is not None:
            raise BuildError(
                f"{item.name} is to stand on the top, and bay {item.bay} is named too; "
                "leave one of the two out."
            )
        return (None, TOP)
    bay = item.bay
    if bay is None:
        if item.on is None:
            return None
        bay = spaces.bay_of(item.on)
        if bay is None:
            raise BuildError(
                f"{item.name} is to stand on {item.on!r}, and no bay is named; name the bay, or a "
                "shelf that is there."
            )
    spaces.find(item.name, bay, item.on or BOTTOM)
    return (bay, item.on or BOTTOM)


def _side_by_side(
    row: Sequence[tuple[int, GearItem, GearKind]],
    cables: Sequence[CableRun],
    space: Box,
    bay: Bay | None,
    chosen: Sequence[bool],
) -> dict[int, Placed]:
    """The devices of one surface by their number; `chosen` says which the kit placed."""
    total = sum(kind.width_mm for *_, kind in row)
    gap = (space.size[0] - total) / (len(row) + 1)
    x, spans = space.lo[0] + gap, []
    for _, item, kind in row:
        left = x if item.across is None else space.lo[0] + item.across
        spans.append((left, left + kind.width_mm))
        x += kind.width_mm + gap
    placed = {}
    for place, (number, item, kind) in enumerate(row):
        left, right = spans[place]
        before = [b for i, (a, b) in enumerate(spans) if i != place and a + b <= left + right]
        after = [a for i, (a, b) in enumerate(spans) if i != place and a + b > left + right]
        cabled = plugs_behind(cables, item.name, sockets=kind.sockets is not None)
        behind = _behind((connector(key) for key in kind.plugs), cabled)
        depths = [plug.depth_mm for plug in behind]
        rear = max((d for d in depths if d is not None), default=0.0)
        front = space.lo[1] + (kind.knob_mm or 0.0)
        spare = space.size[1] - (kind.knob_mm or 0.0) - kind.depth_mm - rear
        y = front + (max(0.0, spare) / 2 if item.set_back is None else item.set_back)
        floor = space.lo[2]
        body = Box((left, y, floor), (right, y + kind.depth_mm, floor + kind.height_mm))
        placed[number] = Placed(
            item=item,
            kind=kind,
            body=body,
            space=space,
            bay=bay,
            sharing=len(row),
            row_width=total,
            free_left=left - max([space.lo[0], *before]),
            free_right=min([space.hi[0], *after]) - right,
            arranged=chosen[place],
            cabled=cabled,
        )
    return placed
