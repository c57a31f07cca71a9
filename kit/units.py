"""Reads a maker's lengths and writes them back; the only place that knows inches.

A length is written with its unit: "2 3/4 in", 2-3/4", 5' 3-1/2", ¾ in, 18 mm, 1.2 m.
Inside the kit it is a plain float in millimetres. Reading is exact (rational numbers)
until the last step; writing rounds once, to whole ticks of the tape.

The inch is 25.4 mm exactly (international yard and pound agreement, 1959).
"""

import math
import re
from collections.abc import Callable
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from numbers import Number, Real
from reprlib import Repr
from typing import Annotated, Any, Protocol, runtime_checkable

from pydantic import BeforeValidator, PlainSerializer, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError

from kit.errors import UnitError

MM_PER_INCH = 25.4

_INCH = Fraction(254, 10)
_FOOT = 12 * _INCH
_LONGEST_MM = 100_000
_NOISE_MM = 1e-9
_LONGEST_TEXT = 80
_EXAMPLES = ("18 mm", "2 3/4 in")
#: So many lengths are kept as read and as written: from change to change most are the same.
KEPT = 8192


class System(Enum):
    """The display system of a drawing, a table or a pack; one for the whole of it."""

    INCH = "in"
    METRIC = "mm"


class Step(Enum):
    """How finely a length is written, as (tick in inches, tick in millimetres).

    The steps are those of the shop (common practice, no source): a step names the use, so
    that one call serves both systems.
    """

    OVERALL = (Fraction(1, 16), Fraction(1))
    """Overall and shelf sizes: 1/16 in or 1 mm."""
    BOARD = (Fraction(1, 32), Fraction(1, 2))
    """Length and width of a board, as a maker at a saw reads a rule: 1/32 in or 0.5 mm."""
    JOINT = (Fraction(1, 32), Fraction(1, 10))
    """Places of joints, fences and allowances: 1/32 in or 0.1 mm."""
    FINE = (Fraction(1, 64), Fraction(1, 10))
    """The finest tape or rule: 1/64 in or 0.1 mm. Not for bench sheets."""
    CALIPER = (Fraction(1, 1000), Fraction(1, 10))
    """Thickness, grooves and bores: decimal inch to 0.001 in, or 0.1 mm."""

    def tick(self, system: System) -> Fraction:
        """The tick in units of the system: inches or millimetres, exact."""
        return self.value[0 if system is System.INCH else 1]


class Rounding(Enum):
    """Which whole tick a length goes to."""

    NEAREST = "nearest"
    """The nearest; half a tick goes away from zero."""
    DOWN = "down"
    """The next that is not longer."""
    UP = "up"
    """The next that is not shorter."""


def _unit_mm(system: System) -> Fraction:
    return _INCH if system is System.INCH else Fraction(1)


# --- reading -------------------------------------------------------------------------

_UNITS_MM = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    **dict.fromkeys(("in", "in.", "inch", "inches"), _INCH),
    **dict.fromkeys(("ft", "ft.", "foot", "feet"), _FOOT),
}
_VULGAR = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5",
    "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8",
    "⅞": "7/8",
}  # fmt: skip
_TYPOGRAPHY = str.maketrans(
    dict.fromkeys("′’‘ʹ", "'")
    | dict.fromkeys("″”“ʺ", '"')
    | dict.fromkeys("−–‐‑", "-")
    | dict.fromkeys("⁄∕", "/")
    | _VULGAR
)
# a vulgar fraction is a number of its own: "2¾" is 2 3/4, never 23/4
_BESIDE_VULGAR = re.compile(
    "(?<=[0-9])(?=[{0}])|(?<=[{0}])(?=[0-9])".format("".join(_VULGAR)),
)
_NUMBER = (
    r"(?:(?P<whole>[0-9]+)[ -])?(?P<over>[0-9]+)/(?P<under>[0-9]+)"
    r"|(?P<decimal>[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
)
_UNIT = "|".join(re.escape(word) for word in sorted(_UNITS_MM, key=len, reverse=True))
_LENGTH = re.compile(
    rf"(?P<sign>[+-]?)(?:(?P<feet>[0-9]+) ?(?:ft\.?|foot|feet)(?: ?- ?| )?)?"
    rf"(?:{_NUMBER}) ?(?P<unit>{_UNIT})"
)
_BARE = re.compile(rf"[+-]?(?:{_NUMBER})")
_LEADING = re.compile(rf"(?P<number>[+-]?(?:{_NUMBER})) ?[^0-9/.,_]*")
_SEPARATED = re.compile(r"(?<![0-9/])([0-9]+)[,_ ]+(?=[0-9])")
_GROUPED = re.compile(r",|_|(?<=[0-9]) (?=[0-9]+(?![0-9/]))")
_RATIO = re.compile(
    r"(?<![0-9.])(?:([0-9]+)[ -])?([0-9]*\.?[0-9]+)/([0-9]*\.?[0-9]*[1-9][0-9]*)(?![0-9.])"
)
_REPR = Repr()
_REPR.maxstring = _REPR.maxother = 48


@runtime_checkable
class _Quantity(Protocol):
    """What is needed of a pint quantity, whatever its registry."""

    @property
    def magnitude(self) -> Any: ...
    @property
    def unitless(self) -> bool: ...
    def check(self, dimension: str) -> bool: ...
    def to(self, other: str) -> Any: ...


def length(value: object, *, what: str = "length") -> float:
    """Read one length; return it in millimetres.

    `value` is text with a unit (in, ft, mm, cm, m, or the marks ' and ") or a pint
    quantity of any registry with dimension length. Fractions, feet with inches, and
    typographic marks are read; a sign is allowed. `what` names the value in errors.

    Raises UnitError for anything with two readings or none: a number without a unit, a
    comma or another separator among digits, a fraction of 1 or more behind a whole number,
    another dimension, more than 100 m either way, or more than 80 characters.

    >>> length("2 3/4 in"), length("5' 3-1/2\\""), length("18.3 mm")
    (69.85, 1612.9, 18.3)
    """
    if isinstance(value, str):
        if len(value) > _LONGEST_TEXT:
            raise _error(what, value, f"is longer than {_LONGEST_TEXT} characters", [])
        try:
            return _read(value)
        except ValueError as error:
            raise _error(what, value, str(error), _readings(_plain(value))) from None
    if isinstance(value, _Quantity):
        return _from_quantity(value, what)
    if isinstance(value, Number) and not isinstance(value, bool):
        number = _number_text(value)
        problem = _diagnose(number) if number else "is not one number up to 100 m"
        raise _error(what, value, problem, _readings(number))
    problem = "is missing" if value is None else "is not a length"
    raise _error(what, value, problem, [])


@lru_cache(maxsize=KEPT)
def _read(text: str) -> float:
    """Millimetres; ValueError with the problem when there is no one reading."""
    return float(_parse(_plain(text)))


def _plain(text: str) -> str:
    """One spelling of marks, spaces and letters, so that one grammar does."""
    line = _BESIDE_VULGAR.sub(" ", text).translate(_TYPOGRAPHY).replace("''", '"')
    line = line.replace('"', " in ").replace("'", " ft ")
    return " ".join(line.split()).lower()


def _parse(line: str) -> Fraction:
    """Millimetres, exact; ValueError with the problem when there is no one reading."""
    found = _LENGTH.fullmatch(line)
    if found is None:
        raise ValueError(_diagnose(line))
    unit_mm = _UNITS_MM[found["unit"]]
    if found["decimal"]:
        number = Fraction(found["decimal"])
    elif int(found["under"]) == 0:
        raise ValueError("has a fraction with 0 below the line")
    else:
        number = Fraction(int(found["over"]), int(found["under"]))
        if found["whole"] and number >= 1:
            raise ValueError("has a fraction of 1 or more behind a whole number")
        number += int(found["whole"] or 0)
    mm = number * unit_mm
    if found["feet"]:
        if unit_mm != _INCH:
            raise ValueError(f"mixes ft with {found['unit']}")
        if mm >= _FOOT:
            raise ValueError("has 12 in or more behind the feet")
        mm += int(found["feet"]) * _FOOT
    if mm > _LONGEST_MM:
        raise ValueError("is more than 100 m")
    return -mm if found["sign"] == "-" else mm


def _diagnose(line: str) -> str:
    """Why a line does not fit the grammar."""
    if not line:
        return "is empty"
    if re.match(r"[+-]?(?:nan|inf)", line):
        return "is not a finite number"
    if _GROUPED.search(line):
        return "has a comma, a space or another separator among its digits"
    if _BARE.fullmatch(line):
        return "has no unit"
    if "/" in line and "." in line:
        return "has a decimal in a fraction"
    if _LEADING.fullmatch(line):
        return "is in none of the units in, ft, mm, cm, m"
    if line[-1].isdigit():
        return "has no unit at its end"
    return "cannot be read"


def _readings(line: str) -> list[str]:
    """Up to two ways to write what was probably meant, each of which `length` reads."""
    leading = _LEADING.fullmatch(line)
    repairs = [
        line,
        _RATIO.sub(_sum_of_ratio, line),
        _SEPARATED.sub(r"\1.", line),
        _SEPARATED.sub(r"\1 ", line),
        _SEPARATED.sub(r"\1", line),
        line.replace(".", "").replace(",", "."),
        leading["number"] if leading else "",
    ]
    found: dict[Fraction | str, str] = {}
    for candidate in (repair + unit for repair in repairs for unit in ("", " mm", " in")):
        try:
            found.setdefault(_parse(candidate) or candidate, candidate)
        except ValueError:
            continue
    return [reading for reading in found.values() if len(reading) <= _LONGEST_TEXT][:2]


def _sum_of_ratio(found: re.Match[str]) -> str:
    return _mixed(int(found[1] or 0) + Fraction(found[2]) / Fraction(found[3]))


def _from_quantity(value: _Quantity, what: str) -> float:
    if value.unitless:
        number = _number_text(value.magnitude)
        raise _error(what, value, "has no unit", _readings(number))
    if not value.check("[length]"):
        raise _error(what, value, "is not a length", [])
    mm = value.to("millimeter").magnitude
    if not _usable(mm):
        raise _error(what, value, "is not one number up to 100 m", [])
    # a float registry leaves noise in the last digit (23/32 in -> 18.256249999999998 mm)
    return round(float(mm), 9)


def _usable(number: object) -> bool:
    """Whether it is one real number, finite and no larger than the longest length."""
    if not isinstance(number, Real | Decimal):
        return False
    try:
        return abs(float(number)) <= _LONGEST_MM  # nan fails here
    except (OverflowError, ValueError):
        return False


def _number_text(number: Any) -> str:
    """A number in plain digits; empty when it is not usable."""
    if not _usable(number):
        return ""
    if isinstance(number, Fraction):
        return ("-" if number < 0 else "") + _mixed(abs(number))
    return _digits(Decimal(str(number)))


def _error(what: str, value: object, problem: str, readings: list[str]) -> UnitError:
    try:
        shown = _REPR.repr(str(value) if isinstance(value, _Quantity) else value)
    except ValueError:  # an int with more digits than Python will print
        shown = "a huge number"
    offers = " or ".join(f'"{reading}"' for reading in readings)
    advice = f"write {offers}" if offers else 'write for example "{}" or "{}"'.format(*_EXAMPLES)
    return UnitError(f"{what} {shown} {problem}: {advice}.")


# --- writing -------------------------------------------------------------------------


def text(
    mm: float,
    system: System,
    *,
    step: Step = Step.JOINT,
    rounding: Rounding = Rounding.NEAREST,
    unit: bool = True,
) -> str:
    """Write a length in millimetres for a reader: "2 3/4 in", "-1/2 in", "18.3 mm", "0 in".

    Rounds to a whole tick of `step`, the nearest unless `rounding` says otherwise; half a tick
    goes away from zero, so that a length and its opposite print alike. Noise under a billionth
    of a millimetre is dropped first, so that a computed half tick counts as one. Zero has no
    sign; a metric value drops a trailing .0; a caliper inch keeps its three places.
    `unit=False` leaves the unit off.
    Raises UnitError for nan and infinity.

    >>> text(69.85, System.INCH), text(18.34, System.METRIC)
    ('2 3/4 in', '18.3 mm')
    >>> text(69.9, System.INCH, step=Step.BOARD, rounding=Rounding.UP)
    '2 25/32 in'
    """
    return _written(float(mm), system, step, rounding, unit)


@lru_cache(maxsize=KEPT)
def _written(mm: float, system: System, step: Step, rounding: Rounding, unit: bool) -> str:
    printed = _ticks(mm, system, step, rounding) * step.tick(system)
    size = abs(printed)
    if system is System.METRIC:
        words = _digits(Decimal(size.numerator) / Decimal(size.denominator))
    elif step is Step.CALIPER:
        words = f"{size:.3f}"
    else:
        words = _mixed(size)
    sign = "-" if printed < 0 else ""
    return f"{sign}{words} {system.value}" if unit else sign + words


def decimal(mm: float, system: System, *, least: float | None = None, unit: bool = True) -> str:
    """Write a thickness, groove or bore: "0.719 in" to 0.001 in, "18.3 mm" to 0.1 mm.

    It is never written smaller than `least` mm: where the nearest tick is, the next one up.
    `unit=False` leaves the unit off.
    """
    step, rounding = Step.CALIPER, Rounding.NEAREST
    if least is not None and mm + residue(mm, system, step=step) < least - _NOISE_MM:
        rounding = Rounding.UP
    return text(mm, system, step=step, rounding=rounding, unit=unit)


def residue(
    mm: float,
    system: System,
    *,
    step: Step = Step.JOINT,
    rounding: Rounding = Rounding.NEAREST,
) -> float:
    """Printed minus true, in millimetres: what `text` with the same step adds to the length."""
    return float(_printed_mm(mm, system, step, rounding) - _without_noise(mm))


def exact(mm: float, system: System = System.METRIC) -> str:
    """Write a length so that `length` reads back the identical float, for design files.

    With System.INCH a whole number of 64ths is written as an inch fraction, as long as that
    too reads back identically; anything else is written in millimetres. Lengths under
    1e-30 mm count as zero. Raises UnitError for nan and beyond 100 m either way.
    """
    mm = float(mm)
    if not abs(mm) <= _LONGEST_MM:
        raise UnitError(f"length {mm} mm cannot be written: keep it within 100 m either way.")
    if system is System.INCH and float(_printed_mm(mm, system, Step.FINE)) == mm:
        return text(mm, system, step=Step.FINE)
    return f"{_digits(Decimal(repr(mm)) if abs(mm) >= 1e-30 else Decimal(0))} mm"


def _ticks(mm: float, system: System, step: Step, rounding: Rounding = Rounding.NEAREST) -> int:
    """The whole number of ticks that a length is written as."""
    ticks = _without_noise(mm) / (step.tick(system) * _unit_mm(system))
    if rounding is Rounding.DOWN:
        return math.floor(ticks)
    if rounding is Rounding.UP:
        return math.ceil(ticks)
    nearest = math.floor(abs(ticks) + Fraction(1, 2))
    return -nearest if ticks < 0 else nearest


def _printed_mm(
    mm: float, system: System, step: Step, rounding: Rounding = Rounding.NEAREST
) -> Fraction:
    return _ticks(mm, system, step, rounding) * step.tick(system) * _unit_mm(system)


def _without_noise(mm: float) -> Fraction:
    if not math.isfinite(mm):
        raise UnitError(f"length {mm} mm cannot be written: a length has to be a finite number.")
    return Fraction(repr(round(float(mm), 9)))


def _mixed(number: Fraction) -> str:
    """A positive number as whole and reduced fraction: "2 3/4", "3/4", "2", "0"."""
    whole, rest = divmod(number, 1)
    parts = [str(whole)] if whole or not rest else []
    return " ".join(parts + [str(rest)] * bool(rest))


def _digits(number: Decimal) -> str:
    """Plain digits: no exponent, no trailing zeros, no signed zero."""
    digits = f"{number:f}"
    if "." in digits:
        digits = digits.rstrip("0").rstrip(".")
    return "0" if digits == "-0" else digits


# --- fields of a pydantic model -------------------------------------------------------


def _field(kind: str, rule: str = "", allowed: Callable[[float], bool] = math.isfinite) -> Any:
    """A float field in mm that is read by `length` and has to be `allowed`."""

    def read(value: object, info: ValidationInfo) -> float:
        what = info.field_name or "length"
        try:
            mm = length(value, what=what)
            if not allowed(mm):
                raise _error(what, value, rule, [])
        except UnitError as error:
            # a plain ValueError would reach the maker as "Value error, ..."
            raise PydanticCustomError("length", "{message}", {"message": str(error)}) from None
        return mm

    schema = {
        "type": "string",
        "description": f"{kind} with its unit: in, ft, mm, cm, m, or the marks ' and \"",
        "examples": [*_EXAMPLES, "23/32 in", "5' 3-1/2\"", "1.2 m"],
    }
    return BeforeValidator(read), PlainSerializer(exact, when_used="json"), WithJsonSchema(schema)


Length = Annotated[float, *_field("A length")]
"""A model field in float mm, read by `length`; JSON holds it as text that reads back."""

PositiveLength = Annotated[
    float, *_field("A length above zero", "has to be more than 0 mm", lambda mm: mm > 0)
]
"""`Length` above 0 mm."""

NonNegativeLength = Annotated[
    float, *_field("A length of zero or more", "cannot be less than 0 mm", lambda mm: mm >= 0)
]
"""`Length` of 0 mm or more."""
