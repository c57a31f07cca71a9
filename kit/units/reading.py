"""Reads lengths: exact (rational numbers) until the last step."""

import re
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from numbers import Number, Real
from reprlib import Repr
from typing import Any, Protocol, runtime_checkable

from kit.errors import UnitError
from kit.units.systems import FOOT, INCH, KEPT, LONGEST_MM
from kit.units.writing import digits, mixed

_LONGEST_TEXT = 80
#: Lengths that are well written, for advice.
EXAMPLES = ("18 mm", "2 3/4 in")

_UNITS_MM = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    **dict.fromkeys(("in", "in.", "inch", "inches"), INCH),
    **dict.fromkeys(("ft", "ft.", "foot", "feet"), FOOT),
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
            raise length_error(what, value, f"is longer than {_LONGEST_TEXT} characters", [])
        try:
            return _read(value)
        except ValueError as error:
            raise length_error(what, value, str(error), _readings(_plain(value))) from None
    if isinstance(value, _Quantity):
        return _from_quantity(value, what)
    if isinstance(value, Number) and not isinstance(value, bool):
        number = _number_text(value)
        problem = _diagnose(number) if number else "is not one number up to 100 m"
        raise length_error(what, value, problem, _readings(number))
    problem = "is missing" if value is None else "is not a length"
    raise length_error(what, value, problem, [])


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
        if unit_mm != INCH:
            raise ValueError(f"mixes ft with {found['unit']}")
        if mm >= FOOT:
            raise ValueError("has 12 in or more behind the feet")
        mm += int(found["feet"]) * FOOT
    if mm > LONGEST_MM:
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
    return mixed(int(found[1] or 0) + Fraction(found[2]) / Fraction(found[3]))


def _from_quantity(value: _Quantity, what: str) -> float:
    if value.unitless:
        number = _number_text(value.magnitude)
        raise length_error(what, value, "has no unit", _readings(number))
    if not value.check("[length]"):
        raise length_error(what, value, "is not a length", [])
    mm = value.to("millimeter").magnitude
    if not _usable(mm):
        raise length_error(what, value, "is not one number up to 100 m", [])
    # a float registry leaves noise in the last digit (23/32 in -> 18.256249999999998 mm)
    return round(float(mm), 9)


def _usable(number: object) -> bool:
    """Whether it is one real number, finite and no larger than the longest length."""
    if not isinstance(number, Real | Decimal):
        return False
    try:
        return abs(float(number)) <= LONGEST_MM  # nan fails here
    except (OverflowError, ValueError):
        return False


def _number_text(number: Any) -> str:
    """A number in plain digits; empty when it is not usable."""
    if not _usable(number):
        return ""
    if isinstance(number, Fraction):
        return ("-" if number < 0 else "") + mixed(abs(number))
    return digits(Decimal(str(number)))


def length_error(what: str, value: object, problem: str, readings: list[str]) -> UnitError:
    """What is wrong with a value, and what was probably meant."""
    try:
        shown = _REPR.repr(str(value) if isinstance(value, _Quantity) else value)
    except ValueError:  # an int with more digits than Python will print
        shown = "a huge number"
    offers = " or ".join(f'"{reading}"' for reading in readings)
    advice = f"write {offers}" if offers else 'write for example "{}" or "{}"'.format(*EXAMPLES)
    return UnitError(f"{what} {shown} {problem}: {advice}.")
