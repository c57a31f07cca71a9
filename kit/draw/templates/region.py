"""What deserves a template: corners of boards with cuts that are hard to lay out with a rule.

Decided by the features alone:

- holes in a face, and rows of them, but for shelf pins (a jig keeps their pitch over the whole
  height, and paper does not);
- notches;
- slot fields: the ends of the first slots at each corner of the field;
- pocket holes out of an end; those along an edge are marked with a rule;
- a board that is small as a whole and has any of these: all of it.

Channels and chamfers follow a fence or a bearing; they are shown where they lie in a region,
and get none of their own. Holes in edges and ends are bored through the face of the mate or
with a jig. Of a row or field that runs on past `REACH` its ends are shown: the rest follows
with the same pitch. A cut that begins farther than `REACH` from every corner gets no template:
paper over so much bare wood is less true than a rule. All cuts keep their distance from the
datum corner, so a board that is still to be cut to fit has templates from that end or edge only.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from kit.board import Board, Feature, Surface
from kit.draw.parts.surface import Sight
from kit.geometry import SAME_MM, Box, Cutter, Drill, Slot, cutter_box
from kit.joinery import Hole, HoleRow, Notch, PocketHoles, Purpose, SlotField, pocket_reach

#: Paper round what is marked, mm; and how far a pattern is followed from its corner, mm.
BESIDE, REACH = 10.0, 150.0
#: A side of the board nearer than this belongs to the region, mm.
NEAR = 16.0
#: Slots shown of a field, and how much of each, mm.
SLOTS, SLOT_LONG = 3, 40.0

type Pair = tuple[float, float]


@dataclass(frozen=True)
class Region:
    """A rectangle of one face of a board, from a corner inwards.

    `corner` is (end, edge); `size` is (p, q), mm along the length and across the width, both
    measured from the corner. `features` are those that the template is for.
    """

    board: Board
    surface: Surface
    corner: tuple[Surface, Surface]
    size: Pair
    features: tuple[Feature, ...]

    @property
    def whole(self) -> tuple[bool, bool]:
        """Whether it reaches the far end, and the far edge."""
        sides = (self.board.length, self.board.width)
        p, q = (a >= b - SAME_MM for a, b in zip(self.size, sides, strict=True))
        return (p, q)

    @property
    def lengthwise(self) -> bool:
        """Whether, with the corner at the lower left, the length lies level on the paper.

        Looked at square from outside; so one hand of a board is not taken for the other.
        """
        sight = Sight.of(self.board, self.surface)
        end, edge = self.corner
        return (1 if end.far else -1) * (1 if edge.far else -1) * sight.up > 0

    def local(self, u: float, v: float) -> Pair:
        """(p, q) of a point of the board, from its length and width in the board's own axes."""
        end, edge = self.corner
        return (
            self.board.length - u if end.far else u,
            self.board.width - v if edge.far else v,
        )

    def local_box(self, box: Box) -> tuple[Pair, Pair]:
        """Lowest and highest (p, q) of a box of the board."""
        (a, b), (c, d) = self.local(*box.lo[:2]), self.local(*box.hi[:2])
        return (min(a, c), min(b, d)), (max(a, c), max(b, d))

    def holds(self, cutter: Cutter) -> bool:
        """Whether all of a cut lies in it."""
        lo, hi = self.local_box(cutter_box(cutter))
        return min(lo) >= -SAME_MM and all(
            a <= b + SAME_MM for a, b in zip(hi, self.size, strict=True)
        )

    def centres(self, feature: Feature) -> tuple[Pair, ...]:
        """Where the centre of the cutter goes in at each hole or slot end of a feature."""
        found = []
        for cutter in feature.cutters(self.board):
            if isinstance(cutter, Slot):
                found += [self.local(*point) for point in _slot_ends(cutter)]
            elif isinstance(cutter, Drill) and self.enters(cutter):
                found.append(self.local(*cutter.entry[:2]))
        p, q = self.size
        return tuple(c for c in found if 0 <= c[0] <= p and 0 <= c[1] <= q)

    def enters(self, drill: Drill) -> bool:
        """Whether a bore opens in its face, at the start or right through."""
        level = self.board.thickness if self.surface.far else 0.0
        slope = abs(drill.heading[2])
        starts = abs(drill.entry[2] - level) < 1e-3 and slope > SAME_MM
        return starts or (drill.through and slope > 1 - SAME_MM)


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where a feature wants paper: a rectangle of the face, (length, width) from the datum."""

    feature: Feature
    lo: Pair
    hi: Pair


def regions(board: Board, tiles: Callable[[Region], int]) -> tuple[Region, ...]:
    """The regions of a board that deserve a template.

    `tiles` says on how many pages a region goes, 0 where it is too large. Regions at one corner
    are joined where none of them then goes on more pages: pages taped together are less true.
    """
    found: list[Region] = []
    for surface in (Surface.FACE_A, Surface.FACE_B):
        spots = [s for f in board.features if f.surface is surface for s in _spots(board, f)]
        if not spots:
            continue
        features = tuple(dict.fromkeys(spot.feature for spot in spots))
        size = (board.length, board.width)
        all_of_it = Region(board, surface, (Surface.END_1, Surface.EDGE_1), size, features)
        if board.fit is None and tiles(all_of_it) == 1:
            found.append(all_of_it)
        else:
            cornered = [_cornered(board, surface, spot) for spot in spots]
            near = [region for region in cornered if region is not None and tiles(region)]
            found += _joined(near, tiles)
    return tuple(found)


def _joined(single: Sequence[Region], tiles: Callable[[Region], int]) -> list[Region]:
    done: list[Region] = []
    for region in sorted(single, key=lambda r: round(r.size[0] * r.size[1], 3)):
        for i, other in enumerate(done):
            if other.corner != region.corner:
                continue
            both = Region(
                region.board,
                region.surface,
                region.corner,
                (max(region.size[0], other.size[0]), max(region.size[1], other.size[1])),
                tuple(dict.fromkeys((*other.features, *region.features))),
            )
            if 0 < tiles(both) <= max(tiles(region), tiles(other)):
                done[i] = both
                break
        else:
            done.append(region)
    return done


def _cornered(board: Board, surface: Surface, spot: _Spot) -> Region | None:
    """The smallest rectangle from a corner that holds a spot; None where none is near."""
    size = (board.length, board.width)
    sides = ((Surface.END_1, Surface.END_2), (Surface.EDGE_1, Surface.EDGE_2))
    corner, reach = [], []
    for axis, side in enumerate(("length", "width")):
        near, far = spot.hi[axis], size[axis] - spot.lo[axis]
        is_far = far < near - 1e-3
        if board.fit is not None and board.fit.side == side:
            is_far = False
        if (size[axis] - spot.hi[axis] if is_far else spot.lo[axis]) > REACH:
            return None
        corner.append(sides[axis][is_far])
        wanted = (far if is_far else near) + BESIDE
        reach.append(size[axis] if size[axis] - wanted < NEAR else wanted)
    return Region(board, surface, (corner[0], corner[1]), (reach[0], reach[1]), (spot.feature,))


def _spots(board: Board, feature: Feature) -> Iterator[_Spot]:
    """The rectangles that a feature wants shown; none where a rule or fence does."""
    size = (board.length, board.width)
    match feature:
        case Hole():
            yield _round(feature, [cutter_box(c) for c in feature.cutters(board)])
        case Notch():
            yield _round(feature, feature.cutters(board))
        case HoleRow() if feature.purpose is not Purpose.SHELF_PIN and feature.along < 2:
            boxes = [cutter_box(c) for c in feature.cutters(board)]
            for some in _ends(boxes, feature.along, size[feature.along]):
                yield _round(feature, some)
        case PocketHoles() if feature.exit.axis == 0:
            bores = [cutter_box(c) for c in feature.cutters(board)[::2]]
            for some in _ends(bores, 1, board.width):
                yield _to_end(_round(feature, some), feature.exit, board)
        case SlotField():
            yield from _field(feature, board)


def _round(feature: Feature, boxes: Sequence[Box]) -> _Spot:
    lo = (min(b.lo[0] for b in boxes), min(b.lo[1] for b in boxes))
    hi = (max(b.hi[0] for b in boxes), max(b.hi[1] for b in boxes))
    return _Spot(feature, lo, hi)


def _to_end(spot: _Spot, end: Surface, board: Board) -> _Spot:
    """The spot of pocket holes, from the end to where their mouths stop."""
    reach = pocket_reach(board)
    low, high = (board.length - reach, board.length) if end.far else (0.0, reach)
    return _Spot(spot.feature, (low, spot.lo[1]), (high, spot.hi[1]))


def _ends(boxes: Sequence[Box], axis: int, size: float) -> Iterator[list[Box]]:
    """All of a row that is short; else its beginning and its end."""
    low, high = min(b.lo[axis] for b in boxes), max(b.hi[axis] for b in boxes)
    if min(high, size - low) <= REACH:
        yield list(boxes)
        return
    nearest = min(boxes, key=lambda b: b.lo[axis])
    farthest = max(boxes, key=lambda b: b.hi[axis])
    yield [b for b in boxes if b.hi[axis] <= REACH] or [nearest]
    yield [b for b in boxes if size - b.lo[axis] <= REACH] or [farthest]


def _field(feature: SlotField, board: Board) -> Iterator[_Spot]:
    """The ends of the outer slots at the four corners of a field; all of a small one."""
    slots = feature.cutters(board)
    groups = [slots[:SLOTS], slots[-SLOTS:]] if len(slots) > SLOTS else [slots]
    long = feature.along
    for group, far in product(groups, (False, True)):
        boxes = []
        for slot in group:
            lo, hi = list(slot.box.lo), list(slot.box.hi)
            if hi[long] - lo[long] > 2 * SLOT_LONG:
                if far:
                    lo[long] = hi[long] - SLOT_LONG
                else:
                    hi[long] = lo[long] + SLOT_LONG
            boxes.append(Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])))
        yield _round(feature, boxes)
        if slots[0].length <= 2 * SLOT_LONG:
            break


def _slot_ends(slot: Slot) -> Iterator[Pair]:
    """Where the centre of the cutter starts and stops."""
    half = (slot.length - slot.width) / 2
    for sign in (-1, 1):
        point = list(slot.centre)
        point[slot.along] += sign * half
        yield (point[0], point[1])
