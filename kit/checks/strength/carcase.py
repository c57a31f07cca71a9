"""The case as panels joined along lines, read off its boards and what holds them.

Level boards and uprights bend as plates, as stiff as what their cuts leave; every board holds
its shape in its own plane. What is fastened is joined where the end of one meets the middle of
the other: it does not shift there, and turns as `joints` says. Pins carry at their points. A
back that is glued to two level boards or more holds them as a deep web; a strip glued to one
stiffens it as a rib, off its middle plane. What stands under the case on the floor carries it;
what hangs there helps it to bend.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain, pairwise

import numpy as np

from kit.board import Board
from kit.casework import Casework
from kit.checks.loads import Carried
from kit.checks.strength.joints import JointStiffness, is_glued, joints_of
from kit.checks.strength.layup import board_modulus, shear_modulus
from kit.checks.strength.plate import Floats, Rigidity, Rows, gauss
from kit.checks.strength.sections import sections
from kit.checks.strength.structure import Membrane, Panel, Structure
from kit.checks.strength.weights import carried_by, lying, over, standing, weight
from kit.components.made import Means
from kit.geometry import Box
from kit.joinery import HoleRow, Purpose

#: Two places nearer than this are one, mm, and so are two stations of a plate.
SAME, SAME_STATION = 2.0, 12.0
#: Longest piece of a plate, mm; a level span has three pieces at least, an upright one two,
#: and one that is shorter than this a single one.
PIECE, SHORT = 250.0, 150.0
#: A glued or screwed joint against shifting, N/mm for each mm of it: of no effect on the sag.
HELD = 1e4
#: The edge of a thin back against shifting, N/mm for each mm: its glue and the wood beside it.
WEB = 100.0
#: What holds a back that comes off; first slip of one small screw through a thin panel, N/mm: a
#: tenth of what Eurocode 5 gives for a nail, since the holes of such a panel are loose; memory.
SMALL_SCREWS, SCREW_SLIP = (Means.BACK_SCREWS,), 200.0
#: A pin against the weight of its shelf, N/mm, and what stands on the floor itself, N/mm³.
PIN, FLOOR = 2e3, 10.0
#: Modulus of a board through its thickness, on which it lies; MPa, from memory.
THROUGH = 500.0
#: What holds a loose panel in its plane, N/mm: of no effect, and there is one answer.
LOOSE = 1e-4


@dataclass(frozen=True, slots=True)
class Joint:
    """`mate` meets `host` along a line: from `lo` to `hi` on `axis` of the room, through `at`.

    `screws` is how many hold it where there is no glue.
    """

    mate: Board
    host: Board
    kind: JointStiffness
    axis: int
    lo: float
    hi: float
    at: tuple[float, float, float]
    screws: int = 0

    def points(self, coordinates: Iterable[float]) -> Floats:
        """The points of the line at these coordinates on its axis."""
        found = np.array([self.at] * len(list(coordinates)), dtype=np.float64)
        found[:, self.axis] = list(coordinates)
        return found


@dataclass(frozen=True)
class Carcase:
    """The structure of a case with its loads. `ends` are the stations that hold a level board.

    `floor` are the spans in X that carry what stands on the floor, by board.
    """

    structure: Structure
    level: tuple[Board, ...]
    ends: Mapping[str, tuple[float, ...]]
    floor: Mapping[str, tuple[tuple[float, float], ...]]
    load: Floats

    def panel(self, name: str) -> Panel:
        """The panel of a board; KeyError where it has none."""
        return self.structure.panels[name]

    @cached_property
    def spread(self) -> Floats:
        """A load of 1 N for each mm of length, even over each level board: one a column."""
        columns = []
        for board in self.level:
            points, areas = over(self.panel(board.name), board.box)
            force = areas * (board.box.size[0] / areas.sum())
            columns.append(self.structure.load(self.panel(board.name).moved(points, 2), -force))
        return np.stack(columns, axis=1)


def carcase(casework: Casework, carried: Carried, *, screwed: bool = False) -> Carcase:
    """The case under its own weight and what it carries.

    `screwed` counts on backs that screws alone hold, as far as their screws slip.
    """
    return _Reader(casework, carried, screwed=screwed).read()


class _Reader:
    """Gathers a structure from a casework; thrown away when it is done."""

    def __init__(self, casework: Casework, carried: Carried, *, screwed: bool):
        self.casework, self.carried = casework, carried
        self.structure = Structure()
        self.floor: defaultdict[str, list[tuple[float, float]]] = defaultdict(list)
        self.ground = casework.box.lo[2]
        self.pairs = joints_of(casework)
        by_name = casework.by_name
        hosts: defaultdict[str, list[tuple[Board, bool]]] = defaultdict(list)
        for (mate, host), (_, held) in self.pairs.items():
            glued = is_glued(held) or (screwed and any(f.means in SMALL_SCREWS for f in held))
            hosts[mate].append((by_name[host], glued))
            hosts[host].append((by_name[mate], glued))
        flat = {b.name for b in casework.boards if b.place.out.axis == 2}

        def levels(name: str, *, glued: bool = False) -> int:
            return sum(b.name in flat and (g or not glued) for b, g in hosts[name])

        self.uprights = {
            b.name for b in casework.boards if b.place.out.axis == 0 and levels(b.name) > 1
        }
        self.levels = {
            name for name in flat if any(b.name in self.uprights for b, _ in hosts[name])
        }
        self.webs = {
            b.name
            for b in casework.boards
            if b.place.out.axis == 1 and levels(b.name, glued=True) > 1
        }
        #: (strip, the one level board that it is glued to)
        self.strips = [
            (b, next(host for host, glued in hosts[b.name] if glued and host.name in self.levels))
            for b in casework.boards
            if b.name not in self.uprights | self.webs | flat
            and levels(b.name, glued=True) == 1
            and any(glued and host.name in self.levels for host, glued in hosts[b.name])
            and b.box.hi[2] > SAME + self.lowest
        ]

    @property
    def lowest(self) -> float:
        """Underside of the lowest level board."""
        return min((self.casework.by_name[n].box.lo[2] for n in self.levels), default=0.0)

    def read(self) -> Carcase:
        joints = list(self._joints())
        boards = [b for b in self.casework.boards if b.name in self.levels | self.uprights]
        meets: defaultdict[str, list[float]] = defaultdict(list)
        for joint in joints:
            for board in (joint.mate, joint.host):
                meets[board.name].append(joint.at[0 if board.name in self.levels else 2])
        carriers = {b.name: list(self._carriers(b)) for b in boards if b.name in self.levels}
        for board in boards:
            for _, shared in carriers.get(board.name, ()):
                meets[board.name] += (shared.lo[0], shared.hi[0])
            self._plate(board, meets[board.name])
        for board in self.casework.boards:
            if board.name in self.webs:
                self._web(board)
        for joint in joints:
            self._join(joint)
        level = tuple(b for b in boards if b.name in self.levels)
        for board in level:
            self._under(board, carriers[board.name])
        for strip, host in self.strips:
            self._rib(strip, host, glued=True)
        self._feet()
        self._loose()
        ends = {
            board.name: tuple(
                sorted(
                    {
                        j.at[0]
                        for j in joints
                        if board in (j.mate, j.host) and {j.mate.name, j.host.name} & self.uprights
                    }
                )
            )
            for board in level
        }
        floor = {name: _merged(spans) for name, spans in self.floor.items()}
        return Carcase(self.structure, level, ends, floor, self._load(level))

    def _load(self, level: Sequence[Board]) -> Floats:
        """Its own weight and what it carries; a back that holds nothing hangs on the bottom."""
        lowest = min(level, key=lambda b: b.box.lo[2], default=None)
        own = [lying(board, board.name) for board in level]
        own += [lying(strip, host.name) for strip, host in self.strips]
        if lowest is not None:
            own += [
                lying(board, lowest.name)
                for board in self.casework.boards
                if board.place.out.axis == 1
                and board.name not in self.webs
                and (board.name, lowest.name) in self.pairs
                and board.box.lo[2] > self.lowest - SAME
            ]
        upright = [b for b in self.casework.boards if b.name in self.uprights | self.webs]
        bearings = chain(own, carried_by(self.carried))
        return weight(self.structure, level, bearings) + standing(self.structure, upright)

    def _joints(self) -> Iterator[Joint]:
        for (first, second), (kind, held) in self.pairs.items():
            mate, host = self.casework.by_name[first], self.casework.by_name[second]
            if _passes(mate, host) and not _passes(host, mate):
                mate, host = host, mate
            kinds = {mate.name, host.name}
            if not kinds <= self.uprights | self.levels | self.webs:
                continue
            normals = mate.place.out.axis, host.place.out.axis
            if normals[0] == normals[1]:
                continue
            axis = 3 - sum(normals)
            lo = max(mate.box.lo[axis], host.box.lo[axis])
            hi = min(mate.box.hi[axis], host.box.hi[axis])
            if hi - lo < SAME:
                continue
            at = list(mate.box.centre)
            across = normals[1]
            middle = host.box.centre[across]
            at[across] = min(max(middle, mate.box.lo[across]), mate.box.hi[across])
            screws = 0 if is_glued(held) else sum(f.count for f in held)
            yield Joint(mate, host, kind, axis, lo, hi, (at[0], at[1], at[2]), screws)

    def _panel(
        self,
        board: Board,
        axes: tuple[int, int, int],
        stations: Sequence[float],
        edges: tuple[float, float] | None = None,
        sections: Sequence[Rigidity] = (),
    ) -> None:
        s, t, _ = axes
        e, g = board_modulus(board, s).axial_mpa, shear_modulus(board.stock.key)
        membrane = Membrane.of(e, g, board.box.size[t], board.thickness)
        at = np.array(stations, dtype=np.float64)
        self.structure.panel(board.name, axes, board.box.centre, at, membrane, edges, sections)

    def _web(self, board: Board) -> None:
        lo, hi = board.box.lo[0], board.box.hi[0]
        count = max(2, -int(-(hi - lo) // PIECE))
        self._panel(board, (0, 2, 1), np.linspace(lo, hi, count + 1).tolist())

    def _plate(self, board: Board, meets: Sequence[float]) -> None:
        axes = (0, 1, 2) if board.name in self.levels else (2, 1, 0)
        s, t, _ = axes
        lo, hi = board.box.lo[s], board.box.hi[s]
        held: list[float] = []
        for x in sorted(meets):
            if not held or x - held[-1] > SAME_STATION:
                held.append(x)
        held = [lo] * (not held or held[0] - lo > SAME_STATION) + held
        held += [hi] * (hi - held[-1] > SAME_STATION)
        stations = [held[0]]
        for a, b in pairwise(held):
            least = 1 if b - a < SHORT else 3 if board.name in self.levels else 2
            count = max(least, -int(-(b - a) // PIECE))
            stations += [a + (b - a) * i / count for i in range(1, count + 1)]
        pieces = sections(board, axes, stations)
        edges = board.box.lo[t], board.box.hi[t]
        self._panel(board, axes, stations, edges, pieces)

    def _join(self, joint: Joint) -> None:
        mate, host = (self.structure.panels[b.name] for b in (joint.mate, joint.host))
        if joint.kind.key == "lying":
            ys = _pin_lines(joint)
            if ys:
                points = joint.points(ys)
                rows = mate.moved(points, 2).plus(host.moved(points, 2), -1.0)
                self.structure.spring(rows, np.full(len(ys), PIN), joint.mate.name)
                return
        where, weight = self._line(joint)
        points = joint.points(where)
        owner = joint.mate.name
        webs = {p.axes[2] for p in (mate, host) if p.plate is None}
        axes = {2} if joint.kind.key == "lying" else {0, 1, 2} - webs
        for axis in sorted(axes):
            rows = mate.moved(points, axis).plus(host.moved(points, axis), -1.0)
            self.structure.spring(rows, _shift(joint, webs=bool(webs)) * weight, owner)
        if mate.plate and host.plate and joint.kind.turn_nm_per_rad_m:
            rows = mate.turned(points, joint.axis).plus(host.turned(points, joint.axis), -1.0)
            kind = joint.kind  # N m/rad for each m is N mm/rad for each mm
            self.structure.spring(
                rows,
                kind.turn_nm_per_rad_m * weight,
                owner,
                least=kind.turn_min_nm_per_rad_m * weight,
            )

    def _line(self, joint: Joint) -> tuple[Floats, Floats]:
        """Points along a joint: five where it runs across its plates, else three a piece."""
        if joint.axis == 1:
            return gauss(5, joint.lo, joint.hi)
        panels = (self.structure.panels[b.name] for b in (joint.mate, joint.host))
        plate = next(p.plate for p in panels if p.plate)
        cuts = [x for x in plate.stations if joint.lo + SAME < x < joint.hi - SAME]
        parts = [gauss(3, a, b) for a, b in pairwise([joint.lo, *cuts, joint.hi])]
        x, w = (np.concatenate(part) for part in zip(*parts, strict=True))
        return x, w

    def _carriers(self, board: Board) -> Iterator[tuple[Board, Box]]:
        """What touches the lowest level board from below, and over which part of it."""
        low = board.box.lo[2]
        if abs(low - self.lowest) > SAME:
            return
        for other in self.casework.boards:
            if other.name in self.levels | self.uprights | self.webs:
                continue
            if abs(other.box.hi[2] - low) > SAME:
                continue
            (a0, a1, _), (b0, b1, _) = other.box.lo, board.box.lo
            (c0, c1, _), (d0, d1, _) = other.box.hi, board.box.hi
            shared = Box((max(a0, b0), max(a1, b1), low), (min(c0, d0), min(c1, d1), low))
            if min(shared.size[:2]) > 0:
                yield other, shared

    def _under(self, board: Board, carriers: Iterable[tuple[Board, Box]]) -> None:
        """What is under a level board: the floor, what stands on it, and what hangs there."""
        panel = self.structure.panels[board.name]
        if board.box.lo[2] - self.ground < SAME:
            self._stands(panel, board.box, FLOOR)
            self.floor[board.name].append((board.box.lo[0], board.box.hi[0]))
            return
        for other, shared in carriers:
            if other.box.lo[2] - self.ground < SAME:
                give = other.box.size[2] / board_modulus(other, 2).axial_mpa
                stiff = 1 / (give + board.thickness / (2 * THROUGH))
                self._stands(panel, shared, stiff)
                self.floor[board.name].append((shared.lo[0], shared.hi[0]))
            else:
                self._rib(other, board, glued=False)

    def _stands(self, panel: Panel, box: Box, n_per_mm3: float) -> None:
        points, areas = over(panel, box)
        for axis in range(3):
            self.structure.spring(panel.moved(points, axis), n_per_mm3 * areas, panel.name)

    def _feet(self) -> None:
        """Uprights that stand on the floor on their own ends; they may turn there."""
        for name in sorted(self.uprights):
            board = self.casework.by_name[name]
            if board.box.lo[2] - self.ground > SAME or self.floor:
                continue
            panel = self.structure.panels[name]
            ys, weight = gauss(5, board.box.lo[1], board.box.hi[1])
            points = np.array([(board.box.centre[0], y, board.box.lo[2]) for y in ys])
            stiff = board_modulus(board, 2).axial_mpa * board.thickness / board.box.size[2]
            for axis in range(3):
                self.structure.spring(panel.moved(points, axis), stiff * weight, name)

    def _rib(self, rib: Board, host: Board, *, glued: bool) -> None:
        """A strip that bends and twists with a plate; one that is glued also takes its stretch.

        A rib glued e off the middle of the plate adds E A e² with 1/EA = 1/EA of the rib +
        c / EA of the plate: the plate stretches under a force at that place across it, y off its
        middle, as a bar under an eccentric one, c = 1 + 12 (y / width)².
        """
        panel = self.structure.panels[host.name]
        assert panel.plate is not None
        along = rib.place.along.axis
        if along == 2:
            return
        cross = 1 - along
        lo, hi = (
            max(rib.box.lo[along], host.box.lo[along]),
            min(rib.box.hi[along], host.box.hi[along]),
        )
        cuts = [x for x in panel.plate.stations if lo + SAME < x < hi - SAME] if along == 0 else []
        parts = [gauss(3, a, b) for a, b in pairwise([lo, *cuts, hi])]
        where, weight = (np.concatenate(part) for part in zip(*parts, strict=True))
        at = np.full(len(where), rib.box.centre[cross])
        s, t = (where, at) if along == 0 else (at, where)
        e, (wide, high) = board_modulus(rib, along), (rib.box.size[cross], rib.box.size[2])
        ei = e.typical_mpa * wide * high**3 / 12
        if glued:
            off = rib.box.centre[2] - host.box.centre[2]
            share = (rib.box.centre[cross] - host.box.centre[cross]) / host.box.size[cross]
            sheet = board_modulus(host, along).axial_mpa * host.thickness * host.box.size[cross]
            strip = e.axial_mpa * wide * high
            ei += off**2 / (1 / strip + (1 + 12 * share**2) / sheet)
        thin, thick = sorted((wide, high))
        gj = shear_modulus(rib.stock.key) * thick * thin**3 / 3 * (1 - 0.63 * thin / thick)
        bent = panel.plate.rows(s, t, *((2, 0) if along == 0 else (0, 2)))
        self.structure.spring(bent, ei * weight, host.name)
        self.structure.spring(panel.plate.rows(s, t, 1, 1), gj * weight, host.name)

    def _loose(self) -> None:
        """Whatever lies on pins stays where it is in its own plane."""
        for panel in self.structure.panels.values():
            places = panel.first + np.arange(panel.in_plane)[:, None]
            reach = np.tile([1.0, 1.0, 1e5], len(panel.stations))
            rows = Rows(places, np.ones((panel.in_plane, 1)))
            self.structure.spring(rows, LOOSE * reach, panel.name)


def _passes(one: Board, other: Board) -> bool:
    """Whether one board goes past the whole thickness of another, which so ends on it."""
    axis = other.place.out.axis
    (lo, hi), (a, b) = ((x.box.lo[axis], x.box.hi[axis]) for x in (one, other))
    return lo < a + SAME and hi > b - SAME


def _shift(joint: Joint, *, webs: bool) -> float:
    """How a joint resists shifting, N/mm for each mm of it."""
    if not webs:
        return HELD
    slips = SCREW_SLIP * joint.screws / (joint.hi - joint.lo)
    return 1 / (1 / WEB + 1 / slips) if joint.screws else WEB


def _pin_lines(joint: Joint) -> list[float]:
    """Where the pins of a shelf stand in an upright, mm in Y; none where it has no holes for it."""
    shelf, host = joint.mate, joint.host
    found = set()
    for feature, cuts in host.cuts_in_room:
        if not (isinstance(feature, HoleRow) and feature.purpose is Purpose.SHELF_PIN):
            continue
        for _, box in cuts:
            y = box.centre[1]
            right_height = abs(box.hi[2] - shelf.box.lo[2]) < SAME
            if right_height and shelf.box.lo[1] < y < shelf.box.hi[1]:
                found.add(round(y, 3))
    return sorted(found)


def _merged(spans: Iterable[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    merged: list[tuple[float, float]] = []
    for lo, hi in sorted(spans):
        if merged and lo <= merged[-1][1] + SAME:
            merged[-1] = (merged[-1][0], max(hi, merged[-1][1]))
        else:
            merged.append((lo, hi))
    return tuple(merged)
