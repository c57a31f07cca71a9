"""Finds a printed machine setting in a solid, and keeps account of the cuts it has found."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from kit.board import Board, Operation, Surface
from kit.geometry import Box, bounds
from kit.release.trenches import SAME, Channel, channels, ends, inside, made_by, overlap, walls
from kit.release.truth import Truth
from kit.solid import Bore, Flat, Measures, Opening
from kit.units import Step, length


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One cut as printed: see `kit.board.SetUp`; lengths are the words of the list."""

    operation: Operation
    width: str
    depth: str
    fence: str
    surface: Surface
    against: Surface
    stations: tuple[str, ...]
    count: int
    pitch: str

    @property
    def plain(self) -> str:
        """The cut in words."""
        repeat = f", {self.count} times {self.pitch} apart" if self.count > 1 else ""
        places = f", at {' and '.join(self.stations)}" if self.stations else ""
        return (
            f"{self.operation.value} {self.width} wide and {self.depth} deep in "
            f"{self.surface.plain}, {self.fence} from {self.against.plain}{repeat}{places}"
        )


class Shavings:
    """The solid of a board, and which of its cuts have been found in the list so far."""

    def __init__(self, truth: Truth, board: Board) -> None:
        self._truth, self._board = truth, board
        self._solid: Measures = truth.solids[board.name]
        solid = self._solid
        self._bores: list[Bore] = list(solid.bores)
        self._openings: list[Opening] = list(solid.openings)
        self._slants: list[Flat] = [f for f in solid.flats if self._is_chamfer(f)]
        self._regions: list[Box] = []
        self._taken: list[Channel] = []

    def take(self, setting: Setting, slack: float) -> str:
        """Find a printed cut: what the solid has instead, or nothing where it is there.

        `slack` mm is allowed beside what the words round. Raises UnitError for words that say
        no length.
        """
        match setting.operation:
            case Operation.GROOVE | Operation.DADO | Operation.RABBET:
                return self._channel(setting, slack)
            case Operation.BORE:
                return self._row_of_bores(setting, slack)
            case Operation.POCKET:
                return self._pockets(setting, slack)
            case Operation.SLOT:
                return self._slots(setting, slack)
            case Operation.NOTCH:
                return self._notch(setting, slack)
            case Operation.CHAMFER:
                return self._chamfer(setting, slack)

    def unexplained(self) -> Iterator[str]:
        """What the solid has and no cut of the list makes."""
        truth = self._truth
        for bore in self._bores:
            yield f"a hole {truth.say(bore.diameter, Step.CALIPER)} wide"
        rounds = [_round_box(b) for b in self._solid.bores if b not in self._bores]
        for opening in self._openings:
            outline = Box((*opening.lo, 0.0), (*opening.hi, 0.0))
            if not any(_within(outline, region) for region in (*rounds, *self._regions)):
                yield f"an opening of {opening.area_mm2:.0f} mm2"
        for _ in self._slants:
            yield "a chamfer"
        for flat in walls(self._solid):
            if not any(inside(flat.box, region) for region in (*self._regions, *rounds)):
                assert flat.axis is not None
                way = ("along its length", "across its width", "through its thickness")[flat.axis]
                yield f"the cut at {truth.say(flat.at)} {way}"
                return

    # --- channels ---------------------------------------------------------------------

    def _channel(self, setting: Setting, slack: float) -> str:
        truth, against = self._truth, setting.against
        if setting.surface.axis != 2 or against.axis == 2:
            return "a channel is cut into a face"
        size = self._solid.size[against.axis]
        there = [
            c for c in channels(self._solid, setting.surface, against.axis) if c not in self._taken
        ]
        for channel in there:
            fence = size - channel.hi if against.far else channel.lo
            if (
                truth.fine(setting.width, channel.hi - channel.lo, slack, self._least(channel))
                and truth.fine(setting.depth, channel.depth, slack)
                and truth.agrees(setting.fence, fence, slack=slack)
                and self._runs(setting, channel, slack)
            ):
                self._taken.append(channel)
                self._regions.append(channel.region)
                return ""
        width, depth, fence = map(length, (setting.width, setting.depth, setting.fence))
        there.sort(
            key=lambda c: (
                abs(c.hi - c.lo - width)
                + abs(c.depth - depth)
                + abs((size - c.hi if against.far else c.lo) - fence)
            )
        )
        return _has([self._say_channel(channel, against) for channel in there])

    def _least(self, channel: Channel) -> float:
        """What a housing may not be printed narrower than, mm; nought for other channels."""
        made = made_by(self._board, channel)
        return max((feature.least_width for feature in made), default=0.0)

    def _runs(self, setting: Setting, channel: Channel, slack: float) -> bool:
        """Whether it starts and stops where the list says; without a word, at the ends."""
        axis = 1 - channel.across
        lo, hi = self._solid.box.lo[axis], self._solid.box.hi[axis]
        if not setting.stations:
            return abs(channel.starts[0] - lo) < SAME and abs(channel.stops[0] - hi) < SAME
        start, stop = setting.stations
        starts, stops = ends(self._board, channel)
        return any(self._truth.agrees(start, at, slack=slack) for at in starts) and any(
            self._truth.agrees(stop, at, slack=slack) for at in stops
        )

    def _say_channel(self, channel: Channel, against: Surface) -> str:
        truth = self._truth
        size = self._solid.size[channel.across]
        fence = size - channel.hi if against.far else channel.lo
        return (
            f"one {truth.say(channel.hi - channel.lo, Step.CALIPER)} wide and "
            f"{truth.say(channel.depth, Step.CALIPER)} deep, {truth.say(fence)} from there, "
            f"from {truth.say(channel.starts[0])} to {truth.say(channel.stops[0])}"
        )

    # --- round holes ------------------------------------------------------------------

    def _row_of_bores(self, setting: Setting, slack: float) -> str:
        axis, across = setting.surface.axis, setting.against.axis
        if axis == across:
            return "a bore does not run along the fence"
        along = 3 - axis - across
        for station in setting.stations:
            there = [bore for bore in self._bores if bore.axis == axis]
            hit = next((b for b in there if self._is_bore(setting, b, along, station, slack)), None)
            if hit is None:
                width, place = length(setting.width), length(station)
                there.sort(key=lambda b: abs(b.diameter - width) + abs(b.start[along] - place))
                said = [self._say_bore(setting, bore, along) for bore in there]
                return f"at {station} " + _has(said)
            self._bores.remove(hit)
        return ""

    def _is_bore(
        self, setting: Setting, bore: Bore, along: int, station: str, slack: float
    ) -> bool:
        truth, across = self._truth, setting.against.axis
        return (
            truth.fine(setting.width, bore.diameter, slack)
            and truth.agrees(setting.fence, self._from(setting.against, bore.start), slack=slack)
            and truth.agrees(station, bore.start[along] - self._solid.box.lo[along], slack=slack)
            and any(truth.fine(setting.depth, d, slack) for d in self._depths(setting, bore))
            and across != along
        )

    def _depths(self, setting: Setting, bore: Bore) -> tuple[float, ...]:
        """How deep the bore is from its surface: none where it is not open to that side."""
        axis = setting.surface.axis
        full = self._solid.size[axis]
        if bore.through:
            return (full, bore.length) if bore.length < full - SAME else (full,)
        if (bore.end[axis] < bore.start[axis]) is not setting.surface.far:
            return ()
        return (bore.length, abs(bore.end[axis] - self._face(setting.surface)))

    def _say_bore(self, setting: Setting, bore: Bore, along: int) -> str:
        truth = self._truth
        deep = "through" if bore.through else f"{truth.say(bore.length, Step.CALIPER)} deep"
        return (
            f"one {truth.say(bore.diameter, Step.CALIPER)} wide, {deep}, "
            f"{truth.say(self._from(setting.against, bore.start))} from there, at "
            f"{truth.say(bore.start[along])}"
        )

    def _pockets(self, setting: Setting, slack: float) -> str:
        truth, out = self._truth, setting.against
        along = 1 - out.axis
        for station in setting.stations:
            hit = next(
                (
                    bore
                    for bore in self._bores
                    if bore.axis is None
                    and not bore.through
                    and (bore.heading[out.axis] > 0) is out.far
                    and (bore.heading[2] < 0) is setting.surface.far
                    and abs(bore.heading[along]) < SAME
                    and truth.fine(setting.width, bore.diameter, slack)
                    and truth.fine(setting.depth, bore.length, slack)
                    and truth.agrees(station, bore.start[along], slack=slack)
                ),
                None,
            )
            pilot = hit and next((b for b in self._bores if _goes_on(hit, b)), None)
            if hit is None or pilot is None:
                return f"there is none at {station}"
            leaves = truth.agrees(setting.fence, self._from(out, pilot.start)) or truth.agrees(
                setting.fence, self._from(out, pilot.end)
            )
            if not leaves:
                return f"that at {station} does not come out at {out.plain}"
            self._bores.remove(hit)
            self._bores.remove(pilot)
        return ""

    # --- slots, notches, chamfers -----------------------------------------------------

    def _slots(self, setting: Setting, slack: float) -> str:
        truth, across = self._truth, setting.against.axis
        if across == 2 or len(setting.stations) != 2:
            return "a slot needs an edge to the fence, and where it starts and stops"
        along, (start, stop) = 1 - across, setting.stations
        if not truth.fine(setting.depth, self._solid.size[2], slack):
            return f"it is {truth.say(self._solid.size[2], Step.CALIPER)} thick"
        alike = [
            o
            for o in self._openings
            if truth.fine(setting.width, o.hi[across] - o.lo[across], slack)
            and truth.agrees(start, o.lo[along], slack=slack)
            and truth.agrees(stop, o.hi[along], slack=slack)
        ]
        far = setting.against.far
        alike.sort(key=lambda o: -o.hi[across] if far else o.lo[across])
        run: list[Opening] = []
        for slot in alike:
            place = self._solid.size[across] - slot.hi[across] if far else slot.lo[across]
            if run:
                apart = abs(slot.lo[across] - run[-1].lo[across])
                right = bool(setting.pitch) and truth.fine(setting.pitch, apart, slack)
            else:
                right = truth.agrees(setting.fence, place, slack=slack)
            if right:
                run.append(slot)
            elif run:
                break
        if len(run) != setting.count:
            return f"it has {len(run)} of these, of {len(self._openings)} openings"
        box = self._solid.box
        for slot in run:
            self._openings.remove(slot)
            self._regions.append(Box((*slot.lo, box.lo[2]), (*slot.hi, box.hi[2])))
        round_ones = [b for b in self._bores if b.axis == 2 and inside(_round_box(b), box)]
        for bore in round_ones:  # a slot as long as it is wide is a round hole
            if any(inside(_round_box(bore), region) for region in self._regions[-len(run) :]):
                self._bores.remove(bore)
        return ""

    def _notch(self, setting: Setting, slack: float) -> str:
        truth, box = self._truth, self._solid.box
        if len(setting.stations) != 2:
            return "a notch needs two places along the end"
        spans = []
        for axis in (0, 1):
            inner = [flat for flat in walls(self._solid) if flat.axis == axis]
            # wood lies before the lower side of a notch and behind the upper one
            lows = {box.lo[axis], *(f.at for f in inner if f.outward)}
            highs = {box.hi[axis], *(f.at for f in inner if not f.outward)}
            spans.append([(a, b) for a, b in product(lows, highs) if a < b - SAME])
        for (x0, x1), (y0, y1) in product(*spans):
            fits = (
                truth.fine(setting.width, x1 - x0, slack)
                and truth.fine(setting.depth, y1 - y0, slack)
                and truth.agrees(setting.fence, x0 - box.lo[0], slack=slack)
                and truth.agrees(setting.stations[0], y0 - box.lo[1], slack=slack)
                and truth.agrees(setting.stations[1], y1 - box.lo[1], slack=slack)
            )
            region = Box((x0, y0, box.lo[2]), (x1, y1, box.hi[2]))
            if fits and self._has_sides(region):
                self._regions.append(region)
                return ""
        return _has([])

    def _has_sides(self, region: Box) -> bool:
        """Whether a wall stands at every side of the region that is not the side of the blank."""
        box = self._solid.box
        for axis in (0, 1):
            other = 1 - axis
            for at, edge, outward in (
                (region.lo[axis], box.lo[axis], True),
                (region.hi[axis], box.hi[axis], False),
            ):
                if abs(at - edge) > SAME and not any(
                    flat.axis == axis
                    and flat.outward is outward
                    and abs(flat.at - at) < SAME
                    and overlap(flat.box, region, (other, 2))
                    for flat in self._solid.flats
                ):
                    return False
        return True

    def _chamfer(self, setting: Setting, slack: float) -> str:
        truth, side = self._truth, setting.against
        for flat in self._slants:
            size = flat.box.size
            if (
                abs(flat.normal[side.axis]) > SAME
                and (flat.normal[side.axis] > 0) is side.far
                and (flat.normal[2] > 0) is setting.surface.far
                and truth.fine(setting.width, size[side.axis], slack)
                and truth.fine(setting.depth, size[2], slack)
            ):
                self._slants.remove(flat)
                return ""
        return _has([f"one {truth.say(f.box.size[2], Step.CALIPER)}" for f in self._slants])

    # --- helpers ----------------------------------------------------------------------

    def _is_chamfer(self, flat: Flat) -> bool:
        """A slanted face that is not the shoulder of a slanted bore."""
        return flat.axis is None and not any(
            bore.axis is None
            and abs(abs(sum(h * n for h, n in zip(bore.heading, flat.normal, strict=True))) - 1)
            < 1e-6
            for bore in self._solid.bores
        )

    def _face(self, surface: Surface) -> float:
        return (self._solid.box.hi if surface.far else self._solid.box.lo)[surface.axis]

    def _from(self, surface: Surface, point: tuple[float, float, float]) -> float:
        """Distance of a point from a surface, mm."""
        return abs(point[surface.axis] - self._face(surface))


def _goes_on(bore: Bore, other: Bore) -> bool:
    """Whether a narrower bore begins where this one ends, on the same line."""
    ends = (other.start, other.end)
    return (
        other is not bore
        and other.diameter < bore.diameter
        and any(all(abs(a - b) < 10 * SAME for a, b in zip(bore.end, e, strict=True)) for e in ends)
    )


def _round_box(bore: Bore) -> Box:
    """The least box round a bore that runs along an axis; its centre line where it slants."""
    line = bounds([Box(bore.start, bore.start), Box(bore.end, bore.end)])
    if bore.axis is None:
        return line
    reach = [0.0 if i == bore.axis else bore.diameter / 2 for i in range(3)]
    x, y, z = reach
    lo, hi = line.lo, line.hi
    return Box((lo[0] - x, lo[1] - y, lo[2] - z), (hi[0] + x, hi[1] + y, hi[2] + z))


def _within(outline: Box, region: Box) -> bool:
    """Whether an outline lies in a region as seen square on."""
    return inside(outline, Box((*region.lo[:2], 0.0), (*region.hi[:2], 0.0)))


def _has(found: list[str]) -> str:
    """What the solid has, the nearest first."""
    more = f" and {len(found) - 1} more" if len(found) > 1 else ""
    return "the solid has " + (found[0] + more if found else "none there")
