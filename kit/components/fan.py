"""The fan: it draws air out of a bay through its back, or blows it in.

It sits on the inside of the back panel of its bay, over an opening that is bored for it with the
four holes of its screws. Where the bay has no panel, or the panel no place for it, it is not
mounted: nothing is bored, it moves nothing, and a check says so.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Annotated, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from kit.board import Board, Feature, Surface
from kit.components.back import Back
from kit.components.made import Made
from kit.components.spaces import Spaces
from kit.components.spec import BayNumber, Name, Spec
from kit.errors import BuildError
from kit.geometry import Box
from kit.hardware import FanKind, fan_kind
from kit.joinery import Hole, HoleRow, Purpose
from kit.units import MM_PER_INCH, System
from kit.units.fields import PositiveLength

#: One cubic foot a minute, in m³/h.
M3_H_PER_CFM = 1.6990108
#: Clear round the frame of a fan that the kit places, mm. Common practice, no source.
CLEAR = 10.0
#: From one place that is tried for a fan to the next, mm.
ASIDE = 10.0
#: The grid on which the kit places it, measured on its panel, mm.
TICK = {System.INCH: MM_PER_INCH / 32, System.METRIC: 0.5}

type Flow = Annotated[float, Field(gt=0, le=2000, allow_inf_nan=False)]


class FanPlace(Enum):
    """Where a fan sits in its bay."""

    HIGH = "high"
    LOW = "low"


class Moves(Enum):
    """Which way a fan moves the air of its bay."""

    OUT = "out"
    IN = "in"


class Fan(Spec):
    """One fan on the back panel of a bay, which is bored for it."""

    name: Name
    """Its name as printed."""
    kind: str = "fan-120"
    """Key of the size of its frame: fan-80, fan-92, fan-120 or fan-140."""
    bay: BayNumber
    """Number of the bay, from 1 at the left."""
    at: FanPlace = FanPlace.HIGH
    """high or low in the bay."""
    across: PositiveLength | None = None
    """From the left of the bay to its middle; where left out, as near the middle as is free."""
    up: PositiveLength | None = None
    """From the bottom of the bay to its middle; where left out, as `at` says."""
    moves: Moves = Moves.OUT
    """out (it draws air out of the bay) or in."""
    free_flow_m3_h: Flow | None = None
    """Flow against no pressure, m³/h, as its data sheet says."""
    free_flow_cfm: Flow | None = None
    """The same in cubic feet a minute; give one of the two."""
    max_pressure_pa: float = Field(gt=0, le=2000, allow_inf_nan=False)
    """Pressure at which it moves no air any more, Pa (1 mm of water is 9.8 Pa)."""

    @model_validator(mode="after")
    def _one_flow(self) -> Self:
        if (self.free_flow_m3_h is None) == (self.free_flow_cfm is None):
            raise PydanticCustomError(
                "fan_flow", "write one of free_flow_m3_h and free_flow_cfm", {}
            )
        return self

    @property
    def m3_h(self) -> float:
        """Flow against no pressure, m³/h."""
        if self.free_flow_m3_h is not None:
            return self.free_flow_m3_h
        assert self.free_flow_cfm is not None
        return self.free_flow_cfm * M3_H_PER_CFM


@dataclass(frozen=True, slots=True)
class Mounted:
    """A fan on the panel `board`, which is bored for it; `body` is its frame in the room, mm.

    Where it could not be mounted, board and body are None, and `why` says why. `room_mm` is the
    widest frame that its place has room for.
    """

    spec: Fan
    kind: FanKind
    board: str | None = None
    body: Box | None = None
    room_mm: float = 0.0
    why: str = ""


def fans_made(
    fans: Sequence[Fan],
    back: Back | None,
    boards: Mapping[str, Board],
    spaces: Spaces,
    system: System,
) -> tuple[Made, tuple[Mounted, ...]]:
    """The openings and screw holes of the fans in their panels, and where each sits.

    `boards` are those of the case with every other cut that a panel gets. Raises BuildError for a
    bay that is not there, and TableError for a kind that is not in the table.
    """
    cuts: list[tuple[str, Feature]] = []
    mounted: list[Mounted] = []
    for fan in fans:
        if fan.bay > len(spaces.bays):
            raise BuildError(
                f"{fan.name} is meant for bay {fan.bay}, and the case has {len(spaces.bays)}; "
                "name one of those, counted from the left."
            )
        kind = fan_kind(fan.kind)
        panels = enumerate(back.panels if back else (), start=1)
        number = next((n for n, panel in panels if fan.bay in panel.bays), None)
        if number is None:
            why = (
                f"bay {fan.bay} has no back panel, so that nothing holds {fan.name} and air would "
                "pass beside it; close the bay (back.panels), or take the fan out"
            )
            mounted.append(Mounted(fan, kind, why=why))
            continue
        panel = boards[f"back-{number}"]
        taken = [m.body for m in mounted if m.body is not None]
        sits = _mount(fan, kind, panel, _span(fan, spaces), taken, system)
        mounted.append(sits)
        if sits.body is not None:
            cuts += ((panel.name, feature) for feature in _bored(kind, panel, sits.body))
    return Made(cuts=tuple(cuts)), tuple(mounted)


def _span(fan: Fan, spaces: Spaces) -> Box:
    """The clear room of its bay that a fan may sit behind: the highest, or the lowest."""
    levels = sorted(
        (spaces.above(fan.bay, name) for name in spaces.names(fan.bay)), key=lambda box: box.lo[2]
    )
    if fan.up is not None:
        return spaces.bays[fan.bay - 1].clear
    return levels[-1 if fan.at is FanPlace.HIGH else 0]


def _mount(
    fan: Fan, kind: FanKind, panel: Board, span: Box, others: Sequence[Box], system: System
) -> Mounted:
    """The fan at the place that is said, or at the first one that is free."""
    half, wide = kind.frame_mm / 2, kind.frame_mm
    (x0, _, z0), (x1, _, z1) = span.lo, span.hi
    room = min(x1 - x0, z1 - z0)
    if room < wide:
        why = f"its frame does not go behind bay {fan.bay}; take a smaller one, or move a shelf"
        return Mounted(fan, kind, room_mm=max(0.0, room), why=why)
    clear = min(CLEAR, (room - wide) / 2)
    high = z1 - clear - half if fan.at is FanPlace.HIGH else z0 + clear + half
    z = high if fan.up is None else z0 + fan.up
    across = _tried(x0 + half + clear, x1 - half - clear)
    for x in across if fan.across is None else [x0 + fan.across]:
        body = _body(kind, panel, _on_the_grid(panel, (x, z), system, fan))
        aside = _beside(body, span)
        if aside > 0.0:
            why = f"at the place that is said it stands {aside:.0f} mm over the edge of the bay"
            return Mounted(fan, kind, room_mm=max(0.0, wide - 2 * aside), why=f"{why}; move it in")
        if fan.across is not None or not _meets(body, panel, others):
            return Mounted(fan, kind, panel.name, body, room)
    why = f"the holes of {panel.name} leave no place for its frame; move one (back.panels.holes)"
    return Mounted(fan, kind, why=why)


def _tried(low: float, high: float) -> Iterator[float]:
    """Places from the middle outwards, to either side in turn."""
    middle, steps = (low + high) / 2, int((high - low) / 2 / ASIDE)
    yield middle
    for step in range(1, steps + 1):
        yield from (middle - step * ASIDE, middle + step * ASIDE)


def _on_the_grid(
    panel: Board, at: tuple[float, float], system: System, fan: Fan
) -> tuple[float, float]:
    """X and Z of a place in the room that measures whole ticks on the panel, where the kit chose it
    and not the maker."""
    tick = TICK[system]
    point = panel.place.to_board((at[0], panel.box.hi[1], at[1]))
    x, _, z = panel.place.to_room(
        (round(point[0] / tick) * tick, round(point[1] / tick) * tick, point[2])
    )
    return (x if fan.across is None else at[0], z if fan.up is None else at[1])


def _body(kind: FanKind, panel: Board, at: tuple[float, float]) -> Box:
    """The frame before the inner face of the panel."""
    half, face = kind.frame_mm / 2, panel.box.lo[1]
    return Box(
        (at[0] - half, face - kind.thick_mm, at[1] - half), (at[0] + half, face, at[1] + half)
    )


def _beside(body: Box, span: Box) -> float:
    """How far a frame stands over the clear room of its bay, mm; less than 0.5 mm is a rounding."""
    over = max(max(span.lo[i] - body.lo[i], body.hi[i] - span.hi[i]) for i in (0, 2))
    return over if over > 0.5 else 0.0


def _meets(body: Box, panel: Board, others: Sequence[Box]) -> bool:
    """Whether a frame covers a cut of the panel that goes through it, or another fan."""
    (x0, _, z0), (x1, _, z1) = body.lo, body.hi
    before = Box((x0, panel.box.lo[1], z0), (x1, panel.box.hi[1], z1))
    through = [box for feature, cuts in panel.cuts_in_room if feature.hole_count for _, box in cuts]
    return any(before.common(box) for box in through) or any(body.common(box) for box in others)


def _bored(kind: FanKind, panel: Board, body: Box) -> Iterator[Feature]:
    """The opening, and the holes of the screws in two rows."""
    x, _, z = body.centre
    apart = kind.screws_apart_mm

    def at(x: float, z: float) -> tuple[float, float]:
        along, across, _ = panel.place.to_board((x, panel.box.hi[1], z))
        return (along, across)

    middle = at(x, z)
    yield Hole(surface=Surface.FACE_A, at=middle, diameter=kind.opening_mm, purpose=Purpose.FAN)
    for across in (middle[1] - apart / 2, middle[1] + apart / 2):
        yield HoleRow(
            surface=Surface.FACE_A,
            at=(middle[0] - apart / 2, across),
            pitch=apart,
            count=2,
            along=0,
            diameter=kind.screw_hole_mm,
            purpose=Purpose.FAN_SCREW,
        )
