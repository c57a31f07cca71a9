"""The divider: an upright board from bottom to top that makes two bays of one.

It stands behind the sliding doors and in front of the back panels, so that both pass it.
Its length is the clear height inside plus the depth of both dadoes; it is cut to fit after
the case has been dry-fitted and measured.
"""

from collections.abc import Sequence
from enum import Enum
from itertools import pairwise

from kit.board import Board, Feature, FitNote, Surface
from kit.components.case import SCREW, SCREW_HOLE
from kit.components.made import HEIGHT, Bay, Fastening, Frame, Made, Means, StockOf, stations
from kit.components.spec import Spec
from kit.errors import BuildError
from kit.geometry import Box, Heading, Place
from kit.hardware import fitting
from kit.joinery import HoleRow, Purpose, house
from kit.units import in_both
from kit.units.fields import PositiveLength

#: The dowel, and how deep it goes into the face of a board as a share of the thickness; its
#: hole in the end is 1 mm deeper than the rest of it. Common practice, no source.
DOWEL = fitting("dowel-8x30")
DOWEL_SHARE = 0.55


#: A narrower bay takes no hand and no tool, and nothing stands in it, mm. Common practice, no
#: source.
LEAST_BAY = 20.0


class DividerJoint(Enum):
    """How a divider is held at top and bottom."""

    DADO = "dado"
    DOWELS = "dowels"
    SCREWS = "screws"


class Divider(Spec):
    """One divider of the case."""

    at: PositiveLength
    """From the outside of the left side to the middle of the divider."""
    joint: DividerJoint = DividerJoint.DADO
    """dado, dowels or screws."""
    stock: str | None = None
    """Key of the sheet goods; that of the case where left out."""


def divider_boards(
    dividers: Sequence[Divider],
    frame: Frame,
    *,
    front: float,
    rear: float,
    stock_of: StockOf,
) -> tuple[Board, ...]:
    """The dividers from left to right, in place between `front` and `rear` (mm from the front).

    Raises BuildError for one outside the case, two in one place, or a bay under `LEAST_BAY`.
    """
    boards: list[Board] = []
    clear = frame.clear
    for number, divider in enumerate(sorted(dividers, key=lambda d: d.at), start=1):
        stock = stock_of(divider.stock or frame.top.stock.key)
        t = stock.thickness_mm
        x0, x1 = divider.at - t / 2, divider.at + t / 2
        if x0 <= clear.lo[0] or x1 >= clear.hi[0]:
            raise BuildError(
                f"divider-{number} stands at {in_both(divider.at)}, outside the clear inside of "
                f"the case, {in_both(clear.lo[0])} to {in_both(clear.hi[0])}; "
                "move it between the sides."
            )
        if boards and x0 <= boards[-1].box.hi[0]:
            raise BuildError(
                f"divider-{number} at {in_both(divider.at)} runs into {boards[-1].name}; "
                "move them apart or take one out."
            )
        beside = boards[-1] if boards else frame.left
        for other, wide in (
            (beside, x0 - beside.box.hi[0]),
            (frame.right, frame.right.box.lo[0] - x1),
        ):
            if wide < LEAST_BAY:
                raise BuildError(
                    f"divider-{number} at {in_both(divider.at)} leaves a bay of {in_both(wide)} "
                    f"beside {other.name}; make it {in_both(LEAST_BAY)} at least, or take the "
                    "divider out."
                )
        enters = frame.top.thickness / 3 if divider.joint is DividerJoint.DADO else 0.0
        box = Box((x0, front, clear.lo[2] - enters), (x1, rear, clear.hi[2] + enters))
        place = Place.of(box, Heading.UP, Heading.BACK, Heading.LEFT)
        boards.append(
            Board(
                name=f"divider-{number}",
                stock=stock,
                length=box.size[2],
                width=box.size[1],
                place=place,
                edging=frame.top.edging,
                edged=frame.top.edged,
                fit=FitNote("length", "clear height between top and bottom", 2 * enters, HEIGHT),
            )
        )
    return tuple(boards)


def dividers_made(dividers: Sequence[Divider], boards: Sequence[Board], frame: Frame) -> Made:
    """The dividers with their joints in top and bottom."""
    cuts: list[tuple[str, Feature]] = []
    fastenings = []
    for divider, board in zip(sorted(dividers, key=lambda d: d.at), boards, strict=True):
        at = stations(50.0, board.width - 50.0, 150.0)
        for lid in (frame.top, frame.bottom):
            if divider.joint is DividerJoint.DADO:
                #: It runs out at the rear, towards the wall, and never at the front.
                behind = lid.width - board.box.hi[1]
                cuts.append((lid.name, house(lid, board, run_out=(0.0, behind))))
                fastenings.append(Fastening(board=board.name, to=lid.name, means=Means.GLUE))
                continue
            box = lid.place.box_to_board(board.box)
            middle, front = box.centre[0], box.lo[1]
            pitch = at[1] - at[0] if len(at) > 1 else 0.0
            screwed = divider.joint is DividerJoint.SCREWS
            in_lid = HoleRow(
                surface=Surface.FACE_A if screwed else Surface.FACE_B,
                at=(middle, front + at[0]),
                pitch=pitch,
                count=len(at),
                along=1,
                diameter=SCREW_HOLE if screwed else DOWEL.hole_mm,
                depth=None if screwed else DOWEL_SHARE * lid.thickness,
                purpose=Purpose.SCREW if screwed else Purpose.DOWEL,
            )
            cuts.append((lid.name, in_lid))
            if not screwed:
                in_end = HoleRow(
                    surface=Surface.END_2 if lid is frame.top else Surface.END_1,
                    at=(at[0], board.thickness / 2),
                    pitch=pitch,
                    count=len(at),
                    along=1,
                    diameter=DOWEL.hole_mm,
                    depth=DOWEL.length_mm - DOWEL_SHARE * lid.thickness + 1.0,
                    purpose=Purpose.DOWEL,
                )
                cuts.append((board.name, in_end))
            fastenings.append(
                Fastening(
                    board=board.name,
                    to=lid.name,
                    means=Means.SCREWS if screwed else Means.DOWELS,
                    count=len(at),
                    item=(SCREW if screwed else DOWEL).key,
                    length=(SCREW if screwed else DOWEL).length_mm,
                    diameter=(SCREW if screwed else DOWEL).diameter_mm,
                )
            )
    return Made(tuple(boards), tuple(cuts), tuple(fastenings))


def bays(
    frame: Frame, dividers: Sequence[Board], *, front: float, rear: float, closed: frozenset[int]
) -> tuple[Bay, ...]:
    """The bays from left to right; `closed` are the numbers of those with a back panel.

    A bay reaches from `front` to `rear` where it has a panel, else to the rear edge.
    """
    uprights = (frame.left, *dividers, frame.right)
    clear = frame.clear
    return tuple(
        Bay(
            number,
            Box(
                (left.box.hi[0], front, clear.lo[2]),
                (right.box.lo[0], rear if number in closed else clear.hi[1], clear.hi[2]),
            ),
            left,
            right,
            open_back=number not in closed,
        )
        for number, (left, right) in enumerate(pairwise(uprights), start=1)
    )
