"""The board: one piece of wood with its sizes, its place and what is cut into it.

A board has axes of its own: x along its length (the grain), y across its width, z through
its thickness. Its surfaces are named as a maker marks them: face A is the show face
(z = thickness), face B the other; edges run with the length, ends across it. Every
measure on a board is taken from the datum corner, end 1 / edge 1.
"""

import math
import re
from abc import ABC, abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum
from functools import cached_property

from kit.errors import BuildError
from kit.finding import Sense
from kit.geometry import Box, Cutter, Drill, Place, Vec, Wedge, cutter_box, remainder
from kit.hardware import Edging
from kit.materials import Stock
from kit.units import Rounding, Say, Step, System, in_both, text


class Surface(Enum):
    """One of the six surfaces of a board, as (board axis, at the far side?)."""

    FACE_A = (2, True)
    FACE_B = (2, False)
    EDGE_1 = (1, False)
    EDGE_2 = (1, True)
    END_1 = (0, False)
    END_2 = (0, True)

    def __init__(self, axis: int, far: bool) -> None:
        #: Board axis square to the surface: 0 length, 1 width, 2 thickness.
        self.axis = axis
        #: Whether it lies at the full size along that axis, not at zero.
        self.far = far

    @property
    def inward(self) -> Vec:
        """Unit vector into the wood."""
        heading = [0.0, 0.0, 0.0]
        heading[self.axis] = -1.0 if self.far else 1.0
        return (heading[0], heading[1], heading[2])

    @property
    def plain(self) -> str:
        """The name as printed: `face A`, `edge 1`."""
        word, mark = self.name.split("_")
        return f"{word.lower()} {mark}"


class Grain(Enum):
    """Whether a board may be turned on the sheet."""

    LOCKED = "along the length"
    FREE = "either way"


@dataclass(frozen=True, slots=True)
class Size:
    """Thickness, width and length in mm, always in this order."""

    thickness: float
    width: float
    length: float


@dataclass(frozen=True, slots=True)
class FitNote:
    """The board is cut to fit: measure `measure`, add `plus` mm; that is its `side`.

    `opening` is the key of that measure in the design file, under [measured.opening].
    """

    side: str
    measure: str
    plus: float
    opening: str

    def formula(
        self, system: System, *, step: Step = Step.JOINT, rounding: Rounding = Rounding.NEAREST
    ) -> str:
        """The rule as printed: `length = inside height + 1/2 in`.

        Whoever prints it for the shop asks `kit.edition`, which knows how `plus` may be rounded.
        """
        if abs(self.plus) < 0.05:
            return f"{self.side} = {self.measure}"
        sign = "+" if self.plus > 0 else "-"
        words = text(self.plus, system, step=step, rounding=rounding).removeprefix("-")
        return f"{self.side} = {self.measure} {sign} {words}"


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with one feature on its board; mm.

    `impossible` says that the cut cannot be made at all.
    """

    rule: str
    why: str
    measured: float
    required: float
    sense: Sense = Sense.AT_LEAST
    source: str = "common-practice"
    impossible: bool = False


#: Added to the rough length or width of a board that is cut to fit later, mm (1/4 in).
#: Common practice, no source.
FIT_ALLOWANCE = 6.35


class Operation(Enum):
    """What is done at the machine."""

    RABBET = "rabbet"
    DADO = "dado"
    GROOVE = "groove"
    BORE = "bore"
    SLOT = "rout slots"
    POCKET = "pocket holes"
    NOTCH = "notch"
    CHAMFER = "chamfer"


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUp:
    """One machine setting. `fence` mm is the distance from `against` to the near side of the cut.

    For bores `width` is the diameter and `fence` the distance to the centre line. It may not be
    printed narrower than `width_least`, where its mate asks for that. `stations`
    are mm along the fence from the datum corner: the centres of bores, start and stop of a
    stopped cut; empty for a cut that runs through. The cut is made `count` times, each `pitch`
    mm further from the fence.
    """

    operation: Operation
    tool: str
    width: float
    depth: float
    fence: float
    against: Surface
    surface: Surface
    stations: tuple[float, ...] = ()
    count: int = 1
    pitch: float = 0.0
    note: str = ""
    width_least: float = 0.0


class Feature(ABC):
    """Something cut into a board: one frozen object that answers in data.

    Solid, drawing and machine setting are all derived from the numbers held here, in mm
    from the datum corner of the board.
    """

    __slots__ = ()

    @property
    @abstractmethod
    def surface(self) -> Surface:
        """The surface that it is cut from."""

    @abstractmethod
    def cutters(self, board: "Board") -> tuple[Cutter, ...]:
        """Plain volumes to take away, in the board's coordinates."""

    @abstractmethod
    def callout(self, board: "Board", system: System) -> str:
        """The words that stand beside it on the drawing."""

    @abstractmethod
    def set_ups(self, board: "Board") -> tuple[SetUp, ...]:
        """The machine settings that make it."""

    @abstractmethod
    def problems(self, board: "Board", say: Say) -> Iterator[Problem]:
        """What is wrong with it on this board; nothing when all is well. `say` writes a length."""

    def shared_mm3(self, board: "Board") -> float:
        """Volume that its own cutters take twice, mm3."""
        return 0.0

    @property
    def hole_count(self) -> int:
        """How many holes or slots it is, told without making them."""
        return 0


@dataclass(frozen=True, kw_only=True)
class Board:
    """One board. `width` and `length` are finished sizes, edging included; L is along the grain.

    The thickness is `layers` times the measured thickness of its `stock`. `trim` is added to
    the rough length and width of what is laminated and trimmed after. A `turnable` board may
    lie across the grain on its sheet. `edging` goes on the `edged` edges and ends.

    Raises BuildError when a size is not positive or a feature cannot be cut at all.
    """

    name: str
    stock: Stock
    width: float
    length: float
    place: Place
    turnable: bool = False
    layers: int = 1
    trim: float = 0.0
    edging: Edging | None = None
    edged: tuple[Surface, ...] = ()
    fit: FitNote | None = None
    features: tuple[Feature, ...] = ()

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[a-z][a-z0-9-]*", self.name):
            raise BuildError(
                f"The board name {self.name!r} is not usable; use lower-case letters, digits, '-'."
            )
        for side, value in (("long", self.length), ("wide", self.width)):
            if not value > 0:
                raise BuildError(
                    f"{self.name} would be {in_both(value)} {side}; "
                    "make room for it or take it out of the design."
                )
        for feature in self.features:
            for problem in feature.problems(self, in_both):
                if problem.impossible:
                    raise BuildError(f"{self.name}: {problem.why}")

    @property
    def grain(self) -> Grain:
        """Whether it may be turned on the sheet."""
        return Grain.LOCKED if self.stock.grained and not self.turnable else Grain.FREE

    @property
    def thickness(self) -> float:
        """Finished thickness, mm."""
        return self.layers * self.stock.thickness_mm

    @property
    def finished(self) -> Size:
        """Finished size, edging included."""
        return Size(self.thickness, self.width, self.length)

    @property
    def cut(self) -> Size:
        """Size to cut before the edging goes on."""
        strip = self.edging.thickness_mm if self.edging else 0.0
        return Size(
            self.thickness,
            self.width - strip * sum(surface.axis == 1 for surface in self.edged),
            self.length - strip * sum(surface.axis == 0 for surface in self.edged),
        )

    @property
    def rough(self) -> Size:
        """Size to take out of the sheet; one layer of a laminated board."""
        cut = self.cut
        side = self.fit.side if self.fit else ""
        return Size(
            self.stock.thickness_mm,
            cut.width + self.trim + FIT_ALLOWANCE * (side == "width"),
            cut.length + self.trim + FIT_ALLOWANCE * (side == "length"),
        )

    @property
    def blank(self) -> Box:
        """The finished board before any cut, in its own coordinates."""
        return Box((0.0, 0.0, 0.0), (self.length, self.width, self.thickness))

    @cached_property
    def box(self) -> Box:
        """The space its blank fills in the room."""
        return self.place.box_to_room(self.blank)

    def span(self, surface: Surface) -> tuple[float, float]:
        """Sizes of a surface along its two measures, in the order of `point`."""
        size = (self.length, self.width, self.thickness)
        u, v = (size[i] for i in range(3) if i != surface.axis)
        return (u, v)

    def point(self, surface: Surface, at: tuple[float, float]) -> Vec:
        """The point of a surface at measures `at` along the two remaining axes, in axis order."""
        values = list(at)
        far = (self.length, self.width, self.thickness)[surface.axis] if surface.far else 0.0
        values.insert(surface.axis, far)
        return (values[0], values[1], values[2])

    @cached_property
    def cuts(self) -> tuple[tuple[Feature, tuple[Cutter, ...]], ...]:
        """Each feature with the volumes that it takes away, in the board's coordinates."""
        return tuple((feature, feature.cutters(self)) for feature in self.features)

    @cached_property
    def cutters(self) -> tuple[Cutter, ...]:
        """All volumes to take away, in the board's coordinates."""
        return tuple(cutter for _, cutters in self.cuts for cutter in cutters)

    @cached_property
    def cuts_in_room(self) -> tuple[tuple[Feature, tuple[tuple[Cutter, Box], ...]], ...]:
        """`cuts`, each volume with the box round it in room coordinates."""
        return tuple(
            (feature, tuple((c, self.place.box_to_room(cutter_box(c))) for c in cutters))
            for feature, cutters in self.cuts
        )

    @cached_property
    def rest(self) -> tuple[Box, ...]:
        """The blank less its square-cornered cuts, as disjoint boxes in its own coordinates."""
        return remainder(self.blank, [c for c in self.cutters if isinstance(c, Box)])

    @cached_property
    def solid_boxes(self) -> tuple[Box, ...]:
        """`rest` in room coordinates: holes, slots and chamfers count as wood."""
        return tuple(self.place.box_to_room(box) for box in self.rest)

    @cached_property
    def volume_mm3(self) -> float:
        """Volume of the finished board by closed forms, mm3.

        Exact while no hole, slot or chamfer runs through the wall of a square-cornered cut;
        one that does is reported as a problem (`meetings`).
        """
        volume = sum(box.volume_mm3 for box in self.rest)
        volume += sum(feature.shared_mm3(self) for feature in self.features)
        return volume - sum(
            _wood_taken(cutter, self.rest) for cutter in self.cutters if not isinstance(cutter, Box)
        )

    @property
    def mass_kg(self) -> float:
        """Mass from the stock's density, kg."""
        return self.volume_mm3 * 1e-9 * self.stock.density_kg_m3

    def meetings(self) -> Iterator[tuple[Feature, Feature]]:
        """Pairs of features of which one is round or slanted and runs into the other."""
        made = [
            (cutter_box(cutter), cutter, number)
            for number, (_, cutters) in enumerate(self.cuts)
            for cutter in cutters
        ]
        # a sweep along the board: only what lies side by side is held against each other
        axis = 0 if self.length >= self.width else 1
        made.sort(key=lambda cut: cut[0].lo[axis])
        met: set[tuple[int, int]] = set()
        beside: list[tuple[Box, Cutter, int]] = []
        for box, cutter, number in made:
            beside = [cut for cut in beside if cut[0].hi[axis] > box.lo[axis]]
            met.update(
                (min(number, other), max(number, other))
                for near, beside_it, other in beside
                if other != number and box.common(near) and not _apart(cutter, beside_it)
            )
            beside.append((box, cutter, number))
        yield from ((self.features[one], self.features[other]) for one, other in sorted(met))

    def having(self, *features: Feature) -> "Board":
        """The same board with these features added."""
        return replace(self, features=(*self.features, *features))


def _apart(one: Cutter, other: Cutter) -> bool:
    """Whether two cuts whose boxes meet may still not: two square ones are told by their wood, and
    two parallel bores stand apart where their circles do."""
    if isinstance(one, Box) and isinstance(other, Box):
        return True
    if not (isinstance(one, Drill) and isinstance(other, Drill)):
        return False
    along = sum(a * b for a, b in zip(one.heading, other.heading, strict=True))
    if abs(abs(along) - 1.0) > 1e-9:
        return False
    way = [b - a for a, b in zip(one.entry, other.entry, strict=True)]
    on_axis = sum(w * h for w, h in zip(way, one.heading, strict=True))
    between = math.hypot(*(w - on_axis * h for w, h in zip(way, one.heading, strict=True)))
    return between >= (one.diameter + other.diameter) / 2


def _wood_taken(cutter: Drill | Wedge | Cutter, rest: tuple[Box, ...]) -> float:
    """Volume that a prism-like cutter takes out of the boxes that are left, mm3.

    The share of the cutter's length that lies in wood; exact where every box either spans
    the cutter's section or misses it. A hole that goes slantwise is counted whole.
    """
    hull = cutter_box(cutter)
    axis = _prism_axis(cutter)
    if axis is None or hull.size[axis] == 0:
        return cutter.volume_mm3
    in_wood = sum(common.volume_mm3 for box in rest if (common := box.common(hull)) is not None)
    return cutter.volume_mm3 * in_wood / hull.volume_mm3


def _prism_axis(cutter: Cutter) -> int | None:
    if isinstance(cutter, Drill):
        straight = [i for i, d in enumerate(cutter.heading) if abs(d) == 1.0]
        return straight[0] if straight else None
    if isinstance(cutter, Wedge):
        return next(i for i, d in enumerate(cutter.run) if d != 0)
    return 2
