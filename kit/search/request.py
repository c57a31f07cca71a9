"""What is searched for: what may change, what is wanted, and what must not be passed.

A maker writes each in one line, and `Free.read`, `Goal.read` and `Limit.read` read them:

    case.width = 60 in .. 90 in by 1/2 in     a length, from and to and in which steps
    case.stock = walnut-ply-3/4 | oak-ply-3/4     a choice, of any values
    largest                                   a goal
    sheets = 2                                a limit: at most so much
    sheets.walnut-ply-3/4 = 2                 the same of one stock
"""

import math
import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from kit.errors import DesignFileError
from kit.materials import material
from kit.units import System, exact, length

#: A value as a design file holds it: a length is a text with its unit.
type Written = str | int | float | bool

#: So many values a parameter may take.
MOST_VALUES = 100_000
#: A grid of at most so many candidates is looked through whole.
ENUMERATED = 5000
#: So many candidates are judged of a larger grid, where the maker says nothing else.
USUAL_MOST = 500

_SPAN = re.compile(r"(?P<low>.+?)\s*\.\.\s*(?P<high>.+?)\s+by\s+(?P<step>.+)")
_FORM = 'write "case.width = 60 in .. 90 in by 1/2 in" or "case.stock = KEY | KEY"'


class Measure(Enum):
    """What is measured of a candidate, and in what unit; empty: a number or an amount."""

    WIDTH = ("width", "mm")
    DEPTH = ("depth", "mm")
    HEIGHT = ("height", "mm")
    SIZE = ("size", "m3")
    MASS = ("mass", "kg")
    COST = ("cost", "")
    SHEETS = ("sheets", "")
    WASTE = ("waste", "%")
    HEAT = ("heat", "°C")
    SAG = ("sag", "mm")

    @property
    def word(self) -> str:
        """How a maker names it."""
        return self.value[0]

    @property
    def unit(self) -> str:
        """The unit of its numbers."""
        return self.value[1]


class Goal(Enum):
    """What is wanted: the most or the least of a measure."""

    LARGEST = "largest"
    """The most space that the case takes up: width x depth x height, without its base."""
    CHEAPEST = "cheapest"
    """The least sum of the buy list, of all that has a price."""
    LEAST_WASTE = "least waste"
    """The least share of the sheets that becomes no board."""
    COOLEST = "coolest"
    """The coolest air at the intake of the device that draws in the warmest."""
    LIGHTEST = "lightest"
    """The least mass of the boards."""

    @property
    def measure(self) -> Measure:
        """What it looks at."""
        return {
            Goal.LARGEST: Measure.SIZE,
            Goal.CHEAPEST: Measure.COST,
            Goal.LEAST_WASTE: Measure.WASTE,
            Goal.COOLEST: Measure.HEAT,
            Goal.LIGHTEST: Measure.MASS,
        }[self]

    @property
    def sign(self) -> float:
        """What its measure is multiplied by, so that less is better."""
        return -1.0 if self is Goal.LARGEST else 1.0

    @classmethod
    def read(cls, words: str) -> "Goal":
        """A goal by its name. Raises DesignFileError."""
        plain = " ".join(words.replace("-", " ").split()).lower()
        for goal in cls:
            if goal.value == plain:
                return goal
        known = ", ".join(goal.value for goal in cls)
        raise DesignFileError(f"There is no goal {words!r}; there are {known}.")


@dataclass(frozen=True, slots=True)
class Free:
    """A field of the design file that may change, and the values that it may take, in order.

    Lengths are in order from the shortest; where `lengths` is not empty, it holds them in mm.
    """

    path: str
    values: tuple[Written, ...]
    lengths: tuple[float, ...] = ()

    @classmethod
    def span(
        cls, path: str, low: float, high: float, step: float, system: System = System.INCH
    ) -> "Free":
        """Lengths from `low` to `high` in steps, mm. Raises DesignFileError for none or many."""
        if not (step > 0 and high >= low):
            raise DesignFileError(
                f"{path} runs from {exact(low, system)} to {exact(high, system)} in steps of "
                f"{exact(step, system)}; write the smaller length first, and a step above nought."
            )
        count = math.floor((high - low) / step + 1e-9) + 1
        if count > MOST_VALUES:
            raise DesignFileError(
                f"{path} would take {count} values, and {MOST_VALUES} are the most; take larger "
                "steps."
            )
        # 1/64 in are 0.396875 mm: six decimals lose nothing of a tape
        lengths = tuple(round(low + number * step, 6) for number in range(count))
        return cls(path, tuple(exact(mm, system) for mm in lengths), lengths)

    @classmethod
    def read(cls, words: str, system: System = System.INCH) -> "Free":
        """A parameter as a maker writes it. Raises DesignFileError or UnitError."""
        path, values = _parted(words, "parameter", _FORM)
        span = _SPAN.fullmatch(values)
        if span:
            low, high, step = (length(span[end], what=path) for end in ("low", "high", "step"))
            return cls.span(path, low, high, step, system)
        if ".." in values:
            raise DesignFileError(f"{path} has no steps; {_FORM}.")
        choices = tuple(written(value) for value in values.split("|"))
        if "" in choices or len(set(choices)) < len(choices):
            raise DesignFileError(f"{path} names a value twice or an empty one; {_FORM}.")
        return cls(path, choices)


@dataclass(frozen=True, slots=True)
class Limit:
    """The most that a measure may be, in the unit of the measure; of one stock for sheets."""

    measure: Measure
    most: float
    stock: str = ""

    @property
    def name(self) -> str:
        """How a maker names it."""
        return f"{self.measure.word}.{self.stock}" if self.stock else self.measure.word

    @classmethod
    def read(cls, words: str) -> "Limit":
        """A limit as a maker writes it. Raises DesignFileError, UnitError or TableError."""
        name, value = _parted(words, "limit", 'write for example "sheets = 2"')
        word, _, stock = name.partition(".")
        known = {measure.word: measure for measure in Measure if measure is not Measure.SIZE}
        if word not in known or (stock and word != Measure.SHEETS.word):
            raise DesignFileError(
                f"There is no limit {name!r}; there are {', '.join(known)}, and sheets.KEY for "
                "the sheets of one stock."
            )
        if stock:
            material(stock)  # a misspelt one would never be passed
        measure = known[word]
        if measure.unit == "mm":
            return cls(measure, length(value, what=word))
        unit = measure.unit.lstrip("°")
        number = re.fullmatch(rf"([0-9]+(?:\.[0-9]+)?)\s*(?:°?{re.escape(unit)})?", value)
        if number is None:
            like = f"{word} = 40 {measure.unit}".rstrip()
            raise DesignFileError(f"The limit of {word} is {value!r}; write for example {like!r}.")
        return cls(measure, float(number[1]), stock)


class Depth(Enum):
    """How far every candidate is judged."""

    FRONT = "front"
    """No further than it takes to know that another is better in every goal."""
    ALL = "all"
    """All that no check and no limit rules out, to the end: a whole picture of what there is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """A whole search. Raises DesignFileError where there is nothing to search.

    `most` candidates are judged of a grid of more than `ENUMERATED`; a smaller one is looked
    through whole. The same `seed` gives the same answer.
    """

    free: tuple[Free, ...]
    goals: tuple[Goal, ...]
    limits: tuple[Limit, ...] = ()
    seed: int = 1
    most: int = USUAL_MOST
    depth: Depth = Depth.FRONT

    def __post_init__(self) -> None:
        paths = [free.path for free in self.free]
        if not paths or not self.goals:
            raise DesignFileError(
                "A search wants one free parameter and one goal at least, such as "
                '"case.width = 60 in .. 90 in by 1/2 in" and "largest".'
            )
        if len(set(paths)) < len(paths) or len(set(self.goals)) < len(self.goals):
            raise DesignFileError("A parameter or a goal is named twice; name each once.")
        if self.most < 1:
            raise DesignFileError(f"{self.most} candidates are no search; judge 1 at least.")
        if self.seed < 0:
            raise DesignFileError(f"The seed is {self.seed}; give a whole number from 0.")

    @property
    def size(self) -> int:
        """How many candidates the grid has."""
        return math.prod(len(free.values) for free in self.free)

    @property
    def whole(self) -> bool:
        """Whether every candidate of the grid is looked at."""
        return self.size <= ENUMERATED


def written(words: str) -> Written:
    """A value as a design file holds it: numbers and true or false as such, all else as text."""
    words = words.strip()
    try:
        value = tomllib.loads(f"value = {words}")["value"]
    except tomllib.TOMLDecodeError:
        return words
    return value if isinstance(value, str | bool | int | float) else words


def changes_of(words: str) -> dict[str, Written]:
    """Values to write into a design: "case.depth = 23 in; case.width = 80 in".

    Raises DesignFileError where there is none, or one that is named twice.
    """
    form = 'write for example "case.depth = 23 in"'
    pairs = [_parted(part, "change", form) for part in words.split(";") if part.strip()]
    paths = [path for path, _ in pairs]
    if not paths or len(set(paths)) < len(paths):
        raise DesignFileError(f"The changes {words.strip()!r} name no value, or one twice; {form}.")
    return {path: written(value) for path, value in pairs}


def _parted(words: str, what: str, form: str) -> Sequence[str]:
    """What stands before and after the first equals sign."""
    before, equals, after = (part.strip() for part in words.partition("="))
    if not (before and equals and after):
        raise DesignFileError(f"The {what} {words!r} cannot be read; {form}.")
    return before, after
