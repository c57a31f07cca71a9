"""Sliding doors: two or three doors on two tracks, plain grooves in top and bottom.

A door stands on the floor of the bottom groove and reaches into the top one:

    height = clear height + depth of top groove - lift clearance
    engagement = height - clear height - depth of bottom groove

It goes in by lifting it into the top groove, so the lift clearance must be more than
nought; it stays in while the engagement is. A groove is wider than the thickest door by
the play. Doors that cover the whole opening are (opening + overlaps) / count wide; doors
at the two ends leave the middle open and pass their divider by the overlap.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

from pydantic import Field

from kit.board import Board, Feature, FitNote, Surface
from kit.components.made import HEIGHT, Bay, Frame, Made, StockOf
from kit.components.spec import Spec
from kit.errors import BuildError
from kit.geometry import SAME_MM, Box, Heading, Place
from kit.hardware import edging
from kit.joinery import Fit, Groove, Hole, Purpose, SlotField
from kit.units import in_both
from kit.units.fields import Length, NonNegativeLength, PositiveLength

#: Free space between the rear track and what stands behind it, mm.
BEHIND = 2.0

#: Least clearance above a door as it is lifted in, and least reach into the top groove as it
#: stands, mm (the builders' recipe for doors in plain grooves).
LEAST_LIFT = 0.5
LEAST_ENGAGED = 2.0

#: The mate of a track: no single board, but each door that passes.
TRACK = "sliding doors"

ROUND = (Surface.EDGE_1, Surface.EDGE_2, Surface.END_1, Surface.END_2)


class Layout(Enum):
    """Which part of the opening the doors cover when shut."""

    BYPASS = "bypass"
    ENDS = "ends"


class Style(Enum):
    """The look of a door."""

    PLAIN = "plain"
    SLATTED = "slatted"
    PULL_HOLE = "pull-hole"


class Slats(Spec):
    """Upright slots through a door, with a frame round them."""

    slot: PositiveLength = 12.7
    """Width of a slot: the cutter's diameter."""
    land: PositiveLength = 19.0
    """Wood between two slots."""
    frame: PositiveLength = 45.0
    """Least wood round the field."""


class Doors(Spec):
    """The sliding doors of a case."""

    stock: str
    """Key of the sheet goods."""
    layout: Layout = Layout.BYPASS
    """bypass (they cover the whole opening) or ends (the middle stays open)."""
    count: int = Field(default=2, ge=2, le=3)
    """Two or three."""
    style: Style = Style.PLAIN
    """plain, slatted or pull-hole."""
    overlap: NonNegativeLength = 25.0
    """How far two doors overlap, or a door passes its divider."""
    top_depth: PositiveLength = 9.0
    """Depth of the top groove."""
    bottom_depth: PositiveLength = 3.0
    """Depth of the bottom groove."""
    play: PositiveLength = Fit.SLIDING.gap
    """How much wider a groove is than the thickest door."""
    land: PositiveLength = 8.0
    """Wood between the two grooves."""
    front_land: PositiveLength = 8.0
    """Wood in front of the front groove."""
    lift_clearance: Length = 1.5
    """What is left above a door as it is lifted in."""
    height: PositiveLength | None = None
    """Height of the doors, where it is not to follow from the grooves."""
    slats: Slats = Slats()
    """Slots of slatted doors."""
    pull: PositiveLength = 35.0
    """Diameter of pull holes."""
    edging: str | None = None
    """Key of the edging on all four sides."""


@dataclass(frozen=True, slots=True)
class Door:
    """One door as hung: its board, and the span of its travel (left edge, mm in X)."""

    board: Board
    track: int
    shut: float
    least: float
    most: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorSet:
    """The doors of a case with the numbers that the checks hold against each other, mm."""

    spec: Doors
    doors: tuple[Door, ...]
    opening: Box
    groove: float
    lift: float
    engagement: float
    zone: float


def is_track(feature: Feature) -> bool:
    """Whether a cut is a track of sliding doors."""
    return isinstance(feature, Groove) and feature.mate == TRACK


def zone(doors: Doors | None, stock_of: StockOf) -> float:
    """Depth that the two tracks take at the front of the case, mm; nought without doors."""
    if doors is None:
        return 0.0
    groove = stock_of(doors.stock).thickness_max_mm + doors.play
    return doors.front_land + 2 * groove + doors.land + BEHIND


def open_bays(doors: Doors | None, bays: Sequence[Bay]) -> frozenset[int]:
    """Numbers of the bays that stand open while the doors are shut."""
    every = [bay.number for bay in bays]
    if doors is None:
        return frozenset(every)
    return frozenset(every[1:-1] if doors.layout is Layout.ENDS else ())


def hang(doors: Doors, frame: Frame, bays: Sequence[Bay], stock_of: StockOf) -> DoorSet:
    """The doors in place, shut.

    Raises BuildError where the layout does not suit the bays.
    """
    stock = stock_of(doors.stock)
    groove = stock.thickness_max_mm + doors.play
    clear = frame.clear
    opening = Box(clear.lo, (clear.hi[0], 0.0, clear.hi[2]))
    room = clear.size[2]
    height = doors.height or room + doors.top_depth - doors.lift_clearance
    foot = clear.lo[2] - doors.bottom_depth
    spans = _spans(doors, clear, bays)
    hung = []
    for number, (x0, x1, track) in enumerate(spans, start=1):
        y0 = doors.front_land + (groove + doors.land) * track + (groove - stock.thickness_mm) / 2
        box = Box((x0, y0, foot), (x1, y0 + stock.thickness_mm, foot + height))
        board = Board(
            name=f"door-{number}",
            stock=stock,
            length=height,
            width=x1 - x0,
            place=Place.of(box, Heading.UP, Heading.RIGHT, Heading.FRONT),
            edging=edging(doors.edging) if doors.edging else None,
            edged=ROUND if doors.edging else (),
            fit=FitNote("length", "clear height between top and bottom", height - room, HEIGHT),
        )
        board = board.having(*_dressing(doors, board, left=number == 1))
        hung.append(Door(board, track, x0, clear.lo[0], clear.hi[0] - (x1 - x0)))
    return DoorSet(
        spec=doors,
        doors=tuple(hung),
        opening=opening,
        groove=groove,
        lift=room + doors.top_depth - height,
        engagement=height - room - doors.bottom_depth,
        zone=zone(doors, stock_of),
    )


def doors_made(hung: DoorSet, frame: Frame) -> Made:
    """The doors and their tracks, which run the whole length of top and bottom."""
    spec = hung.spec
    cuts: list[tuple[str, Feature]] = []
    for lid, depth in ((frame.top, spec.top_depth), (frame.bottom, spec.bottom_depth)):
        for track in (0, 1):
            groove = Groove(
                surface=Surface.FACE_B,
                offset=spec.front_land + track * (hung.groove + spec.land),
                width=hung.groove,
                depth=depth,
                start=0.0,
                stop=lid.length,
                mate=TRACK,
                fit=Fit.SLIDING,
            )
            cuts.append((lid.name, groove))
    return Made(tuple(door.board for door in hung.doors), tuple(cuts))


def _spans(doors: Doors, clear: Box, bays: Sequence[Bay]) -> list[tuple[float, float, int]]:
    """Left edge, right edge and track (0 front, 1 rear) of each door when shut."""
    x0, x1 = clear.lo[0], clear.hi[0]
    spans = _ends(doors, x0, x1, bays) if doors.layout is Layout.ENDS else _bypass(doors, x0, x1)
    for track in (0, 1):
        edges = [x0, *(x for a, b, on in spans if on == track for x in (a, b)), x1]
        if any(b < a - SAME_MM for a, b in pairwise(edges)):
            raise BuildError(
                f"doors.overlap is {in_both(doors.overlap)}, too much for {doors.count} doors in "
                f"an opening {in_both(x1 - x0)} wide; make it smaller."
            )
    return spans


def _ends(
    doors: Doors, x0: float, x1: float, bays: Sequence[Bay]
) -> list[tuple[float, float, int]]:
    if doors.count != 2 or len(bays) < 3:
        raise BuildError(
            f'doors.layout = "ends" wants 2 doors and 3 bays or more; there are {doors.count} '
            f'doors and {len(bays)} bays. Use layout = "bypass" or add dividers.'
        )
    first, last = bays[0], bays[-1]
    return [
        (x0, first.clear.hi[0] + doors.overlap, 1),
        (last.clear.lo[0] - doors.overlap, x1, 0),
    ]


def _bypass(doors: Doors, x0: float, x1: float) -> list[tuple[float, float, int]]:
    width = (x1 - x0 + (doors.count - 1) * doors.overlap) / doors.count
    step = width - doors.overlap
    return [(x0 + i * step, x0 + i * step + width, 1 - i % 2) for i in range(doors.count)]


def _dressing(doors: Doors, board: Board, *, left: bool) -> tuple[Feature, ...]:
    if doors.style is Style.SLATTED:
        return (slat_field(doors.slats, board),)
    if doors.style is Style.PULL_HOLE:
        inset = 1.5 * doors.pull
        across = inset if left else board.width - inset
        return (
            Hole(
                surface=Surface.FACE_A,
                at=(board.length / 2, across),
                diameter=doors.pull,
                purpose=Purpose.PULL,
            ),
        )
    return ()


def slat_field(slats: Slats, board: Board) -> SlotField:
    """As many upright slots as the frame leaves room for, centred on the board.

    Raises BuildError where not even one fits.
    """
    pitch = slats.slot + slats.land
    count = int((board.width - 2 * slats.frame + slats.land) // pitch)
    length = board.length - 2 * slats.frame
    if count < 1 or length < slats.slot:
        raise BuildError(
            f"{board.name} is {in_both(board.length)} x {in_both(board.width)}: no room for slots "
            f"inside a frame of {in_both(slats.frame)}; make doors.slats.frame smaller."
        )
    field = count * pitch - slats.land
    return SlotField(
        at=(board.length / 2, (board.width - field + slats.slot) / 2),
        slot_length=length,
        slot_width=slats.slot,
        pitch=pitch,
        count=count,
    )
