"""Back panels: one a bay, one across several, or none.

All panels of a case lie in one plane, and the dividers stop in front of it. Three ways to
hold them, which differ in where that plane is and how far a panel reaches past the opening:

- rabbeted: flush with the rear, in a rabbet as deep as half the thickness of the case;
- let in: in a groove a third of the thickness deep, `inset` in from the rear; it goes in
  as the case is glued up and cannot come out;
- planted: screwed on behind, over the rear edges, its outer arrises chamfered.

Two panels that meet do so on the middle of a divider. A panel is less than its housing by
`slack` on each side.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from enum import Enum

from pydantic import Field

from kit.board import Board, Feature, FitNote, Surface
from kit.components.made import HEIGHT, Bay, Fastening, Frame, Made, Means, StockOf, stations
from kit.components.spec import BayNumber, Spec
from kit.errors import BuildError
from kit.geometry import Box, Heading, Place
from kit.hardware import wood_screw_for
from kit.joinery import Chamfer, Fit, Hole, Housing, house
from kit.units import in_both
from kit.units.fields import NonNegativeLength, PositiveLength

#: The gauge of the screws of rabbeted and planted panels; their length follows the panel.
GAUGE_NO = 6

#: Half the gap between two panels that meet on a divider, mm.
SEAM = 0.5


class Method(Enum):
    """How back panels are held."""

    RABBETED = "rabbeted"
    LET_IN = "let-in"
    PLANTED = "planted"


class PanelGrain(Enum):
    """How the face grain of the back panels runs."""

    UPRIGHT = "upright"
    LEVEL = "level"
    EITHER = "either"


class CableHole(Spec):
    """A hole for cables in a back panel."""

    diameter: PositiveLength
    """Diameter of the cutter."""
    across: PositiveLength
    """From the left of the panel's first bay to the middle of the hole."""
    up: PositiveLength
    """From the bottom of the bay to the middle of the hole."""


class Panel(Spec):
    """One back panel."""

    bays: tuple[BayNumber, ...] = Field(min_length=1, max_length=99)
    """Numbers of the bays it closes, side by side."""
    removable: bool = False
    """Screwed only, so that it can come off; otherwise glued too, and it stiffens the case."""
    holes: tuple[CableHole, ...] = Field(default=(), max_length=500)
    """Cable holes."""


class Back(Spec):
    """The back panels of the case."""

    stock: str
    """Key of the sheet goods."""
    method: Method = Method.RABBETED
    """rabbeted, let-in or planted."""
    panels: tuple[Panel, ...] = Field(min_length=1, max_length=99)
    """The panels; bays that none names stay open."""
    grain: PanelGrain = PanelGrain.UPRIGHT
    """upright, level (for a panel wider than a sheet), or either (as it comes out best)."""
    slack: NonNegativeLength = 0.8
    """Rabbeted and let-in panels: how much smaller than the housing on each side."""
    inset: PositiveLength = 12.0
    """Let-in panels: from the rear edge to the panel."""
    margin: NonNegativeLength = 3.0
    """Planted panels: how far they stay in from the outside of the case."""
    chamfer: NonNegativeLength = 3.0
    """Planted panels: chamfer on the outer arrises."""

    def closed(self) -> frozenset[int]:
        """Numbers of the bays that a panel closes."""
        return frozenset(number for panel in self.panels for number in panel.bays)


def plane(back: Back | None, depth: float, stock_of: StockOf) -> float:
    """Where the dividers stop: mm from the front of the case to the face of the panels."""
    if back is None or back.method is Method.PLANTED:
        return depth
    t = stock_of(back.stock).thickness_max_mm
    return depth - t - (back.inset if back.method is Method.LET_IN else 0.0)


def back_made(back: Back, frame: Frame, bays: Sequence[Bay], stock_of: StockOf) -> Made:
    """The panels, their housings in the case and their fastenings.

    Raises BuildError for bays that are not there, not side by side, or closed twice, and for
    panels smaller than their opening.
    """
    _check_bays(back, len(bays))
    boards = []
    side, top = frame.left, frame.top
    joint = side.box.hi[0] - top.box.lo[0]
    hidden = top.box.hi[2] == side.box.hi[2] and joint >= _reach(back, side.thickness) + back.slack
    corner = top.thickness if hidden else 0.0
    housings: dict[str, Housing] = {}
    fastenings: list[Fastening] = []
    for number, panel in enumerate(back.panels, start=1):
        first, last = bays[min(panel.bays) - 1], bays[max(panel.bays) - 1]
        board = _panel(f"back-{number}", panel, back, frame, (first, last), len(bays), stock_of)
        boards.append(board)
        in_case = [frame.top, frame.bottom]
        in_case += [frame.left] if first.number == 1 else []
        in_case += [frame.right] if last.number == len(bays) else []
        if back.method is not Method.PLANTED:
            fit = Fit.FLUSH if back.method is Method.RABBETED else Fit.EASY
            for host in in_case:
                #: Panels side by side share the housing of top and bottom, which runs through;
                #: that of a side runs out where the corner joint has taken the wood already.
                run_out = math.inf if host in (frame.top, frame.bottom) else corner
                cut = house(host, board, fit, slack=back.slack, run_out=(run_out, run_out))
                shared = housings.get(host.name)
                if shared is not None:
                    cut = replace(shared, also=(*shared.also, board.name))
                housings[host.name] = cut
        hosts = list(dict.fromkeys(b.name for b in (*in_case, first.left, last.right)))
        fastenings += _fastenings(back, panel, board, hosts)
    return Made(tuple(boards), tuple(housings.items()), tuple(fastenings))


def _panel(
    name: str,
    panel: Panel,
    back: Back,
    frame: Frame,
    span: tuple[Bay, Bay],
    bay_count: int,
    stock_of: StockOf,
) -> Board:
    stock = stock_of(back.stock)
    first, last = span
    at_left, at_right = first.number == 1, last.number == bay_count
    reach = _reach(back, frame.left.thickness)
    clear = frame.clear
    rear = frame.left.width
    if back.method is Method.PLANTED:
        rear += stock.thickness_mm
    elif back.method is Method.LET_IN:
        rear -= back.inset
    box = Box(
        (
            clear.lo[0] - reach if at_left else first.left.box.centre[0] + SEAM,
            rear - stock.thickness_mm,
            clear.lo[2] - reach,
        ),
        (
            clear.hi[0] + reach if at_right else last.right.box.centre[0] - SEAM,
            rear,
            clear.hi[2] + reach,
        ),
    )
    level = back.grain is PanelGrain.LEVEL
    ways = (Heading.RIGHT, Heading.UP) if level else (Heading.UP, Heading.RIGHT)
    place = Place.of(box, *ways, Heading.FRONT)
    features: list[Feature] = []
    for hole in panel.holes:
        room = (first.clear.lo[0] + hole.across, rear, first.clear.lo[2] + hole.up)
        along, across, _ = place.to_board(room)
        features.append(Hole(surface=Surface.FACE_A, at=(along, across), diameter=hole.diameter))
    if back.method is Method.PLANTED and back.chamfer:
        ends, edges = [Surface.END_1, Surface.END_2], [Surface.EDGE_1, Surface.EDGE_2]
        (low, high), (left, right) = (edges, ends) if level else (ends, edges)
        outer = [low, high] + [left] * at_left + [right] * at_right
        size = min(back.chamfer, stock.thickness_mm / 2)
        features.append(Chamfer(surface=Surface.FACE_B, on=tuple(outer), size=size))
    return Board(
        name=name,
        stock=stock,
        length=box.size[0] if level else box.size[2],
        width=box.size[2] if level else box.size[0],
        place=place,
        turnable=back.grain is PanelGrain.EITHER,
        fit=FitNote(
            "width" if level else "length",
            "clear height between top and bottom",
            2 * reach,
            HEIGHT,
        ),
        features=tuple(features),
    )


def _fastenings(
    back: Back, panel: Panel, board: Board, hosts: Sequence[str]
) -> Iterator[Fastening]:
    for host in hosts:
        if back.method is Method.LET_IN:
            if not host.startswith("divider"):
                yield Fastening(board=board.name, to=host, means=Means.GLUE)
            continue
        screw = wood_screw_for(board.thickness, GAUGE_NO)
        yield Fastening(
            board=board.name,
            to=host,
            means=Means.BACK_SCREWS,
            count=len(screw_stations(board, host)),
            item=screw.key,
            length=screw.length_mm,
            diameter=screw.diameter_mm,
            note="removable" if panel.removable else "glued too: it stiffens the case",
        )


def screw_stations(board: Board, host: str) -> tuple[float, ...]:
    """Where the screws of a panel stand along its side that lies on `host`.

    mm from its left along top and bottom, from its lower side along an upright.
    """
    long = board.box.size[0 if host in ("top", "bottom") else 2]
    return stations(40.0, long - 40.0, 150.0)


def _reach(back: Back, thickness: float) -> float:
    """How far a panel reaches past the clear opening at the case, mm."""
    share = {Method.PLANTED: 1, Method.RABBETED: 2, Method.LET_IN: 3}[back.method]
    held = thickness / share
    key, less = ("margin", back.margin) if share == 1 else ("slack", back.slack)
    if less >= held:
        raise BuildError(
            f"back.{key} is {in_both(less)}, and the case holds a panel over {in_both(held)}: it "
            f"would be smaller than its opening. Make back.{key} smaller."
        )
    return held - less


def _check_bays(back: Back, count: int) -> None:
    taken: set[int] = set()
    for number, panel in enumerate(back.panels, start=1):
        wanted = sorted(panel.bays)
        if wanted[0] < 1 or wanted[-1] > count:
            raise BuildError(
                f"back-{number} closes bays {', '.join(map(str, wanted))}, and the case has "
                f"{count}; name those that are there."
            )
        if wanted != list(range(wanted[0], wanted[-1] + 1)):
            raise BuildError(
                f"back-{number} closes bays {', '.join(map(str, wanted))}, which are not side by "
                "side; give each its own panel."
            )
        if taken & set(wanted):
            raise BuildError(
                f"back-{number} closes bay {min(taken & set(wanted))}, which another panel closes "
                "already; name each bay once."
            )
        if back.method is Method.LET_IN and panel.removable:
            raise BuildError(
                f"back-{number} is let in and cannot be removable; "
                'use method = "rabbeted" or "planted".'
            )
        taken |= set(wanted)
