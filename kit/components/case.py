"""The case: top, bottom and two sides, joined at four corners.

The maker fixes the overall size; the boards are solved from the measured stock. The sides
run the full height and the top and bottom end in them, so that one rule serves all three
corner joints:

    length of top = width of case - 2 x (thickness of side - depth of joint)

A case 26 in wide with sides 21/32 in thick and rabbets 3/8 in deep has a top of 25 7/16 in.
In a rabbet the top is flush with the ends of the sides. In a dado it stands in from the
ends, and the sides may run on to the floor. In a butt joint the depth is nought and screws
go through the sides.
"""

from enum import Enum

from kit.board import Board, Feature, Surface
from kit.components.made import Fastening, Frame, Made, Means, StockOf, stations
from kit.components.spec import Spec
from kit.cutters import cutter
from kit.errors import BuildError
from kit.geometry import Box, Heading, Place
from kit.hardware import edging, wood_screw
from kit.joinery import Fit, HoleRow, Purpose, cross_pins, house
from kit.materials import rod_of
from kit.units import in_both
from kit.units.fields import NonNegativeLength, PositiveLength

#: The wood screw of butted and screwed joints, and its clearance hole.
SCREW = wood_screw("screw-8x2")
SCREW_HOLE = cutter(SCREW.clearance_cutter).diameter_mm


class Corner(Enum):
    """How top and bottom end in the sides."""

    RABBET = "rabbet"
    DADO = "dado"
    BUTT = "butt"


class CornerPins(Spec):
    """Rods driven through the sides into the ends of top and bottom."""

    diameter: PositiveLength = 6.35
    """Diameter of the rod."""
    depth: PositiveLength = 32.0
    """How deep a rod goes into the end of the top or bottom."""
    spacing: PositiveLength = 100.0
    """Greatest distance between two rods."""


class Case(Spec):
    """Top, bottom and sides. Overall sizes are what stays; boards follow from the stock."""

    width: PositiveLength
    """Overall width."""
    height: PositiveLength
    """Overall height, without the base."""
    depth: PositiveLength
    """Overall depth, without doors' pulls and without a planted back."""
    stock: str
    """Key of the sheet goods."""
    corner: Corner = Corner.RABBET
    """Corner joint: rabbet, dado or butt."""
    corner_depth: PositiveLength | None = None
    """Depth of the corner joint; two thirds of the thickness for a rabbet, a third for a dado."""
    inset_top: NonNegativeLength = 12.0
    """Dado corners: how far the sides stand above the top."""
    inset_bottom: NonNegativeLength = 50.0
    """Dado corners: how far the sides run below the bottom."""
    pins: CornerPins | None = None
    """Cross pins through rabbeted corners."""
    edging: str | None = None
    """Key of the edging on the front edges of case, dividers and shelves."""


def frame(case: Case, stock_of: StockOf) -> Frame:
    """The four boards in place, with their tongues but before any cut.

    Raises BuildError when the boards leave no room inside.
    """
    stock = stock_of(case.stock)
    t = stock.thickness_mm
    enters = _joint_depth(case, t)
    up, down = _insets(case)
    if case.width <= 2 * t or case.height - up - down <= 2 * t:
        raise BuildError(
            f"The case is {in_both(case.width)} wide and {in_both(case.height)} high, and its "
            f"boards are {in_both(t)} thick: nothing is left inside. Make it larger."
        )

    def board(name: str, box: Box, along: Heading, out: Heading) -> Board:
        place = Place.of(box, along, Heading.BACK, out)
        sizes = place.box_to_board(box).size
        return Board(
            name=name,
            stock=stock,
            length=sizes[0],
            width=sizes[1],
            place=place,
            edging=edging(case.edging) if case.edging else None,
            edged=(Surface.EDGE_1,) if case.edging else (),
        )

    w, h, d = case.width, case.height, case.depth
    x0, x1 = t - enters, w - t + enters
    top = Box((x0, 0.0, h - up - t), (x1, d, h - up))
    bottom = Box((x0, 0.0, down), (x1, d, down + t))
    return Frame(
        top=board("top", top, Heading.RIGHT, Heading.UP),
        bottom=board("bottom", bottom, Heading.RIGHT, Heading.DOWN),
        left=board("side-left", Box((0.0, 0.0, 0.0), (t, d, h)), Heading.UP, Heading.LEFT),
        right=board("side-right", Box((w - t, 0.0, 0.0), (w, d, h)), Heading.UP, Heading.RIGHT),
        clear=Box((t, 0.0, down + t), (w - t, d, h - up - t)),
    )


def case_made(case: Case, frame: Frame, front: float, rear: float) -> Made:
    """The boards of the case and their corner joints; pins keep between `front` and `rear` mm."""
    cuts: list[tuple[str, Feature]] = []
    fastenings = []
    ends = [(side, lid) for side in (frame.left, frame.right) for lid in (frame.top, frame.bottom)]
    screwed = stations(front + 40.0, rear - 40.0, 150.0)
    for side, lid in ends:
        if case.corner is Corner.BUTT:
            across = side.place.to_board(lid.box.centre)[0]
            cuts.append((side.name, _screw_row(across, screwed)))
            fastenings.append(
                Fastening(
                    board=side.name,
                    to=lid.name,
                    means=Means.SCREWS,
                    count=len(screwed),
                    item=SCREW.key,
                    length=SCREW.length_mm,
                    diameter=SCREW.diameter_mm,
                )
            )
        else:
            fit = Fit.FLUSH if case.corner is Corner.RABBET else Fit.GLUED
            cuts.append((side.name, house(side, lid, fit)))
            fastenings.append(Fastening(board=side.name, to=lid.name, means=Means.GLUE))
        if case.pins:
            if case.corner is not Corner.RABBET:
                raise BuildError(
                    f"Cross pins hold rabbeted corners, and these are {case.corner.value} joints; "
                    'set case.corner = "rabbet" or take case.pins out.'
                )
            at = stations(front + 25.0, rear - 25.0, case.pins.spacing)
            pitch = at[1] - at[0] if len(at) > 1 else 0.0
            in_side, in_end = cross_pins(
                side,
                lid,
                diameter=case.pins.diameter,
                depth=case.pins.depth,
                stations=(at[0], pitch, len(at)),
            )
            cuts += [(side.name, in_side), (lid.name, in_end)]
            rod = rod_of(case.pins.diameter)
            fastenings.append(
                Fastening(
                    board=side.name,
                    to=lid.name,
                    means=Means.CROSS_PINS,
                    count=len(at),
                    item=rod.key if rod else None,
                    length=case.pins.depth + (in_side.depth or 0.0),
                    diameter=case.pins.diameter,
                )
            )
    return Made(frame.boards, tuple(cuts), tuple(fastenings))


def _joint_depth(case: Case, thickness: float) -> float:
    if case.corner is Corner.BUTT:
        return 0.0
    share = 2 / 3 if case.corner is Corner.RABBET else 1 / 3
    depth = case.corner_depth or share * thickness
    if depth >= thickness:
        raise BuildError(
            f"case.corner_depth is {in_both(depth)} and the sides are {in_both(thickness)} thick; "
            f"the {case.corner.value} must be shallower than its board."
        )
    return depth


def _insets(case: Case) -> tuple[float, float]:
    return (case.inset_top, case.inset_bottom) if case.corner is Corner.DADO else (0.0, 0.0)


def _screw_row(across: float, at: tuple[float, ...]) -> HoleRow:
    return HoleRow(
        surface=Surface.FACE_A,
        at=(across, at[0]),
        pitch=at[1] - at[0] if len(at) > 1 else 0.0,
        count=len(at),
        along=1,
        diameter=SCREW_HOLE,
        purpose=Purpose.SCREW,
    )
